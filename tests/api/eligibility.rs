//! The one-look answer: by VIN, by plate, on any day.

use serde_json::{Value, json};

use super::main_job::VIN;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_vehicle_is_found_by_either_name,
    exactly_one_name_is_asked_for,
    a_plate_on_several_vehicles_is_asked_back,
    the_verdict_is_as_of_the_day,
    the_terms_decide_what_today_would_do,
);

fn a_vehicle_is_found_by_either_name(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let by_vin = shop.technician.get(&format!("/v1/eligibility?vin={VIN}")).ok();
    assert_eq!((&by_vin["vehicle"]["id"], &by_vin["on"]), (&json!(vehicle), &json!("2026-03-10")));
    let found = &by_vin["warranties"][0];
    assert_eq!((&found["id"], &found["number"]), (&warranty["id"], &warranty["number"]));
    assert_eq!(
        found["terms"],
        json!({"code": "two-coat-five", "edition": 1, "title": "Five years, two coats"})
    );
    assert_eq!(found["cover"], warranty["cover"], "as at handover");
    // In capitals, without blanks and hyphens.
    for plate in ["QC-417", "qc417", "%20q-c%204%2017"] {
        let by_plate = shop.desk.get(&format!("/v1/eligibility?plate={plate}")).ok();
        assert_eq!(by_plate, by_vin, "{plate}");
    }
    for (nobody, named) in
        [("plate=QC-418", "the plate \"QC-418\""), ("vin=11111111111111111", "the VIN 11111111111111111")]
    {
        let refused = shop.desk.get(&format!("/v1/eligibility?{nobody}")).refused(404, "not_found");
        assert_eq!(refused["detail"], format!("your shop knows no vehicle with {named}"));
    }
}

fn exactly_one_name_is_asked_for(shop: TestShop) {
    let faults = |query: &str| shop.desk.get(&format!("/v1/eligibility{query}")).faults(400, "malformed");
    let one_of = [("vin".to_owned(), "one_of".to_owned())];
    assert_eq!(faults(""), one_of);
    assert_eq!(faults(&format!("?vin={VIN}&plate=QC-417")), one_of);
    assert_eq!(faults("?vin=1M8GDM9AXKP04278").len(), 1, "sixteen characters");
    assert_eq!(faults("?vin=1M8GDM9AXKP04278O").len(), 1, "no VIN has an O");
    assert_eq!(faults("?plate=QC-417&plate=QC-418"), [("plate".into(), "given_twice".into())]);
    assert_eq!(faults("?plate=QC-417&on=2026-02-29"), [("on".into(), "not_a_day".into())]);
    assert_eq!(faults("?plate=QC-417&day=2026-03-10"), [("day".into(), "unknown_parameter".into())]);
    // Its check digit (X, 49 CFR 565.15) is wrong: that never refuses.
    let wrong_digit = "1M8GDM9A1KP042788";
    shop.desk.get(&format!("/v1/eligibility?vin={wrong_digit}")).refused(404, "not_found");
    shop.desk.post("/v1/vehicles", &json!({"vin": wrong_digit})).created();
    let found = shop.desk.get(&format!("/v1/eligibility?vin={wrong_digit}")).ok();
    assert_eq!((&found["warranties"], &found["in_force"]), (&json!([]), &json!(false)));
}

