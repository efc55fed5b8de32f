//! Water in the air at the panel: dew point, absolute humidity, and what becomes of outside air when it is heated.
//!
//! Saturation vapour pressure is that over water, below freezing too, by the Magnus form of WMO-No. 8, Guide to
//! Instruments and Methods of Observation, Annex 4.B, valid from −45 to 60 °C.

use crate::core::error::Fault;
use crate::core::units::{Celsius, GramsPerCubicMetre, Hectopascals, RelativeHumidity, Warmer};

/// The coldest air for which the formula holds, in °C.
pub const COLDEST_C: f64 = -45.0;
/// The hottest air for which the formula holds, in °C.
pub const HOTTEST_C: f64 = 60.0;

/// How far a surface has to be above the dew point while coating and until levelled, in K: ISO 8502-4 gives the
/// method, 3 K is the usual limit in coating practice.
pub const LEAST_OVER_DEW_K: f64 = 3.0;

// WMO-No. 8, Annex 4.B.
const AT_ZERO_HPA: f64 = 6.112;
const STEEPNESS: f64 = 17.62;
const OFFSET_C: f64 = 243.12;

/// Specific gas constant of water vapour in J/(kg K): 8.314462618 J/(mol K) over 0.01801528 kg/mol, as usually rounded.
const GAS_CONSTANT_OF_VAPOUR: f64 = 461.5;

/// Saturation vapour pressure over water, `6.112 exp(17.62 t / (243.12 + t))`; refused outside −45 to 60 °C.
///
/// ```
/// use lustrum::core::{humidity::saturation_pressure, units::Celsius};
/// assert_eq!(saturation_pressure(Celsius::new(0.0)?)?.get(), 6.112);
/// assert_eq!(saturation_pressure(Celsius::new(60.5)?).unwrap_err().code, "out_of_range");
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn saturation_pressure(air: Celsius) -> Result<Hectopascals, Fault> {
    let t = air.get();
    if (COLDEST_C..=HOTTEST_C).contains(&t) {
        return Ok(Hectopascals(AT_ZERO_HPA * (STEEPNESS * t / (OFFSET_C + t)).exp()));
    }
    let detail = format!("{t} is out of range; allowed are {COLDEST_C} to {HOTTEST_C} °C");
    Err(Fault::new("", "out_of_range", detail))
}

/// Pressure of the vapour that is in the air.
///
/// ```
/// use lustrum::core::{humidity::vapour_pressure, units::{Celsius, RelativeHumidity}};
/// assert_eq!(vapour_pressure(Celsius::new(0.0)?, RelativeHumidity::new(50.0)?)?.get(), 3.056);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn vapour_pressure(air: Celsius, rh: RelativeHumidity) -> Result<Hectopascals, Fault> {
    saturation_pressure(air).map(|full| Hectopascals(full.get() * rh.get() / 100.0))
}

/// The temperature at which vapour of this pressure begins to condense: the inverse of [`saturation_pressure`].
///
/// Refused where it lies outside the range of the formula, as that of perfectly dry air does.
///
/// ```
/// use lustrum::core::{humidity::{dew_point, vapour_pressure}, units::{Celsius, RelativeHumidity}};
/// let dew = dew_point(vapour_pressure(Celsius::new(20.0)?, RelativeHumidity::new(60.0)?)?)?;
/// assert!((dew.get() - 11.9955).abs() < 1e-4); // tests/reference/surface_rule.csv, SR001
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn dew_point(vapour: Hectopascals) -> Result<Celsius, Fault> {
    let g = (vapour.get() / AT_ZERO_HPA).ln();
    let t = OFFSET_C * g / (STEEPNESS - g);
    // A hair beyond the end is what rounding leaves of the end itself.
    if (COLDEST_C - 1e-9..=HOTTEST_C + 1e-9).contains(&t) {
        return Ok(Celsius(t.clamp(COLDEST_C, HOTTEST_C)));
    }
    let detail = format!(
        "vapour of {vapour} has no dew point from {COLDEST_C} to {HOTTEST_C} °C, where the formula holds"
    );
    Err(Fault::new("", "out_of_range", detail))
}

/// How much water a cubic metre of the air holds, by the ideal-gas law.
///
/// ```
/// use lustrum::core::{humidity::absolute_humidity, units::{Celsius, RelativeHumidity}};
/// let water = absolute_humidity(Celsius::new(0.0)?, RelativeHumidity::new(100.0)?)?;
/// assert!((water.get() - 4.848534).abs() < 1e-6); // tests/reference/absolute_humidity.csv, AH004
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn absolute_humidity(air: Celsius, rh: RelativeHumidity) -> Result<GramsPerCubicMetre, Fault> {
    let pascals = 100.0 * vapour_pressure(air, rh)?.get();
    Ok(GramsPerCubicMetre(1000.0 * pascals / (GAS_CONSTANT_OF_VAPOUR * air.kelvins().get())))
}

/// How far a surface is above the dew point.
///
/// ```
/// use lustrum::core::{humidity::{LEAST_OVER_DEW_K, over_dew}, units::Celsius};
/// assert!(over_dew(Celsius::new(14.9)?, Celsius::new(12.0)?).get() < LEAST_OVER_DEW_K);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn over_dew(surface: Celsius, dew: Celsius) -> Warmer {
    surface.above(dew)
}

/// The relative humidity of air from outside once it is at the temperature of the bay: nothing is added, so the
/// vapour pressure stays. Refused where it would condense on the way.
///
/// ```
/// use lustrum::core::{humidity::heated, units::{Celsius, RelativeHumidity}};
/// let winter = heated(Celsius::new(-4.0)?, RelativeHumidity::new(80.0)?, Celsius::new(20.0)?)?;
/// assert_eq!(winter.get().round(), 16.0); // dry enough that it has to be humidified
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn heated(out: Celsius, rh: RelativeHumidity, inside: Celsius) -> Result<RelativeHumidity, Fault> {
    let vapour = vapour_pressure(out, rh).map_err(|fault| fault.within("/out_c"))?;
    let full = saturation_pressure(inside).map_err(|fault| fault.within("/in_c"))?;
    let share = 100.0 * vapour.get() / full.get();
    if share <= 100.0 {
        return Ok(RelativeHumidity(share));
    }
    // The same temperature inside as outside, but for rounding.
    if share < 100.0 + 1e-9 {
        return Ok(RelativeHumidity(100.0));
    }
    let detail =
        format!("at {inside} water would condense out of air of {out} and {rh}: allowed is no colder");
    Err(Fault::new("/in_c", "condenses", detail))
}
