//! How long cover lasts until something ends it, when many are still under observation.

use std::collections::BTreeMap;

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

use super::sample::count;
use crate::core::error::Fault;

/// One thing that was observed: for how long, and whether it ended with the event or is still going on (censored).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observed {
    /// How long, in any unit; not negative.
    pub duration: f64,
    /// Whether the event came then.
    pub event: bool,
}

impl Observed {
    /// Refused: a duration that is negative or no number.
    pub fn new(duration: f64, event: bool) -> Result<Self, Fault> {
        if duration >= 0.0 && duration.is_finite() {
            return Ok(Self { duration, event });
        }
        Err(Fault::new("", "out_of_range", format!("{duration} is out of range; allowed is 0 or more")))
    }
}

/// The curve at one of the durations that were observed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The duration.
    pub t: f64,
    /// How many were still observed just before it.
    pub at_risk: usize,
    /// How many events came at it.
    pub events: usize,
    /// Share that gets beyond it without an event.
    pub survival: f64,
    /// Standard error of that share by Greenwood's formula.
    pub se: f64,
}

/// The product-limit curve (Kaplan and Meier, J. Am. Stat. Assoc. 53, 1958) with Greenwood's standard error, a step
/// for each duration that was observed, rising; what is censored at a duration is at risk of events at it.
///
/// ```
/// use lustrum::core::survival::{Observed, curve};
/// let observed = [(6.0, true), (6.0, false), (10.0, true)].map(|(t, event)| Observed::new(t, event).unwrap());
/// let curve = curve(&observed);
/// assert_eq!((curve[0].at_risk, curve[0].events, curve[1].at_risk), (3, 1, 1));
/// assert!((curve[0].survival - 2.0 / 3.0).abs() < 1e-12 && curve[1].survival == 0.0);
/// ```
pub fn curve(observed: &[Observed]) -> Vec<Step> {
    let mut sorted = observed.to_vec();
    sorted.sort_by(|a, b| a.duration.total_cmp(&b.duration));
    let (mut survival, mut greenwood, mut at_risk) = (1.0, 0.0, sorted.len());
    let same = |a: &Observed, b: &Observed| a.duration <= b.duration;
    let steps = sorted.chunk_by(|a, b| same(b, a)).map(|those| {
        let events = those.iter().filter(|one| one.event).count();
        let (n, d) = (count(at_risk), count(events));
        survival *= (n - d) / n;
        if events < at_risk {
            greenwood += d / (n * (n - d));
        }
        let step =
            Step { t: those[0].duration, at_risk, events, survival, se: survival * f64::sqrt(greenwood) };
        at_risk -= those.len();
        step
    });
    steps.collect()
}

/// What the log-rank test says of groups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogRank {
    /// Chi-squared with one degree of freedom less than there are groups.
    pub chi2: f64,
    /// Probability of such a difference or a larger one by chance alone.
    pub p: f64,
}

/// The log-rank test of two groups or more (Mantel 1966, with the hypergeometric variance); none where nothing can be
/// told apart: fewer than two groups, or no event while several were at risk.
///
/// ```
/// use lustrum::core::survival::{Observed, log_rank};
/// let group = |durations: [f64; 3]| durations.map(|t| Observed::new(t, true).unwrap()).to_vec();
/// let test = log_rank(&[group([1.0, 2.0, 3.0]), group([1.0, 2.0, 3.0])]).unwrap();
/// assert!(test.chi2.abs() < 1e-12 && (test.p - 1.0).abs() < 1e-12);
/// ```
pub fn log_rank(groups: &[Vec<Observed>]) -> Option<LogRank> {
    // A group that was gone before the first event has nothing to say.
    let first =
        groups.iter().flatten().filter(|one| one.event).map(|one| one.duration).min_by(f64::total_cmp)?;
    let there = |group: &&Vec<Observed>| group.iter().any(|one| one.duration >= first);
    let groups: Vec<&Vec<Observed>> = groups.iter().filter(there).collect();
    let last = groups.len().checked_sub(1).filter(|last| *last > 0)?;
    // At each duration: events and those who leave, by group.
    let mut times: BTreeMap<u64, Vec<(usize, usize)>> = BTreeMap::new();
    for (g, group) in groups.iter().enumerate() {
        for one in *group {
            // Numbers that are not negative are in the order of their bits; +0 takes the sign from −0.
            let at =
                times.entry((one.duration + 0.0).to_bits()).or_insert_with(|| vec![(0, 0); groups.len()]);
            at[g].0 += usize::from(one.event);
            at[g].1 += 1;
        }
    }
    let mut at_risk: Vec<usize> = groups.iter().map(|group| group.len()).collect();
    let mut excess = vec![0.0; last];
    let mut variance = vec![vec![0.0; last]; last];
    for those in times.values() {
        let n = count(at_risk.iter().sum());
        let d = count(those.iter().map(|(events, _)| events).sum());
        for i in 0..last {
            let share = count(at_risk[i]) / n;
            excess[i] += count(those[i].0) - d * share;
            if n > 1.0 {
                let spread = d * (n - d) / (n - 1.0) * share;
                for (j, cell) in variance[i].iter_mut().enumerate() {
                    let other = count(at_risk[j]) / n;
                    *cell += spread * (if i == j { 1.0 } else { 0.0 } - other);
                }
            }
        }
        at_risk.iter_mut().zip(those).for_each(|(n, (_, leave))| *n -= leave);
    }
    let chi2 = quadratic(variance, &excess)?;
    let p = ChiSquared::new(count(last)).map_or(f64::NAN, |distribution| distribution.sf(chi2));
    Some(LogRank { chi2, p })
}

/// `vᵀ A⁻¹ v` of a symmetric positive matrix, by Cholesky's way; none where it has no inverse.
fn quadratic(mut a: Vec<Vec<f64>>, v: &[f64]) -> Option<f64> {
    let mut sum = 0.0;
    let mut solved: Vec<f64> = Vec::with_capacity(v.len());
    for i in 0..v.len() {
        let scale = a[i][i];
        for j in 0..=i {
            let inner: f64 = (0..j).map(|k| a[i][k] * a[j][k]).sum();
            let rest = a[i][j] - inner;
            a[i][j] = if i == j { rest.max(0.0).sqrt() } else { rest / a[j][j] };
        }
        if a[i][i] * a[i][i] <= 1e-12 * scale {
            return None;
        }
        let inner: f64 = solved.iter().zip(&a[i]).map(|(x, l)| x * l).sum();
        let x = (v[i] - inner) / a[i][i];
        sum += x * x;
        solved.push(x);
    }
    Some(sum)
}
