//! Readings of paint thickness.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{Faults, each};
use crate::core::error::Error as Rule;
use crate::core::units::Micrometres;
use crate::core::{grubbs, thickness};

/// Readings of one panel.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ThicknessInput {
    /// Before polishing, µm.
    readings_um: Vec<f64>,
    /// After it, µm: where there are as many, the i-th of each was read at the same spot.
    after_um: Option<Vec<f64>>,
    /// The thickness to be accepted against, µm; 40 or more.
    nominal_um: Option<f64>,
}

/// What the readings say.
#[derive(Debug, Serialize, ToSchema)]
pub struct ThicknessAnswer {
    /// How many there are before polishing; so with all that follows but `removed`.
    n: usize,
    /// Mean, µm.
    mean_um: f64,
    /// Sample standard deviation, µm; null of one reading.
    sd_um: Option<f64>,
    /// The thinnest, µm.
    min_um: f64,
    /// The thickest, µm.
    max_um: f64,
    /// Places (from 0) of readings that are outliers by Grubbs' two-sided test at 5 %; they count all the same.
    outliers: Vec<usize>,
    /// What polishing took off.
    #[serde(skip_serializing_if = "Option::is_none")]
    removed: Option<Removed>,
    /// Whether the readings are accepted.
    #[serde(skip_serializing_if = "Option::is_none")]
    acceptance: Option<Acceptance>,
}

/// What polishing took off, with its 95 % interval.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct Removed {
    /// Mean, µm.
    mean_um: f64,
    /// Lower end, µm; null where there are too few readings.
    low_um: Option<f64>,
    /// Upper end, µm.
    high_um: Option<f64>,
}

/// Acceptance by the rules of ISO 19840.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct Acceptance {
    /// Whether there is no reason against it.
    accepted: bool,
    /// What is against it.
    reasons: Vec<&'static str>,
}

pub(super) fn thickness(input: &ThicknessInput) -> Result<ThicknessAnswer, Rule> {
    let mut faults = Faults::default();
    let readings = each("/readings_um", &input.readings_um, Micrometres::new, &mut faults);
    let after = input.after_um.as_ref().map(|um| each("/after_um", um, Micrometres::new, &mut faults));
    let nominal = input.nominal_um.and_then(|um| faults.take("/nominal_um", Micrometres::new(um)));
    if !faults.0.is_empty() {
        return faults.or(None);
    }
    let all = faults.take("", thickness::of(&readings));
    let removed = after.and_then(|after| faults.take("", thickness::removed(&readings, &after)));
    let unaccepted = nominal.and_then(|um| faults.take("", thickness::acceptance(&readings, um)));
    let answer = all.map(|all| ThicknessAnswer {
        n: all.n,
        mean_um: all.mean,
        sd_um: all.sd,
        min_um: all.least,
        max_um: all.most,
        outliers: grubbs::outliers(&input.readings_um),
        removed: removed.map(|removed| Removed {
            mean_um: removed.mean,
            low_um: removed.ends.map(|(low, _)| low),
            high_um: removed.ends.map(|(_, high)| high),
        }),
        acceptance: unaccepted.map(|reasons| Acceptance {
            accepted: reasons.is_empty(),
            reasons: reasons.into_iter().map(thickness::Unaccepted::text).collect(),
        }),
    });
    faults.or(answer)
}

/// Values that belong together.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GrubbsInput {
    /// Three or more.
    values: Vec<f64>,
    /// Level of the test, between 0 and 1: 0.05 is usual.
    alpha: f64,
}

/// What Grubbs' two-sided test says.
#[derive(Debug, Serialize, ToSchema)]
pub struct GrubbsAnswer {
    /// Distance of the farthest value from the mean, in standard deviations.
    g: f64,
    /// What it may be at most.
    critical: f64,
    /// Place (from 0) of the farthest; null where all are the same.
    index: Option<usize>,
    /// Whether it is an outlier.
    outlier: bool,
}

pub(super) fn grubbs(input: &GrubbsInput) -> Result<GrubbsAnswer, Rule> {
    let test = grubbs::test(&input.values, input.alpha).map_err(|fault| Rule::rules(vec![fault]))?;
    Ok(GrubbsAnswer { g: test.g, critical: test.critical, index: test.index, outlier: test.outlier })
}
