//! Data sheets: each rule of one has a sheet that breaks it, all at once, and whatever stands in one reading ends.

use lustrum::core::sheet::Sheet;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use serde_json::{Value, json};

/// A sheet that says all that one can say (invented).
fn whole() -> Value {
    json!({
        "code": "base-30", "edition": 1, "title": "Base 30", "role": "coating", "surfaces": ["paint", "trim", "headlights"],
        "apply": {"air_c": [10, 30], "rh_pct": [30, 70], "surface_c": [10, 35], "over_dew_c": 3.0},
        "level": {"after_s": [60, 120], "table": [[10, [120, 240]], [20, [60, 120]], [30, [30, 60]]]},
        "recoat": [
            {"onto": "bare", "prep": {"paint": ["panel_wipe"], "headlights": ["panel_wipe"], "trim": []}},
            {"onto": "base-30", "windows": [{"after_min": 0, "within_min": 10}, {"after_min": 60, "within_min": 720}]},
            {"onto": "aged", "prep": {"paint": ["decontamination", "panel_wipe"]}},
        ],
        "cure": {
            "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
            "humidity": {"table": [[20, 0.5], [50, 1.0], [80, 1.25]]},
            "lamp": {"panel_c": 60, "min": 15, "then": "water-safe"},
            "milestones": [{"name": "dry to touch", "h": 1}, {"name": "water-safe", "h": 12},
                           {"name": "wash-safe", "h": 168, "latest_days": 30}, {"name": "full cure", "h": 336}],
            "wet_at_once": false,
        },
        "yield_m2_per_ml": 0.5, "keeps": {"unopened": {"months": 24}, "opened": {"months": 6}},
        "cautions": ["Use nitrile gloves."],
    })
}

/// What is wrong with the sheet once this stands at that place.
fn faults(place: &str, value: Value) -> Vec<(String, &'static str)> {
    let mut sheet = whole();
    let (parent, name) = place.rsplit_once('/').unwrap();
    match sheet.pointer_mut(parent).unwrap() {
        Value::Object(members) => drop(members.insert(name.to_owned(), value)),
        Value::Array(items) => items[name.parse::<usize>().unwrap()] = value,
        other => panic!("{other}"),
    }
    let faults = Sheet::read(&sheet).map(drop).unwrap_err();
    faults.into_iter().map(|fault| (fault.pointer, fault.code)).collect()
}

