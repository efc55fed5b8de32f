//! Marks of a vehicle: what was there before anybody worked on it.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::ids::PhotoId;
use crate::core::words::{Panel, Surface, words};

words! {
    /// What a mark on a vehicle is, as the trade calls it.
    MarkKind, "kind of mark" {
        Scratch = "scratch",
        /// Rubbed off or marred over an area.
        Scuff = "scuff",
        StoneChip = "stone_chip",
        Dent = "dent",
        Crack = "crack",
        /// Fine scratches all over, as poor washing leaves them.
        Swirl = "swirl",
        /// Bitten in by droppings, sap or chemicals.
        Etching = "etching",
        /// Minerals that drying water left.
        WaterSpot = "water_spot",
        /// Paint mist of somebody else's work.
        Overspray = "overspray",
        Stain = "stain",
        Corrosion = "corrosion",
        /// Clear coat, paint or film that comes off.
        Peeling = "peeling",
        /// A wheel that touched the kerb.
        KerbDamage = "kerb_damage",
        /// In film, leather or fabric.
        Tear = "tear",
        Other = "other",
    }
}

/// The largest mark, in mm: longer than any panel.
pub const LARGEST_MM: f64 = 5_000.0;

/// A mark on a panel, as seen at check-in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// On which panel.
    pub panel: Panel,
    /// On which surface of it; paint unless given.
    #[serde(default = "paint")]
    #[schema(default = "paint")]
    pub surface: Surface,
    /// What it is.
    pub kind: MarkKind,
    /// Its longest dimension in mm, above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(exclusive_minimum = 0.0, maximum = 5_000.0)]
    pub size_mm: Option<f64>,
    /// What else there is to say; 1–500 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 500)]
    pub note: Option<String>,
    /// A photo of this job that shows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<PhotoId>,
    /// When it was seen; when it was entered unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen_at: Option<Moment>,
}

fn paint() -> Surface {
    Surface::Paint
}
