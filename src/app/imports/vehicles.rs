//! Vehicles from a file, and who has them.

use std::collections::HashMap;

use uuid::Uuid;

use super::{Owners, Scene, Taken, Vehicles};
use crate::app::vehicles::{VehicleInput, key_of};
use crate::app::{Error, door_links, new_id, shops};
use crate::core::calendar::Day;
use crate::core::ids::{CustomerId, VehicleId};
use crate::core::imports::vehicles::Vehicle;
use crate::core::imports::{Column, Faults, Said};
use crate::core::plate::plate_key;
use crate::db::{Conn, Tx, vehicles};

impl Taken for Vehicle {
    /// Of each row its owner, and what they are called.
    type Checked = Vec<Option<(CustomerId, String)>>;

    fn check(
        conn: &mut Conn,
        scene: &Scene,
        new: &[&Said<Self>],
        faults: &mut Faults,
    ) -> Result<Self::Checked, Error> {
        let today = scene.who.day(scene.now);
        let owners = Owners::load(conn, &scene.who)?;
        let known = Vehicles::load(conn, &scene.who)?;
        let (mut vins, mut plates) = (HashMap::new(), HashMap::new());
        let mut checked = Vec::with_capacity(new.len());
        for row in new {
            let said = &row.said;
            if let Some(vin) = &said.vin {
                if known.has_vin(vin) {
                    let detail =
                        format!("your shop has a vehicle with the VIN {vin} already: leave the row out");
                    faults.push(scene.fault(row, Column::Vin, "vehicle_exists", detail));
                } else if let Some(first) = vins.insert(vin, row.line) {
                    let detail = format!("line {first} has the VIN {vin} already");
                    faults.push(scene.fault(row, Column::Vin, "vin_twice", detail));
                }
            } else if let Some(plate) = said.plate.as_deref().filter(|_| !row.named) {
                // Without VIN and key nothing tells two vehicles of one plate apart.
                let key = plate_key(plate);
                if known.has_plate(&key) {
                    let detail = format!(
                        "your shop has a vehicle with the plate {plate}: give this one a `ref` or a VIN"
                    );
                    faults.push(scene.fault(row, Column::Plate, "vehicle_exists", detail));
                } else if let Some(first) = plates.insert(key, row.line) {
                    let detail =
                        format!("line {first} has the plate {plate} already: give each a `ref` or a VIN");
                    faults.push(scene.fault(row, Column::Plate, "plate_twice", detail));
                }
            }
            if let Some(since) = said.owned_since.filter(|since| since.date() > today) {
                let detail = format!("{since} is after today, {today}");
                faults.push(scene.fault(row, Column::OwnedSince, "in_the_future", detail));
            }
            let owner = said.owner.as_deref().map(|owner| owners.find(owner)).transpose();
            checked.push(match owner {
                Ok(owner) => owner.map(|id| (id, owners.name(id).unwrap_or_default().to_owned())),
                Err((column, code, detail)) => {
                    faults.push(scene.fault(row, column, code, detail));
                    None
                }
            });
        }
        Ok(checked)
    }

    fn write(
        tx: &mut Tx<'_>,
        scene: &Scene,
        new: &[&Said<Self>],
        owners: Self::Checked,
    ) -> Result<Vec<Uuid>, Error> {
        let shop = scene.who.shop;
        let unit = shops::settings(tx, &scene.app, &shop)?.odometer_unit;
        let wanted: Vec<(Option<String>, VehicleId)> =
            new.iter().map(|row| (row.said.vin.clone(), new_id())).collect();
        let ids = vehicles::many::identify(tx, &scene.app.db.installation(), &wanted)?;
        let today = scene.who.day(scene.now);
        let (mut rows, mut owned) = (Vec::new(), Vec::new());
        for ((row, id), owner) in new.iter().zip(&ids).zip(&owners) {
            let name = owner.as_ref().map(|(_, name)| name.as_str());
            let mut new = input(&row.said).row(*id, unit, scene.now, 1);
            new.search_key = key_of(&[], &new, name);
            rows.push((new, door_links::draw()?));
            let from = row.said.owned_since.map_or(today, Day::date);
            owned.extend(owner.as_ref().map(|(customer, _)| (new_id(), *id, *customer, from)));
        }
        vehicles::many::add(tx, &shop, &rows, &owned)?;
        Ok(ids.into_iter().map(Uuid::from).collect())
    }
}

fn input(said: &Vehicle) -> VehicleInput {
    let said = said.clone();
    VehicleInput {
        vin: said.vin,
        plate: said.plate,
        make: said.make,
        model: said.model,
        model_year: said.model_year,
        colour: said.colour,
        finish: said.finish,
        size: said.size,
        odometer_unit: said.odometer_unit,
        customer_id: None,
    }
}
