//! Dilution.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::core::dilution::Dilution;
use crate::core::error::{Error as Rule, Fault};
use crate::core::units::Millilitres;

/// A dilution: exactly one of `ratio`, `part_ml` with `to_ml`, and `percent`.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DilutionInput {
    /// `1:n`, one part of product to n parts of water.
    ratio: Option<String>,
    /// So much product, ml …
    part_ml: Option<f64>,
    /// … to so much water, ml.
    to_ml: Option<f64>,
    /// Per cent of product by volume.
    percent: Option<f64>,
    /// How much is mixed, ml.
    total_ml: Option<f64>,
}

/// The same dilution in each notation.
#[derive(Debug, Serialize, ToSchema)]
pub struct DilutionAnswer {
    /// Parts of water to one of product.
    ratio_parts: f64,
    /// Per cent of product by volume.
    percent_v: f64,
    /// Product in the total, ml.
    #[serde(skip_serializing_if = "Option::is_none")]
    product_ml: Option<f64>,
    /// Water in the total, ml.
    #[serde(skip_serializing_if = "Option::is_none")]
    water_ml: Option<f64>,
}

pub(super) fn dilution(input: &DilutionInput) -> Result<DilutionAnswer, Rule> {
    let mut faults = Faults::default();
    let total = input.total_ml.and_then(|ml| faults.take("/total_ml", Millilitres::new(ml)));
    let dilution = match (&input.ratio, input.part_ml, input.to_ml, input.percent) {
        (Some(ratio), None, None, None) => faults.take("/ratio", ratio.parse::<Dilution>()),
        (None, Some(part), Some(to), None) => {
            let part = faults.take("/part_ml", Millilitres::new(part));
            let to = faults.take("/to_ml", Millilitres::new(to));
            part.zip(to).and_then(|(part, to)| faults.take("/part_ml", Dilution::of_volumes(part, to)))
        }
        (None, None, None, Some(percent)) => faults.take("/percent", Dilution::of_percent(percent)),
        _ => {
            let detail = "exactly one of ratio, part_ml with to_ml, and percent says the dilution";
            faults.0.push(Fault::new("", "one_of", detail));
            None
        }
    };
    let answer = dilution.map(|dilution| {
        let filled = total.map(|total| dilution.fill(total));
        DilutionAnswer {
            ratio_parts: dilution.parts(),
            percent_v: dilution.percent(),
            product_ml: filled.map(|(product, _)| product.get()),
            water_ml: filled.map(|(_, water)| water.get()),
        }
    });
    faults.or(answer)
}
