//! Which notices a due gives rise to, which of them is true today, and whether one still is.

use std::collections::BTreeSet;
use std::fmt;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::{
    Cadence, DueView, ENDING_DAYS, LAST_CALL_DAYS, OwnerView, RuleView, Standing, Step, WarrantyView,
    due_key, urgency,
};
use crate::core::calendar::{Day, Period};
use crate::core::ids::{CustomerId, WarrantyId};
use crate::core::words::NoticeKind;

/// An `upcoming` this close to the last call, in days, is left out.
const TOO_CLOSE: i32 = 7;

/// A notice about a due that is to go out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DueNotice {
    /// Its unique key.
    pub key: String,
    /// The warranty.
    pub warranty: WarrantyId,
    /// Whom it goes to.
    pub owner: CustomerId,
    /// The key of the rule.
    pub upkeep: String,
    /// Which due of the rule.
    pub number: u32,
    /// The last day on which the due can be met, as it was when this was planned.
    pub closes: Day,
    /// What it says.
    pub step: Step,
    /// The day on which this step came; before today only when an outage is made up for, or a due moved.
    pub on: Day,
    /// The moment from which it may go out.
    pub send_at: DateTime<Utc>,
}

impl DueNotice {
    /// The kind of notice.
    pub const fn kind(&self) -> NoticeKind {
        self.step.kind()
    }
}

/// The steps of a due and the day of each, in order of time; whether they came true is not looked at.
///
/// Left out: everything on a rule whose misses are only noted; an `upcoming` with a lead longer than a third of
/// the rule's interval (months as 28 days), or within 7 days of the last call; and, but for `missed`, what would
/// lie before the due existed.
///
/// A due that is expected to be reached by distance sooner than by the calendar is told of by that day; whether it is
/// missed is never a guess.
///
/// ```
/// use lustrum::core::calendar::{Day, Period};
/// use lustrum::core::notices::{DueView, RuleView, Standing, Step, steps};
/// let day = |text: &str| text.parse::<Day>().unwrap();
/// let yearly = Period { years: 1, ..Period::default() };
/// let rule = RuleView { key: "annual".into(), interval: yearly, only_noted: false };
/// let due = DueView {
///     rule: 0, number: 1, counted_from: None, due: day("2027-03-10"), closes: day("2027-04-09"),
///     due_by_km: None, closes_by_km: None, standing: Standing::Waiting, booked: false,
/// };
/// assert_eq!(steps(&rule, &due, &[45, 14]), [
///     (Step::Upcoming(45), day("2027-01-24")),
///     (Step::Upcoming(14), day("2027-02-24")),
///     (Step::LastCall, day("2027-03-26")),
///     (Step::Missed, day("2027-04-10")),
/// ]);
/// ```
pub fn steps(rule: &RuleView, due: &DueView, leads: &[u32]) -> Vec<(Step, Day)> {
    if rule.only_noted {
        return Vec::new();
    }
    let sooner = |day: Day, by_km: Option<Day>| by_km.map_or(day, |by_km| by_km.min(day));
    let last_call = days_before(sooner(due.closes, due.closes_by_km), LAST_CALL_DAYS);
    let missed = match due.standing {
        Standing::Missed(from) => from,
        _ => due.closes.plus_days(1),
    };
    let upcoming = leads
        .iter()
        .filter(|lead| 3 * i64::from(**lead) <= nominal_days(rule.interval))
        .map(|lead| (Step::Upcoming(*lead), days_before(sooner(due.due, due.due_by_km), *lead)))
        .filter(|(_, day)| day.days().abs_diff(last_call.days()) > TOO_CLOSE.unsigned_abs());
    let mut steps: Vec<(Step, Day)> = upcoming
        .chain([(Step::LastCall, last_call)])
        // A due that is missed by distance is missed before its time.
        .filter(|(_, day)| *day < missed && due.counted_from.is_none_or(|from| *day >= from))
        .chain([(Step::Missed, missed)])
        .collect();
    steps.sort_unstable_by_key(|(step, day)| (*day, urgency(step.kind()), *step));
    steps.dedup();
    steps
}

