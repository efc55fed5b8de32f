//! Appointments: when a vehicle is to come, and for which dues. While one lies inside the window of a due, its owner
//! is not reminded of it.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::assessments::{Case, cases};
use super::notices;
use super::page::{Page, Wanted};
use super::tasks::{self, NewTask};
use super::warranties::named as named_warranty;
use super::{App, Error, Who, new_id, patched, wanted_text};
use crate::core::assess::DueStatus;
use crate::core::calendar::{Moment, local_day};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{AppointmentId, VehicleId, WarrantyId};
use crate::core::words::{AppointmentState, TaskKind};
pub use crate::db::appointments::Filter;
use crate::db::appointments::{self, AppointmentRow, Served};
use crate::db::{self, Conn, Shop, Tx, agenda, vehicles};

/// How far ahead a day can be booked, in days.
const FARTHEST: i64 = 3 * 366;

/// An appointment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AppointmentInput {
    /// The vehicle that is to come.
    pub vehicle_id: VehicleId,
    /// When; from today on, up to three years ahead.
    pub at: Moment,
    /// The dues that it is to serve; every one of the vehicle's whose window the day lies in unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dues: Option<Vec<ServedDue>>,
    /// What there is to say of it; up to 2,000 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 2000)]
    pub note: Option<String>,
}

/// A due that an appointment is to serve.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ServedDue {
    /// The warranty, by id or number.
    pub warranty: String,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: u32,
}

/// What can be changed of an appointment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AppointmentChange {
    /// When: moved.
    pub at: Moment,
    /// The dues that it is to serve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dues: Option<Vec<ServedDue>>,
    /// What there is to say of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 2000)]
    pub note: Option<String>,
    /// Kept, missed, cancelled, or booked again.
    pub state: AppointmentState,
}

/// A due that an appointment is to serve, as it is answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ServedView {
    /// The warranty.
    pub warranty: WarrantyId,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: u32,
}

/// An appointment as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AppointmentView {
    /// The appointment.
    pub id: AppointmentId,
    /// The vehicle that is to come.
    pub vehicle_id: VehicleId,
    /// When.
    pub at: DateTime<Utc>,
    /// The shop's local day of it.
    pub on: NaiveDate,
    /// Where it stands.
    pub state: AppointmentState,
    /// The dues that it is to serve.
    pub dues: Vec<ServedView>,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When it was booked.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

fn view(conn: &mut Conn, shop: &Shop, row: AppointmentRow) -> Result<AppointmentView, Error> {
    let served = |due: Served| ServedView { warranty: due.warranty, upkeep: due.upkeep, number: due.number };
    let dues = appointments::dues(conn, shop, row.id)?.into_iter().map(served).collect();
    Ok(AppointmentView {
        id: row.id,
        vehicle_id: row.vehicle,
        at: row.at,
        on: row.on,
        state: row.state,
        dues,
        note: row.note,
        created_at: row.created_at,
        version: row.version,
    })
}

/// A day that cannot be booked.
fn at_fault(at: Moment, who: &Who, now: DateTime<Utc>) -> Option<Fault> {
    let (today, on) = (who.day(now), who.day(at.0));
    if on < today {
        let detail = format!("{on} is over; today is {today}");
        Some(Fault::new("/at", "in_the_past", detail))
    } else if (on - today).num_days() > FARTHEST {
        Some(Fault::new("/at", "too_far_ahead", format!("{on} is more than three years ahead")))
    } else {
        None
    }
}

/// The dues that an appointment is to serve: those that were named, or all of the vehicle in whose window the day
/// lies.
fn served(
    conn: &mut Conn,
    who: &Who,
    vehicle: VehicleId,
    named: Option<&[ServedDue]>,
    on: NaiveDate,
    now: DateTime<Utc>,
    faults: &mut Vec<Fault>,
) -> Result<Vec<Served>, Error> {
    let cases = cases(conn, &who.shop, vehicle)?;
    let waiting = |case: &Case| -> Vec<(Served, bool)> {
        let verdict = case.verdict(local_day(now, case.row.time_zone).date(), None);
        let assessment = case.assessment(&verdict);
        let open = assessment.dues.into_iter().filter(|due| {
            matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late | DueStatus::Missed)
        });
        open.map(|due| {
            let fits =
                due.status != DueStatus::Missed && (due.opens.date()..=due.closes.date()).contains(&on);
            (Served { warranty: case.row.id, upkeep: due.upkeep, number: due.number }, fits)
        })
        .collect()
    };
    let known: Vec<(Served, bool)> = cases.iter().flat_map(waiting).collect();
    let Some(named) = named else {
        return Ok(known.into_iter().filter(|(_, fits)| *fits).map(|(due, _)| due).collect());
    };
    let mut dues = Vec::new();
    for (i, due) in named.iter().enumerate() {
        let warranty = named_warranty(conn, &who.shop, &due.warranty).ok();
        let wanted =
            warranty.map(|warranty| Served { warranty, upkeep: due.upkeep.clone(), number: due.number });
        match wanted.filter(|wanted| known.iter().any(|(known, _)| known == wanted)) {
            Some(due) if dues.contains(&due) => {}
            Some(due) => dues.push(due),
            None => {
                let detail = format!(
                    "{}#{} of {} is nothing that this vehicle still has to have done",
                    due.upkeep, due.number, due.warranty
                );
                faults.push(Fault::new(format!("/dues/{i}"), "unknown_due", detail));
            }
        }
    }
    Ok(dues)
}

