//! Marks that a vehicle came with.

use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::core::ids::MarkId;
use crate::core::marks::Mark;
use crate::http::answer::Answer;
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The marks that the vehicle of a job came with, newest first.
///
/// What was there before anybody worked on it, panel by panel.
#[utoipa::path(get, path = "/v1/jobs/{id}/marks", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of marks.", body = Page<Entered<Mark>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<Mark>(caller, path).await
}

/// Adds a mark to an open job.
///
/// A panel and a kind are enough. What is seen at check-in, and shown to the owner, is not argued about at handover.
#[utoipa::path(post, path = "/v1/jobs/{id}/marks", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = Mark,
    responses((status = 201, description = "The new mark.", body = Entered<Mark>),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    parts::add::<Mark>(caller, path, body).await
}

/// One mark of a job.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/marks/{row}", tag = "jobs", params(("id" = String, Path), ("row" = MarkId, Path)),
    responses((status = 200, description = "The mark.", body = Entered<Mark>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<Mark>(caller, path).await
}

/// Changes a mark of an open job by a merge patch.
///
/// Once the job is signed off its marks no longer change; what was overlooked is an addendum.
#[utoipa::path(patch, path = "/v1/jobs/{id}/marks/{row}", tag = "jobs", params(("id" = String, Path), ("row" = MarkId, Path)),
    request_body = Mark, responses((status = 200, description = "The mark as it is now.", body = Entered<Mark>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<Mark>(caller, path, body).await
}

/// Removes a mark of an open job.
///
/// For one that was entered by mistake, while the job is open.
#[utoipa::path(delete, path = "/v1/jobs/{id}/marks/{row}", tag = "jobs", params(("id" = String, Path), ("row" = MarkId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    parts::remove::<Mark>(caller, path).await
}
