//! Return visits.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::visits;
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{MemberId, VehicleId, VisitId};
use crate::core::odometer::Odometer;
use crate::core::vehicle_events::Elsewhere;
use crate::core::words::OdometerUnit;

/// A visit as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitRow {
    /// The visit.
    pub id: VisitId,
    /// The vehicle that came.
    pub vehicle: VehicleId,
    /// The day.
    pub on: NaiveDate,
    /// The odometer, as it was read.
    pub odometer: Option<Odometer>,
    /// What there is to say of it.
    pub note: Option<String>,
    /// Who did it, where it was not this shop.
    pub done_by: Option<Elsewhere>,
    /// Who entered it; none: the owner, by their link, as its record says.
    pub entered_by: Option<MemberId>,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = visits, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    vehicle_id: Uid,
    on_day: NaiveDate,
    odometer_value: Option<i64>,
    odometer_unit: Option<Word<OdometerUnit>>,
    note: Option<String>,
    done_by: Option<Json<Elsewhere>>,
    entered_by: Option<Uid>,
    entered_at: At,
}

impl TryFrom<Row> for VisitRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            vehicle: row.vehicle_id.id(),
            on: row.on_day,
            odometer: super::odometer(row.odometer_value, row.odometer_unit.map(|unit| unit.0))?,
            note: row.note,
            done_by: row.done_by.map(|by| by.0),
            entered_by: row.entered_by.map(Uid::id),
            entered_at: row.entered_at.0,
        })
    }
}

/// Adds a visit.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &VisitRow) -> Result<(), Error> {
    let values = Row {
        id: Uid::of(row.id),
        shop_id: Uid::of(scope.id()),
        vehicle_id: Uid::of(row.vehicle),
        on_day: row.on,
        odometer_value: row.odometer.map(|read| read.value().into()),
        odometer_unit: row.odometer.map(|read| Word(read.unit())),
        note: row.note.clone(),
        done_by: row.done_by.clone().map(Json),
        entered_by: row.entered_by.map(Uid::of),
        entered_at: At(row.entered_at),
    };
    diesel::insert_into(visits::table).values(values).execute(tx.multi())?;
    Ok(())
}

/// The visit with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: VisitId) -> Result<VisitRow, Error> {
    visits::table
        .find(Uid::of(id))
        .filter(visits::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The shop's visits, newest first, after the one with id `after`; of one vehicle where it is given.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    vehicle: Option<VehicleId>,
    after: Option<VisitId>,
    limit: i64,
) -> Result<Vec<VisitRow>, Error> {
    let mut query =
        visits::table.filter(visits::shop_id.eq(Uid::of(scope.id()))).select(Row::as_select()).into_boxed();
    if let Some(after) = after {
        query = query.filter(visits::id.lt(Uid::of(after)));
    }
    if let Some(vehicle) = vehicle {
        query = query.filter(visits::vehicle_id.eq(Uid::of(vehicle)));
    }
    query
        .order(visits::id.desc())
        .limit(limit)
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(VisitRow::try_from)
        .collect()
}
