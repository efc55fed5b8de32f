//! What decided a verdict, and what was refused or only noted, a line each.
//!
//! A deciding line is true in this sense: without the event, or without the clause, that it names, the verdict would be
//! another, today or on the day after the last that the line names. Without the event of another line it would be the
//! same.

mod cover;
mod upkeep;

use serde::Serialize;

use super::cover::{AtSale, Because, inspection};
use super::{Suspension, Verdict, judge};
use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts, NONE};
use crate::core::terms::{Effect, Rules};
use crate::core::words::EventKind;

/// One thing that decided the outcome, or was refused.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Reason {
    /// The clause of the terms, as `upkeep.annual.late`, `cover.paint.lasts`, `transfer.tell_within`; where misses climb
    /// several consequences, with the number of the one that was its turn, from 0, as `upkeep.annual.if_missed.1`. Null
    /// where the event decides whatever the terms say.
    pub clause: Option<String>,
    /// The event that it is about; null where nothing happened, which is the reason.
    pub event: Option<String>,
    /// The due that it is about, as `annual#2`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub due: Option<String>,
    /// Whether the outcome, or what comes of it next, would be another without this; false where something was refused,
    /// changed nothing or is only noted.
    pub decided: bool,
    /// The days that decided, in the order in which the text names them.
    pub dates: Vec<Day>,
    /// In plain words.
    pub text: String,
}

