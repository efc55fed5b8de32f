//! What owners print by the link to their page: of vehicles that are theirs now.

use super::certificate::{self, Named};
use super::{Asked, Document, Office, history, printed};
use crate::app::owner_links::{Held, follow, held};
use crate::app::{App, Error, shops, warranties as named};
use crate::core::error::Error as Rule;
use crate::core::ids::VehicleId;
use crate::core::words::LinkPurpose;
use crate::db::{Conn, warranties};
use crate::documents::paper::Paper;

/// The history of a vehicle that is theirs now.
pub fn owners_history(app: &App, token: &str, vehicle: VehicleId, asked: Asked) -> Result<Document, Error> {
    of_owner(app, token, |conn, held| {
        let vehicle = held.vehicle(conn, vehicle)?;
        let office = Office { shop: held.shop, zone: shops::zone(conn, app, &held.shop)? };
        Ok(history::whole(conn, app, &office, vehicle, asked, app.now())?.paper())
    })
}

/// The certificate of a warranty, by id or number, of a vehicle that is theirs now. Where it was issued to somebody before them, it names
/// nobody.
pub fn owners_certificate(app: &App, token: &str, name: &str, asked: Asked) -> Result<Document, Error> {
    of_owner(app, token, |conn, held| {
        let id = named::named(conn, &held.shop, name)?;
        let row = warranties::find(conn, &held.shop, id)?;
        held.vehicle(conn, row.vehicle)?;
        if row.voided.is_some() {
            return Err(Rule::NotFound.into());
        }
        certificate::paper(conn, app, &held.shop, id, asked, Named::Only(held.customer.id))
    })
}

fn of_owner(
    app: &App,
    token: &str,
    gather: impl FnOnce(&mut Conn, &Held) -> Result<Paper, Error>,
) -> Result<Document, Error> {
    let (held, paper) = app.db.read(|conn| {
        let held = held(conn, app, token, LinkPurpose::Owner)?;
        let paper = gather(conn, &held)?;
        Ok::<_, Error>((held, paper))
    })?;
    follow(app, &held)?;
    printed(app, &paper)
}
