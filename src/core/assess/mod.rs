//! The verdict: what is due and what is covered, as of a day, by what was known.
//!
//! Everything follows from terms and facts; nothing is remembered from one day to the next.

mod ahead;
mod answer;
mod cases;
mod cover;
mod dues;
mod effects;
mod explain;
mod panels;
mod plain;
mod reasons;
mod why;

pub use ahead::{Ahead, KmReached, Next, pace_of};
pub use answer::{Assessment, CoverAnswer, DueAnswer, PanelAnswer, SuspensionAnswer};
pub use cases::Judge;
pub use cover::{Because, Cause, State, SurfaceVerdict, Suspension};
pub use dues::{Due, DueStatus};
pub use effects::{EffectKind, NoEffect, Outcome, ServiceEffect, TodayOutcome, effects_of, today};
pub use explain::{ExplainedAssessment, Explanation, explain};
pub use panels::PanelOut;
pub use reasons::Reason;
pub use why::Why;

use chrono::{DateTime, Utc};

use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts};
use crate::core::terms::{Rank, Rules};
use crate::core::words::EventKind;

/// What is known and has happened as of a day, in the order in which it is looked at.
#[derive(Debug, Default, Clone)]
pub(crate) struct View {
    pub(crate) as_of: Day,
    /// Places of events, by day, on one day services first, else as listed.
    pub(crate) all: Vec<usize>,
    /// Those of `all` from the start on.
    pub(crate) since_start: Vec<usize>,
    /// The days of `since_start`.
    days: Vec<Day>,
    /// The highest odometer that `since_start` shows up to and with each place, at least that of the start.
    highest_km: Vec<u32>,
    /// Those of `all` that are no services or readings: there are few of them, and much is looked for among them.
    others: Vec<usize>,
    /// Those of `all` that are waivers or extensions.
    grants: Vec<usize>,
    /// Which events were retracted, as far as is known.
    retracted: Vec<bool>,
    /// The first day after `as_of` on which an event or a telling comes into view.
    comes: Option<Day>,
}

impl View {
    fn look(&mut self, facts: &Facts, as_of: Day, known_at: Option<DateTime<Utc>>) {
        let known_at = known_at.map(|at| at.timestamp_micros());
        let known =
            |event: &Event| known_at.is_none_or(|k| event.recorded.is_none_or(|recorded| recorded <= k));
        self.as_of = as_of;
        self.comes = None;
        self.all.clear();
        self.since_start.clear();
        self.days.clear();
        self.highest_km.clear();
        self.others.clear();
        self.grants.clear();
        self.retracted.clear();
        self.retracted.resize(facts.events.len(), false);
        for event in facts.events.iter().filter(|event| event.kind == EventKind::Retract && known(event)) {
            if let Some(retracted) = self.retracted.get_mut(event.retracts) {
                *retracted = true;
            }
        }
        for &i in &facts.order {
            let event = &facts.events[i];
            if self.retracted[i] || !known(event) {
                continue;
            }
            if event.on > as_of {
                self.comes(event.on);
                continue;
            }
            if let Some(told) = event.told.filter(|told| *told > as_of) {
                self.comes(told);
            }
            self.all.push(i);
            match event.kind {
                EventKind::Service | EventKind::Reading => {}
                EventKind::Waive | EventKind::Extend => {
                    self.grants.push(i);
                    self.others.push(i);
                }
                _ => self.others.push(i),
            }
            if event.on >= facts.start {
                let before = self.highest_km.last().copied().unwrap_or(facts.start_km);
                self.highest_km.push(event.km.map_or(before, |km| km.max(before)));
                self.days.push(event.on);
                self.since_start.push(i);
            }
        }
    }

    /// Events of one kind since the start that are no services or readings, in order.
    fn since_start_of(&self, facts: &Facts, kind: EventKind) -> impl Iterator<Item = usize> {
        let wanted = move |i: &usize| facts.events[*i].kind == kind && facts.events[*i].on >= facts.start;
        self.others.iter().copied().filter(wanted)
    }

    /// How many of the events since the start lie on or before a day.
    fn until(&self, day: Day) -> usize {
        self.days.partition_point(|on| *on <= day)
    }

    /// The highest odometer that the first so many events since the start show, at least that of the start.
    fn shown(&self, count: usize, facts: &Facts) -> u32 {
        count.checked_sub(1).and_then(|last| self.highest_km.get(last)).copied().unwrap_or(facts.start_km)
    }

