//! Why the verdict is as it is: free in wording, exact in reference.

use serde::Serialize;

use super::Verdict;
use super::ahead::{Ahead, ahead};
use super::effects::{TodayOutcome, today};
use super::reasons::{Reason, reasons};
use crate::core::facts::Facts;
use crate::core::terms::Rules;

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
