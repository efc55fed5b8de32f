//! Files of climate loggers: one of each kind (tests/data/loggers, made up) says the same, and each fault of each row is
//! told.

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::core::climate::ClimateReading;
use lustrum::core::climate::logger::{Given, LoggerFile, MOST_ROWS};
use lustrum::core::imports::{DayOrder, Encoding};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

fn given() -> Given<'static> {
    let now = "2026-03-29T12:00:00Z".parse().unwrap();
    Given { zone: chrono_tz::Europe::Berlin, days: None, place: None, now }
}

fn read(bytes: &[u8]) -> Vec<ClimateReading> {
    let file = LoggerFile::open(bytes, &given()).unwrap();
    file.readings(&given()).unwrap_or_else(|faults| panic!("{:#?}", faults.listed))
}

/// The three readings that each file holds first or last.
fn three() -> Vec<(DateTime<Utc>, f64, f64, Option<f64>)> {
    let at =
        |minute: i64| "2026-03-09T08:30:00Z".parse::<DateTime<Utc>>().unwrap() + TimeDelta::minutes(minute);
    vec![(at(0), 20.5, 48.0, Some(18.5)), (at(10), 20.25, 48.5, None), (at(20), 19.75, 50.0, Some(18.0))]
}

fn said(readings: &[ClimateReading]) -> Vec<(DateTime<Utc>, f64, f64, Option<f64>)> {
    // What comes from °F is a hair off.
    let whole = |c: f64| (c * 1e9).round() / 1e9;
    readings.iter().map(|one| (one.at.0, whole(one.air_c), one.rh_pct, one.surface_c.map(whole))).collect()
}

#[test]
fn files_of_every_kind_say_the_same() {
    let files: [(&str, &[u8], char, Encoding, bool); 7] = [
        (
            "comma, English, UTC in the header",
            include_bytes!("../data/loggers/comma_en_utc.csv"),
            ',',
            Encoding::Utf8,
            false,
        ),
        (
            "semicolon, German, date and time apart",
            include_bytes!("../data/loggers/semicolon_de_local.csv"),
            ';',
            Encoding::Utf8,
            true,
        ),
        (
            "Windows-1252",
            include_bytes!("../data/loggers/windows_1252_de.csv"),
            ';',
            Encoding::Windows1252,
            true,
        ),
        (
            "tab, French, a mark before it, offsets",
            include_bytes!("../data/loggers/tab_fr_bom.csv"),
            '\t',
            Encoding::Utf8,
            true,
        ),
        (
            "UTF-16, Portuguese",
            include_bytes!("../data/loggers/semicolon_pt_utf16.csv"),
            ';',
            Encoding::Utf16Le,
            true,
        ),
        (
            "a line that says the delimiter",
            include_bytes!("../data/loggers/sep_line_pipe.csv"),
            '|',
            Encoding::Utf8,
            false,
        ),
        (
            "comma, Spanish, decimal comma in quotes",
            include_bytes!("../data/loggers/comma_es_quoted.csv"),
            ',',
            Encoding::Utf8,
            true,
        ),
    ];
    for (what, bytes, delimiter, encoding, comma) in files {
        let file = LoggerFile::open(bytes, &given()).unwrap_or_else(|faults| panic!("{what}: {faults:?}"));
        assert_eq!(
            (file.delimiter, file.encoding, file.decimal_comma),
            (delimiter, encoding, comma),
            "{what}"
        );
        let mut readings = said(&read(bytes));
        // One row more, whose day can only have the day first, decides the others.
        readings.retain(|(at, ..)| at.to_rfc3339().as_str() > "2026-03");
        assert_eq!(readings, three(), "{what}");
    }
}

/// °F, AM and PM, years of two digits, the offset in the header, lines before it; the month comes first.
#[test]
fn another_continent_writes_otherwise() {
    let bytes = include_bytes!("../data/loggers/fahrenheit_am_pm.csv");
    let file = LoggerFile::open(bytes, &given()).unwrap();
    assert_eq!(file.days, DayOrder::MonthFirst);
    assert_eq!(file.offset.map(|offset| offset.to_string()).as_deref(), Some("-05:00"));
    let readings = said(&read(bytes));
    assert_eq!(readings[..3], three());
    assert_eq!(readings[3].0.to_rfc3339(), "2026-03-13T18:00:00+00:00");
}

