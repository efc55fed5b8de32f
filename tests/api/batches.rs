//! Bottles are entered by their batch, and called back when something is wrong with one.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_batch_is_entered_by_anybody_and_set_aside_by_a_manager,
    what_is_wrong_with_a_batch_is_told_all_at_once,
    a_recalled_batch_is_traced_to_vehicles_panels_and_owners,
    batches_of_another_shop_are_not_there,
);

fn enters_base_30(shop: &TestShop) {
    let product =
        json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": super::products::sheet()});
    shop.manager.post("/v1/products", &product).created();
}

fn b30_0417() -> Value {
    json!({"product": "base-30", "number": "B30-0417", "expires_on": "2028-04-30", "ml": 50})
}

fn a_batch_is_entered_by_anybody_and_set_aside_by_a_manager(shop: TestShop) {
    enters_base_30(&shop);
    let added = shop.technician.post("/v1/batches", &b30_0417());
    let location = added.header("location").unwrap().to_owned();
    let body = added.created();
    assert_eq!(
        (&body["product"], &body["number"], &body["state"]),
        (&json!("base-30"), &json!("B30-0417"), &json!("usable"))
    );
    assert_eq!(shop.desk.get(&location).ok(), body);
    let again = shop.technician.post("/v1/batches", &b30_0417()).refused(409, "batch_exists");
    assert_eq!(again["existing"], body["id"]);

    // The bottle is opened by whoever opens it; that it may not be used, a manager says.
    let opened = shop.technician.change(&location, &json!({"opened_on": "2026-03-10"})).ok();
    assert_eq!(opened["opened_on"], "2026-03-10");
    shop.technician.change(&location, &json!({"state": "quarantined"})).refused(403, "forbidden");
    shop.technician.change(&location, &json!({"state": "usable", "ml": 30})).ok();
    let aside = shop.manager.change(&location, &json!({"state": "recalled"})).ok();
    assert_eq!(
        (&aside["state"], &aside["opened_on"], &aside["ml"]),
        (&json!("recalled"), &json!("2026-03-10"), &json!(30.0))
    );
    let found = shop.desk.get("/v1/batches?product=base-30&number=B30-0417&state=recalled").ok();
    assert_eq!(found["items"], json!([aside]));
    assert_eq!(shop.desk.get("/v1/batches?state=usable").ok()["items"], json!([]));
    let faults = shop.desk.get("/v1/batches?state=lost").faults(400, "malformed");
    assert_eq!(faults, [("state".into(), "wrong_type".into())]);

    let mut other = b30_0417();
    other["number"] = json!("B30-0418");
    other["state"] = json!("quarantined");
    shop.desk.post("/v1/batches", &other).refused(403, "forbidden");
    shop.manager.post("/v1/batches", &other).created();

    let used = shop.desk.get(&format!("{location}/vehicles")).ok();
    assert_eq!(used, json!({"items": [], "next": null}), "nothing was coated from it yet");
    let etag = shop.desk.etag(&location);
    shop.desk.patch(&location, "\"1\"", &json!({"ml": 20})).refused(412, "precondition_failed");
    shop.desk.patch(&location, &etag, &json!({"ml": 20})).ok();
}

fn what_is_wrong_with_a_batch_is_told_all_at_once(shop: TestShop) {
    enters_base_30(&shop);
    let faults = shop
        .desk
        .post(
            "/v1/batches",
            &json!({"product": "base-31", "number": " ", "made_on": "2026-03-11", "opened_on": "2026-01-01", "expires_on": "2026-01-02", "ml": 0}),
        )
        .faults(422, "rule_broken");
    let faults: Vec<(&str, &str)> =
        faults.iter().map(|(place, code)| (place.as_str(), code.as_str())).collect();
    assert_eq!(
        faults,
        [
            ("/product", "unknown_product"),
            ("/number", "empty"),
            ("/made_on", "in_the_future"),
            ("/expires_on", "before_made"),
            ("/opened_on", "before_made"),
            ("/ml", "out_of_range"),
        ]
    );
    let faults = shop
        .desk
        .post("/v1/batches", &json!({"product": "base-30", "number": "1", "expires_on": "2026-02-30"}))
        .faults(400, "malformed");
    assert_eq!(faults, [("/expires_on".into(), "wrong_type".into())], "a day that does not exist");
    let made = shop.desk.post("/v1/batches", &b30_0417()).created();
    let path = format!("/v1/batches/{}", id(&made));
    let faults =
        shop.desk.change(&path, &json!({"product": "top-10", "number": "2"})).faults(422, "rule_broken");
    assert_eq!(faults, [("/product".into(), "is_fixed".into()), ("/number".into(), "is_fixed".into())]);
    assert_eq!(shop.desk.get(&path).ok(), made);
}

