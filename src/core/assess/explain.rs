//! Why the verdict is as it is: free in wording, exact in reference.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cover::Because;
use super::effects::{NoEffect, TodayOutcome, effects_of, today};
use super::{Cause, Due, DueStatus, EffectKind, State, Verdict};
use crate::core::calendar::{Day, local_day};
use crate::core::facts::{Event, Facts};
use crate::core::terms::{Effect, Rules};
use crate::core::words::EventKind;

/// One thing that decided the outcome, or was refused.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Reason {
    /// The clause of the terms, as `upkeep.annual.late`, `cover.paint.lasts`, `transfer.tell_within`.
    pub clause: String,
    /// The event that it is about; null where nothing happened, which is the reason.
    pub event: Option<String>,
    /// The due that it is about, as `annual#2`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub due: Option<String>,
    /// The days that decided, in the order in which the text names them.
    pub dates: Vec<Day>,
    /// In plain words.
    pub text: String,
}

/// The next date that matters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Next {
    /// What is then: `cover_begins`, `cover_ends`, `make_good_by`, `opens`, `due`, `closes`.
    pub what: &'static str,
    /// The day.
    pub on: Day,
    /// The number of the due.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// The odometer at which it is over at the latest, in km.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub km: Option<u32>,
}

/// What lies ahead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Ahead {
    /// By surface.
    pub cover: BTreeMap<String, Next>,
    /// By rule.
    pub upkeep: BTreeMap<String, Next>,
}

/// The verdict explained.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Explanation {
    /// What decided the outcome, or was refused.
    pub reasons: Vec<Reason>,
    /// What each rule's service would do if done on the day of the verdict.
    pub today: Vec<TodayOutcome>,
    /// The next date that matters for each surface and rule.
    pub ahead: Ahead,
}

/// Explains a verdict; worked out only when asked for.
pub fn explain(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Explanation {
    let mut teller = Teller { rules, facts, verdict, reasons: Vec::new() };
    teller.cover();
    teller.dues();
    teller.services();
    teller.grants();
    teller.panels();
    Explanation {
        reasons: teller.reasons,
        today: today(rules, facts, verdict),
        ahead: ahead(rules, facts, verdict),
    }
}

struct Teller<'a> {
    rules: &'a Rules,
    facts: &'a Facts,
    verdict: &'a Verdict,
    reasons: Vec<Reason>,
}

