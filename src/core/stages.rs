//! What is planned for a vehicle after its last coat: the bay overnight, a lamp, parked outside.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::cure::Stage;
use crate::core::error::Fault;
use crate::core::units::{Celsius, RelativeHumidity};
use crate::core::words::{Panel, words};

words! {
    /// What falls on a vehicle.
    Weather, "weather" {
        Dry = "dry",
        Rain = "rain",
        Snow = "snow",
    }
}

impl Weather {
    /// Whether it wets what it falls on.
    pub fn is_wet(self) -> bool {
        self != Self::Dry
    }
}

/// The most stages of one plan.
pub const MOST_STAGES: usize = 50;

/// A climate that is planned for a time, on some panels or all.
///
/// Of stages at the same time the one that begins last counts. After a stage its climate holds until the next; after a
/// lamp what was there before it does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PlannedStage {
    /// When it begins.
    pub from: Moment,
    /// When it ends.
    pub until: Moment,
    /// Temperature of the panels, °C, −60 to 200.
    #[schema(minimum = -60, maximum = 200)]
    pub c: f64,
    /// Relative humidity of the air, %, 0 to 100.
    #[schema(minimum = 0, maximum = 100)]
    pub rh_pct: f64,
    /// On which panels; all unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1)]
    pub panels: Option<Vec<Panel>>,
    /// What falls on the vehicle meanwhile; not known unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weather: Option<Weather>,
}

impl PlannedStage {
    /// Whether it holds for this panel.
    pub fn is_on(&self, panel: &Panel) -> bool {
        self.panels.as_ref().is_none_or(|panels| panels.contains(panel))
    }

    /// The stage as the clock of a coat takes it; refused outside the ranges of its members.
    pub fn stage(&self) -> Result<Stage, Fault> {
        let c = Celsius::new(self.c).map_err(|fault| fault.within("/c"))?;
        let rh = RelativeHumidity::new(self.rh_pct).map_err(|fault| fault.within("/rh_pct"))?;
        Ok(Stage { from: self.from.0, until: self.until.0, c, rh })
    }
}

/// Everything that is wrong with a plan, each at its place in the list.
///
/// ```
/// use lustrum::core::stages::{PlannedStage, faults};
/// let stage: PlannedStage = serde_json::from_str(
///     r#"{"from": "2026-01-20T17:00:00Z", "until": "2026-01-20T16:00:00Z", "c": -4, "rh_pct": 101}"#,
/// ).unwrap();
/// let found = faults(&[stage]);
/// assert_eq!(found[0].pointer, "/0/rh_pct");
/// assert_eq!((found[1].pointer.as_str(), found[1].code), ("/0/until", "upside_down"));
/// ```
pub fn faults(stages: &[PlannedStage]) -> Vec<Fault> {
    let mut faults = Vec::new();
    if stages.len() > MOST_STAGES {
        let detail = format!("{} stages; allowed are {MOST_STAGES}", stages.len());
        faults.push(Fault::new("", "too_many", detail));
    }
    for (i, stage) in stages.iter().enumerate() {
        faults.extend(Celsius::new(stage.c).err().map(|fault| fault.within(&format!("/{i}/c"))));
        let rh = RelativeHumidity::new(stage.rh_pct);
        faults.extend(rh.err().map(|fault| fault.within(&format!("/{i}/rh_pct"))));
        if stage.until < stage.from {
            let detail = format!("a stage that begins at {} cannot end at {}", stage.from, stage.until);
            faults.push(Fault::new(format!("/{i}/until"), "upside_down", detail));
        }
        if stage.panels.as_ref().is_some_and(Vec::is_empty) {
            let detail = "at least one panel is needed; all are meant where nothing is given";
            faults.push(Fault::new(format!("/{i}/panels"), "empty", detail));
        }
    }
    faults
}
