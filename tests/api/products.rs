//! The manager enters products with the data sheets that came with them.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(
    a_coating_is_entered_with_its_sheet,
    a_faulty_sheet_is_told_with_every_fault_at_its_place,
    a_sheet_gets_new_editions_and_keeps_the_old,
    products_of_another_shop_are_not_there,
);

/// A data sheet that says everything that a sheet can say.
pub(crate) fn sheet() -> Value {
    json!({
        "surfaces": ["paint", "trim", "headlights"],
        "apply": { "air_c": [10, 30], "rh_pct": [30, 70], "surface_c": [10, 35], "over_dew_c": 3 },
        "level": { "after_s": [60, 120], "table": [[10, [120, 240]], [20, [60, 120]], [30, [30, 60]]] },
        "recoat": [
            { "onto": "bare", "prep": { "paint": ["panel_wipe"], "headlights": ["panel_wipe"], "trim": [] } },
            { "onto": "base-30", "windows": [ { "after_min": 0, "within_min": 10 }, { "after_min": 60, "within_min": 720 } ] },
            { "onto": "aged", "prep": { "paint": ["decontamination", "panel_wipe"] } }
        ],
        "cure": {
            "reference": { "c": 20, "rh_pct": 50 },
            "stops_below_c": 5,
            "temperature": { "q10": 2.0 },
            "humidity": { "table": [[20, 0.5], [50, 1.0], [80, 1.25]] },
            "lamp": { "panel_c": 60, "min": 15, "then": "water-safe" },
            "milestones": [
                { "name": "dry to touch", "h": 1 },
                { "name": "water-safe", "h": 12 },
                { "name": "wash-safe", "h": 168, "latest_days": 30 },
                { "name": "full cure", "h": 336 }
            ],
            "wet_at_once": false
        },
        "yield_m2_per_ml": 0.5,
        "keeps": { "unopened": { "months": 24 }, "opened": { "months": 6 } },
        "cautions": ["Use nitrile gloves and a fresh cloth for each panel"]
    })
}

fn base_30() -> Value {
    json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": sheet()})
}

fn a_coating_is_entered_with_its_sheet(shop: TestShop) {
    shop.technician.post("/v1/products", &base_30()).refused(403, "forbidden");
    let added = shop.manager.post("/v1/products", &base_30());
    assert_eq!(added.header("location"), Some("/v1/products/base-30"));
    let body = added.created();
    assert_eq!(
        (&body["code"], &body["title"], &body["role"]),
        (&json!("base-30"), &json!("Base 30"), &json!("coating"))
    );
    assert_eq!(body["edition"], 1);
    assert_eq!(shop.technician.get("/v1/products/base-30").ok(), body);

    let sheet = shop.technician.get("/v1/products/base-30/sheets/1").ok();
    assert_eq!(sheet["document"]["code"], "base-30", "what the sheet left out comes from the product");
    assert_eq!(sheet["document"]["apply"], self::sheet()["apply"]);

    let again = shop.manager.post("/v1/products", &base_30()).refused(409, "product_exists");
    assert_eq!(again["existing"], body["id"]);
    let faults = shop
        .manager
        .post("/v1/products", &json!({"code": "top-10", "title": "Top 10", "role": "coating"}))
        .faults(422, "rule_broken");
    assert_eq!(faults, [("/sheet".into(), "missing".into())], "a coating needs a sheet");
    let wash = json!({"code": "wash-1", "title": "Wash 1", "role": "cleaner"});
    assert_eq!(
        shop.manager.post("/v1/products", &wash).created()["edition"],
        Value::Null,
        "a cleaner needs none"
    );

    let listed = shop.desk.get("/v1/products?role=coating").ok();
    assert_eq!(listed["items"], json!([body]));
    let changed = shop.manager.change("/v1/products/base-30", &json!({"title": "Base 30 (new label)"})).ok();
    assert_eq!((&changed["title"], &changed["role"]), (&json!("Base 30 (new label)"), &json!("coating")));
    let faults =
        shop.manager.change("/v1/products/base-30", &json!({"code": "base"})).faults(400, "malformed");
    assert_eq!(faults, [("/code".into(), "unknown_member".into())]);
}

