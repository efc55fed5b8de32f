//! What a vehicle comes with: marks, how its panels are finished, and old coatings.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(a_partly_filmed_vehicle_is_taken_in, marks_are_told_in_few_words);

fn a_partly_filmed_vehicle_is_taken_in(shop: TestShop) {
    let vehicle = shop.adds_vehicle("QC-1");
    let filmed = json!({"bonnet": "film", "front_bumper": "film", "other:tail spoiler": "matte"});
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}, "finishes": filmed,
                     "old_coating": {"glass": ["windscreen"], "paint": ["roof", "boot"]}});
    let opened = shop.technician.post("/v1/jobs", &job).created();
    assert_eq!((&opened["finishes"], &opened["old_coating"]), (&filmed, &job["old_coating"]));
    let path = format!("/v1/jobs/{}", id(&opened));
    assert_eq!(shop.desk.get(&path).ok(), opened);

    // A merge patch changes one panel, and clears one; whatever it does not name stays.
    let change =
        json!({"finishes": {"bonnet": "single_stage", "front_bumper": null}, "excluded_panels": ["roof"]});
    let changed = shop.technician.change(&path, &change).ok();
    assert_eq!(changed["finishes"], json!({"bonnet": "single_stage", "other:tail spoiler": "matte"}));
    assert_eq!(changed["old_coating"], job["old_coating"]);
    assert_eq!((&changed["excluded_panels"], &changed["panels"]), (&json!(["roof"]), &json!({})));

    for (body, place) in [
        (json!({"finishes": {"bonnet": "shiny"}}), "/finishes/bonnet"),
        (json!({"finishes": {"hood": "film"}}), "/finishes"),
        (json!({"old_coating": {"paint": "roof"}}), "/old_coating/paint"),
    ] {
        let faults = shop.technician.change(&path, &body).faults(400, "malformed");
        assert!(faults.len() == 1 && faults[0].0.starts_with(place), "{body}: {faults:?}");
    }
    let twice = json!({"old_coating": {"paint": ["roof", "boot", "roof"]}});
    let twice = shop.technician.change(&path, &twice).faults(422, "rule_broken");
    assert_eq!(twice, [("/old_coating/paint/2".into(), "panel_twice".into())]);

    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    shop.technician.change(&path, &json!({"finishes": {}, "old_coating": null})).refused(409, "job_not_open");
    assert_eq!(shop.desk.get(&path).ok()["finishes"], changed["finishes"]);
}

fn marks_are_told_in_few_words(shop: TestShop) {
    let job = json!({"vehicle_id": shop.adds_vehicle("QC-1"), "odometer": {"value": 412, "unit": "km"}});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    let marks = format!("{job}/marks");
    let made = shop.technician.post(&marks, &json!({"panel": "left_sill", "kind": "stone_chip"})).created();
    assert_eq!((&made["surface"], &made["size_mm"]), (&json!("paint"), &Value::Null), "{made:#}");
    for (member, word) in [("kind", "ding"), ("panel", "hood"), ("surface", "varnish")] {
        let mut wrong = json!({"panel": "roof", "kind": "dent"});
        wrong[member] = json!(word);
        let faults = shop.technician.post(&marks, &wrong).faults(400, "malformed");
        assert_eq!(faults[0].0, format!("/{member}"));
    }
    // Who is at the desk walks around the vehicle, too.
    shop.desk
        .post(&marks, &json!({"panel": "front_left_wheel", "surface": "wheels", "kind": "kerb_damage"}))
        .created();
    assert_eq!(shop.manager.get(&marks).ok()["items"].as_array().unwrap().len(), 2);
}
