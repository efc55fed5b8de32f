//! The work list of the shop: what falls due, in its order, by its filters, a page at a time.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(
    the_work_list_stands_in_the_order_of_closing,
    filters_hold_for_what_they_name,
    what_was_met_and_waived_is_shown_when_asked,
    the_work_list_comes_a_page_at_a_time,
    what_owners_answered_stands_on_the_work_list,
);

/// Two vehicles on terms with a yearly inspection (thirty days late at most) and a wash every six weeks, handed over on
/// 10 and on 20 March 2026.
fn two_delivered(shop: &mut TestShop) -> (Value, Value) {
    shop.stocks_one_coating();
    let rules = json!([
        {"key": "annual", "service": ["inspection", "reconditioning"], "counted_from": "start", "every": {"years": 1},
         "early": {"days": 60}, "late": {"days": 30}, "if_missed": {"effect": "note"}},
        {"key": "wash", "service": "maintenance wash", "counted_from": "last", "every": {"weeks": 6},
         "late": {"weeks": 2}, "if_missed": {"effect": "note"}},
    ]);
    shop.publishes("yearly", &rules, &json!({}));
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let body = json!({"plate": "QC-1", "make": "Corvina", "model": "Estate", "customer_id": owner});
    let vehicle = crate::support::shop::id(&shop.desk.post("/v1/vehicles", &body).created());
    let one = shop.hands_over(&vehicle, "yearly");
    shop.it_is("2026-03-20T08:00:00Z");
    let vehicle = shop.adds_vehicle("QC-2");
    (one, shop.hands_over(&vehicle, "yearly"))
}

/// Vehicle's plate, rule, number, closing day and state of each due.
fn listed(shop: &TestShop, query: &str) -> Vec<(String, String, u64, String, String)> {
    let list = shop.desk.get(&format!("/v1/dues{query}")).ok();
    list["items"].as_array().unwrap().iter().map(line).collect()
}

fn line(due: &Value) -> (String, String, u64, String, String) {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    (
        text(&due["vehicle"]["plate"]),
        text(&due["upkeep"]),
        due["number"].as_u64().unwrap(),
        text(&due["closes"]),
        text(&due["status"]),
    )
}

fn row(
    plate: &str,
    rule: &str,
    number: u64,
    closes: &str,
    status: &str,
) -> (String, String, u64, String, String) {
    (plate.into(), rule.into(), number, closes.into(), status.into())
}

fn the_work_list_stands_in_the_order_of_closing(mut shop: TestShop) {
    let (one, _) = two_delivered(&mut shop);
    // The wash: 10 March and six weeks is 21 April, two weeks late 5 May.
    let wanted = [
        row("QC-1", "wash", 1, "2026-05-05", "open"),
        row("QC-2", "wash", 1, "2026-05-15", "open"),
        row("QC-1", "annual", 1, "2027-04-09", "ahead"),
        row("QC-2", "annual", 1, "2027-04-19", "ahead"),
    ];
    assert_eq!(listed(&shop, ""), wanted, "of what lies ahead the next due of each rule");
    let first = shop.technician.get("/v1/dues").ok()["items"][2].clone();
    assert_eq!(first["warranty"], json!({"id": one["id"], "number": one["number"]}));
    assert_eq!(
        (&first["vehicle"]["title"], &first["vehicle"]["vin"]),
        (&json!("Corvina Estate"), &Value::Null)
    );
    assert_eq!((&first["customer"]["name"], &first["service"]), (&json!("Ada Ferro"), &json!("inspection")));
    assert_eq!((&first["opens"], &first["due"]), (&json!("2027-01-09"), &json!("2027-03-10")));
    let second = shop.technician.get("/v1/dues").ok()["items"][3].clone();
    assert_eq!(second["customer"], Value::Null, "nobody is known to own it");
    assert_eq!(shop.neighbour().get("/v1/dues").ok()["items"], json!([]));
}

