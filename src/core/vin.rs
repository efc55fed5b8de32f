//! Vehicle identification numbers: their form, and the check digit as advice.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::core::error::Fault;

/// A vehicle identification number: 17 of the capitals and digits without I, O and Q (ISO 3779).
///
/// Blanks and hyphens are left out and small letters taken for capitals. A wrong check digit refuses nothing: it is
/// required for vehicles of the North American market only.
///
/// ```
/// use lustrum::core::vin::Vin;
/// let vin: Vin = "1m8-gdm9a xkp042788".parse().unwrap(); // worked example of 49 CFR 565.15
/// assert_eq!(vin.as_str(), "1M8GDM9AXKP042788");
/// assert!(vin.check_digit_fits());
/// assert!("1M8GDM9AXKP04278".parse::<Vin>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Vin(String);

/// Weights of the places (49 CFR 565.15, table IV); the ninth is the check digit itself.
const WEIGHTS: [u32; 17] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

impl Vin {
    /// The 17 characters.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The check digit that these characters ask for (49 CFR 565.15(c)).
    pub fn check_digit(&self) -> char {
        let sum: u32 = self.0.bytes().zip(WEIGHTS).map(|(c, weight)| value(c) * weight).sum();
        char::from_digit(sum % 11, 10).unwrap_or('X')
    }

    /// Whether the ninth character is the check digit that is asked for.
    pub fn check_digit_fits(&self) -> bool {
        self.0.chars().nth(8) == Some(self.check_digit())
    }
}

/// The value assigned to a character (49 CFR 565.15, table III).
fn value(c: u8) -> u32 {
    match c {
        b'0'..=b'9' => u32::from(c - b'0'),
        b'A'..=b'H' => u32::from(c - b'A') + 1,
        b'J'..=b'R' => u32::from(c - b'J') + 1,
        b'S'..=b'Z' => u32::from(c - b'S') + 2,
        _ => 0,
    }
}

impl fmt::Display for Vin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.0)
    }
}

impl FromStr for Vin {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let plain: String = crate::core::plate::plate_key(text);
        let allowed =
            |b: u8| b.is_ascii_digit() || (b.is_ascii_uppercase() && !matches!(b, b'I' | b'O' | b'Q'));
        if plain.len() == 17 && plain.bytes().all(allowed) {
            return Ok(Self(plain));
        }
        let detail = format!("{text:?} is no VIN: allowed are 17 of A-Z and 0-9 without I, O and Q");
        Err(Fault::new("", "not_a_vin", detail))
    }
}

impl Serialize for Vin {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.0)
    }
}
