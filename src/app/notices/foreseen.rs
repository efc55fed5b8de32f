//! What would go out, if nothing else happened until then. Nothing is written.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use super::new::NewNotice;
use super::plan::{Told, leads_in_use, look, told_of, zone_of};
use super::sections::{self, Said};
use super::{NoticeView, seasons};
use crate::app::dues::DueCustomer;
use crate::app::{App, Error, Who, shops};
use crate::core::calendar::{Day, day_begins, local_day};
use crate::core::notices::{About, DueNotice, ENDING_DAYS, Occasion, Step, lookout, steps};
use crate::core::words::{NoticeKind, NoticeState};
use crate::db::agenda::{self, Item};
use crate::db::customers::CustomerRow;
use crate::db::notices::{self, NoticeRow};
use crate::db::{Conn, Shop, customers, people, vehicles, warranties};

/// How many days ahead the shop sees what it will write.
pub const AHEAD: i64 = 60;

/// A notice that would go out on a day, if nothing else happened until then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Foreseen {
    /// The kind of notice.
    pub kind: NoticeKind,
    /// The shop.
    pub shop: String,
    /// The owner's name.
    pub customer: String,
    /// Where it goes.
    pub email: String,
    /// The subject of the mail, as it would be alone.
    pub subject: String,
    /// From when on it may go out.
    pub planned_for: DateTime<Utc>,
    /// The zone in which the owner lives.
    pub time_zone: Tz,
    /// Why.
    pub because: String,
}

/// What would go out on a day, by owner's zone, if nothing else happened until then.
pub fn on(app: &App, day: NaiveDate) -> Result<Vec<Foreseen>, Error> {
    let scope = app.db.installation();
    let now = app.now();
    let mut foreseen = Vec::new();
    app.db.read::<_, Error>(|c| {
        for (shop, row) in notices::every_planned(c, &scope)? {
            let customer = customers::find(c, &shop, row.customer)?;
            let zone = zone_of(&customer.time_zone, Tz::UTC);
            if local_day(row.planned_for.max(now), zone).date() == day {
                foreseen.push(put_down(c, app, &shop, &row, &customer)?);
            }
        }
        Ok(())
    })?;
    let mut after = None;
    loop {
        let items = app.db.read(|c| agenda::every(c, &scope, after, 500))?;
        let Some(last) = items.last() else { break };
        after = Some(last.warranty);
        app.db.read::<_, Error>(|c| {
            for item in &items {
                let known = notices::keys_of(c, &item.shop, item.warranty)?;
                for ahead in of_warranty(c, app, item, day.into(), now, &known)? {
                    foreseen.push(told(c, app, &item.shop, &ahead)?);
                }
            }
            Ok(())
        })?;
    }
    let shops = app.db.read::<_, Error>(|c| Ok(people::shops(c, &scope)?))?;
    app.db.read::<_, Error>(|c| {
        for row in shops {
            for ahead in of_seasons(c, app, &row.shop, now, day_after(day))? {
                let zone = zone_of(&ahead.customer.time_zone, Tz::UTC);
                if local_day(ahead.planned_for, zone).date() == day {
                    foreseen.push(told(c, app, &row.shop, &ahead)?);
                }
            }
        }
        Ok(())
    })?;
    sort(&mut foreseen);
    Ok(foreseen)
}

/// What would go out from now on for [`AHEAD`] days in all shops, the soonest first.
pub fn coming(app: &App) -> Result<Vec<Foreseen>, Error> {
    let scope = app.db.installation();
    let until = app.now() + TimeDelta::days(AHEAD);
    let mut foreseen = app.db.read::<_, Error>(|c| {
        let mut foreseen = Vec::new();
        for (shop, row) in notices::every_planned(c, &scope)? {
            if row.planned_for <= until {
                let customer = customers::find(c, &shop, row.customer)?;
                foreseen.push(put_down(c, app, &shop, &row, &customer)?);
            }
        }
        for row in people::shops(c, &scope)? {
            for ahead in of_shop(c, app, &row.shop)? {
                foreseen.push(told(c, app, &row.shop, &ahead)?);
            }
        }
        Ok(foreseen)
    })?;
    sort(&mut foreseen);
    Ok(foreseen)
}

