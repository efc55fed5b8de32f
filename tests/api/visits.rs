//! What a return visit does for each warranty and rule, with each reason why it may do nothing.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    each_reason_why_a_service_does_nothing,
    what_a_service_meets_and_reinstates,
    one_visit_counts_for_each_warranty,
    a_visit_is_tried_without_being_written,
    what_is_wrong_with_a_visit_is_told_at_its_place,
    a_manager_stands_for_what_is_entered_late,
    visits_are_read_again,
    a_service_done_elsewhere_counts_as_far_as_the_terms_say,
    what_came_late_is_countersigned_afterwards,
    a_reading_is_corrected_in_its_place,
);

/// An inspection a year, a wash every six weeks, and one look at three weeks.
fn rules() -> Value {
    json!([
        {"key": "annual", "service": ["inspection"], "by": "accredited", "counted_from": "start",
         "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
         "if_missed": [{"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"}, {"effect": "end"}]},
        {"key": "wash", "service": "maintenance wash", "counted_from": "last", "first_after": {"days": 14},
         "not_before": {"days": 7}, "every": {"weeks": 6}, "late": {"weeks": 2}, "if_missed": {"effect": "note"}},
        {"key": "first-look", "service": "high-spot look", "counted_from": "start", "first_after": {"days": 21},
         "times": 1, "early": {"days": 7}, "late": {"days": 7}, "if_missed": {"effect": "note"}},
    ])
}

/// A vehicle (plate `QC-1`) handed over on 10 March 2026 on terms `yearly`; answers its id.
fn delivered(shop: &TestShop) -> String {
    shop.stocks_one_coating();
    let breaches = json!([{"key": "abrasive-wash", "effect": "suspend", "with": "reconditioning"}]);
    shop.publishes("yearly", &rules(), &json!({"entry_within": {"days": 7}, "breaches": breaches}));
    let vehicle = shop.adds_vehicle("QC-1");
    shop.hands_over(&vehicle, "yearly");
    vehicle
}

fn visit(vehicle: &str, on: &str, service: &str) -> Value {
    json!({"vehicle_id": vehicle, "on": on, "services": [{"service": service}]})
}

/// What entering a visit did: rule (or breach), number, effect and reason of each line.
fn does(shop: &TestShop, visit: &Value) -> Vec<(String, Option<u64>, String, Option<String>)> {
    let entered = shop.technician.post("/v1/visits", visit).created();
    let text = |value: &Value| value.as_str().map(str::to_owned);
    let line = |line: &Value| {
        let of = text(&line["upkeep"]).or_else(|| text(&line["breach"]).map(|key| format!("breach {key}")));
        (of.unwrap(), line["number"].as_u64(), text(&line["effect"]).unwrap(), text(&line["because"]))
    };
    entered["effects"].as_array().unwrap().iter().map(line).collect()
}

fn meets(rule: &str, number: u64) -> Vec<(String, Option<u64>, String, Option<String>)> {
    vec![(rule.into(), Some(number), "meets".into(), None)]
}

fn nothing(
    rule: &str,
    next: Option<u64>,
    because: &str,
) -> Vec<(String, Option<u64>, String, Option<String>)> {
    vec![(rule.into(), next, "none".into(), Some(because.into()))]
}

