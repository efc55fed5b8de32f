//! Days as numbers against year, month and day: most of what the engine does, so it is done here by plain arithmetic in
//! a fraction of the time of a general library.

use super::Day;

/// Year, month and day of a day of the proleptic Gregorian calendar, counted in eras of 400 years that begin on
/// 1 March, so that the leap day comes last (Hinnant, "chrono-Compatible Low-Level Date Algorithms", civil_from_days).
pub(super) fn civil(day: Day) -> (i64, u32, u32) {
    let days = i64::from(day.0) + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * from_march + 2) / 5 + 1;
    let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    (year, u32::try_from(month).unwrap_or(1), u32::try_from(day).unwrap_or(1))
}

/// The day of a year, month and day that exist (the same source, days_from_civil).
pub(super) fn from_civil(year: i64, month: u32, day: u32) -> Day {
    let (month, day) = (i64::from(month), i64::from(day));
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let year_of_era = year.rem_euclid(400);
    let of_year = (153 * (if month > 2 { month - 3 } else { month + 9 }) + 2) / 5 + day - 1;
    let of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + of_year;
    let days = era * 146_097 + of_era - 719_468;
    Day(i32::try_from(days).unwrap_or(if days < 0 { i32::MIN } else { i32::MAX }))
}

/// 28 to 31.
pub(super) fn last_of_month(year: i64, month: u32) -> u32 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use chrono::{Datelike as _, NaiveDate};

    use super::{Day, civil, from_civil, last_of_month};

    /// The check values come from `chrono`, every day of the years 1 to 4000.
    #[test]
    fn days_agree_with_chrono() {
        let mut date = NaiveDate::from_ymd_opt(1, 1, 1).unwrap_or_default();
        while date.year() <= 4000 {
            let day = Day::from(date);
            assert_eq!(civil(day), (i64::from(date.year()), date.month(), date.day()));
            assert_eq!(from_civil(i64::from(date.year()), date.month(), date.day()), day);
            assert_eq!(
                last_of_month(i64::from(date.year()), date.month()),
                u32::from(date.num_days_in_month())
            );
            assert_eq!(day.to_string(), date.to_string());
            assert_eq!(date.to_string().parse::<Day>().ok(), Some(day));
            let Some(next) = date.succ_opt() else { break };
            date = next;
        }
    }

    #[test]
    fn days_beyond_four_digits_are_written_too() {
        for days in [i32::MIN, -800_000, 3_000_000, i32::MAX] {
            assert_eq!(Day::new(days).to_string(), Day::new(days).date().to_string());
        }
    }
}
