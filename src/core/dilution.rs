//! Dilution: `1:n`, so much to so much, per cent by volume, and what goes into a bottle.
//!
//! `1:n` is one part of product to n parts of water, n + 1 in all (common practice); volumes are taken as additive.

use std::str::FromStr;

use crate::core::error::Fault;
use crate::core::units::Millilitres;

/// The most parts of water to one of product.
pub const MOST_PARTS: f64 = 1.0e6;

/// How a product is diluted with water, whichever way it was said.
///
/// ```
/// use lustrum::core::{dilution::Dilution, units::Millilitres};
/// let said: Dilution = "1:5".parse()?;
/// let poured = Dilution::of_volumes(Millilitres::new(50.0)?, Millilitres::new(250.0)?)?;
/// assert_eq!(said, poured);
/// let (product, water) = said.fill(Millilitres::new(750.0)?);
/// assert_eq!((product.get(), water.get()), (125.0, 625.0));
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dilution {
    /// Parts of water to one part of product; 0 is undiluted.
    parts: f64,
}

impl Dilution {
    /// So many parts of water to one of product: 0 to [`MOST_PARTS`].
    pub fn of_parts(parts: f64) -> Result<Self, Fault> {
        if (0.0..=MOST_PARTS).contains(&parts) {
            return Ok(Self { parts });
        }
        let detail = format!("{parts} parts of water to one of product; allowed are 0 to {MOST_PARTS}");
        Err(Fault::new("", "out_of_range", detail))
    }

    /// So much product to so much water.
    pub fn of_volumes(product: Millilitres, water: Millilitres) -> Result<Self, Fault> {
        if product.get() > 0.0 {
            return Self::of_parts(water.get() / product.get());
        }
        Err(Fault::new("", "out_of_range", format!("{product} of product; allowed is more than 0")))
    }

    /// So many per cent of product by volume in what is mixed: above 0, up to 100.
    ///
    /// ```
    /// use lustrum::core::dilution::Dilution;
    /// assert_eq!(Dilution::of_percent(20.0)?.parts(), 4.0);
    /// assert!(Dilution::of_percent(0.0).is_err() && Dilution::of_percent(120.0).is_err());
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn of_percent(percent: f64) -> Result<Self, Fault> {
        if percent > 0.0 && percent <= 100.0 {
            return Self::of_parts((100.0 - percent) / percent);
        }
        Err(Fault::new(
            "",
            "out_of_range",
            format!("{percent} is out of range; allowed is above 0 up to 100 %"),
        ))
    }

    /// So much product in a bottle that is filled up with water to `total`.
    ///
    /// ```
    /// use lustrum::core::{dilution::Dilution, units::Millilitres};
    /// assert_eq!(Dilution::in_bottle(Millilitres::new(50.0)?, Millilitres::new(300.0)?)?.parts(), 5.0);
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn in_bottle(product: Millilitres, total: Millilitres) -> Result<Self, Fault> {
        if total < product {
            let detail =
                format!("{product} do not go into {total}; allowed is no more than the bottle holds");
            return Err(Fault::new("", "out_of_range", detail));
        }
        Self::of_volumes(product, Millilitres(total.get() - product.get()))
    }

    /// Reads any notation of the trade: `1:5`, `50 ml to 250 ml`, `20 %`, `50 ml in 300 ml` (so much product in a bottle
    /// of that size). Volumes are in ml, or in l where that is said; a decimal comma is taken for a point.
    ///
    /// ```
    /// use lustrum::core::dilution::Dilution;
    /// for said in ["1:4", "50:200", "50 ml to 200 ml", "50 to 200", "20 %", "20%", "50 ml in 250 ml", "0,05 l in a 0.25 l bottle"] {
    ///     assert_eq!(Dilution::read(said)?.parts(), 4.0, "{said}");
    /// }
    /// assert_eq!(Dilution::read("a splash").unwrap_err().code, "not_a_dilution");
    /// assert_eq!(Dilution::read("300 ml in 250 ml").unwrap_err().code, "out_of_range");
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, Fault> {
        let wrong = || {
            let detail = format!(
                "{text:?} is no dilution; allowed are such as 1:5, 50 ml to 250 ml, 20 %, 50 ml in 300 ml"
            );
            Fault::new("", "not_a_dilution", detail)
        };
        let said = text.to_lowercase();
        if said.contains(':') {
            return said.parse().map_err(|_| wrong());
        }
        if let Some(percent) = said.trim().strip_suffix('%') {
            return Self::of_percent(number(percent).ok_or_else(wrong)?);
        }
        let volumes = |between: &str| {
            let (one, other) = said.split_once(between)?;
            Some((volume(one)?, volume(other)?))
        };
        if let Some((product, water)) = volumes(" to ") {
            return Self::of_volumes(Millilitres::new(product)?, Millilitres::new(water)?);
        }
        let (product, total) = volumes(" in ").ok_or_else(wrong)?;
        Self::in_bottle(Millilitres::new(product)?, Millilitres::new(total)?)
    }

    /// Parts of water to one part of product.
    pub const fn parts(self) -> f64 {
        self.parts
    }

    /// Per cent of product by volume.
    pub fn percent(self) -> f64 {
        100.0 / (self.parts + 1.0)
    }

    /// Product and water that make so much together.
    pub fn fill(self, total: Millilitres) -> (Millilitres, Millilitres) {
        let product = total.get() / (self.parts + 1.0);
        (Millilitres(product), Millilitres(product * self.parts))
    }
}

/// A number of digits, with a point or a comma.
fn number(text: &str) -> Option<f64> {
    let plain = text.trim().replace(',', ".");
    let digits = plain.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    digits.then(|| plain.parse::<f64>().ok()).flatten().filter(|n| n.is_finite())
}

/// A volume in ml, from a text such as `50`, `50 ml` or `a 0.5 l bottle`.
fn volume(text: &str) -> Option<f64> {
    let text = text.trim();
    let text = text.strip_prefix("a ").unwrap_or(text);
    let text = text.strip_suffix("bottle").unwrap_or(text).trim();
    match (text.strip_suffix("ml"), text.strip_suffix('l')) {
        (Some(ml), _) => number(ml),
        (None, Some(litres)) => number(litres).map(|litres| litres * 1000.0),
        (None, None) => number(text),
    }
}

impl FromStr for Dilution {
    type Err = Fault;

    /// Reads `1:n`, or `m:n` of any two numbers; a decimal comma is taken for a point.
    fn from_str(text: &str) -> Result<Self, Fault> {
        let wrong = || {
            let detail =
                format!("{text:?} is no dilution such as 1:5: parts of product, then parts of water");
            Fault::new("", "not_a_dilution", detail)
        };
        let (product, water) = text.split_once(':').ok_or_else(wrong)?;
        let (product, water) = (number(product).ok_or_else(wrong)?, number(water).ok_or_else(wrong)?);
        if product > 0.0 { Self::of_parts(water / product) } else { Err(wrong()) }
    }
}
