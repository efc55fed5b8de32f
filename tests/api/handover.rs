//! Handover: on which day, with a warranty or without, and in whose place it comes.

use serde_json::{Value, json};

use super::jobs::km;
use super::main_job::terms;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    the_day_of_handover_lies_between_the_last_coat_and_today,
    the_desk_hands_over_and_a_technician_does_not,
    without_a_warranty_and_with_one_later,
    a_warranty_issued_later_begins_at_what_was_read_by_then,
    a_job_that_falls_short_goes_out_on_other_terms,
    a_warranty_takes_the_place_of_another,
);

fn handover(on: &str, shown: u32) -> Value {
    json!({"on": on, "odometer": km(shown)})
}

fn the_day_of_handover_lies_between_the_last_coat_and_today(shop: TestShop) {
    shop.stocks_up();
    let start = |plate: &str, on: &str| {
        let path = shop.finishes(&shop.knows(plate), 412);
        shop.desk.post(&format!("{path}/handover"), &handover(on, 412))
    };
    let fault = |plate: &str, on: &str| start(plate, on).faults(422, "rule_broken");
    assert_eq!(fault("QC-1", "2026-03-08"), [("/on".into(), "before_last_coat".into())]);
    assert_eq!(fault("QC-2", "2026-03-11"), [("/on".into(), "in_the_future".into())]);
    for (plate, on, last_day) in [("QC-3", "2026-03-09", "2031-03-09"), ("QC-4", "2026-03-10", "2031-03-10")]
    {
        let handed = start(plate, on).created();
        assert_eq!(handed["job"]["handed_over_on"], on);
        let cover = &handed["warranty"]["cover"][0];
        assert_eq!((&cover["from"], &cover["last_day"]), (&json!(on), &json!(last_day)));
    }
}

fn the_desk_hands_over_and_a_technician_does_not(shop: TestShop) {
    shop.stocks_up();
    let path = shop.finishes(&shop.knows("QC-1"), 412);
    let to = format!("{path}/handover");
    shop.technician.post(&to, &handover("2026-03-10", 412)).refused(403, "forbidden");
    shop.technician.post(&format!("{path}/warranty"), &json!({})).refused(403, "forbidden");
    let handed = shop.desk.post(&to, &handover("2026-03-10", 412));
    let at = handed.header("location").unwrap().to_owned();
    let (tag, body) = (handed.header("etag").unwrap().to_owned(), handed.created());
    assert_eq!(at, format!("/v1/warranties/{}", id(&body["warranty"])));
    assert_eq!(tag, shop.desk.etag(&at), "what was made has the tag that it is answered with");
    shop.desk.change(&path, &json!({"terms": null})).refused(409, "job_not_open");
}

