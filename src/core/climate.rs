//! Climate of a job: what air and surface were like.

mod columns;
pub mod logger;
mod stamps;

use serde::{Deserialize, Serialize};

pub use self::columns::{LoggerColumn, Meant, Unit};
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
    /// Where, for example `bay`. What is read `outside` is the weather that the vehicle will leave into: no coat is
    /// judged by it, and no cure is worked out of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 60)]
    pub place: Option<String>,
}

/// The place of a reading that is not the vehicle's own.
pub const OUTSIDE: &str = "outside";

impl ClimateReading {
    /// Whether it was read outside, while the vehicle stands elsewhere.
    pub fn is_outside(&self) -> bool {
        self.place.as_deref().is_some_and(|place| place.trim().eq_ignore_ascii_case(OUTSIDE))
    }

    /// Temperature of the panel, °C: the surface where it was read, else the air.
    pub fn panel_c(&self) -> f64 {
        self.surface_c.unwrap_or(self.air_c)
    }
}
