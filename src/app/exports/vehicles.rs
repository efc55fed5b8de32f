//! Vehicles as files tell of them.

use std::collections::HashMap;

use uuid::Uuid;

use super::{Keys, Told, trimmed};
use crate::app::{Error, Who};
use crate::core::ids::VehicleId;
use crate::core::imports::vehicles::Vehicle;
use crate::core::imports::{Kind, VehicleSaid};
use crate::db::Conn;
use crate::db::vehicles::{VehicleRow, many};

impl Told for Vehicle {
    /// The keys of customers.
    type Around = Keys;

    fn around(conn: &mut Conn, who: &Who) -> Result<Keys, Error> {
        Keys::load(conn, who, Kind::Customers)
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        Ok(many::names(conn, &who.shop)?.into_iter().map(|one| one.id.into()).collect())
    }

    fn told(conn: &mut Conn, who: &Who, customers: &Keys, of: &[Uuid]) -> Result<HashMap<Uuid, Self>, Error> {
        let ids: Vec<VehicleId> = of.iter().copied().map(VehicleId::from).collect();
        let owners = many::owners(conn, &who.shop, &ids)?;
        let said = |row: VehicleRow| {
            let owner = owners.get(&row.id);
            let vehicle = Self {
                vin: row.vin,
                plate: row.plate.as_deref().and_then(trimmed),
                make: row.make.as_deref().and_then(trimmed),
                model: row.model.as_deref().and_then(trimmed),
                model_year: row.model_year,
                colour: row.colour.as_deref().and_then(trimmed),
                finish: row.finish,
                size: row.size,
                odometer_unit: Some(row.odometer_unit),
                owner: owner.map(|(customer, _)| customers.of(*customer)),
                owned_since: owner.map(|(_, since)| (*since).into()),
            };
            (row.id.into(), vehicle)
        };
        Ok(many::of(conn, &who.shop, &ids)?.into_iter().map(said).collect())
    }
}

/// How rows name each of these vehicles.
pub(super) fn named(
    conn: &mut Conn,
    who: &Who,
    keys: &Keys,
    of: &[VehicleId],
) -> Result<HashMap<VehicleId, VehicleSaid>, Error> {
    let named = |row: VehicleRow| {
        let plate = row.plate.as_deref().and_then(trimmed);
        (row.id, VehicleSaid { key: Some(keys.of(row.id)), vin: row.vin, plate })
    };
    Ok(many::of(conn, &who.shop, of)?.into_iter().map(named).collect())
}
