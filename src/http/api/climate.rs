//! Climate readings of a job.

use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::core::climate::ClimateReading;
use crate::core::ids::ClimateId;
use crate::http::answer::Answer;
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The climate readings of a job, newest first.
///
/// What air and surface were like, as read in the bay.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of climate readings.", body = Page<Entered<ClimateReading>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<ClimateReading>(caller, path).await
}

/// Adds a climate reading to an open job.
///
/// The surface's temperature is worth its reading: the dew point is held against it. A time that is still to come
/// is refused.
#[utoipa::path(post, path = "/v1/jobs/{id}/climate", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = ClimateReading,
    responses((status = 201, description = "The new climate reading.", body = Entered<ClimateReading>),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    parts::add::<ClimateReading>(caller, path, body).await
}

/// One climate reading of a job.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    responses((status = 200, description = "The climate reading.", body = Entered<ClimateReading>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<ClimateReading>(caller, path).await
}

/// Changes a climate reading of an open job by a merge patch.
///
/// Once the job is signed off its readings no longer change; what was forgotten is an addendum.
#[utoipa::path(patch, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    request_body = ClimateReading, responses((status = 200, description = "The climate reading as it is now.", body = Entered<ClimateReading>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<ClimateReading>(caller, path, body).await
}

/// Removes a climate reading of an open job.
///
/// For one that was entered by mistake; nothing remains of it, as the job is not signed off yet.
#[utoipa::path(delete, path = "/v1/jobs/{id}/climate/{row}", tag = "jobs", params(("id" = String, Path), ("row" = ClimateId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    parts::remove::<ClimateReading>(caller, path).await
}
