//! Dilution against a table that names its sources (tests/reference/dilution.csv).

use lustrum::core::dilution::Dilution;
use lustrum::core::units::Millilitres;
use proptest::prelude::*;
use serde_json::json;

use super::table::rows;
use crate::support::calc::{ask, close, number, refused};

/// Litres and US gallons in ml (exact by definition).
fn millilitres(unit: &str) -> f64 {
    match unit {
        "milliliter" => 1.0,
        "liter" => 1000.0,
        "gallon" => 3785.411784,
        _ => panic!("no unit: {unit}"),
    }
}

#[test]
fn what_is_mixed_is_that_of_the_table() {
    let mut judged = 0;
    for row in rows(include_str!("../reference/dilution.csv")) {
        let cell = |name: &str| row[name].parse::<f64>().unwrap_or_else(|_| panic!("{name} of {row:?}"));
        if row["kind"] != "make total" {
            continue;
        }
        let unit = millilitres(&row["unit"]);
        let answer =
            ask(json!({"calc": "dilution", "ratio": row["ratio"], "total_ml": cell("total") * unit}));
        for (member, column, unit) in [
            ("product_ml", "concentrate", unit),
            ("water_ml", "water", unit),
            ("percent_v", "percent_v_v", 1.0),
        ] {
            let found = number(&answer, member) / unit;
            assert!(close(found, cell(column), 1e-6), "{} {member}: {found}, {}", row["id"], row["source"]);
        }
        judged += 1;
    }
    assert!(judged >= 15, "{judged} rows");
}

/// Common practice: 50 ml to 250 ml is 1:5.
#[test]
fn notations_say_the_same() {
    let parts = |question| number(&ask(question), "ratio_parts");
    assert!(close(parts(json!({"calc": "dilution", "part_ml": 50, "to_ml": 250})), 5.0, 1e-12));
    assert!(close(parts(json!({"calc": "dilution", "percent": 20})), 4.0, 1e-12));
    assert!(close(parts(json!({"calc": "dilution", "percent": 100})), 0.0, 1e-12));
    assert!(close(parts(json!({"calc": "dilution", "ratio": "2 : 1,5"})), 0.75, 1e-12));
    assert_eq!(ask(json!({"calc": "dilution", "ratio": "1:4"})).get("product_ml"), None);
}

#[test]
fn what_is_no_dilution_is_refused() {
    let one_of = [(String::new(), "one_of")];
    assert_eq!(refused(json!({"calc": "dilution"})), one_of);
    assert_eq!(refused(json!({"calc": "dilution", "part_ml": 5})), one_of);
    assert_eq!(refused(json!({"calc": "dilution", "ratio": "1:5", "percent": 5})), one_of);
    for ratio in ["", "5", "1:", ":5", "0:5", "1:-5", "1:1e3", "1:5:2", "1:5x", "1:."] {
        assert_eq!(
            refused(json!({"calc": "dilution", "ratio": ratio})),
            [("/ratio".into(), "not_a_dilution")],
            "{ratio}"
        );
    }
    for (question, place) in [
        (json!({"calc": "dilution", "percent": 0}), "/percent"),
        (json!({"calc": "dilution", "percent": 100.1}), "/percent"),
        (json!({"calc": "dilution", "part_ml": 0, "to_ml": 5}), "/part_ml"),
        (json!({"calc": "dilution", "part_ml": 1, "to_ml": -5}), "/to_ml"),
        (json!({"calc": "dilution", "ratio": "1:5", "total_ml": -1}), "/total_ml"),
    ] {
        assert_eq!(refused(question), [(place.to_owned(), "out_of_range")]);
    }
    let bottle = |product, total| {
        Dilution::in_bottle(Millilitres::new(product).unwrap(), Millilitres::new(total).unwrap())
    };
    assert!(bottle(300.0, 250.0).is_err() && bottle(250.0, 250.0).is_ok() && bottle(0.0, 250.0).is_err());
}

proptest! {
    #[test]
    fn notations_round_trip(parts in 0.0..1000.0, total in 1.0..1.0e6) {
        let said = Dilution::of_parts(parts).unwrap();
        let near = |other: Dilution| close(other.parts(), parts, 1e-9 * (1.0 + parts));
        prop_assert!(near(Dilution::of_percent(said.percent()).unwrap()));
        let (product, water) = said.fill(Millilitres::new(total).unwrap());
        prop_assert!(close(product.get() + water.get(), total, 1e-9 * total));
        prop_assert!(near(Dilution::of_volumes(product, water).unwrap()));
        prop_assert!(near(Dilution::in_bottle(product, Millilitres::new(total).unwrap()).unwrap()));
        let written = format!("1:{parts}");
        prop_assert!(near(written.parse().unwrap()));
    }
}
