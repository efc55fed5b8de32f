//! Appointments, and the dues that each is to serve.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{appointment_dues, appointments};
use super::scope::{Installation, Shop};
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{AppointmentId, MemberId, VehicleId, WarrantyId};
use crate::core::words::AppointmentState;

/// A due that an appointment is to serve.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Served {
    /// The warranty.
    pub warranty: WarrantyId,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: u32,
}

/// An appointment as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct AppointmentRow {
    /// The appointment.
    pub id: AppointmentId,
    /// The vehicle that is to come.
    pub vehicle: VehicleId,
    /// When.
    pub at: DateTime<Utc>,
    /// The shop's local day of it.
    pub on: NaiveDate,
    /// Where it stands.
    pub state: AppointmentState,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When it was booked.
    pub created_at: DateTime<Utc>,
    /// Who booked it.
    pub created_by: MemberId,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = appointments, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    vehicle_id: Uid,
    at: At,
    on_day: NaiveDate,
    state: Word<AppointmentState>,
    note: Option<String>,
    created_at: At,
    created_by: Uid,
    version: i64,
}

impl From<Row> for AppointmentRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            vehicle: row.vehicle_id.id(),
            at: row.at.0,
            on: row.on_day,
            state: row.state.0,
            note: row.note,
            created_at: row.created_at.0,
            created_by: row.created_by.id(),
            version: row.version,
        }
    }
}

/// Adds an appointment with the dues that it is to serve.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &AppointmentRow, dues: &[Served]) -> Result<(), Error> {
    let row = row.clone();
    let id = row.id;
    diesel::insert_into(appointments::table)
        .values(Row {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            vehicle_id: Uid::of(row.vehicle),
            at: At(row.at),
            on_day: row.on,
            state: Word(row.state),
            note: row.note,
            created_at: At(row.created_at),
            created_by: Uid::of(row.created_by),
            version: row.version,
        })
        .execute(tx.multi())?;
    serve(tx, id, dues)
}

fn serve(tx: &mut Tx<'_>, id: AppointmentId, dues: &[Served]) -> Result<(), Error> {
    diesel::delete(appointment_dues::table.filter(appointment_dues::appointment_id.eq(Uid::of(id))))
        .execute(tx.multi())?;
    for due in dues {
        diesel::insert_into(appointment_dues::table)
            .values((
                appointment_dues::appointment_id.eq(Uid::of(id)),
                appointment_dues::warranty_id.eq(Uid::of(due.warranty)),
                appointment_dues::upkeep.eq(&due.upkeep),
                appointment_dues::number.eq(super::count_as(due.number)?),
            ))
            .execute(tx.multi())?;
    }
    Ok(())
}

/// The appointment with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: AppointmentId) -> Result<AppointmentRow, Error> {
    Ok(appointments::table
        .find(Uid::of(id))
        .filter(appointments::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .into())
}

/// The dues that an appointment of the shop is to serve.
pub fn dues(conn: &mut Conn, _: &Shop, id: AppointmentId) -> Result<Vec<Served>, Error> {
    appointment_dues::table
        .filter(appointment_dues::appointment_id.eq(Uid::of(id)))
        .order((appointment_dues::warranty_id, appointment_dues::upkeep, appointment_dues::number))
        .select((appointment_dues::warranty_id, appointment_dues::upkeep, appointment_dues::number))
        .load::<(Uid, String, i32)>(conn.multi())?
        .into_iter()
        .map(|(warranty, upkeep, number)| {
            Ok(Served { warranty: warranty.id(), upkeep, number: super::count_of(number)? })
        })
        .collect()
}

/// Which appointments are wanted.
#[derive(Debug, Clone, Default, serde::Serialize)]
pub struct Filter {
    /// Only in these states; all where none is given.
    pub states: Vec<AppointmentState>,
    /// On this day or later.
    pub from: Option<NaiveDate>,
    /// On this day or before.
    pub to: Option<NaiveDate>,
    /// Of one vehicle.
    pub vehicle: Option<VehicleId>,
}

