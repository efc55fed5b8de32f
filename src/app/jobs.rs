//! Jobs: taken in, worked on, and at last signed off, handed over or cancelled.

use std::collections::BTreeMap;

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::facts::{self, Entry, NewEvent};
use super::odometer::{OdometerInput, OdometerView, read_anew, take_odometer};
use super::page::{Page, Wanted};
use super::records::Document;
use super::vehicles::{refresh_key, unknown};
use super::{App, Error, Who, job_sheet, new_id, patched, plans, wanted_text};
use crate::core::calendar::Moment;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{Digest, JobId, Numbered, RunningNumber, VehicleId};
use crate::core::packages::Plan;
use crate::core::stages::{self, PlannedStage};
use crate::core::vehicle_events::Happened;
use crate::core::words::{Finish, JobState, Panel, RecordKind, Surface, TermsState};
use crate::db::jobs::{self, JobPanels, JobRow};
use crate::db::{self, Conn, Shop, Tx, records, terms, vehicle_events};

/// Which terms a warranty is to be issued on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TermsChoice {
    /// Their code.
    pub code: String,
    /// Their edition; the latest published one unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edition: Option<u32>,
}

/// A vehicle taken in for a job.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JobInput {
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// Its odometer.
    pub odometer: OdometerInput,
    /// The terms that the warranty is to be issued on; none: no warranty, or chosen until handover.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terms: Option<TermsChoice>,
    /// Code of a package: its terms, panels and panels left out stand where nothing else is said, and its steps and
    /// coats become the job's plan. A job keeps the one that it was opened from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// The panels that are to be worked on, by surface.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub panels: BTreeMap<Surface, Vec<Panel>>,
    /// Panels that are left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub excluded_panels: Vec<Panel>,
    /// Panels that are finished otherwise than the vehicle, each with its finish: filmed ones for example.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub finishes: BTreeMap<Panel, Finish>,
    /// Panels that came with a coating, by surface: they are prepared as the data sheet asks for on an aged one.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub old_coating: BTreeMap<Surface, Vec<Panel>>,
    /// What is planned for the vehicle after its last coat, in any order: the bay overnight, a lamp, parked outside.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 50)]
    pub stages: Vec<PlannedStage>,
    /// When work began; the earliest time of its steps and coats unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_at: Option<Moment>,
}

/// Where a record was put.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct RecordPlace {
    /// Its place in the shop's order.
    pub seq: i64,
    /// SHA-256 of its canonical body.
    pub digest: Digest,
}

/// A job as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct JobView {
    /// The job.
    pub id: JobId,
    /// `J-…`; usable in paths wherever the id is.
    pub number: RunningNumber,
    /// Where it stands.
    pub state: JobState,
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// The odometer when it was taken in.
    pub odometer: OdometerView,
    /// The terms that the warranty is to be issued on.
    pub terms: Option<TermsChoice>,
    /// The panels that are to be worked on, by surface.
    pub panels: BTreeMap<Surface, Vec<Panel>>,
    /// Panels that are left out.
    pub excluded_panels: Vec<Panel>,
    /// Panels that are finished otherwise than the vehicle.
    pub finishes: BTreeMap<Panel, Finish>,
    /// Panels that came with a coating, by surface.
    pub old_coating: BTreeMap<Surface, Vec<Panel>>,
    /// Code of the package that it was opened from.
    pub package: Option<String>,
    /// What that package asked for, and what of it has been confirmed; null without one.
    pub plan: Option<Plan>,
    /// What is planned for the vehicle after its last coat.
    pub stages: Vec<PlannedStage>,
    /// When work began, if that was said.
    pub started_at: Option<DateTime<Utc>>,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
    /// When it was signed off.
    pub signed_off_at: Option<DateTime<Utc>>,
    /// The record of the sign-off.
    pub record: Option<RecordPlace>,
    /// The day on which the vehicle was handed over.
    pub handed_over_on: Option<NaiveDate>,
    /// Why it was cancelled.
    pub cancelled_because: Option<String>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl JobInput {
    fn faults(&self, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (surface, panels) in &self.panels {
            faults.extend(panel_faults(&format!("/panels/{surface}"), panels));
        }
        for (surface, panels) in &self.old_coating {
            faults.extend(panel_faults(&format!("/old_coating/{surface}"), panels));
        }
        faults.extend(panel_faults("/excluded_panels", &self.excluded_panels));
        faults.extend(stages::faults(&self.stages).into_iter().map(|fault| fault.within("/stages")));
        faults.extend(self.started_at.and_then(|at| time_fault("/started_at", at, now)));
        faults
    }

    fn panels(&self) -> JobPanels {
        JobPanels {
            listed: self.panels.clone(),
            excluded: self.excluded_panels.clone(),
            finishes: self.finishes.clone(),
            old_coating: self.old_coating.clone(),
        }
    }
}

