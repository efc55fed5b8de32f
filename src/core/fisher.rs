//! Fisher's exact test: whether one share differs from another by more than chance, however few the cases.

use super::sample::count;
use crate::core::error::Fault;

/// The most cases in one table.
pub const MOST_CASES: u64 = 10_000_000;

/// Probabilities that differ by less than this share are the same but for rounding.
const SAME: f64 = 1e-9;

/// What the test says of a table `[[a, b], [c, d]]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fisher {
    /// Odds ratio of the sample, `ad / bc`; none where b or c is 0.
    pub odds_ratio: Option<f64>,
    /// Probability of a table as improbable as this one or more.
    pub p_two_sided: f64,
    /// Probability of an `a` as large or larger.
    pub p_greater: f64,
}

/// Tests a table, by the exact (hypergeometric) probabilities of all tables with the same margins; two-sided is the
/// sum over those that are no more probable than this one. Refused: more than [`MOST_CASES`] cases.
///
/// ```
/// use lustrum::core::fisher::test;
/// // The lady tasting tea (Fisher 1935): 17/70, and 34/70 two-sided.
/// let tea = test([[3, 1], [1, 3]])?;
/// assert!((tea.p_greater - 17.0 / 70.0).abs() < 1e-12 && (tea.p_two_sided - 34.0 / 70.0).abs() < 1e-12);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn test(table: [[u32; 2]; 2]) -> Result<Fisher, Fault> {
    let [[a, b], [c, d]] = table.map(|row| row.map(u64::from));
    let all = a + b + c + d;
    if all > MOST_CASES {
        let detail = format!("{all} cases; allowed are {MOST_CASES}");
        return Err(Fault::new("/table", "out_of_range", detail));
    }
    let (row, column) = (a + b, a + c);
    let (least, most) = (column.saturating_sub(c + d), row.min(column));
    // Relative to the most probable table, so that nothing overflows and what is lost is nothing.
    let mode = ((row + 1) * (column + 1) / (all + 2)).clamp(least, most);
    let ratio = |k: u64| {
        let rest = number(all + k + 1) - number(row + column);
        number(row - k) * number(column - k) / (number(k + 1) * rest)
    };
    let mut weights = vec![1.0];
    for k in mode..most {
        weights.push(weights[weights.len() - 1] * ratio(k));
    }
    let mut below = Vec::new();
    let mut weight = 1.0;
    for k in (least..mode).rev() {
        weight /= ratio(k);
        below.push(weight);
    }
    below.reverse();
    below.extend(weights);
    let at = usize::try_from(a - least).unwrap_or(0);
    let found = below.get(at).copied().unwrap_or(0.0);
    let total = sum(below.iter().copied());
    let as_improbable = below.iter().copied().filter(|weight| *weight <= found * (1.0 + SAME));
    let odds_ratio = (b > 0 && c > 0).then(|| number(a) * number(d) / (number(b) * number(c)));
    Ok(Fisher {
        odds_ratio,
        p_two_sided: (sum(as_improbable) / total).min(1.0),
        p_greater: (sum(below.iter().copied().skip(at)) / total).min(1.0),
    })
}

/// Probabilities of several tests, made larger so that among all of them together a small one is as rare as it says
/// (Holm, Scand. J. Stat. 6, 1979); in the order given.
///
/// ```
/// use lustrum::core::fisher::holm;
/// let found = holm(&[0.01, 0.04, 0.03]);
/// assert!(found.iter().zip([0.03, 0.06, 0.06]).all(|(found, wanted)| (found - wanted).abs() < 1e-12));
/// ```
pub fn holm(probabilities: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..probabilities.len()).collect();
    order.sort_by(|a, b| probabilities[*a].total_cmp(&probabilities[*b]));
    let mut adjusted = vec![0.0; probabilities.len()];
    let mut least = 0.0_f64;
    for (rank, place) in order.into_iter().enumerate() {
        least = least.max(count(probabilities.len() - rank) * probabilities[place]).min(1.0);
        adjusted[place] = least;
    }
    adjusted
}

/// Smallest first, so that many small ones count.
fn sum(weights: impl Iterator<Item = f64>) -> f64 {
    let mut weights: Vec<f64> = weights.collect();
    weights.sort_by(f64::total_cmp);
    weights.iter().sum()
}

#[expect(clippy::cast_precision_loss, reason = "at most 10,000,000")]
fn number(n: u64) -> f64 {
    n as f64
}