/// The shop's appointments, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    filter: &Filter,
    after: Option<AppointmentId>,
    limit: i64,
) -> Result<Vec<AppointmentRow>, Error> {
    let mut query = appointments::table
        .filter(appointments::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if !filter.states.is_empty() {
        let states: Vec<_> = filter.states.iter().copied().map(Word).collect();
        query = query.filter(appointments::state.eq_any(states));
    }
    if let Some(from) = filter.from {
        query = query.filter(appointments::on_day.ge(from));
    }
    if let Some(to) = filter.to {
        query = query.filter(appointments::on_day.le(to));
    }
    if let Some(vehicle) = filter.vehicle {
        query = query.filter(appointments::vehicle_id.eq(Uid::of(vehicle)));
    }
    if let Some(after) = after {
        query = query.filter(appointments::id.lt(Uid::of(after)));
    }
    let rows = query.order(appointments::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(AppointmentRow::from).collect())
}

/// Changes an appointment when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &AppointmentRow, dues: &[Served]) -> Result<bool, Error> {
    let changed = diesel::update(
        appointments::table
            .find(Uid::of(row.id))
            .filter(appointments::shop_id.eq(Uid::of(scope.id())))
            .filter(appointments::version.eq(row.version)),
    )
    .set((
        appointments::at.eq(At(row.at)),
        appointments::on_day.eq(row.on),
        appointments::state.eq(Word(row.state)),
        appointments::note.eq(&row.note),
        appointments::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    if changed == 1 {
        serve(tx, row.id, dues)?;
    }
    Ok(changed == 1)
}

/// The vehicle was here on a day: what was booked for that day is kept.
pub fn keep(tx: &mut Tx<'_>, scope: &Shop, vehicle: VehicleId, on: NaiveDate) -> Result<(), Error> {
    diesel::update(
        appointments::table
            .filter(appointments::shop_id.eq(Uid::of(scope.id())))
            .filter(appointments::vehicle_id.eq(Uid::of(vehicle)))
            .filter(appointments::state.eq(Word(AppointmentState::Booked)))
            .filter(appointments::on_day.eq(on)),
    )
    .set((
        appointments::state.eq(Word(AppointmentState::Kept)),
        appointments::version.eq(appointments::version + 1),
    ))
    .execute(tx.multi())?;
    Ok(())
}

/// When and for which dues of a warranty the vehicle is booked.
pub fn bookings(
    conn: &mut Conn,
    scope: &Shop,
    warranty: WarrantyId,
) -> Result<Vec<(Served, DateTime<Utc>, NaiveDate)>, Error> {
    appointment_dues::table
        .inner_join(appointments::table.on(appointments::id.eq(appointment_dues::appointment_id)))
        .filter(appointment_dues::warranty_id.eq(Uid::of(warranty)))
        .filter(appointments::shop_id.eq(Uid::of(scope.id())))
        .filter(appointments::state.eq(Word(AppointmentState::Booked)))
        .order(appointments::at)
        .select((appointment_dues::upkeep, appointment_dues::number, appointments::at, appointments::on_day))
        .load::<(String, i32, At, NaiveDate)>(conn.multi())?
        .into_iter()
        .map(|(upkeep, number, at, on)| {
            Ok((Served { warranty, upkeep, number: super::count_of(number)? }, at.0, on))
        })
        .collect()
}

/// Whether the vehicle is booked for a moment after `at`.
pub fn coming(conn: &mut Conn, scope: &Shop, vehicle: VehicleId, at: DateTime<Utc>) -> Result<bool, Error> {
    let found = appointments::table
        .filter(appointments::shop_id.eq(Uid::of(scope.id())))
        .filter(appointments::vehicle_id.eq(Uid::of(vehicle)))
        .filter(appointments::state.eq(Word(AppointmentState::Booked)))
        .filter(appointments::at.gt(At(at)));
    Ok(diesel::select(diesel::dsl::exists(found)).get_result(conn.multi())?)
}

/// What was booked, in all shops, for a day before this one and is neither kept nor cancelled; at most `limit`.
pub fn gone_by(
    conn: &mut Conn,
    _: &Installation,
    before: NaiveDate,
    limit: i64,
) -> Result<Vec<(Shop, AppointmentRow)>, Error> {
    let rows = appointments::table
        .filter(appointments::state.eq(Word(AppointmentState::Booked)))
        .filter(appointments::on_day.lt(before))
        .order(appointments::id)
        .limit(limit)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(|row| (Shop::seen(row.shop_id.id()), row.into())).collect())
}
