//! People sign in, stay signed in, and are signed out.

use serde_json::json;

use crate::support::database::on_both;
use crate::support::server::Client;
use crate::support::shop::{PASSWORD, TestShop};

on_both!(signing_in_and_out, a_refresh_token_rotates, people_come_and_go);

fn signing_in_and_out(shop: TestShop) {
    let nobody = shop.desk.anonymous();
    let wrong = json!({"email": "dora@quayside.example", "password": "not the password"});
    let refused = nobody.post("/v1/sessions", &wrong);
    assert_eq!(refused.header("www-authenticate"), Some("Bearer"));
    refused.refused(401, "sign_in_failed");
    let unknown = json!({"email": "nobody@quayside.example", "password": PASSWORD});
    nobody.post("/v1/sessions", &unknown).refused(401, "sign_in_failed");

    let right = json!({"email": "Dora@Quayside.example", "password": PASSWORD});
    let session = nobody.post("/v1/sessions", &right).created();
    assert_eq!((&session["token_type"], &session["expires_in"]), (&json!("Bearer"), &json!(900)));
    assert_eq!(session["member"]["role"], "desk");
    let dora = Client::new(&shop.server.url, session["access_token"].as_str().map(str::to_owned));
    assert_eq!(dora.get("/v1/shop").ok()["name"], "Quayside Coatings");
    assert_eq!(dora.call("DELETE", "/v1/sessions/current", &[], None).status, 204);
    dora.get("/v1/shop").refused(401, "not_signed_in");

    shop.clock.set("2026-03-10T08:15:00Z".parse().unwrap());
    shop.desk.get("/v1/shop").refused(401, "not_signed_in");
}

fn a_refresh_token_rotates(shop: TestShop) {
    let nobody = shop.desk.anonymous();
    let session = nobody
        .post("/v1/sessions", &json!({"email": "dora@quayside.example", "password": PASSWORD}))
        .created();
    let exchange =
        |token: &serde_json::Value| nobody.post("/v1/sessions/refresh", &json!({"refresh_token": token}));
    let first = session["refresh_token"].clone();
    let second = exchange(&first).ok()["refresh_token"].clone();
    assert_ne!(first, second);
    // An answer was lost: the one before gives the same successor for a minute.
    assert_eq!(exchange(&first).ok()["refresh_token"], second);
    shop.clock.set("2026-03-10T08:05:00Z".parse().unwrap());
    let third = exchange(&second).ok()["refresh_token"].clone();
    // Somebody else has an old one: the whole session ends.
    exchange(&first).refused(401, "sign_in_failed");
    exchange(&third).refused(401, "sign_in_failed");
    exchange(&json!("nonsense")).refused(401, "sign_in_failed");
}

fn people_come_and_go(shop: TestShop) {
    let new =
        json!({"name": "Bo", "email": "bo@quayside.example", "role": "technician", "password": "too short"});
    shop.desk.post("/v1/members", &new).refused(403, "forbidden");
    let faults = shop.manager.post("/v1/members", &new).faults(422, "rule_broken");
    assert_eq!(faults, [("/password".into(), "password_length".into())]);
    let new =
        json!({"name": "Bo", "email": "bo@quayside.example", "role": "technician", "password": PASSWORD});
    let added = shop.manager.post("/v1/members", &new);
    let path = added.header("location").unwrap().to_owned();
    added.created();
    let faults = shop.manager.post("/v1/members", &new).faults(422, "rule_broken");
    assert_eq!(faults, [("/email".into(), "email_taken".into())]);
    let sign_in = json!({"email": "bo@quayside.example", "password": PASSWORD});
    let session = shop.desk.anonymous().post("/v1/sessions", &sign_in).created();
    let bo = Client::new(&shop.server.url, session["access_token"].as_str().map(str::to_owned));
    bo.get("/v1/members").ok();
    shop.manager.change(&path, &json!({"disabled": true})).ok();
    bo.get("/v1/members").refused(401, "not_signed_in");
    shop.desk.anonymous().post("/v1/sessions", &sign_in).refused(401, "sign_in_failed");
    let members = shop.manager.get("/v1/members").ok();
    let manager =
        members["items"].as_array().unwrap().iter().find(|m| m["role"] == "manager").unwrap().clone();
    let path = format!("/v1/members/{}", manager["id"].as_str().unwrap());
    let faults = shop.manager.change(&path, &json!({"role": "desk"})).faults(422, "rule_broken");
    assert_eq!(faults, [("/role".into(), "last_manager".into())]);
}
