//! What happened to a vehicle, append-only: the source of facts.

use std::collections::HashMap;

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::backend::insert_all;
use super::error::Error;
use super::schema::{records, shop_vehicles, vehicle_events, vehicles};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{EventId, JobId, MemberId, VehicleId, VisitId};
use crate::core::odometer::Odometer;
use crate::core::vehicle_events::{Happened, VehicleEvent};
use crate::core::words::{EventKind, OdometerUnit, RecordKind};

/// An event as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct EventRow {
    /// The vehicle.
    pub vehicle: VehicleId,
    /// Its place among the vehicle's events, from 1 on, in the order in which they were entered.
    pub position: i64,
    /// What happened.
    pub event: VehicleEvent,
    /// The odometer, as it was read.
    pub odometer: Option<Odometer>,
    /// The visit on which it happened.
    pub visit: Option<VisitId>,
    /// Who entered it; none: the owner, by their link, as its record says.
    pub entered_by: Option<MemberId>,
    /// The record that it stands in.
    pub record_seq: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = vehicle_events, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    vehicle_id: Uid,
    position: i64,
    kind: Word<EventKind>,
    on_day: NaiveDate,
    recorded_at: At,
    odometer_value: Option<i64>,
    odometer_unit: Option<Word<OdometerUnit>>,
    km: Option<i64>,
    body: Json<Happened>,
    instead_of: Option<Uid>,
    retracts: Option<Uid>,
    visit_id: Option<Uid>,
    entered_by: Option<Uid>,
    record_seq: i64,
}

impl Row {
    fn of(scope: &Shop, row: &EventRow) -> Self {
        let event = &row.event;
        Self {
            id: Uid::of(event.id),
            shop_id: Uid::of(scope.id()),
            vehicle_id: Uid::of(row.vehicle),
            position: row.position,
            kind: Word(event.happened.kind()),
            on_day: event.on,
            recorded_at: At(event.recorded),
            odometer_value: row.odometer.map(|read| read.value().into()),
            odometer_unit: row.odometer.map(|read| Word(read.unit())),
            km: event.km.map(i64::from),
            body: Json(event.happened.clone()),
            instead_of: event.instead_of.map(Uid::of),
            retracts: event.happened.retracts().map(Uid::of),
            visit_id: row.visit.map(Uid::of),
            entered_by: row.entered_by.map(Uid::of),
            record_seq: row.record_seq,
        }
    }
}

impl TryFrom<Row> for EventRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            vehicle: row.vehicle_id.id(),
            position: row.position,
            odometer: super::odometer(row.odometer_value, row.odometer_unit.map(|unit| unit.0))?,
            visit: row.visit_id.map(Uid::id),
            entered_by: row.entered_by.map(Uid::id),
            record_seq: row.record_seq,
            event: VehicleEvent {
                id: row.id.id(),
                on: row.on_day,
                recorded: row.recorded_at.0,
                km: row.km.map(super::km).transpose()?,
                instead_of: row.instead_of.map(Uid::id),
                happened: row.body.0,
            },
        })
    }
}

/// What a vehicle's next event needs to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Next {
    /// When its last event was entered.
    pub last_recorded: Option<DateTime<Utc>>,
    /// The place of the next event.
    pub position: i64,
}

/// Locks a vehicle of the shop until the transaction ends, so that its events, and what follows from them, are
/// written one after the other.
pub fn lock(tx: &mut Tx<'_>, scope: &Shop, vehicle: VehicleId) -> Result<Next, Error> {
    let id = Uid::of(vehicle);
    tx.lock("SELECT 1 FROM vehicles WHERE id = $1 FOR UPDATE", id)?;
    let last_recorded = shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .filter(shop_vehicles::vehicle_id.eq(id))
        .select(vehicles::last_recorded)
        .first::<Option<At>>(tx.multi())?;
    let last = vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq(id))
        .select(diesel::dsl::max(vehicle_events::position))
        .first::<Option<i64>>(tx.multi())?;
    Ok(Next { last_recorded: last_recorded.map(|at| at.0), position: last.unwrap_or(0) + 1 })
}

/// Adds an event to a locked vehicle and remembers when its last one was entered.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &EventRow) -> Result<(), Error> {
    diesel::insert_into(vehicle_events::table).values(Row::of(scope, row)).execute(tx.multi())?;
    diesel::update(vehicles::table.find(Uid::of(row.vehicle)))
        .set(vehicles::last_recorded.eq(Some(At(row.event.recorded))))
        .execute(tx.multi())?;
    Ok(())
}

/// Locks vehicles until the transaction ends, in the order of their ids.
pub fn lock_all(tx: &mut Tx<'_>, _: &Shop, vehicles: &[VehicleId]) -> Result<(), Error> {
    let mut ids: Vec<Uid> = vehicles.iter().map(|id| Uid::of(*id)).collect();
    ids.sort_unstable();
    ids.dedup();
    tx.lock_each("SELECT 1 FROM vehicles WHERE id = ANY($1) ORDER BY id FOR UPDATE", &ids)
}

/// When the last event of any of these vehicles was entered.
pub fn last_recorded(conn: &mut Conn, _: &Shop, of: &[VehicleId]) -> Result<Option<DateTime<Utc>>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let last = vehicles::table
        .filter(vehicles::id.eq_any(ids))
        .select(diesel::dsl::max(vehicles::last_recorded))
        .first::<Option<At>>(conn.multi())?;
    Ok(last.map(|at| at.0))
}

