//! Odometer readings: kept as read, compared in whole kilometres, asked back when they cannot be.

use chrono::NaiveDate;
use serde::Serialize;

use crate::core::error::Fault;
use crate::core::words::OdometerUnit;

/// Farther than any vehicle has been driven, in km; what lies above is a slip of the finger.
pub const MAX_KM: u32 = 10_000_000;

/// More than a vehicle is driven on a day, in km: such a reading is asked back.
pub const MAX_KM_A_DAY: u32 = 2_000;

// 1 mi = 1.609344 km exactly (international mile of 1959), as a fraction, so that rounding is exact.
const METRES_IN_1000_MI: u64 = 1_609_344;
const METRES_IN_1000_KM: u64 = 1_000_000;

/// What an odometer shows: a whole number in its own unit, at most [`MAX_KM`].
///
/// ```
/// use lustrum::core::{odometer::Odometer, words::OdometerUnit};
/// let shown = Odometer::new(1000, OdometerUnit::Mi).unwrap();
/// assert_eq!(shown.km(), 1609); // 1609.344, rounded down in the owner's favour
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Odometer {
    value: u32,
    unit: OdometerUnit,
}

impl Odometer {
    /// A reading; refused above [`MAX_KM`].
    pub fn new(value: u32, unit: OdometerUnit) -> Result<Self, Fault> {
        if millionths(value, unit) > u64::from(MAX_KM) * 1_000_000 {
            let detail = format!("an odometer of {value} {unit}; allowed are 0 to {MAX_KM} km");
            return Err(Fault::new("/value", "odometer_too_large", detail));
        }
        Ok(Self { value, unit })
    }

    /// The number as it was read.
    pub const fn value(self) -> u32 {
        self.value
    }

    /// The unit in which it was read.
    pub const fn unit(self) -> OdometerUnit {
        self.unit
    }

    /// The reading in whole km, rounded down.
    pub fn km(self) -> u32 {
        whole(millionths(self.value, self.unit) / 1_000_000)
    }
}

/// A limit on distance in whole km, rounded up: what is allowed is not made smaller by another unit.
///
/// ```
/// use lustrum::core::{odometer::limit_km, words::OdometerUnit};
/// assert_eq!(limit_km(75_000, OdometerUnit::Mi), 120_701); // 120,700.8
/// ```
pub fn limit_km(value: u32, unit: OdometerUnit) -> u32 {
    whole(millionths(value, unit).div_ceil(1_000_000))
}

/// Millionths of a kilometre, exactly: nothing is lost before it is rounded to one side or the other.
fn millionths(value: u32, unit: OdometerUnit) -> u64 {
    let metres_in_1000 = match unit {
        OdometerUnit::Km => METRES_IN_1000_KM,
        OdometerUnit::Mi => METRES_IN_1000_MI,
    };
    u64::from(value) * metres_in_1000
}

fn whole(km: u64) -> u32 {
    u32::try_from(km).unwrap_or(u32::MAX)
}

/// A reading as somebody enters it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entered {
    /// What the odometer shows.
    pub odometer: Odometer,
    /// Looked at again: take it although it is implausible.
    pub confirmed: bool,
    /// It is another odometer than the last time, which began at nought. One that was set to go on where the
    /// old one stopped needs no such mark.
    pub replaced: bool,
}

/// A reading of the same vehicle that was taken before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Known {
    /// The day of the reading.
    pub on: NaiveDate,
    /// What the odometer showed.
    pub odometer: Odometer,
    /// Distance driven in km, summed over replaced odometers.
    pub km: u32,
}

impl Known {
    /// What the odometers before this one had counted.
    fn km_of_earlier_odometers(&self) -> u32 {
        self.km.saturating_sub(self.odometer.km())
    }
}

/// Why a reading is asked back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Implausible {
    /// The reading that it does not go with; on a reading entered late this can be a later one.
    pub previous: Known,
    /// What is wrong, for people.
    pub detail: String,
}

impl From<Implausible> for Fault {
    fn from(refused: Implausible) -> Self {
        Self::new("", "odometer_implausible", refused.detail)
    }
}

/// Takes a reading of `on`: the distance driven in km, summed over replaced odometers.
///
/// `before` is the last reading of `on` or an earlier day, `after` the first of a later day. A reading lower
/// than before, or one that would mean more than [`MAX_KM_A_DAY`] (a day counts as one even between two
/// readings of the same day), is refused unless it is confirmed or of a replaced odometer.
pub fn take(
    on: NaiveDate,
    entered: Entered,
    before: Option<&Known>,
    after: Option<&Known>,
) -> Result<u32, Implausible> {
    let counted_before = match before {
        Some(known) if entered.replaced => known.km,
        Some(known) => known.km_of_earlier_odometers(),
        None => 0,
    };
    let km = counted_before.saturating_add(entered.odometer.km());
    if !entered.confirmed && !entered.replaced {
        if let Some(known) = before {
            plausible(known.on, known.km, on, km).map_err(|why| asked_back(&entered, known, &why))?;
        }
        if let Some(known) = after {
            plausible(on, km, known.on, known.km).map_err(|why| asked_back(&entered, known, &why))?;
        }
    }
    Ok(km)
}

fn plausible(on: NaiveDate, km: u32, later_on: NaiveDate, later_km: u32) -> Result<(), String> {
    let Some(driven) = later_km.checked_sub(km) else {
        return Err("an odometer does not run backwards".to_owned());
    };
    let days = (later_on - on).num_days().max(1);
    if i64::from(driven) > days * i64::from(MAX_KM_A_DAY) {
        return Err(format!("{driven} km in {days} days is more than {MAX_KM_A_DAY} km a day"));
    }
    Ok(())
}

fn asked_back(entered: &Entered, known: &Known, why: &str) -> Implausible {
    let shown = |odometer: Odometer| format!("{} {}", odometer.value, odometer.unit);
    Implausible {
        previous: *known,
        detail: format!(
            "{}, where {} read {}: {why}; look again, and say `confirmed`, or `replaced` for another odometer",
            shown(entered.odometer),
            known.on,
            shown(known.odometer)
        ),
    }
}
