//! What happens to a vehicle besides visits.

use crate::app::events::{self, EnteredEvent, EventInput, EventList, ReadingInput, TransferInput};
use crate::app::vehicles;
use crate::core::ids::VehicleId;
use crate::core::words::EventKind;
use crate::http::answer::{Answer, made, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;
use crate::http::error::Problem;

/// The vehicle that the path names; 404 before anything else is looked at.
pub(super) async fn vehicle(caller: &Caller, path: &Path) -> Result<VehicleId, Problem> {
    let id: VehicleId = path.get("id")?;
    Ok(caller.run(move |app, who| vehicles::find(app, who, id)).await?.id)
}

async fn list_of(caller: Caller, path: Path, kinds: &'static [EventKind]) -> Answer {
    let id = vehicle(&caller, &path).await?;
    caller.query().finish()?;
    ok(&caller.run(move |app, who| events::list(app, who, id, kinds)).await?)
}

/// Everything that was entered about a vehicle.
///
/// Jobs, visits, readings, events and sales, in the order in which they were entered, retracted ones marked.
#[utoipa::path(get, path = "/v1/vehicles/{id}/history", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "In the order of entry.", body = EventList)))]
pub async fn history(caller: Caller, path: Path) -> Answer {
    list_of(caller, path, &[]).await
}

/// Repairs, recoats, breaches, the end, and corrections.
///
/// In the order in which they were entered. What was retracted stays, and says so.
#[utoipa::path(get, path = "/v1/vehicles/{id}/events", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "In the order of entry.", body = EventList)))]
pub async fn list(caller: Caller, path: Path) -> Answer {
    use EventKind as K;
    list_of(caller, path, &[K::Repair, K::Recoat, K::Breach, K::Close, K::Retract]).await
}

/// Enters what happened to a vehicle.
///
/// `repair` takes a panel out of cover and `recoat` brings it back; `breach` is something that the terms list as
/// affecting cover; `close` ends everything; `retract` takes back an event of the own shop that was a slip.
/// Everybody may enter the first three, the desk and managers all. Answered is the verdict of each warranty of the
/// vehicle after it.
#[utoipa::path(post, path = "/v1/vehicles/{id}/events", tag = "vehicles", params(("id" = VehicleId, Path)), request_body = EventInput,
    responses((status = 201, description = "The verdicts after it.", body = EnteredEvent)))]
pub async fn add(caller: Caller, path: Path, body: Body) -> Answer {
    let id = vehicle(&caller, &path).await?;
    let input = EventInput::read(body.json().await?).map_err(|fault| Problem::malformed(&[fault]))?;
    caller.query().finish()?;
    caller.once(move |app, who| events::add(app, who, id, input), made).await
}

/// The readings of a vehicle's odometer that were entered by themselves.
///
/// Those of jobs and visits stand with their jobs and visits, and all of them in the history.
#[utoipa::path(get, path = "/v1/vehicles/{id}/readings", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "In the order of entry.", body = EventList)))]
pub async fn readings(caller: Caller, path: Path) -> Answer {
    list_of(caller, path, &[EventKind::Reading]).await
}

/// Enters a reading of a vehicle's odometer.
///
/// A reading that is lower than an earlier one, or more than 2,000 km a day above it, is refused with the one
/// before in `previous`; look again and send it with `confirmed`, or with `replaced` where it is another odometer.
#[utoipa::path(post, path = "/v1/vehicles/{id}/readings", tag = "vehicles", params(("id" = VehicleId, Path)), request_body = ReadingInput,
    responses((status = 201, description = "The verdicts after it.", body = EnteredEvent)))]
pub async fn read(caller: Caller, path: Path, body: Body) -> Answer {
    let id = vehicle(&caller, &path).await?;
    let input: ReadingInput = body.read().await?;
    caller.query().finish()?;
    caller.once(move |app, who| events::read_odometer(app, who, id, input), made).await
}

/// The sales of a vehicle.
///
/// With the day on which the shop was told, which terms often ask for.
#[utoipa::path(get, path = "/v1/vehicles/{id}/transfers", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "In the order of entry.", body = EventList)))]
pub async fn transfers(caller: Caller, path: Path) -> Answer {
    list_of(caller, path, &[EventKind::Transfer]).await
}

/// Enters a sale.
///
/// The new owner is a customer that is known (`customer_id`), or comes along as one (`customer`). `told` is the day
/// on which the shop heard of it: today unless given; null says that it was not told. Out of a dealer's stock it is
/// the first owner's handover, no sale in the sense of the terms.
#[utoipa::path(post, path = "/v1/vehicles/{id}/transfers", tag = "vehicles", params(("id" = VehicleId, Path)), request_body = TransferInput,
    responses((status = 201, description = "The verdicts after it.", body = EnteredEvent)))]
pub async fn transfer(caller: Caller, path: Path, body: Body) -> Answer {
    let id = vehicle(&caller, &path).await?;
    let input = TransferInput::read(body.json().await?).map_err(|fault| Problem::malformed(&[fault]))?;
    caller.query().finish()?;
    caller.once(move |app, who| events::transfer(app, who, id, input), made).await
}
