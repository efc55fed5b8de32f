//! Why the verdict is as it is: free in wording, exact in reference.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cover::AtSale;
use super::effects::{TodayOutcome, today};
use super::reasons::{Reason, make_good_by, pending_at_sales, reasons};
use super::{DueStatus, State, Verdict};
use crate::core::calendar::Day;
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
    Explanation {
        reasons: reasons(rules, facts, verdict),
        today: today(rules, facts, verdict),
        ahead: ahead(rules, facts, verdict),
    }
}

fn ahead(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Ahead {
    let at_sales = pending_at_sales(rules, facts, verdict);
    let mut cover = BTreeMap::new();
    for one in verdict.cover.iter().filter(|one| one.state != State::Ended) {
        let km = rules.cover[one.surface].up_to_km.map(|most| facts.start_km.saturating_add(most));
        let next = |what, on| Next { what, on, number: None, km };
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
