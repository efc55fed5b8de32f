//! Cure against histories that were integrated elsewhere (tests/reference), against closed forms, and by its laws.
#![allow(clippy::cast_possible_truncation, reason = "numbers of tests are small, and some are exact")]

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::core::calendar::instant;
use lustrum::core::cure::{CureClock, Reading, Stage};
use lustrum::core::sheet::Cure;
use lustrum::core::units::{Celsius, EquivalentHours, RelativeHumidity};
use proptest::prelude::*;
use serde_json::{Value, json};

mod job;

use super::table::rows;
use crate::support::calc::{ask, close, number, refused};

const APPLIED: &str = "2026-01-10T08:00:00Z";

/// So many hours after the application.
fn at(hours: f64) -> DateTime<Utc> {
    instant(APPLIED).unwrap() + TimeDelta::microseconds((hours * 3.6e9).round() as i64)
}

fn text(at: DateTime<Utc>) -> String {
    at.to_rfc3339()
}

fn sheet(temperature: Value, reference_c: f64) -> Value {
    json!({"reference": {"c": reference_c}, "temperature": temperature, "milestones": [{"name": "dry to touch", "h": 1}]})
}

/// Equivalent hours at the last of the points (hours, °C).
fn age(sheet: &Value, points: &[(f64, f64)]) -> f64 {
    let readings: Vec<Value> =
        points.iter().map(|(h, c)| json!({"at": text(at(*h)), "c": c, "rh_pct": 50})).collect();
    let question = json!({"calc": "cure", "sheet": sheet, "applied_at": APPLIED, "readings": readings,
        "at": text(at(points.last().unwrap().0))});
    number(&ask(question), "equivalent_h")
}

/// reference/equivalent_age_cases.json: ASTM C1074 and the rule of Q10, integrated by two libraries.
#[test]
fn histories_come_to_the_age_that_others_found() {
    let table: Value = serde_json::from_str(include_str!("../reference/equivalent_age_cases.json")).unwrap();
    let mut judged = 0;
    for case in table["cases"].as_array().unwrap() {
        let points: Vec<(f64, f64)> = serde_json::from_value(case["points_h_c"].clone()).unwrap();
        let model = case["model"].as_str().unwrap();
        let param = |name: &str| case["params"][name].as_f64().unwrap();
        let (sheet, expected) = if model.starts_with("Arrhenius") {
            let energy = param("Q_K") * table["gas_constant"].as_f64().unwrap();
            (sheet(json!({"activation_energy_j_mol": energy}), param("reference_c")), &case["expected_h"])
        } else if model.starts_with("Q10") {
            (sheet(json!({"q10": param("Q10")}), param("reference_c")), &case["expected_h"])
        } else {
            // Nurse and Saul: degrees above a datum, times hours.
            let datum = param("datum_c");
            (sheet(json!({"table": [[datum, 0], [150, 150.0 - datum]]}), 20.0), &case["expected_c_h"])
        };
        let (found, expected) = (age(&sheet, &points), expected.as_f64().unwrap());
        assert!(
            close(found, expected, 1e-9 * expected),
            "{}: {found}, {expected}, {}",
            case["id"],
            case["source"]
        );
        judged += 1;
    }
    assert!(judged >= 60, "{judged} cases");
}

/// reference/rate_factors.csv: an hour in a constant climate.
#[test]
fn rates_are_those_of_the_table() {
    let mut judged = 0;
    for row in rows(include_str!("../reference/rate_factors.csv")) {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let law = match row["model"].as_str() {
            "Q10 factor" => json!({"q10": row["params"].trim_start_matches("Q10=").parse::<f64>().unwrap()}),
            "Arrhenius age conversion factor" => {
                // `Q5000-20` is E/R in K, `E41.5-20` E in kJ/mol; then the reference.
                let (energy, _) = row["params"][1..].rsplit_once('-').unwrap();
                let energy: f64 = energy.parse().unwrap();
                let joules =
                    if row["params"].starts_with('Q') { energy * 8.314462618 } else { energy * 1000.0 };
                json!({"activation_energy_j_mol": joules})
            }
            _ => continue,
        };
        let found = age(&sheet(law, cell("reference_c")), &[(0.0, cell("t_c")), (1.0, cell("t_c"))]);
        let expected = cell("factor");
        assert!(
            close(found, expected, 1e-9 * expected.max(0.1)),
            "{}: {found}, {}",
            row["id"],
            row["source"]
        );
        judged += 1;
    }
    assert!(judged >= 40, "{judged} rows");
}

