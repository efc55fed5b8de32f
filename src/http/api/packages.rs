//! Packages: the shop's templates of a job.

use crate::app::packages::{self, PackageView};
use crate::app::page::Page;
use crate::core::packages::Package;
use crate::http::answer::{Answer, created, nothing, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

/// The shop's packages, newest first.
///
/// Templates from which jobs are opened.
#[utoipa::path(get, path = "/v1/packages", tag = "packages",
    params(("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of packages.", body = Page<PackageView>)))]
pub async fn list(caller: Caller) -> Answer {
    let wanted = caller.query().page(&())?;
    ok(&caller.run(move |app, who| packages::list(app, who, &wanted)).await?)
}

/// Adds a package.
///
/// It holds the steps in order with products and dilutions, the coats by surface, the terms, and the panels that
/// are usually left out. A job that is opened from it starts with all of this, and is confirmed by few calls. `falls_short` says
/// what each such job would lack for a warranty on the terms; a package is taken all the same, since the rest can be entered
/// on the job.
#[utoipa::path(post, path = "/v1/packages", tag = "packages", request_body = Package,
    responses((status = 201, description = "The new package.", body = PackageView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let package: Package = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| packages::add(app, who, package),
            |view| created(view, view.version, &format!("/v1/packages/{}", view.package.code)),
        )
        .await
}

/// The package that the path names; 404 before anything else is looked at.
async fn named(caller: &Caller, path: &Path) -> Result<PackageView, Problem> {
    let code: String = path.get("code")?;
    caller.run(move |app, who| packages::find(app, who, &code)).await
}

/// One package.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/packages/{code}", tag = "packages", params(("code" = String, Path)),
    responses((status = 200, description = "The package.", body = PackageView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let view = named(&caller, &path).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a package by a merge patch.
///
/// Jobs that were opened from it keep the plan that they were opened with.
#[utoipa::path(patch, path = "/v1/packages/{code}", tag = "packages", params(("code" = String, Path)), request_body = Package,
    responses((status = 200, description = "The package as it is now.", body = PackageView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let current = named(&caller, &path).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let code = current.package.code;
    let view = caller.run(move |app, who| packages::change(app, who, &code, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Removes a package.
///
/// Jobs that were opened from it keep their plan. Its code can be used again.
#[utoipa::path(delete, path = "/v1/packages/{code}", tag = "packages", params(("code" = String, Path)),
    responses((status = 204, description = "It is gone.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let current = named(&caller, &path).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    let code = current.package.code;
    caller.run(move |app, who| packages::remove(app, who, &code, current.version)).await?;
    nothing()
}
