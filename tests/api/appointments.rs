//! Appointments: while one is booked its owner is not reminded; kept by the visit, missed by the day. Invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    while_it_is_booked_nobody_is_reminded,
    a_visit_keeps_it_and_a_day_without_one_is_a_task,
    what_cannot_be_booked_is_told,
    it_can_be_moved_and_looked_for,
);

impl TestShop {
    fn books(&self, vehicle: &str, at: &str) -> Value {
        self.desk.post("/v1/appointments", &json!({"vehicle_id": vehicle, "at": at})).created()
    }

    /// The first inspection on the work list.
    fn inspection(&self) -> Value {
        self.desk.get("/v1/dues?upkeep=annual").ok()["items"][0].clone()
    }
}

fn while_it_is_booked_nobody_is_reminded(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2027-01-20T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.mails().len(), 1, "what was done");
    // The window opens on 9 January; that one due is the only one in whose window the day lies.
    let booked = shop.books(&vehicle, "2027-02-26T10:00:00Z");
    assert_eq!(booked["state"], "booked");
    let annual = json!({"warranty": id(&warranty), "upkeep": "annual", "number": 1});
    assert!(booked["dues"].as_array().unwrap().contains(&annual), "{booked:#}");
    let due = shop.inspection();
    assert_eq!((&due["booked_at"], &due["last_notice"]), (&json!("2027-02-26T10:00:00Z"), &Value::Null));
    for day in ["2027-01-24", "2027-02-24"] {
        shop.it_is(&format!("{day}T09:00:00Z"));
        shop.ticks();
    }
    let subjects: Vec<String> = shop.mails().into_iter().map(|(subject, _)| subject).collect();
    assert_eq!(subjects.len(), 3, "that it is booked, and that it is near: {subjects:?}");
    assert!(subjects[1..].iter().all(|subject| subject.ends_with("26 February 2027")), "{subjects:?}");
    let path = format!("/v1/appointments/{}", id(&booked));
    assert_eq!(shop.desk.change(&path, &json!({"state": "cancelled"})).ok()["state"], "cancelled");
    shop.it_is("2027-02-24T09:01:00Z");
    shop.ticks();
    assert_eq!(shop.mails().len(), 4, "what is true without it is told");
    let due = shop.inspection();
    assert_eq!(due["booked_at"], Value::Null);
    assert_eq!(due["last_notice"], json!({"kind": "upcoming", "sent_at": "2027-02-24T09:01:00Z"}));
}

