//! A job from the shop's own template, with the fewest calls; and what is added after the sign-off. All invented.

use serde_json::{Value, json};

use super::main_job::terms;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    the_least_job_takes_eight_calls_at_most,
    what_is_wrong_with_a_package_is_told_at_once,
    a_job_keeps_the_plan_that_it_was_opened_with,
    what_is_confirmed_must_be_planned,
    what_comes_after_the_sign_off_is_an_addendum,
    what_a_package_lacks_for_its_terms_is_told_before_the_first_job,
    a_step_that_was_forgotten_counts_for_the_warranty_once_it_is_added,
);

fn package() -> Value {
    json!({
        "code": "winter-two-coat", "title": "Winter, two coats", "terms": "two-coat-five",
        "steps": [
            {"kind": "film_removal", "surfaces": ["paint"]},
            {"kind": "foam", "surfaces": ["paint", "glass"], "dilution": "1:10"},
            {"kind": "panel_wipe", "surfaces": ["paint", "glass"]},
            {"kind": "high_spot_check", "surfaces": ["paint"]},
        ],
        "coats": [
            {"surface": "paint", "panels": ["bonnet", "roof", "front_bumper"], "product": "base-30"},
            {"surface": "paint", "panels": ["bonnet", "roof", "front_bumper"], "product": "top-10"},
            {"surface": "glass", "panels": ["windscreen"], "product": "clear-view"},
        ],
        "excluded_panels": ["front_bumper"],
    })
}

impl TestShop {
    /// Stocked, with the package and an open bottle of each product.
    fn has_the_package(&self) {
        self.stocks_up();
        self.manager.post("/v1/packages", &package()).created();
        let batches = self.desk.get("/v1/batches").ok();
        for batch in batches["items"].as_array().unwrap() {
            self.technician
                .change(&format!("/v1/batches/{}", id(batch)), &json!({"opened_on": "2026-03-01"}))
                .ok();
        }
    }

    fn opens_from_package(&self) -> Value {
        let owner = self.adds_customer("Ada Ferro", "ada@example.org");
        let vehicle = json!({"plate": "QC-417", "customer_id": owner});
        let vehicle = id(&self.technician.post("/v1/vehicles", &vehicle).created());
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}, "package": "winter-two-coat"});
        self.technician.post("/v1/jobs", &job).created()
    }
}

/// The coats of the plan, laid one after the other in the morning.
fn laid() -> Value {
    let coat = |place: usize, from: &str, to: &str| json!({"place": place, "started_at": format!("2026-03-10T{from}:00Z"), "ended_at": format!("2026-03-10T{to}:00Z")});
    json!({"coats": [coat(0, "05:00", "05:40"), coat(1, "06:40", "07:10"), coat(2, "07:15", "07:25")]})
}

fn the_least_job_takes_eight_calls_at_most(shop: TestShop) {
    shop.has_the_package();
    // 1 and 2: owner and vehicle; 3: the job, from the package.
    let job = shop.opens_from_package();
    assert_eq!(
        (&job["package"], &job["excluded_panels"]),
        (&json!("winter-two-coat"), &json!(["front_bumper"]))
    );
    assert_eq!(job["terms"], json!({"code": "two-coat-five", "edition": 1}));
    assert_eq!(job["panels"], json!({"paint": ["bonnet", "roof"], "glass": ["windscreen"]}));
    assert_eq!(
        job["plan"]["coats"][0]["panels"],
        json!(["bonnet", "roof"]),
        "what is left out is not planned"
    );
    let path = format!("/v1/jobs/{}", id(&job));
    // 4: one climate reading.
    let climate = json!({"at": "2026-03-10T05:00:00Z", "air_c": 20.5, "rh_pct": 48.0});
    shop.technician.post(&format!("{path}/climate"), &climate).created();
    // 5: start and end of each coat; the steps of the package were done, the bottles are those that are open.
    let confirmed = shop.technician.post(&format!("{path}/confirm"), &laid()).ok();
    assert_eq!(confirmed["steps"].as_array().unwrap().len(), 4);
    assert_eq!(confirmed["coats"][1]["batch"], "top-10-0417");
    assert!(
        confirmed["job"]["plan"]["steps"].as_array().unwrap().iter().all(|step| step["step_id"].is_string())
    );
    assert_eq!(shop.technician.get(&format!("{path}/checks")).ok()["items"], json!([]));
    // 6 and 7: sign-off and handover.
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
    let handed = shop.desk.post(&format!("{path}/handover"), &handover).created();
    assert_eq!(handed["warranty"]["number"], "W-2026-0001");
    assert_eq!(handed["warranty"]["cover"][0]["panels"], json!(["bonnet", "roof"]));
}