#[test]
fn places_are_kept_or_given() {
    let bay = read(include_bytes!("../data/loggers/sep_line_pipe.csv"));
    assert!(bay.iter().all(|reading| reading.place.as_deref() == Some("bay")));
    let file: &[u8] = include_bytes!("../data/loggers/comma_en_utc.csv");
    let given = Given { place: Some("outside"), ..given() };
    let outside = LoggerFile::open(file, &given).unwrap().readings(&given).unwrap();
    assert!(outside.iter().all(ClimateReading::is_outside));
}

#[test]
fn every_fault_of_every_row_is_told() {
    let bytes = include_bytes!("../data/loggers/faulty.csv");
    let faults = LoggerFile::open(bytes, &given()).unwrap().readings(&given()).unwrap_err();
    let told: Vec<(u64, &str, &str)> = faults
        .listed
        .iter()
        .map(|fault| {
            let cell = fault.cell.as_deref().unwrap();
            (cell.line, cell.column.as_deref().unwrap_or_default(), fault.code)
        })
        .collect();
    assert_eq!(
        told,
        [
            (3, "Time", "not_a_stamp"),
            (4, "Time", "not_a_stamp"),
            (5, "Time", "missing"),
            (6, "Temp", "not_a_number"),
            (7, "RH", "out_of_range"),
            (8, "Temp", "missing"),
            (8, "RH", "missing"),
            (8, "Surface", "out_of_range"),
            (9, "Temp", "not_a_number"),
            (10, "", "cell_count"),
            // Berlin put its clocks forward at two on 29 March 2026 (IANA tz database).
            (11, "Time", "no_such_time"),
            (12, "Time", "in_the_future"),
        ]
    );
    assert_eq!(faults.listed[5].pointer, "/rows/6/air_c");
    assert_eq!(faults.listed[3].cell.as_deref().unwrap().value.as_deref(), Some("--"));
}

/// Berlin put its clocks back at three on 26 October 2025: what is written 02:30 came twice.
#[test]
fn an_hour_that_comes_twice_goes_on() {
    let table = "Time,Temp,RH\n2025-10-26 02:30,20,50\n2025-10-26 02:50,20,50\n2025-10-26 02:10,20,50\n2025-10-26 02:30,20,50\n2025-10-26 03:00,20,50\n";
    let at: Vec<String> =
        read(table.as_bytes()).iter().map(|one| one.at.0.format("%H:%M").to_string()).collect();
    assert_eq!(at, ["00:30", "00:50", "01:10", "01:30", "02:00"]);
}

#[test]
fn what_is_no_table_of_a_logger_is_refused() {
    let refused = |text: &str| {
        let faults = LoggerFile::open(text.as_bytes(), &given()).map(drop).unwrap_err();
        faults.into_iter().map(|fault| fault.code).collect::<Vec<_>>()
    };
    assert_eq!(refused(""), ["no_header"]);
    assert_eq!(refused("one,two\n1,2\n"), ["no_header"]);
    assert_eq!(refused("Time,Temp\n2026-03-09 09:30,20\n"), ["column_missing"]);
    assert_eq!(refused("Temp,RH\n20,50\n"), ["column_missing"]);
    assert_eq!(refused("Time,Temp,Air,RH\n2026-03-09 09:30,20,20,50\n"), ["column_twice"]);
    assert_eq!(refused("Time,Temp,RH\n03/04/2026 09:30,20,50\n"), ["days_ambiguous"]);
    assert_eq!(refused("Time\0,Temp,RH\n"), ["null_character"]);
    let long = format!("Time,Temp,RH\n{}", "2026-03-09 09:30,20,50\n".repeat(MOST_ROWS + 1));
    assert_eq!(refused(&long), ["too_many_rows"]);
    // Either way round, whoever sends it may say.
    let text = "Time,Temp,RH\n03/04/2026 09:30,20,50\n";
    for (days, month) in [(DayOrder::DayFirst, "04"), (DayOrder::MonthFirst, "03")] {
        let given = Given { days: Some(days), now: "2027-01-01T00:00:00Z".parse().unwrap(), ..given() };
        let readings = LoggerFile::open(text.as_bytes(), &given).unwrap().readings(&given).unwrap();
        assert_eq!(readings[0].at.0.format("%m").to_string(), month);
    }
}

