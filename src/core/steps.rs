//! Steps of a job: what was done before, between and after the coats.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::ids::MemberId;
use crate::core::words::{Panel, StepKind, Surface};

/// A step of work on a vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// What was done.
    pub kind: StepKind,
    /// On which surfaces; at least one.
    #[schema(min_items = 1)]
    pub surfaces: Vec<Surface>,
    /// On which panels; all of the job unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub panels: Option<Vec<Panel>>,
    /// Code of the product.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<String>,
    /// How it was diluted, as written, for example `1:5`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 60)]
    pub dilution: Option<String>,
    /// Of clay: whether it was of a grade that cuts. Such clay must not touch matte paint or film.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub abrasive: Option<bool>,
    /// Whether wheels were taken off for it: their bolts are then to be tightened to torque.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheels_off: Option<bool>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_at: Option<Moment>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<Moment>,
    /// Who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
}

impl Step {
    /// When it counts from: its beginning, since panel by panel it ends while others are coated already (common
    /// practice); else its end. None: neither was noted.
    pub fn counts_from(&self) -> Option<Moment> {
        self.started_at.or(self.ended_at)
    }

    /// Whether it was done on this panel of this surface.
    pub fn is_on(&self, surface: Surface, panel: &Panel) -> bool {
        self.surfaces.contains(&surface) && self.panels.as_ref().is_none_or(|panels| panels.contains(panel))
    }
}