/// Tells what decided a verdict: cover surface by surface, dues, services, waivers and extensions, breaches, panels.
pub(super) fn reasons(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Vec<Reason> {
    let mut teller = Teller { rules, facts, verdict, reasons: Vec::new() };
    for one in &verdict.cover {
        teller.cover(one);
    }
    teller.inspected_after_sales();
    teller.dues();
    teller.services();
    teller.grants();
    teller.breaches();
    teller.panels();
    teller.reasons
}

/// The day until which a hold can be made good, where the terms set one.
pub(super) fn make_good_by(
    rules: &Rules,
    facts: &Facts,
    verdict: &Verdict,
    held: &Suspension,
) -> Option<Day> {
    let happening = verdict.happenings.iter().find(|one| one.because == held.because)?;
    match happening.effect(rules, facts) {
        Effect::Suspend { within, .. } => Some(rules.working_days.roll((*within)?.after(held.since))),
        _ => None,
    }
}

/// What still has to be done after sales lest cover end, and by when.
pub(super) fn pending_at_sales(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Vec<(usize, AtSale, Day)> {
    let Some(terms) = &rules.transfer else { return Vec::new() };
    let mut pending = Vec::new();
    for sale in verdict.view.since_start_of(facts, EventKind::Transfer) {
        let event = &facts.events[sale];
        let told = event.told.is_some_and(|told| told <= verdict.as_of);
        if let (Some(within), false) = (terms.tell_within, told) {
            pending.push((sale, AtSale::Tell, rules.working_days.roll(within.after(event.on))));
        }
        if let Some(within) = terms.inspect_within {
            let last = rules.working_days.roll(within.after(event.on));
            if inspection(facts, verdict, event.on, last).is_none() {
                pending.push((sale, AtSale::Inspect, last));
            }
        }
    }
    pending.retain(|(_, _, last)| verdict.as_of <= *last);
    pending
}

/// A reason that is being put together.
struct Line {
    clause: Option<String>,
    event: Option<usize>,
    due: Option<(usize, u32)>,
    decided: bool,
    dates: Vec<Day>,
    text: String,
}

impl Line {
    fn clause(self, clause: impl Into<String>) -> Self {
        Self { clause: Some(clause.into()), ..self }
    }

    fn event(self, place: usize) -> Self {
        Self { event: Some(place), ..self }
    }

    fn due(self, rule: usize, number: u32) -> Self {
        Self { due: Some((rule, number)), ..self }
    }

    /// The event or due that something came of.
    fn because(self, because: Because) -> Self {
        match because {
            Because::Event(place) => self.event(place),
            Because::Due(rule, number) => self.due(rule, number),
        }
    }

    fn days(self, days: impl IntoIterator<Item = Day>) -> Self {
        Self { dates: days.into_iter().collect(), ..self }
    }

    /// It changed nothing.
    fn in_vain(self) -> Self {
        Self { decided: false, ..self }
    }
}

fn line(text: String) -> Line {
    Line { clause: None, event: None, due: None, decided: true, dates: Vec::new(), text }
}

struct Teller<'a> {
    rules: &'a Rules,
    facts: &'a Facts,
    verdict: &'a Verdict,
    reasons: Vec<Reason>,
}

impl Teller<'_> {
    /// Adds a line, unless it stands there already.
    fn say(&mut self, line: Line) {
        let reason = Reason {
            clause: line.clause,
            event: line.event.map(|place| self.facts.events[place].id.clone()),
            due: line.due.map(|(rule, number)| format!("{}#{number}", self.rules.upkeep[rule].key)),
            decided: line.decided,
            dates: line.dates,
            text: line.text,
        };
        if !self.reasons.contains(&reason) {
            self.reasons.push(reason);
        }
    }

    /// Whether the verdict would be another if these events had only shown the odometer.
    fn matters(&self, is_gone: impl Fn(&Event) -> bool) -> bool {
        let facts = self.facts.emptied(is_gone);
        let mut without = Verdict::default();
        judge(self.rules, &facts, self.verdict.as_of, self.verdict.known_at, &mut without);
        !without.agrees(self.verdict)
    }

    fn surface(&self, place: usize) -> &str {
        &self.rules.cover[place].surface
    }

    /// Breaches that cost nothing.
    fn breaches(&mut self) {
        let (facts, verdict) = (self.facts, self.verdict);
        for place in verdict.view.since_start_of(facts, EventKind::Breach) {
            let event = &facts.events[place];
            if self.is_told_of(event) {
                continue;
            }
            let text = if event.name == NONE {
                line(format!("the breach of {} is none that these terms list", event.on))
            } else {
                let breach = &self.rules.breaches[usize::from(event.name)];
                let text = match breach.effect {
                    Effect::Note => format!("{} on {} is noted, and costs nothing", breach.key, event.on),
                    _ => format!("{} on {} changes nothing", breach.key, event.on),
                };
                line(text).clause(format!("breaches.{}", breach.key))
            };
            self.say(text.event(place).days([event.on]).in_vain());
        }
    }

    /// Whether something is told that the event decided.
    fn is_told_of(&self, event: &Event) -> bool {
        self.reasons.iter().any(|reason| reason.decided && reason.event.as_ref() == Some(&event.id))
    }

    /// Panels that left cover and came back, and recoats that brought none back.
    fn panels(&mut self) {
        let (rules, facts, verdict) = (self.rules, self.facts, self.verdict);
        for panel in &verdict.panels {
            let (surface, name) = (self.surface(panel.surface), &facts.panels[panel.panel]);
            let left = format!("{name} ({surface}) left cover on {}: it was repaired", panel.since);
            let mut lines = vec![line(left).event(panel.because).days([panel.since])];
            if let (Some(until), Some(by)) = (panel.until, panel.restored_by) {
                let back = format!("{name} ({surface}) came back into cover on {until}: it was coated again");
                lines.push(line(back).event(by).days([panel.since, until]));
            }
            lines.into_iter().for_each(|line| self.say(line));
        }
        for place in verdict.view.since_start_of(facts, EventKind::Recoat) {
            let recoat = &facts.events[place];
            if self.is_told_of(recoat) {
                continue;
            }
            let repaired = |panel: &&super::PanelOut| {
                panel.surface == usize::from(recoat.name)
                    && panel.panel == usize::from(recoat.panel)
                    && panel.since <= recoat.on
                    && panel.restored_by.is_none_or(|by| facts.events[by].on > recoat.on)
            };
            let name = &facts.panels[usize::from(recoat.panel)];
            let said = match (verdict.panels.iter().rfind(repaired), rules.recoat_within) {
                (Some(_), _) if !rules.restores => {
                    let text =
                        format!("{name} was coated again on {}: these terms bring no panel back", recoat.on);
                    line(text).clause("repair.restores").days([recoat.on])
                }
                (Some(panel), Some(within)) => {
                    let last = rules.working_days.roll(within.after(panel.since));
                    let text = format!(
                        "{name} was coated again on {}, too late to bring it back: by {last}",
                        recoat.on
                    );
                    line(text).clause("repair.recoat_within").days([recoat.on, last])
                }
                _ => line(format!("{name} was coated again on {}: it was not out of cover", recoat.on))
                    .days([recoat.on]),
            };
            self.say(said.event(place).in_vain());
        }
    }
}
