//! Paint readings of a job.

use super::jobs::job;
use crate::app::page::Page;
use crate::app::paint_readings::{self, PaintView};
use crate::app::parts::Entered;
use crate::core::ids::PaintReadingId;
use crate::core::paint_readings::PaintReading;
use crate::http::answer::{Answer, ok};
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// What the paint readings of a job say, panel by panel.
///
/// Mean, spread and outliers before and after polishing (outliers are shown, and count all the same), what polishing took
/// off with its 95 % interval, what was taken off in all jobs so far, and what draws attention by the shop's limits. The
/// median over the panels is what a refinished one stands out against. Worked out anew at each call.
#[utoipa::path(get, path = "/v1/jobs/{id}/paint", tag = "jobs", params(("id" = String, Path)),
    responses((status = 200, description = "Panel by panel.", body = PaintView)))]
pub async fn of(caller: Caller, path: Path) -> Answer {
    let job = job(&caller, &path).await?;
    caller.query().finish()?;
    ok(&caller.run(move |app, who| paint_readings::of(app, who, &job.id.to_string())).await?)
}

/// The paint readings of a job, newest first.
///
/// As they were entered; what they say together is another call.
#[utoipa::path(get, path = "/v1/jobs/{id}/paint-readings", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of paint readings.", body = Page<Entered<PaintReading>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<PaintReading>(caller, path).await
}

/// Adds what was read on a panel of an open job.
///
/// All spots of a panel in one call, or one by one. A spot that has a name is compared with the spot of that name after
/// polishing. A panel of plastic is entered without spots: it cannot be read.
#[utoipa::path(post, path = "/v1/jobs/{id}/paint-readings", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query)), request_body = PaintReading,
    responses((status = 201, description = "The new readings.", body = Entered<PaintReading>),
              (status = 200, description = "With `validate_only`: they would be taken.", body = Object)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    parts::add::<PaintReading>(caller, path, body).await
}

/// One entry of paint readings.
///
/// Its `ETag` is what a change of it asks for.
#[utoipa::path(get, path = "/v1/jobs/{id}/paint-readings/{row}", tag = "jobs",
    params(("id" = String, Path), ("row" = PaintReadingId, Path)),
    responses((status = 200, description = "The readings.", body = Entered<PaintReading>)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    parts::find::<PaintReading>(caller, path).await
}

/// Changes paint readings of an open job by a merge patch.
///
/// `spots` are replaced as a whole. Once the job is signed off its readings no longer change.
#[utoipa::path(patch, path = "/v1/jobs/{id}/paint-readings/{row}", tag = "jobs",
    params(("id" = String, Path), ("row" = PaintReadingId, Path)), request_body = PaintReading,
    responses((status = 200, description = "The readings as they are now.", body = Entered<PaintReading>)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    parts::change::<PaintReading>(caller, path, body).await
}

/// Removes paint readings of an open job.
///
/// For what was entered by mistake; an outlier stays, it is shown as one.
#[utoipa::path(delete, path = "/v1/jobs/{id}/paint-readings/{row}", tag = "jobs",
    params(("id" = String, Path), ("row" = PaintReadingId, Path)), responses((status = 204, description = "Removed.")))]
pub async fn remove(caller: Caller, path: Path) -> Answer {
    parts::remove::<PaintReading>(caller, path).await
}
