//! Calendars, as files and as feeds.

use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse};

use crate::app::calendars::{self, CalendarLink};
use crate::http::answer::{Answer, made, nothing, tag_of};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;
use crate::http::service;

/// A calendar as it is answered.
pub fn file(ics: String) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/calendar; charset=utf-8")
        .insert_header((header::ETAG, tag_of(&ics)))
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .body(ics)
}

/// The dues of a warranty as a calendar file.
///
/// RFC 5545, a whole day for each due; what was done or waived is cancelled. In the shop's language.
#[utoipa::path(get, path = "/v1/warranties/{id}/calendar.ics", tag = "warranties", params(("id" = String, Path)),
    responses((status = 200, description = "The calendar.", content_type = "text/calendar; charset=utf-8", body = String)))]
pub async fn of_warranty(caller: Caller, path: Path) -> Result<HttpResponse, Problem> {
    let name: String = path.get("id")?;
    let ics = caller.run(move |app, who| calendars::of_warranty(app, who, &name)).await?;
    caller.query().finish()?;
    Ok(file(ics))
}

/// What is booked at the shop, as a calendar file.
///
/// RFC 5545, from a month ago on; what was cancelled is cancelled in it.
#[utoipa::path(get, path = "/v1/appointments/calendar.ics", tag = "appointments",
    responses((status = 200, description = "The calendar.", content_type = "text/calendar; charset=utf-8", body = String)))]
pub async fn of_shop(caller: Caller) -> Result<HttpResponse, Problem> {
    caller.query().finish()?;
    Ok(file(caller.run(calendars::of_shop).await?))
}

/// Makes the address at which the shop's calendar can be subscribed to.
///
/// Calendar programs cannot sign in: whoever has the address reads what is booked. A new one ends the one before. It is
/// told once; what is kept of it is its digest (and, where an `Idempotency-Key` came with it, this answer for as long as that is
/// remembered).
#[utoipa::path(post, path = "/v1/appointments/calendar-link", tag = "appointments",
    responses((status = 201, description = "The address.", body = CalendarLink)))]
pub async fn link(caller: Caller, body: Body) -> Answer {
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(calendars::make_link, made).await
}

/// Ends the address at which the shop's calendar can be subscribed to.
///
/// Whoever has it reads nothing from then on. Where there is none, nothing changes.
#[utoipa::path(post, path = "/v1/appointments/calendar-link/revoke", tag = "appointments",
    responses((status = 204, description = "It is ended.")))]
pub async fn unlink(caller: Caller, body: Body) -> Answer {
    body.nothing().await?;
    caller.query().finish()?;
    caller.once(calendars::end_link, |()| nothing()).await
}

/// The calendar of an owner's vehicles, for whoever holds the link to their page.
pub async fn of_owner(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let ics = service(&request)?.run(move |app| calendars::of_owner(app, &token)).await?;
    Ok(file(ics))
}

/// The shop's calendar, for whoever has its address.
pub async fn feed(request: HttpRequest, path: Path) -> Result<HttpResponse, Problem> {
    let token: String = path.get("token")?;
    let ics = service(&request)?.run(move |app| calendars::feed(app, &token)).await?;
    Ok(file(ics))
}
