//! Limits in km: when they are expected, and what is told of them in time.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(a_limit_in_km_has_an_expected_day, a_due_that_distance_brings_on_is_told_of_in_time);

/// A vehicle (plate `QC-1`) of an owner, handed over at 400 km on 10 March 2026: cover up to 20,000 km more, a wash every
/// 3,000 km or every year.
fn delivered(shop: &TestShop) -> String {
    shop.stocks_one_coating();
    let rules = json!([{"key": "wash", "service": "maintenance wash", "counted_from": "last", "every": {"years": 1},
                        "every_km": 3000, "late_km": 500, "if_missed": {"effect": "suspend"}}]);
    let cover = json!([{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 20_000}]);
    shop.publishes("counted", &rules, &json!({"cover": cover}));
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = json!({"plate": "QC-1", "customer_id": owner});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    shop.hands_over(&vehicle, "counted");
    vehicle
}

/// 1,181 mi are 1,900.6 km, rounded down to 1,900: 1,500 km in 30 days, so 50 km a day.
fn is_read(shop: &mut TestShop, vehicle: &str) {
    shop.it_is("2026-04-09T10:00:00Z");
    let reading = json!({"on": "2026-04-09", "odometer": {"value": 1181, "unit": "mi"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/readings"), &reading).created();
}

fn ahead(shop: &TestShop) -> Value {
    shop.desk.get("/v1/eligibility?plate=QC-1").ok()["warranties"][0]["assessment"]["ahead"].clone()
}

/// Worked by hand: 20,400 km are 18,500 km, so 370 days, after 9 April 2026; 3,900 km are 2,000 km, so 40 days after it.
fn a_limit_in_km_has_an_expected_day(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    let before = ahead(&shop);
    assert_eq!(
        (&before["cover"]["paint"]["km"], &before["upkeep"]["wash"]["km"]),
        (&json!(20_400), &json!(3_900))
    );
    assert!(before["cover"]["paint"].get("km_reached").is_none(), "one reading says nothing: {before}");
    is_read(&mut shop, &vehicle);
    let now = ahead(&shop);
    let on = |day: &str| json!({"expected": day, "earliest": day, "latest": day});
    assert_eq!(now["cover"]["paint"]["km_reached"], on("2027-04-14"));
    assert_eq!(now["upkeep"]["wash"]["km_reached"], on("2026-05-19"));
    assert_eq!(now["cover"]["paint"]["on"], "2031-03-10", "the calendar's day stays beside it");

    // A second pace: 60 days with 20 km a day. Theil and Sen's median of the slopes 50, 30 and 20 is 30.
    shop.it_is("2026-06-08T10:00:00Z");
    let reading = json!({"on": "2026-06-08", "odometer": {"value": 3_100, "unit": "km"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/readings"), &reading).created();
    let reached = &ahead(&shop)["cover"]["paint"]["km_reached"];
    // 17,300 km at 30, 50 and 20 km a day: 577, 346 and 865 days after 8 June 2026.
    assert_eq!(*reached, json!({"expected": "2028-01-06", "earliest": "2027-05-20", "latest": "2028-10-20"}));
}

/// 3,400 km are reached 30 days after 9 April, on 9 May: told of 45 days before, which has come, and 14 days before.
fn a_due_that_distance_brings_on_is_told_of_in_time(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    shop.ticks();
    let upcoming = |shop: &TestShop| -> Vec<Value> {
        let notices = shop.desk.get("/v1/notices").ok()["items"].as_array().unwrap().clone();
        notices.into_iter().filter(|notice| notice["kind"] == "upcoming").collect()
    };
    assert_eq!(upcoming(&shop), Vec::<Value>::new(), "by the calendar it is due in a year");
    is_read(&mut shop, &vehicle);
    shop.ticks();
    assert_eq!(upcoming(&shop).len(), 1);
    for (at, told) in [("2026-04-24T12:00:00Z", 1), ("2026-04-25T12:00:00Z", 2), ("2026-04-26T12:00:00Z", 2)]
    {
        shop.it_is(at);
        shop.ticks();
        assert_eq!(upcoming(&shop).len(), told, "{at}");
    }
    // Washed in time, nothing more is said.
    let wash = json!({"vehicle_id": vehicle, "on": "2026-04-26", "odometer": {"value": 2_700, "unit": "km"},
                      "services": [{"service": "maintenance wash"}]});
    let washed = shop.technician.post("/v1/visits", &wash).created();
    assert_eq!(washed["effects"][0]["effect"], "meets");
    shop.it_is("2026-05-06T12:00:00Z");
    shop.ticks();
    let kinds: Vec<Value> = shop.desk.get("/v1/notices").ok()["items"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n["kind"].clone())
        .collect();
    assert!(!kinds.contains(&json!("last-call")), "{kinds:?}");
}
