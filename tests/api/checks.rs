//! Checks on a job over HTTP: each fires, says what to do, and is gone when it was done; a manager passes what stops.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    each_check_fires_and_is_put_right,
    steps_that_the_terms_ask_for_hold_up_the_handover,
    a_manager_passes_what_stops,
    a_second_coating_is_prepared_as_on_one_in_service,
    an_old_coating_that_is_told_of_is_prepared_for,
    what_cannot_be_read_is_no_silence,
);

/// Two coatings for paint, the first with what it asks for before it, and terms that ask for both.
fn stocked(shop: &TestShop) {
    let sheet = |recoat: Value| {
        json!({"surfaces": ["paint"], "recoat": recoat,
               "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                        "milestones": [{"name": "water-safe", "h": 12}]}})
    };
    let prep = json!([{"onto": "bare", "prep": {"paint": ["panel_wipe"]}},
                      {"onto": "aged", "prep": {"paint": ["decontamination", "panel_wipe"]}}]);
    for (code, recoat) in [("base-30", prep), ("top-10", json!([]))] {
        let product = json!({"code": code, "title": code, "role": "coating", "sheet": sheet(recoat)});
        shop.manager.post("/v1/products", &product).created();
        let batch = json!({"product": code, "number": "0417", "expires_on": "2028-04-30"});
        shop.technician.post("/v1/batches", &batch).created();
    }
    let build = json!([{"surface": "paint", "coats": [{"product": "base-30"}, {"product": "top-10"}], "prep": ["contact_wash"]}]);
    shop.publishes("two-coats", &json!([]), &json!({"build": build}));
}

/// The path of a new job on this vehicle, on these terms: roof washed and wiped, base coat and top coat laid.
fn coated(shop: &TestShop, vehicle: &str) -> String {
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 400, "unit": "km"}, "terms": {"code": "two-coats"},
                     "started_at": "2026-03-09T08:00:00Z"});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    for (kind, from, to) in [
        ("high_spot_check", "11:20", "11:30"),
        ("contact_wash", "08:00", "08:30"),
        ("panel_wipe", "08:45", "09:20"),
    ] {
        step(shop, &job, kind, from, to);
    }
    for (product, from, to) in [("base-30", "09:00", "09:40"), ("top-10", "10:40", "11:10")] {
        let coat = json!({"surface": "paint", "panels": ["roof"], "product": product, "batch": "0417",
                          "started_at": format!("2026-03-09T{from}:00Z"), "ended_at": format!("2026-03-09T{to}:00Z")});
        shop.technician.post(&format!("{job}/coats"), &coat).created();
    }
    job
}

fn step(shop: &TestShop, job: &str, kind: &str, from: &str, to: &str) {
    let body = json!({"kind": kind, "surfaces": ["paint"],
                      "started_at": format!("2026-03-09T{from}:00Z"), "ended_at": format!("2026-03-09T{to}:00Z")});
    shop.technician.post(&format!("{job}/steps"), &body).created();
}

/// What the checks find, as code, severity and subject.
fn found(shop: &TestShop, job: &str) -> Vec<(String, String, String)> {
    let list = shop.desk.get(&format!("{job}/checks")).ok();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let items = list["items"].as_array().unwrap();
    for item in items {
        assert!(!text(&item["detail"]).is_empty() && !text(&item["clause"]).is_empty(), "{item:#}");
    }
    items.iter().map(|item| (text(&item["code"]), text(&item["severity"]), text(&item["subject"]))).collect()
}

fn one(code: &str, severity: &str, subject: &str) -> Vec<(String, String, String)> {
    vec![(code.into(), severity.into(), subject.into())]
}

/// The paths of a job's coats, as they were laid.
fn coats(shop: &TestShop, job: &str) -> Vec<String> {
    let list = shop.technician.get(&format!("{job}/coats")).ok();
    let mut paths: Vec<String> =
        list["items"].as_array().unwrap().iter().map(|coat| format!("{job}/coats/{}", id(coat))).collect();
    paths.reverse();
    paths
}