fn what_is_wrong_with_a_package_is_told_at_once(shop: TestShop) {
    shop.has_the_package();
    shop.technician.post("/v1/packages", &package()).refused(403, "forbidden");
    let faults = shop.manager.post("/v1/packages", &package()).faults(422, "rule_broken");
    assert_eq!(faults, [("/code".to_owned(), "code_taken".to_owned())]);
    let faulty = json!({
        "code": "Summer!", "title": " ", "terms": "unknown",
        "steps": [{"kind": "foam", "surfaces": [], "product": "nothing"}],
        "coats": [{"surface": "paint", "panels": ["roof", "roof"], "product": "base-31"}],
    });
    let faults = shop.manager.post("/v1/packages", &faulty).faults(422, "rule_broken");
    let places: Vec<&str> = faults.iter().map(|(place, _)| place.as_str()).collect();
    assert_eq!(
        places,
        [
            "/code",
            "/title",
            "/steps/0/surfaces",
            "/coats/0/panels/1",
            "/steps/0/product",
            "/coats/0/product",
            "/terms"
        ]
    );
    let path = "/v1/packages/winter-two-coat";
    shop.neighbour().get(path).refused(404, "not_found");
    assert_eq!(shop.manager.change(path, &json!({"title": "Winter"})).ok()["title"], "Winter");
    assert_eq!(shop.desk.get("/v1/packages").ok()["items"].as_array().unwrap().len(), 1);
    assert_eq!(shop.manager.delete(path).status, 204);
    shop.desk.get(path).refused(404, "not_found");
    let vehicle = json!({"plate": "QC-417"});
    let vehicle = id(&shop.technician.post("/v1/vehicles", &vehicle).created());
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}, "package": "winter-two-coat"});
    let faults = shop.technician.post("/v1/jobs", &job).faults(422, "rule_broken");
    assert_eq!(faults, [("/package".to_owned(), "unknown_package".to_owned())]);
}

fn a_job_keeps_the_plan_that_it_was_opened_with(shop: TestShop) {
    shop.has_the_package();
    let job = shop.opens_from_package();
    let path = format!("/v1/jobs/{}", id(&job));
    shop.manager.change("/v1/packages/winter-two-coat", &json!({"coats": []})).ok();
    assert_eq!(shop.desk.get(&path).ok()["plan"], job["plan"]);
    let faults = shop.technician.change(&path, &json!({"package": "other"})).faults(422, "rule_broken");
    assert_eq!(faults, [("/package".to_owned(), "fixed".to_owned())]);
    // Changing something else leaves the plan alone.
    let changed = shop.technician.change(&path, &json!({"started_at": "2026-03-10T04:00:00Z"})).ok();
    assert_eq!(changed["plan"], job["plan"]);
}

