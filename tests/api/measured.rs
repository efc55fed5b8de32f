//! Checks of what was measured and done, over HTTP: each is live, says what to do, and goes when it was done.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    what_is_measured_is_checked_while_there_is_time,
    nothing_cuts_matte_paint_unless_a_manager_passes_it
);

/// A coating whose sheet says all that is checked; answers the path of a job with one coat of it on the roof.
fn coated(shop: &TestShop, finish: &str) -> (String, String) {
    let sheet = json!({
        "surfaces": ["paint", "trim"],
        "apply": {"air_c": [10, 30], "rh_pct": [30, 70], "surface_c": [10, 35], "over_dew_c": 3.0},
        "level": {"after_s": [60, 120], "table": [[10, [120, 240]], [20, [60, 120]]]},
        "recoat": [{"onto": "bare", "prep": {"paint": ["panel_wipe"], "trim": []}},
                   {"onto": "base-30", "windows": [{"after_min": 0, "within_min": 10}, {"after_min": 60, "within_min": 720}]}],
        "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                 "milestones": [{"name": "water-safe", "h": 12}]},
        "yield_m2_per_ml": 0.5, "keeps": {"opened": {"months": 6}},
    });
    let product = json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": sheet});
    shop.manager.post("/v1/products", &product).created();
    let batch = json!({"product": "base-30", "number": "0417", "opened_on": "2026-03-01"});
    shop.technician.post("/v1/batches", &batch).created();
    let vehicle = json!({"plate": "QC-1", "finish": finish});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 400, "unit": "km"}});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    step(shop, &job, json!({"kind": "panel_wipe", "surfaces": ["paint"]}), "08:40", "08:50");
    step(shop, &job, json!({"kind": "high_spot_check", "surfaces": ["paint"]}), "12:00", "12:10");
    let coat = format!("{job}/coats/{}", lays(shop, &job, "09:00", "09:40"));
    (job, coat)
}

fn lays(shop: &TestShop, job: &str, from: &str, to: &str) -> String {
    let body = json!({"surface": "paint", "panels": ["roof"], "product": "base-30", "batch": "0417",
                      "started_at": time(from), "ended_at": time(to)});
    id(&shop.technician.post(&format!("{job}/coats"), &body).created())
}

fn time(at: &str) -> String {
    format!("2026-03-09T{at}:00Z")
}

fn step(shop: &TestShop, job: &str, mut body: Value, from: &str, to: &str) -> String {
    body["started_at"] = json!(time(from));
    body["ended_at"] = json!(time(to));
    format!("{job}/steps/{}", id(&shop.technician.post(&format!("{job}/steps"), &body).created()))
}

/// What the checks find, as code and severity.
fn found(shop: &TestShop, job: &str) -> Vec<(String, String)> {
    let list = shop.desk.get(&format!("{job}/checks")).ok();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let items = list["items"].as_array().unwrap();
    for item in items {
        assert!(text(&item["detail"]).len() > 20, "it says what to do now: {item:#}");
        assert!(item["measured"].is_string() && item["clause"].is_string(), "{item:#}");
    }
    items.iter().map(|item| (text(&item["code"]), text(&item["severity"]))).collect()
}

fn one(code: &str, severity: &str) -> Vec<(String, String)> {
    vec![(code.into(), severity.into())]
}

