//! Coats of a job.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::jobs::{open_job, panel_faults, time_fault};
use super::{App, Error, Who, new_id, patched, wanted_text, write_or_try};
use crate::core::calendar::Moment;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{CoatId, JobId, MemberId};
use crate::core::words::{Panel, Surface};
use crate::db::coats::{self, CoatRow, SectionRow};
use crate::db::{Conn, Shop, Tx, people, products};

/// A coat on some panels of a surface.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CoatInput {
    /// On which surface.
    pub surface: Surface,
    /// On which panels; at least one.
    #[schema(min_items = 1)]
    pub panels: Vec<Panel>,
    /// Code of the product.
    pub product: String,
    /// The batch number on the bottle; one that is not registered is taken, and shows as a check.
    pub batch: String,
    /// When it began.
    pub started_at: Moment,
    /// When it ended; before it began is taken, and shows as a check.
    pub ended_at: Moment,
    /// How much was used, ml, above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ml: Option<f64>,
    /// Who laid it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
    /// When parts of it were applied and levelled.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sections: Vec<SectionInput>,
}

/// Some panels of a coat, and when they were applied and levelled.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SectionInput {
    /// Which panels.
    pub panels: Vec<Panel>,
    /// When the product was applied.
    pub applied_at: Moment,
    /// When it was levelled; by eye unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub levelled_at: Option<Moment>,
}

impl CoatInput {
    fn faults(&self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.panels.is_empty() {
            faults.push(Fault::new("/panels", "empty", "at least one panel is needed"));
        }
        faults.extend(panel_faults("/panels", &self.panels));
        faults.extend(wanted_text("/batch", &self.batch, 60));
        faults.extend(time_fault("/started_at", self.started_at, now));
        faults.extend(time_fault("/ended_at", self.ended_at, now));
        if self.ml.is_some_and(|ml| !(ml > 0.0 && ml <= 10_000.0)) {
            faults.push(Fault::new("/ml", "out_of_range", "allowed are above 0 to 10,000 ml"));
        }
        for (i, section) in self.sections.iter().enumerate() {
            let at = |member: &str| format!("/sections/{i}/{member}");
            for (k, panel) in
                section.panels.iter().enumerate().filter(|(_, panel)| !self.panels.contains(panel))
            {
                let detail = format!("{panel} is no panel of this coat");
                faults.push(Fault::new(format!("/sections/{i}/panels/{k}"), "panel_not_coated", detail));
            }
            faults.extend(time_fault(&at("applied_at"), section.applied_at, now));
            faults.extend(
                section.levelled_at.and_then(|levelled| time_fault(&at("levelled_at"), levelled, now)),
            );
        }
        faults
    }

    fn sections(&self) -> Vec<SectionRow> {
        let row = |section: &SectionInput| SectionRow {
            panels: section.panels.clone(),
            applied_at: section.applied_at.0,
            levelled_at: section.levelled_at.map(|at| at.0),
        };
        self.sections.iter().map(row).collect()
    }
}

/// A coat as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct CoatView {
    /// Its id.
    pub id: CoatId,
    /// What is said of it.
    #[serde(flatten)]
    pub coat: CoatInput,
    /// The edition of its data sheet that was current when it was entered; null where there is none.
    pub sheet_edition: Option<u32>,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

pub(crate) fn view(conn: &mut Conn, shop: &Shop, row: CoatRow) -> Result<CoatView, Error> {
    let section = |row: SectionRow| SectionInput {
        panels: row.panels,
        applied_at: Moment(row.applied_at),
        levelled_at: row.levelled_at.map(Moment),
    };
    let sections = coats::sections(conn, shop, row.id)?.into_iter().map(section).collect();
    Ok(CoatView {
        id: row.id,
        coat: CoatInput {
            surface: row.surface,
            panels: row.panels,
            product: row.product,
            batch: row.batch,
            started_at: Moment(row.started_at),
            ended_at: Moment(row.ended_at),
            ml: row.ml,
            by: row.done_by,
            sections,
        },
        sheet_edition: row.sheet_edition,
        entered_at: row.entered_at,
        version: row.version,
    })
}

/// What the body names must be there; a batch need not be.
fn known(
    tx: &mut Tx<'_>,
    shop: &Shop,
    input: &CoatInput,
    mut faults: Vec<Fault>,
) -> Result<Vec<Fault>, Error> {
    faults.extend(unknown_product(tx, shop, Some(&input.product))?);
    faults.extend(unknown_member(tx, shop, input.by)?);
    Ok(faults)
}