fn each_check_fires_and_is_put_right(shop: TestShop) {
    stocked(&shop);
    let job = coated(&shop, &shop.adds_vehicle("QC-1"));
    assert_eq!(found(&shop, &job), []);
    let laid = coats(&shop, &job);
    let base = format!("coat:{}", laid[0].rsplit('/').next().unwrap());
    let change = |path: &str, body: Value| shop.technician.change(path, &body).ok();

    change(&laid[0], json!({"batch": "0418"}));
    assert_eq!(found(&shop, &job), one("batch_unknown", "stops", &base));
    let batch = json!({"product": "base-30", "number": "0418", "expires_on": "2026-03-08"});
    let batch = format!("/v1/batches/{}", id(&shop.technician.post("/v1/batches", &batch).created()));
    // Registering clears it; the day after its last is too late, its last day is not.
    assert_eq!(found(&shop, &job), one("batch_expired", "stops", &base));
    change(&batch, json!({"expires_on": "2026-03-09"}));
    assert_eq!(found(&shop, &job), []);
    for state in ["quarantined", "recalled"] {
        shop.manager.change(&batch, &json!({"state": state})).ok();
        assert_eq!(found(&shop, &job), one("batch_unusable", "stops", &base), "{state}");
    }
    shop.manager.change(&batch, &json!({"state": "usable"})).ok();

    change(&laid[0], json!({"ended_at": "2026-03-09T08:59:59Z"}));
    assert_eq!(found(&shop, &job), one("times_backwards", "stops", &base));
    change(&laid[0], json!({"ended_at": "2026-03-09T09:00:00Z"}));
    assert_eq!(found(&shop, &job), []);
    shop.technician.change(&job, &json!({"started_at": "2026-03-09T08:00:01Z"})).ok();
    assert_eq!(found(&shop, &job)[0].0, "times_backwards", "the wash lies before the job");
    shop.technician.change(&job, &json!({"started_at": null})).ok();
    assert_eq!(found(&shop, &job), []);

    change(&laid[1], json!({"panels": ["roof", "bonnet"]}));
    assert_eq!(found(&shop, &job), one("coats_missing", "stops", "paint/bonnet/base-30"));
    shop.technician.change(&job, &json!({"excluded_panels": ["bonnet"]})).ok();
    assert_eq!(found(&shop, &job), []);
    // What the job lists counts, not what its coats name.
    shop.technician.change(&job, &json!({"panels": {"paint": ["roof", "boot"]}})).ok();
    let boot = ["paint/boot/base-30", "paint/boot/top-10"]
        .map(|subject| one("coats_missing", "stops", subject))
        .concat();
    assert_eq!(found(&shop, &job), boot);
    shop.technician.change(&job, &json!({"panels": null, "excluded_panels": null})).ok();
    change(&laid[1], json!({"panels": ["roof"]}));

    // The section on the roof began with the base coat, and a minute before it.
    let section = |at: &str| json!({"started_at": "2026-03-09T08:50:00Z", "sections": [{"panels": ["roof"], "applied_at": at}]});
    change(&laid[1], section("2026-03-09T09:00:00Z"));
    assert_eq!(found(&shop, &job), []);
    change(&laid[1], section("2026-03-09T08:59:00Z"));
    assert_eq!(found(&shop, &job), one("coat_order", "warns", "paint/roof/top-10"));
    change(&laid[1], json!({"started_at": "2026-03-09T10:40:00Z", "sections": null}));

    change(&laid[1], json!({"surface": "trim"}));
    let top = format!("coat:{}", laid[1].rsplit('/').next().unwrap());
    let elsewhere =
        [one("product_surface", "stops", &top), one("coats_missing", "stops", "paint/roof/top-10")].concat();
    assert_eq!(found(&shop, &job), elsewhere);
    change(&laid[1], json!({"surface": "paint"}));

    let steps = shop.technician.get(&format!("{job}/steps")).ok();
    let wipe = format!("{job}/steps/{}", id(&steps["items"][0]));
    change(&wipe, json!({"started_at": "2026-03-09T09:00:00Z"}));
    assert_eq!(found(&shop, &job), [], "begun together with the coat, panel by panel");
    change(&wipe, json!({"started_at": "2026-03-09T09:01:00Z"}));
    let list = shop.desk.get(&format!("{job}/checks")).ok();
    let detail = "on roof (paint) panel_wipe should come before the first coat: note it if it was done; if it was not, \
                  the coat may not hold there";
    assert_eq!(
        list["items"],
        json!([{"code": "prep_missing", "severity": "warns", "subject": "paint/roof/base-30",
                "measured": "panel_wipe at 2026-03-09T09:01:00Z", "allowed": "panel_wipe begun by 2026-03-09T09:00:00Z",
                "clause": "sheet.base-30.recoat.bare.prep", "detail": detail, "hinders_warranty": false, "passed_by": null}])
    );
    // A warning holds up nothing.
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
}

