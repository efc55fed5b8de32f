//! Climate readings of a job.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::jobs::{open_job, time_fault};
use super::{App, Error, Who, new_id, patched, wanted_text, write_or_try};
use crate::core::calendar::Moment;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{ClimateId, JobId};
use crate::db::climate::{self, ClimateRow};
use crate::db::{Conn, Shop, Tx};

/// What air and surface were like.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ClimateInput {
    /// When it was read.
    pub at: Moment,
    /// Air, °C, −45 to 60.
    pub air_c: f64,
    /// Relative humidity, %, 0 to 100.
    pub rh_pct: f64,
    /// Surface, °C, −45 to 120.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface_c: Option<f64>,
    /// Where, for example `bay`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

impl ClimateInput {
    fn faults(&self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults: Vec<Fault> = time_fault("/at", self.at, now).into_iter().collect();
        let mut within = |pointer: &str, value: f64, from: f64, to: f64| {
            if !(from..=to).contains(&value) {
                faults.push(Fault::new(
                    pointer,
                    "out_of_range",
                    format!("{value} is not from {from} to {to}"),
                ));
            }
        };
        // The range of the dew-point formula: WMO-No. 8, Annex 4.B.
        within("/air_c", self.air_c, -45.0, 60.0);
        within("/rh_pct", self.rh_pct, 0.0, 100.0);
        if let Some(surface_c) = self.surface_c {
            within("/surface_c", surface_c, -45.0, 120.0);
        }
        faults.extend(self.place.as_deref().and_then(|text| wanted_text("/place", text, 60)));
        faults
    }
}

/// A reading as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ClimateView {
    /// Its id.
    pub id: ClimateId,
    /// What is said of it.
    #[serde(flatten)]
    pub reading: ClimateInput,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

#[expect(clippy::unnecessary_wraps, reason = "the shape that the rows of a job share")]
fn view(_: &mut Conn, _: &Shop, row: ClimateRow) -> Result<ClimateView, Error> {
    Ok(ClimateView {
        id: row.id,
        reading: ClimateInput {
            at: Moment(row.at),
            air_c: row.air_c,
            rh_pct: row.rh_pct,
            surface_c: row.surface_c,
            place: row.place,
        },
        entered_at: row.entered_at,
        version: row.version,
    })
}

#[expect(clippy::unnecessary_wraps, reason = "the shape that the rows of a job share")]
fn known(_: &mut Tx<'_>, _: &Shop, _: &ClimateInput, faults: Vec<Fault>) -> Result<Vec<Fault>, Error> {
    Ok(faults)
}

#[expect(clippy::unnecessary_wraps, reason = "the shape that the rows of a job share")]
fn row(_: &mut Tx<'_>, _: &Shop, input: &ClimateInput, base: ClimateRowBase) -> Result<ClimateRow, Error> {
    Ok(ClimateRow {
        id: base.id,
        job: base.job,
        at: input.at.0,
        air_c: input.air_c,
        rh_pct: input.rh_pct,
        surface_c: input.surface_c,
        place: input.place.clone(),
        entered_by: base.entered_by,
        entered_at: base.entered_at,
        version: base.version,
    })
}

/// Adds one to an open job. `validate_only` writes nothing, and refuses what the real call would refuse.
pub fn add(
    app: &App,
    who: &Who,
    job: JobId,
    input: ClimateInput,
    validate_only: bool,
) -> Result<Option<ClimateView>, Error> {
    let (who, now) = (who.clone(), app.now());
    let faults = input.faults(now);
    write_or_try(&app.db, validate_only, move |tx| {
        let shop = who.shop;
        // What is wrong with the body is told before the state of the job.
        all_clear(known(tx, &shop, &input, faults)?)?;
        open_job(tx, &shop, job)?;
        let row = row(
            tx,
            &shop,
            &input,
            ClimateRowBase { id: new_id(), job, entered_by: who.member, entered_at: now, version: 1 },
        )?;
        climate::add(tx, &shop, &row)?;
        view(tx, &shop, row)
    })
}

/// One of a job's.
pub fn find(app: &App, who: &Who, job: JobId, id: ClimateId) -> Result<ClimateView, Error> {
    app.db.read(|c| {
        let row = climate::find(c, &who.shop, job, id)?;
        view(c, &who.shop, row)
    })
}

/// All of a job's, in the order in which they were entered.
pub fn list(app: &App, who: &Who, job: JobId) -> Result<Vec<ClimateView>, Error> {
    app.db.read(|c| {
        climate::of_job(c, &who.shop, job)?.into_iter().map(|row| view(c, &who.shop, row)).collect()
    })
}

/// Changes one by a merge patch, if it is still of `version` and the job open.
pub fn change(
    app: &App,
    who: &Who,
    job: JobId,
    id: ClimateId,
    version: i64,
    patch: &Value,
) -> Result<ClimateView, Error> {
    let current = find(app, who, job, id)?;
    let input: ClimateInput = patched(&current.reading, patch)?;
    let faults = input.faults(app.now());
    let shop = who.shop;
    app.db.write(move |tx| {
        all_clear(known(tx, &shop, &input, faults)?)?;
        open_job(tx, &shop, job)?;
        let before = climate::find(tx, &shop, job, id)?;
        let base =
            ClimateRowBase { id, job, entered_by: before.entered_by, entered_at: before.entered_at, version };
        let mut row = row(tx, &shop, &input, base)?;
        if !climate::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(tx, &shop, row)
    })
}

/// Removes one, if it is still of `version` and the job open.
pub fn remove(app: &App, who: &Who, job: JobId, id: ClimateId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        open_job(tx, &shop, job)?;
        if climate::remove(tx, &shop, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}

/// What a row has besides what is said of it.
struct ClimateRowBase {
    id: ClimateId,
    job: JobId,
    entered_by: crate::core::ids::MemberId,
    entered_at: DateTime<Utc>,
    version: i64,
}
