//! Climate and levelling: each check fires on one side of its limit and not at it.

use lustrum::core::climate::ClimateReading;
use lustrum::core::humidity::{dew_point, vapour_pressure};
use lustrum::core::units::{Celsius, RelativeHumidity};
use lustrum::core::words::Severity;
use proptest::prelude::*;

use super::*;

/// The base coat lies from 10:00 to 11:00, alone, and its sheet says this besides.
fn with(more: Value, readings: &[ClimateReading], change: impl FnOnce(&mut JobSeen)) -> Vec<Finding> {
    let mut job = job();
    job.coats[0].sheet = Some(sheet_with("base-30", more));
    job.climate = readings.to_vec();
    job.build.clear();
    job.coats.truncate(1);
    change(&mut job);
    check(&job)
}

fn read(time: &str, air_c: f64, rh_pct: f64, surface_c: Option<f64>) -> ClimateReading {
    ClimateReading { at: at(time), air_c, rh_pct, surface_c, place: Some("bay".into()) }
}

fn apply() -> Value {
    json!({"apply": {"air_c": [10, 30], "rh_pct": [30, 70], "surface_c": [10, 35], "over_dew_c": 3.0}})
}

fn codes(found: &[Finding]) -> Vec<&str> {
    assert!(found.iter().all(|one| one.subject == base()), "{found:?}");
    found.iter().map(|one| one.code).collect()
}

/// One reading half an hour before the coat, at each edge of the sheet and a tenth beyond.
#[test]
fn the_climate_is_as_the_sheet_asks() {
    let of = |air, rh, surface| with(apply(), &[read("09:30", air, rh, Some(surface))], |_| ());
    for inside in [(20.0, 50.0, 20.0), (10.0, 30.0, 10.0), (30.0, 30.0, 35.0), (20.0, 70.0, 20.0)] {
        assert_eq!(of(inside.0, inside.1, inside.2), [], "{inside:?}");
    }
    for (air, rh, surface, says) in [
        (9.9, 50.0, 20.0, "air 9.9 °C at 2026-03-09 09:30"),
        (30.1, 30.0, 30.0, "air 30.1 °C at 2026-03-09 09:30"),
        (20.0, 29.9, 20.0, "relative humidity 29.9 % at 2026-03-09 09:30"),
        (20.0, 70.1, 20.0, "relative humidity 70.1 % at 2026-03-09 09:30"),
        (12.0, 40.0, 9.9, "panel 9.9 °C at 2026-03-09 09:30"),
        (30.0, 40.0, 35.1, "panel 35.1 °C at 2026-03-09 09:30"),
    ] {
        let found = of(air, rh, surface);
        assert_eq!(codes(&found), ["climate_outside"], "{says}");
        assert_eq!(found[0].measured.as_deref(), Some(says));
        assert_eq!((found[0].severity, found[0].clause.as_str()), (Severity::Warns, "sheet.base-30.apply"));
    }
    let cold = &of(8.0, 80.0, 11.5)[0];
    assert_eq!(cold.allowed.as_deref(), Some("air 10 to 30 °C; relative humidity 30 to 70 %"));
    assert!(
        cold.detail.starts_with("heat the bay, to 10 °C; dry the bay's air or ventilate, to 70 %"),
        "{cold:?}"
    );
    let silent = with(json!({}), &[read("09:30", 2.0, 10.0, Some(2.0))], |_| ());
    assert_eq!(silent, [], "the sheet does not say");
}