/// A product that the shop has not.
pub(super) fn unknown_product(
    conn: &mut Conn,
    shop: &Shop,
    code: Option<&str>,
) -> Result<Option<Fault>, Error> {
    let Some(code) = code else { return Ok(None) };
    match products::find(conn, shop, code) {
        Ok(_) => Ok(None),
        Err(crate::db::Error::NotFound) => {
            Ok(Some(Fault::new("/product", "unknown_product", format!("your shop has no product {code:?}"))))
        }
        Err(other) => Err(other.into()),
    }
}

/// A member that the shop has not.
pub(super) fn unknown_member(
    conn: &mut Conn,
    shop: &Shop,
    id: Option<MemberId>,
) -> Result<Option<Fault>, Error> {
    let Some(id) = id else { return Ok(None) };
    match people::member_of(conn, shop, id) {
        Ok(_) => Ok(None),
        Err(crate::db::Error::NotFound) => {
            Ok(Some(Fault::new("/by", "unknown_member", format!("{id} is no member of your shop"))))
        }
        Err(other) => Err(other.into()),
    }
}

/// The sheet's edition is that of the product now; a coat that stays with its product keeps the one it had.
fn row(tx: &mut Tx<'_>, shop: &Shop, input: &CoatInput, base: CoatRowBase) -> Result<CoatRow, Error> {
    let kept = match coats::find(tx, shop, base.job, base.id) {
        Ok(before) if before.product == input.product => Some(before.sheet_edition),
        Ok(_) | Err(crate::db::Error::NotFound) => None,
        Err(other) => return Err(other.into()),
    };
    let sheet_edition = match kept {
        Some(edition) => edition,
        None => {
            let product = products::find(tx, shop, &input.product)?;
            products::current_sheet(tx, shop, product.id)?.map(|sheet| sheet.edition)
        }
    };
    Ok(CoatRow {
        id: base.id,
        job: base.job,
        surface: input.surface,
        panels: input.panels.clone(),
        product: input.product.clone(),
        sheet_edition,
        batch: input.batch.clone(),
        started_at: input.started_at.0,
        ended_at: input.ended_at.0,
        ml: input.ml,
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
    input: CoatInput,
    validate_only: bool,
) -> Result<Option<CoatView>, Error> {
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
            CoatRowBase { id: new_id(), job, entered_by: who.member, entered_at: now, version: 1 },
        )?;
        coats::add(tx, &shop, &row)?;
        coats::set_sections(tx, &shop, row.id, &input.sections())?;
        view(tx, &shop, row)
    })
}

/// One of a job's.
pub fn find(app: &App, who: &Who, job: JobId, id: CoatId) -> Result<CoatView, Error> {
    app.db.read(|c| {
        let row = coats::find(c, &who.shop, job, id)?;
        view(c, &who.shop, row)
    })
}

/// All of a job's, in the order in which they were entered.
pub fn list(app: &App, who: &Who, job: JobId) -> Result<Vec<CoatView>, Error> {
    app.db
        .read(|c| coats::of_job(c, &who.shop, job)?.into_iter().map(|row| view(c, &who.shop, row)).collect())
}

/// Changes one by a merge patch, if it is still of `version` and the job open.
pub fn change(
    app: &App,
    who: &Who,
    job: JobId,
    id: CoatId,
    version: i64,
    patch: &Value,
) -> Result<CoatView, Error> {
    let current = find(app, who, job, id)?;
    let input: CoatInput = patched(&current.coat, patch)?;
    let faults = input.faults(app.now());
    let shop = who.shop;
    app.db.write(move |tx| {
        all_clear(known(tx, &shop, &input, faults)?)?;
        open_job(tx, &shop, job)?;
        let before = coats::find(tx, &shop, job, id)?;
        let base =
            CoatRowBase { id, job, entered_by: before.entered_by, entered_at: before.entered_at, version };
        let mut row = row(tx, &shop, &input, base)?;
        if !coats::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        coats::set_sections(tx, &shop, row.id, &input.sections())?;
        view(tx, &shop, row)
    })
}

/// Removes one, if it is still of `version` and the job open.
pub fn remove(app: &App, who: &Who, job: JobId, id: CoatId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    app.db.write(move |tx| {
        open_job(tx, &shop, job)?;
        if coats::remove(tx, &shop, id, version)? { Ok(()) } else { Err(Rule::Stale.into()) }
    })
}

/// What a row has besides what is said of it.
struct CoatRowBase {
    id: CoatId,
    job: JobId,
    entered_by: crate::core::ids::MemberId,
    entered_at: DateTime<Utc>,
    version: i64,
}