/// A panel named twice.
pub(crate) fn panel_faults(pointer: &str, panels: &[Panel]) -> Vec<Fault> {
    let twice = |(i, panel): (usize, &Panel)| {
        let again = panels[..i].contains(panel);
        again.then(|| {
            Fault::new(format!("{pointer}/{i}"), "panel_twice", format!("{panel} is named above already"))
        })
    };
    panels.iter().enumerate().filter_map(twice).collect()
}

/// A time after now: nothing is taken before it has happened.
pub(crate) fn time_fault(pointer: &str, at: Moment, now: DateTime<Utc>) -> Option<Fault> {
    (at.0 > now).then(|| Fault::new(pointer, "in_the_future", format!("{} lies after now, {now}", at.0)))
}

/// The edition that a choice of terms means; a draft, a retired or an unknown one is a fault.
pub(crate) fn chosen(
    tx: &mut Tx<'_>,
    shop: &Shop,
    choice: Option<&TermsChoice>,
    faults: &mut Vec<Fault>,
) -> Result<Option<(String, u32)>, Error> {
    let Some(choice) = choice else { return Ok(None) };
    let row = match choice.edition {
        Some(edition) => match terms::find(tx, shop, &choice.code, edition) {
            Err(db::Error::NotFound) => None,
            other => Some(other?),
        },
        None => terms::last(tx, shop, &choice.code, Some(TermsState::Published))?,
    };
    match row {
        None => {
            let detail = format!("your shop has published no terms {:?} of this edition", choice.code);
            faults.push(Fault::new("/terms", "unknown_terms", detail));
            Ok(None)
        }
        Some(row) if row.state != TermsState::Published => {
            let detail = format!(
                "{} edition {} is {}: only a published one can be chosen",
                row.code, row.edition, row.state
            );
            faults.push(Fault::new("/terms", "terms_not_published", detail));
            Ok(None)
        }
        Some(row) => Ok(Some((row.code, row.edition))),
    }
}

/// The job that a path names, by id or by number.
pub(crate) fn named(conn: &mut Conn, shop: &Shop, name: &str) -> Result<JobRow, Error> {
    if let Ok(number) = name.parse::<RunningNumber>() {
        return Ok(jobs::numbered(conn, shop, number)?);
    }
    let id: JobId = name.parse().map_err(|_| Rule::NotFound)?;
    Ok(jobs::find(conn, shop, id)?)
}

/// A job with its vehicle, both locked until the transaction ends: the vehicle first, as wherever something is entered.
pub(crate) fn locked(tx: &mut Tx<'_>, shop: &Shop, id: JobId) -> Result<JobRow, Error> {
    let vehicle = jobs::find(tx, shop, id)?.vehicle;
    let had = vehicle_events::lock(tx, shop, vehicle);
    jobs::lock(tx, shop, id)?;
    let row = jobs::find(tx, shop, id)?;
    if row.vehicle != vehicle {
        // The vehicle's VIN was given meanwhile, and it is another identity now.
        return Err(db::Error::Busy.into());
    }
    had?;
    Ok(row)
}

/// A job that may still be worked on, locked until the transaction ends.
pub(crate) fn open_job(tx: &mut Tx<'_>, shop: &Shop, id: JobId) -> Result<JobRow, Error> {
    jobs::lock(tx, shop, id)?;
    Ok(must_be_open(jobs::find(tx, shop, id)?)?)
}

/// Refuses a job that may no longer be worked on.
pub(crate) fn must_be_open(row: JobRow) -> Result<JobRow, Rule> {
    if row.state == JobState::Open {
        return Ok(row);
    }
    Err(Rule::state("job_not_open", format!("{} is {}: its rows no longer change", row.number, row.state)))
}

