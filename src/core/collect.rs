//! Reading documents that people write: every fault is collected with its place, instead of stopping at the first.

use serde_json::{Map, Value};

use crate::core::calendar::{Day, Period};
use crate::core::error::{Fault, escape};

/// A JSON object that is being read; members that nobody asked for are faults at the end.
pub(crate) struct Members<'v> {
    map: &'v Map<String, Value>,
    /// Where the object stands.
    pub(crate) pointer: String,
    known: Vec<&'static str>,
}

/// A value and where it stands.
pub(crate) struct Place<'v> {
    /// The value, never null.
    pub(crate) value: &'v Value,
    /// JSON pointer.
    pub(crate) pointer: String,
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "a boolean",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

impl<'v> Place<'v> {
    /// The root of a document.
    pub(crate) fn root(value: &'v Value) -> Self {
        Self { value, pointer: String::new() }
    }

    /// A fault at this place.
    pub(crate) fn fault(&self, code: &'static str, detail: impl Into<String>) -> Fault {
        Fault::new(self.pointer.clone(), code, detail)
    }

    fn wrong_type<T>(&self, wanted: &str, faults: &mut Vec<Fault>) -> Option<T> {
        faults.push(
            self.fault("wrong_type", format!("{} was given where {wanted} is asked for", kind(self.value))),
        );
        None
    }

    /// As an object.
    pub(crate) fn members(&self, faults: &mut Vec<Fault>) -> Option<Members<'v>> {
        match self.value {
            Value::Object(map) => Some(Members { map, pointer: self.pointer.clone(), known: Vec::new() }),
            _ => self.wrong_type("an object", faults),
        }
    }

    /// As a list.
    pub(crate) fn items(&self, faults: &mut Vec<Fault>) -> Option<Vec<Place<'v>>> {
        let Value::Array(items) = self.value else { return self.wrong_type("a list", faults) };
        let place = |(i, value)| Place { value, pointer: format!("{}/{i}", self.pointer) };
        Some(items.iter().enumerate().map(place).collect())
    }

    /// As a text.
    pub(crate) fn text(&self, faults: &mut Vec<Fault>) -> Option<&'v str> {
        self.value.as_str().or_else(|| self.wrong_type("a text", faults))
    }

    /// As true or false.
    pub(crate) fn boolean(&self, faults: &mut Vec<Fault>) -> Option<bool> {
        self.value.as_bool().or_else(|| self.wrong_type("true or false", faults))
    }

    /// As a number.
    pub(crate) fn number(&self, faults: &mut Vec<Fault>) -> Option<f64> {
        self.value.as_f64().filter(|n| n.is_finite()).or_else(|| self.wrong_type("a number", faults))
    }

    /// As a whole number within `from..=to`.
    pub(crate) fn whole(&self, from: i64, to: i64, faults: &mut Vec<Fault>) -> Option<i64> {
        let whole = self.value.as_i64().or_else(|| {
            // 3.0 is a whole number too (JSON knows one kind of number).
            #[expect(clippy::cast_possible_truncation, reason = "within ±2^53, where it is exact")]
            let exact = |n: f64| (n.fract() == 0.0 && n.abs() < 9.0e15).then_some(n as i64);
            self.value.as_f64().and_then(exact)
        });
        let Some(n) = whole else { return self.wrong_type("a whole number", faults) };
        if (from..=to).contains(&n) {
            return Some(n);
        }
        faults.push(self.fault("out_of_range", format!("{n} is not from {from} to {to}")));
        None
    }

    /// As a day from 1900 to 2999.
    pub(crate) fn day(&self, faults: &mut Vec<Fault>) -> Option<Day> {
        match self.text(faults)?.parse::<Day>() {
            Ok(day) if day.is_usual() => Some(day),
            Ok(day) => {
                faults
                    .push(self.fault("out_of_range", format!("{day} is not within the years 1900 to 2999")));
                None
            }
            Err(fault) => {
                faults.push(fault.within(&self.pointer));
                None
            }
        }
    }

    /// As one of a set of words.
    pub(crate) fn word<T: Copy>(&self, words: &[(&str, T)], faults: &mut Vec<Fault>) -> Option<T> {
        let text = self.text(faults)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value);
        if found.is_none() {
            let allowed = words.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ");
            faults.push(self.fault("unknown_word", format!("{text:?} is not one of {allowed}")));
        }
        found
    }

    /// As a period: one or more of years, months, weeks, days.
    pub(crate) fn period(&self, faults: &mut Vec<Fault>) -> Option<Period> {
        let mut members = self.members(faults)?;
        let before = faults.len();
        let mut period = Period::default();
        let mut given = false;
        for (name, slot) in [
            ("years", &mut period.years),
            ("months", &mut period.months),
            ("weeks", &mut period.weeks),
            ("days", &mut period.days),
        ] {
            if let Some(place) = members.get(name) {
                given = true;
                if let Some(n) = place.whole(0, 1_000_000, faults) {
                    *slot = u32::try_from(n).unwrap_or_default();
                }
            }
        }
        members.finish(faults);
        if faults.len() > before {
            return None;
        }
        if !given {
            faults.push(self.fault("period_empty", "a period has one or more of years, months, weeks, days"));
            return None;
        }
        if period.is_over_a_century() {
            faults.push(self.fault("period_too_long", format!("{period} is longer than 100 years")));
            return None;
        }
        Some(period)
    }
}

impl<'v> Members<'v> {
    /// A member, if it is there and not null.
    pub(crate) fn get(&mut self, name: &'static str) -> Option<Place<'v>> {
        self.known.push(name);
        let value = self.map.get(name).filter(|value| !value.is_null())?;
        Some(Place { value, pointer: format!("{}/{}", self.pointer, escape(name)) })
    }

    /// A member that must be there.
    pub(crate) fn need(&mut self, name: &'static str, faults: &mut Vec<Fault>) -> Option<Place<'v>> {
        let found = self.get(name);
        if found.is_none() {
            faults.push(Fault::new(self.at(name), "missing", format!("`{name}` is needed here")));
        }
        found
    }

    /// Where a member stands or would stand.
    pub(crate) fn at(&self, name: &str) -> String {
        format!("{}/{}", self.pointer, escape(name))
    }

    /// The members that nobody asked for are faults; a null is as absent.
    pub(crate) fn finish(self, faults: &mut Vec<Fault>) {
        let unknown =
            |(name, value): &(&String, &Value)| !self.known.contains(&name.as_str()) && !value.is_null();
        for (name, _) in self.map.iter().filter(unknown) {
            let known = self.known.join(", ");
            faults.push(Fault::new(
                self.at(name),
                "unknown_member",
                format!("there is no `{name}` here; known are {known}"),
            ));
        }
    }

    /// All members by name, known to nobody in advance.
    pub(crate) fn each(&self) -> Vec<(&'v str, Place<'v>)> {
        let place =
            |(name, value): (&'v String, &'v Value)| (name.as_str(), Place { value, pointer: self.at(name) });
        self.map.iter().filter(|(_, value)| !value.is_null()).map(place).collect()
    }
}
