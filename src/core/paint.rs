//! What paint readings of a panel draw attention to.

use serde::{Deserialize, Serialize};

use super::sample::median;
use crate::core::error::Fault;
use crate::core::units::Micrometres;
use crate::core::words::words;

/// What film on a panel adds to a reading, in µm (common practice); the paint below it cannot be read.
pub const FILM_ADDS_UM: (f64, f64) = (150.0, 250.0);

/// The shop's limits for paint readings; what it does not set is common practice. Each is above 0, up to 10,000 µm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields, default)]
#[schema(as = PaintLimits)]
pub struct Limits {
    /// Below this paint is thin, µm; 80 by common practice.
    #[schema(default = 80.0, exclusive_minimum = 0.0, maximum = 10_000.0)]
    pub thin_below_um: f64,
    /// More than this above the vehicle's median a panel was likely refinished, µm; 40 by common practice.
    #[schema(default = 40.0, exclusive_minimum = 0.0, maximum = 10_000.0)]
    pub refinished_above_median_um: f64,
    /// More than this removed in one job is much, µm; 5 by common practice.
    #[schema(default = 5.0, exclusive_minimum = 0.0, maximum = 10_000.0)]
    pub removed_in_job_um: f64,
    /// More than this removed in the vehicle's life in the shop is much, µm; 8 by common practice.
    #[schema(default = 8.0, exclusive_minimum = 0.0, maximum = 10_000.0)]
    pub removed_in_life_um: f64,
}

impl Limits {
    /// Every limit that is out of range, at its place.
    pub fn faults(&self) -> Vec<Fault> {
        let all = [
            ("/thin_below_um", self.thin_below_um),
            ("/refinished_above_median_um", self.refinished_above_median_um),
            ("/removed_in_job_um", self.removed_in_job_um),
            ("/removed_in_life_um", self.removed_in_life_um),
        ];
        let wrong = all.into_iter().filter(|(_, um)| !(*um > 0.0 && *um <= MOST_UM));
        let fault = |(pointer, um)| {
            Fault::new(pointer, "out_of_range", format!("{um} µm; allowed are above 0 to {MOST_UM} µm"))
        };
        wrong.map(fault).collect()
    }
}

/// The largest limit, in µm.
const MOST_UM: f64 = 10_000.0;

impl Default for Limits {
    /// Common practice.
    fn default() -> Self {
        Self {
            thin_below_um: 80.0,
            refinished_above_median_um: 40.0,
            removed_in_job_um: 5.0,
            removed_in_life_um: 8.0,
        }
    }
}

words! {
    /// Something that a panel's readings draw attention to.
    PaintFlag, "paint flag" {
        /// So thin that little may be polished.
        Thin = "thin",
        /// Not thin, but for a spot.
        ThinSpot = "thin_spot",
        /// Much thicker than the vehicle's other panels: likely refinished.
        LikelyRefinished = "likely_refinished",
        /// Much was removed in one job.
        MuchRemovedInJob = "much_removed_in_job",
        /// Much was removed in all jobs together.
        MuchRemovedInLife = "much_removed_in_life",
    }
}

/// What was read on a panel. A panel of plastic has no reading: there is none to make it from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Mean of the latest readings of bare paint.
    pub mean: Micrometres,
    /// The thinnest of them.
    pub least: Micrometres,
    /// Removed in this job, in µm; none: not read before and after.
    pub removed_in_job: Option<f64>,
    /// Removed in all jobs in the shop, this one too, in µm.
    pub removed_in_life: Option<f64>,
}

/// The median over the panels of a vehicle; refused without any.
///
/// ```
/// use lustrum::core::{paint::vehicle_median, units::Micrometres};
/// let um = |values: &[f64]| values.iter().map(|v| Micrometres::new(*v)).collect::<Result<Vec<_>, _>>();
/// assert_eq!(vehicle_median(&um(&[120.0, 104.0, 240.0])?)?.get(), 120.0);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn vehicle_median(panels: &[Micrometres]) -> Result<Micrometres, Fault> {
    let mut means: Vec<f64> = panels.iter().map(|mean| mean.get()).collect();
    means.sort_by(f64::total_cmp);
    let none = || Fault::new("", "empty", "one panel or more is needed");
    median(&means).map(Micrometres).ok_or_else(none)
}

/// What draws attention on a panel, against the median of its vehicle. A value at a limit does not.
///
/// ```
/// use lustrum::core::{paint::{Limits, Panel, PaintFlag, flags}, units::Micrometres};
/// let (mean, least) = (Micrometres::new(79.0)?, Micrometres::new(71.0)?);
/// let panel = Panel { mean, least, removed_in_job: Some(5.0), removed_in_life: Some(8.5) };
/// let found = flags(&panel, Micrometres::new(110.0)?, &Limits::default());
/// assert_eq!(found, [PaintFlag::Thin, PaintFlag::MuchRemovedInLife]);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn flags(panel: &Panel, median: Micrometres, limits: &Limits) -> Vec<PaintFlag> {
    let mean = panel.mean.get();
    let over = |removed: Option<f64>, limit: f64| removed.is_some_and(|removed| removed > limit);
    let found = [
        (mean < limits.thin_below_um, PaintFlag::Thin),
        (mean >= limits.thin_below_um && panel.least.get() < limits.thin_below_um, PaintFlag::ThinSpot),
        (mean - median.get() > limits.refinished_above_median_um, PaintFlag::LikelyRefinished),
        (over(panel.removed_in_job, limits.removed_in_job_um), PaintFlag::MuchRemovedInJob),
        (over(panel.removed_in_life, limits.removed_in_life_um), PaintFlag::MuchRemovedInLife),
    ];
    found.into_iter().filter_map(|(is, flag)| is.then_some(flag)).collect()
}