/// What was not measured does not pass by assumption.
#[test]
fn the_climate_is_measured_at_the_coat() {
    let at_times = |times: &[&str]| {
        let readings: Vec<_> = times.iter().map(|time| read(time, 20.0, 50.0, Some(20.0))).collect();
        with(apply(), &readings, |_| ())
    };
    for spoken in ["08:00", "10:00", "11:00"] {
        assert_eq!(at_times(&[spoken]), [], "{spoken}: two hours before, or until it is level");
    }
    for silent in [&[][..], &["07:59"], &["11:01"]] {
        assert_eq!(codes(&at_times(silent)), ["climate_not_measured"], "{silent:?}");
    }
    let measured = |readings: &[ClimateReading]| {
        with(apply(), readings, |_| ()).into_iter().next().and_then(|one| one.measured)
    };
    assert_eq!(
        measured(&[]).unwrap(),
        "air, relative humidity, panel, distance from the dew point not measured"
    );
    assert_eq!(
        measured(&[read("09:30", 20.0, 50.0, None)]).unwrap(),
        "panel, distance from the dew point not measured"
    );
    let mut outside = read("10:30", 20.0, 50.0, Some(20.0));
    outside.place = Some(" Outside".into());
    assert!(measured(&[outside]).is_some(), "the weather is not the climate at the panel");
    // Levelled after it ended: until then it can take harm.
    let levelled = |time: &str| {
        with(apply(), &[read("11:20", 20.0, 50.0, Some(20.0))], |job| {
            job.coats[0].coat.sections = vec![section("bonnet", "10:59", Some(time))];
        })
    };
    assert_eq!(levelled("11:20"), []);
    assert_eq!(codes(&levelled("11:19")), ["climate_not_measured"]);
}

/// Of what was read before the coat the last counts, while it is laid each reading.
#[test]
fn the_last_reading_before_a_coat_counts_and_all_within_it() {
    let warm = |time| read(time, 20.0, 50.0, Some(20.0));
    let cold = |time| read(time, 5.0, 50.0, Some(12.0));
    assert_eq!(with(apply(), &[cold("08:30"), warm("09:30")], |_| ()), [], "the bay was heated");
    assert_eq!(with(apply(), &[cold("09:30"), warm("10:00")], |_| ()), []);
    assert_eq!(with(apply(), &[warm("10:00"), cold("11:01")], |_| ()), [], "it was level by then");
    for late in
        [[warm("08:30"), cold("09:30")], [warm("10:00"), cold("10:30")], [warm("10:00"), cold("11:00")]]
    {
        assert_eq!(codes(&with(apply(), &late, |_| ())), ["climate_outside"]);
    }
}

/// 3 K over the dew point are enough, a hundredth less are not; with a sheet or without (the usual limit).
#[test]
fn a_panel_is_kept_away_from_the_dew_point() {
    let vapour = vapour_pressure(Celsius::new(20.0).unwrap(), RelativeHumidity::new(60.0).unwrap()).unwrap();
    let dew = dew_point(vapour).unwrap().get();
    let sheets = [
        (json!({"apply": {"over_dew_c": 3.0}}), 3.0),
        (json!({"apply": {"over_dew_c": 5.0}}), 5.0),
        (json!({}), 3.0),
    ];
    for (sheet, least) in sheets {
        let of = |over: f64| with(sheet.clone(), &[read("10:30", 20.0, 60.0, Some(dew + over))], |_| ());
        assert_eq!(of(least), []);
        let close = of(least - 0.01);
        assert_eq!(codes(&close), ["dew_point_close"]);
        assert_eq!(
            close[0].measured.as_deref(),
            Some(format!("{} °C over the dew point at 2026-03-09 10:30", least - 0.01).as_str())
        );
    }
    // 10 °C at 90 % on a panel that came in cold: an hour later it is wet.
    let cold_soaked = with(apply(), &[read("10:30", 10.0, 70.0, Some(-4.0))], |_| ());
    assert_eq!(codes(&cold_soaked), ["climate_outside", "dew_point_close"]);
    let dry = with(json!({}), &[read("10:30", 20.0, 0.0, Some(-20.0))], |_| ());
    assert_eq!(dry, [], "nothing condenses from air without water");
}

fn levelled(level: Value, readings: &[ClimateReading], seconds: i64) -> Vec<Finding> {
    with(json!({"level": level}), readings, |job| {
        let mut one = section("bonnet", "10:10", Some("10:10"));
        one.levelled_at = Some(Moment(at("10:10").0 + Duration::seconds(seconds)));
        job.coats[0].coat.sections = vec![one];
    })
}

