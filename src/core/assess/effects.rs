//! What one service did for a warranty, and what a service would do today: for the counter, in exact words.

use serde::Serialize;

use super::cover::Because;
use super::{Due, DueStatus, Verdict, is_done, judge};
use crate::core::calendar::Day;
use crate::core::facts::{Event, Facts};
use crate::core::terms::{Effect, Rank, Rules, UpkeepRule};
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
    let mut effects = Vec::new();
    for (i, rule) in rules.upkeep.iter().enumerate() {
        if rule.surfaces & facts.surfaces == 0 || !concerns(rule, event.name) {
            continue;
        }
        let reinstated =
            verdict.cover.iter().flat_map(|one| &one.suspended).find_map(|time| match time.because {
                Because::Due(rule, number) if rule == i && time.made_good_by == Some(place) => Some(number),
                _ => None,
            });
        let met = verdict.dues.iter().find(|due| due.rule == i && due.met.is_some_and(|(by, _)| by == place));
        let (effect, number, because) = match (reinstated, met) {
            (Some(number), _) => (EffectKind::Reinstates, Some(number), None),
            (None, Some(due)) => (EffectKind::Meets, Some(due.number), None),
            (None, None) => {
                let why = why_not(facts, verdict, rule, i, event);
                (EffectKind::None, next_due(verdict, i).map(|due| due.number), Some(why))
            }
        };
        let (upkeep, service, by) = (Some(rule.key.clone()), service.clone(), rule.by);
        effects.push(ServiceEffect { upkeep, number, breach: None, service, by, effect, because });
    }
    let mut breaches = Vec::new();
    for time in verdict.cover.iter().flat_map(|one| &one.suspended) {
        if let (Because::Event(breach), true) = (time.because, time.made_good_by == Some(place))
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

fn why_not(facts: &Facts, verdict: &Verdict, rule: &UpkeepRule, place: usize, event: &Event) -> NoEffect {
    let mine = || verdict.dues.iter().filter(|due| due.rule == place);
    let ended = verdict
        .cover
        .iter()
        .filter(|one| rule.surfaces & crate::core::terms::bit(one.surface) != 0)
        .all(|one| event.on >= one.out);
    if !event.carried_out {
        NoEffect::NotCarriedOut
    } else if event.on < facts.start {
        NoEffect::BeforeStart
    } else if event.on < rule.not_before.after(facts.start) {
        NoEffect::NotBefore
    } else if event.by < rule.by {
        NoEffect::Rank
    } else if event.entered_late {
        NoEffect::EnteredLate
    } else if !rule.services.contains(&event.name) {
        // It only makes good, and nothing was on hold for it.
        if ended { NoEffect::CoverEnded } else { NoEffect::NoDue }
    } else if next_due(verdict, place).is_some_and(|due| event.on < due.opens) {
        NoEffect::TooEarly
    } else if mine().any(|due| due.status == DueStatus::Missed && event.on > due.closes)
        && next_due(verdict, place).is_none()
    {
        NoEffect::TooLate
    } else if mine().any(|due| {
        due.met.is_some_and(|(_, on)| on == event.on || (due.opens..=due.closes).contains(&event.on))
    }) {
        NoEffect::AlreadyMet
    } else if ended {
        NoEffect::CoverEnded
    } else {
        NoEffect::NoDue
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
    let (outcome, number) = match effect {
        Some(ServiceEffect { effect: EffectKind::Meets, number, .. }) => (Outcome::Counts, number),
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