impl Teller<'_> {
    fn say(
        &mut self,
        clause: String,
        event: Option<usize>,
        due: Option<String>,
        dates: Vec<Day>,
        text: String,
    ) {
        let event = event.map(|place| self.facts.events[place].id.clone());
        let reason = Reason { clause, event, due, dates, text };
        if !self.reasons.contains(&reason) {
            self.reasons.push(reason);
        }
    }

    fn key(&self, rule: usize) -> &str {
        &self.rules.upkeep[rule].key
    }

    /// The clause by which an end or a hold came about.
    fn clause(&self, because: Because) -> String {
        match because {
            Because::Event(place) => {
                let breach = usize::from(self.facts.events[place].name);
                format!("breaches.{}", self.rules.breaches[breach].key)
            }
            Because::Due(rule, _) => format!("upkeep.{}.if_missed", self.key(rule)),
        }
    }

    fn because(&self, because: Because) -> (Option<usize>, Option<String>, String) {
        match because {
            Because::Event(place) => {
                let event = &self.facts.events[place];
                let key = &self.rules.breaches[usize::from(event.name)].key;
                (Some(place), None, format!("{key} on {}", event.on))
            }
            Because::Due(rule, number) => {
                let due = format!("{}#{number}", self.key(rule));
                (None, Some(due), format!("{} number {number} was missed", self.key(rule)))
            }
        }
    }

    fn cover(&mut self) {
        for one in self.verdict.cover.clone() {
            let surface = self.rules.cover[one.surface].surface.clone();
            let last = one.out.plus_days(-1);
            if one.state == State::NotBegun {
                self.say(
                    "begins".into(),
                    None,
                    None,
                    vec![one.from],
                    format!("cover of {surface} begins on {}", one.from),
                );
            }
            if let Some(cause) = one.cause {
                self.ended(&surface, cause, one.because, one.out);
            } else if one.state == State::InForce {
                let text = format!("{surface} is covered from {} to {last}", one.from);
                self.say(format!("cover.{surface}.lasts"), None, None, vec![one.from, last], text);
            }
            for time in &one.suspended {
                let (event, due, what) = self.because(time.because);
                let clause = self.clause(time.because);
                let text = format!("{surface} was put on hold on {}: {what}", time.since);
                self.say(clause.clone(), event, due.clone(), vec![time.since], text);
                match (time.until, time.made_good_by) {
                    (Some(until), Some(good)) => {
                        let text = format!("{surface} came back into force on {until}: made good");
                        self.say(format!("{clause}.with"), Some(good), due, vec![time.since, until], text);
                    }
                    (None, _) => {
                        let by = self.make_good_by(time.because, time.since);
                        let text = match by {
                            Some(by) => format!("{surface} can be made good until {by}"),
                            None => format!("{surface} can be made good at any time"),
                        };
                        self.say(
                            format!("{clause}.make_good_within"),
                            event,
                            due,
                            by.into_iter().collect(),
                            text,
                        );
                    }
                    _ => {}
                }
            }
        }
    }

    fn make_good_by(&self, because: Because, since: Day) -> Option<Day> {
        let within =
            |effect: &Effect| if let Effect::Suspend { within, .. } = effect { *within } else { None };
        let within = match because {
            Because::Event(place) => {
                within(&self.rules.breaches[usize::from(self.facts.events[place].name)].effect)
            }
            Because::Due(rule, number) => {
                let missed = |due: &&Due| due.rule == rule && due.status == DueStatus::Missed;
                let mut misses: Vec<&Due> = self.verdict.dues.iter().filter(missed).collect();
                misses.sort_by_key(|due| (due.missed_from, due.number));
                let ladder = &self.rules.upkeep[rule].if_missed;
                let rung = misses.iter().position(|due| due.number == number)?;
                within(ladder.get(rung.min(ladder.len().saturating_sub(1)))?)
            }
        };
        within.map(|within| self.rules.working_days.roll(within.after(since)))
    }

    fn ended(&mut self, surface: &str, cause: Cause, because: Option<Because>, out: Day) {
        let last = out.plus_days(-1);
        let (event, due, what) = match (cause, because) {
            (Cause::Breach | Cause::Missed | Cause::Shortened, Some(because)) => self.because(because),
            (_, Some(Because::Event(place))) => (Some(place), None, String::new()),
            _ => (None, None, String::new()),
        };
        let (clause, text) = match cause {
            Cause::Expired => {
                (format!("cover.{surface}.lasts"), format!("cover of {surface} ran out with {last}"))
            }
            Cause::Distance => {
                let most = self
                    .rules
                    .surface(surface)
                    .and_then(|i| self.rules.cover[i].up_to_km)
                    .unwrap_or_default();
                (
                    format!("cover.{surface}.up_to_km"),
                    format!("{surface} was covered for {most} km, passed on {out}"),
                )
            }
            Cause::Closed => ("close".into(), format!("the warranty was closed with {last}")),
            Cause::Transfer => {
                let terms = self.rules.transfer.as_ref();
                let sale = event.map(|place| &self.facts.events[place]);
                let at_once = sale.is_some_and(|sale| out == sale.on.plus_days(1));
                let told_late =
                    sale.zip(terms.and_then(|terms| terms.tell_within)).is_some_and(|(sale, within)| {
                        out == self.rules.working_days.roll(within.after(sale.on)).plus_days(1)
                            && sale
                                .told
                                .filter(|told| *told <= self.verdict.as_of)
                                .is_none_or(|told| told >= out)
                    });
                if terms.is_some_and(|terms| !terms.allowed) {
                    ("transfer.allowed".into(), format!("cover of {surface} does not go over to a new owner"))
                } else if at_once && terms.is_some_and(|terms| terms.owners.is_some()) {
                    ("transfer.owners".into(), format!("{surface} had more owners than the terms allow"))
                } else if told_late {
                    ("transfer.tell_within".into(), format!("the sale was not told by {last}"))
                } else {
                    (
                        "transfer.inspect_within".into(),
                        format!("no accredited shop inspected it by {last} after the sale"),
                    )
                }
            }
            Cause::Missed | Cause::Breach | Cause::Shortened => {
                let clause = because.map(|because| self.clause(because)).unwrap_or_default();
                (clause, format!("cover of {surface} ended with {last}: {what}"))
            }
        };
        self.say(clause, event, due, vec![last, out], text);
    }

    fn dues(&mut self) {
        for due in self.verdict.dues.clone() {
            let key = self.key(due.rule).to_owned();
            let (number, id) = (due.number, Some(format!("{key}#{}", due.number)));
            match (due.status, due.missed_from) {
                (DueStatus::Missed, Some(from)) if from <= due.closes => {
                    let most = due.km.map_or(0, |(_, most)| most);
                    let shown = |i: &&usize| {
                        self.facts.events[**i].on == from
                            && self.facts.events[**i].km.is_some_and(|km| km > most)
                    };
                    let event = self.verdict.view.since_start.iter().find(shown).copied();
                    let text = format!("{key} number {number} was due by {most} km, passed on {from}");
                    self.say(format!("upkeep.{key}.late_km"), event, id, vec![from], text);
                }
                (DueStatus::Missed, Some(from)) => {
                    let text = format!(
                        "{key} number {number} was due on {}, its window closed on {}",
                        due.due, due.closes
                    );
                    self.say(format!("upkeep.{key}.late"), None, id, vec![due.due, due.closes, from], text);
                }
                (DueStatus::Late, _) => {
                    let text = format!(
                        "{key} number {number} was due on {}; it still counts until {}",
                        due.due, due.closes
                    );
                    self.say(format!("upkeep.{key}.late"), None, id, vec![due.due, due.closes], text);
                }
                (DueStatus::Met, _) => {
                    if let Some((event, on)) = due.met {
                        let text = format!("{key} number {number} was met on {on}");
                        self.say(format!("upkeep.{key}"), Some(event), id, vec![on], text);
                    }
                }
                _ => {}
            }
        }
    }

    /// Services that counted for nothing, and what kept them from it.
    fn services(&mut self) {
        let services = |i: &&usize| self.facts.events[**i].kind == EventKind::Service;
        for place in self.verdict.view.all.iter().filter(services).copied().collect::<Vec<_>>() {
            let event = self.facts.events[place].clone();
            for effect in effects_of(self.rules, self.facts, self.verdict, &event.id) {
                if let (EffectKind::None, Some(why), Some(key)) =
                    (effect.effect, effect.because, effect.upkeep)
                {
                    self.refused(place, &event, &key, effect.number, why);
                }
            }
        }
    }

    fn refused(&mut self, place: usize, event: &Event, key: &str, number: Option<u32>, why: NoEffect) {
        let Some(rule) = self.rules.upkeep.iter().position(|rule| rule.key == key) else { return };
        let on = event.on;
        let next = |due: &&Due| due.rule == rule && Some(due.number) == number;
        let opens = self.verdict.dues.iter().find(next).map(|due| due.opens);
        let (member, dates, text) = match why {
            NoEffect::NotCarriedOut => {
                ("service", vec![on], format!("the service of {on} was not carried out as the terms ask"))
            }
            NoEffect::BeforeStart => (
                "counted_from",
                vec![on, self.facts.start],
                format!("the service of {on} came before cover began"),
            ),
            NoEffect::NotBefore => {
                let first = self.rules.upkeep[rule].not_before.after(self.facts.start);
                (
                    "not_before",
                    vec![on, first],
                    format!("the service of {on} came too soon: it counts from {first} on"),
                )
            }
            NoEffect::Rank => {
                let by = self.rules.upkeep[rule].by;
                ("by", vec![on], format!("the service of {on} was done by {}, asked for is {by}", event.by))
            }
            NoEffect::EnteredLate => {
                let last =
                    self.rules.entry_within.map(|within| self.rules.working_days.roll(within.after(on)));
                let entered = event.recorded.and_then(chrono::DateTime::from_timestamp_micros);
                let entered = entered.map(|at| local_day(at, self.facts.zone));
                let days = last.zip(entered).map_or(0, |(last, entered)| entered.days() - last.days());
                let dates = [Some(on), last, entered].into_iter().flatten().collect();
                let text = format!(
                    "the service of {on} was entered {days} days late; a manager's countersignature would let it in"
                );
                return self.say("entry_within".into(), Some(place), None, dates, text);
            }
            NoEffect::TooEarly => {
                let days = opens.map_or(0, |opens| opens.days() - on.days());
                let dates = std::iter::once(on).chain(opens).collect();
                ("early", dates, format!("the service of {on} came {days} days before the window opened"))
            }
            NoEffect::TooLate => {
                ("late", vec![on], format!("the service of {on} came after the window had closed"))
            }
            NoEffect::AlreadyMet => {
                ("service", vec![on], format!("the service of {on} came when it had been met already"))
            }
            NoEffect::CoverEnded => {
                ("surfaces", vec![on], format!("the service of {on} came after cover had ended"))
            }
            NoEffect::NoDue => ("service", vec![on], format!("nothing was due for the service of {on}")),
        };
        let due = number.map(|number| format!("{key}#{number}"));
        self.say(format!("upkeep.{key}.{member}"), Some(place), due, dates, text);
    }

    /// Waivers and extensions: what they settled, and those that name no due or one that was met since.
    fn grants(&mut self) {
        for &place in &self.verdict.view.all.clone() {
            let event = self.facts.events[place].clone();
            if !matches!(event.kind, EventKind::Waive | EventKind::Extend) {
                continue;
            }
            let rule = usize::from(event.name);
            let key = self.key(rule).to_owned();
            let id = format!("{key}#{}", event.number);
            let due =
                self.verdict.dues.iter().find(|due| due.rule == rule && due.number == event.number).copied();
            let text = match (event.kind, due.map(|due| due.status)) {
                (_, None) => format!("{id} is no due: this settles nothing"),
                (EventKind::Waive, Some(_)) => format!("{id} was waived on {}", event.on),
                (_, Some(DueStatus::Met)) => {
                    format!("{id} has been met: extending it to {} changed nothing since", event.to)
                }
                (_, Some(_)) => format!("{id} was extended to {}", event.to),
            };
            let clause =
                format!("upkeep.{key}.{}", if event.kind == EventKind::Waive { "service" } else { "late" });
            self.say(clause, Some(place), Some(id), vec![event.on, event.to], text);
        }
    }

    fn panels(&mut self) {
        for panel in self.verdict.panels.clone() {
            let surface = self.rules.cover[panel.surface].surface.clone();
            let name = self.facts.panels[panel.panel].clone();
            let text = format!("{name} ({surface}) left cover on {}: it was repaired", panel.since);
            self.say("repair".into(), Some(panel.because), None, vec![panel.since], text);
            match (panel.until, panel.restored_by) {
                (Some(until), Some(by)) => {
                    let text =
                        format!("{name} ({surface}) came back into cover on {until}: it was coated again");
                    self.say("repair.recoat_within".into(), Some(by), None, vec![panel.since, until], text);
                }
                _ if !self.rules.restores => {
                    let text =
                        format!("{name} ({surface}) stays out of cover: these terms bring no panel back");
                    self.say("repair.restores".into(), Some(panel.because), None, vec![panel.since], text);
                }
                _ => {}
            }
        }
    }
}

