//! The verdict as it is written: names instead of places.

use std::collections::BTreeMap;

use serde::Serialize;

use super::cover::Because;
use super::{Cause, Due, DueStatus, PanelOut, State, SurfaceVerdict, Verdict};
use crate::core::calendar::Day;
use crate::core::facts::Facts;
use crate::core::terms::Rules;

/// A verdict as it is written.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Assessment {
    /// The day of which it is.
    pub as_of: Day,
    /// Cover by surface.
    pub cover: BTreeMap<String, CoverAnswer>,
    /// Dues rule by rule in the order of the terms, then by number.
    pub dues: Vec<DueAnswer>,
    /// Panels that a repair took out of cover.
    pub panels: Vec<PanelAnswer>,
    /// The first day after `as_of` on which something differs; null: never.
    pub next_change: Option<Day>,
}

/// Cover of one surface.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CoverAnswer {
    /// Whether it is covered.
    pub state: State,
    /// First day of cover.
    pub from: Day,
    /// Last day of cover, as far as is known.
    pub last_day: Day,
    /// Why it ended.
    pub cause: Option<Cause>,
    /// What ended it: an event's id, or the key of a rule and the number of its due as `annual#1`.
    pub because: Option<String>,
    /// Times on hold.
    pub suspended: Vec<SuspensionAnswer>,
}

/// A time on hold.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SuspensionAnswer {
    /// Its first day.
    pub since: Day,
    /// First day no longer on hold; null: it goes on.
    pub until: Option<Day>,
    /// What put it on hold.
    pub because: String,
    /// The event that made it good.
    pub made_good_by: Option<String>,
}

/// A due.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DueAnswer {
    /// The key of its rule.
    pub upkeep: String,
    /// From 1 on.
    pub number: u32,
    /// First day on which the service counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// Last day on which it counts.
    pub closes: Day,
    /// What became of it.
    pub status: DueStatus,
    /// The event that met it.
    pub met_by: Option<String>,
    /// The day on which it was met.
    pub met_on: Option<Day>,
    /// From when it is missed.
    pub missed_from: Option<Day>,
    /// The odometer for which it is asked, in km; only on rules that count distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub due_km: Option<u32>,
    /// The last odometer at which it counts, in km; only on rules that count distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closes_km: Option<u32>,
}

/// A panel out of cover.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PanelAnswer {
    /// On which surface.
    pub surface: String,
    /// Which panel.
    pub panel: String,
    /// First day out of cover.
    pub since: Day,
    /// First day back in cover; null: it is out.
    pub until: Option<Day>,
    /// The repair.
    pub because: String,
    /// The recoat that brought it back.
    pub restored_by: Option<String>,
}

impl Assessment {
    /// The verdict with the names that terms and facts give.
    pub fn of(rules: &Rules, facts: &Facts, verdict: &Verdict) -> Self {
        let named = Named { rules, facts };
        Self {
            as_of: verdict.as_of,
            cover: verdict.cover.iter().map(|one| named.cover(one)).collect(),
            dues: verdict.dues.iter().map(|due| named.due(due)).collect(),
            panels: verdict.panels.iter().map(|panel| named.panel(panel)).collect(),
            next_change: verdict.next_change,
        }
    }
}

struct Named<'a> {
    rules: &'a Rules,
    facts: &'a Facts,
}

impl Named<'_> {
    fn event(&self, place: usize) -> String {
        self.facts.events[place].id.clone()
    }

    fn because(&self, because: Because) -> String {
        match because {
            Because::Event(place) => self.event(place),
            Because::Due(rule, number) => format!("{}#{number}", self.rules.upkeep[rule].key),
        }
    }

    fn cover(&self, one: &SurfaceVerdict) -> (String, CoverAnswer) {
        let suspended = one.suspended.iter().map(|time| SuspensionAnswer {
            since: time.since,
            until: time.until,
            because: self.because(time.because),
            made_good_by: time.made_good_by.map(|place| self.event(place)),
        });
        let answer = CoverAnswer {
            state: one.state,
            from: one.from,
            last_day: one.out.plus_days(-1),
            cause: one.cause,
            because: one.because.map(|because| self.because(because)),
            suspended: suspended.collect(),
        };
        (self.rules.cover[one.surface].surface.clone(), answer)
    }

    fn due(&self, due: &Due) -> DueAnswer {
        DueAnswer {
            upkeep: self.rules.upkeep[due.rule].key.clone(),
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

    fn panel(&self, panel: &PanelOut) -> PanelAnswer {
        PanelAnswer {
            surface: self.rules.cover[panel.surface].surface.clone(),
            panel: self.facts.panels[panel.panel].clone(),
            since: panel.since,
            until: panel.until,
            because: self.event(panel.because),
            restored_by: panel.restored_by.map(|place| self.event(place)),
        }
    }
}