/// The notices about the dues of a warranty that are true on the owner's day `today` and not yet planned, the most
/// urgent first. `planned` holds the keys of all that were.
///
/// Of the steps of a due that have come, only the last one is told; where an earlier planning told it, or told one
/// that comes later still, there is nothing to tell. So it does not matter how often, or how late, this is asked.
pub fn plan(
    warranty: &WarrantyView,
    cadence: &Cadence,
    today: Day,
    planned: &BTreeSet<String>,
) -> Vec<DueNotice> {
    let owner = &warranty.owner;
    if !owner.wants_upkeep {
        return Vec::new();
    }
    let mut notices: Vec<DueNotice> = warranty
        .dues
        .iter()
        .filter_map(|due| {
            let rule = warranty.rules.get(due.rule)?;
            let (step, on) = step_today(warranty, rule, due, cadence, today)?;
            let key = |step| due_key(warranty.id, owner.id, &rule.key, due.number, due.closes, step);
            if told(planned, &key(step), step) {
                return None;
            }
            let notice = DueNotice {
                key: key(step),
                warranty: warranty.id,
                owner: owner.id,
                upkeep: rule.key.clone(),
                number: due.number,
                closes: due.closes,
                step,
                on,
                send_at: cadence.send_on(today, owner.zone),
            };
            Some(notice)
        })
        .collect();
    notices.sort_by(most_urgent_first);
    notices
}

/// Cover that ends before long, and is to be told of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ending {
    /// The last day of that cover.
    pub last_day: Day,
    /// The day on which it came to be told, [`ENDING_DAYS`] before.
    pub on: Day,
    /// The moment from which it may go out.
    pub send_at: DateTime<Utc>,
}

/// The cover of a warranty that ends within [`ENDING_DAYS`] of the owner's day `today`. What came to be told before the
/// vehicle was theirs, or before the warranty was entered, is not.
pub fn endings(warranty: &WarrantyView, cadence: &Cadence, today: Day) -> Vec<Ending> {
    let OwnerView { zone, since, wants_upkeep, .. } = warranty.owner;
    if !wants_upkeep {
        return Vec::new();
    }
    let ending = |last_day: &Day| {
        let on = days_before(*last_day, ENDING_DAYS);
        let told = on <= today
            && today <= *last_day
            && on >= since
            && cadence.send_on(on, zone) >= warranty.entered_at;
        told.then(|| Ending { last_day: *last_day, on, send_at: cadence.send_on(today, zone) })
    };
    warranty.last_days.iter().filter_map(ending).collect()
}

/// The last step of a due that has come by `today` and is true, if it came in the owner's time and after the
/// warranty was entered.
fn step_today(
    warranty: &WarrantyView,
    rule: &RuleView,
    due: &DueView,
    cadence: &Cadence,
    today: Day,
) -> Option<(Step, Day)> {
    let leads = warranty.leads.as_ref().unwrap_or(&cadence.leads);
    let (step, on) = steps(rule, due, leads).into_iter().rev().find(|(_, day)| *day <= today)?;
    let true_now = match step {
        Step::Missed => matches!(due.standing, Standing::Missed(_)),
        Step::Upcoming(_) | Step::LastCall => due.standing == Standing::Waiting && !due.booked,
    };
    let OwnerView { zone, since, .. } = warranty.owner;
    let told_in_time = on >= since && cadence.send_on(on, zone) >= warranty.entered_at;
    (true_now && told_in_time).then_some((step, on))
}

/// Whether this step of a due was planned, or one that comes after it.
fn told(planned: &BTreeSet<String>, key: &str, step: Step) -> bool {
    if planned.contains(key) {
        return true;
    }
    let Some(due) = key.strip_suffix(&tail(step)) else { return false };
    planned.range(due.to_owned()..).take_while(|other| other.starts_with(due)).any(|other| {
        let mut parts = other[due.len()..].split('/');
        let kind = parts.next().and_then(|kind| kind.parse::<NoticeKind>().ok());
        let days = parts.next().and_then(|days| days.parse::<u32>().ok());
        match (kind, step) {
            // Leads that were changed in between: one closer to the due has been sent.
            (Some(NoticeKind::Upcoming), Step::Upcoming(lead)) => days.is_some_and(|days| days < lead),
            (Some(kind), _) => urgency(kind) < urgency(step.kind()),
            (None, _) => false,
        }
    })
}

/// What of a key tells the steps of one due apart.
fn tail(step: Step) -> String {
    format!("{}/{}", step.kind(), step.days())
}

fn most_urgent_first(one: &DueNotice, other: &DueNotice) -> std::cmp::Ordering {
    let place = |notice: &DueNotice| (urgency(notice.kind()), notice.closes);
    place(one).cmp(&place(other)).then_with(|| one.key.cmp(&other.key))
}

/// Why a planned notice is not sent after all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stale {
    /// The due is no longer among the dues: cover ended, or it was entered anew.
    Gone,
    /// The service was done, or waived.
    Settled,
    /// What the miss cost was made good.
    MadeGood,
    /// The window now closes on another day.
    Moved,
    /// The owner has booked.
    Booked,
    /// A later step has come.
    Overtaken,
    /// The vehicle is somebody else's now.
    OtherOwner,
    /// The owner wants no such mails any more.
    Unwanted,
}

