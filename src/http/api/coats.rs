//! Coats of a job.

use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

use super::jobs::job;
use crate::app::coats::{self, CoatInput, CoatView};
use crate::core::ids::CoatId;
use crate::http::answer::{Answer, created, nothing, ok, valid, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// All of a job's coats.
#[derive(Serialize, ToSchema)]
pub struct CoatList {
    /// In the order in which they were entered.
    items: Vec<CoatView>,
    /// Always null: a job's rows come on one page.
    next: Option<String>,
}

/// The coats of a job, in the order in which they were entered.
#[utoipa::path(get, path = "/v1/jobs/{id}/coats", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "All of them.", body = CoatList)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    caller.query().finish()?;
    let items = caller.run(move |app, who| coats::list(app, who, job.id)).await?;
    ok(&CoatList { items, next: None })
}

/// Adds a coat to an open job.
#[utoipa::path(post, path = "/v1/jobs/{id}/coats", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = CoatInput,
    responses((status = 201, description = "The new coat.", body = CoatView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: CoatInput = body.read().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    match caller.run(move |app, who| coats::add(app, who, job.id, input, validate_only)).await? {
        Some(view) => created(&view, view.version, &format!("/v1/jobs/{}/coats/{}", job.id, view.id)),
        None => valid(),
    }
}

/// One coat of a job.
#[utoipa::path(get, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    responses((status = 200, description = "The coat.", body = CoatView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, CoatId) = (job(&caller, &path).await?, path.get("row")?);
    let view = caller.run(move |app, who| coats::find(app, who, job.id, row)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a coat of an open job by a merge patch.
#[utoipa::path(patch, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    request_body = CoatInput, responses((status = 200, description = "The coat as it is now.", body = CoatView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let (job, row): (_, CoatId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| coats::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    let patch: Value = body.json().await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| coats::change(app, who, job.id, row, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Removes a coat of an open job.
#[utoipa::path(delete, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, CoatId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| coats::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| coats::remove(app, who, job.id, row, current.version)).await?;
    nothing()
}
