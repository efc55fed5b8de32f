//! Measured quantities: the unit is in the type, and what nobody could have measured never gets in.
//!
//! What `core` works out from values that were taken is made without looking again.

use std::fmt;

use crate::core::error::Fault;

/// Declares quantities over `f64`, one type for each unit.
macro_rules! quantities {
    ($($(#[$meta:meta])* $name:ident, $unit:literal, $from:expr, $to:expr;)+) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub(super) f64);

        impl $name {
            /// The least that is taken.
            pub const LEAST: f64 = $from;
            /// The most that is taken.
            pub const MOST: f64 = $to;

            /// A value from [`Self::LEAST`] to [`Self::MOST`]; any other is refused, and so is what is no number.
            pub fn new(value: f64) -> Result<Self, Fault> {
                if (Self::LEAST..=Self::MOST).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(out_of_range(value, $unit, Self::LEAST, Self::MOST))
                }
            }

            /// The bare number, in the unit of the type.
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(&self.0, out)?;
                out.write_str(concat!(" ", $unit))
            }
        }
    )+ };
}

quantities! {
    /// A temperature in °C, of air or of a surface: colder and hotter than any shop or lamp is refused.
    ///
    /// ```
    /// use lustrum::core::units::Celsius;
    /// assert_eq!(Celsius::new(20.5).unwrap().to_string(), "20.5 °C");
    /// assert!(Celsius::new(f64::NAN).is_err() && Celsius::new(293.15).is_err());
    /// ```
    Celsius, "°C", -60.0, 200.0;
    /// An absolute temperature in K.
    Kelvins, "K", 0.0, 1.0e4;
    /// How much warmer one thing is than another, in K.
    Warmer, "K", -300.0, 300.0;
    /// Relative humidity over water, in %.
    ///
    /// ```
    /// use lustrum::core::units::RelativeHumidity;
    /// assert_eq!(RelativeHumidity::new(101.0).unwrap_err().detail, "101 is out of range; allowed are 0 to 100 %");
    /// ```
    RelativeHumidity, "%", 0.0, 100.0;
    /// A pressure in hPa.
    Hectopascals, "hPa", 0.0, 1.0e4;
    /// Water in air, in g/m³.
    GramsPerCubicMetre, "g/m³", 0.0, 1.0e4;
    /// Equivalent hours: hours in the reference climate that give the same cure.
    EquivalentHours, "h", 0.0, f64::MAX;
    /// A thickness in µm.
    Micrometres, "µm", 0.0, 1.0e9;
    /// A length in mm.
    Millimetres, "mm", 0.0, 1.0e6;
    /// An angle in degrees.
    Degrees, "°", 0.0, 180.0;
    /// A volume in ml.
    Millilitres, "ml", 0.0, 1.0e9;
}

fn out_of_range(value: f64, unit: &str, least: f64, most: f64) -> Fault {
    Fault::new("", "out_of_range", format!("{value} is out of range; allowed are {least} to {most} {unit}"))
}

impl Celsius {
    /// The same temperature in K (0 °C = 273.15 K, International Temperature Scale of 1990).
    ///
    /// ```
    /// use lustrum::core::units::Celsius;
    /// assert_eq!(Celsius::new(20.0).unwrap().kelvins().get(), 293.15);
    /// ```
    pub fn kelvins(self) -> Kelvins {
        Kelvins(self.0 + ZERO_CELSIUS_K)
    }

    /// How much warmer this is than `other`.
    pub fn above(self, other: Self) -> Warmer {
        Warmer(self.0 - other.0)
    }
}

impl Kelvins {
    /// The same temperature in °C; refused where it is out of the range of [`Celsius`].
    ///
    /// ```
    /// use lustrum::core::units::Kelvins;
    /// assert_eq!(Kelvins::new(293.15).unwrap().celsius().unwrap().get(), 20.0);
    /// ```
    pub fn celsius(self) -> Result<Celsius, Fault> {
        Celsius::new(self.0 - ZERO_CELSIUS_K)
    }
}

/// 0 °C in K.
const ZERO_CELSIUS_K: f64 = 273.15;
