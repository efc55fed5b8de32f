//! Dues: when each service of the terms is asked for, and what became of it.

use super::{SurfaceVerdict, Verdict, is_done};
use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts};
use crate::core::terms::{Rules, UpkeepRule, bit};
use crate::core::words::{EventKind, words};

words! {
    /// What became of a due.
    DueStatus, "status of a due" {
        /// Its window has not opened.
        Ahead = "ahead",
        /// Its window is open.
        Open = "open",
        /// Its day has passed, its window has not closed.
        Late = "late",
        Missed = "missed",
        Met = "met",
        /// The shop asks no more for it.
        Waived = "waived",
    }
}

/// One time that a service is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// The rule's place in the terms.
    pub rule: usize,
    /// From 1 on.
    pub number: u32,
    /// First day on which the service counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// Last day on which it counts.
    pub closes: Day,
    /// By distance: the odometer for which it is asked, and the last at which it counts, in km.
    pub km: Option<(u32, u32)>,
    /// What became of it.
    pub status: DueStatus,
    /// The place of the event that met it, and its day.
    pub met: Option<(usize, Day)>,
    /// From when it is missed.
    pub missed_from: Option<Day>,
}

/// The rules that are judged: those about a surface that is covered.
fn judged<'r>(rules: &'r Rules, facts: &Facts) -> impl Iterator<Item = (usize, &'r UpkeepRule)> + use<'r> {
    let surfaces = facts.surfaces;
    rules.upkeep.iter().enumerate().filter(move |(_, rule)| rule.surfaces & surfaces != 0)
}

/// Works out every due that exists before the rule's horizon.
pub(super) fn work_out(rules: &Rules, facts: &Facts, verdict: &mut Verdict) {
    verdict.dues.clear();
    for (place, rule) in judged(rules, facts) {
        let lasts = |i: usize| rules.cover[i].lasts.after(facts.start);
        let Some(horizon) = rules.surfaces(rule.surfaces & facts.surfaces).map(lasts).max() else { continue };
        let not_before = rule.not_before.after(facts.start);
        let one = Ruled { rules, facts, rule, place, horizon, not_before };
        if rule.rota {
            one.rota(verdict);
        } else {
            one.rolling(verdict);
        }
    }
}

/// One rule with what it is judged by.
struct Ruled<'a> {
    rules: &'a Rules,
    facts: &'a Facts,
    rule: &'a UpkeepRule,
    place: usize,
    horizon: Day,
    /// No service counts before this day.
    not_before: Day,
}

