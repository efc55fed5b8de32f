//! Appointments.

use crate::app::appointments::{self, AppointmentChange, AppointmentInput, AppointmentView, Filter};
use crate::app::page::Page;
use crate::core::ids::{AppointmentId, VehicleId};
use crate::core::words::AppointmentState;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's appointments, newest first.
///
/// `from` and `to` are days where the shop is, both included; `state` may be repeated.
#[utoipa::path(get, path = "/v1/appointments", tag = "appointments",
    params(("state" = Option<Vec<AppointmentState>>, Query, explode, description = "May be repeated; all unless given."),
           ("from" = Option<NaiveDate>, Query, description = "On this day or later."),
           ("to" = Option<NaiveDate>, Query, description = "On this day or before."),
           ("vehicle_id" = Option<VehicleId>, Query, description = "Of one vehicle."),
           ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)),
    responses((status = 200, description = "A page of appointments.", body = Page<AppointmentView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let filter = Filter {
        states: query.parsed_all("state", "booked, kept, missed or cancelled"),
        from: query.day("from"),
        to: query.day("to"),
        vehicle: query.parsed("vehicle_id", "an id of a vehicle"),
    };
    let wanted = query.page(&filter)?;
    ok(&caller.run(move |app, who| appointments::list(app, who, &filter, &wanted)).await?)
}

/// Books a vehicle in.
///
/// While the day lies inside the window of a due that it is to serve, its owner is not reminded of that due.
/// Without `dues` it serves every due of the vehicle whose window the day lies in.
#[utoipa::path(post, path = "/v1/appointments", tag = "appointments", request_body = AppointmentInput,
    responses((status = 201, description = "The new appointment.", body = AppointmentView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: AppointmentInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| appointments::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/appointments/{}", view.id)),
        )
        .await
}

/// One appointment.
///
/// With the dues that it serves, and whether it was kept.
#[utoipa::path(get, path = "/v1/appointments/{id}", tag = "appointments", params(("id" = AppointmentId, Path)),
    responses((status = 200, description = "The appointment.", body = AppointmentView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: AppointmentId = path.get("id")?;
    let view = caller.run(move |app, who| appointments::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Moves, keeps, misses or cancels an appointment by a merge patch.
///
/// A visit on its day keeps it by itself; a day that goes by without one makes it missed, which becomes a task of
/// the desk.
#[utoipa::path(patch, path = "/v1/appointments/{id}", tag = "appointments", params(("id" = AppointmentId, Path)), request_body = AppointmentChange,
    responses((status = 200, description = "The appointment as it is now.", body = AppointmentView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: AppointmentId = path.get("id")?;
    let current = caller.run(move |app, who| appointments::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view =
        caller.run(move |app, who| appointments::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}