/// Books a vehicle in.
pub fn add(app: &App, who: &Who, input: AppointmentInput) -> Result<AppointmentView, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        let mut faults: Vec<Fault> = at_fault(input.at, &who, now).into_iter().collect();
        faults.extend(input.note.as_deref().and_then(|note| wanted_text("/note", note, 2_000)));
        if let Err(db::Error::NotFound) = vehicles::find(tx, &shop, input.vehicle_id) {
            let detail = format!("{} is no vehicle of your shop", input.vehicle_id);
            faults.push(Fault::new("/vehicle_id", "unknown_vehicle", detail));
            all_clear(std::mem::take(&mut faults))?;
        }
        let on = who.day(input.at.0);
        let dues = served(tx, &who, input.vehicle_id, input.dues.as_deref(), on, now, &mut faults)?;
        all_clear(faults)?;
        let row = AppointmentRow {
            id: new_id(),
            vehicle: input.vehicle_id,
            at: input.at.0,
            on,
            state: AppointmentState::Booked,
            note: input.note,
            created_at: now,
            created_by: who.member,
            version: 1,
        };
        appointments::add(tx, &shop, &row, &dues)?;
        agenda::plan_vehicles(tx, &shop, &[row.vehicle])?;
        notices::booked(tx, &app_in, &shop, &row, now)?;
        view(tx, &shop, row)
    })
}

/// One appointment.
pub fn find(app: &App, who: &Who, id: AppointmentId) -> Result<AppointmentView, Error> {
    app.db.read(|c| {
        let row = appointments::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// A page of appointments, newest first.
pub fn list(
    app: &App,
    who: &Who,
    filter: &Filter,
    wanted: &Wanted<AppointmentId>,
) -> Result<Page<AppointmentView>, Error> {
    app.db.read(|c| {
        let rows = appointments::list(c, &who.shop, filter, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// Changes an appointment by a merge patch, if it is still of `version`: moved, kept, missed, cancelled.
pub fn change(
    app: &App,
    who: &Who,
    id: AppointmentId,
    version: i64,
    patch: &Value,
) -> Result<AppointmentView, Error> {
    let current = find(app, who, id)?;
    let named = |due: &ServedView| ServedDue {
        warranty: due.warranty.to_string(),
        upkeep: due.upkeep.clone(),
        number: due.number,
    };
    let before = AppointmentChange {
        at: Moment(current.at),
        dues: Some(current.dues.iter().map(named).collect()),
        note: current.note.clone(),
        state: current.state,
    };
    let input: AppointmentChange = patched(&before, patch)?;
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        let mut row = appointments::find(tx, &shop, id)?;
        let on = who.day(input.at.0);
        let mut faults: Vec<Fault> = Vec::new();
        if input.at != before.at {
            faults.extend(at_fault(input.at, &who, now));
        }
        faults.extend(input.note.as_deref().and_then(|note| wanted_text("/note", note, 2_000)));
        let kept = input.state == AppointmentState::Kept || input.state == AppointmentState::Missed;
        if kept && on > who.day(now) {
            let detail = format!("{on} is still to come: nothing can be {} yet", input.state);
            faults.push(Fault::new("/state", "in_the_future", detail));
        }
        let dues = if input.dues == before.dues {
            appointments::dues(tx, &shop, id)?
        } else {
            served(tx, &who, row.vehicle, input.dues.as_deref(), on, now, &mut faults)?
        };
        all_clear(faults)?;
        if row.version != version {
            return Err(Rule::Stale.into());
        }
        let moved = row.at != input.at.0 || row.state != input.state;
        (row.at, row.on, row.note, row.state) = (input.at.0, on, input.note, input.state);
        if !appointments::change(tx, &shop, &row, &dues)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        agenda::plan_vehicles(tx, &shop, &[row.vehicle])?;
        if moved {
            notices::booked(tx, &app_in, &shop, &row, now)?;
        }
        view(tx, &shop, row)
    })
}

/// What was booked for a day that is over in its shop, and nobody came: it is missed, and the desk is to ask.
pub(crate) fn days(app: &App, now: DateTime<Utc>) -> Result<(), Error> {
    let (app_in, scope) = (app.clone(), app.db.installation());
    // Somewhere it is already the next day.
    let before = now.date_naive() + chrono::TimeDelta::days(1);
    app.db.write(move |tx| {
        for (shop, mut row) in appointments::gone_by(tx, &scope, before, 500)? {
            let zone = super::shops::zone(tx, &app_in, &shop)?;
            if local_day(now, zone).date() <= row.on {
                continue;
            }
            row.state = AppointmentState::Missed;
            let dues = appointments::dues(tx, &shop, row.id)?;
            appointments::change(tx, &shop, &row, &dues)?;
            agenda::plan_vehicles(tx, &shop, &[row.vehicle])?;
            ask(tx, &shop, &row, now)?;
        }
        Ok(())
    })
}

fn ask(tx: &mut Tx<'_>, shop: &Shop, row: &AppointmentRow, now: DateTime<Utc>) -> Result<(), Error> {
    let task = NewTask {
        key: format!("appointment/{}/missed/{}", row.id, row.on),
        kind: TaskKind::AppointmentMissed,
        customer: vehicles::owner(tx, shop, row.vehicle)?,
        vehicle: row.vehicle,
        text: format!("Booked for {} and not here: ask, and book another day.", row.on),
    };
    tasks::add(tx, shop, task, now).map(drop)
}
