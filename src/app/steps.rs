//! Steps of a job.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::jobs::{open_job, panel_faults, time_fault};
use super::{App, Error, Who, new_id, patched, wanted_text, write_or_try};
use crate::core::calendar::Moment;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{JobId, MemberId, StepId};
use crate::core::words::{Panel, StepKind, Surface};
use crate::db::steps::{self, StepRow};
use crate::db::{Conn, Shop, Tx};

/// A step of work on a vehicle.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StepInput {
    /// What was done.
    pub kind: StepKind,
    /// On which surfaces; at least one.
    #[schema(min_items = 1)]
    pub surfaces: Vec<Surface>,
    /// On which panels; all of the job unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub panels: Option<Vec<Panel>>,
    /// Code of the product.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<String>,
    /// How it was diluted, as written, for example `1:5`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dilution: Option<String>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_at: Option<Moment>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<Moment>,
    /// Who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
}

impl StepInput {
    fn faults(&self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.surfaces.is_empty() {
            faults.push(Fault::new("/surfaces", "empty", "at least one surface is needed"));
        }
        faults.extend(self.panels.iter().flat_map(|panels| panel_faults("/panels", panels)));
        faults.extend(self.dilution.as_deref().and_then(|text| wanted_text("/dilution", text, 60)));
        faults.extend(self.started_at.and_then(|at| time_fault("/started_at", at, now)));
        faults.extend(self.ended_at.and_then(|at| time_fault("/ended_at", at, now)));
        faults
    }
}

/// A step as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct StepView {
    /// Its id.
    pub id: StepId,
    /// What is said of it.
    #[serde(flatten)]
    pub step: StepInput,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

#[expect(clippy::unnecessary_wraps, reason = "the shape that the rows of a job share")]
fn view(_: &mut Conn, _: &Shop, row: StepRow) -> Result<StepView, Error> {
    Ok(StepView {
        id: row.id,
        step: StepInput {
            kind: row.kind,
            surfaces: row.surfaces,
            panels: row.panels,
            product: row.product,
            dilution: row.dilution,
            started_at: row.started_at.map(Moment),
            ended_at: row.ended_at.map(Moment),
            by: row.done_by,
        },
        entered_at: row.entered_at,
        version: row.version,
    })
}

/// What the body names must be there.
fn known(
    tx: &mut Tx<'_>,
    shop: &Shop,
    input: &StepInput,
    mut faults: Vec<Fault>,
) -> Result<Vec<Fault>, Error> {
    faults.extend(super::coats::unknown_product(tx, shop, input.product.as_deref())?);
    faults.extend(super::coats::unknown_member(tx, shop, input.by)?);
    Ok(faults)
}

#[expect(clippy::unnecessary_wraps, reason = "the shape that the rows of a job share")]
fn row(_: &mut Tx<'_>, _: &Shop, input: &StepInput, base: StepRowBase) -> Result<StepRow, Error> {
    Ok(StepRow {
        id: base.id,
        job: base.job,
        kind: input.kind,
        surfaces: input.surfaces.clone(),
        panels: input.panels.clone(),
        product: input.product.clone(),
        dilution: input.dilution.clone(),
        started_at: input.started_at.map(|at| at.0),
        ended_at: input.ended_at.map(|at| at.0),
        done_by: input.by,
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
    input: StepInput,
    validate_only: bool,
) -> Result<Option<StepView>, Error> {
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
            StepRowBase { id: new_id(), job, entered_by: who.member, entered_at: now, version: 1 },
        )?;
        steps::add(tx, &shop, &row)?;
        view(tx, &shop, row)
    })
}

/// One of a job's.
pub fn find(app: &App, who: &Who, job: JobId, id: StepId) -> Result<StepView, Error> {
    app.db.read(|c| {
        let row = steps::find(c, &who.shop, job, id)?;
        view(c, &who.shop, row)
    })
}

/// All of a job's, in the order in which they were entered.
pub fn list(app: &App, who: &Who, job: JobId) -> Result<Vec<StepView>, Error> {
    app.db
        .read(|c| steps::of_job(c, &who.shop, job)?.into_iter().map(|row| view(c, &who.shop, row)).collect())
}

/// Changes one by a merge patch, if it is still of `version` and the job open.
pub fn change(
    app: &App,
    who: &Who,
    job: JobId,
    id: StepId,
    version: i64,
    patch: &Value,
) -> Result<StepView, Error> {
    let current = find(app, who, job, id)?;
    let input: StepInput = patched(&current.step, patch)?;
    let faults = input.faults(app.now());
    let shop = who.shop;
    app.db.write(move |tx| {
        all_clear(known(tx, &shop, &input, faults)?)?;
        open_job(tx, &shop, job)?;
        let before = steps::find(tx, &shop, job, id)?;
        let base =
            StepRowBase { id, job, entered_by: before.entered_by, entered_at: before.entered_at, version };
        let mut row = row(tx, &shop, &input, base)?;
        if !steps::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        view(tx, &shop, row)
    })
}

/// Removes one, if it is still of `version` and the job open.
pub fn remove(app: &App, who: &Who, job: JobId, id: StepId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        open_job(tx, &shop, job)?;
        if steps::remove(tx, &shop, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}

/// What a row has besides what is said of it.
struct StepRowBase {
    id: StepId,
    job: JobId,
    entered_by: crate::core::ids::MemberId,
    entered_at: DateTime<Utc>,
    version: i64,
}