fn steps_that_the_terms_ask_for_hold_up_the_handover(shop: TestShop) {
    stocked(&shop);
    let job = coated(&shop, &shop.adds_vehicle("QC-1"));
    let steps = shop.technician.get(&format!("{job}/steps")).ok();
    shop.technician.delete(&format!("{job}/steps/{}", id(&steps["items"][1])));
    assert_eq!(found(&shop, &job), one("prep_missing", "warns", "paint/roof"));
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 400, "unit": "km"}});
    let refused = shop.desk.post(&format!("{job}/handover"), &handover).refused(409, "job_falls_short");
    assert_eq!(
        (&refused["errors"][0]["code"], &refused["errors"][0]["subject"]),
        (&json!("prep_missing"), &json!("paint/roof"))
    );
}

fn a_manager_passes_what_stops(shop: TestShop) {
    stocked(&shop);
    let job = coated(&shop, &shop.adds_vehicle("QC-1"));
    let laid = coats(&shop, &job);
    shop.technician.change(&laid[0], &json!({"batch": "0418"})).ok();
    let base = format!("coat:{}", laid[0].rsplit('/').next().unwrap());
    let passes = format!("{job}/passes");
    let pass = json!({"code": "batch_unknown", "subject": base, "reason": "The bottle was seen."});
    for who in [&shop.technician, &shop.desk] {
        who.post(&passes, &pass).refused(403, "forbidden");
    }
    shop.neighbour().post(&passes, &pass).refused(404, "not_found");
    let wrong = json!({"code": "batch_expired", "subject": base, "reason": " "});
    assert_eq!(
        shop.manager.post(&passes, &wrong).faults(422, "rule_broken"),
        [("/reason".into(), "empty".into()), ("/subject".into(), "no_such_stop".into())]
    );
    let warning = json!({"code": "prep_missing", "subject": "paint/roof/base-30", "reason": "It was done."});
    let steps = shop.technician.get(&format!("{job}/steps")).ok();
    shop.technician.delete(&format!("{job}/steps/{}", id(&steps["items"][0])));
    assert_eq!(found(&shop, &job)[1].0, "prep_missing");
    shop.manager.post(&passes, &warning).faults(422, "rule_broken");

    let given = shop.manager.post(&passes, &pass).created();
    let of = |job: &str| shop.desk.get(&format!("{job}/checks")).ok()["items"][0]["passed_by"].clone();
    assert_eq!(of(&job), json!({"member": given["member"], "reason": "The bottle was seen."}));
    // Another coat leaves it as it was; a changed one voids it, and the old one back again brings it back.
    shop.technician.change(&laid[1], &json!({"ml": 9.0})).ok();
    assert_ne!(of(&job), Value::Null);
    shop.technician.change(&laid[0], &json!({"ml": 9.0})).ok();
    assert_eq!(of(&job), Value::Null);
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).refused(409, "job_has_stops");
    shop.technician.change(&laid[0], &json!({"ml": null})).ok();
    assert_ne!(of(&job), Value::Null);
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    // A stop that is not there is told before the state of the job.
    shop.manager.post(&passes, &wrong).refused(422, "rule_broken");
    shop.manager.post(&passes, &pass).refused(409, "job_not_open");
}