impl Ruled<'_> {
    /// Waivers or extensions of this rule that are in view.
    fn granted<'v>(&'v self, verdict: &'v Verdict, kind: EventKind) -> impl Iterator<Item = &'v Event> {
        let mine = move |event: &&Event| event.kind == kind && usize::from(event.name) == self.place;
        verdict.view.grants.iter().map(|i| &self.facts.events[*i]).filter(mine)
    }

    fn is_waived(&self, verdict: &Verdict, number: u32) -> bool {
        self.granted(verdict, EventKind::Waive).any(|event| event.number == number)
    }

    /// The latest `to` of the extensions of dues `from..=to`.
    fn extended(&self, verdict: &Verdict, from: u32, to: u32) -> Option<Day> {
        let named = |event: &&Event| (from..=to).contains(&event.number);
        self.granted(verdict, EventKind::Extend).filter(named).map(|event| event.to).max()
    }

    fn qualifies(&self, event: &Event) -> bool {
        is_done(self.facts, event, &self.rule.services, self.rule.by) && event.on >= self.not_before
    }

    /// Fixed dates from the start; each qualifying service, in order, meets the open window that closes first.
    fn rota(&self, verdict: &mut Verdict) {
        let (rule, start, as_of) = (self.rule, self.facts.start, verdict.as_of);
        let first = verdict.dues.len();
        for number in 1..=rule.times {
            let n = i32::try_from(number).unwrap_or(i32::MAX);
            let due = match rule.first_after {
                Some(first_after) => rule.every.times_after(n - 1, first_after.after(start)),
                None => rule.every.times_after(n, start),
            };
            if due >= self.horizon {
                break;
            }
            let closes = self.rules.working_days.roll(rule.late.after(due));
            let closes = self.extended(verdict, number, number).map_or(closes, |to| to.max(closes));
            let status = if self.is_waived(verdict, number) { DueStatus::Waived } else { DueStatus::Ahead };
            let opens = rule.early.before(due);
            let (rule, met, missed_from) = (self.place, None, None);
            verdict.dues.push(Due { rule, number, opens, due, closes, km: None, status, met, missed_from });
        }
        let dues = &mut verdict.dues[first..];
        // Services come in order of the day, windows in order of their opening: what is settled or has closed at the
        // front need not be looked at again.
        let mut front = 0;
        for &i in &verdict.view.since_start {
            let event = &self.facts.events[i];
            if event.kind != EventKind::Service || !self.qualifies(event) {
                continue;
            }
            let takes = |due: &Due| due.status == DueStatus::Ahead && event.on <= due.closes;
            while dues.get(front).is_some_and(|due| !takes(due)) {
                front += 1;
            }
            let open = dues[front..].iter_mut().take_while(|due| due.opens <= event.on);
            if let Some(due) = open.filter(|due| takes(due)).min_by_key(|due| (due.closes, due.number)) {
                due.status = DueStatus::Met;
                due.met = Some((i, event.on));
            }
        }
        for due in dues.iter_mut().filter(|due| due.status == DueStatus::Ahead) {
            if as_of > due.closes {
                due.status = DueStatus::Missed;
                due.missed_from = Some(due.closes.plus_days(1));
            } else if as_of > due.due {
                due.status = DueStatus::Late;
            } else if as_of >= due.opens {
                due.status = DueStatus::Open;
            }
        }
    }

    /// One due at a time: what becomes of it sets from where the next one counts.
    fn rolling(&self, verdict: &mut Verdict) {
        let (rule, facts) = (self.rule, self.facts);
        let mut clock = Clock { base: facts.start, base_km: facts.start_km, left: 0, met_on: None };
        for number in 1..=rule.times {
            let first = rule.first_after.map(|first_after| first_after.after(facts.start));
            let due = match first {
                Some(first) if number == 1 => first,
                Some(first) => rule.every.after(clock.base).max(first),
                None => rule.every.after(clock.base),
            };
            let exists = due < self.horizon || (rule.every_km.is_some() && clock.base < self.horizon);
            if !exists {
                break;
            }
            let extended = self.extended(verdict, 1, number);
            let closes = self.rules.working_days.roll(rule.late.after(due));
            let closes = extended.map_or(closes, |to| to.max(closes));
            let km = rule.every_km.map(|every| {
                let due_km = clock.base_km.saturating_add(every);
                (due_km, due_km.saturating_add(rule.late_km))
            });
            let waived = self.is_waived(verdict, number);
            let mut due = Due {
                rule: self.place,
                number,
                opens: clock.base,
                due,
                closes,
                km,
                status: if waived { DueStatus::Waived } else { DueStatus::Ahead },
                met: None,
                missed_from: None,
            };
            let decided = if waived { Some(None) } else { self.decide(verdict, &clock, &mut due, extended) };
            if let Some(place) = decided {
                clock = self.next(verdict, &clock, &due, place);
            } else if verdict.as_of > due.due {
                due.status = DueStatus::Late;
            } else if verdict.as_of >= clock.base {
                due.status = DueStatus::Open;
            }
            verdict.dues.push(due);
            if decided.is_none() {
                break;
            }
        }
    }

    /// Whether the due is settled: the first of the events left that shows it missed, or meets it. With the place
    /// of that event among those since start; none where the day alone decides.
    #[expect(clippy::option_option, reason = "not decided; decided without an event; decided by one")]
    fn decide(
        &self,
        verdict: &Verdict,
        clock: &Clock,
        due: &mut Due,
        extended: Option<Day>,
    ) -> Option<Option<usize>> {
        for (place, &i) in verdict.view.since_start.iter().enumerate().skip(clock.left) {
            let event = &self.facts.events[i];
            if event.on > due.closes {
                break;
            }
            let too_far = due.km.zip(event.km).is_some_and(|((_, closes_km), km)| km > closes_km);
            if too_far && extended.is_none_or(|to| event.on > to) {
                due.status = DueStatus::Missed;
                due.missed_from = Some(event.on);
                return Some(Some(place));
            }
            if self.qualifies(event) && clock.met_on != Some(event.on) {
                due.status = DueStatus::Met;
                due.met = Some((i, event.on));
                return Some(Some(place));
            }
        }
        if verdict.as_of > due.closes {
            due.status = DueStatus::Missed;
            due.missed_from = Some(due.closes.plus_days(1));
            return Some(None);
        }
        None
    }

    /// From where the next due counts, by what became of this one and the event that decided it.
    fn next(&self, verdict: &Verdict, clock: &Clock, due: &Due, decided_by: Option<usize>) -> Clock {
        let view = &verdict.view;
        let due_km = due.km.map_or(0, |(due_km, _)| due_km);
        // The highest odometer that the first so many events show.
        let run = |count: usize| view.shown(count, self.facts).max(due_km);
        let after_closing = due.closes.plus_days(1);
        match (due.status, decided_by) {
            (DueStatus::Met, Some(place)) => {
                let base_km = match self.facts.events[view.since_start[place]].km {
                    Some(km) => km.max(clock.base_km),
                    None => run(place + 1),
                };
                let met_on = view.days[place];
                Clock { base: clock.base.max(met_on), base_km, left: place + 1, met_on: Some(met_on) }
            }
            (DueStatus::Missed, Some(place)) => {
                Clock { base: view.days[place], base_km: run(place + 1), left: place, met_on: None }
            }
            (DueStatus::Missed, None) => {
                let first = view.until(due.closes).max(clock.left);
                let base_km = run(if first < view.days.len() { first + 1 } else { first });
                Clock { base: after_closing, base_km, left: first, met_on: None }
            }
            _ => {
                let left = view.until(due.due).max(clock.left);
                Clock { base: after_closing, base_km: run(view.until(due.closes)), left, met_on: None }
            }
        }
    }
}

