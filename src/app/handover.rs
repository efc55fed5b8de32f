//! Handover: the vehicle goes back to its owner, with a warranty on the terms of its job.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::checks::{lacks, seen};
use super::cure::{Care, care_since};
use super::facts::{self, Entry, NewEvent, day_fault};
use super::jobs::{JobView, TermsChoice, locked, view as job_view};
use super::odometer::{OdometerInput, km_known, take_odometer};
use super::warranties::{CoatedSurface, Issued, NewWarranty, issue};
use super::{App, Error, Who, job_sheet, notices};
use crate::core::calendar::Day;
use crate::core::checks::coated;
use crate::core::coats::LaidCoat;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{RunningNumber, WarrantyId};
use crate::core::vehicle_events::Happened;
use crate::core::words::{JobState, RecordKind, TermsState};
use crate::db::jobs::{self, JobRow};
use crate::db::parts::Part as _;
use crate::db::warranties::CoverItem;
use crate::db::{Tx, terms, vehicles, warranties};

/// A handover.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HandoverInput {
    /// The day; from the last coat's day to today.
    pub on: Day,
    /// The odometer.
    pub odometer: OdometerInput,
    /// Whether the owner gets the history by mail; yes unless given.
    #[serde(default)]
    pub mail: Option<bool>,
    /// Hand over without a warranty, although terms were chosen.
    #[serde(default)]
    pub without_warranty: bool,
    /// A warranty that the new one takes the place of: its id or number.
    #[serde(default)]
    pub replaces: Option<String>,
}

/// A warranty that is issued after handover.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LaterInput {
    /// The terms; those of the job unless given.
    #[serde(default)]
    pub terms: Option<TermsChoice>,
    /// The day that cover counts from as if it were that of handover; the job's unless given, and not before it.
    #[serde(default)]
    pub on: Option<Day>,
}

/// A warranty as handover answers it.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct IssuedView {
    /// The warranty.
    pub id: WarrantyId,
    /// `W-…`
    pub number: RunningNumber,
    /// Code by which anybody can verify it.
    pub verify_code: String,
    /// First day of cover.
    pub start: NaiveDate,
    /// The terms that it was issued on.
    pub terms: TermsChoice,
    /// What it covers.
    pub cover: Vec<CoverItem>,
}

/// What a handover answers.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct HandedOver {
    /// The job.
    pub job: JobView,
    /// The warranty; null where there is none.
    pub warranty: Option<IssuedView>,
    /// From when on the vehicle may meet water and be washed; null where no coat of the job cures.
    pub care: Option<Care>,
    /// The warranty's version, for its ETag.
    #[serde(skip)]
    pub version: i64,
}

fn issued_view(issued: &Issued, terms: TermsChoice) -> IssuedView {
    IssuedView {
        id: issued.row.id,
        number: issued.row.number,
        verify_code: issued.row.verify_code.clone(),
        start: issued.row.start,
        terms,
        cover: issued.row.cover.clone(),
    }
}

/// What must be so before a job can be handed over on a day.
fn may_hand_over(row: &JobRow) -> Result<(), Rule> {
    match row.state {
        JobState::SignedOff => Ok(()),
        JobState::HandedOver => {
            Err(Rule::state("job_handed_over", format!("{} has been handed over already", row.number)))
        }
        state => {
            Err(Rule::state("job_not_signed_off", format!("{} is {state}: sign it off first", row.number)))
        }
    }
}

/// A warranty for a job, on terms that were published.
struct ToIssue<'a> {
    row: &'a JobRow,
    terms: (String, u32),
    handed_over_on: NaiveDate,
    start_km: u32,
    replaces: Option<WarrantyId>,
}

