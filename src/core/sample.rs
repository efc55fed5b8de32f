//! Several readings of one thing: mean, spread, and the interval in which the true mean lies.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

/// How sure an interval is, unless said otherwise: 95 %.
pub const SURE: f64 = 0.95;

/// What several readings say together; numbers are in the unit of the readings.
///
/// ```
/// use lustrum::core::sample::Summary;
/// let readings = Summary::of(&[102.0, 98.0, 103.0]).unwrap();
/// assert_eq!((readings.n, readings.mean, readings.least, readings.most), (3, 101.0, 98.0, 103.0));
/// assert!((readings.sd.unwrap() - 7.0_f64.sqrt()).abs() < 1e-12);
/// assert_eq!(Summary::of(&[]), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many.
    pub n: usize,
    /// Arithmetic mean.
    pub mean: f64,
    /// Sample standard deviation (n − 1); none of one reading.
    pub sd: Option<f64>,
    /// The smallest.
    pub least: f64,
    /// The largest.
    pub most: f64,
}

/// An interval with its middle, in the unit of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The estimate.
    pub mean: f64,
    /// Lower and upper end; none where one reading says nothing of the spread.
    pub ends: Option<(f64, f64)>,
}

impl Summary {
    /// In one pass that loses no digits: by Welford's recurrence (Technometrics 4, 1962) on distances from the first
    /// reading, which are exact where the readings are close to one another. None of nothing.
    pub fn of(readings: &[f64]) -> Option<Self> {
        let first = *readings.first()?;
        let (mut n, mut mean, mut squares) = (0.0, 0.0, 0.0);
        let (mut least, mut most) = (first, first);
        for reading in readings {
            n += 1.0;
            let distance = reading - first;
            let step = distance - mean;
            mean += step / n;
            squares += step * (distance - mean);
            least = reading.min(least);
            most = reading.max(most);
        }
        let sd = (n > 1.0).then(|| if least < most { (squares / (n - 1.0)).sqrt() } else { 0.0 });
        Some(Self { n: readings.len(), mean: first + mean, sd, least, most })
    }

    /// The interval of the mean by Student's t, to be `sure` in from 0 to 1.
    ///
    /// ```
    /// use lustrum::core::sample::{SURE, Summary};
    /// let (low, high) = Summary::of(&[1.0, 2.0, 3.0]).unwrap().interval(SURE).ends.unwrap();
    /// // t(0.975, 2) = 4.302653 (any printed table of Student's t).
    /// assert!((high - 2.0 - 4.302653 / 3.0_f64.sqrt()).abs() < 1e-6 && (low + high - 4.0).abs() < 1e-12);
    /// ```
    pub fn interval(&self, sure: f64) -> Interval {
        let n = count(self.n);
        let ends = self.sd.map(|sd| {
            let reach = student_quantile(f64::midpoint(1.0, sure), n - 1.0) * sd / n.sqrt();
            (self.mean - reach, self.mean + reach)
        });
        Interval { mean: self.mean, ends }
    }

    /// By how much the mean of `other` is smaller, for readings that do not belong together in pairs: Welch's
    /// interval (Biometrika 34, 1947), degrees of freedom by Welch and Satterthwaite.
    ///
    /// ```
    /// use lustrum::core::sample::{SURE, Summary};
    /// let (before, after) = (Summary::of(&[100.0, 101.0, 102.0]), Summary::of(&[95.0, 95.0, 99.0, 99.0]));
    /// let removed = before.unwrap().less_than(&after.unwrap(), SURE);
    /// let (low, _) = removed.ends.unwrap();
    /// // scipy.stats.ttest_ind(equal_var=False).confidence_interval(0.95)
    /// assert!(removed.mean == 4.0 && (low - 0.507926702239859).abs() < 1e-9);
    /// ```
    pub fn less_than(&self, other: &Self, sure: f64) -> Interval {
        let mean = self.mean - other.mean;
        let ends = self.sd.zip(other.sd).map(|(sd, other_sd)| {
            let (n, m) = (count(self.n), count(other.n));
            let (a, b) = (sd * sd / n, other_sd * other_sd / m);
            if a + b <= 0.0 {
                return (mean, mean);
            }
            let freedom = (a + b) * (a + b) / (a * a / (n - 1.0) + b * b / (m - 1.0));
            let reach = student_quantile(f64::midpoint(1.0, sure), freedom) * (a + b).sqrt();
            (mean - reach, mean + reach)
        });
        Interval { mean, ends }
    }
}

/// A count as a number to reckon with.
#[expect(clippy::cast_precision_loss, reason = "nobody takes 2^53 readings")]
pub(super) fn count(n: usize) -> f64 {
    n as f64
}

/// The value below which Student's t lies with probability `p`, from 0 to 1, at degrees of freedom above 0.
pub(super) fn student_quantile(p: f64, freedom: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::NAN, |student| student.inverse_cdf(p))
}

/// The middle of values in rising order; none of nothing.
pub(super) fn median(sorted: &[f64]) -> Option<f64> {
    let upper = *sorted.get(sorted.len() / 2)?;
    let lower = sorted[(sorted.len() - 1) / 2];
    Some(f64::midpoint(lower, upper))
}
