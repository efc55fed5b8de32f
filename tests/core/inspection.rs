//! Figures of an inspection against tables that name their sources (tests/reference).

use lustrum::core::figures::{Standing, gloss_angle, judge};
use lustrum::core::terms::Limit;
use serde_json::{Value, json};

use super::table::rows;
use crate::support::calc::{ask, close, number, refused};

/// reference/sessile_drop.csv: circle geometry worked out two ways.
#[test]
fn contact_angles_are_those_of_a_cap() {
    let table = rows(include_str!("../reference/sessile_drop.csv"));
    assert!(table.len() >= 10);
    for row in table {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let drop = json!({"height_mm": cell("height_mm"), "width_mm": cell("base_width_mm")});
        let answer = ask(json!({"calc": "contact_angle", "drops": [drop]}));
        let found = number(&answer, "mean_deg");
        assert!(close(found, cell("theta_deg"), 1e-7), "{}: {found}, {}", row["id"], row["source"]);
        assert_eq!(answer["angles_deg"], json!([found]));
        assert_eq!((&answer["low_deg"], &answer["high_deg"]), (&Value::Null, &Value::Null));
    }
}

/// Student's t(0.975, 2) = 4.30265273 (scipy 1.17.1, and printed tables).
#[test]
fn several_drops_have_a_mean_with_its_interval() {
    let drop = |height: f64| json!({"height_mm": height, "width_mm": 2.0});
    // 2 atan(h): 90° and 30° to each side of it.
    let heights = [30.0_f64, 45.0, 60.0].map(|half| half.to_radians().tan());
    let answer = ask(json!({"calc": "contact_angle", "drops": heights.map(drop)}));
    let reach = 4.30265273 * 30.0 / 3.0_f64.sqrt();
    assert!(close(number(&answer, "mean_deg"), 90.0, 1e-9));
    assert!(close(number(&answer, "low_deg"), 90.0 - reach, 1e-6), "{answer}");
    assert!(close(number(&answer, "high_deg"), 90.0 + reach, 1e-6), "{answer}");
}

/// reference/ciede2000.csv: Sharma, Wu and Dalal 2005, table I. Pair 14 lies on a discontinuity: either value is right.
#[test]
fn colours_differ_by_what_the_authors_of_the_test_data_say() {
    let table = rows(include_str!("../reference/ciede2000.csv"));
    assert!(table.len() >= 20);
    for row in table {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let (one, other) = ([cell("L1"), cell("a1"), cell("b1")], [cell("L2"), cell("a2"), cell("b2")]);
        let there = number(&ask(json!({"calc": "delta_e", "lab1": one, "lab2": other})), "delta_e_00");
        let back = number(&ask(json!({"calc": "delta_e", "lab1": other, "lab2": one})), "delta_e_00");
        let edge = row["pair"] == "14"
            && [there, back].iter().all(|e| close(*e, 4.7461, 1e-4) || close(*e, 4.8045, 1e-4));
        for found in [there, back] {
            assert!(
                edge || close(found, cell("deltaE00_published"), 1e-4),
                "{}: {found}, {}",
                row["id"],
                row["source"]
            );
            assert!(edge || close(found, cell("deltaE00_40digit"), 1e-9), "{}: {found}", row["id"]);
        }
        let same = number(&ask(json!({"calc": "delta_e", "lab1": one, "lab2": one})), "delta_e_00");
        assert!(close(same, 0.0, 1e-12));
    }
}

#[test]
fn what_nobody_can_have_read_is_refused() {
    let fault = |place: &str, code| vec![(place.to_owned(), code)];
    assert_eq!(refused(json!({"calc": "contact_angle", "drops": []})), fault("/drops", "empty"));
    let flat = json!({"calc": "contact_angle", "drops": [{"height_mm": 1, "width_mm": 2}, {"height_mm": 0, "width_mm": 2}]});
    assert_eq!(refused(flat), fault("/drops/1/height_mm", "out_of_range"));
    let colours = json!({"calc": "delta_e", "lab1": [101, 0, 0], "lab2": [50, 0, -201]});
    assert_eq!(
        refused(colours),
        [("/lab1/0".to_owned(), "out_of_range"), ("/lab2/2".to_owned(), "out_of_range")]
    );
}

/// Common practice; the angles of gloss by ISO 2813.
#[test]
fn figures_are_judged_against_limits_and_the_first_figure() {
    let judged = |figure, first, min, max, share| {
        judge(figure, first, &Limit { min, max, min_pct_of_baseline: share })
    };
    assert_eq!(judged(80.0, None, Some(80.0), None, None), Standing::Within);
    assert_eq!(judged(79.9, None, Some(80.0), None, None), Standing::TooLow);
    assert_eq!(judged(2.1, None, None, Some(2.0), None), Standing::TooHigh);
    assert_eq!(judged(75.0, Some(100.0), None, None, Some(75.0)), Standing::Within);
    assert_eq!(judged(74.9, Some(100.0), None, None, Some(75.0)), Standing::BelowBaseline);
    assert_eq!(judged(74.9, None, None, None, Some(75.0)), Standing::NoBaseline);
    assert_eq!(judged(1.0, None, None, None, None), Standing::Within);
    assert_eq!([70.1, 70.0, 10.0, 9.9].map(gloss_angle), [20, 60, 60, 85]);
}
