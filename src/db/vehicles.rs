//! Vehicles: one identity in the whole installation, and a view for each shop; who had them when stands in `owners`.

pub mod many;
mod owners;

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::{
    answers, appointments, dues, facts, imports, jobs, links, notices, ownerships, reports, shop_vehicles,
    tasks, vehicle_events, vehicles, visits, warranties,
};
use super::scope::{Installation, Shop};
use super::search::{self, Among};
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::fold::Sought;
use crate::core::ids::VehicleId;
use crate::core::words::{Finish, OdometerUnit, VehicleSize};

pub use self::owners::{
    OwnershipRow, give, of_customer, owned, owner, owner_on, owners, owners_now, sold_by, take_back,
};

/// A vehicle as one shop sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VehicleRow {
    /// The vehicle.
    pub id: VehicleId,
    /// Its identification number, where it is known.
    pub vin: Option<String>,
    /// Number plate as written.
    pub plate: Option<String>,
    /// Number plate as compared.
    pub plate_key: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// Model year.
    pub model_year: Option<i32>,
    /// Colour.
    pub colour: Option<String>,
    /// Finish of most of its panels.
    pub finish: Finish,
    /// Rough size.
    pub size: VehicleSize,
    /// What its odometer shows.
    pub odometer_unit: OdometerUnit,
    /// What it is searched by, folded.
    pub search_key: String,
    /// When the shop added it.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = shop_vehicles, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    shop_id: Uid,
    vehicle_id: Uid,
    plate: Option<String>,
    plate_key: Option<String>,
    make: Option<String>,
    model: Option<String>,
    model_year: Option<i32>,
    colour: Option<String>,
    finish: Word<Finish>,
    size: Word<VehicleSize>,
    odometer_unit: Word<OdometerUnit>,
    search_key: String,
    created_at: At,
    version: i64,
}

impl Row {
    fn of(scope: &Shop, row: &VehicleRow) -> Self {
        let row = row.clone();
        Self {
            shop_id: Uid::of(scope.id()),
            vehicle_id: Uid::of(row.id),
            plate: row.plate,
            plate_key: row.plate_key,
            make: row.make,
            model: row.model,
            model_year: row.model_year,
            colour: row.colour,
            finish: Word(row.finish),
            size: Word(row.size),
            odometer_unit: Word(row.odometer_unit),
            search_key: row.search_key,
            created_at: At(row.created_at),
            version: row.version,
        }
    }
}

fn seen((row, vin): (Row, Option<String>)) -> VehicleRow {
    VehicleRow {
        id: row.vehicle_id.id(),
        vin,
        plate: row.plate,
        plate_key: row.plate_key,
        make: row.make,
        model: row.model,
        model_year: row.model_year,
        colour: row.colour,
        finish: row.finish.0,
        size: row.size.0,
        odometer_unit: row.odometer_unit.0,
        search_key: row.search_key,
        created_at: row.created_at.0,
        version: row.version,
    }
}

/// The vehicle with this VIN, whoever sees it; made when there is none. Answers its identity.
pub fn identify(
    tx: &mut Tx<'_>,
    _: &Installation,
    vin: Option<&str>,
    new: VehicleId,
) -> Result<VehicleId, Error> {
    let row = (vehicles::id.eq(Uid::of(new)), vehicles::vin.eq(vin.map(str::to_owned)));
    both!(tx, c => diesel::insert_into(vehicles::table).values(row.clone()).on_conflict_do_nothing().execute(c))?;
    match vin {
        None => Ok(new),
        Some(vin) => Ok(vehicles::table
            .filter(vehicles::vin.eq(vin))
            .select(vehicles::id)
            .first::<Uid>(tx.multi())?
            .id()),
    }
}

/// The vehicle of the installation with this VIN, whoever sees it.
pub fn known(conn: &mut Conn, _: &Installation, vin: &str) -> Result<Option<VehicleId>, Error> {
    let id = vehicles::table.filter(vehicles::vin.eq(vin)).select(vehicles::id).first::<Uid>(conn.multi());
    Ok(id.optional()?.map(Uid::id))
}

/// Farther than any vehicle has events.
const FAR: i64 = 1 << 40;

