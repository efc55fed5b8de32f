//! What one service did for a warranty, and what a service would do today: for the counter, in exact words.

use serde::Serialize;

use super::cover::{Because, made_good};
use super::{Due, DueStatus, SurfaceVerdict, Verdict, is_done, judge};
use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts};
use crate::core::terms::{Effect, Rank, Rules, UpkeepRule, bit};
use crate::core::words::{EventKind, words};

words! {
    /// What a service did.
    EffectKind, "effect of a service" {
        Meets = "meets",
        /// It ended a time on hold.
        Reinstates = "reinstates",
        None = "none",
    }
}

words! {
    /// Why a service did nothing; the first reason in this order is given.
    NoEffect, "reason for no effect" {
        NotCarriedOut = "not_carried_out",
        BeforeStart = "before_start",
        NotBefore = "not_before",
        Rank = "rank",
        EnteredLate = "entered_late",
        TooEarly = "too_early",
        TooLate = "too_late",
        AlreadyMet = "already_met",
        CoverEnded = "cover_ended",
        NoDue = "no_due",
    }
}

words! {
    /// What a service would do if it were done now.
    Outcome, "outcome of a service" {
        Counts = "counts",
        Reinstates = "reinstates",
        TooEarly = "too_early",
        Nothing = "nothing",
    }
}

/// What a service did for one rule, or for a breach that it made good.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ServiceEffect {
    /// The rule; null where it made a breach good.
    pub upkeep: Option<String>,
    /// The due that was met or made good; where nothing was done, the one that is next.
    pub number: Option<u32>,
    /// The breach that was made good.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breach: Option<String>,
    /// The service.
    pub service: String,
    /// By whom the rule asks for it.
    pub by: Rank,
    /// What it did.
    pub effect: EffectKind,
    /// Why it did nothing.
    pub because: Option<NoEffect>,
}

/// What a service would do for one rule if it were done on the day of the verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct TodayOutcome {
    /// The rule.
    pub upkeep: String,
    /// The due that it would meet or make good, else the one that is next.
    pub number: Option<u32>,
    /// Services of which any would.
    pub services: Vec<String>,
    /// Who would have to do it.
    pub by: Rank,
    /// What it would do.
    pub outcome: Outcome,
    /// The first day on which it would count, where that is still to come.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Day>,
}

/// The services that one rule asks for or that make its misses good.
fn concerns(rule: &UpkeepRule, service: u16) -> bool {
    rule.services.contains(&service)
        || rule
            .if_missed
            .iter()
            .any(|effect| matches!(effect, Effect::Suspend { with, .. } if with.contains(&service)))
}

/// What the service event with this id did, by a verdict in which it has been looked at: one line for each rule
/// that names its service, and one for each breach that it made good. Empty where there is no such service.
pub fn effects_of(rules: &Rules, facts: &Facts, verdict: &Verdict, id: &str) -> Vec<ServiceEffect> {
    let Some(place) = facts.place(id).filter(|place| facts.events[*place].kind == EventKind::Service) else {
        return Vec::new();
    };
    let event = &facts.events[place];
    let service = rules.services.get(usize::from(event.name)).cloned();
    let Some(service) = service else { return Vec::new() };
    let good = made_good(rules, facts, verdict);
    let mut effects = Vec::new();
    for (i, rule) in rules.upkeep.iter().enumerate() {
        if rule.surfaces & facts.surfaces == 0 || !concerns(rule, event.name) {
            continue;
        }
        let reinstated = good.iter().find_map(|(because, by)| match because {
            Because::Due(rule, number) if *rule == i && *by == place => Some(*number),
            _ => None,
        });
        let met = verdict.dues.iter().find(|due| due.rule == i && due.met.is_some_and(|(by, _)| by == place));
        let (effect, number, because) = match (reinstated, met) {
            (Some(number), _) => (EffectKind::Reinstates, Some(number), None),
            (None, Some(due)) => (EffectKind::Meets, Some(due.number), None),
            (None, None) => {
                let why = unfit(facts, rule, event).into_iter().next();
                let why = why.unwrap_or_else(|| untimely(verdict, rule, i, event).0);
                (EffectKind::None, next_due(verdict, i).map(|due| due.number), Some(why))
            }
        };
        let (upkeep, service, by) = (Some(rule.key.clone()), service.clone(), rule.by);
        effects.push(ServiceEffect { upkeep, number, breach: None, service, by, effect, because });
    }
    let mut breaches: Vec<usize> = Vec::new();
    for (because, by) in good {
        if let Because::Event(breach) = because
            && by == place
            && !breaches.contains(&breach)
        {
            breaches.push(breach);
        }
    }
    effects.extend(breaches.into_iter().map(|breach| {
        let rule = &rules.breaches[usize::from(facts.events[breach].name)];
        let by = if let Effect::Suspend { by, .. } = rule.effect { by } else { Rank::Owner };
        ServiceEffect {
            upkeep: None,
            number: None,
            breach: Some(rule.key.clone()),
            service: service.clone(),
            by,
            effect: EffectKind::Reinstates,
            because: None,
        }
    }));
    effects
}

