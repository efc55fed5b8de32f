//! Warranties, and what is granted on them.

use serde::Serialize;
use utoipa::ToSchema;

use crate::app::dues;
use crate::app::events::EnteredEvent;
use crate::app::jobs::Because;
use crate::app::page::Page;
use crate::app::warranties::{self, ExtensionInput, WaiverInput, WarrantyView};
use crate::core::assess::{DueAnswer, ExplainedAssessment};
use crate::core::calendar::instant;
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{VehicleId, WarrantyId};
use crate::http::answer::{Answer, made, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

/// The dues of one warranty.
#[derive(Serialize, ToSchema)]
pub struct DueList {
    /// Rule by rule in the order of the terms, then by number.
    items: Vec<DueAnswer>,
    /// Always null: they come on one page.
    next: Option<String>,
}

/// The warranty that the path names; 404 before anything else is looked at.
pub(super) async fn named(caller: &Caller, path: &Path) -> Result<WarrantyId, Problem> {
    let name: String = path.get("id")?;
    Ok(caller.run(move |app, who| warranties::find(app, who, &name)).await?.id)
}

/// The shop's warranties, newest first.
///
/// Filter by `vehicle_id` for those of one vehicle; void ones are listed, too.
#[utoipa::path(get, path = "/v1/warranties", tag = "warranties",
    params(("vehicle_id" = Option<VehicleId>, Query),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of warranties.", body = Page<WarrantyView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let vehicle: Option<VehicleId> = query.parsed("vehicle_id", "an id of a vehicle");
    let wanted = query.page(&vehicle)?;
    ok(&caller.run(move |app, who| warranties::list(app, who, vehicle, &wanted)).await?)
}

/// One warranty, by id or number.
///
/// What was promised: the edition of the terms, surfaces, panels, first and last day, as at handover. How things
/// stand is `/assessment`.
#[utoipa::path(get, path = "/v1/warranties/{id}", tag = "warranties", params(("id" = String, Path)),
    responses((status = 200, description = "The warranty.", body = WarrantyView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let name: String = path.get("id")?;
    let view = caller.run(move |app, who| warranties::find(app, who, &name)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// The verdict on a warranty as of a day, by what was known at an instant.
///
/// `as_of` is today unless given. With `known_at` only what had been entered by that instant counts: what was known
/// when, in a dispute. The reasons name the clause of the terms and the event that decided.
#[utoipa::path(get, path = "/v1/warranties/{id}/assessment", tag = "warranties",
    params(("id" = String, Path), ("as_of" = Option<NaiveDate>, Query, description = "Today unless given."),
           ("known_at" = Option<String>, Query, format = DateTime, description = "All that is known unless given.")),
    responses((status = 200, description = "The verdict, explained.", body = ExplainedAssessment)))]
pub async fn assessment(caller: Caller, path: Path) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    let mut query = caller.query();
    let (as_of, known_at) = (query.day("as_of"), query.text("known_at"));
    query.finish()?;
    let known_at = known_at
        .map(|text| instant(&text))
        .transpose()
        .map_err(|fault| Rule::Malformed(vec![Fault::new("known_at", fault.code, fault.detail)]))?;
    ok(&caller.run(move |app, who| warranties::assessment(app, who, &id, as_of, known_at)).await?)
}

/// The dues of a warranty, as of today.
///
/// Rule by rule: each due with its window, and what met it, waived it or let it pass.
#[utoipa::path(get, path = "/v1/warranties/{id}/dues", tag = "warranties", params(("id" = String, Path)),
    responses((status = 200, description = "Its dues.", body = DueList)))]
pub async fn dues(caller: Caller, path: Path) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    caller.query().finish()?;
    let items = caller.run(move |app, who| dues::of_warranty(app, who, &id)).await?;
    ok(&DueList { items, next: None })
}

/// Waives a due.
///
/// The due counts as settled, even where it was missed before, and takes no service any more. Answered is the verdict
/// after it.
#[utoipa::path(post, path = "/v1/warranties/{id}/waivers", tag = "warranties", params(("id" = String, Path)), request_body = WaiverInput,
    responses((status = 201, description = "The verdicts after it.", body = EnteredEvent)))]
pub async fn waive(caller: Caller, path: Path, body: Body) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    let input: WaiverInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| warranties::waive(app, who, &id, input), made).await
}

/// Extends a due.
///
/// The window of one due closes on another day, because the shop was full, for example. Answered is the verdict
/// after it.
#[utoipa::path(post, path = "/v1/warranties/{id}/extensions", tag = "warranties", params(("id" = String, Path)), request_body = ExtensionInput,
    responses((status = 201, description = "The verdicts after it.", body = EnteredEvent)))]
pub async fn extend(caller: Caller, path: Path, body: Body) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    let input: ExtensionInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| warranties::extend(app, who, &id, input), made).await
}

/// Voids a warranty that was issued in error.
///
/// No cover, no dues, no mail; it stays on record with the reason. For a promise that has simply ended nothing
/// needs to be done.
#[utoipa::path(post, path = "/v1/warranties/{id}/void", tag = "warranties", params(("id" = String, Path)), request_body = Because,
    responses((status = 200, description = "The void warranty.", body = WarrantyView)))]
pub async fn void(caller: Caller, path: Path, body: Body) -> Answer {
    let id = named(&caller, &path).await?.to_string();
    let because: Because = body.read().await?;
    caller.query().finish()?;
    caller
        .once(move |app, who| warranties::void(app, who, &id, because), |view| versioned(view, view.version))
        .await
}
