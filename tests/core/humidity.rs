//! Water in the air against tables that name their sources (tests/reference).

use lustrum::core::humidity::{dew_point, heated, saturation_pressure, vapour_pressure};
use lustrum::core::units::{Celsius, Hectopascals, RelativeHumidity};
use proptest::prelude::*;
use serde_json::json;

use super::table::rows;
use crate::support::calc::{ask, close, number, refused};

#[test]
fn dew_points_are_those_of_the_formula_and_near_the_libraries() {
    let table = rows(include_str!("../reference/dewpoint.csv"));
    assert!(table.len() >= 35);
    let mut near = 0;
    for row in table {
        let cell = |name: &str| row[name].parse::<f64>().unwrap_or_else(|_| panic!("{name} of {row:?}"));
        let answer = ask(json!({"calc": "dew_point", "air_c": cell("t_c"), "rh_pct": cell("rh_pct")}));
        let dew = number(&answer, "dew_point_c");
        assert!(close(dew, cell("td_magnus_wmo_c"), 1e-4), "{}: {dew}, {}", row["id"], row["source"]);
        // Below freezing the other libraries answer another question (frost point, humidity over ice).
        if row["band"] == "dew>=0" {
            let tolerance: f64 = row["tol_c"].parse().unwrap();
            for library in ["td_psychrolib_c", "td_coolprop_c"] {
                assert!(close(dew, cell(library), tolerance), "{}: {dew}, {library}", row["id"]);
            }
            near += 1;
        }
    }
    assert!(near >= 20, "{near} rows");
}

#[test]
fn water_in_the_air_is_that_of_the_ideal_gas() {
    let table = rows(include_str!("../reference/absolute_humidity.csv"));
    assert!(table.len() >= 15);
    for row in table {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let answer = ask(json!({"calc": "dew_point", "air_c": cell("t_c"), "rh_pct": cell("rh_pct")}));
        let (e, water) = (number(&answer, "vapour_pressure_hpa"), number(&answer, "absolute_humidity_g_m3"));
        assert!(close(e, cell("vapour_pressure_hpa_magnus_wmo"), 1e-6), "{}: {e}", row["id"]);
        assert!(close(water, cell("abs_humidity_g_m3_magnus_wmo"), 1e-6), "{}: {water}", row["id"]);
        let tolerance = cell("tol_rel") * water;
        assert!(close(water, cell("abs_humidity_g_m3_metpy"), tolerance), "{}: {water}", row["id"]);
    }
}

#[test]
fn printed_tables_agree_but_for_their_misprints() {
    let table = rows(include_str!("../reference/published_dewpoint_tables.csv"));
    let mut judged = 0;
    for row in table.iter().filter(|row| row["usable"] == "yes") {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let fahrenheit = row["unit"] == "degF";
        let air_c = if fahrenheit { (cell("air_t") - 32.0) / 1.8 } else { cell("air_t") };
        let dew = number(
            &ask(json!({"calc": "dew_point", "air_c": air_c, "rh_pct": cell("rh_pct")})),
            "dew_point_c",
        );
        let dew = if fahrenheit { dew * 1.8 + 32.0 } else { dew };
        let tolerance: f64 = row["tol"].split(' ').next().unwrap().parse().unwrap();
        let printed = cell("dew_point_published");
        assert!(close(dew, printed, tolerance), "{}: {dew}, printed {printed}, {}", row["id"], row["source"]);
        judged += 1;
    }
    assert!(judged >= 60, "{judged} rows");
}

#[test]
fn a_surface_is_judged_by_its_distance_from_the_dew_point() {
    for row in rows(include_str!("../reference/surface_rule.csv")) {
        let cell = |name: &str| row[name].parse::<f64>().unwrap();
        let over = number(
            &ask(
                json!({"calc": "dew_point", "air_c": cell("air_t_c"), "rh_pct": cell("rh_pct"), "surface_c": cell("surface_t_c")}),
            ),
            "over_dew_c",
        );
        assert!(close(over, cell("margin_c"), 1e-4), "{}: {over}, {}", row["id"], row["source"]);
        let passes = over >= lustrum::core::humidity::LEAST_OVER_DEW_K;
        assert_eq!(passes.to_string(), row["pass_margin_3c"], "{}", row["id"]);
    }
}

#[test]
fn what_is_out_of_range_is_told_with_value_and_range() {
    let faults = refused(json!({"calc": "dew_point", "air_c": 61, "rh_pct": 100.5, "surface_c": -400}));
    let places: Vec<&str> = faults.iter().map(|(place, _)| place.as_str()).collect();
    assert_eq!(places, ["/air_c", "/rh_pct", "/surface_c"], "all at once");
    for (question, place) in [
        (json!({"calc": "dew_point", "air_c": 61, "rh_pct": 50}), "/air_c"),
        (json!({"calc": "dew_point", "air_c": -46, "rh_pct": 50}), "/air_c"),
        (json!({"calc": "dew_point", "air_c": 20, "rh_pct": 0}), "/rh_pct"),
        (json!({"calc": "heated_air", "out_c": -50, "out_rh_pct": 50, "in_c": 20}), "/out_c"),
        (json!({"calc": "heated_air", "out_c": 0, "out_rh_pct": 50, "in_c": 70}), "/in_c"),
    ] {
        assert_eq!(refused(question), [(place.to_owned(), "out_of_range")]);
    }
    let colder = json!({"calc": "heated_air", "out_c": 20, "out_rh_pct": 80, "in_c": 10});
    assert_eq!(refused(colder), [("/in_c".to_owned(), "condenses")]);
    let wrong = saturation_pressure(Celsius::new(60.5).unwrap()).unwrap_err();
    assert_eq!(wrong.detail, "60.5 is out of range; allowed are -45 to 60 °C");
    assert!(dew_point(Hectopascals::new(0.0).unwrap()).is_err(), "dry air has no dew point");
}

proptest! {
    #[test]
    fn the_dew_point_is_where_the_vapour_saturates(t in -45.0..60.0, rh in 1.0..100.0) {
        let vapour = vapour_pressure(Celsius::new(t).unwrap(), RelativeHumidity::new(rh).unwrap()).unwrap();
        if let Ok(dew) = dew_point(vapour) {
            prop_assert!(dew.get() <= t + 1e-9);
            prop_assert!(close(saturation_pressure(dew).unwrap().get(), vapour.get(), 1e-9 * vapour.get()));
        }
    }

    #[test]
    fn heating_and_cooling_again_changes_nothing(out in -40.0..20.0, rh in 1.0..100.0, warmer in 0.0..40.0) {
        let (out, rh) = (Celsius::new(out).unwrap(), RelativeHumidity::new(rh).unwrap());
        let inside = Celsius::new(out.get() + warmer).unwrap();
        let there = heated(out, rh, inside).unwrap();
        prop_assert!(there <= rh);
        let back = heated(inside, there, out).unwrap();
        prop_assert!(close(back.get(), rh.get(), 1e-9));
    }

    #[test]
    fn kelvins_and_degrees_round_trip(t in -60.0..200.0) {
        let there = Celsius::new(t).unwrap();
        prop_assert!(close(there.kelvins().celsius().unwrap().get(), t, 1e-12 * 500.0));
    }
}
