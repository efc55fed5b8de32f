//! The query of a request, read by name: what nobody asked for is refused.

use std::collections::BTreeSet;
use std::str::FromStr;

use actix_web::HttpRequest;
use serde::{Serialize, de::DeserializeOwned};

use super::error::Problem;
use crate::app::page::Wanted;
use crate::core::error::{Error as Rule, Fault};

/// The query of a request.
pub struct Query {
    pairs: Vec<(String, String)>,
    known: BTreeSet<&'static str>,
    faults: Vec<Fault>,
}

impl Query {
    /// The query of this request.
    pub(crate) fn of(request: &HttpRequest) -> Self {
        let decode = |text: &str| {
            let spaced = text.replace('+', " ");
            percent_encoding::percent_decode_str(&spaced).decode_utf8().map(std::borrow::Cow::into_owned)
        };
        let mut faults = Vec::new();
        let mut pairs = Vec::new();
        for pair in request.query_string().split('&').filter(|pair| !pair.is_empty()) {
            let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
            match (decode(name), decode(value)) {
                (Ok(name), Ok(value)) if !name.contains('\0') && !value.contains('\0') => {
                    pairs.push((name, value));
                }
                _ => faults.push(Fault::new(
                    name.trim_start_matches('/'),
                    "not_text",
                    "not UTF-8 text without U+0000",
                )),
            }
        }
        Self { pairs, known: BTreeSet::new(), faults }
    }

    /// Every value of a parameter that may be repeated.
    pub fn all(&mut self, name: &'static str) -> Vec<String> {
        self.known.insert(name);
        self.pairs.iter().filter(|(given, _)| given == name).map(|(_, value)| value.clone()).collect()
    }

    /// A parameter as text, at most once.
    pub fn text(&mut self, name: &'static str) -> Option<String> {
        let mut all = self.all(name);
        if all.len() > 1 {
            self.faults.push(Fault::new(name, "given_twice", "may be given once only"));
        }
        all.pop()
    }

    /// A parameter with a type of its own.
    pub fn parsed<T: FromStr>(&mut self, name: &'static str, what: &str) -> Option<T> {
        let text = self.text(name)?;
        let parsed = text.parse().ok();
        if parsed.is_none() {
            self.faults.push(Fault::new(name, "wrong_type", format!("{text:?} is not {what}")));
        }
        parsed
    }

    /// A parameter with a type of its own that has to be there.
    pub fn needed<T: FromStr>(&mut self, name: &'static str, allowed: &str) -> Option<T> {
        if self.pairs.iter().all(|(given, _)| given != name) {
            self.known.insert(name);
            self.faults.push(Fault::new(
                name,
                "missing",
                format!("`{name}` is needed; allowed are {allowed}"),
            ));
            return None;
        }
        self.parsed(name, &format!("one of {allowed}"))
    }

    /// A parameter that may be repeated, each with a type of its own.
    pub fn parsed_all<T: FromStr>(&mut self, name: &'static str, what: &str) -> Vec<T> {
        let mut found = Vec::new();
        for text in self.all(name) {
            match text.parse() {
                Ok(value) => found.push(value),
                Err(_) => self.faults.push(Fault::new(name, "wrong_type", format!("{text:?} is not {what}"))),
            }
        }
        found
    }

    /// A day, `YYYY-MM-DD`.
    pub fn day(&mut self, name: &'static str) -> Option<chrono::NaiveDate> {
        let text = self.text(name)?;
        // chrono also takes years of other lengths and days of one digit.
        let day = (text.len() == 10).then(|| text.parse().ok()).flatten();
        if day.is_none() {
            self.faults.push(Fault::new(
                name,
                "not_a_day",
                format!("{text:?} is not a day such as 2026-03-10"),
            ));
        }
        day
    }

    /// `true` or `false`; absent is false.
    pub fn flag(&mut self, name: &'static str) -> bool {
        self.parsed(name, "true or false").unwrap_or(false)
    }

    /// `limit` and `cursor` of a list; `filters` is everything else that was read.
    pub fn page<K: Serialize + DeserializeOwned>(
        &mut self,
        filters: &impl Serialize,
    ) -> Result<Wanted<K>, Problem> {
        let limit = self.parsed::<u32>("limit", "a whole number");
        let cursor = self.text("cursor");
        self.finish()?;
        Ok(Wanted::read(limit, cursor.as_deref(), filters)?)
    }

    /// Refuses what nobody asked for, and everything that was wrong with what was.
    pub fn finish(&mut self) -> Result<(), Problem> {
        let mut faults = std::mem::take(&mut self.faults);
        for (name, _) in &self.pairs {
            if !self.known.contains(name.as_str()) {
                let known = self.known.iter().copied().collect::<Vec<_>>().join(", ");
                let known = if known.is_empty() {
                    "there are none here".to_owned()
                } else {
                    format!("known are {known}")
                };
                faults.push(Fault::new(
                    name.trim_start_matches('/'),
                    "unknown_parameter",
                    format!("no such parameter; {known}"),
                ));
            }
        }
        if faults.is_empty() { Ok(()) } else { Err(Rule::Malformed(faults).into()) }
    }
}
