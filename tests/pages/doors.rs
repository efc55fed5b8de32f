//! The page behind the label in a vehicle's door frame: what anybody sees there, and what becomes of what they note.

use serde_json::{Value, json};

use super::links::{Holder, PAGE};
use super::plain;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_door_says_what_is_on_the_vehicle_and_nothing_of_persons,
    what_is_noted_at_the_door_waits_for_the_desk,
);

impl TestShop {
    fn door_of(&self, vehicle: &str) -> Holder {
        let door = self.technician.get(&format!("/v1/vehicles/{vehicle}/door-link")).ok();
        Holder::at(self, door["url"].as_str().unwrap())
    }
}

fn a_door_says_what_is_on_the_vehicle_and_nothing_of_persons(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let door = shop.door_of(&vehicle);
    assert_eq!(door.token().len(), 22, "128 bits: a small code on a small label");
    let answer = door.sees();
    assert_eq!((answer.status, answer.header("cache-control")), (200, Some("no-store")));
    let page = plain(&answer.text);
    for says in
        ["Corvina", "base-30, 9 March 2026", "top-10", "Bonnet", "Paint", "Common practice", "pH-neutral"]
    {
        assert!(page.contains(says), "{says} is missing: {page}");
    }
    let vin = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["vin"].as_str().unwrap().to_owned();
    assert!(page.contains(&vin[13..]) && !page.contains(&vin[11..]), "its last four signs");
    for personal in ["Ada", "Ferro", "ada@example.org", "QC-417"] {
        assert!(!answer.text.contains(personal), "{personal} is nobody's business");
    }
    let read = door.reads();
    assert!(read["coats"].as_array().unwrap().iter().any(|coat| coat["surface"] == "paint"), "{read:#}");
    assert!(!read.to_string().contains("QC-417"));

    // In the language of whoever stands there.
    let german = door.nobody.call("GET", &door.path, &[PAGE, ("Accept-Language", "de")], None);
    assert!(german.text.contains("Motorhaube"), "{}", german.text);

    // Repaired, and not coated since.
    shop.it_is("2026-04-01T09:00:00Z");
    let repair = json!({"kind": "repair", "on": "2026-04-01", "surface": "paint", "panel": "bonnet"});
    shop.technician.post(&format!("/v1/vehicles/{vehicle}/events"), &repair).created();
    assert!(door.page().contains("Repaired and not coated since, as far as is known: bonnet."));
    // Coated again; that it was repaired twice before that is entered late.
    for (kind, on) in [("recoat", "2026-04-01"), ("repair", "2026-03-20")] {
        let event = json!({"kind": kind, "on": on, "surface": "paint", "panel": "bonnet"});
        shop.technician.post(&format!("/v1/vehicles/{vehicle}/events"), &event).created();
    }
    assert!(!door.page().contains("not coated since"), "{}", door.page());

    // Another code: old labels lead nowhere.
    let renew = format!("/v1/vehicles/{vehicle}/door-link");
    shop.technician.post(&renew, &json!({})).refused(403, "forbidden");
    let new = shop.desk.post(&renew, &json!({})).created();
    assert_eq!(door.sees().status, 404);
    Holder::at(&shop, new["url"].as_str().unwrap()).page();
    assert_eq!(shop.neighbour().get(&renew).status, 404);
}

fn what_is_noted_at_the_door_waits_for_the_desk(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-25T09:00:00Z");
    let door = shop.door_of(&vehicle);
    let events = |shop: &TestShop| {
        shop.desk.get(&format!("/v1/vehicles/{vehicle}/history")).ok()["items"].as_array().unwrap().len()
    };
    let before = events(&shop);
    let noted = door.sends("", "kind=wash&on=2026-03-24&odometer=1311&text=Two+buckets");
    assert_eq!(noted.status, 200, "{}", noted.text);
    assert!(noted.text.contains("will look at your note"));
    let repair = door.sends("", "kind=repair&on=2026-03-23&panel=boot&surface=paint");
    assert_eq!(repair.status, 200, "{}", repair.text);
    assert_eq!(events(&shop), before, "nothing counts by itself");
    let record = shop.records("report").pop().unwrap();
    assert_eq!(record["entered_by"], json!({"door": true}));
    for (form, says) in [
        ("kind=wash&on=2026-03-26", "still to come"),
        ("kind=repair&on=2026-03-23&panel=", "Please fill this in."),
        ("kind=wash&on=2026-03-24&odometer=99999999999", "not a whole number"),
    ] {
        let slip = door.sends("", form);
        assert!(slip.status == 422 && plain(&slip.text).contains(says), "{form}: {}", slip.text);
    }
    let tasks = shop.tasks_of("door_note");
    let of = |kind: &str| tasks.iter().find(|task| task["report"]["kind"] == kind).unwrap();
    let confirm = |task: &Value| format!("/v1/tasks/{}/confirm", id(task));
    let body = json!({"customer_id": shop.who_owns(&vehicle)});
    assert_eq!(
        shop.desk.post(&confirm(of("door_repair")), &body).faults(422, "rule_broken"),
        [("/customer_id".into(), "no_sale".into())]
    );
    shop.desk.post(&confirm(of("door_repair")), &json!({})).ok();
    let odd = json!({"odometer": {"value": 311, "unit": "km"}});
    shop.desk.post(&confirm(of("door_wash")), &odd).refused(422, "odometer_implausible");
    let washed = shop.desk.post(&confirm(of("door_wash")), &json!({})).ok();
    assert!(washed["task"]["done_at"].is_string());
    assert_eq!(events(&shop), before + 2);

    // Whoever notes without end is stopped; the desk makes room again.
    for day in 1..=5 {
        let text = format!("kind=wash&on=2026-03-2{day}&text=again+{day}");
        assert_eq!(door.sends("", &text).status, 200);
    }
    let many = door.sends("", "kind=wash&on=2026-03-24&text=once+more");
    assert!(many.status == 422 && many.text.contains("waiting for the shop"), "{}", many.text);
    let open = &shop.tasks_of("door_note")[0];
    shop.desk.post(&format!("/v1/tasks/{}/done", id(open)), &json!({})).ok();
    assert_eq!(door.sends("", "kind=wash&on=2026-03-24&text=once+more").status, 200);
}
