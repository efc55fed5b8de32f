//! The link on the label in a vehicle's door frame, as a QR code: for anybody who stands at the vehicle.
//!
//! Each vehicle of a shop has its code, 128 random bits, from the day on which it was added. It is kept as it is, so that
//! a label can be printed again: it opens less than whoever can read the database reads there anyway. It does not run
//! out, since labels are not printed anew each year; a new code makes all labels with the old one lead nowhere.

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use serde::Serialize;

use super::{App, Error, Who};
use crate::core::error::Error as Rule;
use crate::core::ids::VehicleId;
use crate::db::vehicles::{self, DoorCode};
use crate::db::{self, Conn, Shop};

/// The link on a vehicle's label as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct DoorLinkView {
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// What the QR code on the label holds.
    pub url: String,
}

/// Draws a code for a vehicle.
pub(crate) fn draw() -> Result<DoorCode, Error> {
    let mut code = DoorCode::default();
    getrandom::fill(&mut code).map_err(|e| db::Error::Other(format!("no randomness: {e}")))?;
    Ok(code)
}

fn url(app: &App, code: &[u8]) -> String {
    format!("{}/door/{}", app.config.public_url, BASE64_URL_SAFE_NO_PAD.encode(code))
}

/// Where the label in the door frame of a vehicle leads.
pub(crate) fn link(app: &App, conn: &mut Conn, shop: &Shop, vehicle: VehicleId) -> Result<String, Error> {
    Ok(url(app, &vehicles::door_code(conn, shop, vehicle)?))
}

/// Which vehicle a label leads to, and whose view of it; a code that no label has is not there.
pub(super) fn behind(conn: &mut Conn, app: &App, token: &str) -> Result<(Shop, VehicleId), Error> {
    let code = BASE64_URL_SAFE_NO_PAD.decode(token).ok();
    let code = code.filter(|code| code.len() == size_of::<DoorCode>()).ok_or(Rule::NotFound)?;
    Ok(vehicles::by_door(conn, &app.db.installation(), &code)?)
}

/// The link on a vehicle's label.
pub fn find(app: &App, who: &Who, vehicle: VehicleId) -> Result<DoorLinkView, Error> {
    app.db.read(|c| Ok(DoorLinkView { vehicle_id: vehicle, url: link(app, c, &who.shop, vehicle)? }))
}

/// Draws a new code for a vehicle: its old labels lead nowhere from now on.
pub fn renew(app: &App, who: &Who, vehicle: VehicleId) -> Result<DoorLinkView, Error> {
    let (app_in, who, code) = (app.clone(), who.clone(), draw()?);
    app.db.write(move |tx| {
        vehicles::find(tx, &who.shop, vehicle)?;
        vehicles::set_door_code(tx, &who.shop, vehicle, &code)?;
        Ok(DoorLinkView { vehicle_id: vehicle, url: url(&app_in, &code) })
    })
}
