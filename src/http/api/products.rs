//! Products and their data sheets.

use serde_json::Value;

use crate::app::page::Page;
use crate::app::products::{self, ProductChange, ProductInput, ProductView, SheetView};
use crate::core::words::ProductRole;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The version of an edition of a sheet: it never changes.
const SHEET: i64 = 1;

/// The shop's products, newest first.
///
/// Filter by `role` for what can be laid, or for cleaners and the rest.
#[utoipa::path(get, path = "/v1/products", tag = "products",
    params(("role" = Option<ProductRole>, Query), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of products.", body = Page<ProductView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let role: Option<ProductRole> = query.parsed("role", "a product role");
    let wanted = query.page(&role)?;
    ok(&caller.run(move |app, who| products::list(app, who, role, &wanted)).await?)
}

/// Adds a product, a coating with the first edition of its data sheet.
///
/// A coating needs its data sheet, the others may have one: surfaces, climate to apply in, recoat windows, cure and
/// its milestones. Every fault of a sheet is told at once.
#[utoipa::path(post, path = "/v1/products", tag = "products", request_body = ProductInput,
    responses((status = 201, description = "The new product.", body = ProductView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: ProductInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| products::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/products/{}", view.code)),
        )
        .await
}

/// One product.
///
/// With the number of its present data sheet.
#[utoipa::path(get, path = "/v1/products/{code}", tag = "products", params(("code" = String, Path)),
    responses((status = 200, description = "The product.", body = ProductView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let code: String = path.get("code")?;
    let view = caller.run(move |app, who| products::find(app, who, &code)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a product by a merge patch.
///
/// Its title; what the sheet says changes by a new edition of the sheet.
#[utoipa::path(patch, path = "/v1/products/{code}", tag = "products", params(("code" = String, Path)), request_body = ProductChange,
    responses((status = 200, description = "The product as it is now.", body = ProductView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let code: String = path.get("code")?;
    let named = code.clone();
    let current = caller.run(move |app, who| products::find(app, who, &named)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| products::change(app, who, &code, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// The editions of a product's data sheet, newest first.
///
/// Coats keep the edition that was current when they were entered.
#[utoipa::path(get, path = "/v1/products/{code}/sheets", tag = "products",
    params(("code" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of editions.", body = Page<SheetView>)))]
pub async fn sheets(caller: Caller, path: Path) -> Answer {
    let code: String = path.get("code")?;
    let wanted = caller.query().page(&code)?;
    ok(&caller.run(move |app, who| products::sheets(app, who, &code, &wanted)).await?)
}

/// Adds the next edition of a product's data sheet; editions never change.
///
/// The body is the sheet with its `edition`, the last one plus 1; editions never change. `validate_only` tells
/// every fault without keeping it.
#[utoipa::path(post, path = "/v1/products/{code}/sheets", tag = "products",
    params(("code" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = Object,
    responses((status = 201, description = "The new edition.", body = SheetView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add_sheet(caller: Caller, path: Path, body: Body) -> Answer {
    let code: String = path.get("code")?;
    let named = code.clone();
    caller.run(move |app, who| products::find(app, who, &named)).await?;
    let sheet: Value = body.json().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    caller
        .once_or_try(
            move |app, who| products::add_sheet(app, who, &code, sheet, validate_only),
            |view| created(view, SHEET, &format!("/v1/products/{}/sheets/{}", view.code, view.edition)),
        )
        .await
}

/// One edition of a product's data sheet.
///
/// As it was entered, with its digest.
#[utoipa::path(get, path = "/v1/products/{code}/sheets/{n}", tag = "products", params(("code" = String, Path), ("n" = u32, Path)),
    responses((status = 200, description = "The edition.", body = SheetView)))]
pub async fn sheet(caller: Caller, path: Path) -> Answer {
    let (code, n): (String, u32) = (path.get("code")?, path.get("n")?);
    let view = caller.run(move |app, who| products::sheet(app, who, &code, n)).await?;
    caller.query().finish()?;
    versioned(&view, SHEET)
}