/// From where a rolling due counts.
struct Clock {
    base: Day,
    base_km: u32,
    /// How many of the events since start are used up.
    left: usize,
    /// The day on which a service met the due before.
    met_on: Option<Day>,
}

/// Leaves out dues that nobody asks for any more because cover is over; only what is listed, or can still be, is
/// watched for its next turn.
pub(super) fn leave_out_moot(rules: &Rules, facts: &Facts, verdict: &mut Verdict) {
    let as_of = verdict.as_of;
    let cover = &verdict.cover;
    let turns = &mut verdict.turns;
    let grants = &verdict.view.grants;
    // Dues come rule by rule.
    let mut rule_and_out = None;
    verdict.dues.retain(|due| {
        let rule = &rules.upkeep[due.rule];
        let out = match rule_and_out {
            Some((place, out)) if place == due.rule => out,
            _ => {
                let mine = |one: &&SurfaceVerdict| rule.surfaces & facts.surfaces & bit(one.surface) != 0;
                let outs = cover.iter().filter(mine).map(|one| one.out);
                outs.max().unwrap_or(Day::new(i32::MAX))
            }
        };
        rule_and_out = Some((due.rule, out));
        let turn = match due.status {
            DueStatus::Ahead => due.opens,
            DueStatus::Open => due.due.plus_days(1),
            DueStatus::Late => due.closes.plus_days(1),
            DueStatus::Missed => return due.missed_from.is_none_or(|from| from <= out),
            DueStatus::Met | DueStatus::Waived => return true,
        };
        let over = due.due >= out.plus_days(-1) && (rule.every_km.is_none() || as_of >= out);
        // On a rolling clock a waiver of a later due shows once this one is settled, moot or not.
        let hides_a_waiver = || {
            !rule.rota
                && grants.iter().map(|i| &facts.events[*i]).any(|grant| {
                    grant.kind == EventKind::Waive
                        && usize::from(grant.name) == due.rule
                        && grant.number > due.number
                })
        };
        if !over {
            turns.surely(as_of, turn);
        } else if due.closes < out || hides_a_waiver() {
            turns.may(as_of, turn);
        }
        if rule.every_km.is_some() {
            turns.may(as_of, out);
        }
        !over
    });
}
