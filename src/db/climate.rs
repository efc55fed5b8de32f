//! Climate readings of a job.

use diesel::prelude::*;

use super::Tx;
use super::backend::insert_all;
use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{climate, jobs};
use super::scope::Shop;
use super::types::{At, Uid};
use crate::core::calendar::Moment;
use crate::core::climate::ClimateReading;
use crate::core::ids::ClimateId;

/// A reading as the row says.
pub type ClimateRow = PartRow<ClimateReading>;

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
    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn of(row: &ClimateRow) -> Result<Self, Error> {
        let reading = row.part.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            at: At(reading.at.0),
            air_c: reading.air_c,
            rh_pct: reading.rh_pct,
            surface_c: reading.surface_c,
            place: reading.place,
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn part(self) -> Result<ClimateRow, Error> {
        Ok(ClimateRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: ClimateReading {
                at: Moment(self.at.0),
                air_c: self.air_c,
                rh_pct: self.rh_pct,
                surface_c: self.surface_c,
                place: self.place,
            },
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for ClimateReading {
    type Id = ClimateId;

    job_parts!(climate);
}

/// Adds readings to jobs of the shop.
pub fn add_all(tx: &mut Tx<'_>, _: &Shop, rows: &[ClimateRow]) -> Result<(), Error> {
    let all = rows.iter().map(Row::of).collect::<Result<Vec<_>, _>>()?;
    insert_all!(tx, climate::table, all)
}