/// The faults of a sheet in which `value` stands at `pointer` (a missing member is added, null takes it away).
fn faults_with(shop: &TestShop, changes: &[(&str, Value)]) -> Vec<(String, String)> {
    let mut product = base_30();
    for (pointer, value) in changes {
        super::terms::set(&mut product["sheet"], pointer, value.clone());
    }
    shop.manager.post("/v1/products", &product).faults(422, "sheet_faulty")
}

fn a_faulty_sheet_is_told_with_every_fault_at_its_place(shop: TestShop) {
    // The faults that the description of a sheet names, each alone.
    let single: &[(&str, Value, &str, &str)] = &[
        ("/colour", json!("red"), "/colour", "unknown_member"),
        ("/apply/air_c", json!([30, 10]), "/apply/air_c", "upside_down"),
        ("/apply/rh_pct", json!([30, 170]), "/apply/rh_pct/1", "out_of_range"),
        ("/apply/wind", json!(1), "/apply/wind", "unknown_member"),
        ("/level/table/1", json!([10, [60, 120]]), "/level/table/1", "not_rising"),
        ("/level/after_s", json!([-1, 120]), "/level/after_s/0", "negative"),
        ("/surfaces", json!([]), "/surfaces", "empty"),
        ("/surfaces/1", json!("bonnet"), "/surfaces/1", "unknown_word"),
        ("/recoat/0/prep/glass", json!(["panel_wipe"]), "/recoat/0/prep/glass", "surface_not_listed"),
        ("/recoat/0/prep/paint/0", json!("polka"), "/recoat/0/prep/paint/0", "unknown_word"),
        (
            "/recoat/1/windows/1",
            json!({"after_min": 60, "within_min": 10}),
            "/recoat/1/windows/1",
            "upside_down",
        ),
        ("/cure", Value::Null, "/cure", "missing"),
        ("/cure/reference", Value::Null, "/cure/reference", "missing"),
        ("/cure/temperature", Value::Null, "/cure/temperature", "missing"),
        ("/cure/temperature", json!({"q10": 0}), "/cure/temperature/q10", "not_above_zero"),
        (
            "/cure/temperature",
            json!({"activation_energy_j_mol": -1}),
            "/cure/temperature/activation_energy_j_mol",
            "negative",
        ),
        (
            "/cure/temperature",
            json!({"q10": 2, "activation_energy_j_mol": 5e4}),
            "/cure/temperature",
            "one_of",
        ),
        ("/cure/humidity/table/2", json!([50, 1.25]), "/cure/humidity/table/2", "not_rising"),
        ("/cure/milestones/1/h", json!(1), "/cure/milestones/1", "not_rising"),
        ("/cure/lamp/min", json!(-15), "/cure/lamp/min", "negative"),
        ("/cure/lamp/then", json!("rain-safe"), "/cure/lamp/then", "unknown_milestone"),
        ("/keeps/opened", json!({}), "/keeps/opened", "period_empty"),
        ("/edition", json!(2), "/edition", "does_not_match"),
        ("/role", json!("topper"), "/role", "does_not_match"),
        ("/yield_m2_per_ml", json!("half"), "/yield_m2_per_ml", "wrong_type"),
    ];
    for (pointer, value, place, code) in single {
        let told = faults_with(&shop, &[(pointer, value.clone())]);
        assert_eq!(told, [(format!("/sheet{place}"), (*code).to_owned())], "{value} at {pointer}");
    }
    let none = faults_with(&shop, &[("/cure/milestones", json!([])), ("/cure/lamp", Value::Null)]);
    assert_eq!(none, [("/sheet/cure/milestones".into(), "empty".into())]);
    // All at once, with what is wrong with the product itself.
    let mut product = base_30();
    product["code"] = json!("Base 30");
    product["sheet"]["apply"]["air_c"] = json!([30, 10]);
    product["sheet"]["cure"]["temperature"] = json!({"q10": -2});
    let told = shop.manager.post("/v1/products", &product).faults(422, "sheet_faulty");
    let places: Vec<&str> = told.iter().map(|(place, _)| place.as_str()).collect();
    assert_eq!(places, ["/code", "/sheet/apply/air_c", "/sheet/cure/temperature/q10"]);
    assert_eq!(shop.manager.get("/v1/products").ok()["items"], json!([]), "nothing was half entered");
}