fn clock(sheet: &Value, readings: &[(f64, f64, f64)], planned: &[(f64, f64, f64, f64)]) -> CureClock {
    let cure = Cure::read(sheet).unwrap();
    let climate = |c, rh| (Celsius::new(c).unwrap(), RelativeHumidity::new(rh).unwrap());
    let readings: Vec<Reading> = (readings.iter())
        .map(|(h, c, rh)| {
            let (c, rh) = climate(*c, *rh);
            Reading { at: at(*h), c, rh }
        })
        .collect();
    let planned: Vec<Stage> = (planned.iter())
        .map(|(from, until, c, rh)| {
            let (c, rh) = climate(*c, *rh);
            Stage { from: at(*from), until: at(*until), c, rh }
        })
        .collect();
    CureClock::new(&cure, instant(APPLIED).unwrap(), &readings, &planned).unwrap()
}

fn hours_at(clock: &CureClock, hours: f64) -> f64 {
    clock.hours_at(at(hours)).unwrap().get()
}

fn reached(clock: &CureClock, name: &str) -> Option<DateTime<Utc>> {
    clock.milestones().into_iter().find(|milestone| milestone.name == name).unwrap().reached_at
}

/// A sheet with all that one can say of cure.
fn base_30() -> Value {
    json!({"reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
        "humidity": {"table": [[20, 0.5], [50, 1.0], [80, 1.25]]},
        "lamp": {"panel_c": 60, "min": 15, "then": "water-safe"},
        "milestones": [{"name": "dry to touch", "h": 1}, {"name": "water-safe", "h": 12},
            {"name": "wash-safe", "h": 168, "latest_days": 30}, {"name": "full cure", "h": 336}]})
}

#[test]
fn milestones_come_to_the_second() {
    // Constant: hours are hours, and go on after the last reading.
    let constant = clock(&base_30(), &[(0.0, 20.0, 50.0)], &[]);
    assert_eq!(reached(&constant, "dry to touch"), Some(at(1.0)));
    assert_eq!(reached(&constant, "full cure"), Some(at(336.0)));
    // From 20 to 30 °C in ten hours: E(t) = 10/ln 2 · (2^(t/10) − 1), so 5 h are reached after 10 log2(1 + ln 2 / 2).
    let mut ramp = base_30();
    ramp["lamp"] = Value::Null;
    ramp["milestones"] = json!([{"name": "five", "h": 5}]);
    let ramp = clock(&ramp, &[(0.0, 20.0, 50.0), (10.0, 30.0, 50.0)], &[]);
    let exactly = 10.0 * (1.0 + std::f64::consts::LN_2 / 2.0).log2();
    let found = reached(&ramp, "five").unwrap();
    let late = found - at(exactly);
    assert!(late >= TimeDelta::zero() && late < TimeDelta::seconds(1), "{found}");
    assert!(close(hours_at(&ramp, exactly), 5.0, 1e-9));
    // An application between two seconds.
    let cure = Cure::read(&base_30()).unwrap();
    let applied = instant("2026-01-10T08:00:00.25Z").unwrap();
    let bay =
        Reading { at: applied, c: Celsius::new(20.0).unwrap(), rh: RelativeHumidity::new(50.0).unwrap() };
    let between = CureClock::new(&cure, applied, &[bay], &[]).unwrap();
    assert_eq!(between.milestones()[0].reached_at, Some(at(1.0) + TimeDelta::seconds(1)));
}

#[test]
fn kinks_are_integrated_up_to() {
    // Falling from 10 to 0 °C in ten hours at a rate of 1, standing still below 5: five hours, and no more.
    let flat = |more: Value| {
        let mut sheet = json!({"reference": {"c": 20, "rh_pct": 50}, "temperature": {"table": [[0, 1], [40, 1]]},
            "milestones": [{"name": "four", "h": 4}, {"name": "six", "h": 6}]});
        sheet.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        sheet
    };
    let falling = clock(&flat(json!({"stops_below_c": 5})), &[(0.0, 10.0, 50.0), (10.0, 0.0, 50.0)], &[]);
    assert!(close(hours_at(&falling, 10.0), 5.0, 1e-9));
    assert_eq!(reached(&falling, "four"), Some(at(4.0)));
    assert_eq!(reached(&falling, "six"), None, "it stays cold");
    // At the temperature itself it still cures.
    let at_the_edge = clock(&flat(json!({"stops_below_c": 5})), &[(0.0, 5.0, 50.0)], &[]);
    assert!(close(hours_at(&at_the_edge, 3.0), 3.0, 1e-12));
    // Humidity from 20 to 80 % in six hours: mean of 0.5…1 for three hours, of 1…1.25 for three.
    let humid = flat(json!({"humidity": {"table": [[20, 0.5], [50, 1.0], [80, 1.25]]}}));
    let humid = clock(&humid, &[(0.0, 20.0, 20.0), (6.0, 20.0, 80.0)], &[]);
    assert!(close(hours_at(&humid, 6.0), 0.75 * 3.0 + 1.125 * 3.0, 1e-9));
    // Beyond the ends of a table it is constant.
    let dry = clock(&flat(json!({"humidity": {"table": [[20, 0.5], [50, 1.0]]}})), &[(0.0, 20.0, 5.0)], &[]);
    assert!(close(hours_at(&dry, 2.0), 1.0, 1e-12));
}

