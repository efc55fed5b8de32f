//! Pictures of jobs and warranties.

use super::{jobs, warranties};
use crate::app::drawings;
use crate::http::answer::Drawing;
use crate::http::auth::{Caller, Path};
use crate::http::error::Problem;

/// The climate over a job as a picture.
///
/// Temperatures of air, surface and dew point, humidity, and when each coat was laid, in the shop's local time; what was read
/// at the place `outside` is left out. An SVG with a title and a description in words, for a page or for print, in the shop's
/// language; in English where that is none of en, de, es, fr and pt.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate.svg", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/svg+xml", body = String)))]
pub async fn climate(caller: Caller, path: Path) -> Result<Drawing, Problem> {
    let job = jobs::job(&caller, &path).await?;
    caller.query().finish()?;
    caller.run(move |app, who| drawings::climate(app, who, &job.id.to_string())).await.map(Drawing)
}

/// The cure of a job over time as a picture.
///
/// For each coat the panel that cures last: equivalent hours as read and as expected (an estimate), the milestones of its data
/// sheet, and when it was or will be too cold to cure. An SVG in the shop's language, as that of the climate.
#[utoipa::path(get, path = "/v1/jobs/{id}/cure.svg", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/svg+xml", body = String)))]
pub async fn cure(caller: Caller, path: Path) -> Result<Drawing, Problem> {
    let job = jobs::job(&caller, &path).await?;
    caller.query().finish()?;
    caller.run(move |app, who| drawings::cure(app, who, &job.id.to_string())).await.map(Drawing)
}

/// The paint readings of a job as a picture of its vehicle.
///
/// The panels from above, unfolded, each with the mean of its latest readings; what draws attention is told beside. An SVG in
/// the shop's language, as that of the climate.
#[utoipa::path(get, path = "/v1/jobs/{id}/panels.svg", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "The picture.", content_type = "image/svg+xml", body = String)))]
pub async fn panels(caller: Caller, path: Path) -> Result<Drawing, Problem> {
    let job = jobs::job(&caller, &path).await?;
    caller.query().finish()?;
    caller.run(move |app, who| drawings::panels(app, who, &job.id.to_string())).await.map(Drawing)
}

/// The cover of a warranty over time as a picture.
///
/// Each surface with its times on hold, each rule with the windows of its dues and what became of them, as of today or of
/// `as_of`. An SVG in the shop's language, as that of the climate over a job.
#[utoipa::path(get, path = "/v1/warranties/{id}/cover.svg", tag = "warranties",
    params(("id" = String, Path), ("as_of" = Option<NaiveDate>, Query, description = "Today unless given.")),
    responses((status = 200, description = "The picture.", content_type = "image/svg+xml", body = String)))]
pub async fn cover(caller: Caller, path: Path) -> Result<Drawing, Problem> {
    let id = warranties::named(&caller, &path).await?.to_string();
    let mut query = caller.query();
    let as_of = query.day("as_of");
    query.finish()?;
    caller.run(move |app, who| drawings::cover(app, who, &id, as_of)).await.map(Drawing)
}
