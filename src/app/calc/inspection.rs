//! Figures of an inspection.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::core::colour::Lab;
use crate::core::error::{Error as Rule, Fault};
use crate::core::units::Millimetres;
use crate::core::wetting;

/// Drops on one panel.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ContactAngleInput {
    /// One or more; a figure to rely on needs three.
    drops: Vec<Drop>,
}

/// A drop, seen from the side.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Drop {
    /// Height, mm.
    height_mm: f64,
    /// Width of the base, mm.
    width_mm: f64,
}

/// Their contact angle.
#[derive(Debug, Serialize, ToSchema)]
pub struct ContactAngle {
    /// Of each drop, degrees.
    angles_deg: Vec<f64>,
    /// Mean, degrees.
    mean_deg: f64,
    /// Lower end of the 95 % interval, degrees; null of one drop.
    low_deg: Option<f64>,
    /// Upper end, degrees.
    high_deg: Option<f64>,
}

pub(super) fn contact_angle(input: &ContactAngleInput) -> Result<ContactAngle, Rule> {
    let mut faults = Faults::default();
    let mut angles = Vec::new();
    for (i, drop) in input.drops.iter().enumerate() {
        let place = format!("/drops/{i}");
        let height = faults.take(&format!("{place}/height_mm"), Millimetres::new(drop.height_mm));
        let width = faults.take(&format!("{place}/width_mm"), Millimetres::new(drop.width_mm));
        let angle = height
            .zip(width)
            .and_then(|(height, width)| faults.take(&place, wetting::contact_angle(height, width)));
        angles.extend(angle);
    }
    let of_drops = wetting::of_drops(&angles);
    if input.drops.is_empty() {
        faults.0.push(Fault::new("/drops", "empty", "one drop or more is needed"));
    }
    let answer = of_drops.map(|mean| ContactAngle {
        angles_deg: angles.iter().map(|angle| angle.get()).collect(),
        mean_deg: mean.mean,
        low_deg: mean.ends.map(|(low, _)| low),
        high_deg: mean.ends.map(|(_, high)| high),
    });
    faults.or(answer)
}

/// Two colours, each as L*, a*, b*.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DeltaEInput {
    /// One of them.
    #[schema(min_items = 3, max_items = 3)]
    lab1: [f64; 3],
    /// The other.
    #[schema(min_items = 3, max_items = 3)]
    lab2: [f64; 3],
}

/// How much they differ.
#[derive(Debug, Serialize, ToSchema)]
pub struct DeltaE {
    /// ΔE00.
    delta_e_00: f64,
}

pub(super) fn delta_e(input: &DeltaEInput) -> Result<DeltaE, Rule> {
    let mut faults = Faults::default();
    let mut colour = |pointer, [l, a, b]: [f64; 3]| faults.take(pointer, Lab::new(l, a, b));
    let (one, other) = (colour("/lab1", input.lab1), colour("/lab2", input.lab2));
    let answer = one.zip(other).map(|(one, other)| DeltaE { delta_e_00: one.difference(&other) });
    faults.or(answer)
}
