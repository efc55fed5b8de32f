//! Return visits.

use crate::app::page::Page;
use crate::app::visits::{self, EnteredVisit, VisitInput, VisitView};
use crate::core::ids::{VehicleId, VisitId};
use crate::http::answer::{Answer, created_fixed, fixed, ok};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's visits, newest first.
///
/// Filter by `vehicle_id` for those of one vehicle.
#[utoipa::path(get, path = "/v1/visits", tag = "visits",
    params(("vehicle_id" = Option<VehicleId>, Query),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of visits.", body = Page<VisitView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let vehicle: Option<VehicleId> = query.parsed("vehicle_id", "an id of a vehicle");
    let wanted = query.page(&vehicle)?;
    ok(&caller.run(move |app, who| visits::list(app, who, vehicle, &wanted)).await?)
}

/// Enters a visit, and says what it did for each warranty.
///
/// Answered is, for each warranty and rule whose services name this one, what it did: meets a due, reinstates what
/// was on hold, or nothing, and why. A service that no terms of this vehicle name is refused, so that a slip of the
/// pen does not miss a due in silence. Only a manager countersigns what is entered late.
///
/// An `inspection` says panel by panel how water stood and what was measured; figures are held against the limits of the
/// terms and against the panel's own first ones. What it comes to is worked out and can be overruled with a reason; a
/// finding opens a task with its remedy.
#[utoipa::path(post, path = "/v1/visits", tag = "visits", params(("validate_only" = Option<bool>, Query)), request_body = VisitInput,
    responses((status = 201, description = "The visit and what it did.", body = EnteredVisit),
              (status = 200, description = "With `validate_only`: it would be taken.", body = Object)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: VisitInput = body.read().await?;
    let mut query = caller.query();
    let validate_only = query.flag("validate_only");
    query.finish()?;
    caller
        .once_or_try(
            move |app, who| visits::add(app, who, input, validate_only),
            |view| created_fixed(view, &view.visit, &format!("/v1/visits/{}", view.id)),
        )
        .await
}

/// One visit.
///
/// As it was entered, with the event that each of its services became.
#[utoipa::path(get, path = "/v1/visits/{id}", tag = "visits", params(("id" = VisitId, Path)),
    responses((status = 200, description = "The visit.", body = VisitView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: VisitId = path.get("id")?;
    let view = caller.run(move |app, who| visits::find(app, who, id)).await?;
    caller.query().finish()?;
    fixed(&view)
}
