//! How water stands on a coating: the contact angle of small drops.

use super::sample::{Interval, SURE, Summary};
use crate::core::error::Fault;
use crate::core::units::{Degrees, Millimetres};

/// The contact angle of a drop from its height and the width of its base, `2 atan(2h/w)`: the half-angle method, for
/// small drops that are caps of a sphere. A coarse field method; above 90° the width is that of the contact, not the
/// widest (Mack and Lee, J. Phys. Chem. 40 (1936) 169–176). Refused without a height or a width.
///
/// ```
/// use lustrum::core::{units::Millimetres, wetting::contact_angle};
/// let half_a_ball = contact_angle(Millimetres::new(1.0)?, Millimetres::new(2.0)?)?;
/// assert_eq!(half_a_ball.get(), 90.0);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn contact_angle(height: Millimetres, width: Millimetres) -> Result<Degrees, Fault> {
    for (pointer, length) in [("/height_mm", height), ("/width_mm", width)] {
        if length.get() <= 0.0 {
            let detail = format!("{length} is out of range; allowed is more than 0 mm");
            return Err(Fault::new(pointer, "out_of_range", detail));
        }
    }
    Ok(Degrees((2.0 * (2.0 * height.get() / width.get()).atan()).to_degrees()))
}

/// Mean of several drops and its 95 % interval by Student's t, in degrees; the interval needs two drops, a figure
/// that people rely on three (common practice). None of no drop.
///
/// ```
/// use lustrum::core::{units::Degrees, wetting::of_drops};
/// let drops = [Degrees::new(101.0)?, Degrees::new(104.0)?, Degrees::new(107.0)?];
/// let (low, high) = of_drops(&drops).unwrap().ends.unwrap();
/// assert!(low > 96.0 && high < 112.0);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn of_drops(angles: &[Degrees]) -> Option<Interval> {
    let angles: Vec<f64> = angles.iter().map(|angle| angle.get()).collect();
    Summary::of(&angles).map(|drops| drops.interval(SURE))
}