pub(crate) fn view(conn: &mut Conn, shop: &Shop, row: JobRow) -> Result<JobView, Error> {
    let panels = jobs::panels(conn, shop, row.id)?;
    Ok(JobView {
        id: row.id,
        number: row.number,
        state: row.state,
        vehicle_id: row.vehicle,
        odometer: row.odometer.into(),
        terms: row.terms.map(|(code, edition)| TermsChoice { code, edition: Some(edition) }),
        panels: panels.listed,
        excluded_panels: panels.excluded,
        finishes: panels.finishes,
        old_coating: panels.old_coating,
        package: row.package,
        plan: row.plan,
        stages: row.stages,
        started_at: row.started_at,
        created_at: row.created_at,
        signed_off_at: row.signed_off.map(|signed| signed.at),
        record: row.signed_off.map(|signed| RecordPlace { seq: signed.seq, digest: signed.digest }),
        handed_over_on: row.handed_over.map(|(on, _)| on),
        cancelled_because: row.cancelled_because,
        version: row.version,
    })
}

/// Takes a vehicle in for a job. Its odometer is a reading like any other.
pub fn add(app: &App, who: &Who, input: JobInput) -> Result<JobView, Error> {
    let (app, who, now) = (app.clone(), who.clone(), app.now());
    app.db.clone().write(move |tx| {
        let (shop, vehicle, today) = (who.shop, input.vehicle_id, who.day(now));
        let mut faults = input.faults(now);
        let (input, plan) = plans::begin(tx, &shop, input, &mut faults)?;
        match unknown(tx, &shop, vehicle)? {
            None => drop(vehicle_events::lock(tx, &shop, vehicle)?),
            fault => faults.extend(fault),
        }
        let terms = chosen(tx, &shop, input.terms.as_ref(), &mut faults)?;
        let taken = take_odometer(tx, &shop, vehicle, today, input.odometer, &[], faults)?;
        let mut reading = NewEvent::new(today, Happened::Reading {});
        reading.odometer = Some(taken);
        let year =
            u16::try_from(today.year()).map_err(|_| db::Error::Other("the clock shows no year".into()))?;
        let row = JobRow {
            id: new_id(),
            number: records::next_number(tx, &shop, Numbered::Job, year)?,
            vehicle,
            state: JobState::Open,
            odometer: taken.odometer,
            reading: Some(reading.id),
            terms,
            package: input.package.clone(),
            plan,
            stages: input.stages.clone(),
            started_at: input.started_at.map(|at| at.0),
            created_at: now,
            created_by: who.member,
            signed_off: None,
            handed_over: None,
            cancelled_because: None,
            version: 1,
        };
        jobs::add(tx, &shop, &row, &input.panels())?;
        refresh_key(tx, &shop, row.vehicle)?;
        enter_reading(tx, &app, &who, &row, vec![reading])?;
        view(tx, &shop, row)
    })
}

/// Enters what was read when the vehicle was taken in, with the job that it stands in.
fn enter_reading(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Who,
    row: &JobRow,
    events: Vec<NewEvent>,
) -> Result<(), Error> {
    let entry = Entry {
        kind: RecordKind::Event,
        subject: Some(format!("job:{}", row.id)),
        says: Map::from_iter([("job".to_owned(), job_sheet::job(tx, &who.shop, row)?)]),
        personal: Vec::new(),
        events,
    };
    facts::enter(tx, app, who, row.vehicle, entry).map(drop)
}

/// One job of the shop, by id or number.
pub fn find(app: &App, who: &Who, name: &str) -> Result<JobView, Error> {
    app.db.read(|c| {
        let row = named(c, &who.shop, name)?;
        view(c, &who.shop, row)
    })
}

