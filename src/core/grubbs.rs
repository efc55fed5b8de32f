//! Grubbs' test: whether the reading farthest from the mean is too far to belong to the others.

use super::sample::{Summary, count, student_quantile};
use crate::core::error::Fault;

/// The level at which outliers among paint readings are shown: 5 %.
pub const USUAL_ALPHA: f64 = 0.05;

/// What the test says of several readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grubbs {
    /// Distance of the farthest reading from the mean in standard deviations; 0 where all are the same.
    pub g: f64,
    /// The distance above which it is an outlier.
    pub critical: f64,
    /// Which one is farthest, the first of several; none where all are the same.
    pub index: Option<usize>,
    /// Whether it is an outlier.
    pub outlier: bool,
}

/// The two-sided test at level `alpha` (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1).
///
/// Refused: fewer than three readings, and a level that is not between 0 and 1.
///
/// ```
/// use lustrum::core::grubbs::test;
/// // The handbook's own readings (Tietjen and Moore 1972).
/// let test = test(&[199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57], 0.05)?;
/// assert!((test.g - 2.4687).abs() < 1e-4 && test.outlier && test.index == Some(7));
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn test(readings: &[f64], alpha: f64) -> Result<Grubbs, Fault> {
    let critical = critical(readings.len(), alpha)?;
    let farthest = distances(readings).into_iter().enumerate().fold(None, |best, (i, g)| match best {
        Some((_, most)) if g <= most => best,
        _ => (g > 0.0).then_some((i, g)).or(best),
    });
    let g = farthest.map_or(0.0, |(_, g)| g);
    Ok(Grubbs { g, critical, index: farthest.map(|(i, _)| i), outlier: g > critical })
}

/// The readings that are farther from the mean than the test allows the farthest to be, at [`USUAL_ALPHA`]; none of
/// fewer than three.
///
/// ```
/// use lustrum::core::grubbs::outliers;
/// assert_eq!(outliers(&[101.0, 99.0, 100.0, 102.0, 98.0, 100.0, 180.0]), [6]);
/// assert!(outliers(&[0.1; 10]).is_empty());
/// ```
pub fn outliers(readings: &[f64]) -> Vec<usize> {
    let Ok(critical) = critical(readings.len(), USUAL_ALPHA) else { return Vec::new() };
    let far = distances(readings).into_iter().enumerate().filter(|(_, g)| *g > critical);
    far.map(|(i, _)| i).collect()
}

/// The critical value `(n − 1)/√n · √(t² / (n − 2 + t²))`, t the upper `alpha / 2n` point of Student's t with n − 2
/// degrees of freedom.
fn critical(n: usize, alpha: f64) -> Result<f64, Fault> {
    if n < 3 {
        let detail = format!("{n} readings; allowed are 3 or more");
        return Err(Fault::new("/values", "too_few", detail));
    }
    if !(alpha > 0.0 && alpha < 1.0) {
        let detail = format!("a level of {alpha}; allowed is above 0 and below 1");
        return Err(Fault::new("/alpha", "out_of_range", detail));
    }
    let n = count(n);
    let t = student_quantile(alpha / (2.0 * n), n - 2.0);
    Ok((n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt())
}

/// How far each reading is from the mean, in standard deviations; 0 where all are the same.
fn distances(readings: &[f64]) -> Vec<f64> {
    let Some(Summary { mean, sd: Some(sd), .. }) = Summary::of(readings) else {
        return vec![0.0; readings.len()];
    };
    readings.iter().map(|reading| if sd > 0.0 { (reading - mean).abs() / sd } else { 0.0 }).collect()
}