fn what_is_confirmed_must_be_planned(shop: TestShop) {
    shop.has_the_package();
    let job = shop.opens_from_package();
    let path = format!("/v1/jobs/{}/confirm", id(&job));
    let at = "2026-03-10T05:00:00Z";
    let wrong = json!({
        "steps": [{"place": 0}, {"place": 0}, {"place": 9}],
        "coats": [{"place": 3, "started_at": at, "ended_at": at}],
    });
    let faults = shop.technician.post(&path, &wrong).faults(422, "rule_broken");
    let wanted = [
        ("/steps/1/place", "given_twice"),
        ("/steps/2/place", "not_planned"),
        ("/coats/0/place", "not_planned"),
    ];
    assert_eq!(faults, wanted.map(|(place, code)| (place.to_owned(), code.to_owned())));
    // Nothing of a confirmation that is refused stays.
    let late = json!({"coats": [{"place": 0, "started_at": "2026-03-11T05:00:00Z", "ended_at": at}]});
    let faults = shop.technician.post(&path, &late).faults(422, "rule_broken");
    assert_eq!(faults, [("/coats/0/started_at".to_owned(), "in_the_future".to_owned())]);
    assert_eq!(shop.desk.get(&format!("/v1/jobs/{}/steps", id(&job))).ok()["items"], json!([]));
    // Bottle by bottle, call by call.
    let one = json!({"steps": [], "coats": [{"place": 0, "batch": "base-30-0418", "started_at": at, "ended_at": at}]});
    let confirmed = shop.technician.post(&path, &one).ok();
    assert_eq!((&confirmed["coats"][0]["batch"], &confirmed["steps"]), (&json!("base-30-0418"), &json!([])));
    let faults = shop.technician.post(&path, &one).faults(422, "rule_broken");
    assert_eq!(faults, [("/coats/0/place".to_owned(), "already_confirmed".to_owned())]);
    // Where no bottle is open, the batch has to be said.
    let batches = shop.desk.get("/v1/batches?product=top-10").ok();
    let batch = format!("/v1/batches/{}", id(&batches["items"][0]));
    shop.technician.change(&batch, &json!({"opened_on": null})).ok();
    let next = json!({"coats": [{"place": 1, "started_at": at, "ended_at": at}]});
    let faults = shop.technician.post(&path, &next).faults(422, "rule_broken");
    assert_eq!(faults, [("/coats/0/batch".to_owned(), "missing".to_owned())]);
    // A job without a package has nothing to confirm.
    let vehicle = job["vehicle_id"].clone();
    let plain = json!({"vehicle_id": vehicle, "odometer": {"value": 413, "unit": "km"}});
    let plain = id(&shop.technician.post("/v1/jobs", &plain).created());
    let faults = shop.technician.post(&format!("/v1/jobs/{plain}/confirm"), &next).faults(422, "rule_broken");
    assert_eq!(faults, [("/coats/0/place".to_owned(), "not_planned".to_owned())]);
}

fn what_comes_after_the_sign_off_is_an_addendum(shop: TestShop) {
    shop.has_the_package();
    let job = shop.opens_from_package();
    let path = format!("/v1/jobs/{}", id(&job));
    let note = json!({"note": "Seen again by daylight: one high spot on the roof, levelled."});
    shop.technician.post(&format!("{path}/addenda"), &note).refused(409, "job_not_signed_off");
    shop.technician.post(&format!("{path}/confirm"), &laid()).ok();
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let sheet = shop.desk.get(&path).ok()["record"].clone();

    let added = shop.technician.post(&format!("{path}/addenda"), &note).created();
    assert_eq!((&added["entered_afterwards"], &added["note"]), (&json!(true), &note["note"]));
    let step = json!({"step": {"kind": "high_spot_check", "surfaces": ["paint"], "ended_at": "2026-03-10T07:20:00Z"}});
    shop.technician.post(&format!("{path}/addenda"), &step).created();
    let listed = shop.desk.get(&format!("{path}/addenda")).ok();
    let items = listed["items"].as_array().unwrap();
    assert_eq!((items.len(), &items[0]["step"]["kind"]), (2, &json!("high_spot_check")));
    assert!(
        items[0]["entered_by"].is_string() && items[0]["record_seq"].as_i64() > added["record_seq"].as_i64()
    );
    assert_eq!(shop.desk.get(&path).ok()["record"], sheet, "the sheet that was signed stands");

    let both = json!({"note": "x", "climate": {"at": "2026-03-10T07:20:00Z", "air_c": 99.0, "rh_pct": 50.0}});
    let faults = shop.technician.post(&format!("{path}/addenda"), &both).faults(422, "rule_broken");
    assert_eq!(
        faults,
        [(String::new(), "one_of".to_owned()), ("/climate/air_c".to_owned(), "out_of_range".to_owned())]
    );
    shop.neighbour().get(&format!("{path}/addenda")).refused(404, "not_found");
}

/// Code and subject of what falls short.
fn short_of(answer: &Value) -> Vec<(&str, &str)> {
    let items = answer["falls_short"].as_array().unwrap().iter();
    items.map(|one| (one["code"].as_str().unwrap(), one["subject"].as_str().unwrap())).collect()
}