/// The last place taken among the events of each of these vehicles, whoever entered them.
pub fn last_places(conn: &mut Conn, _: &Shop, of: &[VehicleId]) -> Result<HashMap<VehicleId, i64>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq_any(ids))
        .group_by(vehicle_events::vehicle_id)
        .select((vehicle_events::vehicle_id, diesel::dsl::max(vehicle_events::position)))
        .load::<(Uid, Option<i64>)>(conn.multi())?;
    Ok(rows.into_iter().map(|(id, last)| (id.id(), last.unwrap_or(0))).collect())
}

/// Adds events to locked vehicles, none of which was entered after `last`, and remembers that.
pub fn add_all(tx: &mut Tx<'_>, scope: &Shop, rows: &[EventRow], last: DateTime<Utc>) -> Result<(), Error> {
    insert_all!(tx, vehicle_events::table, rows.iter().map(|row| Row::of(scope, row)))?;
    let mut ids: Vec<Uid> = rows.iter().map(|row| Uid::of(row.vehicle)).collect();
    ids.sort_unstable();
    ids.dedup();
    diesel::update(vehicles::table.filter(vehicles::id.eq_any(ids)))
        .set(vehicles::last_recorded.eq(Some(At(last))))
        .execute(tx.multi())?;
    Ok(())
}

/// What the shop has entered of these kinds and not retracted.
pub fn standing(conn: &mut Conn, scope: &Shop, kinds: &[EventKind]) -> Result<Vec<EventId>, Error> {
    let shop = Uid::of(scope.id());
    let gone: std::collections::HashSet<Option<Uid>> = vehicle_events::table
        .filter(vehicle_events::shop_id.eq(shop))
        .filter(vehicle_events::retracts.is_not_null())
        .select(vehicle_events::retracts)
        .load::<Option<Uid>>(conn.multi())?
        .into_iter()
        .collect();
    let all = vehicle_events::table
        .filter(vehicle_events::shop_id.eq(shop))
        .filter(vehicle_events::kind.eq_any(kinds.iter().copied().map(Word)))
        .select(vehicle_events::id)
        .load::<Uid>(conn.multi())?;
    Ok(all.into_iter().filter(|id| !gone.contains(&Some(*id))).map(Uid::id).collect())
}

/// The readings with which jobs were handed over, and those that stand in their place, each with its job.
pub fn at_handover(conn: &mut Conn, scope: &Shop) -> Result<HashMap<EventId, JobId>, Error> {
    let shop = Uid::of(scope.id());
    let read = vehicle_events::table
        .inner_join(records::table.on(
            records::shop_id.eq(vehicle_events::shop_id).and(records::seq.eq(vehicle_events::record_seq)),
        ))
        .filter(vehicle_events::shop_id.eq(shop))
        .filter(vehicle_events::kind.eq(Word(EventKind::Reading)))
        .filter(records::kind.eq_any([RecordKind::Handover, RecordKind::Import].map(RecordKind::as_str)))
        .select((vehicle_events::id, records::subject))
        .load::<(Uid, String)>(conn.multi())?;
    let of_job = |subject: &str| subject.strip_prefix("job:")?.parse::<JobId>().ok();
    let mut of: HashMap<EventId, JobId> =
        read.into_iter().filter_map(|(id, subject)| Some((id.id(), of_job(&subject)?))).collect();
    let again = vehicle_events::table
        .filter(vehicle_events::shop_id.eq(shop))
        .filter(vehicle_events::kind.eq(Word(EventKind::Reading)))
        .filter(vehicle_events::instead_of.is_not_null())
        // What stands in the place of another was entered after it.
        .order((vehicle_events::vehicle_id, vehicle_events::position))
        .select((vehicle_events::id, vehicle_events::instead_of))
        .load::<(Uid, Option<Uid>)>(conn.multi())?;
    for (id, before) in again {
        let job = before.and_then(|before| of.get(&before.id()).copied());
        of.extend(job.map(|job| (id.id(), job)));
    }
    Ok(of)
}

/// These events of the shop.
pub fn of(conn: &mut Conn, scope: &Shop, of: &[EventId]) -> Result<Vec<EventRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    vehicle_events::table
        .filter(vehicle_events::id.eq_any(ids))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(EventRow::try_from)
        .collect()
}

/// What the shop has entered about these vehicles, each in the order of entry.
pub fn of_vehicles(conn: &mut Conn, scope: &Shop, of: &[VehicleId]) -> Result<Vec<EventRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq_any(ids))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .order((vehicle_events::vehicle_id, vehicle_events::position))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(EventRow::try_from)
        .collect()
}

/// What the shop has entered about a vehicle, in the order of entry.
pub fn of_vehicle(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<EventRow>, Error> {
    vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq(Uid::of(vehicle)))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .order(vehicle_events::position)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(EventRow::try_from)
        .collect()
}

/// The events of a visit, in the order of entry.
pub fn of_visit(conn: &mut Conn, scope: &Shop, visit: VisitId) -> Result<Vec<EventRow>, Error> {
    vehicle_events::table
        .filter(vehicle_events::visit_id.eq(Uid::of(visit)))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .order(vehicle_events::position)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(EventRow::try_from)
        .collect()
}

/// The vehicle's events that no longer count, as far as the shop entered them.
pub fn retracted(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<EventId>, Error> {
    let gone = vehicle_events::table
        .filter(vehicle_events::vehicle_id.eq(Uid::of(vehicle)))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .filter(vehicle_events::retracts.is_not_null())
        .select(vehicle_events::retracts)
        .load::<Option<Uid>>(conn.multi())?;
    Ok(gone.into_iter().flatten().map(Uid::id).collect())
}

/// An event that the shop entered.
pub fn find(conn: &mut Conn, scope: &Shop, id: EventId) -> Result<EventRow, Error> {
    vehicle_events::table
        .find(Uid::of(id))
        .filter(vehicle_events::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}