fn what_is_measured_is_checked_while_there_is_time(shop: TestShop) {
    let (job, coat) = coated(&shop, "clear_coat");
    assert_eq!(found(&shop, &job), one("climate_not_measured", "warns"));
    let cold = json!({"at": time("08:55"), "air_c": 9.5, "rh_pct": 60, "surface_c": 12.0, "place": "bay"});
    let reading = id(&shop.technician.post(&format!("{job}/climate"), &cold).created());
    assert_eq!(found(&shop, &job), one("climate_outside", "warns"));
    let reading = format!("{job}/climate/{reading}");
    let read = |change: Value| shop.technician.change(&reading, &change).ok();
    read(json!({"air_c": 20.0}));
    // 20 °C at 60 %: dew point 12 °C (tests/reference/surface_rule.csv, SR001).
    assert_eq!(found(&shop, &job), one("dew_point_close", "warns"));
    read(json!({"surface_c": 15.1}));
    assert_eq!(found(&shop, &job), []);

    let change = |body: Value| shop.technician.change(&coat, &body).ok();
    let levelled = |at: &str| json!({"sections": [{"panels": ["roof"], "applied_at": time("09:00"), "levelled_at": at}]});
    change(levelled("2026-03-09T09:01:00Z"));
    assert_eq!(found(&shop, &job), one("levelled_early", "warns"), "at 15 °C 90 s are asked for");
    change(levelled("2026-03-09T09:03:30Z"));
    assert_eq!(found(&shop, &job), one("levelled_late", "warns"));
    change(levelled("2026-03-09T09:02:00Z"));
    assert_eq!(found(&shop, &job), []);
    change(json!({"sections": [{"panels": ["roof"], "applied_at": time("09:00")}]}));
    assert_eq!(found(&shop, &job), one("levelled_by_eye", "tells"));
    change(json!({"sections": null, "ml": 25.0, "area_m2": 6.0}));
    assert_eq!(found(&shop, &job), one("amount_off_yield", "warns"));
    change(json!({"ml": 24.0}));
    assert_eq!(found(&shop, &job), []);

    let bottle = &shop.desk.get("/v1/batches").ok()["items"][0];
    let bottle = format!("/v1/batches/{}", id(bottle));
    shop.technician.change(&bottle, &json!({"opened_on": "2025-09-08"})).ok();
    assert_eq!(found(&shop, &job), one("bottle_open_too_long", "warns"));
    shop.technician.change(&bottle, &json!({"opened_on": "2025-09-09"})).ok();
    assert_eq!(found(&shop, &job), []);

    let second = format!("{job}/coats/{}", lays(&shop, &job, "10:30", "10:50"));
    assert_eq!(found(&shop, &job), one("recoat_window", "warns"));
    shop.technician.change(&second, &json!({"started_at": time("10:40")})).ok();
    assert_eq!(found(&shop, &job), []);
    let polish =
        step(&shop, &job, json!({"kind": "machine_polish", "surfaces": ["paint"]}), "10:00", "10:20");
    assert_eq!(found(&shop, &job), one("polish_after_coat", "warns"));
    shop.technician.change(&polish, &json!({"panels": ["boot"]})).ok();
    assert_eq!(found(&shop, &job), []);
    let wheels = json!({"kind": "wheel_clean", "surfaces": ["wheels"], "wheels_off": true});
    step(&shop, &job, wheels, "07:00", "07:30");
    assert_eq!(found(&shop, &job), one("torque_missing", "warns"));
    step(&shop, &job, json!({"kind": "torque", "surfaces": ["wheels"]}), "07:30", "07:40");
    assert_eq!(found(&shop, &job), []);

    let steps = shop.technician.get(&format!("{job}/steps")).ok();
    let step_of = |kind: &str| {
        let found = steps["items"].as_array().unwrap().iter().find(|step| step["kind"] == kind).unwrap();
        format!("{job}/steps/{}", id(found))
    };
    shop.technician
        .change(&step_of("panel_wipe"), &json!({"started_at": time("06:50"), "ended_at": time("06:59")}))
        .ok();
    assert_eq!(found(&shop, &job), one("wipe_stale", "warns"));
    shop.technician.change(&step_of("panel_wipe"), &json!({"ended_at": time("07:00")})).ok();
    assert_eq!(found(&shop, &job), []);
    shop.technician.delete(&step_of("high_spot_check"));
    assert_eq!(found(&shop, &job), one("high_spots_not_checked", "warns"));
    // None of it holds up the sign-off, and all of it stays in the record.
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
}

fn nothing_cuts_matte_paint_unless_a_manager_passes_it(shop: TestShop) {
    let (job, coat) = coated(&shop, "matte");
    let reading = json!({"at": time("08:55"), "air_c": 20.0, "rh_pct": 50, "surface_c": 19.0});
    shop.technician.post(&format!("{job}/climate"), &reading).created();
    let clay = step(&shop, &job, json!({"kind": "clay", "surfaces": ["paint"]}), "08:00", "08:20");
    assert_eq!(found(&shop, &job), one("clay_not_described", "warns"));
    shop.technician.change(&clay, &json!({"abrasive": true})).ok();
    assert_eq!(found(&shop, &job), one("abrasive_on_finish", "stops"));
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).refused(409, "job_has_stops");

    let subject = format!("step:{}", clay.rsplit('/').next().unwrap());
    let pass =
        json!({"code": "abrasive_on_finish", "subject": subject, "reason": "A test panel of the owner's."});
    shop.manager.post(&format!("{job}/passes"), &pass).created();
    let passed = || shop.desk.get(&format!("{job}/checks")).ok()["items"][0]["passed_by"].is_object();
    assert!(passed());
    // A pass holds for the step as it was.
    shop.technician.change(&clay, &json!({"panels": ["roof", "boot"]})).ok();
    assert!(!passed());
    shop.technician.change(&clay, &json!({"panels": null})).ok();
    assert!(passed());
    shop.technician.change(&coat, &json!({"ml": 3.0})).ok();
    assert!(passed(), "the coat has nothing to do with it");
    shop.technician.change(&clay, &json!({"kind": "foam"})).faults(422, "rule_broken");
    shop.technician.change(&job, &json!({"finishes": {"roof": "clear_coat"}})).ok();
    assert_eq!(found(&shop, &job), [], "the roof alone is coated, and glossy");
    shop.technician.change(&job, &json!({"finishes": null})).ok();
    shop.technician.change(&clay, &json!({"abrasive": false})).ok();
    assert_eq!(found(&shop, &job), []);
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
}