fn each_reason_why_a_service_does_nothing(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    // Who did it: these terms ask for a shop that their issuer accredited, and this one is not.
    let issued = json!([{"key": "yearly-look", "service": "inspection", "by": "accredited", "counted_from": "last",
                         "every": {"years": 1}, "if_missed": {"effect": "note"}}]);
    shop.publishes("chain-terms", &issued, &json!({"issuer": "northern-chain"}));
    let other = shop.adds_vehicle("QC-2");
    shop.hands_over(&other, "chain-terms");

    shop.it_is("2026-03-20T09:00:00Z");
    let mut half_done = visit(&vehicle, "2026-03-20", "maintenance wash");
    half_done["services"][0]["carried_out"] = json!(false);
    assert_eq!(does(&shop, &half_done), nothing("wash", Some(1), "not_carried_out"));
    let wash = |on: &str| visit(&vehicle, on, "maintenance wash");
    assert_eq!(does(&shop, &wash("2026-03-09")), nothing("wash", Some(1), "before_start"));
    assert_eq!(does(&shop, &wash("2026-03-16")), nothing("wash", Some(1), "not_before"));
    let by_whom = visit(&other, "2026-03-20", "inspection");
    assert_eq!(does(&shop, &by_whom), nothing("yearly-look", Some(1), "rank"));
    let inspection = |on: &str| visit(&vehicle, on, "inspection");
    assert_eq!(does(&shop, &inspection("2026-03-20")), nothing("annual", Some(1), "too_early"));
    let look = |on: &str| visit(&vehicle, on, "high-spot look");
    assert_eq!(does(&shop, &look("2026-03-20")), nothing("first-look", Some(1), "too_early"));
    assert_eq!(does(&shop, &wash("2026-03-17")), meets("wash", 1));
    assert_eq!(does(&shop, &wash("2026-03-17")), nothing("wash", Some(2), "already_met"));

    // The look closes on 7 April; it is entered within seven days, but came a day too late.
    shop.it_is("2026-04-08T09:00:00Z");
    assert_eq!(does(&shop, &look("2026-04-08")), nothing("first-look", None, "too_late"));
    // The wash was done within its time, on the last day that is still taken, and one day before that.
    assert_eq!(does(&shop, &wash("2026-03-31")), nothing("wash", Some(2), "entered_late"));
    assert_eq!(does(&shop, &wash("2026-04-01")), meets("wash", 2));

    // Another vehicle had its look in time; a second one finds nothing that is still asked for.
    let third = shop.adds_vehicle("QC-3");
    shop.hands_over(&third, "yearly");
    shop.it_is("2026-04-29T09:00:00Z");
    assert_eq!(does(&shop, &visit(&third, "2026-04-29", "high-spot look")), meets("first-look", 1));
    let again = visit(&third, "2026-04-29", "high-spot look");
    assert_eq!(does(&shop, &again), nothing("first-look", None, "already_met"));
    shop.it_is("2026-06-01T09:00:00Z");
    let late = visit(&third, "2026-06-01", "high-spot look");
    assert_eq!(does(&shop, &late), nothing("first-look", None, "no_due"));
    // A service that only makes good, where nothing is on hold.
    let reconditioning = visit(&third, "2026-06-01", "reconditioning");
    assert_eq!(does(&shop, &reconditioning), nothing("annual", Some(1), "no_due"));
    let close = json!({"kind": "close", "on": "2026-05-31", "reason": "Exported."});
    shop.desk.post(&format!("/v1/vehicles/{third}/events"), &close).created();
    let after = visit(&third, "2026-06-01", "inspection");
    assert_eq!(does(&shop, &after), nothing("annual", None, "cover_ended"));
}

fn what_a_service_meets_and_reinstates(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    shop.it_is("2026-05-01T09:00:00Z");
    let breach = json!({"kind": "breach", "on": "2026-04-30", "key": "abrasive-wash"});
    shop.technician.post(&format!("/v1/vehicles/{vehicle}/events"), &breach).created();
    let reinstated = does(&shop, &visit(&vehicle, "2026-05-01", "reconditioning"));
    let of_breach = ("breach abrasive-wash".to_owned(), None, "reinstates".to_owned(), None);
    let of_rule = ("annual".to_owned(), Some(1), "none".to_owned(), Some("no_due".to_owned()));
    assert_eq!(reinstated, [of_rule, of_breach]);

    // The first day of the window meets the due, as does its last.
    shop.it_is("2027-01-09T09:00:00Z");
    assert_eq!(
        does(&shop, &visit(&vehicle, "2027-01-08", "inspection")),
        nothing("annual", Some(1), "too_early")
    );
    assert_eq!(does(&shop, &visit(&vehicle, "2027-01-09", "inspection")), meets("annual", 1));
    shop.it_is("2028-04-09T09:00:00Z");
    assert_eq!(does(&shop, &visit(&vehicle, "2028-04-09", "inspection")), meets("annual", 2));
    shop.it_is("2029-05-01T09:00:00Z");
    let made_good = does(&shop, &visit(&vehicle, "2029-05-01", "reconditioning"));
    assert_eq!(made_good, [("annual".to_owned(), Some(3), "reinstates".to_owned(), None)]);
}

