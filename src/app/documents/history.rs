//! The history of a vehicle or of a warranty, and the dispute file: everything that is on record.

use chrono::{DateTime, NaiveDate, NaiveDateTime, Utc};

use super::certificate::standing;
use super::{Asked, Document, Office, job, made, owner, setting, vehicle};
use crate::app::assessments::{Case, parsed};
use crate::app::drawings::cover_of;
use crate::app::{App, Error, Who, warranties as warranty_cases};
use crate::core::ids::{EventId, VehicleId};
use crate::db::jobs::JobRow;
use crate::db::vehicle_events::EventRow;
use crate::db::warranties::WarrantyRow;
use crate::db::{Conn, jobs, records, vehicle_events, vehicles, visits, warranties};
use crate::documents::dispute_file::{DisputeFile, RecordOnPaper};
use crate::documents::history::{EventOnPaper, History, WarrantyOnPaper};
use crate::documents::press::Template;

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

/// Everything about a vehicle of the shop, with the proofs.
pub fn dispute_file_of(app: &App, who: &Who, id: VehicleId, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| {
        let office = Office::from(who);
        let History { setting, vehicle, unit, warranties, jobs, happened, .. } =
            whole(conn, app, &office, id, asked, now)?;
        let mut happened = happened;
        happened.sort_by_key(|event| event.entered);
        let file = DisputeFile {
            setting,
            vehicle,
            unit,
            made: local(&office, now),
            zone: who.zone.name().to_owned(),
            warranties,
            jobs,
            happened,
            records: records_of(conn, &office, id)?,
        };
        Ok(file.paper())
    })
}

fn local(office: &Office, at: DateTime<Utc>) -> NaiveDateTime {
    at.with_timezone(&office.zone).naive_local()
}

/// The jobs of a vehicle, oldest first.
fn jobs_of(conn: &mut Conn, office: &Office, vehicle: VehicleId) -> Result<Vec<JobRow>, Error> {
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
    let mut told = Vec::new();
    for row in warranties::of_vehicle(conn, &office.shop, id)?.into_iter().filter(warranty_wanted) {
        told.push(warranty(conn, office, row, today)?);
    }
    let names = job::names(conn, office)?;
    let mut jobs = Vec::new();
    for row in jobs_of(conn, office, id)?.into_iter().filter(job_wanted) {
        jobs.push(job::told(conn, app, office, &row, &names)?);
    }
    Ok(History {
        setting: setting(conn, app, &office.shop, asked, owner, now)?,
        warranty: None,
        vehicle,
        unit,
        as_of: today,
        warranties: told,
        jobs,
        happened: events(conn, office, id)?,
    })
}

fn warranty(
    conn: &mut Conn,
    office: &Office,
    row: WarrantyRow,
    today: NaiveDate,
) -> Result<WarrantyOnPaper, Error> {
    let text = warranties::terms_of(conn, &office.shop, row.id)?;
    let terms = parsed(&text.document)?;
    let (number, void) = (row.number.to_string(), row.voided.is_some());
    let standing = standing(conn, &office.shop, &row)?;
    let case = (!void).then(|| Case::load(conn, &office.shop, row)).transpose()?;
    let answer = case.as_ref().map(|case| case.answer(&case.verdict(today, None)).assessment);
    Ok(WarrantyOnPaper {
        number,
        terms: (terms.title, terms.code, terms.edition),
        standing,
        drawing: case.as_ref().map(|case| cover_of(case, today)),
        reasons: answer
            .iter()
            .flat_map(|answer| &answer.explanation.reasons)
            .map(|one| one.text.clone())
            .collect(),
        verdict: answer.map(|answer| answer.assessment),
    })
}

/// What happened to a vehicle, by day, then in the order in which it was entered.
fn events(conn: &mut Conn, office: &Office, id: VehicleId) -> Result<Vec<EventOnPaper>, Error> {
    let rows = vehicle_events::of_vehicle(conn, &office.shop, id)?;
    let gone: Vec<EventId> = rows.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let mut told = Vec::new();
    for row in rows {
        let EventRow { event, visit, record_seq, .. } = row;
        let visit = visit.map(|id| visits::find(conn, &office.shop, id)).transpose()?;
        let (elsewhere, note) = visit.map(|visit| (visit.done_by, visit.note)).unwrap_or_default();
        told.push(EventOnPaper {
            on: event.on,
            km: event.km,
            elsewhere: elsewhere.map(|by| (by.name, by.proof)),
            note,
            entered: (local(office, event.recorded), record_seq),
            retracted: gone.contains(&event.id),
            happened: event.happened,
        });
    }
    told.sort_by_key(|event| event.on);
    Ok(told)
}

/// The records about a vehicle, its jobs and its warranties, in the order of the log.
fn records_of(conn: &mut Conn, office: &Office, id: VehicleId) -> Result<Vec<RecordOnPaper>, Error> {
    let plate = vehicles::find(conn, &office.shop, id)?;
    let mut subjects = vec![(format!("vehicle:{id}"), plate.plate.or(plate.vin).unwrap_or_default())];
    for row in jobs_of(conn, office, id)? {
        subjects.push((format!("job:{}", row.id), row.number.to_string()));
    }
    for row in warranties::of_vehicle(conn, &office.shop, id)? {
        subjects.push((format!("warranty:{}", row.id), row.number.to_string()));
    }
    let mut told = Vec::new();
    for (subject, about) in subjects {
        for row in records::about(conn, &office.shop, &subject)? {
            told.push(RecordOnPaper {
                seq: row.seq,
                kind: row.kind,
                about: about.clone(),
                at: local(office, row.recorded_at),
                digest: row.digest,
            });
        }
    }
    told.sort_by_key(|record| record.seq);
    Ok(told)
}