fn what_a_package_lacks_for_its_terms_is_told_before_the_first_job(shop: TestShop) {
    shop.stocks_up();
    let mut lean = package();
    lean["steps"] = json!([{"kind": "panel_wipe", "surfaces": ["glass"]}]);
    lean["coats"].as_array_mut().unwrap().remove(1);
    let made = shop.manager.post("/v1/packages", &lean).created();
    // Asked for are two coats on paint, and a panel wipe before them; the bumper is left out anyway.
    let lacking = [
        ("coats_missing", "paint/bonnet/top-10"),
        ("coats_missing", "paint/roof/top-10"),
        ("prep_missing", "paint/bonnet"),
        ("prep_missing", "paint/roof"),
    ];
    assert_eq!(short_of(&made), lacking);
    assert!(made["falls_short"][0]["detail"].as_str().unwrap().contains("top-10"), "{made}");
    let path = "/v1/packages/winter-two-coat";
    assert_eq!(short_of(&shop.technician.get(path).ok()), lacking);
    assert_eq!(short_of(&shop.desk.get("/v1/packages").ok()["items"][0]), lacking);
    // An edition that asks for nothing lacks nothing: the package is answered otherwise, and its tag says so.
    let tag = shop.technician.etag(path);
    let mut lenient = terms();
    (lenient["edition"], lenient["build"]) = (json!(2), Value::Null);
    shop.manager.post("/v1/terms", &lenient).created();
    assert_eq!(shop.technician.etag(path), tag, "a draft changes nothing");
    shop.manager.post("/v1/terms/two-coat-five/editions/2/publish", &json!({})).ok();
    assert_eq!(short_of(&shop.technician.get(path).ok()), []);
    assert_ne!(shop.technician.etag(path), tag);
    shop.manager.post("/v1/terms/two-coat-five/editions/2/retire", &json!({})).ok();
    assert_eq!(short_of(&shop.technician.get(path).ok()), lacking);
    let whole = json!({"steps": package()["steps"], "coats": package()["coats"]});
    assert_eq!(short_of(&shop.manager.change(path, &whole).ok()), []);
    let plain = json!({"code": "wash", "title": "Wash", "steps": [{"kind": "foam", "surfaces": ["paint"]}]});
    assert_eq!(short_of(&shop.manager.post("/v1/packages", &plain).created()), [], "no terms, nothing asked");
}

fn a_step_that_was_forgotten_counts_for_the_warranty_once_it_is_added(shop: TestShop) {
    shop.has_the_package();
    let job = shop.opens_from_package();
    let path = format!("/v1/jobs/{}", id(&job));
    let mut done = laid();
    done["steps"] = json!([{"place": 0}, {"place": 1}, {"place": 3}]);
    shop.technician.post(&format!("{path}/confirm"), &done).ok();
    let hinders = |shop: &TestShop| {
        let list = shop.desk.get(&format!("{path}/checks")).ok();
        let items = list["items"].as_array().unwrap().iter();
        let hinder = items.filter(|one| one["hinders_warranty"] == true);
        hinder.map(|one| one["subject"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(hinders(&shop), ["paint/bonnet", "paint/roof"]);
    // It warns, and so the sign-off goes on; but says at once what it means.
    let signed = shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let lacking = [("prep_missing", "paint/bonnet"), ("prep_missing", "paint/roof")];
    assert_eq!(short_of(&signed), lacking);
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
    let refused = shop.desk.post(&format!("{path}/handover"), &handover).refused(409, "job_falls_short");
    let detail = "the job falls short of two-coat-five in 2 things; a step that was done and not entered counts once it \
                  follows as an addendum";
    assert_eq!(refused["detail"], detail);
    // One that was done too late does not help.
    let wipe =
        |ended: &str| json!({"step": {"kind": "panel_wipe", "surfaces": ["paint"], "ended_at": ended}});
    shop.technician.post(&format!("{path}/addenda"), &wipe("2026-03-10T06:00:00Z")).created();
    shop.desk.post(&format!("{path}/handover"), &handover).refused(409, "job_falls_short");
    let added = shop.technician.post(&format!("{path}/addenda"), &wipe("2026-03-10T04:50:00Z")).created();
    assert_eq!(added["entered_afterwards"], true);
    assert_eq!(hinders(&shop), [""; 0]);
    let handed = shop.desk.post(&format!("{path}/handover"), &handover).created();
    assert_eq!(handed["warranty"]["number"], "W-2026-0001");
}
