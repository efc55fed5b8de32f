//! The history of a vehicle or of a warranty.

use std::collections::HashMap;

use chrono::{DateTime, NaiveDate, Utc};

use super::certificate::standing;
use super::{Asked, Document, Office, job, made, owner, setting, vehicle};
use crate::app::assessments::{Case, parsed};
use crate::app::drawings::cover_of;
use crate::app::{App, Error, Who, warranties as warranty_cases};
use crate::core::ids::{EventId, VehicleId};
use crate::db::jobs::JobRow;
use crate::db::vehicle_events::EventRow;
use crate::db::warranties::WarrantyRow;
use crate::db::{Conn, jobs, terms, vehicle_events, visits, warranties};
use crate::documents::events::{Entry, EventOnPaper};
use crate::documents::history::{History, WarrantyOnPaper};
use crate::documents::press::Template;
use crate::language::Language;

/// The history of a warranty, by id or number, as of today: its job, and what happened since it began.
pub fn warranty_history_of(app: &App, who: &Who, name: &str, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| {
        let id = warranty_cases::named(conn, &who.shop, name)?;
        let row = warranties::find(conn, &who.shop, id)?;
        let (vehicle, job, start) = (row.vehicle, row.job, row.start);
        let mut history =
            history(conn, app, &who.into(), vehicle, asked, now, |one| one.id == id, |one| one.id == job)?;
        history.warranty = Some(row.number.to_string());
        history.happened.retain(|event| event.on >= start);
        Ok(history.paper())
    })
}

/// The history of a vehicle of the shop, as of today.
pub fn vehicle_history_of(app: &App, who: &Who, id: VehicleId, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| Ok(whole(conn, app, &who.into(), id, asked, now)?.paper()))
}

/// The jobs of a vehicle, oldest first.
pub(super) fn jobs_of(conn: &mut Conn, office: &Office, vehicle: VehicleId) -> Result<Vec<JobRow>, Error> {
    let mut jobs = jobs::list(conn, &office.shop, None, Some(vehicle), None, i64::MAX)?;
    jobs.reverse();
    Ok(jobs)
}

/// All that is told of a vehicle.
pub(super) fn whole(
    conn: &mut Conn,
    app: &App,
    office: &Office,
    id: VehicleId,
    asked: Asked,
    now: DateTime<Utc>,
) -> Result<History, Error> {
    history(conn, app, office, id, asked, now, |_| true, |_| true)
}

#[expect(clippy::too_many_arguments, reason = "what is asked, and of it what is wanted")]
fn history(
    conn: &mut Conn,
    app: &App,
    office: &Office,
    id: VehicleId,
    asked: Asked,
    now: DateTime<Utc>,
    warranty_wanted: impl Fn(&WarrantyRow) -> bool,
    job_wanted: impl Fn(&JobRow) -> bool,
) -> Result<History, Error> {
    let today = office.day(now);
    let (vehicle, unit) = vehicle(conn, &office.shop, id)?;
    let owner = owner(conn, &office.shop, id)?;
    let setting = setting(conn, app, &office.shop, asked, owner, now)?;
    let mut told = Vec::new();
    for row in warranties::of_vehicle(conn, &office.shop, id)?.into_iter().filter(warranty_wanted) {
        told.push(warranty(conn, office, row, today, setting.language)?);
    }
    let names = job::names(conn, office)?;
    let mut jobs = Vec::new();
    for row in jobs_of(conn, office, id)?.into_iter().filter(job_wanted) {
        jobs.push(job::told(conn, app, office, &row, &names, setting.language)?);
    }
    Ok(History {
        setting,
        warranty: None,
        vehicle,
        unit,
        as_of: today,
        warranties: told,
        jobs,
        happened: events(conn, office, &names, id)?,
    })
}

fn warranty(
    conn: &mut Conn,
    office: &Office,
    row: WarrantyRow,
    today: NaiveDate,
    language: Language,
) -> Result<WarrantyOnPaper, Error> {
    let edition = terms::by_id(conn, &office.shop, row.terms)?;
    let terms = parsed(&edition.document)?;
    let (number, start) = (row.number.to_string(), (row.start, row.start_km));
    let void_because = row.voided.as_ref().map(|(_, reason)| reason.clone());
    let standing = standing(conn, &office.shop, &row)?;
    let case = void_because.is_none().then(|| Case::load(conn, &office.shop, row)).transpose()?;
    let answer = case.as_ref().map(|case| case.answer(&case.verdict(today, None)).assessment);
    Ok(WarrantyOnPaper {
        number,
        terms: (terms.title, terms.code, terms.edition),
        terms_digest: edition.digest,
        start,
        void_because,
        standing,
        drawing: case.as_ref().map(|case| cover_of(case, today, language)),
        reasons: answer
            .iter()
            .flat_map(|answer| &answer.explanation.reasons)
            .map(|one| one.text.clone())
            .collect(),
        verdict: answer.map(|answer| answer.assessment),
    })
}

/// What happened to a vehicle, by day, then in the order in which it was entered.
fn events(
    conn: &mut Conn,
    office: &Office,
    names: &job::Names,
    id: VehicleId,
) -> Result<Vec<EventOnPaper>, Error> {
    let rows = vehicle_events::of_vehicle(conn, &office.shop, id)?;
    let records: HashMap<EventId, i64> = rows.iter().map(|row| (row.event.id, row.record_seq)).collect();
    let record_of = |event: Option<EventId>| event.and_then(|event| records.get(&event).copied());
    let gone: Vec<EventId> = rows.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let mut told = Vec::new();
    for row in rows {
        let EventRow { event, visit, record_seq, entered_by, .. } = row;
        let visit = visit.map(|id| visits::find(conn, &office.shop, id)).transpose()?;
        let (elsewhere, note) = visit.map(|visit| (visit.done_by, visit.note)).unwrap_or_default();
        told.push(EventOnPaper {
            on: event.on,
            km: event.km,
            elsewhere: elsewhere.map(|by| (by.name, by.proof)),
            note,
            entered: Entry {
                at: office.local(event.recorded),
                seq: record_seq,
                by: entered_by.and_then(|by| names.get(&by).cloned()),
                instead_of: record_of(event.instead_of),
                takes_back: record_of(event.happened.retracts()),
            },
            retracted: gone.contains(&event.id),
            happened: event.happened,
        });
    }
    told.sort_by_key(|event| event.on);
    Ok(told)
}
