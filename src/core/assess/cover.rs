//! Cover: until when each surface is covered, why no longer, and when it was on hold.

use super::{DueStatus, Verdict, is_done};
use crate::core::calendar::{Day, Period};
use crate::core::facts::{Event, Facts, NONE};
use crate::core::terms::{Effect, INSPECTION, Mask, Rank, Rules, bit};
use crate::core::words::{EventKind, words};

words! {
    /// Whether a surface is covered.
    State, "state of cover" {
        NotBegun = "not_begun",
        InForce = "in_force",
        /// On hold until something is made good.
        Suspended = "suspended",
        Ended = "ended",
    }
}

words! {
    /// Why cover ended. Of several on one day the first of the first four is named.
    Cause, "cause of an end" {
        Transfer = "transfer",
        Closed = "closed",
        Distance = "distance",
        Expired = "expired",
        Missed = "missed",
        Breach = "breach",
        Shortened = "shortened",
    }
}

/// What ended cover or put it on hold: an event, or a due that was missed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// The place of an event.
    Event(usize),
    /// A rule's place and the number of its due.
    Due(usize, u32),
}

/// A time on hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Suspension {
    /// Its first day.
    pub since: Day,
    /// The first day no longer on hold; none: it goes on.
    pub until: Option<Day>,
    /// What put it on hold.
    pub because: Because,
    /// The place of the event that made it good.
    pub made_good_by: Option<usize>,
}

/// Cover of one surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SurfaceVerdict {
    /// The surface's place in the terms.
    pub surface: usize,
    /// Whether it is covered.
    pub state: State,
    /// First day of cover.
    pub from: Day,
    /// First day no longer covered.
    pub out: Day,
    /// Why it ended; only when it has.
    pub cause: Option<Cause>,
    /// What ended it; only when it has.
    pub because: Option<Because>,
    /// Times on hold, in the order in which they were found.
    pub suspended: Vec<Suspension>,
}

/// A breach or a miss, and what it does.
#[derive(Debug, Clone)]
pub(super) struct Happening {
    pub(super) on: Day,
    pub(super) because: Because,
    pub(super) surfaces: Mask,
    /// The rung of the rule's ladder; a breach has one consequence.
    pub(super) rung: usize,
}

impl Happening {
    /// What it does to cover.
    pub(super) fn effect<'r>(&self, rules: &'r Rules, facts: &Facts) -> &'r Effect {
        match self.because {
            Because::Event(i) => &rules.breaches[usize::from(facts.events[i].name)].effect,
            Because::Due(rule, _) => &rules.upkeep[rule].if_missed[self.rung],
        }
    }
}

/// Works out cover, surface by surface in the order of the terms.
pub(super) fn work_out(rules: &Rules, facts: &Facts, verdict: &mut Verdict) {
    let mut happenings = std::mem::take(&mut verdict.happenings);
    happenings.clear();
    gather(rules, facts, verdict, &mut happenings);
    let mut cover = std::mem::take(&mut verdict.cover);
    cover.clear();
    for surface in rules.surfaces(facts.surfaces) {
        let one = Surface { rules, facts, verdict, surface }.judge(&happenings);
        cover.push(one);
    }
    for surface in &cover {
        turn(rules, facts, verdict, surface, &happenings);
    }
    verdict.cover = cover;
    verdict.happenings = happenings;
}

/// Breaches and misses in order of the day; on one day breaches first, in order of events, then misses in order of
/// rules and number.
fn gather(rules: &Rules, facts: &Facts, verdict: &Verdict, happenings: &mut Vec<Happening>) {
    for i in verdict.view.since_start_of(facts, EventKind::Breach) {
        let event = &facts.events[i];
        if event.name != NONE {
            let breach = &rules.breaches[usize::from(event.name)];
            let surfaces = breach.surfaces & event.surfaces;
            happenings.push(Happening { on: event.on, because: Because::Event(i), surfaces, rung: 0 });
        }
    }
    let mut first = 0;
    while first < verdict.dues.len() {
        let rule = verdict.dues[first].rule;
        let count = verdict.dues[first..].iter().take_while(|due| due.rule == rule).count();
        let begin = happenings.len();
        for due in verdict.dues[first..first + count].iter().filter(|due| due.status == DueStatus::Missed) {
            let Some(on) = due.missed_from else { continue };
            let because = Because::Due(rule, due.number);
            happenings.push(Happening { on, because, surfaces: rules.upkeep[rule].surfaces, rung: 0 });
        }
        // Misses climb the ladder in the order of the days from which they are missed, then of number.
        happenings[begin..].sort_by_key(|one| one.on);
        let most = rules.upkeep[rule].if_missed.len().saturating_sub(1);
        for (k, one) in happenings[begin..].iter_mut().enumerate() {
            one.rung = k.min(most);
        }
        first += count;
    }
    happenings.sort_by_key(|one| (one.on, matches!(one.because, Because::Due(..))));
}

