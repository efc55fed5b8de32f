//! Addenda of a job.

use super::jobs::job;
use crate::app::addenda::{self, AddendumView};
use crate::app::page::Page;
use crate::core::addenda::Addendum;
use crate::http::answer::{Answer, made, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// What was entered after the sign-off, newest first.
///
/// Each says who entered it and when; the job sheet itself stays as it was signed.
#[utoipa::path(get, path = "/v1/jobs/{id}/addenda", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of addenda.", body = Page<AddendumView>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    let wanted = caller.query().page(&job.id)?;
    ok(&caller.run(move |app, who| addenda::list(app, who, job.id, &wanted)).await?)
}

/// Adds a note, a step or a climate reading to a job that has been signed off.
///
/// Exactly one of the three is given. The job sheet stays as it was signed; the addendum is a record of its own,
/// marked as entered afterwards, with who entered it and when. A step and a reading count for the checks from then on: a panel
/// wipe that was done and not noted no longer keeps the job from its warranty.
#[utoipa::path(post, path = "/v1/jobs/{id}/addenda", tag = "jobs", params(("id" = String, Path)), request_body = Addendum,
    responses((status = 201, description = "The addendum.", body = AddendumView)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let job = job(&caller, &path).await?;
    let input: Addendum = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| addenda::add(app, who, job.id, input), made).await
}
