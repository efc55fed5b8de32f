//! What paint readings of a panel draw attention to.

use super::sample::median;
use crate::core::error::Fault;
use crate::core::units::Micrometres;
use crate::core::words::words;

/// What film on a panel adds to a reading, in µm (common practice); the paint below it cannot be read.
pub const FILM_ADDS_UM: (f64, f64) = (150.0, 250.0);

/// The shop's limits, in µm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Below this paint is thin.
    pub thin_below: f64,
    /// More than this above the vehicle's median a panel was likely refinished.
    pub refinished_above_median: f64,
    /// More than this removed in one job is much.
    pub removed_in_job: f64,
    /// More than this removed in the vehicle's life in the shop is much.
    pub removed_in_life: f64,
}

impl Default for Limits {
    /// Common practice.
    fn default() -> Self {
        Self { thin_below: 80.0, refinished_above_median: 40.0, removed_in_job: 5.0, removed_in_life: 8.0 }
    }
}

words! {
    /// Something that a panel's readings draw attention to.
    PaintFlag, "paint flag" {
        /// So thin that little may be polished.
        Thin = "thin",
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
/// let panel = Panel { mean: Micrometres::new(79.0)?, removed_in_job: Some(5.0), removed_in_life: Some(8.5) };
/// let found = flags(&panel, Micrometres::new(110.0)?, &Limits::default());
/// assert_eq!(found, [PaintFlag::Thin, PaintFlag::MuchRemovedInLife]);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn flags(panel: &Panel, median: Micrometres, limits: &Limits) -> Vec<PaintFlag> {
    let mean = panel.mean.get();
    let over = |removed: Option<f64>, limit: f64| removed.is_some_and(|removed| removed > limit);
    let found = [
        (mean < limits.thin_below, PaintFlag::Thin),
        (mean - median.get() > limits.refinished_above_median, PaintFlag::LikelyRefinished),
        (over(panel.removed_in_job, limits.removed_in_job), PaintFlag::MuchRemovedInJob),
        (over(panel.removed_in_life, limits.removed_in_life), PaintFlag::MuchRemovedInLife),
    ];
    found.into_iter().filter_map(|(is, flag)| is.then_some(flag)).collect()
}
