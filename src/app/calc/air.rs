//! Climate at the panel.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::core::error::Error as Rule;
use crate::core::humidity;
use crate::core::units::{Celsius, RelativeHumidity};

/// Air, and perhaps a surface in it.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DewPointInput {
    /// Temperature of the air, −45 to 60 °C.
    air_c: f64,
    /// Relative humidity over water, %.
    rh_pct: f64,
    /// Temperature of the surface, °C.
    surface_c: Option<f64>,
}

/// What is in the air.
#[derive(Debug, Serialize, ToSchema)]
pub struct DewPoint {
    /// Dew point over water, °C.
    dew_point_c: f64,
    /// Pressure of the vapour, hPa.
    vapour_pressure_hpa: f64,
    /// Water in the air, g/m³.
    absolute_humidity_g_m3: f64,
    /// How far the surface is above the dew point, K.
    #[serde(skip_serializing_if = "Option::is_none")]
    over_dew_c: Option<f64>,
}

/// Air for which the formula holds.
fn air(pointer: &str, c: f64, faults: &mut Faults) -> Option<Celsius> {
    let air = faults.take(pointer, Celsius::new(c))?;
    faults.take(pointer, humidity::saturation_pressure(air)).map(|_| air)
}

pub(super) fn dew_point(input: &DewPointInput) -> Result<DewPoint, Rule> {
    let mut faults = Faults::default();
    let air = air("/air_c", input.air_c, &mut faults);
    let rh = faults.take("/rh_pct", RelativeHumidity::new(input.rh_pct));
    let surface = input.surface_c.and_then(|c| faults.take("/surface_c", Celsius::new(c)));
    let answer = air.zip(rh).and_then(|(air, rh)| {
        let vapour = faults.take("/air_c", humidity::vapour_pressure(air, rh))?;
        let water = faults.take("/air_c", humidity::absolute_humidity(air, rh))?;
        let dew = faults.take("/rh_pct", humidity::dew_point(vapour))?;
        Some(DewPoint {
            dew_point_c: dew.get(),
            vapour_pressure_hpa: vapour.get(),
            absolute_humidity_g_m3: water.get(),
            over_dew_c: surface.map(|surface| humidity::over_dew(surface, dew).get()),
        })
    });
    faults.or(answer)
}

/// Air from outside that is heated in the bay.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HeatedAirInput {
    /// Temperature outside, −45 to 60 °C.
    out_c: f64,
    /// Relative humidity outside, over water, %.
    out_rh_pct: f64,
    /// Temperature inside, −45 to 60 °C.
    in_c: f64,
}

/// The same air inside.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeatedAir {
    /// Relative humidity over water, %.
    rh_pct: f64,
}

pub(super) fn heated_air(input: &HeatedAirInput) -> Result<HeatedAir, Rule> {
    let mut faults = Faults::default();
    let out = air("/out_c", input.out_c, &mut faults);
    let rh = faults.take("/out_rh_pct", RelativeHumidity::new(input.out_rh_pct));
    let inside = air("/in_c", input.in_c, &mut faults);
    let answer = out.zip(rh).zip(inside).and_then(|((out, rh), inside)| {
        let rh = faults.take("", humidity::heated(out, rh, inside))?;
        Some(HeatedAir { rh_pct: rh.get() })
    });
    faults.or(answer)
}