fn sort(foreseen: &mut [Foreseen]) {
    foreseen.sort_by(|one, other| {
        (one.planned_for, &one.customer, &one.subject).cmp(&(
            other.planned_for,
            &other.customer,
            &other.subject,
        ))
    });
}

/// An instant after which the day is over everywhere.
fn day_after(day: NaiveDate) -> DateTime<Utc> {
    day_begins(Day::from(day).plus_days(2), Tz::UTC)
}

/// What the planner would put down about a warranty on a day.
fn of_warranty(
    conn: &mut Conn,
    app: &App,
    item: &Item,
    day: Day,
    now: DateTime<Utc>,
    known: &BTreeSet<String>,
) -> Result<Vec<NewNotice>, Error> {
    let row = warranties::find(conn, &item.shop, item.warranty)?;
    let Some(seen) = look(conn, app, &item.shop, row, day.date())? else { return Ok(Vec::new()) };
    let zone = seen.view.owner.zone;
    let is_today = local_day(now, zone) == day;
    let goes_on = |on| local_day(seen.cadence.send_on(on, zone), zone);
    let told = told_of(&seen, day, known).into_iter().filter(|told| is_today || goes_on(told.on) == day);
    Ok(told.map(|told| told.to(item, seen.customer.clone())).collect())
}

/// What will go out to the owners of a shop within [`AHEAD`] days and is not put down yet, the soonest first.
pub(super) fn of_shop(conn: &mut Conn, app: &App, shop: &Shop) -> Result<Vec<NewNotice>, Error> {
    let now = app.now();
    let until = now + TimeDelta::days(AHEAD);
    let (from, last) =
        (Day::from(now.date_naive()).plus_days(-1), Day::from(until.date_naive()).plus_days(1));
    let look = lookout(from, last, &leads_in_use(conn, app)?);
    let mut all = Vec::new();
    for item in agenda::with_dues(conn, &app.db.installation(), &look)? {
        if item.shop.id() == shop.id() {
            all.extend(within(conn, app, &item, now, until)?);
        }
    }
    all.extend(of_seasons(conn, app, shop, now, until)?);
    all.retain(|ahead| ahead.planned_for <= until);
    all.sort_by_key(|ahead| (ahead.planned_for, ahead.key()));
    Ok(all)
}

