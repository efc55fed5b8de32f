//! The card of a fresh coating, from the clocks of its job.

use chrono::{DateTime, NaiveDateTime, SubsecRound as _, TimeDelta, Timelike as _, Utc};

use super::{Asked, Document, made, owner, setting, vehicle};
use crate::app::checks::{seen, unwritable};
use crate::app::cure::{care, stages_outside};
use crate::app::{App, Error, Who, jobs as job_cases};
use crate::core::calendar::{Day, day_begins};
use crate::core::cure::job::{JobClocks, WASH_SAFE, Water};
use crate::db::jobs::JobRow;
use crate::documents::press::Template;
use crate::documents::winter_card::{CardPanels, When, WinterCard};

/// The card of a job, by id or number: as the vehicle leaves now, or left when it was handed over.
pub fn winter_card_of(app: &App, who: &Who, name: &str, asked: Asked) -> Result<Document, Error> {
    let now = app.now();
    made(app, Template::Pages, |conn| {
        let row = job_cases::named(conn, &who.shop, name)?;
        let job = seen(conn, who, &row)?;
        let leaves = leaves(who, &row, now);
        let (stages, care) = (stages_outside(&job, leaves), care(&job, leaves)?);
        let clocks = JobClocks::new(&job, &stages).map_err(unwritable)?;
        let local = |at: DateTime<Utc>| at.with_timezone(&who.zone).naive_local();
        let when = |at: Option<DateTime<Utc>>| match at {
            None => When::Unknown,
            Some(at) if at <= leaves => When::Now,
            Some(at) => When::At(full_hour(local(at))),
        };
        let mut panels: Vec<CardPanels> = Vec::new();
        for water in clocks.water() {
            let wash = clocks.milestone(WASH_SAFE, Some(&water.panel)).flatten();
            let (first, wash) = (first_water(&water, &when), when(wash));
            let same = panels
                .iter_mut()
                .find(|one| (one.surface, one.water, one.wash) == (water.surface, first, wash));
            match same {
                Some(same) => same.panels.push(water.panel),
                None => {
                    let (surface, on) = (water.surface, vec![water.panel]);
                    panels.push(CardPanels { surface, panels: on, water: first, wash });
                }
            }
        }
        let of = |at: Option<crate::core::calendar::Moment>| when(at.map(|at| at.0));
        let (vehicle, _) = vehicle(conn, &who.shop, row.vehicle)?;
        let owner = owner(conn, &who.shop, row.vehicle)?;
        let card = WinterCard {
            setting: setting(conn, app, &who.shop, asked, owner, leaves)?,
            job: row.number.to_string(),
            vehicle,
            zone: who.zone.name().to_owned(),
            leaves: local(leaves).trunc_subsecs(0),
            water: panels.iter().map(|one| one.water).max().unwrap_or(When::Unknown),
            wash: care.as_ref().map_or(When::Unknown, |care| of(care.first_wash)),
            cured: care.as_ref().map_or(When::Unknown, |care| of(care.full_cure)),
            panels,
        };
        Ok(card.paper())
    })
}

/// When the vehicle leaves, or left: now, or when the day of its handover ended.
fn leaves(who: &Who, row: &JobRow, now: DateTime<Utc>) -> DateTime<Utc> {
    let handed_over = row.handed_over.map(|(on, _)| day_begins(Day::from(on).plus_days(1), who.zone));
    handed_over.map_or(now, |ended| ended.min(now))
}

fn first_water(water: &Water, when: &impl Fn(Option<DateTime<Utc>>) -> When) -> When {
    match when(water.from) {
        When::Now if water.cover.is_some() => When::Covered,
        _ if !water.said => When::Unknown,
        other => other,
    }
}

/// The next full hour: nobody can tell more closely.
fn full_hour(at: NaiveDateTime) -> NaiveDateTime {
    let hour = at.with_minute(0).and_then(|at| at.with_second(0)).and_then(|at| at.with_nanosecond(0));
    match hour {
        Some(hour) if hour < at => hour + TimeDelta::hours(1),
        _ => at,
    }
}
