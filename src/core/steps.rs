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
