//! The label in the door frame of a vehicle.

use super::{Asked, Document, made, owner, setting, vehicle};
use crate::app::{App, Error, Who, door_links};
use crate::core::ids::VehicleId;
use crate::db::vehicles;
use crate::documents::door_label::DoorLabel;
use crate::documents::press::Template;

/// The label of a vehicle of the shop, with the code that it has now.
pub fn door_label_of(app: &App, who: &Who, id: VehicleId, asked: Asked) -> Result<Document, Error> {
    made(app, Template::Label, |conn| {
        // Printed again it is the same label, whatever the day.
        let made_at = vehicles::find(conn, &who.shop, id)?.created_at;
        let (vehicle, _) = vehicle(conn, &who.shop, id)?;
        let owner = owner(conn, &who.shop, id)?;
        let label = DoorLabel {
            setting: setting(conn, app, &who.shop, asked, owner, made_at)?,
            vehicle,
            link: door_links::link(app, conn, &who.shop, id)?,
        };
        Ok(label.paper())
    })
}
