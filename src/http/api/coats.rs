//! Coats of a job.

use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::core::coats::{Coat, LaidCoat};
use crate::core::ids::CoatId;
use crate::http::answer::Answer;
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The coats of a job, newest first.
///
/// Each names the edition of the data sheet that was current when it was entered.
#[utoipa::path(get, path = "/v1/jobs/{id}/coats", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of coats.", body = Page<Entered<LaidCoat>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<LaidCoat>(caller, path).await
}

/// Adds a coat to an open job.
///
/// An unknown product is refused; an unknown batch number is taken, as the tablet may be offline, and shows as a
/// check. Times that run backwards are taken and show as a check, a time that is still to come is refused.
/// `sections` say panel by panel when the product went on and was levelled.
#[utoipa::path(post, path = "/v1/jobs/{id}/coats", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = Coat,
    responses((status = 201, description = "The new coat.", body = Entered<LaidCoat>),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    parts::add::<LaidCoat>(caller, path, body).await
}

/// One coat of a job.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    responses((status = 200, description = "The coat.", body = Entered<LaidCoat>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<LaidCoat>(caller, path).await
}

/// Changes a coat of an open job by a merge patch.
///
/// A manager's pass of a finding holds for the coat as it was: changed, it has to be passed again.
#[utoipa::path(patch, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    request_body = Coat, responses((status = 200, description = "The coat as it is now.", body = Entered<LaidCoat>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<LaidCoat>(caller, path, body).await
}

/// Removes a coat of an open job.
///
/// For one that was entered by mistake, while the job is open.
#[utoipa::path(delete, path = "/v1/jobs/{id}/coats/{row}", tag = "jobs", params(("id" = String, Path), ("row" = CoatId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    parts::remove::<LaidCoat>(caller, path).await
}