/// The due that is asked for next.
fn next_due(verdict: &Verdict, rule: usize) -> Option<&Due> {
    let pending = |due: &&Due| matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late);
    verdict
        .dues
        .iter()
        .filter(|due| due.rule == rule)
        .filter(pending)
        .min_by_key(|due| (due.closes, due.number))
}

/// By whom a rule asks for a service: to be done, or to make good.
pub(super) fn asked_of(rule: &UpkeepRule, service: u16) -> Rank {
    if rule.services.contains(&service) {
        return rule.by;
    }
    let ranks = rule.if_missed.iter().filter_map(|effect| match effect {
        Effect::Suspend { with, by, .. } if with.contains(&service) => Some(*by),
        _ => None,
    });
    ranks.min().unwrap_or(rule.by)
}

/// Why a service cannot count for a rule, whatever is due; in the order of [`NoEffect`].
pub(super) fn unfit(facts: &Facts, rule: &UpkeepRule, event: &Event) -> Vec<NoEffect> {
    let before = event.on < facts.start;
    let early =
        !before && rule.services.contains(&event.name) && event.on < rule.not_before.after(facts.start);
    let found = [
        (!event.carried_out, NoEffect::NotCarriedOut),
        (before, NoEffect::BeforeStart),
        (early, NoEffect::NotBefore),
        (event.by < asked_of(rule, event.name), NoEffect::Rank),
        (event.entered_late, NoEffect::EnteredLate),
    ];
    found.into_iter().filter(|(found, _)| *found).map(|(_, why)| why).collect()
}

/// Why a service that could count did not, with the due that it is about: the one that it was too early or too late
/// for, or that another had met.
pub(super) fn untimely(
    verdict: &Verdict,
    rule: &UpkeepRule,
    place: usize,
    event: &Event,
) -> (NoEffect, Option<Due>) {
    let on = event.on;
    let mine = || verdict.dues.iter().filter(|due| due.rule == place).copied();
    let covers = |one: &&SurfaceVerdict| rule.surfaces & bit(one.surface) != 0;
    let ended = verdict.cover.iter().filter(covers).all(|one| on >= one.out);
    if !rule.services.contains(&event.name) {
        // It only makes good, and nothing was on hold for it.
        return (if ended { NoEffect::CoverEnded } else { NoEffect::NoDue }, None);
    }
    // What was still asked for on that day.
    let asked = |due: &Due| match due.status {
        DueStatus::Ahead | DueStatus::Open | DueStatus::Late => true,
        DueStatus::Met => due.met.is_some_and(|(_, met_on)| met_on > on),
        DueStatus::Missed => due.missed_from.is_some_and(|from| from > on),
        DueStatus::Waived => false,
    };
    let next = mine().filter(asked).min_by_key(|due| (due.closes, due.number));
    let missed = mine().last().filter(|due| due.status == DueStatus::Missed && on > due.closes);
    let met = mine().find(|due| {
        let before = due.met.is_some_and(|(_, met_on)| met_on <= on);
        before && (due.met.is_some_and(|(_, met_on)| met_on == on) || (due.opens..=due.closes).contains(&on))
    });
    match (next, missed, met) {
        (Some(due), _, _) if on < due.opens => (NoEffect::TooEarly, Some(due)),
        (None, Some(due), _) => (NoEffect::TooLate, Some(due)),
        (_, _, Some(due)) => (NoEffect::AlreadyMet, Some(due)),
        _ if ended => (NoEffect::CoverEnded, None),
        _ => (NoEffect::NoDue, None),
    }
}

