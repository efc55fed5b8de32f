//! What is worked out about a vehicle.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::app::usual_day;
use crate::core::calendar::Day;
use crate::core::distance::{Driven, pace};
use crate::core::error::{Error as Rule, Fault};
use crate::core::odometer::MAX_KM;
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

/// Readings of an odometer, and a limit.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ForecastInput {
    /// In any order; at least two of the last two years, 14 days apart.
    readings: Vec<KmReading>,
    /// The limit, km, 0 to 10,000,000.
    limit_km: f64,
}

/// Distance driven by a day.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct KmReading {
    /// The day, of the years 1900 to 2999.
    on: Day,
    /// Distance driven, km, summed over replaced odometers.
    km: f64,
}

/// When the limit is passed.
#[derive(Debug, Serialize, ToSchema)]
pub struct Forecast {
    /// Expected distance a day, km.
    km_per_day: f64,
    /// Lower end of its 90 % interval, km.
    km_per_day_low: f64,
    /// Upper end, km.
    km_per_day_high: f64,
    /// The day on which the limit is expected to be passed; null: not at that pace.
    expected: Option<Day>,
    /// The earliest such day.
    earliest: Option<Day>,
    /// The latest such day.
    latest: Option<Day>,
}

pub(super) fn forecast(input: &ForecastInput) -> Result<Forecast, Rule> {
    let mut faults = Faults::default();
    let most = f64::from(MAX_KM);
    let mut distance = |pointer: &str, km: f64| {
        let detail = format!("{km} is out of range; allowed are 0 to {most} km");
        let within = (0.0..=most).contains(&km);
        faults.0.extend((!within).then(|| Fault::new(pointer, "out_of_range", detail)));
        km
    };
    let limit_km = distance("/limit_km", input.limit_km);
    let mut readings = Vec::new();
    for (i, reading) in input.readings.iter().enumerate() {
        readings.push(Driven { on: reading.on, km: distance(&format!("/readings/{i}/km"), reading.km) });
    }
    let days = input.readings.iter().enumerate();
    faults.0.extend(days.filter_map(|(i, reading)| usual_day(&format!("/readings/{i}/on"), reading.on)));
    if !faults.0.is_empty() {
        return faults.or(None);
    }
    let answer = faults.take("", pace(&readings)).map(|pace| {
        let passed = pace.passes(limit_km);
        Forecast {
            km_per_day: pace.km_per_day,
            km_per_day_low: pace.low,
            km_per_day_high: pace.high,
            expected: passed.expected,
            earliest: passed.earliest,
            latest: passed.latest,
        }
    });
    faults.or(answer)
}
