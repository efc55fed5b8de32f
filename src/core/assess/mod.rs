//! The verdict: what is due and what is covered, as of a day, by what was known.
//!
//! Everything follows from terms and facts; nothing is remembered from one day to the next.

mod answer;
mod cases;
mod cover;
mod dues;
mod effects;
mod explain;
mod panels;

pub use answer::{Assessment, CoverAnswer, DueAnswer, PanelAnswer, SuspensionAnswer};
pub use cases::Judge;
pub use cover::{Because, Cause, State, SurfaceVerdict, Suspension};
pub use dues::{Due, DueStatus};
pub use effects::{EffectKind, NoEffect, Outcome, ServiceEffect, TodayOutcome, effects_of, today};
pub use explain::{Ahead, ExplainedAssessment, Explanation, Next, Reason, explain};
pub use panels::PanelOut;

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
            if event.on >= facts.start {
                self.since_start.push(i);
            }
        }
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
    misses: Vec<cover::Happening>,
    /// The first day after `as_of` on which something that was looked at can turn.
    turns: Option<Day>,
}

impl Verdict {
    /// A day on which something may differ; only those to come matter.
    pub(crate) fn may_turn(turns: &mut Option<Day>, as_of: Day, day: Day) {
        if day > as_of {
            *turns = Some(turns.map_or(day, |first| first.min(day)));
        }
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
    verdict.next_change = next_change(rules, facts, verdict);
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
    verdict.turns = verdict.view.comes;
    dues::work_out(rules, facts, verdict);
    cover::work_out(rules, facts, verdict);
    dues::leave_out_moot(rules, facts, verdict);
    panels::work_out(rules, facts, verdict);
}

/// Goes from one day on which something can turn to the next until something has. Each step knows from its own
/// verdict where the next can be, so that none is missed; most often the first is it.
fn next_change(rules: &Rules, facts: &Facts, now: &Verdict) -> Option<Day> {
    let mut then = Verdict::default();
    let mut day = now.turns?;
    loop {
        judge(rules, facts, day, now.known_at, &mut then);
        if then.cover != now.cover || then.dues != now.dues || then.panels != now.panels {
            return Some(day);
        }
        day = then.turns?;
    }
}
