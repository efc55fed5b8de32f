//! Customers.

use crate::app::customers::{self, CustomerInput, CustomerView};
use crate::app::page::Page;
use crate::core::ids::CustomerId;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's customers, newest first.
///
/// `q` is looked for in name, address and telephone, without regard to case and accents.
#[utoipa::path(get, path = "/v1/customers", tag = "customers",
    params(
        ("q" = Option<String>, Query, description = "Looked for in name, address and telephone."),
        ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)
    ),
    responses((status = 200, description = "A page of customers.", body = Page<CustomerView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let q = query.text("q");
    let wanted = query.page(&q)?;
    ok(&caller.run(move |app, who| customers::list(app, who, q.as_deref(), &wanted)).await?)
}

/// Adds a customer.
///
/// Only a name is needed. Without an e-mail address nothing is mailed to them; language and time zone are the
/// shop's unless given. A dealer's stock is a customer of kind `stock` and counts as no owner.
#[utoipa::path(post, path = "/v1/customers", tag = "customers", request_body = CustomerInput,
    responses((status = 201, description = "The new customer.", body = CustomerView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: CustomerInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| customers::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/customers/{}", view.id)),
        )
        .await
}

/// One customer.
///
/// With language, time zone and the mails that they want.
#[utoipa::path(get, path = "/v1/customers/{id}", tag = "customers", params(("id" = CustomerId, Path)),
    responses((status = 200, description = "The customer.", body = CustomerView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: CustomerId = path.get("id")?;
    let view = caller.run(move |app, who| customers::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a customer by a merge patch.
///
/// A changed address or mail choice holds for every mail that has not gone out yet.
#[utoipa::path(patch, path = "/v1/customers/{id}", tag = "customers", params(("id" = CustomerId, Path)), request_body = CustomerInput,
    responses((status = 200, description = "The customer as they are now.", body = CustomerView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: CustomerId = path.get("id")?;
    let current = caller.run(move |app, who| customers::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| customers::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}
