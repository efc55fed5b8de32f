//! The verdict without `next_change`, written as [`Assessment`](super::Assessment) is, but straight from the verdict: a
//! file of many cases is written without a copy of any name.

use std::fmt;

use serde::ser::{SerializeMap as _, SerializeStruct as _};
use serde::{Serialize, Serializer};

use super::cover::Because;
use super::{Cause, Due, DueStatus, PanelOut, State, SurfaceVerdict, Suspension, Verdict};
use crate::core::calendar::Day;
use crate::core::facts::Facts;
use crate::core::terms::Rules;

/// A verdict with the terms and facts that give it names.
#[derive(Clone, Copy)]
pub(super) struct Plain<'a> {
    pub(super) rules: &'a Rules,
    pub(super) facts: &'a Facts,
    pub(super) verdict: &'a Verdict,
}

impl Serialize for Plain<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let verdict = self.verdict;
        let mut all = to.serialize_struct("Assessment", 4)?;
        all.serialize_field("as_of", &verdict.as_of)?;
        all.serialize_field("cover", &Covers(*self))?;
        all.serialize_field("dues", &List(*self, &verdict.dues, Plain::due))?;
        all.serialize_field("panels", &List(*self, &verdict.panels, Plain::panel))?;
        all.end()
    }
}

impl<'a> Plain<'a> {
    fn event(self, place: usize) -> &'a str {
        &self.facts.events[place].id
    }

    fn because(self, because: Because) -> Name<'a> {
        match because {
            Because::Event(place) => Name::Event(self.event(place)),
            Because::Due(rule, number) => Name::Due(&self.rules.upkeep[rule].key, number),
        }
    }

    fn due(self, due: &Due) -> PlainDue<'a> {
        PlainDue {
            upkeep: &self.rules.upkeep[due.rule].key,
            number: due.number,
            opens: due.opens,
            due: due.due,
            closes: due.closes,
            status: due.status,
            met_by: due.met.map(|(place, _)| self.event(place)),
            met_on: due.met.map(|(_, on)| on),
            missed_from: due.missed_from,
            due_km: due.km.map(|(due_km, _)| due_km),
            closes_km: due.km.map(|(_, closes_km)| closes_km),
        }
    }

    fn held(self, held: &Suspension) -> PlainSuspension<'a> {
        PlainSuspension {
            since: held.since,
            until: held.until,
            because: self.because(held.because),
            made_good_by: held.made_good_by.map(|place| self.event(place)),
        }
    }

    fn panel(self, panel: &PanelOut) -> PlainPanel<'a> {
        PlainPanel {
            surface: &self.rules.cover[panel.surface].surface,
            panel: &self.facts.panels[panel.panel],
            since: panel.since,
            until: panel.until,
            because: self.event(panel.because),
            restored_by: panel.restored_by.map(|place| self.event(place)),
        }
    }
}

/// A list of which each item is written as what a function makes of it.
struct List<'a, T, U>(Plain<'a>, &'a [T], fn(Plain<'a>, &T) -> U);

impl<T, U: Serialize> Serialize for List<'_, T, U> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let Self(plain, items, made) = *self;
        to.collect_seq(items.iter().map(|item| made(plain, item)))
    }
}

/// Cover by surface.
struct Covers<'a>(Plain<'a>);

impl Serialize for Covers<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let plain = self.0;
        let mut map = to.serialize_map(Some(plain.verdict.cover.len()))?;
        for one in &plain.verdict.cover {
            map.serialize_entry(&plain.rules.cover[one.surface].surface, &Cover(plain, one))?;
        }
        map.end()
    }
}

struct Cover<'a>(Plain<'a>, &'a SurfaceVerdict);

impl Serialize for Cover<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let Self(plain, one) = *self;
        let mut cover = to.serialize_struct("Cover", 6)?;
        cover.serialize_field::<State>("state", &one.state)?;
        cover.serialize_field("from", &one.from)?;
        cover.serialize_field("last_day", &one.out.plus_days(-1))?;
        cover.serialize_field::<Option<Cause>>("cause", &one.cause)?;
        cover.serialize_field("because", &one.because.map(|because| plain.because(because)))?;
        cover.serialize_field("suspended", &List(plain, &one.suspended, Plain::held))?;
        cover.end()
    }
}

/// What ended cover or put it on hold.
enum Name<'a> {
    Event(&'a str),
    Due(&'a str, u32),
}

impl fmt::Display for Name<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Event(id) => out.write_str(id),
            Self::Due(key, number) => write!(out, "{key}#{number}"),
        }
    }
}

impl Serialize for Name<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[derive(Serialize)]
struct PlainSuspension<'a> {
    since: Day,
    until: Option<Day>,
    because: Name<'a>,
    made_good_by: Option<&'a str>,
}

#[derive(Serialize)]
struct PlainDue<'a> {
    upkeep: &'a str,
    number: u32,
    opens: Day,
    due: Day,
    closes: Day,
    status: DueStatus,
    met_by: Option<&'a str>,
    met_on: Option<Day>,
    missed_from: Option<Day>,
    #[serde(skip_serializing_if = "Option::is_none")]
    due_km: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    closes_km: Option<u32>,
}

#[derive(Serialize)]
struct PlainPanel<'a> {
    surface: &'a str,
    panel: &'a str,
    since: Day,
    until: Option<Day>,
    because: &'a str,
    restored_by: Option<&'a str>,
}