fn a_sheet_gets_new_editions_and_keeps_the_old(shop: TestShop) {
    shop.manager.post("/v1/products", &base_30()).created();
    let before = shop.desk.etag("/v1/products/base-30");
    let mut second = sheet();
    second["apply"]["air_c"] = json!([5, 30]);
    let checked = shop.manager.post("/v1/products/base-30/sheets?validate_only=true", &second).ok();
    assert_eq!(checked, json!({"valid": true}));
    assert_eq!(shop.desk.get("/v1/products/base-30").ok()["edition"], 1, "checking writes nothing");

    let added = shop.manager.post("/v1/products/base-30/sheets", &second);
    let location = added.header("location").unwrap().to_owned();
    let body = added.created();
    assert_eq!((&body["edition"], &body["document"]["edition"]), (&json!(2), &json!(2)));
    assert_eq!(shop.desk.get(&location).ok(), body);
    assert_ne!(shop.desk.etag("/v1/products/base-30"), before, "the product says another edition now");
    assert_eq!(shop.desk.get("/v1/products/base-30").ok()["edition"], 2);
    let first = shop.desk.get("/v1/products/base-30/sheets/1").ok();
    assert_eq!(first["document"]["apply"]["air_c"], json!([10, 30]), "the old edition stays as it was");
    let listed = shop.desk.get("/v1/products/base-30/sheets?limit=1").ok();
    assert_eq!(listed["items"], json!([body]));
    let next = listed["next"].as_str().unwrap();
    let rest = shop.desk.get(&format!("/v1/products/base-30/sheets?limit=1&cursor={next}")).ok();
    assert_eq!(rest, json!({"items": [first], "next": null}));

    second["edition"] = json!(2);
    for path in ["/v1/products/base-30/sheets", "/v1/products/base-30/sheets?validate_only=true"] {
        shop.manager.post(path, &second).refused(409, "edition_exists");
    }
    second["edition"] = json!(4);
    let told = shop.manager.post("/v1/products/base-30/sheets", &second).faults(422, "sheet_faulty");
    assert_eq!(told, [("/edition".into(), "does_not_match".into())]);
    second["edition"] = json!(3);
    second["apply"]["air_c"] = json!([5]);
    let told = shop
        .manager
        .post("/v1/products/base-30/sheets?validate_only=true", &second)
        .faults(422, "sheet_faulty");
    assert_eq!(told, [("/apply/air_c".into(), "wrong_length".into())]);
    shop.desk.post("/v1/products/base-30/sheets", &sheet()).refused(403, "forbidden");
    shop.desk.get("/v1/products/base-30/sheets/9").refused(404, "not_found");
    shop.manager.post("/v1/products/top-10/sheets", &sheet()).refused(404, "not_found");
}

fn products_of_another_shop_are_not_there(shop: TestShop) {
    shop.manager.post("/v1/products", &base_30()).created();
    let neighbour = shop.neighbour();
    for path in ["/v1/products/base-30", "/v1/products/base-30/sheets", "/v1/products/base-30/sheets/1"] {
        neighbour.get(path).refused(404, "not_found");
    }
    assert_eq!(neighbour.get("/v1/products").ok()["items"], json!([]));
    // The code is each shop's own.
    neighbour.post("/v1/products", &base_30()).created();
}