#[test]
fn each_rule_is_told_at_its_place() {
    assert!(Sheet::read(&whole()).is_ok());
    for (place, value, at, code) in [
        ("/colour", json!("blue"), "/colour", "unknown_member"),
        ("/cure/speed", json!(1), "/cure/speed", "unknown_member"),
        ("/recoat/1/windows/0/before_min", json!(1), "/recoat/1/windows/0/before_min", "unknown_member"),
        ("/apply/air_c", json!([30, 10]), "/apply/air_c", "upside_down"),
        ("/apply/rh_pct", json!([70.1, 70]), "/apply/rh_pct", "upside_down"),
        ("/level/after_s", json!([121, 120]), "/level/after_s", "upside_down"),
        ("/level/table/1", json!([20, [120, 60]]), "/level/table/1/1", "upside_down"),
        (
            "/recoat/1/windows/1",
            json!({"after_min": 60, "within_min": 59}),
            "/recoat/1/windows/1",
            "upside_down",
        ),
        ("/level/table/2/0", json!(20), "/level/table/2", "not_rising"),
        ("/cure/humidity/table/1/0", json!(20), "/cure/humidity/table/1", "not_rising"),
        (
            "/cure/temperature",
            json!({"table": [[20, 1], [10, 2]]}),
            "/cure/temperature/table/1",
            "not_rising",
        ),
        ("/cure/milestones/2/h", json!(12), "/cure/milestones/2", "not_rising"),
        ("/level/after_s", json!([-1, 120]), "/level/after_s/0", "negative"),
        ("/recoat/1/windows/0/after_min", json!(-0.1), "/recoat/1/windows/0/after_min", "negative"),
        ("/cure/milestones/0/h", json!(-1), "/cure/milestones/0/h", "negative"),
        ("/cure/lamp/min", json!(-15), "/cure/lamp/min", "negative"),
        ("/recoat/0/prep/glass", json!([]), "/recoat/0/prep/glass", "surface_not_listed"),
        ("/cure/temperature", json!({"q10": 0}), "/cure/temperature/q10", "not_above_zero"),
        (
            "/cure/temperature",
            json!({"activation_energy_j_mol": -1}),
            "/cure/temperature/activation_energy_j_mol",
            "negative",
        ),
        ("/cure/temperature", json!({"q10": 2, "table": [[1, 1]]}), "/cure/temperature", "one_of"),
        ("/cure/lamp/then", json!("waterproof"), "/cure/lamp/then", "unknown_milestone"),
        ("/yield_m2_per_ml", json!(0), "/yield_m2_per_ml", "not_above_zero"),
    ] {
        let found = faults(place, value.clone());
        assert_eq!(found, [(at.to_owned(), code)], "{place}: {value}");
    }
    // At the limit nothing is wrong.
    for (place, value) in
        [("/apply/air_c", json!([10, 10])), ("/recoat/1/windows/0", json!({"after_min": 0, "within_min": 0}))]
    {
        let mut sheet = whole();
        *sheet.pointer_mut(place).unwrap() = value;
        assert!(Sheet::read(&sheet).is_ok(), "{place}");
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let mut sheet = whole();
    sheet["apply"]["air_c"] = json!([30, 10]);
    sheet["cure"]["temperature"] = json!({"q10": -1});
    sheet["recoat"][2]["prep"]["film"] = json!([]);
    sheet["keep"] = json!({});
    let faults = Sheet::read(&sheet).unwrap_err();
    let mut codes: Vec<&str> = faults.iter().map(|fault| fault.code).collect();
    codes.sort_unstable();
    assert_eq!(codes, ["negative", "surface_not_listed", "unknown_member", "upside_down"]);
}

/// Every place of a value, the whole of it last.
fn places(value: &Value) -> Vec<String> {
    let below = |name: String, value: &Value| {
        places(value).into_iter().map(move |rest| format!("/{name}{rest}")).collect::<Vec<_>>()
    };
    let mut all: Vec<String> = match value {
        Value::Object(members) => members.iter().flat_map(|(name, one)| below(name.clone(), one)).collect(),
        Value::Array(items) => {
            items.iter().enumerate().flat_map(|(i, one)| below(i.to_string(), one)).collect()
        }
        _ => Vec::new(),
    };
    all.push(String::new());
    all
}

fn any_value() -> impl Strategy<Value = Value> {
    let odd = vec![
        json!(null),
        json!(true),
        json!(""),
        json!(" "),
        json!("base-30"),
        json!("paint"),
        json!([]),
        json!({}),
        json!([1]),
        json!([1, 2]),
        json!([[1, 2], [1, 2]]),
        json!({"months": 0}),
        json!({"table": []}),
        json!(1e300),
        json!(-1e300),
        json!(0),
        json!(u64::MAX),
        json!(i64::MIN),
    ];
    prop_oneof![
        select(odd),
        any::<f64>().prop_map(|number| json!(number)),
        ".{0,20}".prop_map(|text| json!(text))
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever stands where, reading ends: with a sheet, or with faults whose places are there or would be.
    #[test]
    fn whatever_stands_in_a_sheet_reading_ends(changes in proptest::collection::vec((any::<Index>(), any_value()), 1..5)) {
        let mut sheet = whole();
        for (index, value) in changes {
            let all = places(&sheet);
            let place: &String = index.get(&all);
            *sheet.pointer_mut(place).unwrap() = value;
        }
        if let Err(faults) = Sheet::read(&sheet) {
            prop_assert!(!faults.is_empty());
            for fault in faults {
                let parent = fault.pointer.rsplit_once('/').map_or("", |(parent, _)| parent);
                prop_assert!(sheet.pointer(parent).is_some(), "{} is nowhere in {sheet}", fault.pointer);
            }
        }
    }

    #[test]
    fn whatever_bytes_come_reading_ends(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(Sheet::parse(&bytes).is_err());
    }
}