fn without_a_warranty_and_with_one_later(mut shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let path = shop.finishes(&vehicle, 412);
    let later = format!("{path}/warranty");
    shop.desk.post(&later, &json!({})).refused(409, "job_not_signed_off");
    let mut without = handover("2026-03-10", 420);
    without["without_warranty"] = json!(true);
    let handed = shop.desk.post(&format!("{path}/handover"), &without);
    assert!(path.ends_with(handed.header("location").unwrap()), "the job is what was made");
    let handed = handed.created();
    assert_eq!((&handed["warranty"], &handed["job"]["state"]), (&Value::Null, &json!("handed_over")));
    assert_eq!(handed["job"]["terms"]["code"], "two-coat-five", "they stay chosen");
    let verdict = shop.desk.get("/v1/eligibility?plate=QC-1").ok();
    assert_eq!((&verdict["warranties"], &verdict["in_force"]), (&json!([]), &json!(false)));

    shop.it_is("2026-05-01T09:00:00Z");
    let wash = json!({"vehicle_id": vehicle, "on": "2026-04-05", "odometer": km(1_900),
                      "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &wash).created();
    let issued = shop.desk.post(&later, &json!({})).created();
    // It counts from the day of handover and its odometer, and takes up what has happened since.
    assert_eq!(issued["warranty"]["start"], "2026-03-10");
    let warranty = format!("/v1/warranties/{}", id(&issued["warranty"]));
    assert_eq!(shop.desk.get(&warranty).ok()["start_km"], 420);
    let dues = shop.desk.get(&format!("{warranty}/dues")).ok();
    let washes: Vec<&Value> =
        dues["items"].as_array().unwrap().iter().filter(|due| due["upkeep"] == "wash").collect();
    assert_eq!((&washes[0]["status"], &washes[0]["met_on"]), (&json!("met"), &json!("2026-04-05")));
    shop.desk.post(&later, &json!({})).refused(409, "job_handed_over");
    shop.manager.post(&format!("{warranty}/void"), &json!({"reason": "Issued in error."})).ok();
    shop.desk.post(&later, &json!({})).created();

    // A job that was never meant to have one needs to be told the terms.
    let plain = json!({"vehicle_id": vehicle, "odometer": km(2_000)});
    let plain = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &plain).created()));
    shop.coats_the_bonnet(&plain);
    shop.technician.post(&format!("{plain}/sign-off"), &json!({})).ok();
    let handed = shop.desk.post(&format!("{plain}/handover"), &handover("2026-05-01", 2_001)).created();
    assert_eq!(handed["warranty"], Value::Null);
    let later = format!("{plain}/warranty");
    let missing = [("/terms".to_owned(), "missing".to_owned())];
    assert_eq!(shop.desk.post(&later, &json!({})).faults(422, "rule_broken"), missing);
    let terms = json!({"terms": {"code": "two-coat-five"}});
    let issued = shop.desk.post(&later, &terms).created();
    assert_eq!(issued["job"]["terms"], json!({"code": "two-coat-five", "edition": 1}));
}

fn a_warranty_issued_later_begins_at_what_was_read_by_then(mut shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let path = shop.finishes(&vehicle, 412);
    let mut without = handover("2026-03-10", 420);
    without["without_warranty"] = json!(true);
    shop.desk.post(&format!("{path}/handover"), &without).created();
    shop.it_is("2026-05-01T09:00:00Z");
    for (on, shown) in [("2026-04-01", 900), ("2026-04-20", 1_900)] {
        let reading = json!({"on": on, "odometer": km(shown)});
        shop.technician.post(&format!("/v1/vehicles/{vehicle}/readings"), &reading).created();
    }
    let later = format!("{path}/warranty");
    let early = [("/on".to_owned(), "before_handover".to_owned())];
    assert_eq!(shop.desk.post(&later, &json!({"on": "2026-03-09"})).faults(422, "rule_broken"), early);
    let future = [("/on".to_owned(), "in_the_future".to_owned())];
    assert_eq!(shop.desk.post(&later, &json!({"on": "2026-05-02"})).faults(422, "rule_broken"), future);
    for (on, start_km) in
        [("2026-03-10", 420), ("2026-03-31", 420), ("2026-04-19", 900), ("2026-05-01", 1_900)]
    {
        let issued = shop.desk.post(&later, &json!({"on": on})).created();
        assert_eq!(issued["warranty"]["start"], on);
        assert_eq!(issued["job"]["handed_over_on"], "2026-03-10", "the handover stays what it was");
        let warranty = format!("/v1/warranties/{}", id(&issued["warranty"]));
        assert_eq!(shop.desk.get(&warranty).ok()["start_km"], start_km, "on {on}");
        shop.manager.post(&format!("{warranty}/void"), &json!({"reason": "Another day."})).ok();
    }
}

