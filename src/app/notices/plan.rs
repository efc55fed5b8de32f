//! Planning: which notices are true today, each put down once.
//!
//! It looks at warranties on which something was entered or changed since they were last planned, and at those with
//! a due that is asked for or closes on one of the days on which notices go out; at no others.

use std::collections::BTreeSet;

use chrono::{DateTime, DurationRound as _, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use super::new::NewNotice;
use super::{Addressed, letters, seasons, sections};
use crate::app::assessments::Case;
use crate::app::{App, Error, setup, shops};
use crate::core::assess::{Assessment, DueAnswer};
use crate::core::calendar::{Day, local_day};
use crate::core::notices::{
    About, Cadence, OwnerView, WarrantyView, due_views, endings, key_of, last_days, lookout,
    plan as plan_dues, rule_views,
};
use crate::core::terms::Terms;
use crate::core::words::CustomerKind;
use crate::db::agenda::{self, Item};
use crate::db::customers::CustomerRow;
use crate::db::notices::{self, NoticeRow};
use crate::db::warranties::WarrantyRow;
use crate::db::{
    Conn, Shop, appointments, customers, installation, people, terms, vehicle_events, vehicles, warranties,
};
use crate::mail::said::Section;

/// The setting that says until when planning has been done.
const PLANNED_UNTIL: &str = "planned_until";

/// Warranties that are looked at in one transaction.
const AT_A_TIME: usize = 200;

/// How often days are looked at: every zone in use begins its days on a quarter of an hour (IANA tz database).
const QUARTER: TimeDelta = TimeDelta::minutes(15);

/// A notice that was put down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Planned {
    /// Which.
    #[serde(flatten)]
    pub notice: Addressed,
    /// From when on it may go out.
    pub planned_for: DateTime<Utc>,
}

/// Plans what is to be told as of `at`; what was planned before is not planned again.
pub(crate) fn plan(app: &App, at: DateTime<Utc>) -> Result<Vec<Planned>, Error> {
    let mut planned = changed(app, at)?;
    let quarter = at.duration_trunc(QUARTER).unwrap_or(at);
    let scope = app.db.installation();
    let until = app.db.read::<_, Error>(|c| Ok(installation::setting(c, &scope, PLANNED_UNTIL)?))?;
    let until = until.and_then(|text| DateTime::parse_from_rfc3339(&text).ok()).map(|at| at.to_utc());
    if until.is_some_and(|until| quarter <= until) {
        return Ok(planned);
    }
    let since = until.or(setup::began(&app.db)?).unwrap_or(at);
    planned.extend(come(app, since, at)?);
    app.db.write::<_, Error>(move |tx| {
        Ok(installation::set_setting(tx, &scope, PLANNED_UNTIL, &quarter.to_rfc3339())?)
    })?;
    Ok(planned)
}

/// Warranties on which something was entered or changed since they were last planned.
fn changed(app: &App, at: DateTime<Utc>) -> Result<Vec<Planned>, Error> {
    let mut planned = Vec::new();
    loop {
        let (app_in, scope) = (app.clone(), app.db.installation());
        let (seen, batch) = app.db.write::<_, Error>(move |tx| {
            let items = agenda::to_plan(tx, &scope, i64::try_from(AT_A_TIME).unwrap_or(i64::MAX))?;
            let mut batch = Vec::new();
            for item in &items {
                // What is entered meanwhile waits, and has it planned again.
                vehicle_events::lock(tx, &item.shop, item.vehicle)?;
                for row in wanted(tx, &app_in, item, at)? {
                    if notices::add(tx, &item.shop, &row)? {
                        batch.push(told(&row));
                    }
                }
                agenda::planned(tx, &item.shop, item.warranty)?;
            }
            Ok((items.len(), batch))
        })?;
        planned.extend(batch);
        if seen < AT_A_TIME {
            return Ok(planned);
        }
    }
}

/// Warranties whose days for notices have come since an instant.
fn come(app: &App, since: DateTime<Utc>, at: DateTime<Utc>) -> Result<Vec<Planned>, Error> {
    let scope = app.db.installation();
    // Somewhere it is still the day before, and somewhere the next one already.
    let from = since.date_naive() - TimeDelta::days(1);
    let today = at.date_naive() + TimeDelta::days(1);
    let items = app.db.read::<_, Error>(|c| {
        let look = lookout(from.into(), today.into(), &leads_in_use(c, app)?);
        Ok(agenda::with_dues(c, &scope, &look)?)
    })?;
    let mut planned = Vec::new();
    for some in items.chunks(AT_A_TIME) {
        let rows = app.db.read::<_, Error>(|c| {
            let mut rows = Vec::new();
            for item in some {
                rows.extend(wanted(c, app, item, at)?.into_iter().map(|row| (item.shop, row)));
            }
            Ok(rows)
        })?;
        if rows.is_empty() {
            continue;
        }
        let added = app.db.write::<_, Error>(move |tx| {
            let mut added = Vec::new();
            for (shop, row) in &rows {
                if notices::add(tx, shop, row)? {
                    added.push(told(row));
                }
            }
            Ok(added)
        })?;
        planned.extend(added);
    }
    planned.extend(seasons::begun(app, since, at)?);
    Ok(planned)
}

fn told(row: &NoticeRow) -> Planned {
    Planned { notice: row.into(), planned_for: row.planned_for }
}

