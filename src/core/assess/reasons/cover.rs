//! Reasons about cover: what ends it, has shortened it, put it on hold or brought it back.

use super::super::cover::{AtSale, Because, Happening, Out, Surface, inspection, unkept};
use super::super::{Cause, State, SurfaceVerdict, Suspension, Verdict, judge};
use super::{Line, Teller, line, make_good_by, pending_at_sales};
use crate::core::calendar::Day;
use crate::core::terms::{Effect, bit};
use crate::core::words::EventKind;

impl Teller<'_> {
    /// The clause with the consequence of a miss or a breach.
    fn consequence(&self, happening: &Happening) -> String {
        match happening.because {
            Because::Event(place) => {
                let breach = usize::from(self.facts.events[place].name);
                format!("breaches.{}", self.rules.breaches[breach].key)
            }
            Because::Due(place, _) => {
                let rule = &self.rules.upkeep[place];
                let rung =
                    if rule.if_missed.len() > 1 { format!(".{}", happening.rung) } else { String::new() };
                format!("upkeep.{}.if_missed{rung}", rule.key)
            }
        }
    }

    /// The clause that says with what something is made good, where it says more than silence would: the rule's own
    /// services.
    fn remedy(&self, happening: &Happening) -> Option<String> {
        match (happening.because, happening.effect(self.rules, self.facts)) {
            (Because::Due(rule, _), Effect::Suspend { with, .. })
                if *with == self.rules.upkeep[rule].services =>
            {
                None
            }
            _ => Some(format!("{}.with", self.consequence(happening))),
        }
    }

    fn what(&self, because: Because) -> String {
        match because {
            Because::Event(place) => {
                let event = &self.facts.events[place];
                format!("{} on {}", self.rules.breaches[usize::from(event.name)].key, event.on)
            }
            Because::Due(rule, number) => {
                format!("{} number {number} was missed", self.rules.upkeep[rule].key)
            }
        }
    }

    pub(super) fn cover(&mut self, one: &SurfaceVerdict) {
        let verdict = self.verdict;
        let judged = Surface { rules: self.rules, facts: self.facts, verdict, surface: one.surface };
        let (out, held) = judged.weigh(verdict.happenings.iter());
        if one.state == State::NotBegun {
            let text = format!("cover of {} begins on {}", self.surface(one.surface), one.from);
            self.say(line(text).days([one.from]));
        }
        self.end(one, out);
        for happening in &verdict.happenings {
            if let Effect::Shorten(take_off) = happening.effect(self.rules, self.facts)
                && happening.surfaces & bit(one.surface) != 0
                && judged.weigh(verdict.happenings.iter().filter(|other| !std::ptr::eq(*other, happening))).0
                    != out
            {
                let (surface, what) = (self.surface(one.surface), self.what(happening.because));
                let ends = if one.state == State::Ended { "ended" } else { "ends" };
                let last = out.day.plus_days(-1);
                let text = format!("cover of {surface} {ends} with {last}, shortened ({take_off}): {what}");
                let clause = self.consequence(happening);
                self.say(line(text).clause(clause).because(happening.because).days([last, happening.on]));
            }
        }
        for held in held.iter().filter(|held| held.since < out.day) {
            self.made_good_unseen(&judged, held, out);
        }
        for held in &one.suspended {
            self.held(one.surface, held);
        }
        self.deadlines(one, out);
    }

    /// What ends cover, or has.
    fn end(&mut self, one: &SurfaceVerdict, out: Out) {
        let surface = self.surface(one.surface);
        let last = out.day.plus_days(-1);
        let ends = if one.state == State::Ended { "ended" } else { "ends" };
        let said = match (out.cause, out.because) {
            (Cause::Expired, _) => {
                let text = if one.state == State::Ended {
                    format!("cover of {surface} ran out with {last}")
                } else {
                    format!("cover of {surface} runs from {} to {last}", one.from)
                };
                let days = if one.state == State::Ended { vec![last] } else { vec![one.from, last] };
                line(text).clause(format!("cover.{surface}.lasts")).days(days)
            }
            (Cause::Distance, Some(because)) => {
                let most = self.rules.cover[one.surface].up_to_km.unwrap_or_default();
                let text = format!("{surface} was covered for {most} km, passed on {}", out.day);
                line(text).clause(format!("cover.{surface}.up_to_km")).because(because).days([out.day])
            }
            (Cause::Closed, Some(because)) => {
                let text = format!("the warranty was closed: cover of {surface} {ends} with {last}");
                line(text).because(because).days([last])
            }
            (Cause::Transfer, Some(Because::Event(sale))) => return self.lost_at_sale(one, sale, out.day),
            (Cause::Missed | Cause::Breach, Some(because)) => {
                let mut all = self.verdict.happenings.iter();
                let Some(happening) = all.find(|one| one.because == because) else { return };
                let (clause, what) = (self.consequence(happening), self.what(because));
                let text = format!("cover of {surface} {ends} with {last}: {what}");
                match happening.effect(self.rules, self.facts) {
                    Effect::Suspend { within: Some(within), .. } => {
                        let by = self.rules.working_days.roll(within.after(happening.on));
                        let text = format!("{text}, and was not made good by {by}");
                        line(text)
                            .clause(format!("{clause}.make_good_within"))
                            .because(because)
                            .days([last, by])
                    }
                    _ => line(text).clause(clause).because(because).days([last]),
                }
            }
            // What has shortened it is told by itself.
            _ => return,
        };
        self.say(said);
    }

    /// Everything that a sale has not kept by the day on which that ended cover.
    fn lost_at_sale(&mut self, one: &SurfaceVerdict, sale: usize, out: Day) {
        let before =
            self.verdict.view.since_start_of(self.facts, EventKind::Transfer).take_while(|i| *i != sale);
        let owners = u32::try_from(before.count()).unwrap_or(u32::MAX).saturating_add(2);
        let last = out.plus_days(-1);
        let ends = if one.state == State::Ended { "ended" } else { "ends" };
        let unkept: Vec<(AtSale, Day)> = unkept(self.rules, self.facts, self.verdict, sale, owners)
            .filter(|(_, day)| *day == out)
            .collect();
        for (what, _) in unkept {
            let (clause, why) = match what {
                AtSale::Allowed => ("transfer.allowed", "it does not go over to a new owner".to_owned()),
                AtSale::Owners => ("transfer.owners", format!("there were {owners} owners by then")),
                AtSale::Tell => ("transfer.tell_within", format!("the sale was not told by {last}")),
                AtSale::Inspect => (
                    "transfer.inspect_within",
                    format!("no accredited shop inspected it by {last} after the sale"),
                ),
            };
            let text = format!("cover of {} {ends} with {last}: {why}", self.surface(one.surface));
            self.say(line(text).clause(clause).event(sale).days([last]));
        }
    }

    /// What has to be done lest cover end. It decides where cover would end by it if nothing more were heard.
    fn deadlines(&mut self, one: &SurfaceVerdict, out: Out) {
        let (rules, facts, verdict) = (self.rules, self.facts, self.verdict);
        let surface = self.surface(one.surface);
        let mut deadlines = Vec::new();
        for held in one.suspended.iter().filter(|held| held.until.is_none()) {
            let happening = verdict.happenings.iter().find(|one| one.because == held.because);
            if let (Some(happening), Some(last)) = (happening, make_good_by(rules, facts, verdict, held)) {
                let text = format!("{surface} can be made good until {last}: {}", self.what(held.because));
                let clause = format!("{}.make_good_within", self.consequence(happening));
                deadlines.push((last, held.because, line(text).clause(clause)));
            }
        }
        for (sale, what, last) in pending_at_sales(rules, facts, verdict) {
            let (clause, asked) = match what {
                AtSale::Tell => ("transfer.tell_within", "the sale is to be told"),
                _ => ("transfer.inspect_within", "an accredited shop is to inspect it after the sale"),
            };
            let text = format!("{asked} by {last}, else cover of {surface} ends");
            deadlines.push((last, Because::Event(sale), line(text).clause(clause)));
        }
        deadlines.retain(|(last, _, _)| last.plus_days(1) < out.day);
        for (last, because, said) in deadlines {
            let next = last.plus_days(1);
            // One sale can have two deadlines: only the first ends cover. What was on hold ended with that, looking back.
            let of_a_sale = matches!(because, Because::Event(place) if self.facts.events[place].kind == EventKind::Transfer);
            let decided = self
                .would_end(one.surface, next)
                .is_some_and(|(by, day)| by == because && (day == next || !of_a_sale));
            self.say(Line { decided, ..said.because(because).days([last]) });
        }
    }

    /// What would have ended cover by a later day if nothing more were heard, and the first day without it.
    fn would_end(&self, surface: usize, day: Day) -> Option<(Because, Day)> {
        let view = &self.verdict.view;
        let mut facts = self.facts.clone();
        facts.order.retain(|place| view.all.contains(place));
        for event in &mut facts.events {
            event.told = event.told.filter(|told| *told <= view.as_of);
        }
        let mut later = Verdict::default();
        judge(self.rules, &facts, day, self.verdict.known_at, &mut later);
        let one = later.cover.iter().find(|one| one.surface == surface)?;
        one.because.map(|because| (because, one.out))
    }

    /// A time on hold, and what ended it.
    fn held(&mut self, surface: usize, held: &Suspension) {
        let mut happenings = self.verdict.happenings.iter();
        let Some(happening) = happenings.find(|one| one.because == held.because) else { return };
        let (name, what) = (self.surface(surface), self.what(held.because));
        let clause = self.consequence(happening);
        let text = format!("{name} was put on hold on {}: {what}", held.since);
        let mut lines = vec![line(text).clause(clause.clone()).because(held.because).days([held.since])];
        if let (Some(until), Some(good)) = (held.until, held.made_good_by) {
            let text = format!("{name} came back into force on {until}: {what}, and was made good");
            let clause = self.remedy(happening).unwrap_or(clause);
            lines.push(line(text).clause(clause).event(good).days([held.since, until]));
        }
        lines.into_iter().for_each(|line| self.say(line));
    }

    /// What was made good on its first day, so that the hold lasted none, or only after cover had ended by something
    /// else: without that, it would have ended it before.
    fn made_good_unseen(&mut self, judged: &Surface<'_>, held: &Suspension, out: Out) {
        let happenings = &self.verdict.happenings;
        let happening = happenings.iter().find(|one| one.because == held.because);
        let (Some(happening), Some(good), Some(until)) = (happening, held.made_good_by, held.until) else {
            return;
        };
        let id = &self.facts.events[good].id;
        let facts = self.facts.emptied(|event| event.id == *id);
        let (out_without, held_without) = Surface { facts: &facts, ..*judged }.weigh(happenings.iter());
        let on_hold = |one: &Suspension| one.because == held.because && one.until != Some(one.since);
        let (name, what) = (self.surface(judged.surface), self.what(held.because));
        let text = if until > out.day && out_without != out {
            let last = out.day.plus_days(-1);
            format!("{what}, and was made good on {until}, after cover of {name} had ended with {last}")
        } else if until == held.since && (out_without != out || held_without.iter().any(on_hold)) {
            format!("{name} was not put on hold: {what}, and was made good on {until} itself")
        } else {
            return;
        };
        let said = line(text).event(good).days([until]);
        self.say(self.remedy(happening).into_iter().fold(said, Line::clause));
    }

    /// Inspections without which a sale would have ended cover.
    pub(super) fn inspected_after_sales(&mut self) {
        let (facts, verdict) = (self.facts, self.verdict);
        let Some(within) = self.rules.transfer.as_ref().and_then(|terms| terms.inspect_within) else {
            return;
        };
        for sale in verdict.view.since_start_of(facts, EventKind::Transfer) {
            let sold = facts.events[sale].on;
            let last = self.rules.working_days.roll(within.after(sold));
            if let Some(service) = inspection(facts, verdict, sold, last)
                && self.matters(|event| event.id == facts.events[service].id)
            {
                let on = facts.events[service].on;
                let text =
                    format!("the inspection of {on} is the one asked for by {last} after the sale of {sold}");
                self.say(line(text).event(service).days([on, last, sold]));
            }
        }
    }
}