/// A page of jobs, newest first; in one state, or of one vehicle, if asked.
pub fn list(
    app: &App,
    who: &Who,
    state: Option<JobState>,
    vehicle: Option<VehicleId>,
    wanted: &Wanted<JobId>,
) -> Result<Page<JobView>, Error> {
    app.db.read(|c| {
        let rows = jobs::list(c, &who.shop, state, vehicle, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// Changes a job by a merge patch, if it is still of `version`: everything while it is open, its terms until handover.
pub fn change(app: &App, who: &Who, id: JobId, version: i64, patch: &Value) -> Result<JobView, Error> {
    let current = find(app, who, &id.to_string())?;
    let before = JobInput {
        vehicle_id: current.vehicle_id,
        odometer: OdometerInput {
            value: current.odometer.value,
            unit: current.odometer.unit,
            confirmed: false,
            replaced: false,
        },
        terms: current.terms.clone(),
        package: current.package.clone(),
        panels: current.panels.clone(),
        excluded_panels: current.excluded_panels.clone(),
        finishes: current.finishes.clone(),
        old_coating: current.old_coating.clone(),
        stages: current.stages.clone(),
        started_at: current.started_at.map(Moment),
    };
    // Other terms named without an edition mean their latest one, not the edition of those before.
    let mut settled = before.clone();
    if patch.pointer("/terms/code").is_some() && patch.pointer("/terms/edition").is_none() {
        settled.terms = None;
    }
    let input: JobInput = patched(&settled, patch)?;
    let mut faults = input.faults(app.now());
    if input.vehicle_id != before.vehicle_id {
        faults.push(Fault::new(
            "/vehicle_id",
            "fixed",
            "a job stays with its vehicle: cancel it and enter another",
        ));
    }
    if input.package != before.package {
        let detail = "a job keeps the package that it was opened from: cancel it and enter another";
        faults.push(Fault::new("/package", "fixed", detail));
    }
    let only_terms = patch.as_object().is_some_and(|members| members.keys().all(|name| name == "terms"));
    let (app, who) = (app.clone(), who.clone());
    app.db.clone().write(move |tx| {
        let (shop, now) = (who.shop, app.now());
        let mut row = locked(tx, &shop, id)?;
        if row.version != version {
            return Err(Rule::Stale.into());
        }
        let (mut faults, terms_before) = (faults, row.terms.clone());
        row.terms = if input.terms == before.terms {
            row.terms
        } else {
            chosen(tx, &shop, input.terms.as_ref(), &mut faults)?
        };
        let mut events = Vec::new();
        if input.odometer == before.odometer {
            all_clear(faults)?;
        } else {
            let wrong = row.reading.map(|old| (old, "entered anew"));
            let read = read_anew(tx, &shop, row.vehicle, wrong, who.day(now), input.odometer, faults)?;
            row.odometer = read.taken.odometer;
            row.reading = Some(read.reading);
            events = read.events;
        }
        let may = row.state == JobState::Open || (only_terms && row.state == JobState::SignedOff);
        if !may {
            return Err(Rule::state("job_not_open", format!("{} is {}", row.number, row.state)).into());
        }
        if row.state == JobState::Open {
            row.started_at = input.started_at.map(|at| at.0);
            row.stages.clone_from(&input.stages);
            jobs::set_panels(tx, &shop, id, &input.panels())?;
        }
        if !jobs::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        if !events.is_empty() {
            enter_reading(tx, &app, &who, &row, events)?;
        }
        if row.state == JobState::SignedOff && row.terms != terms_before {
            // The sheet that was signed stands; what came after it is said beside it.
            let body = json!({"job": job_sheet::job(tx, &shop, &row)?});
            Document::new(RecordKind::Addendum, format!("job:{id}"), &body)?.keep(tx, &who, now)?;
        }
        view(tx, &shop, row)
    })
}

/// Why something is done.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Because {
    /// In plain words; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

impl Because {
    pub(crate) fn check(&self) -> Result<(), Rule> {
        all_clear(wanted_text("/reason", &self.reason, 2_000).into_iter().collect())
    }
}

/// Cancels an open job.
pub fn cancel(app: &App, who: &Who, id: JobId, because: Because) -> Result<JobView, Error> {
    because.check()?;
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        let mut row = open_job(tx, &shop, id)?;
        row.state = JobState::Cancelled;
        row.cancelled_because = Some(because.reason.clone());
        if !jobs::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        let mut body = job_sheet::sheet(tx, &who, &row)?;
        body.insert("reason".into(), json!(because.reason));
        Document::new(RecordKind::Cancellation, format!("job:{}", row.id), &body)?
            .personal(job_sheet::PERSONAL)
            .personal(&["/reason"])
            .keep(tx, &who, now)?;
        view(tx, &shop, row)
    })
}