fn a_plate_on_several_vehicles_is_asked_back(shop: TestShop) {
    let body = |make: &str, vin: Value| json!({"plate": "QC-417", "make": make, "vin": vin});
    let one = id(&shop.desk.post("/v1/vehicles", &body("Corvina", json!(VIN))).created());
    assert_eq!(shop.desk.get("/v1/eligibility?plate=QC-417").ok()["vehicle"]["id"], one);
    let other = id(&shop.desk.post("/v1/vehicles", &body("Alondra", Value::Null)).created());
    // Another shop's vehicle with the same plate is none of the two.
    shop.neighbour().post("/v1/vehicles", &json!({"plate": "QC-417"})).created();
    let several = shop.desk.get("/v1/eligibility?plate=qc%20417").refused(409, "several_vehicles");
    let mut candidates: Vec<(&str, &str)> = several["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (one["id"].as_str().unwrap(), one["title"].as_str().unwrap()))
        .collect();
    candidates.sort_by_key(|(_, title)| *title);
    assert_eq!(candidates, [(other.as_str(), "Alondra"), (one.as_str(), "Corvina")]);
    assert_eq!(shop.desk.get(&format!("/v1/eligibility?vin={VIN}")).ok()["vehicle"]["id"], one);
}

/// Handed over on 10 March 2026: paint for five years, glass for eighteen months (end 10 September 2027).
fn the_verdict_is_as_of_the_day(mut shop: TestShop) {
    shop.delivers();
    let states = |shop: &TestShop, on: &str| {
        let verdict = shop.verdict(on);
        assert_eq!(verdict["on"], on);
        let cover = &verdict["warranties"][0]["assessment"]["cover"];
        let state = |surface: &str| cover[surface]["state"].as_str().unwrap().to_owned();
        (state("paint"), state("glass"), verdict["in_force"].as_bool().unwrap())
    };
    let row = |paint: &str, glass: &str, in_force| (paint.to_owned(), glass.to_owned(), in_force);
    assert_eq!(states(&shop, "2026-03-09"), row("not_begun", "not_begun", false));
    assert_eq!(states(&shop, "2026-03-10"), row("in_force", "in_force", true));
    // What is to come, if nothing is done: the inspection is missed on 10 April 2027, and not made good by 9 June.
    assert_eq!(states(&shop, "2027-04-09"), row("in_force", "in_force", true));
    assert_eq!(states(&shop, "2027-04-10"), row("suspended", "suspended", false));
    assert_eq!(states(&shop, "2027-06-10"), row("ended", "ended", false));
    shop.it_is("2027-03-01T09:00:00Z");
    let vehicle = shop.verdict("2027-03-01")["vehicle"]["id"].clone();
    let visit = json!({"vehicle_id": vehicle, "on": "2027-03-01", "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &visit).created();
    assert_eq!(states(&shop, "2027-04-10"), row("in_force", "in_force", true));
    assert_eq!(states(&shop, "2027-09-10"), row("in_force", "in_force", true), "its last day");
    assert_eq!(states(&shop, "2027-09-11"), row("in_force", "ended", true), "any surface");
    // Looking back, what was done later does not count yet, whatever is known by now.
    assert_eq!(states(&shop, "2027-02-28"), row("in_force", "in_force", true));
    let annual = |on: &str| {
        let verdict = shop.verdict(on);
        let dues = verdict["warranties"][0]["assessment"]["dues"].as_array().unwrap().clone();
        dues.into_iter().find(|due| due["upkeep"] == "annual").unwrap()["status"].clone()
    };
    assert_eq!((annual("2027-02-28"), annual("2027-03-01")), (json!("open"), json!("met")));
}

fn the_terms_decide_what_today_would_do(shop: TestShop) {
    shop.delivers();
    let today = |on: &str, rule: &str| {
        let verdict = shop.verdict(on);
        let lines = verdict["today"].as_array().unwrap().clone();
        let line = lines.into_iter().find(|line| line["upkeep"] == rule).unwrap();
        (line["outcome"].as_str().unwrap().to_owned(), line["from"].as_str().map(str::to_owned))
    };
    let line = |outcome: &str, from: Option<&str>| (outcome.to_owned(), from.map(str::to_owned));
    assert_eq!(today("2027-01-08", "annual"), line("too_early", Some("2027-01-09")));
    assert_eq!(today("2027-01-09", "annual"), line("counts", None));
    assert_eq!(today("2027-04-09", "annual"), line("counts", None));
    assert_eq!(today("2027-04-11", "annual"), line("reinstates", None));
    assert_eq!(today("2027-06-09", "annual"), line("reinstates", None), "the last day to make good");
    assert_eq!(today("2027-06-10", "annual"), line("nothing", None));
}
