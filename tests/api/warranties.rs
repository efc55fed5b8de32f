//! What is granted on a warranty, and what is left of one that was issued in error.

use serde_json::{Value, json};

use super::jobs::km;
use super::main_job::VIN;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_void_warranty_has_no_cover_and_no_dues_and_stays_on_record,
    a_waived_due_is_asked_for_no_more,
    an_extended_due_closes_later,
    what_is_wrong_with_a_waiver_or_an_extension_is_told,
);

/// The due of a warranty with this key and number.
fn due(shop: &TestShop, warranty: &str, upkeep: &str, number: u64) -> Value {
    let dues = shop.desk.get(&format!("{warranty}/dues")).ok();
    let of_it = |due: &&Value| due["upkeep"] == upkeep && due["number"] == number;
    dues["items"].as_array().unwrap().iter().find(of_it).cloned().unwrap_or(Value::Null)
}

fn a_void_warranty_has_no_cover_and_no_dues_and_stays_on_record(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}", id(&warranty));
    assert!(!shop.desk.get("/v1/dues?status=ahead").ok()["items"].as_array().unwrap().is_empty());
    let because = json!({"reason": "Issued on the wrong vehicle."});
    shop.desk.post(&format!("{path}/void"), &because).refused(403, "forbidden");
    shop.technician.post(&format!("{path}/void"), &because).refused(403, "forbidden");
    assert_eq!(
        shop.manager.post(&format!("{path}/void"), &json!({"reason": ""})).faults(422, "rule_broken"),
        [("/reason".into(), "empty".into())]
    );
    let voided = shop.manager.post("/v1/warranties/W-2026-0001/void", &because).ok();
    assert_eq!(
        (&voided["void_reason"], &voided["voided_at"]),
        (&because["reason"], &json!("2026-03-10T08:00:00Z"))
    );

    assert_eq!(shop.desk.get("/v1/dues?status=ahead").ok()["items"], json!([]));
    assert_eq!(shop.desk.get(&format!("{path}/dues")).ok()["items"], json!([]));
    shop.desk.get(&format!("{path}/assessment")).refused(409, "warranty_void");
    let verdict = shop.verdict("2026-03-10");
    assert_eq!(
        (&verdict["warranties"], &verdict["today"], &verdict["in_force"]),
        (&json!([]), &json!([]), &json!(false))
    );
    assert_eq!(shop.desk.get(&path).ok()["number"], "W-2026-0001");
    let listed = shop.desk.get(&format!("/v1/warranties?vehicle_id={vehicle}")).ok();
    assert_eq!(listed["items"].as_array().unwrap().len(), 1);

    shop.manager.post(&format!("{path}/void"), &because).refused(409, "warranty_void");
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2026-03-10", "reason": "Laid up."});
    shop.manager.post(&format!("{path}/waivers"), &waiver).refused(409, "warranty_void");
    let extension = json!({"upkeep": "annual", "number": 1, "to": "2027-06-30", "reason": "Laid up."});
    shop.manager.post(&format!("{path}/extensions"), &extension).refused(409, "warranty_void");

    // What happens to the vehicle from then on concerns it no more, and no day turns it.
    shop.it_is("2027-05-01T09:00:00Z");
    let visit = json!({"vehicle_id": vehicle, "on": "2027-05-01", "odometer": km(9_000),
                       "services": [{"service": "inspection"}]});
    let entered = shop.technician.post("/v1/visits", &visit).created();
    assert_eq!((&entered["effects"], &entered["assessments"]), (&json!([]), &json!([])));
    assert_eq!(lustrum::app::turn::days(&shop.app, shop.app.now()).unwrap(), []);
}

