//! What is entered late in place of something else.

use super::events::vehicle;
use crate::app::corrections::{self, CorrectReadingInput, CountersignInput, ToldInput};
use crate::app::events::{EnteredEvent, EventView, find};
use crate::app::visits::{self, EnteredVisit};
use crate::core::ids::{EventId, VehicleId, VisitId};
use crate::core::words::EventKind;
use crate::http::answer::{Answer, made, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

/// A manager stands for the services of a visit.
///
/// Although they were entered late, each is entered again in place of itself, countersigned, and counts from the day on
/// which it was done. Answered is what the visit does for each warranty now.
#[utoipa::path(post, path = "/v1/visits/{id}/countersign", tag = "visits", params(("id" = VisitId, Path)), request_body = CountersignInput,
    responses((status = 200, description = "The visit, and what it does for each warranty now.", body = EnteredVisit)))]
pub async fn countersign(caller: Caller, path: Path, body: Body) -> Answer {
    let id: VisitId = path.get("id")?;
    caller.run(move |app, who| visits::find(app, who, id)).await?;
    let input: CountersignInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| corrections::countersign(app, who, id, input), ok).await
}

/// The event that the path names, of the vehicle that it names and of this kind; else 404.
async fn event(caller: &Caller, path: &Path, kind: EventKind) -> Result<EventView, Problem> {
    let vehicle = vehicle(caller, path).await?;
    let id: EventId = path.get("event")?;
    caller.run(move |app, who| find(app, who, vehicle, id, kind)).await
}

/// The shop heard of a sale.
///
/// Later than it entered it, or on another day than it said. The sale is entered again, in place of itself; both entries
/// stay on record.
#[utoipa::path(post, path = "/v1/vehicles/{id}/transfers/{event}/told", tag = "vehicles",
    params(("id" = VehicleId, Path), ("event" = EventId, Path)), request_body = ToldInput,
    responses((status = 201, description = "The sale as it stands now, and the verdicts after it.", body = EnteredEvent)))]
pub async fn told(caller: Caller, path: Path, body: Body) -> Answer {
    let sale = event(&caller, &path, EventKind::Transfer).await?;
    let input: ToldInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| corrections::told(app, who, sale.vehicle, sale.id, input), made).await
}

/// A reading of the odometer was read or typed wrong.
///
/// It is entered again of the same day, in place of itself; both entries stay on record.
#[utoipa::path(post, path = "/v1/vehicles/{id}/readings/{event}/correct", tag = "vehicles",
    params(("id" = VehicleId, Path), ("event" = EventId, Path)), request_body = CorrectReadingInput,
    responses((status = 201, description = "The reading as it stands now, and the verdicts after it.", body = EnteredEvent)))]
pub async fn correct_reading(caller: Caller, path: Path, body: Body) -> Answer {
    let reading = event(&caller, &path, EventKind::Reading).await?;
    let input: CorrectReadingInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| corrections::correct_reading(app, who, reading.vehicle, reading.id, input),
            made,
        )
        .await
}
