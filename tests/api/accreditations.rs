//! The manager says which issuers have accredited the shop, and when.

use serde_json::json;

use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(an_accreditation_is_entered_changed_and_taken_away, what_is_wrong_with_an_accreditation_is_told);

fn an_accreditation_is_entered_changed_and_taken_away(shop: TestShop) {
    let input = json!({"issuer": "alder-films", "from": "2026-01-01"});
    shop.desk.post("/v1/accreditations", &input).refused(403, "forbidden");
    let added = shop.manager.post("/v1/accreditations", &input);
    let location = added.header("location").unwrap().to_owned();
    let body = added.created();
    assert_eq!(
        (&body["issuer"], &body["from"], body.get("until")),
        (&json!("alder-films"), &json!("2026-01-01"), None)
    );
    assert_eq!(shop.technician.get(&location).ok(), body);
    let ended = shop.manager.change(&location, &json!({"until": "2026-12-31"})).ok();
    assert_eq!(ended["until"], "2026-12-31");
    assert_eq!(shop.manager.change(&location, &json!({"until": null})).ok().get("until"), None);
    shop.manager
        .post("/v1/accreditations", &json!({"issuer": "birch", "from": "2025-01-01", "until": "2025-12-31"}))
        .created();
    assert_eq!(shop.desk.get("/v1/accreditations").ok()["items"].as_array().unwrap().len(), 2);
    assert_eq!(
        shop.desk.get("/v1/accreditations?issuer=alder-films").ok()["items"].as_array().unwrap().len(),
        1
    );

    let neighbour = shop.neighbour();
    neighbour.get(&location).refused(404, "not_found");
    assert_eq!(neighbour.get("/v1/accreditations").ok()["items"], json!([]));

    shop.manager.call("DELETE", &location, &[], None).refused(428, "precondition_required");
    shop.manager
        .call("DELETE", &location, &[("If-Match", "\"1\"")], None)
        .refused(412, "precondition_failed");
    assert_eq!(shop.manager.delete(&location).status, 204);
    shop.manager.get(&location).refused(404, "not_found");
}

fn what_is_wrong_with_an_accreditation_is_told(shop: TestShop) {
    let faults = shop
        .manager
        .post(
            "/v1/accreditations",
            &json!({"issuer": "Alder Films", "from": "2026-01-01", "until": "2025-12-31"}),
        )
        .faults(422, "rule_broken");
    assert_eq!(faults, [("/issuer".into(), "not_a_code".into()), ("/until".into(), "upside_down".into())]);
    let faults =
        shop.manager.post("/v1/accreditations", &json!({"issuer": "alder"})).faults(400, "malformed");
    assert_eq!(faults, [("/from".into(), "missing".into())]);
    assert_eq!(shop.desk.get("/v1/accreditations").ok()["items"], json!([]));
}
