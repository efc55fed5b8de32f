//! Steps of a job.

use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

use super::jobs::job;
use crate::app::steps::{self, StepInput, StepView};
use crate::core::ids::StepId;
use crate::http::answer::{Answer, created, nothing, ok, valid, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// All of a job's steps.
#[derive(Serialize, ToSchema)]
pub struct StepList {
    /// In the order in which they were entered.
    items: Vec<StepView>,
    /// Always null: a job's rows come on one page.
    next: Option<String>,
}

/// The steps of a job, in the order in which they were entered.
#[utoipa::path(get, path = "/v1/jobs/{id}/steps", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "All of them.", body = StepList)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    caller.query().finish()?;
    let items = caller.run(move |app, who| steps::list(app, who, job.id)).await?;
    ok(&StepList { items, next: None })
}

/// Adds a step to an open job.
#[utoipa::path(post, path = "/v1/jobs/{id}/steps", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = StepInput,
    responses((status = 201, description = "The new step.", body = StepView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: StepInput = body.read().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    match caller.run(move |app, who| steps::add(app, who, job.id, input, validate_only)).await? {
        Some(view) => created(&view, view.version, &format!("/v1/jobs/{}/steps/{}", job.id, view.id)),
        None => valid(),
    }
}

/// One step of a job.
#[utoipa::path(get, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    responses((status = 200, description = "The step.", body = StepView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, StepId) = (job(&caller, &path).await?, path.get("row")?);
    let view = caller.run(move |app, who| steps::find(app, who, job.id, row)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a step of an open job by a merge patch.
#[utoipa::path(patch, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    request_body = StepInput, responses((status = 200, description = "The step as it is now.", body = StepView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let (job, row): (_, StepId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| steps::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    let patch: Value = body.json().await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| steps::change(app, who, job.id, row, current.version, &patch)).await?;
    versioned(&view, view.version)
}

/// Removes a step of an open job.
#[utoipa::path(delete, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let (job, row): (_, StepId) = (job(&caller, &path).await?, path.get("row")?);
    let current = caller.run(move |app, who| steps::find(app, who, job.id, row)).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| steps::remove(app, who, job.id, row, current.version)).await?;
    nothing()
}
