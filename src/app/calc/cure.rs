//! Cure.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use utoipa::ToSchema;

use super::Faults;
use crate::core::calendar::Moment;
use crate::core::cure::{self, CureClock};
use crate::core::error::Error as Rule;
use crate::core::sheet;
use crate::core::units::{Celsius, RelativeHumidity};

/// A coat and the climate that it is in.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CureInput {
    /// The member `cure` of a data sheet.
    #[schema(value_type = Object)]
    sheet: Value,
    /// When the coat was applied.
    applied_at: Moment,
    /// What was read at the panel, in any order.
    readings: Vec<CureReading>,
    /// What is planned after the last reading.
    #[serde(default)]
    planned: Vec<CureStage>,
    /// The instant at which the equivalent hours are asked.
    at: Moment,
}

/// The climate at an instant.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CureReading {
    /// When.
    at: Moment,
    /// Temperature of the panel, °C.
    c: f64,
    /// Relative humidity, %.
    rh_pct: f64,
}

/// A climate that is planned.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CureStage {
    /// When it begins.
    from: Moment,
    /// When it ends.
    until: Moment,
    /// Temperature of the panel, °C.
    c: f64,
    /// Relative humidity, %.
    rh_pct: f64,
}

/// How far the coat has cured, and when it will have.
#[derive(Debug, Serialize, ToSchema)]
pub struct CureAnswer {
    /// Hours in the reference climate that would have done the same.
    equivalent_h: f64,
    /// Each milestone of the sheet.
    milestones: Vec<CureMilestone>,
}

/// A milestone of the sheet.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct CureMilestone {
    /// As the sheet calls it.
    name: String,
    /// Hours in the reference climate.
    h: f64,
    /// The first whole second at which it is reached, an estimate; null: not with what is given.
    reached_at: Option<Moment>,
}

pub(super) fn cure(input: &CureInput) -> Result<CureAnswer, Rule> {
    let sheet = sheet::Cure::read(&input.sheet).map_err(|faults| Rule::Refused {
        code: "sheet_faulty",
        detail: format!("the sheet has {} faults", faults.len()),
        faults: faults.into_iter().map(|fault| fault.within("/sheet")).collect(),
        more: Map::new(),
    })?;
    let mut faults = Faults::default();
    let mut climate = |place: String, c: f64, rh_pct: f64| {
        let c = faults.take(&format!("{place}/c"), Celsius::new(c));
        c.zip(faults.take(&format!("{place}/rh_pct"), RelativeHumidity::new(rh_pct)))
    };
    let readings: Vec<cure::Reading> = (input.readings.iter().enumerate())
        .filter_map(|(i, r)| {
            let (c, rh) = climate(format!("/readings/{i}"), r.c, r.rh_pct)?;
            Some(cure::Reading { at: r.at.0, c, rh })
        })
        .collect();
    let planned: Vec<cure::Stage> = (input.planned.iter().enumerate())
        .filter_map(|(i, s)| {
            let (c, rh) = climate(format!("/planned/{i}"), s.c, s.rh_pct)?;
            Some(cure::Stage { from: s.from.0, until: s.until.0, c, rh })
        })
        .collect();
    let clock = if faults.0.is_empty() {
        faults.take("", CureClock::new(&sheet, input.applied_at.0, &readings, &planned))
    } else {
        None
    };
    let answer = clock.and_then(|clock| {
        let hours = faults.take("", clock.hours_at(input.at.0))?;
        let milestones = clock.milestones().into_iter().map(|milestone| CureMilestone {
            name: milestone.name,
            h: milestone.hours.get(),
            reached_at: milestone.reached_at.map(Moment),
        });
        Some(CureAnswer { equivalent_h: hours.get(), milestones: milestones.collect() })
    });
    faults.or(answer)
}