/// Whatever is in it, reading ends: with readings that are in their ranges, or with faults.
fn ends(bytes: &[u8]) {
    let Ok(file) = LoggerFile::open(bytes, &given()) else { return };
    match file.readings(&given()) {
        Ok(readings) => {
            for one in readings {
                assert!(
                    (-45.0..=60.0).contains(&one.air_c) && (0.0..=100.0).contains(&one.rh_pct),
                    "{one:?}"
                );
                assert!(
                    one.surface_c.is_none_or(|c| (-45.0..=120.0).contains(&c)) && one.at.0 <= given().now,
                    "{one:?}"
                );
            }
        }
        Err(faults) => assert!(faults.all >= faults.listed.len() && !faults.listed.is_empty()),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_bytes_come_reading_ends(bytes in vec(any::<u8>(), 0..300)) {
        ends(&bytes);
    }

    #[test]
    fn whatever_stands_under_headers_reading_ends(
        cells in vec(prop_oneof!["[0-9./: T+-]{0,20}", "[0-9,.+-]{0,8}", "[\u{0}-\u{ff}]{0,12}"], 0..60),
        mark in select(vec![',', ';', '\t', '|']),
        bytes in vec(any::<u8>(), 0..8),
    ) {
        let mut file = ["Date", "Time", "Temp", "RH", "Surface"].join(&mark.to_string()).into_bytes();
        for row in cells.chunks(5) {
            file.push(b'\n');
            file.extend(row.join(&mark.to_string()).into_bytes());
        }
        ends(&file);
        file.extend(&bytes);
        ends(&file);
    }

    /// What is written in any of these ways is read back the same.
    #[test]
    fn readings_come_back_as_they_were_written(
        rows in vec((0_i64..900_000, -450_i32..600, 0_u32..1000, proptest::option::of(-450_i32..1200)), 1..20),
        mark in select(vec![',', ';', '\t', '|']), comma in any::<bool>(), local in any::<bool>(), bom in any::<bool>(),
    ) {
        let number = |tenths: f64| {
            let text = format!("{:.1}", tenths / 10.0);
            if comma { format!("\"{}\"", text.replace('.', ",")) } else { text }
        };
        let mut file = if bom { "\u{feff}".to_owned() } else { String::new() };
        file.push_str(&["Time", "Temp", "RH", "Surface"].join(&mark.to_string()));
        let begin: DateTime<Utc> = "2026-02-01T00:00:00Z".parse().unwrap();
        for (seconds, air, rh, surface) in &rows {
            let at = begin + TimeDelta::seconds(*seconds);
            let stamp = if local {
                at.with_timezone(&chrono_tz::Europe::Berlin).format("%d.%m.%Y %H:%M:%S").to_string()
            } else {
                at.to_rfc3339()
            };
            let surface = surface.map(|tenths| number(tenths.into())).unwrap_or_default();
            file.push_str(&format!("\n{}", [stamp, number((*air).into()), number((*rh).into()), surface].join(&mark.to_string())));
        }
        let wanted: Vec<_> = rows.iter().map(|(seconds, air, rh, surface)| {
            let tenths = |n: f64| format!("{:.1}", n / 10.0).parse::<f64>().unwrap();
            (begin + TimeDelta::seconds(*seconds), tenths((*air).into()), tenths((*rh).into()), surface.map(|n| tenths(n.into())))
        }).collect();
        prop_assert_eq!(said(&read(file.as_bytes())), wanted);
    }
}
