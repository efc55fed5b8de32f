//! Climate of a job.

use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

use super::jobs::job;
use crate::app::climate::{self, ClimateInput, ClimateView};
use crate::core::ids::ClimateId;
use crate::http::answer::{Answer, created, nothing, ok, valid, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// All of a job's climate.
#[derive(Serialize, ToSchema)]
pub struct ClimateList {
    /// In the order in which they were entered.
    items: Vec<ClimateView>,
    /// Always null: a job's rows come on one page.
    next: Option<String>,
}

/// The climate of a job, in the order in which they were entered.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "All of them.", body = ClimateList)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    caller.query().finish()?;
    let items = caller.run(move |app, who| climate::list(app, who, job.id)).await?;
    ok(&ClimateList { items, next: None })
}

/// Adds a reading to an open job.
#[utoipa::path(post, path = "/v1/jobs/{id}/climate", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = ClimateInput,
    responses((status = 201, description = "The new reading.", body = ClimateView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: ClimateInput = body.read().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    match caller.run(move |app, who| climate::add(app, who, job.id, input, validate_only)).await? {
        Some(view) => created(&view, view.version, &format!("/v1/jobs/{}/climate/{}", job.id, view.id)),
        None => valid(),
    }
}

/// One reading of a job.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    responses((status = 200, description = "The reading.", body = ClimateView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, ClimateId) = (job(&caller, &path).await?, path.get("row")?);
    let view = caller.run(move |app, who| climate::find(app, who, job.id, row)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a reading of an open job by a merge patch.
#[utoipa::path(patch, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    request_body = ClimateInput, responses((status = 200, description = "The reading as it is now.", body = ClimateView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let (job, row): (_, ClimateId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| climate::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    let patch: Value = body.json().await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| climate::change(app, who, job.id, row, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Removes a reading of an open job.
#[utoipa::path(delete, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, ClimateId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| climate::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| climate::remove(app, who, job.id, row, current.version)).await?;
    nothing()
}
