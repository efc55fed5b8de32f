//! What is worked out about a vehicle.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::core::error::Error as Rule;
use crate::core::vin::Vin;

/// A vehicle identification number as somebody read it.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VinInput {
    /// Blanks and hyphens are left out, small letters taken for capitals.
    vin: String,
}

/// What the number says.
#[derive(Debug, Serialize, ToSchema)]
pub struct VinAnswer {
    /// Whether it is 17 of the capitals and digits without I, O and Q; if not, nothing more can be said.
    valid_form: bool,
    /// The ninth place: required in the North American market, elsewhere advice.
    check_digit: Option<CheckDigit>,
    /// World manufacturer identifier: the first three places.
    wmi: Option<String>,
    /// The years that the tenth place can stand for, likelier first.
    model_years: Vec<u16>,
    /// Where the check digit is wrong: numbers that this may be a slip of, likeliest first.
    suggestions: Vec<String>,
}

/// A check digit.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct CheckDigit {
    /// What the other characters ask for.
    expected: String,
    /// What stands there.
    found: String,
    /// Whether they are the same.
    ok: bool,
}

pub(super) fn vin(input: &VinInput) -> Result<VinAnswer, Rule> {
    let Ok(vin) = input.vin.parse::<Vin>() else {
        return Ok(VinAnswer {
            valid_form: false,
            check_digit: None,
            wmi: None,
            model_years: Vec::new(),
            suggestions: Vec::new(),
        });
    };
    Ok(VinAnswer {
        valid_form: true,
        check_digit: Some(CheckDigit {
            expected: vin.check_digit().to_string(),
            found: vin.as_str().chars().nth(8).map(String::from).unwrap_or_default(),
            ok: vin.check_digit_fits(),
        }),
        wmi: vin.as_str().get(..3).map(str::to_owned),
        model_years: vin.model_years().map(Vec::from).unwrap_or_default(),
        suggestions: vin.suggestions().iter().map(ToString::to_string).collect(),
    })
}