    fn comes(&mut self, day: Day) {
        self.comes = Some(self.comes.map_or(day, |first| first.min(day)));
    }
}

/// Whether a service event counts as done: for one of these services, by this rank or a higher one, carried out as
/// asked, from the start on, and entered in time.
pub(crate) fn is_done(facts: &Facts, event: &Event, services: &[u16], by: Rank) -> bool {
    event.kind == EventKind::Service
        && event.carried_out
        && !event.entered_late
        && event.by >= by
        && event.on >= facts.start
        && services.contains(&event.name)
}

/// A verdict, and the room in which it is worked out; to be used again and again.
#[derive(Debug, Default, Clone)]
pub struct Verdict {
    /// The day of which it is.
    pub as_of: Day,
    /// By what was known at which instant; none: all.
    pub known_at: Option<DateTime<Utc>>,
    /// Each surface that is covered, in the order of the terms.
    pub cover: Vec<SurfaceVerdict>,
    /// What is settled, open or ahead, rule by rule in the order of the terms, then by number.
    pub dues: Vec<Due>,
    /// Panels that a repair took out of cover.
    pub panels: Vec<PanelOut>,
    /// The first day after `as_of` on which cover, dues or panels differ; none: never.
    pub next_change: Option<Day>,
    pub(crate) view: View,
    /// Breaches and misses in the order in which they were weighed.
    happenings: Vec<cover::Happening>,
    /// Where later days are tried.
    later: Option<Box<Verdict>>,
    turns: Turns,
}

/// The days after `as_of` on which the verdict turns by itself.
#[derive(Debug, Default, Clone, Copy)]
struct Turns {
    /// The first on which something that was looked at can turn.
    may: Option<Day>,
    /// The first on which something does: what is listed cannot be listed so on that day, whatever else has come.
    surely: Option<Day>,
}

impl Turns {
    fn may(&mut self, as_of: Day, day: Day) {
        if day > as_of {
            self.may = Some(self.may.map_or(day, |first| first.min(day)));
        }
    }

    fn surely(&mut self, as_of: Day, day: Day) {
        self.may(as_of, day);
        if day > as_of {
            self.surely = Some(self.surely.map_or(day, |first| first.min(day)));
        }
    }
}

impl Verdict {
    /// Whether cover, dues and panels are the same, whatever the days of the two.
    pub fn agrees(&self, other: &Self) -> bool {
        self.cover == other.cover && self.dues == other.dues && self.panels == other.panels
    }
}

/// Works out the verdict, and the day on which it changes next.
///
/// It never fails, and has no clock: the same values give the same verdict. Buffers in `verdict` are used again.
pub fn assess(
    rules: &Rules,
    facts: &Facts,
    as_of: Day,
    known_at: Option<DateTime<Utc>>,
    verdict: &mut Verdict,
) {
    judge(rules, facts, as_of, known_at, verdict);
    let mut later = verdict.later.take().unwrap_or_default();
    verdict.next_change = next_change(rules, facts, verdict, &mut later);
    verdict.later = Some(later);
}

/// Works out the verdict without asking when it changes.
pub fn judge(
    rules: &Rules,
    facts: &Facts,
    as_of: Day,
    known_at: Option<DateTime<Utc>>,
    verdict: &mut Verdict,
) {
    verdict.as_of = as_of;
    verdict.known_at = known_at;
    verdict.next_change = None;
    verdict.view.look(facts, as_of, known_at);
    verdict.turns = Turns { may: verdict.view.comes, surely: None };
    dues::work_out(rules, facts, verdict);
    cover::work_out(rules, facts, verdict);
    dues::leave_out_moot(rules, facts, verdict);
    panels::work_out(rules, facts, verdict);
}

/// Goes from one day on which something can turn to the next until something has. Each step knows from its own
/// verdict where the next can be, so that none is missed; most often the first is one on which something surely does,
/// and need not be judged.
fn next_change(rules: &Rules, facts: &Facts, now: &Verdict, then: &mut Verdict) -> Option<Day> {
    let mut day = now.turns.may?;
    while Some(day) != now.turns.surely {
        judge(rules, facts, day, now.known_at, then);
        if !then.agrees(now) {
            break;
        }
        day = then.turns.may?;
    }
    Some(day)
}
