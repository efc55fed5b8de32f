//! What lies ahead: of each surface and rule the next date that matters, and when a limit in km is expected.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cover::AtSale;
use super::reasons::{make_good_by, pending_at_sales};
use super::{DueStatus, State, Verdict};
use crate::core::calendar::Day;
use crate::core::distance::{Driven, Pace, Passed, pace};
use crate::core::facts::Facts;
use crate::core::terms::Rules;

/// The next date that matters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Next {
    /// What is then: `cover_begins`, `cover_ends`, `make_good_by`, `tell_by`, `inspect_by`, `opens`, `due`, `closes`.
    pub what: &'static str,
    /// The day.
    pub on: Day,
    /// The number of the due.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// The odometer at which it is over at the latest, in km.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub km: Option<u32>,
    /// When that odometer is expected, by the readings; absent where there are not enough of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub km_reached: Option<KmReached>,
}

/// When an odometer is expected to show so much: an estimate from the readings of the last two years, with its 90 %
/// interval (physics: Theil and Sen). Null: not at that pace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct KmReached {
    /// At the usual pace.
    pub expected: Option<Day>,
    /// At the fastest.
    pub earliest: Option<Day>,
    /// At the slowest.
    pub latest: Option<Day>,
}

impl KmReached {
    fn of(pace: &Pace, km: u32) -> Self {
        let Passed { expected, earliest, latest } = pace.passes(f64::from(km));
        Self { expected, earliest, latest }
    }
}

/// What lies ahead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Ahead {
    /// By surface.
    pub cover: BTreeMap<String, Next>,
    /// By rule.
    pub upkeep: BTreeMap<String, Next>,
}

/// How far the vehicle is driven a day, by the odometer at the start and what the verdict looked at; none where there
/// are not enough readings.
pub fn pace_of(facts: &Facts, verdict: &Verdict) -> Option<Pace> {
    let start = Driven { on: facts.start, km: f64::from(facts.start_km) };
    let read = verdict.view.since_start.iter().filter_map(|i| {
        let event = &facts.events[*i];
        Some(Driven { on: event.on, km: f64::from(event.km?) })
    });
    let readings: Vec<Driven> = [start].into_iter().chain(read).collect();
    pace(&readings).ok()
}

pub(super) fn ahead(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Ahead {
    let at_sales = pending_at_sales(rules, facts, verdict);
    let pace = pace_of(facts, verdict);
    let reached = |km: Option<u32>| Some(KmReached::of(pace.as_ref()?, km?));
    let mut cover = BTreeMap::new();
    for one in verdict.cover.iter().filter(|one| one.state != State::Ended) {
        let km = rules.cover[one.surface].up_to_km.map(|most| facts.start_km.saturating_add(most));
        let next = |what, on| Next { what, on, number: None, km, km_reached: reached(km) };
        let held = one.suspended.iter().filter(|held| held.until.is_none());
        let good = held.filter_map(|held| make_good_by(rules, facts, verdict, held));
        let sales = at_sales
            .iter()
            .map(|(_, what, last)| next(if *what == AtSale::Tell { "tell_by" } else { "inspect_by" }, *last));
        let ends = next("cover_ends", one.out.plus_days(-1));
        let first = if one.state == State::NotBegun {
            next("cover_begins", one.from)
        } else {
            let all = good.map(|last| next("make_good_by", last)).chain(sales);
            all.fold(ends, |first, other| if other.on < first.on { other } else { first })
        };
        cover.insert(rules.cover[one.surface].surface.clone(), first);
    }
    let mut upkeep = BTreeMap::new();
    for due in &verdict.dues {
        let (what, on) = match due.status {
            DueStatus::Ahead => ("opens", due.opens),
            DueStatus::Open => ("due", due.due),
            DueStatus::Late => ("closes", due.closes),
            _ => continue,
        };
        let km = due.km.map(|(_, most)| most);
        let next = Next { what, on, number: Some(due.number), km, km_reached: reached(km) };
        upkeep.entry(rules.upkeep[due.rule].key.clone()).or_insert(next);
    }
    Ahead { cover, upkeep }
}
