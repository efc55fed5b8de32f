//! Cases as lines of JSON: one in, one verdict out.

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::plain::Plain;
use super::{ExplainedAssessment, Verdict, assess, judge};
use crate::core::calendar::{Day, Moment, instant};
use crate::core::collect::Place;
use crate::core::error::Fault;
use crate::core::facts::{Facts, FactsInput, Object, Text, is_whole, may_hold_zero};
use crate::core::json;
use crate::core::terms::{Rules, Terms};

/// Terms that were compiled before; cases of one run tend to share them.
const KEPT: usize = 1_024;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case<'l> {
    #[serde(borrow)]
    terms: &'l RawValue,
    #[serde(borrow)]
    facts: Object<FactsInput<Text<'l>>>,
    as_of: Day,
    known_at: Option<Moment>,
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

/// Judges cases one after another, using its buffers again.
#[derive(Default)]
pub struct Judge {
    known: HashMap<Box<str>, Arc<Rules>>,
    /// The terms of the case before: most often those of the next.
    last: Option<(Box<str>, Arc<Rules>)>,
    verdict: Verdict,
}

/// A case that can be judged: rules, facts, the day, and by what was known.
type Ready = (Arc<Rules>, Facts, Day, Option<DateTime<Utc>>);

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
        match self.at_once(line) {
            Some((rules, facts, as_of, known_at)) => {
                self.answer(&rules, &facts, as_of, known_at, explain, out);
            }
            None => {
                let (rules, facts, as_of, known_at) = closely(line)?;
                self.answer(&rules, &facts, as_of, known_at, explain, out);
            }
        }
        Ok(())
    }

    /// Reads a line that is as it should be; none where anything has to be looked at more closely.
    fn at_once(&mut self, line: &[u8]) -> Option<Ready> {
        let text = std::str::from_utf8(line).ok()?;
        let Object(Case { terms, facts: Object(facts), as_of, known_at, .. }) =
            serde_json::from_str(text).ok()?;
        if !as_of.is_usual() || !is_whole(&facts) || may_hold_zero(line) {
            return None;
        }
        let rules = self.rules(terms.get())?;
        let facts = Facts::check(&facts, &rules).ok()?;
        Some((rules, facts, as_of, known_at.map(|Moment(at)| at)))
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
            let _ = serde_json::to_writer(out, &Plain { rules, facts, verdict: &self.verdict });
        }
    }

    fn rules(&mut self, text: &str) -> Option<Arc<Rules>> {
        if let Some((last, rules)) = &self.last
            && **last == *text
        {
            return Some(rules.clone());
        }
        let rules = match self.known.get(text) {
            Some(known) => known.clone(),
            None => {
                let rules = Arc::new(Rules::compile(&Terms::parse(text.as_bytes()).ok()?));
                if self.known.len() >= KEPT {
                    self.known.clear();
                }
                self.known.insert(text.into(), rules.clone());
                rules
            }
        };
        self.last = Some((text.into(), rules.clone()));
        Some(rules)
    }
}

type Read = (Rules, Facts, Day, Option<DateTime<Utc>>);

/// Reads a line with everything that is wrong with it: the line itself, its terms, its facts.
fn closely(line: &[u8]) -> Result<Read, (&'static str, Vec<Fault>)> {
    let value = json::read(line).map_err(|fault| ("malformed", vec![fault]))?;
    let mut faults = Vec::new();
    let Some(mut members) = Place::root(&value).members(&mut faults) else {
        return Err(("malformed", faults));
    };
    let terms = members.need("terms", &mut faults);
    let facts = members.need("facts", &mut faults);
    let as_of = members.need("as_of", &mut faults).and_then(|place| place.day(&mut faults));
    let known_at = members.get("known_at").and_then(|place| {
        let read = instant(place.text(&mut faults)?).map_err(|fault| fault.within(&place.pointer));
        read.map_err(|fault| faults.push(fault)).ok()
    });
    for told in ["name", "why", "expect"] {
        members.get(told);
    }
    members.finish(&mut faults);
    let malformed = !faults.is_empty();
    let rules = terms.map(|place| Terms::read(place.value).map(|terms| Rules::compile(&terms)));
    let rules = match rules {
        Some(Ok(rules)) => Some(rules),
        Some(Err(found)) => {
            faults.extend(within("/terms", found));
            None
        }
        None => None,
    };
    let terms_faulty = faults.len();
    let facts = match (facts, &rules) {
        (Some(place), Some(rules)) => {
            Facts::read(place.value, rules).map_err(|found| faults.extend(within("/facts", found))).ok()
        }
        (Some(place), None) => {
            faults.extend(within("/facts", Facts::faults_of_shape(place.value)));
            None
        }
        (None, _) => None,
    };
    match (rules, facts, as_of) {
        (Some(rules), Some(facts), Some(as_of)) if faults.is_empty() => Ok((rules, facts, as_of, known_at)),
        _ if malformed => Err(("malformed", faults)),
        _ if terms_faulty > 0 => Err(("terms_faulty", faults)),
        _ => Err(("facts_faulty", faults)),
    }
}

fn within(prefix: &str, faults: Vec<Fault>) -> Vec<Fault> {
    faults.into_iter().map(|fault| fault.within(prefix)).collect()
}