fn issue_for(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Who,
    to: &ToIssue<'_>,
) -> Result<(Issued, TermsChoice), Error> {
    let (code, edition) = &to.terms;
    let row = terms::find(tx, &who.shop, code, *edition)?;
    if row.state != TermsState::Published {
        let detail = format!("{} edition {} is {}", row.code, row.edition, row.state);
        return Err(Rule::rule("/terms", "terms_not_published", detail).into());
    }
    let job = seen(tx, who, to.row)?;
    let short: Vec<Value> = lacks(&job)?
        .into_iter()
        .map(|lack| json!({"pointer": "", "code": lack.code, "subject": lack.subject, "detail": lack.detail}))
        .collect();
    if !short.is_empty() {
        let things =
            if short.len() == 1 { "one thing".to_owned() } else { format!("{} things", short.len()) };
        let detail = format!(
            "the job falls short of {} in {things}; a step that was done and not entered counts once it follows as an addendum",
            row.code
        );
        return Err(Rule::State { code: "job_falls_short", detail, errors: short, more: Map::new() }.into());
    }
    let last = job.coats.iter().map(|seen| seen.coat.ended_at.0).max();
    let surface = |one: crate::core::checks::Coated| CoatedSurface {
        surface: one.surface,
        panels: one.panels,
        excluded_panels: one.excluded,
    };
    let new = NewWarranty {
        job: to.row.id,
        vehicle: to.row.vehicle,
        customer: vehicles::owner(tx, &who.shop, to.row.vehicle)?,
        terms: row.id,
        handed_over_on: to.handed_over_on,
        completed_on: last.map_or(to.handed_over_on, |at| who.day(at)),
        start_km: to.start_km,
        coated: coated(&job).into_iter().map(surface).collect(),
        replaces: to.replaces,
    };
    let issued = issue(tx, app, who, &new)?;
    Ok((issued, TermsChoice { code: row.code, edition: Some(row.edition) }))
}

/// The first day on which a job can have been handed over: that of its last coat.
fn earliest(tx: &mut Tx<'_>, who: &Who, row: &JobRow) -> Result<Option<NaiveDate>, Error> {
    let coats = LaidCoat::of_job(tx, &who.shop, row.id)?;
    let ends = coats.iter().map(|row| row.part.coat.ended_at.max(row.part.coat.started_at));
    Ok(ends.max().map(|at| who.day(at.0)))
}

fn day_faults(
    tx: &mut Tx<'_>,
    who: &Who,
    row: &JobRow,
    on: NaiveDate,
    now: DateTime<Utc>,
) -> Result<Vec<Fault>, Error> {
    let mut faults: Vec<Fault> = day_fault("/on", on, who.day(now)).into_iter().collect();
    if let Some(first) = earliest(tx, who, row)?.filter(|first| on < *first) {
        faults.push(Fault::new(
            "/on",
            "before_last_coat",
            format!("{on} lies before {first}, the day of the last coat"),
        ));
    }
    Ok(faults)
}

/// The warranty that the one of this handover is to take the place of: one of this vehicle that is neither void nor
/// replaced yet. It keeps what it promised.
fn replaced(
    tx: &mut Tx<'_>,
    who: &Who,
    row: &JobRow,
    input: &HandoverInput,
    faults: &mut Vec<Fault>,
) -> Result<Option<WarrantyId>, Error> {
    let Some(name) = &input.replaces else { return Ok(None) };
    let mut refuse = |code, why: &str| faults.push(Fault::new("/replaces", code, format!("{name} {why}")));
    if input.without_warranty || row.terms.is_none() {
        refuse("no_warranty", "cannot be replaced: this handover issues no warranty");
    }
    let id = match super::warranties::named(tx, &who.shop, name) {
        Err(Error::Rule(Rule::NotFound)) => None,
        other => Some(other?),
    };
    let all = warranties::of_vehicle(tx, &who.shop, row.vehicle)?;
    match all.iter().find(|known| Some(known.id) == id) {
        None => refuse("unknown_warranty", "is no warranty of this vehicle"),
        Some(known) if known.voided.is_some() => refuse("warranty_void", "is void"),
        Some(known) if all.iter().any(|other| other.replaces == Some(known.id) && other.voided.is_none()) => {
            refuse("already_replaced", "has been replaced already");
        }
        Some(_) => {}
    }
    Ok(id)
}

