//! Figures of an inspection against what the terms and the panel's own first figure ask.

use crate::core::terms::Limit;
use crate::core::words::words;

words! {
    /// Where a figure lies.
    Standing, "standing" {
        /// As asked, or nothing is asked.
        Within = "within",
        /// Below the least.
        TooLow = "too_low",
        /// Above the most.
        TooHigh = "too_high",
        /// Too far below the panel's own first figure.
        BelowBaseline = "below_baseline",
        /// A share of the first figure is asked, and there is none.
        NoBaseline = "no_baseline",
    }
}

/// Judges a figure; each figure in its own unit. What lies exactly at a limit is within.
///
/// ```
/// use lustrum::core::{figures::{Standing, judge}, terms::Limit};
/// let limit = Limit { min: Some(80.0), min_pct_of_baseline: Some(75.0), ..Limit::default() };
/// assert_eq!(judge(84.0, Some(110.0), &limit), Standing::Within);
/// assert_eq!(judge(79.9, Some(100.0), &limit), Standing::TooLow);
/// assert_eq!(judge(81.0, Some(110.0), &limit), Standing::BelowBaseline); // 75 % are 82.5
/// assert_eq!(judge(81.0, None, &limit), Standing::NoBaseline);
/// ```
pub fn judge(figure: f64, baseline: Option<f64>, limit: &Limit) -> Standing {
    if limit.min.is_some_and(|min| figure < min) {
        return Standing::TooLow;
    }
    if limit.max.is_some_and(|max| figure > max) {
        return Standing::TooHigh;
    }
    match (limit.min_pct_of_baseline, baseline) {
        (Some(_), None) => Standing::NoBaseline,
        (Some(percent), Some(first)) if 100.0 * figure < percent * first => Standing::BelowBaseline,
        _ => Standing::Within,
    }
}

/// The angle at which gloss is read, in degrees: 60 to begin with, 20 where that gives more than 70 gloss units, 85
/// where it gives fewer than 10 (ISO 2813).
///
/// ```
/// use lustrum::core::figures::gloss_angle;
/// assert_eq!((gloss_angle(92.0), gloss_angle(70.0), gloss_angle(10.0), gloss_angle(6.0)), (20, 60, 60, 85));
/// ```
pub fn gloss_angle(gloss_units_at_60: f64) -> u8 {
    if gloss_units_at_60 > 70.0 {
        20
    } else if gloss_units_at_60 < 10.0 {
        85
    } else {
        60
    }
}