fn one_visit_counts_for_each_warranty(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    let second = shop.hands_over(&vehicle, "yearly");
    shop.it_is("2026-03-24T09:00:00Z");
    let mut both = visit(&vehicle, "2026-03-24", "maintenance wash");
    both["services"].as_array_mut().unwrap().push(json!({"service": "high-spot look"}));
    both["odometer"] = json!({"value": 1250, "unit": "km"});
    let entered = shop.technician.post("/v1/visits", &both).created();
    let effects = entered["effects"].as_array().unwrap();
    let lines: Vec<(&Value, &Value, &Value)> =
        effects.iter().map(|line| (&line["warranty"]["number"], &line["upkeep"], &line["effect"])).collect();
    let line = |number: &'static str, rule: &'static str| (number, rule);
    let wanted = [
        line("W-2026-0001", "wash"),
        line("W-2026-0001", "first-look"),
        line("W-2026-0002", "wash"),
        line("W-2026-0002", "first-look"),
    ];
    assert_eq!(lines.len(), wanted.len(), "{lines:?}");
    for (number, rule) in wanted {
        assert!(
            lines.iter().any(|(n, u, e)| **n == number && **u == rule && **e == "meets"),
            "{number} {rule}: {lines:?}"
        );
    }
    assert_eq!(entered["assessments"].as_array().unwrap().len(), 2);
    // A void warranty takes no part any more.
    shop.manager
        .post(&format!("/v1/warranties/{}/void", id(&second)), &json!({"reason": "Issued twice."}))
        .ok();
    let entered = shop.technician.post("/v1/visits", &visit(&vehicle, "2026-03-24", "inspection")).created();
    assert_eq!(entered["assessments"].as_array().unwrap().len(), 1);
}

fn a_visit_is_tried_without_being_written(shop: TestShop) {
    let vehicle = delivered(&shop);
    let wash = visit(&vehicle, "2026-03-10", "maintenance wash");
    assert_eq!(shop.technician.post("/v1/visits?validate_only=true", &wash).ok(), json!({"valid": true}));
    assert_eq!(shop.technician.get("/v1/visits").ok()["items"], json!([]));
    let history = shop.technician.get(&format!("/v1/vehicles/{vehicle}/history")).ok();
    assert!(
        history["items"].as_array().unwrap().iter().all(|event| event["kind"] != "service"),
        "{history:#}"
    );
    let slip = visit(&vehicle, "2026-03-11", "inspektion");
    for path in ["/v1/visits", "/v1/visits?validate_only=true"] {
        assert_eq!(
            shop.technician.post(path, &slip).faults(422, "rule_broken"),
            [
                ("/on".into(), "in_the_future".into()),
                ("/services/0/service".into(), "unknown_service".into())
            ]
        );
    }
}

fn what_is_wrong_with_a_visit_is_told_at_its_place(shop: TestShop) {
    let vehicle = delivered(&shop);
    let refused = |body: &Value| {
        let mut faults = shop.technician.post("/v1/visits", body).faults(422, "rule_broken");
        faults.sort();
        faults
    };
    let none = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [], "note": " "});
    let wanted = [("/note", "empty"), ("/services", "empty")];
    assert_eq!(refused(&none), wanted.map(|(at, code)| (at.to_owned(), code.to_owned())));
    let neighbour = shop.neighbour();
    let theirs = id(&neighbour.post("/v1/vehicles", &json!({"plate": "HD-1"})).created());
    assert_eq!(
        refused(&visit(&theirs, "2026-03-10", "inspection")),
        [("/vehicle_id".into(), "unknown_vehicle".into())],
        "another shop's vehicle is as one that is not there"
    );
    let mut lower = visit(&vehicle, "2026-03-10", "inspection");
    lower["odometer"] = json!({"value": 399, "unit": "km"});
    let implausible = shop.technician.post("/v1/visits", &lower).refused(422, "odometer_implausible");
    assert_eq!(implausible["previous"]["odometer"]["value"], 400);
    let mut by_hand = visit(&vehicle, "2026-03-10", "inspection");
    by_hand["services"][0]["countersigned"] = json!(true);
    for who in [&shop.technician, &shop.desk] {
        who.post("/v1/visits", &by_hand).refused(403, "forbidden");
    }
    assert_eq!(shop.technician.get("/v1/visits").ok()["items"], json!([]));
}

