//! Vehicles.

use crate::app::page::Page;
use crate::app::vehicles::{self, VehicleInput, VehicleView};
use crate::core::ids::VehicleId;
use crate::http::answer::{Answer, created, ok, versioned};
use crate::http::auth::{Caller, Path};
use crate::http::body::Body;

/// The shop's vehicles, newest first.
///
/// `q` is looked for in VIN, plate and owner, without regard to case, accents, blanks and hyphens.
#[utoipa::path(get, path = "/v1/vehicles", tag = "vehicles",
    params(
        ("q" = Option<String>, Query, description = "Looked for in VIN, plate and the owner's name."),
        ("limit" = Option<u32>, Query, minimum = 1, maximum = 200), ("cursor" = Option<String>, Query)
    ),
    responses((status = 200, description = "A page of vehicles.", body = Page<VehicleView>)))]
pub async fn list(caller: Caller) -> Answer {
    let mut query = caller.query();
    let q = query.text("q");
    let wanted = query.page(&q)?;
    ok(&caller.run(move |app, who| vehicles::list(app, who, q.as_deref(), &wanted)).await?)
}

/// Adds a vehicle.
///
/// A plate or a VIN is needed, all else can follow. One that another shop of the installation knows by its VIN is
/// the same vehicle; each shop has its own view of it, and sees nothing of the other's. A VIN that this shop has
/// already is answered as `vehicle_exists` with its id.
#[utoipa::path(post, path = "/v1/vehicles", tag = "vehicles", request_body = VehicleInput,
    responses((status = 201, description = "The new vehicle.", body = VehicleView)))]
pub async fn add(caller: Caller, body: Body) -> Answer {
    let input: VehicleInput = body.read().await?;
    caller.query().finish()?;
    caller
        .once(
            move |app, who| vehicles::add(app, who, input),
            |view| created(view, view.version, &format!("/v1/vehicles/{}", view.id)),
        )
        .await
}

/// One vehicle.
///
/// As this shop describes it, with its present owner.
#[utoipa::path(get, path = "/v1/vehicles/{id}", tag = "vehicles", params(("id" = VehicleId, Path)),
    responses((status = 200, description = "The vehicle.", body = VehicleView)))]
pub async fn find(caller: Caller, path: Path) -> Answer {
    let id: VehicleId = path.get("id")?;
    let view = caller.run(move |app, who| vehicles::find(app, who, id)).await?;
    caller.query().finish()?;
    versioned(&view, view.version)
}

/// Changes a vehicle by a merge patch.
///
/// Given a VIN that the installation knows, it is that vehicle from then on, under another id. A new owner is not a
/// change of the vehicle: enter a sale.
#[utoipa::path(patch, path = "/v1/vehicles/{id}", tag = "vehicles", params(("id" = VehicleId, Path)), request_body = VehicleInput,
    responses((status = 200, description = "The vehicle as it is now.", body = VehicleView)))]
pub async fn change(caller: Caller, path: Path, body: Body) -> Answer {
    let id: VehicleId = path.get("id")?;
    let current = caller.run(move |app, who| vehicles::find(app, who, id)).await?;
    let patch = caller.patch(current.version, body).await?;
    caller.query().finish()?;
    let view = caller.run(move |app, who| vehicles::change(app, who, id, current.version, &patch)).await?;
    versioned(&view, view.version)
}
