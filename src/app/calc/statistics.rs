//! Statistics for the owner of the shop.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::core::error::{Error as Rule, Fault};
use crate::core::fisher;
use crate::core::survival::{self, Observed};

/// What was observed: the i-th of each list belong together.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SurvivalInput {
    /// For how long, 0 or more, in any unit.
    durations: Vec<f64>,
    /// Whether the event came then; false: still going on.
    events: Vec<bool>,
    /// To which group it belongs.
    groups: Option<Vec<Group>>,
}

/// The name of a group, or its number.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(untagged)]
pub(super) enum Group {
    /// Name.
    Name(String),
    /// Number.
    Number(i64),
}

impl std::fmt::Display for Group {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Name(name) => name.fmt(out),
            Self::Number(number) => number.fmt(out),
        }
    }
}

/// How long it lasts.
#[derive(Debug, Serialize, ToSchema)]
pub struct SurvivalAnswer {
    /// Kaplan–Meier curve: of all, or of each group.
    curve: Curves,
    /// Whether groups differ, where there are two or more and it can be told.
    #[serde(skip_serializing_if = "Option::is_none")]
    log_rank: Option<LogRank>,
}

/// A curve, or one for each group.
#[derive(Debug, Serialize, ToSchema)]
#[serde(untagged)]
pub(super) enum Curves {
    /// Of all.
    All(Vec<CurveStep>),
    /// By group.
    ByGroup(BTreeMap<String, Vec<CurveStep>>),
}

/// The curve at a duration that was observed.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct CurveStep {
    /// The duration.
    t: f64,
    /// How many were still observed just before.
    at_risk: usize,
    /// How many events came at it.
    events: usize,
    /// Share that gets beyond it.
    survival: f64,
    /// Greenwood's standard error of that share.
    se: f64,
}

/// The log-rank test.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct LogRank {
    /// Chi-squared with one degree of freedom less than there are groups.
    chi2: f64,
    /// Probability of such a difference by chance.
    p: f64,
}

pub(super) fn survival(input: &SurvivalInput) -> Result<SurvivalAnswer, Rule> {
    let mut faults = Faults::default();
    let mut lists = vec![("/events", input.events.len())];
    lists.extend(input.groups.as_ref().map(|groups| ("/groups", groups.len())));
    let wanted = input.durations.len();
    for (pointer, found) in lists.into_iter().filter(|(_, found)| *found != wanted) {
        let detail = format!("{found} entries; allowed are as many as there are durations, {wanted}");
        faults.0.push(Fault::new(pointer, "wrong_length", detail));
    }
    if input.durations.is_empty() {
        faults.0.push(Fault::new("/durations", "empty", "one duration or more is needed"));
    }
    let mut observed = Vec::new();
    for (i, (duration, event)) in input.durations.iter().zip(&input.events).enumerate() {
        observed.extend(faults.take(&format!("/durations/{i}"), Observed::new(*duration, *event)));
    }
    if !faults.0.is_empty() {
        return faults.or(None);
    }
    let Some(groups) = &input.groups else {
        return Ok(SurvivalAnswer { curve: Curves::All(curve(&observed)), log_rank: None });
    };
    let mut by_group: BTreeMap<String, Vec<Observed>> = BTreeMap::new();
    for (group, one) in groups.iter().zip(observed) {
        by_group.entry(group.to_string()).or_default().push(one);
    }
    let test = survival::log_rank(&by_group.values().cloned().collect::<Vec<_>>());
    let curves = by_group.into_iter().map(|(group, those)| (group, curve(&those)));
    Ok(SurvivalAnswer {
        curve: Curves::ByGroup(curves.collect()),
        log_rank: test.map(|test| LogRank { chi2: test.chi2, p: test.p }),
    })
}

fn curve(observed: &[Observed]) -> Vec<CurveStep> {
    let step = |step: survival::Step| CurveStep {
        t: step.t,
        at_risk: step.at_risk,
        events: step.events,
        survival: step.survival,
        se: step.se,
    };
    survival::curve(observed).into_iter().map(step).collect()
}

/// Counts of cases by two things that each are so or not.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FisherInput {
    /// `[[a, b], [c, d]]`.
    #[schema(schema_with = two_by_two)]
    table: [[u32; 2]; 2],
}

fn two_by_two() -> utoipa::openapi::schema::Array {
    use utoipa::openapi::schema::{ArrayBuilder, ObjectBuilder, Type};
    let count = ObjectBuilder::new().schema_type(Type::Integer).minimum(Some(0));
    let row = ArrayBuilder::new().items(count).min_items(Some(2)).max_items(Some(2));
    let rows = ArrayBuilder::new().items(row).min_items(Some(2)).max_items(Some(2));
    rows.description(Some("`[[a, b], [c, d]]`.")).build()
}

/// What Fisher's exact test says.
#[derive(Debug, Serialize, ToSchema)]
pub struct FisherAnswer {
    /// Odds ratio of the sample, `ad / bc`; null where b or c is 0.
    odds_ratio: Option<f64>,
    /// Probability of a table as improbable as this one or more.
    p_two_sided: f64,
    /// Probability of an `a` as large or larger.
    p_greater: f64,
}

pub(super) fn fisher(input: &FisherInput) -> Result<FisherAnswer, Rule> {
    let test = fisher::test(input.table).map_err(|fault| Rule::rules(vec![fault]))?;
    Ok(FisherAnswer { odds_ratio: test.odds_ratio, p_two_sided: test.p_two_sided, p_greater: test.p_greater })
}
