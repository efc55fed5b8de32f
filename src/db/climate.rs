//! Climate readings of a job.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{climate, jobs};
use super::scope::Shop;
use super::types::{At, Uid};
use super::{Conn, Tx};
use crate::core::ids::{ClimateId, JobId, MemberId};

/// A reading as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct ClimateRow {
    /// Its id.
    pub id: ClimateId,
    /// The job.
    pub job: JobId,
    /// When it was read.
    pub at: DateTime<Utc>,
    /// Air, °C.
    pub air_c: f64,
    /// Relative humidity, %.
    pub rh_pct: f64,
    /// Surface, °C.
    pub surface_c: Option<f64>,
    /// Where.
    pub place: Option<String>,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = climate, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    at: At,
    air_c: f64,
    rh_pct: f64,
    surface_c: Option<f64>,
    place: Option<String>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    fn of(row: &ClimateRow) -> Result<Self, Error> {
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            at: At(row.at),
            air_c: row.air_c,
            rh_pct: row.rh_pct,
            surface_c: row.surface_c,
            place: row.place.clone(),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }
}

impl TryFrom<Row> for ClimateRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            job: row.job_id.id(),
            at: row.at.0,
            air_c: row.air_c,
            rh_pct: row.rh_pct,
            surface_c: row.surface_c,
            place: row.place,
            entered_by: row.entered_by.id(),
            entered_at: row.entered_at.0,
            version: row.version,
        })
    }
}

/// Adds a row to a job of the shop.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &ClimateRow) -> Result<(), Error> {
    diesel::insert_into(climate::table).values(Row::of(row)?).execute(tx.multi())?;
    Ok(())
}

/// One row of a job of the shop.
pub fn find(conn: &mut Conn, scope: &Shop, job: JobId, id: ClimateId) -> Result<ClimateRow, Error> {
    climate::table
        .inner_join(jobs::table.on(jobs::id.eq(climate::job_id)))
        .filter(climate::id.eq(Uid::of(id)))
        .filter(climate::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The rows of a job of the shop, in the order in which they were entered.
pub fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<ClimateRow>, Error> {
    climate::table
        .inner_join(jobs::table.on(jobs::id.eq(climate::job_id)))
        .filter(climate::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .order(climate::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(ClimateRow::try_from)
        .collect()
}

/// Changes a row when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, _: &Shop, row: &ClimateRow) -> Result<bool, Error> {
    let mut new = Row::of(row)?;
    new.version += 1;
    let current = climate::table.find(Uid::of(row.id)).filter(climate::version.eq(row.version));
    Ok(diesel::update(current).set(new).execute(tx.multi())? == 1)
}

/// Removes a row when it is still of `version`; false when somebody else was there first.
pub fn remove(tx: &mut Tx<'_>, _: &Shop, id: ClimateId, version: i64) -> Result<bool, Error> {
    let current = climate::table.find(Uid::of(id)).filter(climate::version.eq(version));
    Ok(diesel::delete(current).execute(tx.multi())? == 1)
}