fn a_job_that_falls_short_goes_out_on_other_terms(shop: TestShop) {
    shop.stocks_up();
    let path = shop.takes_on(&shop.knows("QC-1"), 412);
    // One coat instead of two, and no panel wipe before it.
    let coat = json!({"surface": "paint", "panels": ["bonnet"], "product": "base-30", "batch": "base-30-0417",
                      "started_at": "2026-03-09T09:00:00Z", "ended_at": "2026-03-09T09:40:00Z"});
    shop.technician.post(&format!("{path}/coats"), &coat).created();
    let pass = json!({"code": "coats_missing", "subject": "paint/bonnet/top-10", "reason": "As ordered."});
    shop.manager.post(&format!("{path}/passes"), &pass).created();
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let to = format!("{path}/handover");
    let refused = shop.desk.post(&to, &handover("2026-03-10", 412)).refused(409, "job_falls_short");
    let short: Vec<&str> =
        refused["errors"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap()).collect();
    assert_eq!(short, ["coats_missing", "prep_missing"]);

    let mut plain = terms();
    plain["code"] = json!("one-coat");
    plain["build"] = Value::Null;
    shop.manager.post("/v1/terms", &plain).created();
    let draft = [("/terms".to_owned(), "terms_not_published".to_owned())];
    let choice = json!({"terms": {"code": "one-coat", "edition": 1}});
    assert_eq!(shop.desk.change(&path, &choice).faults(422, "rule_broken"), draft);
    shop.manager.post("/v1/terms/one-coat/editions/1/publish", &json!({})).ok();
    assert_eq!(shop.desk.change(&path, &choice).ok()["terms"], choice["terms"]);
    let handed = shop.desk.post(&to, &handover("2026-03-10", 412)).created();
    assert_eq!(handed["warranty"]["terms"]["code"], "one-coat");
}

fn a_warranty_takes_the_place_of_another(mut shop: TestShop) {
    let (vehicle, first) = shop.delivers();
    shop.it_is("2026-06-01T09:00:00Z");
    let again = |shown: u32, replaces: &str| {
        let path = shop.finishes(&vehicle, shown);
        let mut body = handover("2026-06-01", shown);
        body["replaces"] = json!(replaces);
        (format!("{path}/handover"), body)
    };
    let refused = |to: &str, body: &Value| {
        let faults = shop.desk.post(to, body).faults(422, "rule_broken");
        faults.into_iter().map(|(place, code)| format!("{place} {code}")).collect::<Vec<_>>()
    };
    let (to, mut body) = again(3_000, "W-2026-0001");
    body["without_warranty"] = json!(true);
    assert_eq!(refused(&to, &body), ["/replaces no_warranty"]);
    body["without_warranty"] = json!(false);
    for unknown in ["W-2026-0009", "0190a0a0-0000-7000-8000-000000000000", "the first one"] {
        body["replaces"] = json!(unknown);
        assert_eq!(refused(&to, &body), ["/replaces unknown_warranty"]);
    }
    // Another vehicle's.
    let other = shop.finishes(&shop.knows("QC-9"), 10);
    let theirs = shop.desk.post(&format!("{other}/handover"), &handover("2026-06-01", 10)).created();
    body["replaces"] = theirs["warranty"]["number"].clone();
    assert_eq!(refused(&to, &body), ["/replaces unknown_warranty"]);

    body["replaces"] = json!("W-2026-0001");
    let second = shop.desk.post(&to, &body).created()["warranty"].clone();
    let warranty = |of: &Value| shop.desk.get(&format!("/v1/warranties/{}", id(of))).ok();
    assert_eq!(warranty(&second)["replaces"], first["id"]);
    assert_eq!(warranty(&first)["replaced_by"], second["id"]);
    // It keeps what it promised: the windscreen, which the second one does not cover.
    let verdict = shop.verdict("2026-06-01");
    let both = verdict["warranties"].as_array().unwrap();
    assert_eq!(both.len(), 2);
    let old = both.iter().find(|one| one["id"] == first["id"]).unwrap();
    assert_eq!(old["assessment"]["cover"]["glass"]["state"], "in_force");

    let (to, mut body) = again(3_100, "W-2026-0001");
    assert_eq!(refused(&to, &body), ["/replaces already_replaced"]);
    body["replaces"] = second["number"].clone();
    shop.manager.post(&format!("/v1/warranties/{}/void", id(&second)), &json!({"reason": "A slip."})).ok();
    assert_eq!(refused(&to, &body), ["/replaces warranty_void"]);
    assert_eq!(warranty(&first)["replaced_by"], Value::Null, "what is void takes no place");
    body["replaces"] = first["id"].clone();
    shop.desk.post(&to, &body).created();
}
