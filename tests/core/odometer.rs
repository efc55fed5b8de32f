//! Odometers: what is counted, and what is asked back.

use chrono::NaiveDate;
use lustrum::core::odometer::{Entered, Known, MAX_KM, MAX_KM_A_DAY, Odometer, limit_km, take};
use lustrum::core::words::OdometerUnit::{self, Km, Mi};
use proptest::prelude::*;

fn on(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 3, day).unwrap()
}

fn entered(value: u32, unit: OdometerUnit) -> Entered {
    Entered { odometer: Odometer::new(value, unit).unwrap(), confirmed: false, replaced: false }
}

fn known(day: u32, value: u32, km: u32) -> Known {
    Known { on: on(day), odometer: Odometer::new(value, Km).unwrap(), km }
}

/// 1 mi = 1.609344 km exactly (international yard and pound agreement of 1959).
#[test]
fn readings_in_miles_are_rounded_down_and_limits_up() {
    for (miles, down, up) in
        [(0, 0, 0), (1, 1, 2), (1_000, 1_609, 1_610), (15_625, 25_146, 25_146), (31_000, 49_889, 49_890)]
    {
        assert_eq!(Odometer::new(miles, Mi).unwrap().km(), down, "{miles} mi");
        assert_eq!(limit_km(miles, Mi), up, "{miles} mi");
    }
    assert_eq!(Odometer::new(MAX_KM, Km).unwrap().km(), MAX_KM);
    assert!(Odometer::new(MAX_KM + 1, Km).is_err());
    assert!(Odometer::new(MAX_KM, Mi).is_err());
}

#[test]
fn a_limit_a_hair_over_whole_kilometres_is_rounded_up() {
    // 4,571,554 mi are 7,357,203.000576 km (1 mi = 1.609344 km).
    assert_eq!(u64::from(limit_km(4_571_554, Mi)), (4_571_554_u64 * 1_609_344).div_ceil(1_000_000));
}

proptest! {
    #[test]
    fn whole_kilometres_lie_on_the_owners_side(miles in 0_u32..6_000_000) {
        let exact = u128::from(miles) * 1_609_344;
        let (down, up) = (Odometer::new(miles, Mi).unwrap().km(), limit_km(miles, Mi));
        prop_assert!(u128::from(down) * 1_000_000 <= exact && exact < u128::from(down + 1) * 1_000_000);
        prop_assert!(exact <= u128::from(up) * 1_000_000);
        prop_assert!(up - down <= 1);
    }
}

#[test]
fn a_reading_lower_than_before_is_asked_back_unless_it_says_why() {
    let before = known(1, 50_000, 50_000);
    assert_eq!(take(on(2), entered(50_000, Km), Some(&before), None), Ok(50_000), "the same is not lower");
    let refused = take(on(2), entered(49_999, Km), Some(&before), None).unwrap_err();
    assert_eq!(refused.previous, before);
    let confirmed = Entered { confirmed: true, ..entered(49_999, Km) };
    assert_eq!(take(on(2), confirmed, Some(&before), None), Ok(49_999));
    let replaced = Entered { replaced: true, ..entered(12, Km) };
    assert_eq!(take(on(2), replaced, Some(&before), None), Ok(50_012), "it adds to what the old one counted");
}

#[test]
fn later_readings_of_a_replaced_odometer_go_on_adding() {
    let before = known(2, 12, 50_012);
    assert_eq!(take(on(9), entered(800, Km), Some(&before), None), Ok(50_800));
    assert!(take(on(9), entered(11, Km), Some(&before), None).is_err());
    let again = Entered { replaced: true, ..entered(5, Km) };
    assert_eq!(take(on(9), again, Some(&before), None), Ok(50_017));
}

#[test]
fn more_than_two_thousand_km_a_day_is_asked_back() {
    let before = known(1, 1_000, 1_000);
    let most = 1_000 + 3 * MAX_KM_A_DAY;
    assert_eq!(take(on(4), entered(most, Km), Some(&before), None), Ok(most));
    assert!(take(on(4), entered(most + 1, Km), Some(&before), None).is_err());
    assert_eq!(take(on(1), entered(3_000, Km), Some(&before), None), Ok(3_000), "on the same day: one day");
    assert!(take(on(1), entered(3_001, Km), Some(&before), None).is_err());
}

#[test]
fn a_reading_entered_late_is_held_against_the_later_one_too() {
    let (before, after) = (known(1, 1_000, 1_000), known(20, 2_000, 2_000));
    assert_eq!(take(on(10), entered(2_000, Km), Some(&before), Some(&after)), Ok(2_000));
    let refused = take(on(10), entered(2_001, Km), Some(&before), Some(&after)).unwrap_err();
    assert_eq!(refused.previous, after);
}