/// Makes everything that the shop has entered of vehicle `was`, which had no VIN and which nobody else sees, stand
/// under `now`. Its events come after those that are there: answers after which place.
///
/// Locks both vehicles, in the order of their ids. Nothing that another shop entered is touched.
pub fn join(
    tx: &mut Tx<'_>,
    scope: &Shop,
    _: &Installation,
    was: VehicleId,
    now: VehicleId,
) -> Result<i64, Error> {
    for id in [was.min(now), was.max(now)] {
        tx.lock("SELECT 1 FROM vehicles WHERE id = $1 FOR UPDATE", Uid::of(id))?;
    }
    let (shop, was, now) = (Uid::of(scope.id()), Uid::of(was), Uid::of(now));
    let named = vehicles::table.find(was).select(vehicles::vin).first::<Option<String>>(tx.multi())?;
    if named.is_some() {
        // It was given one while this waited for the locks, and may be seen by others since.
        return Err(Error::Busy);
    }
    let places = vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq(now))
        .select(diesel::dsl::max(vehicle_events::position));
    let after = places.first::<Option<i64>>(tx.multi())?.unwrap_or(0);
    macro_rules! stand_under_now {
        ($($table:ident),+) => { $(
            diesel::update($table::table.filter($table::shop_id.eq(shop)).filter($table::vehicle_id.eq(was)))
                .set($table::vehicle_id.eq(now))
                .execute(tx.multi())?;
        )+ };
    }
    let of_it = warranties::table.filter(warranties::vehicle_id.eq(was)).select(warranties::id);
    let moved = facts::table.filter(facts::warranty_id.eq_any(of_it));
    // A place is taken until its row has gone from it: first all go to where none is, then on.
    for by in [FAR, after - FAR] {
        diesel::update(moved).set(facts::position.eq(facts::position + by)).execute(tx.multi())?;
    }
    diesel::update(vehicle_events::table.filter(vehicle_events::vehicle_id.eq(was)))
        .set((
            vehicle_events::vehicle_id.eq(now),
            vehicle_events::position.eq(vehicle_events::position + after),
        ))
        .execute(tx.multi())?;
    diesel::update(imports::table.filter(imports::shop_id.eq(shop)).filter(imports::subject_id.eq(was)))
        .set(imports::subject_id.eq(now))
        .execute(tx.multi())?;
    stand_under_now!(
        shop_vehicles,
        ownerships,
        visits,
        jobs,
        warranties,
        dues,
        notices,
        appointments,
        tasks,
        answers,
        reports
    );
    diesel::update(links::table.filter(links::shop_id.eq(shop)).filter(links::vehicle_id.eq(Some(was))))
        .set(links::vehicle_id.eq(Some(now)))
        .execute(tx.multi())?;
    let entered = vehicles::table
        .filter(vehicles::id.eq_any([was, now]))
        .select(diesel::dsl::max(vehicles::last_recorded))
        .first::<Option<At>>(tx.multi())?;
    diesel::update(vehicles::table.find(now)).set(vehicles::last_recorded.eq(entered)).execute(tx.multi())?;
    // Whatever still stood under it would refuse this.
    diesel::delete(vehicles::table.find(was)).execute(tx.multi())?;
    Ok(after)
}

/// Gives a vehicle that had none its VIN.
pub fn name(tx: &mut Tx<'_>, _: &Installation, id: VehicleId, vin: &str) -> Result<(), Error> {
    diesel::update(vehicles::table.find(Uid::of(id))).set(vehicles::vin.eq(Some(vin))).execute(tx.multi())?;
    Ok(())
}

/// What stands in the link on the label in a vehicle's door frame: 128 random bits.
pub type DoorCode = [u8; 16];

/// Adds the shop's view of a vehicle.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &VehicleRow, door: &DoorCode) -> Result<(), Error> {
    diesel::insert_into(shop_vehicles::table)
        .values((Row::of(scope, row), shop_vehicles::door_code.eq(door.as_slice())))
        .execute(tx.multi())?;
    Ok(())
}

