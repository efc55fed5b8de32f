//! Reasons about upkeep: what became of dues, which services and grants counted, and which did not.

use super::super::effects::{NoEffect, effects_of, unfit, untimely};
use super::super::{Due, DueStatus, EffectKind, ServiceEffect, Verdict, judge};
use super::{Line, Teller, line};
use crate::core::calendar::{Day, Period, local_day};
use crate::core::facts::Event;
use crate::core::words::EventKind;

impl Teller<'_> {
    fn key(&self, rule: usize) -> &str {
        &self.rules.upkeep[rule].key
    }

    /// The clause that set the day of a due.
    fn due_clause(&self, due: &Due) -> String {
        let rule = &self.rules.upkeep[due.rule];
        let first = rule.first_after.map(|first_after| first_after.after(self.facts.start));
        let by_first = if rule.rota || due.number == 1 {
            due.number == 1 && first.is_some()
        } else {
            first.is_some_and(|first| rule.every.after(due.opens) < first)
        };
        format!("upkeep.{}.{}", rule.key, if by_first { "first_after" } else { "every" })
    }

    /// What set the last day on which a due counts: a clause, or an extension.
    fn closing(&self, due: &Due) -> (String, Option<usize>) {
        let (rule, days) = (&self.rules.upkeep[due.rule], &self.rules.working_days);
        let plain = rule.late.after(due.due);
        let rolled = days.roll(plain);
        if due.closes > rolled {
            let reaches = |number: u32| number == due.number || (!rule.rota && number < due.number);
            let extends = |i: &usize| {
                let event = &self.facts.events[*i];
                event.kind == EventKind::Extend
                    && usize::from(event.name) == due.rule
                    && reaches(event.number)
                    && event.to == due.closes
            };
            let extension = self.verdict.view.grants.iter().copied().find(extends);
            (format!("upkeep.{}", rule.key), extension)
        } else if rolled != days.roll(due.due) {
            (format!("upkeep.{}.late", rule.key), None)
        } else if rolled != plain {
            ("working_days".to_owned(), None)
        } else {
            (self.due_clause(due), None)
        }
    }

    /// The clause that set the distance by which a due is asked for at the latest.
    fn distance_clause(&self, rule: usize) -> String {
        let rule = &self.rules.upkeep[rule];
        format!("upkeep.{}.{}", rule.key, if rule.late_km > 0 { "late_km" } else { "every_km" })
    }

    pub(super) fn dues(&mut self) {
        for due in &self.verdict.dues {
            if let Some(said) = self.due(due) {
                self.say(said.due(due.rule, due.number));
            }
        }
    }

    fn due(&self, due: &Due) -> Option<Line> {
        let (key, number) = (self.key(due.rule), due.number);
        match (due.status, due.missed_from, due.met) {
            (DueStatus::Missed, Some(from), _) if from <= due.closes => {
                let most = due.km.map_or(0, |(_, most)| most);
                let shows = |i: &usize| {
                    let event = &self.facts.events[*i];
                    event.on == from && event.km.is_some_and(|km| km > most)
                };
                let event = self.verdict.view.since_start.iter().copied().find(shows)?;
                let text =
                    format!("{key} number {number} was due by {most} km at the latest, passed on {from}");
                Some(line(text).clause(self.distance_clause(due.rule)).event(event).days([from]))
            }
            (DueStatus::Missed, Some(_), _) => {
                let text =
                    format!("{key} number {number} was due on {}, and counted until {}", due.due, due.closes);
                Some(self.until_closing(due, text))
            }
            (DueStatus::Late, _, _) => {
                let text = format!(
                    "{key} number {number} was due on {}; it still counts until {}",
                    due.due, due.closes
                );
                Some(self.until_closing(due, text))
            }
            (DueStatus::Met, _, Some((event, on))) => {
                let text = format!("{key} number {number} was met on {on}");
                Some(line(text).clause(format!("upkeep.{key}.service")).event(event).days([on]))
            }
            _ => None,
        }
    }

    fn until_closing(&self, due: &Due, text: String) -> Line {
        let (clause, extension) = self.closing(due);
        let said = line(text).clause(clause).days([due.due, due.closes]);
        extension.into_iter().fold(said, Line::event)
    }

    /// Services that counted for nothing, and what kept them from it.
    pub(super) fn services(&mut self) {
        let (facts, verdict) = (self.facts, self.verdict);
        for &place in verdict.view.all.iter().filter(|i| facts.events[**i].kind == EventKind::Service) {
            for effect in effects_of(self.rules, facts, verdict, &facts.events[place].id) {
                let rule =
                    self.rules.upkeep.iter().position(|rule| Some(&rule.key) == effect.upkeep.as_ref());
                if let (EffectKind::None, Some(rule)) = (effect.effect, rule) {
                    self.refused(place, rule);
                }
            }
        }
    }

    /// Everything that kept a service from counting for a rule: what is wrong with it, and, were it as it should be,
    /// what it would have come too early or too late for.
    fn refused(&mut self, place: usize, rule: usize) {
        let (rules, facts, verdict) = (self.rules, self.facts, self.verdict);
        let (asked, event) = (&rules.upkeep[rule], &facts.events[place]);
        let unfit = unfit(facts, asked, event);
        for why in &unfit {
            let said = self.unfit(rule, event, *why);
            self.say(said.event(place).in_vain());
        }
        let untimely = if unfit.is_empty() {
            Some(untimely(verdict, asked, rule, event))
        } else if unfit.contains(&NoEffect::BeforeStart) {
            None
        } else {
            self.were_it_fit(place, rule)
        };
        if let Some((why, due)) = untimely {
            let said = self.untimely(rule, event, why, due);
            self.say(said.event(place).in_vain());
        }
    }

    /// What a service would have been too early or too late for, had it been carried out and entered as asked by who
    /// was asked, and not too soon after the start; none where it would have counted.
    fn were_it_fit(&self, place: usize, rule: usize) -> Option<(NoEffect, Option<Due>)> {
        let (mut rules, mut facts) = (self.rules.clone(), self.facts.clone());
        rules.upkeep[rule].not_before = Period::default();
        let event = &mut facts.events[place];
        event.by = event.by.max(rules.upkeep[rule].by);
        event.carried_out = true;
        event.entered_late = false;
        let mut fit = Verdict::default();
        judge(&rules, &facts, self.verdict.as_of, self.verdict.known_at, &mut fit);
        let event = &facts.events[place];
        let refused = |one: &ServiceEffect| {
            one.upkeep.as_deref() == Some(self.key(rule)) && one.effect == EffectKind::None
        };
        let still = effects_of(&rules, &facts, &fit, &event.id).iter().any(refused);
        still.then(|| untimely(&fit, &rules.upkeep[rule], rule, event))
    }

    fn unfit(&self, rule: usize, event: &Event, why: NoEffect) -> Line {
        let (asked, key, on) = (&self.rules.upkeep[rule], self.key(rule), event.on);
        match why {
            NoEffect::NotCarriedOut => {
                line(format!("the service of {on} was not carried out as the terms ask"))
                    .clause(format!("upkeep.{key}.service"))
                    .days([on])
            }
            NoEffect::BeforeStart => {
                let start = self.facts.start;
                line(format!("the service of {on} came before cover began on {start}")).days([on, start])
            }
            NoEffect::NotBefore => {
                let first = asked.not_before.after(self.facts.start);
                line(format!("the service of {on} came too soon: it counts from {first} on"))
                    .clause(format!("upkeep.{key}.not_before"))
                    .days([on, first])
            }
            NoEffect::EnteredLate => self.entered_late(event),
            _ => {
                let by = super::super::effects::asked_of(asked, event.name);
                line(format!("the service of {on} was done by {}, asked for is {by}", event.by))
                    .clause(format!("upkeep.{key}.by"))
                    .days([on])
            }
        }
    }

    fn entered_late(&self, event: &Event) -> Line {
        let on = event.on;
        let last = self.rules.entry_within.map(|within| self.rules.working_days.roll(within.after(on)));
        let entered = event.recorded.and_then(chrono::DateTime::from_timestamp_micros);
        let entered = entered.map(|at| local_day(at, self.facts.zone));
        let late = days_between(last.unwrap_or(on), entered.unwrap_or(on));
        let text = format!("the service of {on} was entered {late} late; a countersignature would let it in");
        line(text).clause("entry_within").days([Some(on), last, entered].into_iter().flatten())
    }

    fn untimely(&self, rule: usize, event: &Event, why: NoEffect, due: Option<Due>) -> Line {
        let (asked, key, on) = (&self.rules.upkeep[rule], self.key(rule), event.on);
        let said = match (why, due) {
            (NoEffect::TooEarly, Some(due)) => {
                let early = days_between(on, due.opens);
                let text = format!(
                    "the service of {on} came {early} before the window of number {} opened",
                    due.number
                );
                let clause =
                    if asked.early.is_none() { self.due_clause(&due) } else { format!("upkeep.{key}.early") };
                line(text).clause(clause).days([on, due.opens])
            }
            (NoEffect::TooLate, Some(due)) => {
                let last = due.missed_from.map_or(due.closes, |from| from.plus_days(-1));
                let clause =
                    if last < due.closes { self.distance_clause(due.rule) } else { self.closing(&due).0 };
                let text = format!(
                    "the service of {on} came too late for number {}: it counted until {last}",
                    due.number
                );
                line(text).clause(clause).days([on, last])
            }
            (NoEffect::AlreadyMet, Some(due)) => {
                let text = format!("the service of {on} came when number {} had been met", due.number);
                line(text).clause(format!("upkeep.{key}.service")).days([on])
            }
            (NoEffect::CoverEnded, _) => {
                line(format!("the service of {on} came after cover had ended")).days([on])
            }
            _ => line(format!("nothing was due for the service of {on}"))
                .clause(format!("upkeep.{key}.service"))
                .days([on]),
        };
        due.into_iter().fold(said, |said, due| said.due(rule, due.number))
    }

    /// Waivers and extensions: what they settled, and those that changed nothing.
    pub(super) fn grants(&mut self) {
        let (facts, verdict) = (self.facts, self.verdict);
        for (nth, &place) in verdict.view.grants.iter().enumerate() {
            let event = &facts.events[place];
            let (rule, number, to) = (usize::from(event.name), event.number, event.to);
            let id = format!("{}#{number}", self.key(rule));
            let due = verdict.dues.iter().find(|due| due.rule == rule && due.number == number);
            let before =
                verdict.view.grants[..nth].iter().any(|other| grants_as_much(&facts.events[*other], event));
            let status = due.map(|due| due.status);
            let (decided, text) = match (event.kind, status) {
                _ if before => (false, format!("{id} had been granted that before")),
                (EventKind::Waive, Some(_)) => (true, format!("{id} was waived on {}", event.on)),
                (EventKind::Waive, None) => (false, format!("{id} is no due: waiving it settles nothing")),
                (_, status) if self.matters(|other| grants_as_much(other, event)) => (
                    true,
                    match status {
                        Some(DueStatus::Met) => format!("{id} was extended to {to}, and has been met"),
                        Some(_) => format!("{id} was extended to {to}"),
                        None => {
                            format!("extending {id} to {to} kept it, or what follows it, from being missed")
                        }
                    },
                ),
                (_, Some(DueStatus::Met)) => {
                    (false, format!("{id} has been met: extending it to {to} changes nothing"))
                }
                (_, Some(_)) => (false, format!("extending {id} to {to} changes nothing")),
                (_, None) => (false, format!("{id} is no due: extending it settles nothing")),
            };
            let day = if event.kind == EventKind::Waive { event.on } else { to };
            let said = Line { decided, ..line(text) }.event(place).due(rule, number).days([day]);
            let clause = format!("upkeep.{}", self.key(rule));
            self.say(if status.is_some() { said.clause(clause) } else { said });
        }
    }
}

/// How long it is from one day to another.
fn days_between(from: Day, to: Day) -> Period {
    Period::days(u32::try_from(to.days() - from.days()).unwrap_or(0))
}

/// Whether two waivers or extensions grant the same.
fn grants_as_much(one: &Event, other: &Event) -> bool {
    (one.kind, one.name, one.number) == (other.kind, other.name, other.number)
        && (one.kind == EventKind::Waive || (one.kind == EventKind::Extend && one.to == other.to))
}