/// What will be told about a warranty from now until an instant, day by day on which something comes.
fn within(
    conn: &mut Conn,
    app: &App,
    item: &Item,
    now: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Result<Vec<NewNotice>, Error> {
    let row = warranties::find(conn, &item.shop, item.warranty)?;
    let Some(seen) = look(conn, app, &item.shop, row.clone(), local_day(now, row.time_zone).date())? else {
        return Ok(Vec::new());
    };
    let zone = seen.view.owner.zone;
    let (today, last) = (local_day(now, zone), local_day(until, zone));
    let leads = seen.view.leads.as_ref().unwrap_or(&seen.cadence.leads);
    let of_dues = seen.view.dues.iter().filter_map(|due| Some((seen.view.rules.get(due.rule)?, due)));
    let mut days: BTreeSet<Day> =
        of_dues.flat_map(|(rule, due)| steps(rule, due, leads)).map(|step| step.1).collect();
    let before = i32::try_from(ENDING_DAYS).unwrap_or(i32::MAX);
    days.extend(seen.view.last_days.iter().map(|day| day.plus_days(-before)));
    days.insert(today);
    // What comes on a quiet day goes out after it.
    let days: BTreeSet<Day> = days
        .into_iter()
        .map(|day| local_day(seen.cadence.send_on(day, zone), zone).max(today))
        .filter(|day| (today..=last).contains(day))
        .collect();
    let mut known = notices::keys_of(conn, &item.shop, item.warranty)?;
    let mut all = Vec::new();
    for day in days {
        for ahead in of_warranty(conn, app, item, day, now, &known)? {
            known.insert(ahead.key());
            all.push(ahead);
        }
    }
    Ok(all)
}

/// What will be told of the seasons that begin for a shop from now until an instant.
fn of_seasons(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    now: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Result<Vec<NewNotice>, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let zone = shops::zone(conn, app, shop)?;
    let coming: Vec<_> = seasons::between(&settings, now, until)
        .into_iter()
        .filter(|(_, begins)| (now..=until).contains(&day_begins(*begins, zone)))
        .collect();
    let mut all = Vec::new();
    for (season, begins) in coming {
        for item in agenda::covered(conn, shop, None, i64::MAX)? {
            let Some(customer) = super::occasions::addressee(conn, shop, item.vehicle)? else { continue };
            if !customer.mail_upkeep {
                continue;
            }
            let planned_for = settings.cadence().send_on(begins, zone_of(&customer.time_zone, Tz::UTC));
            let about = About::Season { season, begins };
            let said = sections::said(conn, app, shop, &customer, item.vehicle, &about, planned_for)?;
            if let Said::Holds(section) = said {
                let told = Told { about, on: begins, send_at: planned_for, section };
                let ahead = told.to(&item, customer);
                // The shop may have stopped it already.
                if !notices::is_put_down(conn, shop, &ahead.key())? {
                    all.push(ahead);
                }
            }
        }
    }
    Ok(all)
}

/// Notices of a shop as a list shows them that are not put down yet.
pub(super) fn views(app: &App, who: &Who) -> Result<Vec<NoticeView>, Error> {
    app.db.read(|c| {
        let all = of_shop(c, app, &who.shop)?;
        all.into_iter().map(|ahead| view(c, app, &who.shop, ahead)).collect()
    })
}

pub(super) fn view(conn: &mut Conn, app: &App, shop: &Shop, ahead: NewNotice) -> Result<NoticeView, Error> {
    Ok(NoticeView {
        id: ahead.foreseen_id(),
        kind: ahead.about.kind(),
        customer: DueCustomer { id: ahead.customer.id, name: ahead.customer.name.clone() },
        vehicle: vehicles::find(conn, shop, ahead.vehicle)?.into(),
        warranty_id: ahead.warranty,
        state: NoticeState::Planned,
        foreseen: true,
        planned_for: ahead.planned_for,
        sent_at: None,
        subject: ahead.subject(conn, app, shop)?,
        message_id: None,
        attempts: 0,
        last_error: None,
        because: Some(why(&ahead.about)),
        version: 0,
    })
}

fn told(conn: &mut Conn, app: &App, shop: &Shop, ahead: &NewNotice) -> Result<Foreseen, Error> {
    Ok(Foreseen {
        kind: ahead.about.kind(),
        shop: shops::settings(conn, app, shop)?.name,
        customer: ahead.customer.name.clone(),
        email: ahead.customer.email.clone().unwrap_or_default(),
        subject: ahead.subject(conn, app, shop)?,
        planned_for: ahead.planned_for,
        time_zone: zone_of(&ahead.customer.time_zone, Tz::UTC),
        because: why(&ahead.about),
    })
}

fn put_down(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    row: &NoticeRow,
    customer: &CustomerRow,
) -> Result<Foreseen, Error> {
    Ok(Foreseen {
        kind: row.kind,
        shop: shops::settings(conn, app, shop)?.name,
        customer: customer.name.clone(),
        email: customer.email.clone().unwrap_or_default(),
        subject: row.subject.clone(),
        planned_for: row.planned_for,
        time_zone: zone_of(&customer.time_zone, Tz::UTC),
        because: why(&row.about),
    })
}

/// Why a notice is there, for the shop.
pub(super) fn why(about: &About) -> String {
    match about {
        About::Due(DueNotice { step, upkeep, number, closes, on, .. }) => match step {
            Step::Upcoming(days) => format!("{upkeep} number {number}: {days} days before it is due"),
            Step::LastCall => {
                format!("{upkeep} number {number}: its window closes on {closes}, neither met nor booked")
            }
            Step::Missed => format!("{upkeep} number {number}: missed from {on}"),
        },
        About::Record(Occasion::Handover(_)) | About::Aftercare { .. } => {
            "the vehicle was handed over".into()
        }
        About::Record(Occasion::Visit(_)) => "a visit was entered".into(),
        About::WashFrom { from, .. } => format!("the first wash is safe from {from} on"),
        About::FirstLook(_) => "three weeks after handover".into(),
        About::Booked { again: false, .. } => "a day was booked".into(),
        About::Booked { again: true, .. } => "the booked day is near".into(),
        About::Season { season, begins } => format!("{season} begins on {begins}, by the shop's settings"),
        About::Ending { last_day, .. } => format!("cover ends on {last_day}"),
        About::Link(_) => "the owner asked for it".into(),
        About::Changed { on, .. } => format!("cover was changed by what happened on {on}"),
    }
}