fn a_visit_keeps_it_and_a_day_without_one_is_a_task(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2027-01-20T09:00:00Z");
    let kept = shop.books(&vehicle, "2027-01-20T15:00:00Z");
    let missed = shop.books(&vehicle, "2027-01-21T15:00:00Z");
    let visit =
        json!({"vehicle_id": vehicle, "on": "2027-01-20", "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &visit).created();
    let state = |shop: &TestShop, one: &Value| {
        shop.technician.get(&format!("/v1/appointments/{}", id(one))).ok()["state"].clone()
    };
    assert_eq!((state(&shop, &kept), state(&shop, &missed)), (json!("kept"), json!("booked")));
    shop.it_is("2027-01-21T23:59:00Z");
    shop.ticks();
    assert_eq!(state(&shop, &missed), "booked", "the day is not over in Lisbon");
    for minute in ["00:00", "00:01"] {
        shop.it_is(&format!("2027-01-22T{minute}:00Z"));
        shop.ticks();
        assert_eq!(state(&shop, &missed), "missed");
    }
    let tasks = shop.technician.get("/v1/tasks").ok();
    let items = tasks["items"].as_array().unwrap();
    assert_eq!(items.len(), 1, "{tasks:#}");
    assert_eq!(
        (&items[0]["kind"], &items[0]["customer"]["name"]),
        (&json!("appointment_missed"), &json!("Ada Ferro"))
    );
    let path = format!("/v1/tasks/{}", id(&items[0]));
    shop.technician.post(&format!("{path}/done"), &json!({})).refused(403, "forbidden");
    assert_eq!(shop.desk.post(&format!("{path}/done"), &json!({})).ok()["done_at"], "2027-01-22T00:01:00Z");
    assert_eq!(shop.desk.get("/v1/tasks").ok()["items"], json!([]));
    assert_eq!(shop.desk.get("/v1/tasks?done=true").ok()["items"][0]["id"], items[0]["id"]);
    shop.neighbour().get(&path).refused(404, "not_found");
}

fn what_cannot_be_booked_is_told(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2027-01-20T09:00:00Z");
    let at = "2027-02-01T09:00:00Z";
    let due =
        |upkeep: &str, number: u32| json!([{"warranty": "W-2026-0001", "upkeep": upkeep, "number": number}]);
    for (body, wanted) in [
        (json!({"vehicle_id": vehicle, "at": "2027-01-19T09:00:00Z"}), ("/at", "in_the_past")),
        (json!({"vehicle_id": vehicle, "at": "2031-01-19T09:00:00Z"}), ("/at", "too_far_ahead")),
        (json!({"vehicle_id": vehicle, "at": at, "dues": due("annual", 7)}), ("/dues/0", "unknown_due")),
        (json!({"vehicle_id": vehicle, "at": at, "dues": due("yearly", 1)}), ("/dues/0", "unknown_due")),
        (json!({"vehicle_id": vehicle, "at": at, "note": ""}), ("/note", "empty")),
        (
            json!({"vehicle_id": "01a215ef-e9a6-745c-90d2-f8ab2d975bba", "at": at}),
            ("/vehicle_id", "unknown_vehicle"),
        ),
    ] {
        let faults = shop.desk.post("/v1/appointments", &body).faults(422, "rule_broken");
        assert_eq!(faults, [(wanted.0.to_owned(), wanted.1.to_owned())], "{body}");
    }
    let body = json!({"vehicle_id": vehicle, "at": at});
    shop.technician.post("/v1/appointments", &body).refused(403, "forbidden");
    let booked = shop.books(&vehicle, at);
    let path = format!("/v1/appointments/{}", id(&booked));
    for state in ["kept", "missed"] {
        let faults = shop.desk.change(&path, &json!({"state": state})).faults(422, "rule_broken");
        assert_eq!(faults, [("/state".to_owned(), "in_the_future".to_owned())]);
    }
    shop.desk
        .call("PATCH", &path, &[], Some(&json!({"state": "cancelled"})))
        .refused(428, "precondition_required");
    shop.desk.patch(&path, "\"9\"", &json!({"state": "cancelled"})).refused(412, "precondition_failed");
    shop.neighbour().get(&path).refused(404, "not_found");
}

fn it_can_be_moved_and_looked_for(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2027-01-20T09:00:00Z");
    let first = shop.books(&vehicle, "2027-02-01T09:00:00Z");
    let second = shop.books(&vehicle, "2027-02-02T09:00:00Z");
    let path = format!("/v1/appointments/{}", id(&first));
    let moved = shop.desk.change(&path, &json!({"at": "2027-02-08T09:30:00+01:00", "note": "By tram."})).ok();
    assert_eq!((&moved["at"], &moved["on"]), (&json!("2027-02-08T08:30:00Z"), &json!("2027-02-08")));
    assert_eq!((&moved["dues"], &moved["note"]), (&first["dues"], &json!("By tram.")));
    let ids = |query: &str| {
        let page = shop.desk.get(&format!("/v1/appointments{query}")).ok();
        page["items"].as_array().unwrap().iter().map(id).collect::<Vec<_>>()
    };
    assert_eq!(ids(""), [id(&second), id(&first)]);
    assert_eq!(ids("?from=2027-02-03"), [id(&first)]);
    assert_eq!(ids("?to=2027-02-03&state=booked"), [id(&second)]);
    assert_eq!(ids("?state=kept&state=missed"), Vec::<String>::new());
    assert_eq!(ids(&format!("?vehicle_id={vehicle}&limit=1")), [id(&second)]);
}
