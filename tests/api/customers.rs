//! The desk keeps the customers.

use serde_json::json;

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_customer_is_added_found_and_changed,
    what_is_wrong_with_a_customer_is_told_all_at_once,
    a_customer_of_another_shop_is_not_there,
    pages_follow_one_another,
);

fn a_customer_is_added_found_and_changed(shop: TestShop) {
    let added =
        shop.technician.post("/v1/customers", &json!({"name": "Zoë Amsel", "email": "zoe@example.org"}));
    let location = added.header("location").unwrap().to_owned();
    let etag = added.header("etag").unwrap().to_owned();
    let body = added.created();
    assert_eq!(
        (&body["language"], &body["time_zone"]),
        (&json!("en"), &json!("Europe/Lisbon")),
        "the shop's"
    );
    assert_eq!(body["mail"], json!({"upkeep": true, "history": true}));
    assert_eq!(shop.desk.get(&location).ok(), body);
    assert_eq!(shop.desk.call("GET", &location, &[("If-None-Match", &etag)], None).status, 304);

    // Searching knows neither capitals nor accents.
    let found = shop.desk.get("/v1/customers?q=ZOE%20AM").ok();
    assert_eq!(found["items"].as_array().unwrap().len(), 1);

    shop.technician.patch(&location, &etag, &json!({"phone": "1"})).refused(403, "forbidden");
    shop.desk
        .call("PATCH", &location, &[], Some(&json!({"phone": "1"})))
        .refused(428, "precondition_required");
    let changed = shop.desk.patch(&location, &etag, &json!({"phone": "+351 210 000 000"})).ok();
    assert_eq!(changed["phone"], "+351 210 000 000");
    shop.desk.patch(&location, &etag, &json!({"phone": null})).refused(412, "precondition_failed");
    // A null clears; what is needed cannot be cleared.
    assert_eq!(shop.desk.change(&location, &json!({"phone": null})).ok().get("phone"), None);
    let faults = shop.desk.change(&location, &json!({"name": null})).faults(400, "malformed");
    assert_eq!(faults, [("/name".into(), "missing".into())]);
}

fn what_is_wrong_with_a_customer_is_told_all_at_once(shop: TestShop) {
    let faults = shop
        .desk
        .post("/v1/customers", &json!({"name": " ", "email": "nobody", "time_zone": "Mars/Base"}))
        .faults(422, "rule_broken");
    let places: Vec<&str> = faults.iter().map(|(place, _)| place.as_str()).collect();
    assert_eq!(places, ["/name", "/email", "/time_zone"]);

    let post = |body: &str| {
        shop.desk.send(
            "POST",
            "/v1/customers",
            &[("Content-Type", "application/json")],
            Some(body.as_bytes()),
        )
    };
    assert_eq!(post("{").faults(400, "malformed"), [(String::new(), "not_json".into())]);
    assert_eq!(
        post(r#"{"name": "A", "nme": 1}"#).faults(400, "malformed"),
        [("/nme".into(), "unknown_member".into())]
    );
    assert_eq!(
        post(r#"{"name": "A", "kind": "friend"}"#).faults(400, "malformed"),
        [("/kind".into(), "wrong_type".into())]
    );
    assert_eq!(
        post("{\"name\": \"A\\u0000\"}").faults(400, "malformed"),
        [(String::new(), "null_character".into())]
    );
    shop.desk
        .send("POST", "/v1/customers", &[("Content-Type", "text/csv")], Some(b"a"))
        .refused(415, "unsupported_media_type");
    let long = format!(r#"{{"name": "{}"}}"#, "a".repeat(300_000));
    post(&long).refused(413, "too_large");
    shop.desk.anonymous().post("/v1/customers", &json!({})).refused(401, "not_signed_in");
    let not_allowed = shop.desk.call("PUT", "/v1/customers", &[], None);
    assert_eq!(not_allowed.header("allow"), Some("GET, POST, HEAD"));
    not_allowed.refused(405, "method_not_allowed");
    assert_eq!(shop.desk.call("HEAD", "/v1/customers", &[], None).status, 200);
    let faults = shop.desk.get("/v1/customers?colour=red&limit=0").faults(400, "malformed");
    assert_eq!(faults[0], ("colour".into(), "unknown_parameter".into()));
    assert_eq!(shop.desk.get("/v1/customers").ok()["items"], json!([]), "nothing was half done");
}

fn a_customer_of_another_shop_is_not_there(shop: TestShop) {
    let customer = shop.adds_customer("Ada Ferro", "ada@example.org");
    let neighbour = shop.neighbour();
    let path = format!("/v1/customers/{customer}");
    let theirs = neighbour.get(&path).refused(404, "not_found");
    let nobodys =
        neighbour.get("/v1/customers/0190f7a0-0000-7000-8000-000000000000").refused(404, "not_found");
    assert_eq!((&theirs["detail"], &theirs["title"]), (&nobodys["detail"], &nobodys["title"]));
    neighbour.patch(&path, "\"1\"", &json!({"name": "Mine"})).refused(404, "not_found");
    assert_eq!(neighbour.get("/v1/customers").ok()["items"], json!([]));
}

fn pages_follow_one_another(shop: TestShop) {
    let ids: Vec<String> =
        (0..5).map(|i| shop.adds_customer(&format!("Customer {i}"), "c@example.org")).collect();
    let mut seen = Vec::new();
    let mut path = "/v1/customers?limit=2".to_owned();
    loop {
        let page = shop.desk.get(&path).ok();
        seen.extend(page["items"].as_array().unwrap().iter().map(id));
        let Some(next) = page["next"].as_str() else { break };
        shop.desk.get(&format!("/v1/customers?limit=2&q=x&cursor={next}")).refused(400, "malformed");
        path = format!("/v1/customers?limit=2&cursor={next}");
    }
    seen.reverse();
    assert_eq!(seen, ids);
}