fn a_manager_stands_for_what_is_entered_late(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    shop.it_is("2026-05-20T09:00:00Z");
    let mut wash = visit(&vehicle, "2026-03-24", "maintenance wash");
    assert_eq!(does(&shop, &wash)[0].3.as_deref(), Some("entered_late"));
    wash["services"][0]["countersigned"] = json!(true);
    let entered = shop.manager.post("/v1/visits", &wash).created();
    assert_eq!(
        (&entered["effects"][0]["effect"], &entered["effects"][0]["number"]),
        (&json!("meets"), &json!(1))
    );
}

fn visits_are_read_again(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    let other = shop.adds_vehicle("QC-2");
    shop.it_is("2026-03-24T09:00:00Z");
    let mut washed = visit(&vehicle, "2026-03-24", "maintenance wash");
    washed["note"] = json!("No marks.");
    washed["odometer"] = json!({"value": 1250, "unit": "km"});
    let answer = shop.technician.post("/v1/visits", &washed);
    let place = answer.header("location").unwrap().to_owned();
    let entered = answer.created();
    let read = shop.desk.get(&place).ok();
    assert_eq!(
        (&read["id"], &read["on"], &read["note"]),
        (&entered["id"], &json!("2026-03-24"), &json!("No marks."))
    );
    assert_eq!((&read["odometer"]["value"], &read["services"]), (&json!(1250), &entered["services"]));
    shop.technician.post("/v1/visits", &visit(&other, "2026-03-24", "inspection")).created();
    let of = |query: &str| {
        let list = shop.desk.get(&format!("/v1/visits{query}")).ok();
        list["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["vehicle_id"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(of(""), [other.clone(), vehicle.clone()], "newest first");
    assert_eq!(of(&format!("?vehicle_id={vehicle}")), [vehicle]);
    let neighbour = shop.neighbour();
    neighbour.get(&place).refused(404, "not_found");
    assert_eq!(neighbour.get("/v1/visits").ok()["items"], json!([]));
}

fn a_service_done_elsewhere_counts_as_far_as_the_terms_say(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    shop.desk.change(&format!("/v1/vehicles/{vehicle}"), &json!({"customer_id": owner}));
    shop.it_is("2026-03-31T09:00:00Z");
    let elsewhere = |service: &str, done_by: Value| {
        let mut visit = visit(&vehicle, "2026-03-31", service);
        visit["done_by"] = done_by;
        visit
    };
    let hill =
        json!({"kind": "other_shop", "name": "Hillside Detailing (invented)", "proof": "invoice 2231"});
    // The wash may be anybody's; the inspection must be done by a shop that is accredited.
    assert_eq!(does(&shop, &elsewhere("maintenance wash", hill.clone())), meets("wash", 1));
    let owner = json!({"kind": "owner", "proof": "photo of the receipt"});
    assert_eq!(does(&shop, &elsewhere("maintenance wash", owner)), nothing("wash", Some(2), "already_met"));
    shop.it_is("2027-02-01T09:00:00Z");
    let mut inspection = visit(&vehicle, "2027-02-01", "inspection");
    inspection["done_by"] = hill;
    assert_eq!(does(&shop, &inspection), nothing("annual", Some(1), "rank"));
    assert_eq!(does(&shop, &visit(&vehicle, "2027-02-01", "inspection")), meets("annual", 1));

    // What others did is not told to the owner as ours.
    shop.ticks();
    let mails = shop.app.mailer.kept();
    let [mail] = mails.as_slice() else { panic!("what falls together is one mail: {}", mails.len()) };
    let mail = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
    let text = mail.body_text(0).unwrap();
    let told = |what: &str| text.matches(what).count();
    assert!(mail.subject().unwrap().contains("done elsewhere, and now on record"), "{text}");
    assert_eq!((told("done elsewhere, and now"), told("what we did on your visit")), (3, 1), "{text}");
    assert_eq!(told("Maintenance wash, by Hillside Detailing (invented)"), 1, "{text}");
    assert_eq!(told("Maintenance wash, by yourself"), 1, "{text}");

    let listed = shop.desk.get("/v1/visits").ok();
    let items = listed["items"].as_array().unwrap();
    assert_eq!(items[0]["done_by"], Value::Null);
    assert_eq!(items[1]["done_by"]["name"], "Hillside Detailing (invented)");
    let history = shop.desk.get(&format!("/v1/vehicles/{vehicle}/history")).ok();
    let by: Vec<&Value> = history["items"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|event| event["kind"] == "service")
        .map(|event| &event["done_by"])
        .collect();
    assert_eq!(by, [&json!("other_shop"), &json!("owner"), &json!("other_shop"), &Value::Null]);

    for (done_by, place, code) in [
        (json!({"kind": "shop", "proof": "our own"}), "/done_by/kind", "own_shop"),
        (json!({"kind": "other_shop", "proof": "invoice"}), "/done_by/name", "required"),
        (json!({"kind": "owner", "proof": " "}), "/done_by/proof", "empty"),
    ] {
        let refused = shop.desk.post("/v1/visits", &elsewhere("maintenance wash", done_by));
        assert_eq!(refused.faults(422, "rule_broken"), [(place.to_owned(), code.to_owned())]);
    }
}

fn what_came_late_is_countersigned_afterwards(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    shop.it_is("2026-04-08T09:00:00Z");
    let mut late = visit(&vehicle, "2026-03-31", "maintenance wash");
    late["odometer"] = json!({"value": 900, "unit": "km"});
    late["note"] = json!("Ada Ferro brought the sheet a week later.");
    let entered = shop.desk.post("/v1/visits", &late).created();
    assert_eq!(entered["effects"][0]["because"], "entered_late");
    let path = format!("/v1/visits/{}", id(&entered));
    let sign = format!("{path}/countersign");
    let why = json!({"reason": "The signed sheet was found."});
    for who in [&shop.technician, &shop.desk] {
        who.post(&sign, &why).refused(403, "forbidden");
    }
    let signed = shop.manager.post(&sign, &why).ok();
    let effect = &signed["effects"][0];
    assert_eq!(
        (&effect["upkeep"], &effect["number"], &effect["effect"]),
        (&json!("wash"), &json!(1), &json!("meets"))
    );
    // The visit tells the service once, as it counts now; the vehicle's history tells all that happened.
    let services = shop.desk.get(&path).ok()["services"].clone();
    let service = &services.as_array().unwrap()[0];
    assert_eq!((services.as_array().unwrap().len(), &service["countersigned"]), (1, &json!(true)));
    assert_ne!(service["event_id"], entered["services"][0]["event_id"]);
    let history = shop.desk.get(&format!("/v1/vehicles/{vehicle}/history")).ok();
    let history = history["items"].as_array().unwrap();
    let [.., first, retraction, again] = history.as_slice() else { panic!("{history:?}") };
    assert_eq!((&first["retracted"], &retraction["kind"]), (&json!(true), &json!("retract")));
    assert_eq!(
        (&again["instead_of"], &again["km"], &again["countersigned"]),
        (&first["id"], &first["km"], &json!(true))
    );
    assert_eq!(
        shop.manager.post(&sign, &why).faults(422, "rule_broken"),
        [(String::new(), "nothing_to_countersign".into())]
    );
}

fn a_reading_is_corrected_in_its_place(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    shop.it_is("2026-04-08T09:00:00Z");
    let readings = format!("/v1/vehicles/{vehicle}/readings");
    let slip = json!({"on": "2026-04-01", "odometer": {"value": 9100, "unit": "km"}});
    let slip = id(&shop.technician.post(&readings, &slip).created());
    let correct = format!("{readings}/{slip}/correct");
    let right = json!({"odometer": {"value": 1900, "unit": "km"}, "reason": "The 1 was read as a 9."});
    shop.technician.post(&correct, &right).refused(403, "forbidden");
    let mut lower = right.clone();
    lower["odometer"]["value"] = json!(3);
    shop.desk.post(&correct, &lower).refused(422, "odometer_implausible");
    let corrected = shop.desk.post(&correct, &right).created();
    let listed = shop.desk.get(&readings).ok();
    let items = listed["items"].as_array().unwrap();
    let last = items.last().unwrap();
    assert_eq!(
        (&last["id"], &last["on"], &last["km"]),
        (&corrected["id"], &json!("2026-04-01"), &json!(1900))
    );
    assert_eq!(last["instead_of"], json!(slip));
    // What is read afterwards is compared with what was right.
    let next = json!({"on": "2026-04-08", "odometer": {"value": 2500, "unit": "km"}});
    shop.technician.post(&readings, &next).created();
    assert_eq!(
        shop.desk.post(&correct, &right).faults(422, "rule_broken"),
        [(String::new(), "already_retracted".into())]
    );
}
