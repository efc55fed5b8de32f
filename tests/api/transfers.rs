//! Sales: told in time, told late, not told; and the first owner who takes a vehicle out of a dealer's stock.

use serde_json::{Value, json};

use super::jobs::km;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_sale_told_in_time_keeps_cover,
    a_sale_that_was_not_told_ends_cover_when_the_time_is_up,
    more_owners_than_the_terms_allow,
    out_of_stock_it_is_the_first_owners_handover,
    what_is_wrong_with_a_sale_is_told,
    a_sale_is_told_later,
    a_sale_that_is_entered_late_leaves_the_vehicle_with_its_latest_buyer,
    a_sale_goes_back_to_the_owner_who_was_put_right_before_it,
);

/// Cover on paint after a sale.
fn paint(sold: &Value) -> Value {
    sold["assessments"][0]["assessment"]["cover"]["paint"].clone()
}

fn a_sale_told_in_time_keeps_cover(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-07-01T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let sale = json!({"on": "2026-06-01", "customer": {"name": "Bruno Lira"}});
    shop.technician.post(&path, &sale).refused(403, "forbidden");
    // Told today unless said: 30 days after 1 June is 1 July.
    let sold = shop.desk.post(&path, &sale).created();
    assert_eq!(paint(&sold)["state"], "in_force");
    let listed = shop.desk.get(&path).ok();
    assert_eq!(
        (&listed["items"][0]["told"], listed["items"].as_array().unwrap().len()),
        (&json!("2026-07-01"), 1)
    );
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    assert_eq!(listed["items"][0]["customer"], owner);

    // A day later it would have been too late.
    shop.it_is("2026-07-02T09:00:00Z");
    let retract = json!({"kind": "retract", "event": sold["id"], "reason": "Entered a day too early."});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &retract).created();
    let before = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    assert_ne!(before, owner, "who had it before has it again");
    let again = json!({"on": "2026-06-01", "customer_id": owner});
    let sold = shop.desk.post(&path, &again).created();
    assert_eq!(
        (&paint(&sold)["cause"], &paint(&sold)["last_day"]),
        (&json!("transfer"), &json!("2026-07-01"))
    );
}

fn a_sale_that_was_not_told_ends_cover_when_the_time_is_up(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2026-06-20T09:00:00Z");
    let sale = json!({"on": "2026-06-01", "told": null, "customer": {"name": "Bruno Lira"}});
    let sold = shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    assert_eq!(paint(&sold)["state"], "in_force");
    shop.it_is("2026-07-02T09:00:00Z");
    let verdict = shop.desk.get(&format!("/v1/warranties/{}/assessment", id(&warranty))).ok();
    let paint = &verdict["cover"]["paint"];
    assert_eq!((&paint["state"], &paint["because"]), (&json!("ended"), &sold["id"]));
}

fn more_owners_than_the_terms_allow(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-07-01T09:00:00Z");
    let sells = |on: &str, name: &str| {
        let sale = json!({"on": on, "told": on, "customer": {"name": name}});
        shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created()
    };
    assert_eq!(paint(&sells("2026-05-01", "Bruno Lira"))["state"], "in_force", "the second of two");
    let third = paint(&sells("2026-06-01", "Clara Nunes"));
    assert_eq!((&third["cause"], &third["last_day"]), (&json!("transfer"), &json!("2026-06-01")));
}

fn out_of_stock_it_is_the_first_owners_handover(mut shop: TestShop) {
    shop.stocks_up();
    let dealer =
        id(&shop.desk.post("/v1/customers", &json!({"name": "Harbour Motors", "kind": "stock"})).created());
    let vehicle = json!({"plate": "QC-7", "customer_id": dealer});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let job = shop.finishes(&vehicle, 12);
    let handover = json!({"on": "2026-03-10", "odometer": km(12)});
    shop.desk.post(&format!("{job}/handover"), &handover).created();
    shop.it_is("2026-07-01T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let sells = |name: &str| {
        let sale = json!({"on": "2026-06-20", "customer": {"name": name}});
        shop.desk.post(&path, &sale).created()
    };
    assert_eq!(paint(&sells("Ada Ferro"))["state"], "in_force");
    assert_eq!(shop.desk.get(&path).ok()["items"], json!([]), "the dealer was no owner");
    // So a second owner is allowed, and a third is not.
    assert_eq!(paint(&sells("Bruno Lira"))["state"], "in_force");
    assert_eq!(paint(&sells("Clara Nunes"))["cause"], "transfer");
}

fn what_is_wrong_with_a_sale_is_told(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let faults = |sale: &Value| {
        let faults = shop.desk.post(&path, sale).faults(422, "rule_broken");
        faults.into_iter().map(|(place, code)| format!("{place} {code}")).collect::<Vec<_>>()
    };
    assert_eq!(
        faults(&json!({"on": "2026-03-11", "told": "2026-03-12"})),
        ["/on in_the_future", "/told in_the_future", "/customer_id one_of"]
    );
    let unknown = "0190a0a0-0000-7000-8000-000000000000";
    assert_eq!(
        faults(&json!({"on": "2026-03-10", "customer_id": unknown})),
        ["/customer_id unknown_customer"]
    );
    assert_eq!(
        faults(&json!({"on": "2026-03-10", "customer": {"name": ""}, "customer_id": unknown})),
        ["/customer/name empty", "/customer_id one_of"]
    );
    assert_eq!(shop.desk.get("/v1/customers").ok()["items"].as_array().unwrap().len(), 1, "nobody was added");
}

