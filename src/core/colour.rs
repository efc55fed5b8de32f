//! How much two colours differ to the eye.

use palette::Lab as Coordinates;
use palette::color_difference::Ciede2000 as _;
use palette::white_point::D65;

use crate::core::error::Fault;

/// A colour in CIE L*a*b*, as a colour meter reads it.
///
/// Lightness is from 0 to 100; a* and b* are from −200 to 200, farther out than any surface lies.
///
/// ```
/// use lustrum::core::colour::Lab;
/// // Sharma, Wu and Dalal 2005, table I, pair 1.
/// let (one, other) = (Lab::new(50.0, 2.6772, -79.7751)?, Lab::new(50.0, 0.0, -82.7485)?);
/// assert!((one.difference(&other) - 2.0425).abs() < 1e-4);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab(Coordinates<D65, f64>);

impl Lab {
    /// A colour from its coordinates; refused out of range, told by the place in `[L, a, b]`.
    pub fn new(l: f64, a: f64, b: f64) -> Result<Self, Fault> {
        for (i, (value, least, most)) in
            [(l, 0.0, 100.0), (a, -200.0, 200.0), (b, -200.0, 200.0)].into_iter().enumerate()
        {
            if !(least..=most).contains(&value) {
                let detail = format!("{value} is out of range; allowed are {least} to {most}");
                return Err(Fault::new(format!("/{i}"), "out_of_range", detail));
            }
        }
        Ok(Self(Coordinates::new(l, a, b)))
    }

    /// ΔE00 between two colours (ISO/CIE 11664-6, all weights 1).
    pub fn difference(&self, other: &Self) -> f64 {
        self.0.difference(other.0)
    }
}