fn filters_hold_for_what_they_name(mut shop: TestShop) {
    two_delivered(&mut shop);
    let closing = |query: &str| listed(&shop, query).into_iter().map(|line| line.3).collect::<Vec<_>>();
    assert_eq!(closing("?upkeep=wash"), ["2026-05-05", "2026-05-15"]);
    assert_eq!(closing("?upkeep=polish"), [""; 0]);
    assert_eq!(closing("?status=ahead"), ["2027-04-09", "2027-04-19"]);
    assert_eq!(closing("?status=ahead&status=open").len(), 4);
    assert_eq!(closing("?status=late&status=missed"), [""; 0]);
    // Both ends are in, and they hold for the day of closing.
    assert_eq!(closing("?from=2026-05-05&to=2026-05-05"), ["2026-05-05"]);
    assert_eq!(closing("?from=2026-05-06"), ["2026-05-15", "2027-04-09", "2027-04-19"]);
    assert_eq!(closing("?to=2027-04-18&status=ahead"), ["2027-04-09"]);
    assert_eq!(closing("?from=2027-01-01&to=2026-01-01"), [""; 0]);
    for (query, at) in
        [("status=due", "status"), ("from=tomorrow", "from"), ("to=2026-5-5", "to"), ("rule=wash", "rule")]
    {
        let faults = shop.desk.get(&format!("/v1/dues?{query}")).faults(400, "malformed");
        assert_eq!(faults.iter().map(|(place, _)| place.as_str()).collect::<Vec<_>>(), [at]);
    }
}