/// A surface that is being judged.
pub(super) struct Surface<'a> {
    pub(super) rules: &'a Rules,
    pub(super) facts: &'a Facts,
    pub(super) verdict: &'a Verdict,
    /// Its place in the terms.
    pub(super) surface: usize,
}

/// The end of cover as far as it is known, in the past or to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Out {
    /// The first day no longer covered.
    pub(super) day: Day,
    pub(super) cause: Cause,
    pub(super) because: Option<Because>,
}

impl Surface<'_> {
    fn judge(&self, happenings: &[Happening]) -> SurfaceVerdict {
        let as_of = self.verdict.as_of;
        let (out, mut suspended) = self.weigh(happenings.iter());
        let over = as_of >= out.day;
        suspended.retain_mut(|one| {
            if one.since >= out.day || one.until == Some(one.since) {
                return false;
            }
            if one.until.map_or(over, |until| until > out.day) {
                one.until = Some(out.day);
                one.made_good_by = None;
            }
            true
        });
        let inside = |one: &Suspension| one.since <= as_of && one.until.is_none_or(|until| as_of < until);
        let state = if as_of < self.facts.start {
            State::NotBegun
        } else if over {
            State::Ended
        } else if suspended.iter().any(inside) {
            State::Suspended
        } else {
            State::InForce
        };
        let ended = state == State::Ended;
        SurfaceVerdict {
            surface: self.surface,
            state,
            from: self.facts.start,
            out: out.day,
            cause: ended.then_some(out.cause),
            because: out.because.filter(|_| ended),
            suspended,
        }
    }

    /// The end of cover, and the times on hold as they were found, some of which may last no day or begin after the
    /// end.
    pub(super) fn weigh<'h>(
        &self,
        happenings: impl Iterator<Item = &'h Happening>,
    ) -> (Out, Vec<Suspension>) {
        let as_of = self.verdict.as_of;
        let mut out = self.first_out();
        let mut nominal = self.rules.cover[self.surface].lasts.after(self.facts.start);
        let mut suspended = Vec::new();
        let mut remedies = Vec::new();
        for one in happenings.filter(|one| one.surfaces & bit(self.surface) != 0) {
            if one.on >= out.day {
                break;
            }
            let cause = if matches!(one.because, Because::Event(_)) { Cause::Breach } else { Cause::Missed };
            let ended = Out { day: one.on, cause, because: Some(one.because) };
            let effect = one.effect(self.rules, self.facts);
            match effect {
                Effect::Note => {}
                Effect::End => out = ended,
                Effect::Shorten(take_off) => {
                    nominal = take_off.before(nominal).max(one.on.plus_days(-1));
                    let day = nominal.plus_days(1);
                    if day < out.day {
                        out = Out { day, cause: Cause::Shortened, because: Some(one.because) };
                    }
                }
                Effect::Suspend { within, with, by } => {
                    let last = within.map(|within| self.rules.working_days.roll(within.after(one.on)));
                    let good = self.made_good(one.on, effect, with, *by, &mut remedies);
                    let good = good.filter(|i| last.is_none_or(|last| self.facts.events[*i].on <= last));
                    if good.is_none() && last.is_some_and(|last| as_of > last) {
                        out = ended;
                        continue;
                    }
                    suspended.push(Suspension {
                        since: one.on,
                        until: good.map(|i| self.facts.events[i].on),
                        because: one.because,
                        made_good_by: good,
                    });
                }
            }
        }
        (out, suspended)
    }

    /// The first service that makes good what began on a day. What was found for an earlier day is kept: as days rise,
    /// no event is looked at twice for the same consequence.
    fn made_good<'r>(
        &self,
        on: Day,
        effect: &'r Effect,
        with: &[u16],
        by: Rank,
        found: &mut Vec<(&'r Effect, Option<usize>)>,
    ) -> Option<usize> {
        let events = &self.facts.events;
        let view = &self.verdict.view;
        let search = || {
            let mut rest = view.since_start[view.until(on.plus_days(-1))..].iter().copied();
            rest.find(|i| is_done(self.facts, &events[*i], with, by))
        };
        match found.iter_mut().find(|(other, _)| std::ptr::eq(*other, effect)) {
            Some((_, first)) if first.is_none_or(|i| events[i].on >= on) => *first,
            Some((_, first)) => {
                *first = search();
                *first
            }
            None => {
                let first = search();
                found.push((effect, first));
                first
            }
        }
    }

    /// The end by time, distance, closing or sale, whichever comes first.
    fn first_out(&self) -> Out {
        let cover = &self.rules.cover[self.surface];
        let expired = cover.lasts.after(self.facts.start).plus_days(1);
        let mut out = Out { day: expired, cause: Cause::Expired, because: None };
        let mut sooner = |day: Day, cause: Cause, event: usize| {
            // Of several causes on one day the first in the order of `Cause` is named; of one cause the first event.
            if (day, cause) < (out.day, out.cause) {
                out = Out { day, cause, because: Some(Because::Event(event)) };
            }
        };
        let events = &self.facts.events;
        if let Some(most) = cover.up_to_km {
            let view = &self.verdict.view;
            let last = self.facts.start_km.saturating_add(most);
            let first = view.highest_km.partition_point(|km| *km <= last);
            if let Some(&i) = view.since_start.get(first) {
                sooner(events[i].on, Cause::Distance, i);
            }
        }
        for &i in self.verdict.view.others.iter().filter(|i| events[**i].kind == EventKind::Close) {
            sooner(events[i].on.plus_days(1).max(self.facts.start), Cause::Closed, i);
        }
        let mut owners = 1;
        for i in self.verdict.view.since_start_of(self.facts, EventKind::Transfer) {
            owners += 1;
            for (_, day) in unkept(self.rules, self.facts, self.verdict, i, owners) {
                sooner(day, Cause::Transfer, i);
            }
        }
        out
    }
}