/// Hands a job's vehicle over, and issues the warranty that its terms promise.
pub fn hand_over(app: &App, who: &Who, name: &str, input: HandoverInput) -> Result<HandedOver, Error> {
    let (app_in, who, now, name) = (app.clone(), who.clone(), app.now(), name.to_owned());
    app.db.write(move |tx| {
        let app = &app_in;
        let shop = who.shop;
        let found = super::jobs::named(tx, &shop, &name)?;
        let mut row = locked(tx, &shop, found.id)?;
        let on = input.on.date();
        let mut faults = day_faults(tx, &who, &row, on, now)?;
        let replaces = replaced(tx, &who, &row, &input, &mut faults)?;
        let taken = take_odometer(tx, &shop, row.vehicle, on, input.odometer, &[], faults)?;
        may_hand_over(&row)?;
        let issued = match row.terms.clone().filter(|_| !input.without_warranty) {
            Some(terms) => {
                let to = ToIssue { row: &row, terms, handed_over_on: on, start_km: taken.km, replaces };
                Some(issue_for(tx, app, &who, &to)?)
            }
            None => None,
        };
        row.state = JobState::HandedOver;
        row.handed_over = Some((on, taken.km));
        if !jobs::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        let mut says = Map::new();
        says.insert("job".into(), job_sheet::job(tx, &shop, &row)?);
        says.insert("on".into(), json!(on));
        let care = care_since(tx, &shop, who.zone, &row, on, now)?;
        says.insert("care".into(), json!(care));
        says.insert(
            "warranty".into(),
            issued.as_ref().map_or(Value::Null, |(issued, _)| issued.document.clone()),
        );
        let mut reading = NewEvent::new(on, Happened::Reading {});
        reading.odometer = Some(taken);
        let mut entry = Entry::of(RecordKind::Handover, reading);
        entry.subject = Some(format!("job:{}", row.id));
        entry.says = says;
        facts::enter(tx, app, &who, row.vehicle, entry)?;
        if input.mail.unwrap_or(true) {
            let warranty = issued.as_ref().map(|(issued, _)| issued.row.id);
            let done = notices::HandedOver {
                job: row.id,
                vehicle: row.vehicle,
                warranty,
                on: on.into(),
                care: care.as_ref(),
            };
            notices::handed_over(tx, app, &shop, &done, now)?;
        }
        let version = match &issued {
            // Entering the handover has assessed the warranty since.
            Some((issued, _)) => warranties::find(tx, &shop, issued.row.id)?.version,
            None => row.version,
        };
        let warranty = issued.map(|(issued, terms)| issued_view(&issued, terms));
        Ok(HandedOver { care, job: job_view(tx, &shop, row)?, warranty, version })
    })
}

/// Issues a warranty for a job that was handed over without one.
pub fn later(app: &App, who: &Who, name: &str, input: LaterInput) -> Result<HandedOver, Error> {
    let (app_in, who, now, name) = (app.clone(), who.clone(), app.now(), name.to_owned());
    app.db.write(move |tx| {
        let app = &app_in;
        let shop = who.shop;
        let found = super::jobs::named(tx, &shop, &name)?;
        let mut row = locked(tx, &shop, found.id)?;
        let today = who.day(now);
        let on = input.on.map(Day::date).or(row.handed_over.map(|(on, _)| on)).unwrap_or(today);
        let mut faults: Vec<Fault> = day_fault("/on", on, today).into_iter().collect();
        if let Some((first, _)) = row.handed_over.filter(|(first, _)| on < *first) {
            let detail = format!("{on} lies before {first}, the day of handover");
            faults.push(Fault::new("/on", "before_handover", detail));
        }
        if input.terms.is_some() {
            row.terms = super::jobs::chosen(tx, &shop, input.terms.as_ref(), &mut faults)?;
        } else if row.terms.is_none() {
            faults.push(Fault::new("/terms", "missing", "the job has no terms: say which"));
        }
        all_clear(faults)?;
        let (Some((handed_over_on, handover_km)), Some(terms)) = (row.handed_over, row.terms.clone()) else {
            let detail = format!("{} is {}: hand it over first", row.number, row.state);
            return Err(Rule::state("job_not_signed_off", detail).into());
        };
        if warranties::of_job(tx, &shop, row.id)?.iter().any(|warranty| warranty.voided.is_none()) {
            let detail = format!("{} has its warranty: void that first", row.number);
            return Err(Rule::state("job_handed_over", detail).into());
        }
        // On the day of handover its odometer; on a later one what has been read since.
        let start_km = km_known(tx, &shop, row.vehicle, handed_over_on, on)?
            .map_or(handover_km, |km| km.max(handover_km));
        let to = ToIssue { row: &row, terms, handed_over_on: on, start_km, replaces: None };
        let (issued, terms) = issue_for(tx, app, &who, &to)?;
        if !jobs::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        let mut says = Map::new();
        says.insert("job".into(), job_sheet::job(tx, &shop, &row)?);
        says.insert("on".into(), json!(on));
        says.insert("warranty".into(), issued.document.clone());
        let entry = Entry {
            kind: RecordKind::Handover,
            subject: Some(format!("job:{}", row.id)),
            says,
            personal: Vec::new(),
            events: Vec::new(),
        };
        facts::enter(tx, app, &who, row.vehicle, entry)?;
        let version = warranties::find(tx, &shop, issued.row.id)?.version;
        let warranty = Some(issued_view(&issued, terms));
        let care = care_since(tx, &shop, who.zone, &row, handed_over_on, now)?;
        Ok(HandedOver { care, job: job_view(tx, &shop, row)?, warranty, version })
    })
}