/// Worked by hand in DEVELOPERS.md.
#[test]
fn the_history_worked_by_hand() {
    let sheet = json!({"reference": {"c": 20}, "stops_below_c": 5, "temperature": {"q10": 2},
        "milestones": [{"name": "five", "h": 5}, {"name": "six", "h": 6}]});
    let cold = clock(&sheet, &[(0.0, 20.0, 50.0), (2.0, 20.0, 50.0), (10.0, 0.0, 50.0)], &[]);
    assert!(close(hours_at(&cold, 24.0), 5.7305, 5e-5));
    assert_eq!(reached(&cold, "five"), instant("2026-01-10T14:14:03Z").ok());
    assert_eq!(reached(&cold, "six"), None);
}

#[test]
fn readings_of_one_instant_are_a_step() {
    let step = clock(&base_30(), &[(0.0, 20.0, 50.0), (2.0, 20.0, 50.0), (2.0, 30.0, 50.0)], &[]);
    assert!(close(hours_at(&step, 4.0), 2.0 + 4.0, 1e-9));
    // Before the first reading it was as at the first; readings before the application only lead up to it.
    let late = clock(&base_30(), &[(3.0, 30.0, 50.0)], &[]);
    assert!(close(hours_at(&late, 3.0), 6.0, 1e-9));
    let early = clock(&base_30(), &[(-10.0, 10.0, 50.0), (10.0, 30.0, 50.0)], &[]);
    let whole = clock(&base_30(), &[(0.0, 20.0, 50.0), (10.0, 30.0, 50.0)], &[]);
    assert!(close(hours_at(&early, 7.0), hours_at(&whole, 7.0), 1e-9));
}

#[test]
fn what_is_planned_follows_what_was_read() {
    let read = [(0.0, 20.0, 50.0)];
    // The bay at 30 °C from the first hour to the fourth, then outside at −4 °C: nothing comes to it there.
    let winter = clock(&base_30(), &read, &[(1.0, 4.0, 30.0, 50.0), (4.0, 24.0, -4.0, 80.0)]);
    assert!(close(hours_at(&winter, 4.0), 7.0, 1e-9) && close(hours_at(&winter, 100.0), 7.0, 1e-9));
    assert_eq!(reached(&winter, "water-safe"), None);
    // Whatever the cold, the calendar closes the milestone that says so.
    assert_eq!(reached(&winter, "wash-safe"), Some(at(30.0 * 24.0)));
    assert_eq!(reached(&winter, "full cure"), None);
    // A lamp for a quarter of an hour: safe from water at its end, and the bay goes on as before.
    let lamp = clock(&base_30(), &read, &[(1.0, 1.25, 60.0, 50.0)]);
    assert_eq!(reached(&lamp, "water-safe"), Some(at(1.25)));
    assert!(close(hours_at(&lamp, 2.0), 1.0 + 0.25 * 16.0 + 0.75, 1e-9), "its time counts too");
    // Too short, too cold: hours decide.
    let short = clock(&base_30(), &read, &[(1.0, 1.2, 60.0, 50.0)]);
    assert!(reached(&short, "water-safe").unwrap() > at(5.0));
    let cold = clock(&base_30(), &read, &[(1.0, 1.5, 59.0, 50.0)]);
    assert!(reached(&cold, "water-safe").unwrap() > at(1.5));
    // A lamp within a night in the bay.
    let night = clock(&base_30(), &read, &[(1.0, 11.0, 30.0, 50.0), (2.0, 2.5, 60.0, 50.0)]);
    assert!(close(hours_at(&night, 11.0), 1.0 + 9.5 * 2.0 + 0.5 * 16.0, 1e-9));
    // What was read in the meantime counts more than the plan.
    let known = clock(&base_30(), &[(0.0, 20.0, 50.0), (2.0, 20.0, 50.0)], &[(0.0, 4.0, 30.0, 50.0)]);
    assert!(close(hours_at(&known, 4.0), 2.0 + 4.0, 1e-9));
    // Nothing but a plan.
    let plan = clock(&base_30(), &[], &[(1.0, 2.0, 30.0, 50.0)]);
    assert!(close(hours_at(&plan, 3.0), 6.0, 1e-9));
}

