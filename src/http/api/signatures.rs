//! Signatures of the owner, and what there is to sign.

use super::jobs::job;
use crate::app::page::Page;
use crate::app::signatures::{self, SignatureView, ToSign};
use crate::core::ids::SignatureId;
use crate::core::signatures::{Occasion, SignatureInput};
use crate::http::answer::{Answer, created_fixed, fixed, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

async fn to_sign(caller: Caller, path: Path, of: Occasion) -> Answer {
    let name: String = path.get("id")?;
    let shown = caller.run(move |app, who| signatures::to_sign(app, who, &name, of)).await?;
    caller.query().finish()?;
    ok(&shown)
}

/// What there is to sign at check-in.
///
/// The vehicle, its odometer, finishes, old coatings, marks and photos as they are now. Show it, and send its digest with
/// the signature.
#[utoipa::path(get, path = "/v1/jobs/{id}/check-in", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The document and its digest.", body = ToSign)))]
pub async fn check_in(caller: Caller, path: Path) -> Answer {
    to_sign(caller, path, Occasion::CheckIn).await
}

/// What there is to sign at handover.
///
/// The job sheet as it was signed off, by its digest, and the warranty. Show it, and send its digest with the signature.
#[utoipa::path(get, path = "/v1/jobs/{id}/handover", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The document and its digest.", body = ToSign)))]
pub async fn handover(caller: Caller, path: Path) -> Answer {
    to_sign(caller, path, Occasion::Handover).await
}

/// The signatures of a job, newest first.
///
/// Each says what was signed, and whether that still stands as it was shown.
#[utoipa::path(get, path = "/v1/jobs/{id}/signatures", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of signatures.", body = Page<SignatureView>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    let wanted = caller.query().page(&job.id)?;
    ok(&caller.run(move |app, who| signatures::list(app, who, job.id, &wanted)).await?)
}

/// Keeps the owner's signature.
///
/// At check-in while the job is open, at handover after it. `digest` is that of the document which was shown: where
/// something has changed since, the signature is refused, and what is there now is to be shown. Its picture is made
/// here, of the strokes.
#[utoipa::path(post, path = "/v1/jobs/{id}/signatures", tag = "jobs", params(("id" = String, Path)), request_body = SignatureInput,
    responses((status = 201, description = "The signature.", body = SignatureView)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: SignatureInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| signatures::add(app, who, job.id, input),
            move |view| created_fixed(view, view, &format!("/v1/jobs/{}/signatures/{}", job.id, view.id)),
        )
        .await
}

/// One signature of a job, with what was signed.
///
/// It never changes; what was signed is kept with it, whatever became of the job.
#[utoipa::path(get, path = "/v1/jobs/{id}/signatures/{row}", tag = "jobs", params(("id" = String, Path), ("row" = SignatureId, Path)),
    responses((status = 200, description = "The signature.", body = SignatureView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let (job, id): (_, SignatureId) = (job(&caller, &path).await?, path.get("row")?);
    let view = caller.run(move |app, who| signatures::find(app, who, job.id, id)).await?;
    caller.query().finish()?;
    fixed(&view)
}
