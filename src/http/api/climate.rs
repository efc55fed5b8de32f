//! Climate readings of a job.

use actix_web::web;

use super::jobs::job;
use crate::app::climate::{self, ClimateAdded, ClimatePreview, FileAsked};
use crate::app::page::Page;
use crate::app::parts::Entered;
use crate::core::climate::ClimateReading;
use crate::core::error::Error as Rule;
use crate::core::ids::ClimateId;
use crate::core::imports::DayOrder;
use crate::http::Service;
use crate::http::answer::{Answer, made, ok};
use crate::http::api::parts;
use crate::http::auth::{Caller, Path};
use crate::http::body::{Body, whole};

/// The climate readings of a job, newest first.
///
/// What air and surface were like, as read in the bay.
#[utoipa::path(get, path = "/v1/jobs/{id}/climate", tag = "jobs",
    params(("id" = String, Path), ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of climate readings.", body = Page<Entered<ClimateReading>>)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    parts::list::<ClimateReading>(caller, path).await
}

/// Adds a climate reading to an open job, or the file of a logger.
///
/// The surface's temperature is worth its reading: the dew point is held against it. A time that is still to come
/// is refused. A table as `text/csv` is taken whole or not at all: how it is written is found out (delimiter, decimal
/// comma, headers in English, German, Spanish, French or Portuguese, °F), and `validate_only` says what was made out. Each
/// fault is told with `line`, `column` and `value`. What is read at the place `outside` is the weather, not the climate at
/// the vehicle.
#[utoipa::path(post, path = "/v1/jobs/{id}/climate", tag = "jobs",
    params(("id" = String, Path), ("validate_only" = Option<bool>, Query),
           ("zone" = Option<String>, Query, description = "Of a file: the IANA zone of stamps that say none; the shop's unless given."),
           ("days" = Option<DayOrder>, Query, description = "Of a file: which way round days with slashes are, where the file does not decide it."),
           ("place" = Option<String>, Query, description = "Of a file: where it was read, of rows that do not say it.")),
    request_body(content((ClimateReading = "application/json"),
                         (String = "text/csv", example = "Zeit;Temperatur (°C);rel. Feuchte (%)\n09.03.2026 09:30;20,5;48\n"))),
    responses((status = 201, description = "The new climate reading, or what became of a file.", body = ClimateAdded),
              (status = 200, description = "With `validate_only`: it would be taken.", body = ClimatePreview)))]
pub async fn add(caller: Caller, path: Path, service: web::Data<Service>, body: Body) -> Answer {
    if !body.is_table() {
        return parts::add_unless::<ClimateReading>(caller, path, body, &["zone", "days", "place"]).await;
    }
    let job = job(&caller, &path).await?;
    let file = body.file().await?;
    let mut query = caller.query();
    let zone = query.text("zone");
    let mut asked = FileAsked {
        zone: None,
        days: query.parsed::<DayOrder>("days", &DayOrder::WORDS.join(" or ")),
        place: query.text("place"),
    };
    let validate_only = query.flag("validate_only");
    query.finish()?;
    let zone = zone.map(|name| crate::app::zone("zone", &name)).transpose();
    asked.zone = zone.map_err(|fault| Rule::rules(vec![fault]))?;
    // One file at a time is in memory.
    let _turn = service.file_turn().await?;
    if validate_only {
        let preview =
            caller.run(move |app, who| climate::preview(app, who, job.id, &whole(file)?, &asked)).await?;
        return ok(&preview);
    }
    caller.once(move |app, who| climate::take(app, who, job.id, &whole(file)?, &asked), made).await
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
