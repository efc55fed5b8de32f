//! Distance driven: the pace against another implementation (tests/reference/theil_sen.json), and the days.

use lustrum::core::distance::{Driven, pace};
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::support::calc::{ask, close, number, refused};

#[test]
fn the_pace_is_that_of_another_implementation() {
    let table: Value = serde_json::from_str(include_str!("../reference/theil_sen.json")).unwrap();
    let cases = table["cases"].as_array().unwrap();
    assert!(cases.len() >= 7);
    for case in cases {
        let readings: Vec<Value> = (case["readings"].as_array().unwrap().iter())
            .map(|reading| json!({"on": reading[0], "km": reading[1]}))
            .collect();
        let answer = ask(json!({"calc": "forecast", "readings": readings, "limit_km": 120_000}));
        for (member, column) in
            [("km_per_day", "km_per_day"), ("km_per_day_low", "low"), ("km_per_day_high", "high")]
        {
            let (found, wanted) = (number(&answer, member), case[column].as_f64().unwrap());
            assert!(
                close(found, wanted, 1e-9),
                "{} {member}: {found}, {wanted}, {}",
                case["id"],
                table["source"]
            );
        }
    }
}

#[test]
fn a_limit_is_passed_on_a_day() {
    let readings = json!([{"on": "2026-01-01", "km": 1000}, {"on": "2026-01-21", "km": 2000}, {"on": "2026-02-10", "km": 3400}]);
    let ask_for = |limit: f64| ask(json!({"calc": "forecast", "readings": readings, "limit_km": limit}));
    // 50, 70 and 60 km a day: 60 in the middle; of so few all slopes are in the interval.
    let answer = ask_for(4601.0);
    assert_eq!(
        (
            number(&answer, "km_per_day_low"),
            number(&answer, "km_per_day"),
            number(&answer, "km_per_day_high")
        ),
        (50.0, 60.0, 70.0)
    );
    // 1,201 km after 10 February: 20.02 days, 17.2 at the fastest, 24.02 at the slowest.
    assert_eq!(answer["expected"], "2026-03-03");
    assert_eq!(answer["earliest"], "2026-02-28");
    assert_eq!(answer["latest"], "2026-03-07");
    assert_eq!(ask_for(4600.0)["expected"], "2026-03-02", "exactly twenty days");
    // Passed already: the day of the last reading.
    assert_eq!(ask_for(3000.0)["latest"], "2026-02-10");
    // A vehicle that stands still never comes there.
    let still = json!([{"on": "2026-01-01", "km": 1000}, {"on": "2026-03-01", "km": 1000}]);
    let still = ask(json!({"calc": "forecast", "readings": still, "limit_km": 5000}));
    assert_eq!(
        (&still["expected"], &still["earliest"], &still["latest"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
}

#[test]
fn too_few_readings_say_nothing() {
    let fault = |place: &str, code| vec![(place.to_owned(), code)];
    let of = |readings: Value| refused(json!({"calc": "forecast", "readings": readings, "limit_km": 5000}));
    let few = fault("/readings", "not_enough_readings");
    assert_eq!(of(json!([])), few);
    assert_eq!(of(json!([{"on": "2026-01-01", "km": 1}])), few);
    assert_eq!(of(json!([{"on": "2026-01-01", "km": 1}, {"on": "2026-01-14", "km": 500}])), few);
    // The first lies more than two years before the last.
    assert_eq!(of(json!([{"on": "2024-01-31", "km": 1}, {"on": "2026-02-01", "km": 500}])), few);
    let enough = json!([{"on": "2024-02-01", "km": 1}, {"on": "2026-02-01", "km": 500}]);
    assert!(
        number(&ask(json!({"calc": "forecast", "readings": enough, "limit_km": 5000})), "km_per_day") > 0.0
    );
    assert_eq!(of(json!([{"on": "1066-01-01", "km": -1}])).len(), 2);
}

proptest! {
    /// Readings on a line: the pace is the line's, and the days follow one another.
    #[test]
    fn a_steady_pace_is_found(pace_km in 1.0..500.0, days in proptest::collection::vec(0_i32..700, 2..20), ahead in 1.0..50_000.0) {
        let begin: lustrum::core::calendar::Day = "2025-01-01".parse().unwrap();
        let mut days = days;
        days.extend([0, 14]);
        let readings: Vec<Driven> = (days.iter())
            .map(|day| Driven { on: begin.plus_days(*day), km: f64::from(*day) * pace_km })
            .collect();
        let found = pace(&readings).unwrap();
        prop_assert!(close(found.km_per_day, pace_km, 1e-9 * pace_km));
        prop_assert!(found.low <= found.km_per_day && found.km_per_day <= found.high);
        let last = f64::from(*days.iter().max().unwrap()) * pace_km;
        let passed = found.passes(last + ahead);
        prop_assert!(passed.earliest <= passed.expected && passed.expected <= passed.latest);
    }
}