#[test]
fn sections_are_levelled_in_their_time() {
    let of = |seconds| levelled(json!({"after_s": [60, 120]}), &[], seconds);
    for inside in [60, 90, 120] {
        assert_eq!(of(inside), [], "{inside} s");
    }
    for (beyond, code) in [(59, "levelled_early"), (121, "levelled_late"), (0, "levelled_early")] {
        let found = of(beyond);
        assert_eq!(codes(&found), [code], "{beyond} s");
        assert_eq!(found[0].measured.as_deref(), Some(format!("bonnet: {beyond} s").as_str()));
        assert_eq!(found[0].allowed.as_deref(), Some("60 to 120 s"));
    }
    assert_eq!(codes(&of(-1)), ["times_backwards"], "that is another check");
    assert_eq!(levelled(json!({}), &[], 5), [], "the sheet does not say");
}

/// By table the time follows the panel, between its points too; the air speaks where the panel was not read.
#[test]
fn a_table_of_temperatures_says_when_to_level() {
    let table = json!({"after_s": [60, 120], "table": [[10, [120, 240]], [20, [60, 120]], [30, [30, 60]]]});
    for (c, from, to) in
        [(5.0, 120, 240), (10.0, 120, 240), (15.0, 90, 180), (20.0, 60, 120), (25.0, 45, 90), (40.0, 30, 60)]
    {
        for reading in [read("10:05", 20.0, 10.0, Some(c)), read("10:05", c, 10.0, None)] {
            let of = |seconds| levelled(table.clone(), std::slice::from_ref(&reading), seconds);
            let early_and_late = [(from - 1, "levelled_early"), (to + 1, "levelled_late")];
            assert_eq!((of(from), of(to)), (vec![], vec![]), "{c} °C");
            for (seconds, code) in early_and_late {
                let found: Vec<_> =
                    of(seconds).into_iter().filter(|one| one.code != "dew_point_close").collect();
                assert_eq!(codes(&found), [code], "{c} °C, {seconds} s");
            }
        }
    }
    let mut alone = table.clone();
    alone.as_object_mut().unwrap().remove("after_s");
    assert_eq!(codes(&levelled(alone, &[], 90)), ["level_not_judged"]);
    assert_eq!(levelled(table, &[], 90), [], "without a temperature, by what holds at any");
}

#[test]
fn levelled_by_eye_is_told_and_not_judged() {
    let by_eye = |level: Value| {
        with(level, &[], |job| job.coats[0].coat.sections = vec![section("bonnet roof", "10:10", None)])
    };
    let found = by_eye(json!({"level": {"after_s": [60, 120]}}));
    assert_eq!(codes(&found), ["levelled_by_eye"]);
    assert_eq!(
        (found[0].severity, found[0].measured.as_deref()),
        (Severity::Tells, Some("bonnet, roof: by eye"))
    );
    assert_eq!(by_eye(json!({})), []);
}

/// How grave what was found is, coat by coat and check by check.
fn grave(found: &[Finding]) -> Vec<(Severity, &'static str)> {
    let mut grave: Vec<_> = found.iter().map(|one| (one.severity, one.code)).collect();
    grave.sort();
    grave
}

prop_compose! {
    fn reading()(minute in 0_i64..300, air in -5.0..40.0, rh in 5.0..95.0, surface in proptest::option::of(-5.0..45.0)) -> ClimateReading {
        let at = Moment(at("07:30").0 + Duration::minutes(minute));
        ClimateReading { at, air_c: air, rh_pct: rh, surface_c: surface, place: None }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// A reading at which nothing is wrong never makes what is found graver, whenever it is added.
    #[test]
    fn a_reading_that_is_inside_makes_nothing_worse(
        readings in proptest::collection::vec(reading(), 0..8), minute in 0_i64..300,
        air in 15.0..30.0, rh in 30.0..40.0, surface in 18.0..30.0,
    ) {
        let inside = ClimateReading {
            at: Moment(at("07:30").0 + Duration::minutes(minute)), air_c: air, rh_pct: rh, surface_c: Some(surface), place: None,
        };
        let mut more = readings.clone();
        more.push(inside);
        let (before, after) = (with(apply(), &readings, |_| ()), with(apply(), &more, |_| ()));
        for (severity, code) in grave(&after) {
            prop_assert!(
                grave(&before).iter().any(|(known, of)| *of == code && *known <= severity),
                "{code} came by it: {before:?} {after:?}"
            );
        }
    }
}