fn a_second_coating_is_prepared_as_on_one_in_service(shop: TestShop) {
    stocked(&shop);
    let vehicle = shop.adds_vehicle("QC-1");
    let first = coated(&shop, &vehicle);
    let second = coated(&shop, &vehicle);
    assert_eq!(found(&shop, &second), [], "the first one is not done yet");
    shop.technician.post(&format!("{first}/sign-off"), &json!({})).ok();
    let aged = one("prep_missing", "warns", "paint/roof/base-30");
    assert_eq!(found(&shop, &second), aged);
    assert_eq!(found(&shop, &first), [], "a later job is no coating below");
    let other = coated(&shop, &shop.adds_vehicle("QC-2"));
    assert_eq!(found(&shop, &other), []);

    let events = format!("/v1/vehicles/{vehicle}/events");
    let repair = json!({"kind": "repair", "on": "2026-03-09", "surface": "paint", "panel": "roof"});
    let entered = shop.technician.post(&events, &repair).created();
    assert_eq!(found(&shop, &second), [], "a refinished panel is bare again");
    let retract = json!({"kind": "retract", "event": id(&entered), "reason": "Another vehicle."});
    shop.desk.post(&events, &retract).created();
    assert_eq!(found(&shop, &second), aged);
    step(&shop, &second, "clay", "08:30", "08:40");
    assert_eq!(found(&shop, &second), []);
}

fn an_old_coating_that_is_told_of_is_prepared_for(shop: TestShop) {
    stocked(&shop);
    let job = coated(&shop, &shop.adds_vehicle("QC-1"));
    let tell =
        |told: Value| shop.technician.change(&job, &json!({"old_coating": told})).ok()["old_coating"].clone();
    let aged = one("prep_missing", "warns", "paint/roof/base-30");
    assert_eq!(tell(json!({"paint": ["boot", "roof"]})), json!({"paint": ["boot", "roof"]}));
    assert_eq!(found(&shop, &job), aged);
    // Another panel, another surface: the roof's paint is bare.
    for elsewhere in [json!({"paint": ["boot"]}), json!({"paint": null, "glass": ["roof"]})] {
        tell(elsewhere);
        assert_eq!(found(&shop, &job), []);
    }
    assert_eq!(tell(json!({"glass": null, "paint": ["roof"]})), json!({"paint": ["roof"]}));
    assert_eq!(found(&shop, &job), aged);
    // A machine polish takes an old coating off (common practice); so does telling that there is none.
    step(&shop, &job, "machine_polish", "08:31", "08:40");
    assert_eq!(found(&shop, &job), []);
    let steps = shop.technician.get(&format!("{job}/steps")).ok();
    shop.technician.delete(&format!("{job}/steps/{}", id(&steps["items"][0])));
    assert_eq!(found(&shop, &job), aged);
    assert_eq!(tell(Value::Null), json!({}));
    assert_eq!(found(&shop, &job), []);
}

/// A stored sheet, and stored terms, that are no longer what was taken: an error, not a job without faults.
fn what_cannot_be_read_is_no_silence(shop: TestShop) {
    stocked(&shop);
    let job = coated(&shop, &shop.adds_vehicle("QC-1"));
    for table in ["sheets", "terms"] {
        shop.database.execute(&format!("UPDATE {table} SET document = '{{}}' || document"));
        shop.technician.get(&format!("{job}/checks")).refused(500, "internal");
        shop.technician.post(&format!("{job}/sign-off"), &json!({})).refused(500, "internal");
        shop.database.execute(&format!("UPDATE {table} SET document = substr(document, 3)"));
        assert_eq!(found(&shop, &job), []);
    }
}
