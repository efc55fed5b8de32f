//! Days and periods against tables that name their sources (tests/reference).

use chrono::Weekday;
use lustrum::core::calendar::{Day, Period, WorkingDays, day_begins, instant, local_day};
use serde_json::Value;

use super::table::rows;

fn period(n: u32, unit: &str) -> Period {
    let mut period = Period::default();
    match unit {
        "years" => period.years = n,
        "months" => period.months = n,
        "weeks" => period.weeks = n,
        "days" => period.days = n,
        _ => panic!("no unit: {unit}"),
    }
    period
}

fn day(text: &str) -> Day {
    text.parse().unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn periods_are_added_and_taken_off() {
    let table = rows(include_str!("../reference/period_add.csv"));
    assert!(table.len() >= 60);
    for row in table {
        let n: i32 = row["n"].parse().unwrap();
        let period = period(n.unsigned_abs(), &row["unit"]);
        let start = day(&row["start"]);
        let result = if n < 0 { period.before(start) } else { period.after(start) };
        assert_eq!(result, day(&row["result"]), "{}: {}", row["id"], row["source"]);
    }
}

#[test]
fn chains_hang_on_their_first_day() {
    let table = rows(include_str!("../reference/anchor_chains.csv"));
    let mut differ = 0;
    for row in table {
        let (start, step) = row["chain"].split_once('+').unwrap();
        let digits = step.bytes().take_while(u8::is_ascii_digit).count();
        let step = period(step[..digits].parse().unwrap(), &step[digits..]);
        let k: i32 = row["k"].parse().unwrap();
        assert_eq!(
            step.times_after(k, day(start)),
            day(&row["anchored"]),
            "{}: {}",
            row["id"],
            row["source"]
        );
        let iterated = (0..k).fold(day(start), |day, _| step.after(day));
        assert_eq!(iterated, day(&row["iterated"]), "{}: {}", row["id"], row["source"]);
        differ += u32::from(row["anchored"] != row["iterated"]);
    }
    assert!(differ > 0, "a table in which both ways agree would show nothing");
}

#[test]
fn last_days_by_regulation_1182_71() {
    let week = [Weekday::Mon, Weekday::Tue, Weekday::Wed, Weekday::Thu, Weekday::Fri];
    for row in rows(include_str!("../reference/reg1182.csv")) {
        // Terms know neither periods of working days, Article 3(3), nor the two working days of Article 3(5).
        if row["unit"] == "working days" || row["rule"].starts_with("Art. 3(5)") {
            continue;
        }
        let holidays = row["holidays_in_window"].split(';').filter(|text| !text.is_empty()).map(day);
        // Each row counts one holiday of its own country.
        let working_days = WorkingDays::new(&week, holidays.collect());
        let nominal = period(row["n"].parse().unwrap(), &row["unit"]).after(day(&row["event_date"]));
        assert_eq!(nominal, day(&row["nominal_last_day"]), "{}: {}", row["id"], row["source"]);
        assert_eq!(working_days.roll(nominal), day(&row["last_day"]), "{}: {}", row["id"], row["source"]);
    }
}

/// Of RFC 7529 the rows with SKIP=BACKWARD clamp as terms do; those of RFC 5545 leave out days that do not exist, so
/// that a rota has to differ from them wherever one is left out.
#[test]
fn recurrences_clamp_backward() {
    let table: Value = serde_json::from_str(include_str!("../reference/rrule.json")).unwrap();
    let mut checked = 0;
    for case in table["cases"].as_array().unwrap() {
        let rule = case["rrule"].as_str().unwrap();
        let part = |name: &str| rule.split(';').find_map(|part| part.strip_prefix(name)?.strip_prefix('='));
        if part("BYDAY").is_some() || part("BYMONTHDAY").is_some() {
            continue;
        }
        let unit = if part("FREQ") == Some("YEARLY") { "years" } else { "months" };
        let step = period(part("INTERVAL").map_or(1, |n| n.parse().unwrap()), unit);
        let begin = case["dtstart"].as_str().unwrap().strip_prefix("DTSTART:").unwrap();
        let begin = day(&format!("{}-{}-{}", &begin[..4], &begin[4..6], &begin[6..]));
        let expected: Vec<Day> =
            case["expected"].as_array().unwrap().iter().map(|text| day(text.as_str().unwrap())).collect();
        let ours: Vec<Day> = (0..400).map(|n| step.times_after(n, begin)).collect();
        if case["skip"] == "BACKWARD" {
            assert_eq!(ours[..expected.len()], expected[..], "{}: {}", case["id"], case["source"]);
            checked += 1;
        } else if case["skip"] != "FORWARD" {
            assert!(expected.iter().all(|one| ours.contains(one)), "{}: {}", case["id"], case["source"]);
            checked += 1;
        }
    }
    assert!(checked >= 9);
}

/// IANA time zone database: Africa/Cairo and America/Santiago changed their clocks at midnight, Pacific/Apia left out
/// 30 December 2011.
#[test]
fn local_days_begin_where_midnight_does_not_exist() {
    for (zone, on, begins) in [
        (chrono_tz::Europe::Lisbon, "2026-03-29", "2026-03-29T00:00:00Z"),
        (chrono_tz::Africa::Cairo, "2023-04-28", "2023-04-27T22:00:00Z"),
        (chrono_tz::America::Santiago, "2022-09-11", "2022-09-11T04:00:00Z"),
        (chrono_tz::Pacific::Apia, "2011-12-31", "2011-12-30T10:00:00Z"),
    ] {
        assert_eq!(day_begins(day(on), zone), instant(begins).unwrap(), "{zone} {on}");
        assert_eq!(local_day(instant(begins).unwrap(), zone), day(on), "{zone} {on}");
    }
}

#[test]
fn instants_need_an_offset() {
    for good in ["2026-04-20T15:02:11Z", "2026-04-20T15:02:11.000001+02:00", "1900-01-01T00:00:00-12:00"] {
        assert!(instant(good).is_ok(), "{good}");
    }
    for bad in ["2026-04-20T15:02:11", "2026-04-20", "2016-12-31T23:59:60Z", "2026-13-20T15:02:11Z", ""] {
        assert!(instant(bad).is_err(), "{bad}");
    }
    assert!("2026-2-01".parse::<Day>().is_err() && "2025-02-29".parse::<Day>().is_err());
    assert!("2026-04-31".parse::<Day>().is_err() && "2026-00-01".parse::<Day>().is_err());
    assert!(" 026-01-01".parse::<Day>().is_err() && "2026-01-00".parse::<Day>().is_err());
}
