//! Photos of a visit.

use crate::app::page::Page;
use crate::app::photos::Sort;
use crate::app::visit_photos::{self, VisitPhotoView};
use crate::core::ids::{PhotoId, VisitId};
use crate::http::answer::{Answer, created, nothing, ok, versioned};
use crate::http::api::photos::said;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::pictures::{self, FileReply};

/// A photo of a visit stays as it was sent.
const VERSION: i64 = 1;

/// The photos of a visit, newest first.
///
/// What is said of each, and its digest; the pictures themselves are `/file` and `/thumbnail` below it.
#[utoipa::path(get, path = "/v1/visits/{id}/photos", tag = "visits", operation_id = "list_visit_photos",
    params(("id" = VisitId, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of photos.", body = Page<VisitPhotoView>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let visit: VisitId = path.get("id")?;
    let wanted = caller.query().page(&visit)?;
    ok(&caller.run(move |app, who| visit_photos::list(app, who, visit, &wanted)).await?)
}

/// Adds a photo to a visit.
///
/// Proof of a service that was done elsewhere, as the other shop's invoice, or what was found here. The body is the
/// picture itself, as for a photo of a job: JPEG or PNG of at most 15 MiB and 50 million pixels, from which place, camera
/// and whatever else it tells are removed before it is kept.
#[utoipa::path(post, path = "/v1/visits/{id}/photos", tag = "visits",
    params(("id" = VisitId, Path),
           ("panel" = Option<crate::core::words::Panel>, Query, description = "Which panel it shows."),
           ("taken_at" = Option<crate::core::calendar::Moment>, Query, description = "When it was taken."),
           ("note" = Option<String>, Query, description = "What else there is to say.", min_length = 1, max_length = 500),
           ("validate_only" = Option<bool>, Query)),
    request_body(content = Vec<u8>, content_type = "image/jpeg"),
    responses((status = 201, description = "The new photo.", body = VisitPhotoView),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let visit: VisitId = path.get("id")?;
    caller.run(move |app, who| crate::app::visits::find(app, who, visit)).await?;
    let received = pictures::receive(&caller, body).await?;
    let (said, validate_only) = said(&caller)?;
    let read = received.read(&caller).await?;
    caller
        .once_or_try(
            move |app, who| visit_photos::add(app, who, visit, said, read.picture, validate_only),
            move |view| created(view, VERSION, &format!("/v1/visits/{visit}/photos/{}", view.id)),
        )
        .await
}

/// The photo that the path names; 404 before anything else is looked at.
async fn named(caller: &Caller, path: &Path) -> Result<(VisitId, VisitPhotoView), Problem> {
    let (visit, id): (VisitId, PhotoId) = (path.get("id")?, path.get("row")?);
    Ok((visit, caller.run(move |app, who| visit_photos::find(app, who, visit, id)).await?))
}

/// What is said of one photo of a visit.
///
/// Its `ETag` is what removing it asks for.
#[utoipa::path(get, path = "/v1/visits/{id}/photos/{row}", tag = "visits", params(("id" = VisitId, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The photo.", body = VisitPhotoView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (_, view) = named(&caller, &path).await?;
    caller.query().finish()?;
    versioned(&view, VERSION)
}

/// Removes a photo of a visit.
///
/// For one that should not be there, as of the owner's papers. The picture goes; that it was there, and who removed it,
/// stays on record.
#[utoipa::path(delete, path = "/v1/visits/{id}/photos/{row}", tag = "visits", params(("id" = VisitId, Path), ("row" = PhotoId, Path)),
    responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    let (visit, current) = named(&caller, &path).await?;
    caller.if_match(VERSION)?;
    caller.query().finish()?;
    caller.run(move |app, who| visit_photos::remove(app, who, visit, current.id)).await?;
    nothing()
}

async fn answered(caller: Caller, path: Path, sort: Sort) -> Result<FileReply, Problem> {
    let (visit, id): (VisitId, PhotoId) = (path.get("id")?, path.get("row")?);
    let (photo, file, bytes) =
        caller.run(move |app, who| visit_photos::open(app, who, visit, id, sort)).await?;
    caller.query().finish()?;
    Ok(FileReply::of(photo.digest, photo.media_type, sort, file, bytes))
}

/// The picture of a photo of a visit, as it is kept.
///
/// Its `ETag` is its digest; it never changes.
#[utoipa::path(get, path = "/v1/visits/{id}/photos/{row}/file", tag = "visits", params(("id" = VisitId, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn file(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    answered(caller, path, Sort::Whole).await
}

/// A small upright picture of a photo of a visit.
///
/// A JPEG whose longer side has at most 480 pixels, whatever the photo is.
#[utoipa::path(get, path = "/v1/visits/{id}/photos/{row}/thumbnail", tag = "visits", params(("id" = VisitId, Path), ("row" = PhotoId, Path)),
    responses((status = 200, description = "The thumbnail.", content_type = "image/jpeg", body = Vec<u8>)))]
pub async fn thumbnail(caller: Caller, path: Path) -> Result<FileReply, Problem> {
    answered(caller, path, Sort::Thumbnail).await
}