/// What terms ask for at a sale, in the order of the terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AtSale {
    Allowed,
    Owners,
    Tell,
    Inspect,
}

/// What a sale has not kept, and the first day no longer covered for it; `owners` counts the new one too.
pub(super) fn unkept<'a>(
    rules: &'a Rules,
    facts: &'a Facts,
    verdict: &'a Verdict,
    sale: usize,
    owners: u32,
) -> impl Iterator<Item = (AtSale, Day)> + 'a {
    let (event, as_of) = (&facts.events[sale], verdict.as_of);
    rules.transfer.iter().flat_map(move |terms| {
        let at_once = |unkept: bool, what| unkept.then(|| (what, event.on.plus_days(1)));
        let last_of =
            |within: Option<Period>| within.map(|within| rules.working_days.roll(within.after(event.on)));
        let untold = |last: &Day| {
            let told = event.told.filter(|told| *told <= as_of);
            told.map_or(as_of > *last, |told| told > *last)
        };
        let uninspected = |last: &Day| as_of > *last && inspection(facts, verdict, event.on, *last).is_none();
        [
            at_once(!terms.allowed, AtSale::Allowed),
            at_once(terms.owners.is_some_and(|most| owners > most), AtSale::Owners),
            last_of(terms.tell_within).filter(untold).map(|last| (AtSale::Tell, last.plus_days(1))),
            last_of(terms.inspect_within)
                .filter(uninspected)
                .map(|last| (AtSale::Inspect, last.plus_days(1))),
        ]
        .into_iter()
        .flatten()
    })
}

/// Every hold that a service ended, with the place of that service; also those that lasted no day, which are not listed.
pub(super) fn made_good(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Vec<(Because, usize)> {
    let mut found = Vec::new();
    for one in &verdict.cover {
        let surface = Surface { rules, facts, verdict, surface: one.surface };
        let (out, held) = surface.weigh(verdict.happenings.iter());
        let in_time =
            |held: &&Suspension| held.since < out.day && held.until.is_some_and(|until| until <= out.day);
        found.extend(held.iter().filter(in_time).filter_map(|held| Some((held.because, held.made_good_by?))));
    }
    found
}

/// The first inspection by an accredited shop from the day of a sale to the last day for it.
pub(super) fn inspection(facts: &Facts, verdict: &Verdict, from: Day, last: Day) -> Option<usize> {
    let counts = |service: &Event| {
        (from..=last).contains(&service.on) && is_done(facts, service, &[INSPECTION], Rank::Accredited)
    };
    verdict.view.since_start.iter().copied().find(|i| counts(&facts.events[*i]))
}

/// Notes the days on which a surface's cover can turn by itself.
fn turn(
    rules: &Rules,
    facts: &Facts,
    verdict: &mut Verdict,
    surface: &SurfaceVerdict,
    happenings: &[Happening],
) {
    let as_of = verdict.as_of;
    let turns = &mut verdict.turns;
    if surface.state == State::NotBegun {
        turns.surely(as_of, facts.start);
        turns.may(as_of, surface.out);
    } else {
        turns.surely(as_of, surface.out);
    }
    for one in happenings.iter().filter(|one| one.surfaces & bit(surface.surface) != 0) {
        if let Effect::Suspend { within: Some(within), .. } = one.effect(rules, facts) {
            turns.may(as_of, rules.working_days.roll(within.after(one.on)).plus_days(1));
        }
    }
    let Some(terms) = &rules.transfer else { return };
    for i in verdict.view.since_start_of(facts, EventKind::Transfer) {
        for within in [terms.tell_within, terms.inspect_within].into_iter().flatten() {
            let last = rules.working_days.roll(within.after(facts.events[i].on));
            turns.may(as_of, last.plus_days(1));
        }
    }
}
