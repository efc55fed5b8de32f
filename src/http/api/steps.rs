//! Steps of a job.

use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::core::ids::StepId;
use crate::core::steps::{MixedStep, Step};
use crate::http::answer::Answer;
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The steps of a job, newest first.
///
/// What was done before, between and after the coats.
#[utoipa::path(get, path = "/v1/jobs/{id}/steps", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of steps.", body = Page<Entered<MixedStep>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<MixedStep>(caller, path).await
}

/// Adds a step to an open job.
///
/// Only the kind and the surfaces are needed; without `panels` it was done to all panels of the job. A step that
/// the terms or a data sheet ask for before a coat is looked for among these.
#[utoipa::path(post, path = "/v1/jobs/{id}/steps", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = Step,
    responses((status = 201, description = "The new step.", body = Entered<MixedStep>),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    parts::add::<MixedStep>(caller, path, body).await
}

/// One step of a job.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    responses((status = 200, description = "The step.", body = Entered<MixedStep>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<MixedStep>(caller, path).await
}

/// Changes a step of an open job by a merge patch.
///
/// Once the job is signed off its steps no longer change; what was forgotten is an addendum.
#[utoipa::path(patch, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    request_body = Step, responses((status = 200, description = "The step as it is now.", body = Entered<MixedStep>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<MixedStep>(caller, path, body).await
}

/// Removes a step of an open job.
///
/// For one that was entered by mistake, while the job is open.
#[utoipa::path(delete, path = "/v1/jobs/{id}/steps/{row}", tag = "jobs", params(("id" = String, Path), ("row" = StepId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    parts::remove::<MixedStep>(caller, path).await
}
