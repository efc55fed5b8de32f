//! Climate of a job: what air and surface were like.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;

/// What air and surface were like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ClimateReading {
    /// When it was read.
    pub at: Moment,
    /// Air, °C, −45 to 60.
    #[schema(minimum = -45, maximum = 60)]
    pub air_c: f64,
    /// Relative humidity, %, 0 to 100.
    #[schema(minimum = 0, maximum = 100)]
    pub rh_pct: f64,
    /// Surface, °C, −45 to 120.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -45, maximum = 120)]
    pub surface_c: Option<f64>,
    /// Where, for example `bay`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 60)]
    pub place: Option<String>,
}