/// What each rule's service would do if it were done on the day of the verdict, rule by rule: each service that a
/// rule names is tried on a copy of the facts, by the rank that is asked for, and its effect read from the verdict.
pub fn today(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Vec<TodayOutcome> {
    let mut outcomes = Vec::new();
    let mut tried = Verdict::default();
    for (i, rule) in rules.upkeep.iter().enumerate().filter(|(_, rule)| rule.surfaces & facts.surfaces != 0) {
        let mut ways: Vec<(Vec<u16>, Rank)> = vec![(rule.services.clone(), rule.by)];
        for effect in &rule.if_missed {
            if let Effect::Suspend { with, by, .. } = effect
                && !ways.contains(&(with.clone(), *by))
            {
                ways.push((with.clone(), *by));
            }
        }
        let mut plain = None;
        for (k, (services, by)) in ways.iter().enumerate() {
            let one = try_one(rules, facts, verdict, i, services, *by, &mut tried);
            if matches!(one.outcome, Outcome::Counts | Outcome::Reinstates) {
                outcomes.push(one);
            } else if k == 0 {
                plain = Some(one);
            }
        }
        if !outcomes.iter().any(|one| one.upkeep == rule.key) {
            outcomes.extend(plain);
        }
    }
    outcomes
}

fn try_one(
    rules: &Rules,
    facts: &Facts,
    verdict: &Verdict,
    place: usize,
    services: &[u16],
    by: Rank,
    tried: &mut Verdict,
) -> TodayOutcome {
    const TRIED: &str = "#today";
    let rule = &rules.upkeep[place];
    let mut with = facts.clone();
    let event = Event {
        id: TRIED.to_owned(),
        kind: EventKind::Service,
        on: verdict.as_of,
        recorded: None,
        km: None,
        name: services.first().copied().unwrap_or(crate::core::facts::NONE),
        by,
        carried_out: true,
        entered_late: false,
        told: None,
        surfaces: 0,
        panel: crate::core::facts::NONE,
        number: 0,
        to: verdict.as_of,
        retracts: usize::MAX,
    };
    debug_assert!(verdict.as_of < facts.start || is_done(facts, &event, services, by));
    with.add(event);
    judge(rules, &with, verdict.as_of, verdict.known_at, tried);
    let effect = effects_of(rules, &with, tried, TRIED)
        .into_iter()
        .find(|effect| effect.upkeep.as_deref() == Some(rule.key.as_str()));
    // A due that nobody asks for any more would be listed as met; that is of no use to anybody.
    let asked =
        |number: Option<u32>| verdict.dues.iter().any(|due| due.rule == place && Some(due.number) == number);
    let (outcome, number) = match effect {
        Some(ServiceEffect { effect: EffectKind::Meets, number, .. }) if asked(number) => {
            (Outcome::Counts, number)
        }
        Some(ServiceEffect { effect: EffectKind::Reinstates, number, .. }) => (Outcome::Reinstates, number),
        _ => (Outcome::Nothing, next_due(verdict, place).map(|due| due.number)),
    };
    let opens = next_due(verdict, place)
        .map(|due| due.opens.max(rule.not_before.after(facts.start)).max(facts.start));
    let from = opens.filter(|opens| *opens > verdict.as_of && outcome == Outcome::Nothing);
    TodayOutcome {
        upkeep: rule.key.clone(),
        number,
        services: services.iter().filter_map(|i| rules.services.get(usize::from(*i)).cloned()).collect(),
        by,
        outcome: if from.is_some() { Outcome::TooEarly } else { outcome },
        from,
    }
}
