//! Photos of a job.

use super::jobs::job;
use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::app::photos::{self, Sort};
use crate::core::ids::PhotoId;
use crate::core::photos::{Photo, PhotoInput};
use crate::http::answer::{Answer, created, nothing};
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::pictures::{self, FileReply};

/// The photos of a job, newest first.
///
/// What is said of each, and its digest; the pictures themselves are `/file` and `/thumbnail` below it.
#[utoipa::path(get, path = "/v1/jobs/{id}/photos", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of photos.", body = Page<Entered<Photo>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<Photo>(caller, path).await
}

/// Adds a photo to a job.
///
/// The body is the picture itself, JPEG or PNG, of at most 15 MiB and 50 million pixels. Place, camera and whatever else
/// it tells besides its pixels and how it is to be turned are removed before it is kept. After the sign-off it is an
/// addendum, `entered_afterwards`.
#[utoipa::path(post, path = "/v1/jobs/{id}/photos", tag = "jobs",
    params(("id" = String, Path),
           ("panel" = Option<crate::core::words::Panel>, Query, description = "Which panel it shows."),
           ("taken_at" = Option<crate::core::calendar::Moment>, Query, description = "When it was taken."),
           ("note" = Option<String>, Query, description = "What else there is to say.", min_length = 1, max_length = 500),
           ("validate_only" = Option<bool>, Query)),
    request_body(content = Vec<u8>, content_type = "image/jpeg"),
    responses((status = 201, description = "The new photo.", body = Entered<Photo>),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let received = pictures::receive(&caller, body).await?;
    let (said, validate_only) = said(&caller)?;
    let read = received.read(&caller).await?;
    caller
        .once_or_try(
            move |app, who| photos::add(app, who, job.id, said, read.picture, validate_only),
            move |view| created(view, view.version, &format!("/v1/jobs/{}/photos/{}", job.id, view.id)),
        )
        .await
}

/// What a query says of the photo that comes with it, and whether it is only to be tried.
pub(super) fn said(caller: &Caller) -> Result<(PhotoInput, bool), Problem> {
    let mut query = caller.query();
    let said = PhotoInput {
        panel: query.parsed("panel", "a panel such as bonnet"),
        taken_at: query.parsed("taken_at", "an instant such as 2026-03-10T08:00:00Z"),
        note: query.text("note"),
    };
    let validate_only = query.flag("validate_only");
    query.finish()?;
    Ok((said, validate_only))
}

/// What is said of one photo of a job.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/photos/{row}", tag = "jobs", params(("id" = String, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The photo.", body = Entered<Photo>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<Photo>(caller, path).await
}

/// Changes what is said of a photo of an open job by a merge patch.
///
/// The picture stays; another picture is another photo.
#[utoipa::path(patch, path = "/v1/jobs/{id}/photos/{row}", tag = "jobs", params(("id" = String, Path), ("row" = PhotoId, Path)),
    request_body = PhotoInput, responses((status = 200, description = "The photo as it is now.", body = Entered<Photo>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<Photo>(caller, path, body).await
}

/// Removes a photo of an open job that no mark shows.
///
/// For one that was entered by mistake; a mark that shows it is changed or removed first.
#[utoipa::path(delete, path = "/v1/jobs/{id}/photos/{row}", tag = "jobs", params(("id" = String, Path), ("row" = PhotoId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let (job, current) = parts::named::<Photo>(&caller, &path).await?;
    caller.if_match(current.version)?;
    caller.query().finish()?;
    caller.run(move |app, who| photos::remove(app, who, job, current.id, current.version)).await?;
    nothing()
}

async fn answered(caller: Caller, path: Path, sort: Sort) -> Result<FileReply, Problem> {
    let (job, id) = (job(&caller, &path).await?.id, path.get("row")?);
    let (photo, file, bytes) = caller.run(move |app, who| photos::open(app, who, job, id, sort)).await?;
    caller.query().finish()?;
    Ok(FileReply::of(photo.digest, photo.media_type, sort, file, bytes))
}

/// The picture of a photo, as it is kept.
///
/// Its `ETag` is its digest; it never changes.
#[utoipa::path(get, path = "/v1/jobs/{id}/photos/{row}/file", tag = "jobs", params(("id" = String, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn file(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    answered(caller, path, Sort::Whole).await
}

/// A small upright picture of a photo.
///
/// A JPEG whose longer side has at most 480 pixels, whatever the photo is.
#[utoipa::path(get, path = "/v1/jobs/{id}/photos/{row}/thumbnail", tag = "jobs", params(("id" = String, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The thumbnail.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn thumbnail(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    answered(caller, path, Sort::Thumbnail).await
}