/// Every lead time, in days, that a shop or an edition of terms asks for.
pub(super) fn leads_in_use(conn: &mut Conn, app: &App) -> Result<Vec<u32>, Error> {
    let scope = app.db.installation();
    let mut leads = BTreeSet::new();
    for row in people::shops(conn, &scope)? {
        leads.extend(shops::ShopSettings::of(&row)?.upcoming_days);
    }
    for document in terms::with_leads(conn, &scope)? {
        // Drafts can be faulty; nobody has a warranty on them.
        let parsed = Terms::parse(document.as_bytes()).ok();
        leads.extend(parsed.and_then(|terms| terms.upcoming_days).into_iter().flatten());
    }
    Ok(leads.into_iter().collect())
}

/// A warranty as the planner sees it, and what its notices are written from.
pub(super) struct Seen {
    pub(super) customer: CustomerRow,
    pub(super) case: Case,
    pub(super) assessment: Assessment,
    pub(super) view: WarrantyView,
    pub(super) cadence: Cadence,
    pub(super) vehicle: String,
}

/// Looks at a warranty as of a day of its own zone; none where it is void, or there is nobody to be told.
pub(super) fn look(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    row: WarrantyRow,
    on: NaiveDate,
) -> Result<Option<Seen>, Error> {
    if row.voided.is_some() {
        return Ok(None);
    }
    let Some(owned) = vehicles::owned(conn, shop, row.vehicle)? else { return Ok(None) };
    let customer = customers::find(conn, shop, owned.customer)?;
    if customer.kind == CustomerKind::Stock || customer.email.is_none() {
        return Ok(None);
    }
    let settings = shops::settings(conn, app, shop)?;
    let vehicle = letters::vehicle_title(conn, shop, row.vehicle)?;
    let case = Case::load(conn, shop, row)?;
    let verdict = case.verdict(on, None);
    let (assessment, pace) = (case.assessment(&verdict), case.pace(&verdict));
    let bookings = appointments::bookings(conn, shop, case.row.id)?;
    let booked = |due: &DueAnswer| {
        bookings.iter().any(|(served, _, on)| {
            served.upkeep == due.upkeep
                && served.number == due.number
                && (due.opens.date()..=due.closes.date()).contains(on)
        })
    };
    let view = WarrantyView {
        id: case.row.id,
        entered_at: case.row.entered_at,
        owner: OwnerView {
            id: customer.id,
            zone: zone_of(&customer.time_zone, case.row.time_zone),
            since: owned.from.into(),
            wants_upkeep: customer.mail_upkeep,
        },
        leads: case.terms.upcoming_days.clone(),
        rules: rule_views(&case.terms),
        dues: due_views(&case.terms, &assessment, pace.as_ref(), booked),
        last_days: last_days(&assessment),
    };
    Ok(Some(Seen { customer, case, assessment, view, cadence: settings.cadence(), vehicle }))
}

/// A zone was checked when it was entered; one that the present edition of the tz database dropped falls back.
pub(super) fn zone_of(name: &str, otherwise: Tz) -> Tz {
    name.parse().unwrap_or(otherwise)
}

/// The notices about a warranty that are true at `at` and were never planned.
fn wanted(conn: &mut Conn, app: &App, item: &Item, at: DateTime<Utc>) -> Result<Vec<NoticeRow>, Error> {
    let row = warranties::find(conn, &item.shop, item.warranty)?;
    let on = local_day(at, row.time_zone).date();
    let Some(seen) = look(conn, app, &item.shop, row, on)? else { return Ok(Vec::new()) };
    let known = notices::keys_of(conn, &item.shop, item.warranty)?;
    let today = local_day(at, seen.view.owner.zone);
    let mut rows = Vec::new();
    for told in told_of(&seen, today, &known) {
        rows.push(told.to(item, seen.customer.clone()).row(conn, app, &item.shop, at)?);
    }
    Ok(rows)
}

/// Something that is to be told.
pub(super) struct Told {
    pub(super) about: About,
    /// The day on which it came to be told.
    pub(super) on: Day,
    /// From when on it may go out.
    pub(super) send_at: DateTime<Utc>,
    pub(super) section: Section,
}

impl Told {
    /// The notice to an owner that tells it.
    pub(super) fn to(self, item: &Item, customer: CustomerRow) -> NewNotice {
        let Self { about, send_at, section, .. } = self;
        let (vehicle, warranty) = (item.vehicle, Some(item.warranty));
        NewNotice { about, vehicle, warranty, customer, section, planned_for: send_at }
    }
}

/// What is to be told about a warranty on a day and was not: dues and ending cover.
pub(super) fn told_of(seen: &Seen, today: Day, known: &BTreeSet<String>) -> Vec<Told> {
    let dues = plan_dues(&seen.view, &seen.cadence, today, known).into_iter().filter_map(|notice| {
        let section = letters::due_section(&seen.case, &seen.assessment, &seen.vehicle, &notice)?;
        Some(Told { on: notice.on, send_at: notice.send_at, about: About::Due(notice), section })
    });
    let ends = endings(&seen.view, &seen.cadence, today).into_iter().filter_map(|ending| {
        let about = About::Ending { warranty: seen.view.id, last_day: ending.last_day };
        let section = sections::ending_section(&seen.case, &seen.assessment, &seen.vehicle, ending.last_day)?;
        let new = !known.contains(&key_of(&about, seen.case.row.vehicle, seen.customer.id));
        new.then_some(Told { about, on: ending.on, send_at: ending.send_at, section })
    });
    dues.chain(ends).collect()
}
