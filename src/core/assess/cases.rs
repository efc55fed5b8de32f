//! Cases as lines of JSON: one in, one verdict out.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::{Assessment, ExplainedAssessment, Verdict, assess, judge};
use crate::core::calendar::{Day, instant};
use crate::core::error::Fault;
use crate::core::facts::Facts;
use crate::core::json;
use crate::core::terms::{Rules, Terms};

/// Terms that were compiled before; cases of one run tend to share them.
const KEPT: usize = 256;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case<'l> {
    #[serde(borrow)]
    terms: &'l RawValue,
    #[serde(borrow)]
    facts: &'l RawValue,
    as_of: String,
    known_at: Option<String>,
    // Worked cases carry these for people.
    #[serde(default, rename = "name")]
    _name: Option<serde::de::IgnoredAny>,
    #[serde(default, rename = "why")]
    _why: Option<serde::de::IgnoredAny>,
    #[serde(default, rename = "expect")]
    _expect: Option<serde::de::IgnoredAny>,
}

/// What is wrong with a line.
#[derive(Debug, Serialize)]
struct Broken<'f> {
    error: BrokenBody<'f>,
}

#[derive(Debug, Serialize)]
struct BrokenBody<'f> {
    code: &'static str,
    detail: String,
    errors: &'f [Fault],
}

/// The verdict without `next_change`, which a file of cases does not ask for.
#[derive(Serialize)]
struct Plain<'a> {
    as_of: Day,
    cover: &'a std::collections::BTreeMap<String, super::CoverAnswer>,
    dues: &'a [super::DueAnswer],
    panels: &'a [super::PanelAnswer],
}

/// Judges cases one after another, using its buffers again.
#[derive(Default)]
pub struct Judge {
    known: HashMap<Box<str>, Arc<Result<Rules, Vec<Fault>>>>,
    verdict: Verdict,
}

impl Judge {
    /// Judges one line and appends the answer to `out`, without a line break; false when the line was faulty.
    pub fn line(&mut self, line: &[u8], explain: bool, out: &mut Vec<u8>) -> bool {
        match self.judge(line, explain, out) {
            Ok(()) => true,
            Err((code, faults)) => {
                let detail = match faults.as_slice() {
                    [one] => one.detail.clone(),
                    many => format!("{} faults", many.len()),
                };
                let body = BrokenBody { code, detail, errors: &faults };
                // Writing to memory cannot fail.
                let _ = serde_json::to_writer(out, &Broken { error: body });
                false
            }
        }
    }

    fn judge(
        &mut self,
        line: &[u8],
        explain: bool,
        out: &mut Vec<u8>,
    ) -> Result<(), (&'static str, Vec<Fault>)> {
        let case: Case<'_> = serde_json::from_slice(line).map_err(|error| {
            let fault =
                json::read(line).err().unwrap_or_else(|| Fault::new("", "wrong_shape", error.to_string()));
            ("malformed", vec![fault])
        })?;
        let malformed = |pointer: &str, fault: Fault| ("malformed", vec![fault.within(pointer)]);
        let as_of: Day = case.as_of.parse().map_err(|fault| malformed("/as_of", fault))?;
        if !as_of.is_usual() {
            let fault =
                Fault::new("/as_of", "out_of_range", format!("{as_of} is not within the years 1900 to 2999"));
            return Err(("malformed", vec![fault]));
        }
        let known_at = case
            .known_at
            .as_deref()
            .map(instant)
            .transpose()
            .map_err(|fault| malformed("/known_at", fault))?;
        let rules = self.rules(case.terms.get());
        let rules = match rules.as_ref() {
            Ok(rules) => rules,
            Err(faults) => return Err(("terms_faulty", faults.clone())),
        };
        let facts = json::read(case.facts.get().as_bytes())
            .map_err(|fault| vec![fault])
            .and_then(|value| Facts::read(&value, rules))
            .map_err(|faults| ("facts_faulty", within("/facts", faults)))?;
        self.answer(rules, &facts, as_of, known_at, explain, out);
        Ok(())
    }

    fn answer(
        &mut self,
        rules: &Rules,
        facts: &Facts,
        as_of: Day,
        known_at: Option<DateTime<Utc>>,
        explain: bool,
        out: &mut Vec<u8>,
    ) {
        // Writing to memory cannot fail.
        if explain {
            assess(rules, facts, as_of, known_at, &mut self.verdict);
            let _ = serde_json::to_writer(out, &ExplainedAssessment::of(rules, facts, &self.verdict));
        } else {
            judge(rules, facts, as_of, known_at, &mut self.verdict);
            let answer = Assessment::of(rules, facts, &self.verdict);
            let plain = Plain { as_of, cover: &answer.cover, dues: &answer.dues, panels: &answer.panels };
            let _ = serde_json::to_writer(out, &plain);
        }
    }

    fn rules(&mut self, text: &str) -> Arc<Result<Rules, Vec<Fault>>> {
        if let Some(known) = self.known.get(text) {
            return known.clone();
        }
        let read = Terms::parse(text.as_bytes()).map_err(|faults| within("/terms", faults));
        let rules = Arc::new(read.map(|terms| Rules::compile(&terms)));
        if self.known.len() >= KEPT {
            self.known.clear();
        }
        self.known.insert(text.into(), rules.clone());
        rules
    }
}

fn within(prefix: &str, faults: Vec<Fault>) -> Vec<Fault> {
    faults.into_iter().map(|fault| fault.within(prefix)).collect()
}
