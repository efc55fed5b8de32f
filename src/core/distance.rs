//! Distance driven: how many kilometres a day, and when a limit is passed.

use statrs::distribution::{ContinuousCDF as _, Normal};

use super::sample::{count, median};
use crate::core::calendar::{Day, Period};
use crate::core::error::Fault;

/// Readings older than this, counted back from the last, are not looked at.
const LOOKED_BACK: Period = Period { years: 2, months: 0, weeks: 0, days: 0 };

/// First and last reading must lie so many days apart.
pub const LEAST_DAYS: i32 = 14;

/// The share of cases in which the interval holds the true distance: 90 %.
const SURE: f64 = 0.9;

/// Distance driven by a day, summed over replaced odometers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driven {
    /// The day of the reading.
    pub on: Day,
    /// In km.
    pub km: f64,
}

/// Kilometres a day: the middle, and what they hardly lie below and above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Expected, in km a day.
    pub km_per_day: f64,
    /// Lower end of the interval, in km a day.
    pub low: f64,
    /// Upper end of the interval, in km a day.
    pub high: f64,
    last: Driven,
}

/// When a limit is passed; none: not at that pace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Passed {
    /// At the expected pace.
    pub expected: Option<Day>,
    /// At the fastest.
    pub earliest: Option<Day>,
    /// At the slowest.
    pub latest: Option<Day>,
}

/// Daily distance: the median slope between all pairs of readings of the last two years (Theil 1950, Sen, J. Am. Stat.
/// Assoc. 63, 1968), with Sen's 90 % interval as `scipy.stats.theilslopes` works it out.
///
/// Refused: fewer than two readings in the two years before the last, or less than [`LEAST_DAYS`] between them
/// (`not_enough_readings`).
///
/// ```
/// use lustrum::core::distance::{Driven, pace};
/// let driven = |on: &str, km| Driven { on: on.parse().unwrap(), km };
/// let pace = pace(&[driven("2026-01-01", 1000.0), driven("2026-01-11", 1500.0), driven("2026-02-10", 3000.0)])?;
/// assert_eq!(pace.km_per_day, 50.0);
/// assert_eq!(pace.passes(5000.0).expected.unwrap().to_string(), "2026-03-22"); // 40 days after the last
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn pace(readings: &[Driven]) -> Result<Pace, Fault> {
    let few = |detail: String| Fault::new("/readings", "not_enough_readings", detail);
    let mut readings = readings.to_vec();
    readings.sort_by(|a, b| a.on.cmp(&b.on).then(a.km.total_cmp(&b.km)));
    let last = *readings.last().ok_or_else(|| few("no reading; at least two are needed".into()))?;
    let since = LOOKED_BACK.before(last.on);
    readings.retain(|reading| reading.on >= since);
    let days = last.on.days() - readings.first().map_or(last.on, |first| first.on).days();
    if days < LEAST_DAYS {
        let n = readings.len();
        let detail =
            format!("{n} readings within {days} days; at least two are needed, {LEAST_DAYS} days apart");
        return Err(few(detail));
    }
    let mut slopes = Vec::new();
    for (i, one) in readings.iter().enumerate() {
        for other in &readings[i + 1..] {
            let days = other.on.days() - one.on.days();
            if days > 0 {
                slopes.push((other.km - one.km) / f64::from(days));
            }
        }
    }
    slopes.sort_by(f64::total_cmp);
    let (low, high) = ends(&readings, &slopes);
    let km_per_day = median(&slopes).unwrap_or(f64::NAN);
    Ok(Pace { km_per_day, low, high, last })
}

/// Sen's interval of the median slope (equation 2.6 of the paper, with ties on either axis).
fn ends(readings: &[Driven], slopes: &[f64]) -> (f64, f64) {
    let tied = |group: usize| {
        let k = count(group);
        k * (k - 1.0) * (2.0 * k + 5.0)
    };
    let on = readings.chunk_by(|a, b| a.on == b.on).map(|those| tied(those.len())).sum::<f64>();
    let mut km: Vec<f64> = readings.iter().map(|reading| reading.km).collect();
    km.sort_by(f64::total_cmp);
    let km = km.chunk_by(|a, b| b <= a).map(|those| tied(those.len())).sum::<f64>();
    let variance = (tied(readings.len()) - on - km) / 18.0;
    let z = Normal::standard().inverse_cdf(f64::midpoint(1.0, SURE));
    let reach = z * variance.max(0.0).sqrt();
    let n = count(slopes.len());
    let upper = f64::midpoint(n, reach).round_ties_even();
    let lower = f64::midpoint(n, -reach).round_ties_even() - 1.0;
    let at = |place: f64| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the list")]
        let place = place.clamp(0.0, n - 1.0) as usize;
        slopes.get(place).copied().unwrap_or(f64::NAN)
    };
    (at(lower), at(upper))
}

impl Pace {
    /// The days on which a limit in km is passed, counted from the last reading on; the day of that reading where it
    /// shows so much already.
    pub fn passes(&self, limit_km: f64) -> Passed {
        let day = |km_per_day: f64| {
            let left = limit_km - self.last.km;
            if left <= 0.0 {
                return Some(self.last.on);
            }
            let days = (left / km_per_day).ceil();
            #[expect(clippy::cast_possible_truncation, reason = "below a million")]
            let days = (km_per_day > 0.0 && days < 1.0e6).then_some(days as i32)?;
            Some(self.last.on.plus_days(days)).filter(|day| day.is_usual())
        };
        Passed { expected: day(self.km_per_day), earliest: day(self.high), latest: day(self.low) }
    }
}