#[test]
fn what_cannot_be_integrated_is_refused() {
    let question = |change: &dyn Fn(&mut Value)| {
        let mut question = json!({"calc": "cure", "sheet": base_30(), "applied_at": APPLIED, "at": text(at(1.0)),
            "readings": [{"at": APPLIED, "c": 20, "rh_pct": 50}]});
        change(&mut question);
        refused(question)
    };
    let fault = |place: &str, code| vec![(place.to_owned(), code)];
    assert_eq!(question(&|q| q["at"] = json!(text(at(-1.0)))), fault("/at", "before_application"));
    assert_eq!(question(&|q| q["readings"] = json!([])), fault("/readings", "empty"));
    assert_eq!(question(&|q| q["readings"][0]["c"] = json!(300)), fault("/readings/0/c", "out_of_range"));
    assert_eq!(
        question(&|q| q["readings"][0]["rh_pct"] = json!(-1)),
        fault("/readings/0/rh_pct", "out_of_range")
    );
    let backwards = json!([{"from": text(at(3.0)), "until": text(at(2.0)), "c": 20, "rh_pct": 50}]);
    assert_eq!(question(&|q| q["planned"] = backwards.clone()), fault("/planned/0/until", "upside_down"));
    // Faults of the sheet are told like everywhere, all at once.
    assert_eq!(
        question(&|q| q["sheet"] = json!({"temperature": {"q10": 0}, "milestones": []})),
        [
            ("/sheet/reference".to_owned(), "missing"),
            ("/sheet/temperature/q10".to_owned(), "not_above_zero"),
            ("/sheet/milestones".to_owned(), "empty")
        ]
    );
}

/// Any history of a few days: hours, °C, %.
fn history() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
    proptest::collection::vec((0.0..72.0, -15.0..70.0, 0.0..100.0), 1..12).prop_map(|mut points| {
        points.sort_by(|a: &(f64, f64, f64), b| a.0.total_cmp(&b.0));
        points
    })
}

fn law() -> impl Strategy<Value = Value> {
    prop_oneof![
        (1.1..4.0).prop_map(|q10| json!({"q10": q10})),
        (20_000.0..90_000.0).prop_map(|energy| json!({"activation_energy_j_mol": energy})),
        Just(json!({"table": [[0, 0.1], [20, 1], [40, 3]]})),
    ]
}

proptest! {
    #[test]
    fn cure_never_falls(points in history(), law in law(), a in 0.0..100.0, b in 0.0..100.0) {
        let mut sheet = base_30();
        sheet["temperature"] = law;
        let clock = clock(&sheet, &points, &[]);
        let (early, late) = (f64::min(a, b), f64::max(a, b));
        prop_assert!(hours_at(&clock, early) <= hours_at(&clock, late) * (1.0 + 1e-12));
        // A milestone is reached when its hours are, and not a second before.
        for milestone in clock.milestones().iter().filter(|milestone| milestone.name != "wash-safe") {
            let Some(reached) = milestone.reached_at else { continue };
            let enough = clock.hours_at(reached + TimeDelta::milliseconds(1)).unwrap();
            prop_assert!(enough >= milestone.hours);
            if let Ok(before) = clock.hours_at(reached - TimeDelta::milliseconds(1_002)) {
                prop_assert!(before < milestone.hours);
            }
        }
    }

    #[test]
    fn splitting_a_history_changes_nothing(points in history(), law in law(), cut in 0.0..72.0, asked in 0.0..100.0) {
        let mut sheet = base_30();
        sheet["temperature"] = law;
        let whole = clock(&sheet, &points, &[]);
        let next = points.partition_point(|point| point.0 <= cut);
        prop_assume!(next > 0 && next < points.len());
        let (a, b) = (points[next - 1], points[next]);
        let share = (cut - a.0) / (b.0 - a.0);
        let mut split = points.clone();
        split.insert(next, (cut, a.1 + (b.1 - a.1) * share, a.2 + (b.2 - a.2) * share));
        let split = clock(&sheet, &split, &[]);
        let (one, other) = (hours_at(&whole, asked), hours_at(&split, asked));
        // The clock of the readings is one of microseconds.
        prop_assert!(close(one, other, 1e-6 * one + 1e-7), "{one}, {other}");
        for (one, other) in whole.milestones().iter().zip(split.milestones()) {
            match (one.reached_at, other.reached_at) {
                (Some(one), Some(other)) => prop_assert!((one - other).abs() <= TimeDelta::seconds(1)),
                (one, other) => prop_assert_eq!(one, other),
            }
        }
    }

    #[test]
    fn any_number_of_hours_is_found_again(points in history(), wanted in 0.0..500.0) {
        let clock = clock(&base_30(), &points, &[]);
        if let Some(at) = clock.reached(EquivalentHours::new(wanted).unwrap()) {
            prop_assert!(clock.hours_at(at + TimeDelta::milliseconds(1)).unwrap().get() >= wanted);
        }
    }
}
