//! Documents on paper.

use actix_web::HttpRequest;

use super::{events, jobs, warranties};
use crate::app::documents::{self, Asked};
use crate::core::words::PaperSize;
use crate::http::answer::Pdf;
use crate::http::auth::{Caller, Path};
use crate::http::error::Problem;
use crate::http::query::Query;
use crate::http::service;
use crate::language::Language;

/// What a language can be.
const LANGUAGES: &str = "en, de, es, fr or pt";

/// How the document is asked for.
fn asked(mut query: Query) -> Result<Asked, Problem> {
    let language = query.parsed("language", LANGUAGES);
    let paper = query.parsed("paper", "a4 or letter");
    query.finish()?;
    Ok(Asked { language, paper })
}

/// The certificate of a warranty, on paper.
///
/// PDF/A-2a and PDF/UA-1: what was promised, panel by panel, until which day and distance; what is left out; what the
/// terms ask for and what a miss costs; claims, rights, and the proof. The same for as long as the warranty stands: the
/// code on it leads to how cover stands today. That of a void or replaced warranty says so.
#[utoipa::path(get, path = "/v1/warranties/{id}/certificate.pdf", tag = "warranties",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn certificate(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let id = warranties::named(&caller, &path).await?.to_string();
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::certificate_of(app, who, &id, asked)).await.map(Pdf)
}

/// The care of a fresh coating, on a page for the owner.
///
/// Until when each panel is kept dry, from when on it may be washed, and what must not be done until then; estimates,
/// from the clocks of the job, the plan, and the weather that was last read outside, as the vehicle leaves now, or left
/// when it was handed over. PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/jobs/{id}/winter-card.pdf", tag = "jobs",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn winter_card(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let job = jobs::job(&caller, &path).await?.id.to_string();
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::winter_card_of(app, who, &job, asked)).await.map(Pdf)
}

/// The sheet of a job.
///
/// For the bay and for the file: cautions first (those of its products' data sheets, too), then what was found,
/// prepared, measured and laid, the checks, and the sign-off with its record. PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/jobs/{id}/sheet.pdf", tag = "jobs",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn job_sheet(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let job = jobs::job(&caller, &path).await?.id.to_string();
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::job_sheet_of(app, who, &job, asked)).await.map(Pdf)
}

/// The history of a warranty.
///
/// How its cover stands today, what fell due, the job with coats, batches and climate, and every visit and event since
/// it began, with findings and figures. PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/warranties/{id}/history.pdf", tag = "warranties",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn warranty_history(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let id = warranties::named(&caller, &path).await?.to_string();
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::warranty_history_of(app, who, &id, asked)).await.map(Pdf)
}

/// The history of a vehicle.
///
/// All its warranties as they stand today, every job with coats, batches and climate, every visit and event with findings
/// and figures; what was entered by mistake is left out. PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/vehicles/{id}/history.pdf", tag = "vehicles",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn vehicle_history(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let id = events::vehicle(&caller, &path).await?;
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::vehicle_history_of(app, who, id, asked)).await.map(Pdf)
}

/// The dispute file of a vehicle.
///
/// Everything in one document: owners, warranties with the reasons of their verdicts, jobs whole with what was signed and
/// what was added afterwards, what happened, when and by whom it was entered and what was taken back, photos by their
/// digests, appointments, what owners reported and answered, the mails to them by Message-ID and digest, and every record
/// about it with its place and digest. It names people: it is for the shop, where a history is for whoever buys the
/// vehicle. No links of owners stand in it. PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/vehicles/{id}/dispute-file.pdf", tag = "vehicles",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's."),
           ("paper" = Option<PaperSize>, Query, description = "The shop's unless given.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn dispute_file(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let id = events::vehicle(&caller, &path).await?;
    let asked = asked(caller.query())?;
    caller.run(move |app, who| documents::dispute_file_of(app, who, id, asked)).await.map(Pdf)
}

/// The label in the door frame of a vehicle.
///
/// A label of 70 by 37 mm with the QR code of its door link (`/v1/vehicles/{id}/door-link`): whoever stands at the vehicle
/// sees what is on which panel and what is safe for it. Printed again it has the same code until a new one is made.
/// PDF/A-2a and PDF/UA-1.
#[utoipa::path(get, path = "/v1/vehicles/{id}/door-label.pdf", tag = "vehicles",
    params(("id" = String, Path),
           ("language" = Option<Language>, Query, description = "The owner's unless given, else the shop's.")),
    responses((status = 200, description = "The document.", content_type = "application/pdf", body = Vec<u8>)))]
pub async fn door_label(caller: Caller, path: Path) -> Result<Pdf, Problem> {
    let id = events::vehicle(&caller, &path).await?;
    let mut query = caller.query();
    let asked = Asked { language: query.parsed("language", LANGUAGES), paper: None };
    query.finish()?;
    caller.run(move |app, who| documents::door_label_of(app, who, id, asked)).await.map(Pdf)
}

/// The history of a vehicle, for whoever holds the link to its owner's page.
pub async fn owners_history(request: HttpRequest, path: Path) -> Result<Pdf, Problem> {
    let (token, vehicle): (String, _) = (path.get("token")?, path.get("vehicle")?);
    let asked = asked(Query::of(&request))?;
    service(&request)?.run(move |app| documents::owners_history(app, &token, vehicle, asked)).await.map(Pdf)
}

/// The certificate of a warranty, for whoever holds the link to its owner's page.
pub async fn owners_certificate(request: HttpRequest, path: Path) -> Result<Pdf, Problem> {
    let (token, name): (String, String) = (path.get("token")?, path.get("warranty")?);
    let asked = asked(Query::of(&request))?;
    service(&request)?.run(move |app| documents::owners_certificate(app, &token, &name, asked)).await.map(Pdf)
}
