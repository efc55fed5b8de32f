//! What the planner needs of a warranty, read off its terms and its verdict.

use std::collections::BTreeSet;

use super::{DueView, RuleView, Standing};
use crate::core::assess::{Assessment, DueAnswer, DueStatus, State};
use crate::core::calendar::Day;
use crate::core::distance::Pace;
use crate::core::terms::{Consequence, CountedFrom, Terms, Upkeep};

/// The rules of terms, in their order.
pub fn rule_views(terms: &Terms) -> Vec<RuleView> {
    let view = |rule: &Upkeep| RuleView {
        key: rule.key.clone(),
        interval: rule.every.or(rule.first_after).unwrap_or_default(),
        only_noted: rule.if_missed.iter().all(|consequence| *consequence == Consequence::Note),
    };
    terms.upkeep.iter().map(view).collect()
}

/// The dues of a verdict as they are told of; `pace` is how far the vehicle is driven a day, as far as that is known,
/// `booked` says whether a booking lies inside the window of one.
pub fn due_views(
    terms: &Terms,
    assessment: &Assessment,
    pace: Option<&Pace>,
    booked: impl Fn(&DueAnswer) -> bool,
) -> Vec<DueView> {
    let view = |due: &DueAnswer| {
        let place = terms.upkeep.iter().position(|rule| rule.key == due.upkeep)?;
        let rolling = terms.upkeep[place].counted_from == CountedFrom::Last;
        Some(DueView {
            rule: place,
            number: due.number,
            // A rolling clock's window opens on the day from which it counts.
            counted_from: rolling.then_some(due.opens),
            due: due.due,
            closes: due.closes,
            due_by_km: expected(pace, due.due_km),
            closes_by_km: expected(pace, due.closes_km),
            standing: standing(assessment, due),
            booked: booked(due),
        })
    };
    assessment.dues.iter().filter_map(view).collect()
}

/// The last days of cover that has not ended.
pub fn last_days(assessment: &Assessment) -> BTreeSet<Day> {
    let standing = assessment.cover.values().filter(|cover| cover.state != State::Ended);
    standing.map(|cover| cover.last_day).collect()
}

/// The day on which an odometer is expected to show so much.
pub fn expected(pace: Option<&Pace>, km: Option<u32>) -> Option<Day> {
    pace?.passes(f64::from(km?)).expected
}

fn standing(assessment: &Assessment, due: &DueAnswer) -> Standing {
    match (due.status, due.missed_from) {
        (DueStatus::Met | DueStatus::Waived, _) => Standing::Settled,
        (DueStatus::Missed, Some(from)) => {
            let name = named(due);
            let mut held = assessment
                .cover
                .values()
                .flat_map(|cover| &cover.suspended)
                .filter(|time| time.because == name)
                .peekable();
            let made_good = held.peek().is_some() && held.all(|time| time.made_good_by.is_some());
            if made_good { Standing::MadeGood } else { Standing::Missed(from) }
        }
        _ => Standing::Waiting,
    }
}

/// How reasons name a due: `annual#2`.
fn named(due: &DueAnswer) -> String {
    format!("{}#{}", due.upkeep, due.number)
}

/// What a miss of this due does, or would do: the rule's misses climb its list of consequences, and the last one
/// stays.
pub fn consequence_of<'t>(rule: &'t Upkeep, dues: &[DueAnswer], number: u32) -> Option<&'t Consequence> {
    let mut misses: Vec<&DueAnswer> =
        dues.iter().filter(|due| due.upkeep == rule.key && due.status == DueStatus::Missed).collect();
    misses.sort_by_key(|due| (due.missed_from, due.number));
    let rung = misses.iter().position(|due| due.number == number).unwrap_or(misses.len());
    rule.if_missed.get(rung.min(rule.if_missed.len().saturating_sub(1)))
}

/// The last day on which a missed due can be made good, where its consequence has one.
pub fn make_good_until(terms: &Terms, consequence: &Consequence, since: Day) -> Option<Day> {
    match consequence {
        Consequence::Suspend { make_good_within: Some(within), .. } => {
            Some(terms.working_days.roll(within.after(since)))
        }
        _ => None,
    }
}