impl fmt::Display for Stale {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Gone => "the due no longer stands",
            Self::Settled => "the service was done or waived",
            Self::MadeGood => "the miss was made good",
            Self::Moved => "the window closes on another day now",
            Self::Booked => "the owner has booked",
            Self::Overtaken => "a later notice has taken its place",
            Self::OtherOwner => "the vehicle has another owner now",
            Self::Unwanted => "the owner wants no mails about upkeep",
        })
    }
}

/// Whether a planned notice is still true on the owner's day `today`, asked just before it is sent.
pub fn still_holds(
    notice: &DueNotice,
    warranty: &WarrantyView,
    cadence: &Cadence,
    today: Day,
) -> Result<(), Stale> {
    if notice.owner != warranty.owner.id {
        return Err(Stale::OtherOwner);
    }
    if !warranty.owner.wants_upkeep {
        return Err(Stale::Unwanted);
    }
    let found = warranty.dues.iter().find_map(|due| {
        let rule = warranty.rules.get(due.rule)?;
        (rule.key == notice.upkeep && due.number == notice.number).then_some((rule, due))
    });
    let (rule, due) = found.ok_or(Stale::Gone)?;
    match (due.standing, notice.step) {
        (Standing::Settled, _) => return Err(Stale::Settled),
        (Standing::MadeGood, _) => return Err(Stale::MadeGood),
        (Standing::Missed(_), Step::Upcoming(_) | Step::LastCall) => return Err(Stale::Overtaken),
        (Standing::Waiting, Step::Missed) => return Err(Stale::Gone),
        (Standing::Waiting, _) if due.booked => return Err(Stale::Booked),
        (Standing::Waiting | Standing::Missed(_), _) => {}
    }
    if due.closes != notice.closes {
        return Err(Stale::Moved);
    }
    let leads = warranty.leads.as_ref().unwrap_or(&cadence.leads);
    let later = steps(rule, due, leads)
        .into_iter()
        .any(|(step, day)| day <= today && day > notice.on && step != notice.step);
    if later { Err(Stale::Overtaken) } else { Ok(()) }
}

/// Of which dues something can come to be told in a run of days; every other due can be left alone.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lookout {
    /// Runs of days, first and last: dues with `due` in one of them.
    pub due: Vec<(Day, Day)>,
    /// Runs of days, first and last: dues with `closes` in one of them.
    pub closes: Vec<(Day, Day)>,
    /// Runs of days, first and last: cover whose last day lies in one of them.
    pub ends: Vec<(Day, Day)>,
}

/// Which dues are to be looked at on the days from `from` to `today`, with these leads in use (the shop's and those
/// of every plan). A due that was missed by distance, moved, or got a new owner is looked at when that is entered.
///
/// ```
/// use lustrum::core::notices::lookout;
/// let look = lookout("2026-03-01".parse()?, "2026-03-01".parse()?, &[45, 14]);
/// assert_eq!(look.due, [("2026-03-15".parse()?, "2026-03-15".parse()?), ("2026-04-15".parse()?, "2026-04-15".parse()?)]);
/// assert_eq!(look.closes, [("2026-02-28".parse()?, "2026-02-28".parse()?), ("2026-03-15".parse()?, "2026-03-15".parse()?)]);
/// assert_eq!(look.ends, [("2026-04-30".parse()?, "2026-04-30".parse()?)]);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn lookout(from: Day, today: Day, leads: &[u32]) -> Lookout {
    if from > today {
        return Lookout::default();
    }
    let run = |days: i32| (from.plus_days(days), today.plus_days(days));
    let due = leads.iter().map(|lead| run(whole_days(*lead))).collect();
    Lookout {
        due: joined(due),
        closes: joined(vec![run(-1), run(whole_days(LAST_CALL_DAYS))]),
        ends: vec![run(whole_days(ENDING_DAYS))],
    }
}

/// Runs of days in rising order, those that overlap or touch made one.
fn joined(mut runs: Vec<(Day, Day)>) -> Vec<(Day, Day)> {
    runs.sort_unstable();
    let mut apart: Vec<(Day, Day)> = Vec::new();
    for (first, last) in runs {
        match apart.last_mut() {
            Some(before) if first <= before.1.plus_days(1) => before.1 = before.1.max(last),
            _ => apart.push((first, last)),
        }
    }
    apart
}

/// The length of an interval for choosing leads: months as 28 days, years as twelve of them.
fn nominal_days(interval: Period) -> i64 {
    let months = 12 * i64::from(interval.years) + i64::from(interval.months);
    28 * months + 7 * i64::from(interval.weeks) + i64::from(interval.days)
}

fn days_before(day: Day, days: u32) -> Day {
    day.plus_days(-whole_days(days))
}

fn whole_days(days: u32) -> i32 {
    i32::try_from(days).unwrap_or(i32::MAX)
}