fn ahead(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Ahead {
    let teller = Teller { rules, facts, verdict, reasons: Vec::new() };
    let mut cover = BTreeMap::new();
    for one in &verdict.cover {
        let name = rules.cover[one.surface].surface.clone();
        let km = rules.cover[one.surface].up_to_km.map(|most| facts.start_km.saturating_add(most));
        let held = one.suspended.iter().filter(|time| time.until.is_none());
        let by = held.filter_map(|time| teller.make_good_by(time.because, time.since)).min();
        let next = match (one.state, by) {
            (State::NotBegun, _) => Next { what: "cover_begins", on: one.from, number: None, km },
            (State::Suspended, Some(by)) => Next { what: "make_good_by", on: by, number: None, km },
            (State::Ended, _) => continue,
            _ => Next { what: "cover_ends", on: one.out.plus_days(-1), number: None, km },
        };
        cover.insert(name, next);
    }
    let mut upkeep = BTreeMap::new();
    for due in &verdict.dues {
        let (what, on) = match due.status {
            DueStatus::Ahead => ("opens", due.opens),
            DueStatus::Open => ("due", due.due),
            DueStatus::Late => ("closes", due.closes),
            _ => continue,
        };
        let next = Next { what, on, number: Some(due.number), km: due.km.map(|(_, most)| most) };
        upkeep.entry(rules.upkeep[due.rule].key.clone()).or_insert(next);
    }
    Ahead { cover, upkeep }
}

/// A verdict as it is written, with what explains it.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ExplainedAssessment {
    /// The verdict.
    #[serde(flatten)]
    pub assessment: super::Assessment,
    /// Why.
    #[serde(flatten)]
    pub explanation: Explanation,
}

impl ExplainedAssessment {
    /// The verdict with the names that terms and facts give, explained.
    pub fn of(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Self {
        Self {
            assessment: super::Assessment::of(rules, facts, verdict),
            explanation: explain(rules, facts, verdict),
        }
    }
}