fn batches_of_another_shop_are_not_there(shop: TestShop) {
    enters_base_30(&shop);
    let path = format!("/v1/batches/{}", id(&shop.desk.post("/v1/batches", &b30_0417()).created()));
    let neighbour = shop.neighbour();
    neighbour.get(&path).refused(404, "not_found");
    neighbour.get(&format!("{path}/vehicles")).refused(404, "not_found");
    neighbour.patch(&path, "\"1\"", &json!({"ml": 1})).refused(404, "not_found");
    let faults = neighbour.post("/v1/batches", &b30_0417()).faults(422, "rule_broken");
    assert_eq!(faults, [("/product".into(), "unknown_product".into())], "a product is each shop's own");
}

/// A vehicle on which paint was coated from a bottle of this number; answers the vehicle's id.
fn coats(shop: &TestShop, plate: &str, customer: Option<&str>, coats: &[(&str, &[&str])]) -> String {
    let vehicle = json!({"plate": plate, "make": "Meridian", "model": "Tern", "customer_id": customer});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let job = id(&shop.technician.post("/v1/jobs", &job).created());
    for (i, (batch, panels)) in coats.iter().enumerate() {
        let coat = json!({
            "surface": "paint", "panels": panels, "product": "base-30", "batch": batch,
            "started_at": format!("2026-03-10T06:{i}0:00Z"), "ended_at": format!("2026-03-10T06:{i}5:00Z"),
        });
        shop.technician.post(&format!("/v1/jobs/{job}/coats"), &coat).created();
    }
    vehicle
}

fn a_recalled_batch_is_traced_to_vehicles_panels_and_owners(shop: TestShop) {
    enters_base_30(&shop);
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    // The bottle was used before anybody entered it, and one vehicle has no owner that is known.
    let first =
        coats(&shop, "AA-01-BB", Some(&owner), &[("B30-0417", &["bonnet", "roof"]), ("B30-0417", &["boot"])]);
    let second =
        coats(&shop, "AA-02-BB", None, &[("B30-0417", &["other:roof rails"]), ("B30-0999", &["bonnet"])]);
    coats(&shop, "AA-03-BB", None, &[("B30-0999", &["bonnet"])]);
    let batch = id(&shop.desk.post("/v1/batches", &b30_0417()).created());
    let path = format!("/v1/batches/{batch}/vehicles");
    let all = shop.desk.get(&path).ok();
    let items = all["items"].as_array().unwrap();
    let told: Vec<(&Value, &Value, Vec<&Value>)> = items
        .iter()
        .map(|item| {
            let coats = item["coats"].as_array().unwrap();
            (
                &item["vehicle"]["id"],
                &item["customer"]["name"],
                coats.iter().map(|coat| &coat["panels"]).collect(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            (&json!(first), &json!("Ada Ferro"), vec![&json!(["bonnet", "roof"]), &json!(["boot"])]),
            (&json!(second), &Value::Null, vec![&json!(["other:roof rails"])]),
        ],
        "in the order in which the vehicles were entered, without what came from other bottles"
    );
    assert_eq!(items[0]["customer"]["email"], "ada@example.org");
    assert_eq!(items[0]["vehicle"]["title"], "Meridian Tern");
    assert_eq!(items[0]["coats"][0]["job"]["number"], "J-2026-0001");

    let page = shop.desk.get(&format!("{path}?limit=1")).ok();
    assert_eq!(page["items"], json!([items[0]]));
    let next = page["next"].as_str().unwrap();
    let rest = shop.desk.get(&format!("{path}?limit=1&cursor={next}")).ok();
    assert_eq!(rest, json!({"items": [items[1]], "next": null}));
}
