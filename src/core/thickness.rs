//! Paint thickness: what polishing took off, and whether a set of readings is accepted against a nominal thickness.

use super::sample::{Interval, SURE, Summary, count};
use crate::core::error::Fault;
use crate::core::units::Micrometres;

/// What was removed, with its 95 % interval, all in µm: by spot where there are as many readings after as before (the
/// i-th of each at the same spot), else from the two means (Welch). Refused without any reading.
///
/// ```
/// use lustrum::core::{thickness::removed, units::Micrometres};
/// let um = |values: &[f64]| values.iter().map(|v| Micrometres::new(*v)).collect::<Result<Vec<_>, _>>();
/// let removed = removed(&um(&[120.0, 110.0, 131.0])?, &um(&[118.0, 107.0, 127.0])?)?;
/// assert_eq!(removed.mean, 3.0);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn removed(before: &[Micrometres], after: &[Micrometres]) -> Result<Interval, Fault> {
    if before.len() == after.len() {
        let by_spot: Vec<f64> = before.iter().zip(after).map(|(b, a)| b.get() - a.get()).collect();
        return Ok(summary(&by_spot, "/readings_um")?.interval(SURE));
    }
    removed_by_means(before, after)
}

/// What was removed, by the two means alone (Welch's interval), for readings that do not belong together in pairs; in µm.
/// Refused without any reading.
///
/// ```
/// use lustrum::core::{thickness::removed_by_means, units::Micrometres};
/// let um = |values: &[f64]| values.iter().map(|v| Micrometres::new(*v)).collect::<Result<Vec<_>, _>>();
/// let removed = removed_by_means(&um(&[100.0, 101.0, 102.0])?, &um(&[95.0, 95.0, 99.0, 99.0])?)?;
/// assert_eq!(removed.mean, 4.0);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn removed_by_means(before: &[Micrometres], after: &[Micrometres]) -> Result<Interval, Fault> {
    let (before, after) = (numbers(before), numbers(after));
    Ok(summary(&before, "/readings_um")?.less_than(&summary(&after, "/after_um")?, SURE))
}

/// Mean, spread and ends of readings, in µm; refused without any.
///
/// ```
/// use lustrum::core::{thickness, units::Micrometres};
/// let all = thickness::of(&[Micrometres::new(104.0)?, Micrometres::new(112.0)?])?;
/// assert_eq!((all.mean, all.least, all.most), (108.0, 104.0, 112.0));
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn of(readings: &[Micrometres]) -> Result<Summary, Fault> {
    summary(&numbers(readings), "/readings_um")
}

fn numbers(readings: &[Micrometres]) -> Vec<f64> {
    readings.iter().map(|reading| reading.get()).collect()
}

fn summary(readings: &[f64], pointer: &str) -> Result<Summary, Fault> {
    Summary::of(readings).ok_or_else(|| Fault::new(pointer, "empty", "one reading or more is needed"))
}

/// The least nominal thickness for which acceptance is judged, in µm: the scope of ISO 19840.
pub const LEAST_NOMINAL_UM: f64 = 40.0;

/// Why a set of readings is not accepted against a nominal thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unaccepted {
    /// The mean is below the nominal thickness.
    MeanBelowNominal,
    /// A reading is below 80 % of it.
    ReadingBelow80Percent,
    /// One in five readings or more is below it. Sources differ on exactly one in five: here it is not accepted.
    OneInFiveBelowNominal,
    /// A reading is above three times it: the usual ceiling where none is agreed (common practice).
    ReadingAboveMaximum,
}

impl Unaccepted {
    /// For people.
    pub const fn text(self) -> &'static str {
        match self {
            Self::MeanBelowNominal => "mean below nominal",
            Self::ReadingBelow80Percent => "reading below 80 %",
            Self::OneInFiveBelowNominal => "20 % of the readings or more below nominal",
            Self::ReadingAboveMaximum => "reading above maximum",
        }
    }
}

/// Why a set of readings is not accepted against a nominal thickness by the rules of ISO 19840; empty where it is.
///
/// Refused: no reading, and a nominal thickness below [`LEAST_NOMINAL_UM`].
///
/// ```
/// use lustrum::core::{thickness::{Unaccepted, acceptance}, units::Micrometres};
/// let um = |values: &[f64]| values.iter().map(|v| Micrometres::new(*v)).collect::<Result<Vec<_>, _>>();
/// let nominal = Micrometres::new(100.0)?;
/// assert_eq!(acceptance(&um(&[105.0, 102.0, 110.0])?, nominal)?, []);
/// assert_eq!(acceptance(&um(&[99.0, 98.0, 100.0])?, nominal)?[0], Unaccepted::MeanBelowNominal);
/// assert!(acceptance(&um(&[30.0])?, Micrometres::new(30.0)?).is_err());
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn acceptance(readings: &[Micrometres], nominal: Micrometres) -> Result<Vec<Unaccepted>, Fault> {
    if nominal.get() < LEAST_NOMINAL_UM {
        let detail = format!("a nominal thickness of {nominal}; allowed are {LEAST_NOMINAL_UM} µm or more");
        return Err(Fault::new("/nominal_um", "out_of_range", detail));
    }
    let all = of(readings)?;
    let nominal = nominal.get();
    // 0.8 has no exact binary form: a reading of exactly 80 % must not fail for it.
    let below_80 = |reading: f64| 5.0 * reading < 4.0 * nominal;
    let thin = readings.iter().filter(|reading| reading.get() < nominal && !below_80(reading.get())).count();
    let found = [
        (all.mean < nominal, Unaccepted::MeanBelowNominal),
        (below_80(all.least), Unaccepted::ReadingBelow80Percent),
        (5.0 * count(thin) >= count(all.n), Unaccepted::OneInFiveBelowNominal),
        (all.most > 3.0 * nominal, Unaccepted::ReadingAboveMaximum),
    ];
    Ok(found.into_iter().filter_map(|(is, why)| is.then_some(why)).collect())
}