fn a_waived_due_is_asked_for_no_more(mut shop: TestShop) {
    let (_, warranty) = shop.delivers();
    shop.it_is("2027-05-01T09:00:00Z");
    lustrum::app::turn::days(&shop.app, shop.app.now()).unwrap();
    let path = format!("/v1/warranties/{}", id(&warranty));
    assert_eq!(due(&shop, &path, "annual", 1)["status"], "missed");
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2027-05-01", "reason": "The shop was shut."});
    for client in [&shop.technician, &shop.desk] {
        client.post(&format!("{path}/waivers"), &waiver).refused(403, "forbidden");
    }
    let waived = shop.manager.post(&format!("{path}/waivers"), &waiver).created();
    assert_eq!(waived["assessments"][0]["assessment"]["cover"]["paint"]["state"], "in_force");
    assert_eq!(due(&shop, &path, "annual", 1)["status"], "waived");
    assert_eq!(due(&shop, &path, "annual", 2)["status"], "ahead");
    // As it was known the day before, it was missed.
    let before = shop.desk.get(&format!("{path}/assessment?known_at=2027-05-01T08:59:59Z")).ok();
    assert_eq!(before["cover"]["paint"]["state"], "suspended");
    let events = shop.desk.get(&format!("/v1/vehicles/{}/history", vehicle_of(&shop))).ok();
    let told = events["items"].as_array().unwrap().last().unwrap().clone();
    assert_eq!((&told["kind"], &told["reason"]), (&json!("waive"), &json!("The shop was shut.")));
    // The desk takes it back.
    let retract = json!({"kind": "retract", "event": waived["id"], "reason": "It was open."});
    shop.desk.post(&format!("/v1/vehicles/{}/events", vehicle_of(&shop)), &retract).created();
    assert_eq!(due(&shop, &path, "annual", 1)["status"], "missed");
}

fn vehicle_of(shop: &TestShop) -> String {
    id(&shop.desk.get(&format!("/v1/eligibility?vin={VIN}")).ok()["vehicle"])
}

fn an_extended_due_closes_later(mut shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}", id(&warranty));
    assert_eq!(due(&shop, &path, "annual", 1)["closes"], "2027-04-09");
    let extension =
        json!({"upkeep": "annual", "number": 1, "to": "2027-06-30", "reason": "Laid up for winter."});
    for client in [&shop.technician, &shop.desk] {
        client.post(&format!("{path}/extensions"), &extension).refused(403, "forbidden");
    }
    shop.manager.post(&format!("{path}/extensions"), &extension).created();
    assert_eq!(due(&shop, &path, "annual", 1)["closes"], "2027-06-30");
    // One to an earlier day takes nothing away.
    let earlier = json!({"upkeep": "annual", "number": 1, "to": "2027-05-31", "reason": "A slip."});
    shop.manager.post(&format!("{path}/extensions"), &earlier).created();
    assert_eq!(due(&shop, &path, "annual", 1)["closes"], "2027-06-30");
    shop.it_is("2027-06-30T12:00:00Z");
    lustrum::app::turn::days(&shop.app, shop.app.now()).unwrap();
    assert_eq!(due(&shop, &path, "annual", 1)["status"], "late");
    let visit =
        json!({"vehicle_id": vehicle_of(&shop), "on": "2027-06-30", "services": [{"service": "inspection"}]});
    let entered = shop.technician.post("/v1/visits", &visit).created();
    assert_eq!(
        (&entered["effects"][0]["effect"], &entered["effects"][0]["number"]),
        (&json!("meets"), &json!(1))
    );
}

fn what_is_wrong_with_a_waiver_or_an_extension_is_told(shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}", id(&warranty));
    let wrong = json!({"upkeep": "anual", "number": 0, "on": "2026-03-11", "reason": ""});
    assert_eq!(
        shop.manager.post(&format!("{path}/waivers"), &wrong).faults(422, "rule_broken"),
        [
            ("/on".into(), "in_the_future".into()),
            ("/reason".into(), "empty".into()),
            ("/number".into(), "out_of_range".into()),
            ("/upkeep".into(), "unknown_rule".into()),
        ]
    );
    let wrong = json!({"upkeep": "anual", "number": 1, "to": "2027-06-30", "reason": "Laid up."});
    assert_eq!(
        shop.manager.post(&format!("{path}/extensions"), &wrong).faults(422, "rule_broken"),
        [("/upkeep".into(), "unknown_rule".into())]
    );
    let unread = json!({"upkeep": "annual", "number": 1, "to": "2027-02-30", "reason": "Laid up."});
    shop.manager.post(&format!("{path}/extensions"), &unread).refused(400, "malformed");
    assert_eq!(due(&shop, &path, "annual", 1)["closes"], "2027-04-09", "nothing of it was entered");
}