fn what_was_met_and_waived_is_shown_when_asked(mut shop: TestShop) {
    let (one, two) = two_delivered(&mut shop);
    shop.it_is("2026-05-10T08:00:00Z");
    let vehicle = shop.desk.get("/v1/vehicles?q=QC-2").ok()["items"][0]["id"].clone();
    let visit =
        json!({"vehicle_id": vehicle, "on": "2026-05-10", "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &visit).created();
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2026-05-10", "reason": "Laid up."});
    let path = format!("/v1/warranties/{}/waivers", two["id"].as_str().unwrap());
    shop.manager.post(&path, &waiver).created();
    // The wash of the first vehicle closed on 5 May; entering something about it tells so at once.
    let reading = json!({"on": "2026-05-10", "odometer": {"value": 1600, "unit": "km"}});
    let vehicle = shop.desk.get("/v1/vehicles?q=QC-1").ok()["items"][0]["id"].clone();
    let path = format!("/v1/vehicles/{}/readings", vehicle.as_str().unwrap());
    shop.technician.post(&path, &reading).created();

    // Its next wash counts from the day after closing: 6 May and six weeks, two weeks late.
    let wanted = [
        row("QC-1", "wash", 1, "2026-05-05", "missed"),
        row("QC-1", "wash", 2, "2026-07-01", "open"),
        row("QC-2", "wash", 2, "2026-07-05", "open"),
        row("QC-1", "annual", 1, "2027-04-09", "ahead"),
        row("QC-2", "annual", 2, "2028-04-19", "ahead"),
    ];
    assert_eq!(listed(&shop, ""), wanted, "neither met nor waived ones");
    assert_eq!(listed(&shop, "?status=met"), [row("QC-2", "wash", 1, "2026-05-15", "met")]);
    assert_eq!(listed(&shop, "?status=waived"), [row("QC-2", "annual", 1, "2027-04-19", "waived")]);
    assert_eq!(listed(&shop, "?status=missed&status=met&upkeep=wash").len(), 2);
    // A void warranty asks for nothing.
    let path = format!("/v1/warranties/{}/void", one["id"].as_str().unwrap());
    shop.manager.post(&path, &json!({"reason": "Issued in error."})).ok();
    assert!(listed(&shop, "").iter().all(|line| line.0 == "QC-2"));
}

fn the_work_list_comes_a_page_at_a_time(mut shop: TestShop) {
    two_delivered(&mut shop);
    // Two of one warranty that close on one day, and two warranties of one vehicle.
    let rules = json!([
        {"key": "look", "service": "inspection", "counted_from": "start", "every": {"years": 1}, "if_missed": {"effect": "note"}},
        {"key": "clean", "service": "maintenance wash", "counted_from": "start", "every": {"years": 1}, "if_missed": {"effect": "note"}},
    ]);
    shop.publishes("same-day", &rules, &json!({}));
    let vehicle = shop.adds_vehicle("QC-3");
    shop.hands_over(&vehicle, "same-day");
    shop.hands_over(&vehicle, "same-day");
    let whole = shop.desk.get("/v1/dues").ok()["items"].as_array().unwrap().clone();
    assert_eq!(whole.len(), 8);
    let same_day: Vec<&Value> = whole.iter().filter(|due| due["closes"] == "2027-03-20").collect();
    let rules: Vec<&str> = same_day.iter().map(|due| due["upkeep"].as_str().unwrap()).collect();
    assert_eq!(rules, ["look", "clean", "look", "clean"], "by warranty, then in the order of the terms");
    for limit in 1..=8 {
        let mut seen = Vec::new();
        let mut next = format!("/v1/dues?limit={limit}");
        loop {
            let page = shop.desk.get(&next).ok();
            let items = page["items"].as_array().unwrap();
            assert!(items.len() == limit || page["next"].is_null(), "{page:#}");
            seen.extend(items.iter().cloned());
            let Some(cursor) = page["next"].as_str() else { break };
            next = format!("/v1/dues?limit={limit}&cursor={cursor}");
        }
        assert_eq!(seen, whole, "{limit} a page");
    }
    let cursor = shop.desk.get("/v1/dues?limit=1").ok()["next"].as_str().unwrap().to_owned();
    let other = format!("/v1/dues?limit=1&upkeep=wash&cursor={cursor}");
    assert_eq!(shop.desk.get(&other).faults(400, "malformed"), [("cursor".into(), "bad_cursor".into())]);
    for limit in ["0", "201", "ten"] {
        shop.desk.get(&format!("/v1/dues?limit={limit}")).refused(400, "malformed");
    }
}

fn what_owners_answered_stands_on_the_work_list(mut shop: TestShop) {
    let (one, _) = two_delivered(&mut shop);
    shop.it_is("2026-05-04T08:00:00Z");
    let path = format!("/v1/warranties/{}/answers", one["number"].as_str().unwrap());
    let will_call = json!({"upkeep": "wash", "number": 1, "answer": "ask_again", "on": "2026-05-02"});
    shop.technician.post(&path, &will_call).refused(403, "forbidden");
    shop.desk.post(&path, &will_call).created();
    let comes = json!({"upkeep": "wash", "number": 1, "answer": "will_come", "note": "After the fair."});
    shop.desk.post(&path, &comes).created();
    // What was said on an earlier day and is entered afterwards is not the last word.
    let earlier = json!({"upkeep": "wash", "number": 1, "answer": "not_reached", "on": "2026-05-01"});
    shop.desk.post(&path, &earlier).created();

    let page = shop.desk.get("/v1/dues?upkeep=wash").ok();
    let answer = |plate: &str| {
        let mut items = page["items"].as_array().unwrap().iter();
        items.find(|due| due["vehicle"]["plate"] == plate).unwrap()["answer"].clone()
    };
    assert_eq!(answer("QC-1"), json!({"answer": "will_come", "on": "2026-05-04", "note": "After the fair."}));
    assert_eq!(answer("QC-2"), Value::Null);
    let plates = |query: &str| listed(&shop, query).into_iter().map(|line| line.0).collect::<Vec<_>>();
    assert_eq!(plates("?upkeep=wash&answered=true"), ["QC-1"]);
    assert_eq!(plates("?upkeep=wash&answered=false"), ["QC-2"]);
    let all = shop.desk.get(&path).ok();
    let days: Vec<&Value> = all["items"].as_array().unwrap().iter().map(|answer| &answer["on"]).collect();
    assert_eq!(days, ["2026-05-04", "2026-05-02", "2026-05-01"]);

    let wrong = json!({"upkeep": "wash", "number": 9, "answer": "declined", "on": "2026-05-05", "note": ""});
    assert_eq!(
        shop.desk.post(&path, &wrong).faults(422, "rule_broken"),
        [
            ("/on".to_owned(), "in_the_future".to_owned()),
            ("/note".to_owned(), "empty".to_owned()),
            ("/number".to_owned(), "unknown_due".to_owned())
        ]
    );
    let no_rule = json!({"upkeep": "polish", "number": 1, "answer": "declined"});
    assert_eq!(
        shop.desk.post(&path, &no_rule).faults(422, "rule_broken"),
        [("/upkeep".to_owned(), "unknown_rule".to_owned())]
    );
}