/// What stands in the link on a vehicle's label.
pub fn door_code(conn: &mut Conn, scope: &Shop, id: VehicleId) -> Result<Vec<u8>, Error> {
    Ok(shop_vehicles::table
        .find((Uid::of(scope.id()), Uid::of(id)))
        .select(shop_vehicles::door_code)
        .first(conn.multi())?)
}

/// Another code stands in a vehicle's link from now on: labels with the old one lead nowhere.
pub fn set_door_code(tx: &mut Tx<'_>, scope: &Shop, id: VehicleId, door: &DoorCode) -> Result<(), Error> {
    diesel::update(shop_vehicles::table.find((Uid::of(scope.id()), Uid::of(id))))
        .set(shop_vehicles::door_code.eq(door.as_slice()))
        .execute(tx.multi())?;
    Ok(())
}

/// The vehicle with this code on its label, and whose view of it.
pub fn by_door(conn: &mut Conn, _: &Installation, door: &[u8]) -> Result<(Shop, VehicleId), Error> {
    let (shop, vehicle) = shop_vehicles::table
        .filter(shop_vehicles::door_code.eq(door))
        .select((shop_vehicles::shop_id, shop_vehicles::vehicle_id))
        .first::<(Uid, Uid)>(conn.multi())?;
    Ok((Shop::seen(shop.id()), vehicle.id()))
}

/// Changes the shop's view when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &VehicleRow) -> Result<bool, Error> {
    let mut new = Row::of(scope, row);
    new.version += 1;
    let changed = diesel::update(
        shop_vehicles::table
            .find((Uid::of(scope.id()), Uid::of(row.id)))
            .filter(shop_vehicles::version.eq(row.version)),
    )
    .set(new)
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Counts the version of the shop's view up: something that is answered with it has changed.
pub fn touch(tx: &mut Tx<'_>, scope: &Shop, id: VehicleId) -> Result<(), Error> {
    diesel::update(shop_vehicles::table.find((Uid::of(scope.id()), Uid::of(id))))
        .set(shop_vehicles::version.eq(shop_vehicles::version + 1))
        .execute(tx.multi())?;
    Ok(())
}

/// The vehicle with this id, as the shop sees it.
pub fn find(conn: &mut Conn, scope: &Shop, id: VehicleId) -> Result<VehicleRow, Error> {
    Ok(shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .filter(shop_vehicles::vehicle_id.eq(Uid::of(id)))
        .select((Row::as_select(), vehicles::vin))
        .first::<(Row, Option<String>)>(conn.multi())
        .map(seen)?)
}

/// The vehicle with this VIN, if the shop sees it.
pub fn by_vin(conn: &mut Conn, scope: &Shop, vin: &str) -> Result<Option<VehicleRow>, Error> {
    Ok(shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(vehicles::vin.eq(vin))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .select((Row::as_select(), vehicles::vin))
        .first::<(Row, Option<String>)>(conn.multi())
        .optional()?
        .map(seen))
}

/// The shop's vehicles with this plate, as compared; newest first.
pub fn by_plate(conn: &mut Conn, scope: &Shop, plate_key: &str) -> Result<Vec<VehicleRow>, Error> {
    let rows = shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .filter(shop_vehicles::plate_key.eq(plate_key))
        .order(shop_vehicles::vehicle_id.desc())
        .select((Row::as_select(), vehicles::vin))
        .load::<(Row, Option<String>)>(conn.multi())?;
    Ok(rows.into_iter().map(seen).collect())
}

/// The shop's vehicles, newest first, after the one with id `after`; those only whose key is what is sought.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    sought: Option<&Sought>,
    after: Option<VehicleId>,
    limit: i64,
) -> Result<Vec<VehicleRow>, Error> {
    let mut query = shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .select((Row::as_select(), vehicles::vin))
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(shop_vehicles::vehicle_id.lt(Uid::of(after)));
    }
    if let Some(sought) = sought {
        let found = search::ids(conn, scope, Among::Vehicles, sought, after.map(Uid::of), limit)?;
        query = query.filter(shop_vehicles::vehicle_id.eq_any(found));
    }
    let rows = query.order(shop_vehicles::vehicle_id.desc()).limit(limit);
    Ok(rows.load::<(Row, Option<String>)>(conn.multi())?.into_iter().map(seen).collect())
}
