//! Accreditations.

use crate::app::accreditations::{self, AccreditationInput, AccreditationView};
use crate::app::page::Page;
use crate::core::ids::AccreditationId;
use crate::http::answer::{Answer, created, nothing, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's accreditations, newest first.
///
/// An accreditation says that the shop works for an issuer of terms in an interval. Filter by `issuer` to see since
/// when.
#[utoipa::path(get, path = "/v1/accreditations", tag = "terms",
    params(("issuer" = Option<String>, Query), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of accreditations.", body = Page<AccreditationView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let issuer = query.text("issuer");
    let wanted = query.page(&issuer)?;
    ok(&caller.run(move |app, who| accreditations::list(app, who, issuer.as_deref(), &wanted)).await?)
}

/// Says that the shop is accredited by an issuer.
///
/// From then on, services that the shop enters count as `accredited` for warranties on that issuer's terms, if
/// their day lies inside the interval, both ends included. It never gives sight of another shop's data.
#[utoipa::path(post, path = "/v1/accreditations", tag = "terms", request_body = AccreditationInput,
    responses((status = 201, description = "The new accreditation.", body = AccreditationView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: AccreditationInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| accreditations::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/accreditations/{}", view.id)),
        )
        .await
}

/// One accreditation.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/accreditations/{id}", tag = "terms", params(("id" = AccreditationId, Path)),
    responses((status = 200, description = "The accreditation.", body = AccreditationView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: AccreditationId = path.get("id")?;
    let view = caller.run(move |app, who| accreditations::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes an accreditation by a merge patch.
///
/// Most often `until`, when it ends. Services that were entered before keep the standing that they had when they
/// were entered.
#[utoipa::path(patch, path = "/v1/accreditations/{id}", tag = "terms", params(("id" = AccreditationId, Path)), request_body = AccreditationInput,
    responses((status = 200, description = "The accreditation as it is now.", body = AccreditationView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: AccreditationId = path.get("id")?;
    let current = caller.run(move |app, who| accreditations::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| accreditations::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Removes an accreditation that was entered by mistake.
///
/// One that simply ended is given its last day instead. Services that were entered while it stood keep their
/// standing.
#[utoipa::path(delete, path = "/v1/accreditations/{id}", tag = "terms", params(("id" = AccreditationId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let id: AccreditationId = path.get("id")?;
    let current = caller.run(move |app, who| accreditations::find(app, who, id)).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| accreditations::remove(app, who, id, current.version)).await?;
    nothing()
}