fn a_sale_is_told_later(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2026-06-20T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let sale = json!({"on": "2026-06-01", "told": null, "customer": {"name": "Bruno Lira"}});
    let sold = shop.desk.post(&path, &sale).created();
    let new_owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    shop.it_is("2026-07-02T09:00:00Z");
    let verdict = |shop: &TestShop| {
        let path = format!("/v1/warranties/{}/assessment", id(&warranty));
        shop.desk.get(&path).ok()["cover"]["paint"]["state"].clone()
    };
    assert_eq!(verdict(&shop), "ended");

    // A letter of 1 July was lying in the office.
    let told = format!("{path}/{}/told", id(&sold));
    shop.technician.post(&told, &json!({"on": "2026-07-01"})).refused(403, "forbidden");
    assert_eq!(
        shop.desk.post(&told, &json!({"on": "2026-07-03"})).faults(422, "rule_broken"),
        [("/on".into(), "in_the_future".into())]
    );
    let put_right = shop.desk.post(&told, &json!({"on": "2026-07-01"})).created();
    assert_eq!(paint(&put_right)["state"], "in_force");
    assert_eq!(verdict(&shop), "in_force");
    let listed = shop.desk.get(&path).ok();
    let items = listed["items"].as_array().unwrap();
    assert_eq!((&items[0]["retracted"], &items[0]["told"]), (&json!(true), &json!(null)));
    assert_eq!((&items[1]["instead_of"], &items[1]["told"]), (&sold["id"], &json!("2026-07-01")));
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    assert_eq!(owner, new_owner, "who has it stays the same");

    // What stands in its place is what is corrected from now on, and what a retraction gives back.
    assert_eq!(
        shop.desk.post(&told, &json!({"on": "2026-06-30"})).faults(422, "rule_broken"),
        [(String::new(), "already_retracted".into())]
    );
    let again = format!("{path}/{}/told", id(&put_right));
    assert_eq!(
        shop.desk.post(&again, &json!({"on": "2026-07-01"})).faults(422, "rule_broken"),
        [("/on".into(), "already_told".into())]
    );
    let retract = json!({"kind": "retract", "event": put_right["id"], "reason": "It was another vehicle."});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &retract).created();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    assert_ne!(owner, new_owner);
    let reading = shop.desk.get(&format!("/v1/vehicles/{vehicle}/readings")).ok()["items"][0]["id"].clone();
    let no_sale = format!("{path}/{}/told", reading.as_str().unwrap());
    shop.desk.post(&no_sale, &json!({"on": "2026-07-01"})).refused(404, "not_found");
}

fn a_sale_that_is_entered_late_leaves_the_vehicle_with_its_latest_buyer(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let first = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    shop.it_is("2026-07-01T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let sells = |on: &str, name: &str| {
        let sale = json!({"on": on, "customer": {"name": name}});
        shop.desk.post(&path, &sale).created()
    };
    let name_of_owner = || {
        let vehicle = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok();
        let customer = vehicle["customer_id"].as_str().unwrap().to_owned();
        shop.desk.get(&format!("/v1/customers/{customer}")).ok()["name"].clone()
    };
    sells("2026-06-20", "Clara Nunes");
    // Clara had it of Bruno, which comes out when she stands at the desk.
    let late = sells("2026-06-05", "Bruno Lira");
    assert_eq!(name_of_owner(), "Clara Nunes");
    // It was sold on the same day once more: what is entered later came later.
    let same_day = sells("2026-06-20", "Dario Penna");
    assert_eq!(name_of_owner(), "Dario Penna");

    // Retracted in any order, each goes back to whoever had it before.
    let retract = |event: &Value| {
        let retract = json!({"kind": "retract", "event": event["id"], "reason": "Somebody else's vehicle."});
        shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &retract).created();
    };
    retract(&late);
    assert_eq!(name_of_owner(), "Dario Penna");
    retract(&same_day);
    assert_eq!(name_of_owner(), "Clara Nunes");
    let clara = shop.desk.get(&path).ok()["items"][0].clone();
    retract(&clara);
    assert_eq!(shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"], first);
}

fn a_sale_goes_back_to_the_owner_who_was_put_right_before_it(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let path = format!("/v1/vehicles/{vehicle}");
    shop.it_is("2026-06-20T09:00:00Z");
    let customer = |name: &str| id(&shop.desk.post("/v1/customers", &json!({"name": name})).created());
    let (right, wrong) = (json!(customer("Olga Brandt")), json!(customer("Rui Matos")));
    let owner = || shop.desk.get(&path).ok()["customer_id"].clone();
    let put_right = |to: &Value| {
        shop.desk.change(&path, &json!({"customer_id": to})).ok();
        assert_eq!(&owner(), to);
    };
    // Sold on a day before that on which the owner was put right.
    let sells = |name: &str| {
        let sale = json!({"on": "2026-06-05", "customer": {"name": name}});
        shop.desk.post(&format!("{path}/transfers"), &sale).created()
    };
    let retract = |event: &Value| {
        let retract = json!({"kind": "retract", "event": event["id"], "reason": "Somebody else's vehicle."});
        shop.desk.post(&format!("{path}/events"), &retract).created();
    };
    put_right(&right);
    let sold = sells("Clara Nunes");
    let clara = owner();
    assert_ne!(clara, right);
    retract(&sold);
    assert_eq!(owner(), right);

    let sold = sells("Dario Penna");
    put_right(&wrong);
    put_right(&clara);
    let listed =
        |q: &str| shop.desk.get(&format!("/v1/vehicles?q={q}")).ok()["items"].as_array().unwrap().len();
    assert_eq!(
        (listed("clara"), listed("rui"), listed("dario")),
        (1, 0, 0),
        "nobody has it beside its owner"
    );
    retract(&sold);
    assert_eq!(owner(), clara, "whoever was put right since stays");
}
