//! Vehicles: one in the whole installation by its VIN, and its odometer.

use diesel::connection::SimpleConnection;
use diesel::{Connection, PgConnection, SqliteConnection};
use serde_json::{Value, json};

use super::jobs::km;
use super::main_job::VIN;
use crate::support::database::{Backend, on_both};
use crate::support::shop::{TestShop, id};

on_both!(
    a_vin_given_later_that_is_known_elsewhere_joins_the_two,
    a_vin_given_later_names_the_vehicle_or_is_refused,
    a_vin_says_what_it_may_be_a_slip_of,
    an_implausible_reading_is_asked_back,
    a_visit_is_tried_while_others_write,
);

/// A second worked example, of nobody's vehicle: the check digit of eleven ones is one.
const ONES: &str = "11111111111111111";

/// The sample of 49 CFR 565.15, table V, is 1G4AH59H45G118341: check digit 4, tenth place 5 for 2005 (or 2035).
fn a_vin_says_what_it_may_be_a_slip_of(shop: TestShop) {
    let right = shop.desk.post("/v1/vehicles", &json!({"vin": "1g4-ah59h 45g118341"})).created();
    assert_eq!(right["vin_help"], json!({"check_digit": "right", "likely": [], "model_years": [2005, 2035]}));
    // 3 taken for 8, the last two places swapped: taken, with help.
    for slip in ["1G4AH59H45G11B341", "1G4AH59H45G118314"] {
        let wrong = shop.desk.post("/v1/vehicles", &json!({"vin": slip})).created();
        assert_eq!(wrong["vin_help"]["check_digit"], "wrong");
        let likely = wrong["vin_help"]["likely"].as_array().unwrap();
        assert!(likely.contains(&json!("1G4AH59H45G118341")), "{slip}: {likely:?}");
        assert_eq!(shop.desk.get(&format!("/v1/vehicles/{}", id(&wrong))).ok(), wrong);
    }
    let plain = shop.desk.post("/v1/vehicles", &json!({"plate": "QC-9"})).created();
    assert!(plain.get("vin_help").is_none(), "{plain}");
    // I, O and Q are in no VIN: it is said what they may be, what has the right check digit first.
    let refused = shop.desk.post("/v1/vehicles", &json!({"vin": "IG4AH59H45GII8341"}));
    let told = refused.body["errors"][0]["detail"].as_str().unwrap().to_owned();
    assert!(
        told.contains("I in place 1, I in place 12, I in place 13")
            && told.contains("it may be 1G4AH59H45G118341"),
        "{told}"
    );
    assert_eq!(refused.faults(422, "rule_broken"), [("/vin".to_owned(), "not_a_vin".to_owned())]);
}

fn a_vin_given_later_that_is_known_elsewhere_joins_the_two(mut shop: TestShop) {
    // The neighbour knows it by its VIN, and far more of it than this shop does.
    let neighbour = shop.neighbour();
    let theirs = json!({"vin": VIN, "plate": "NB-1", "make": "Theirs"});
    let theirs = id(&neighbour.post("/v1/vehicles", &theirs).created());
    for (on, shown) in [("2026-03-01", 90_000), ("2026-03-05", 91_000)] {
        let reading = json!({"on": on, "odometer": km(shown)});
        neighbour.post(&format!("/v1/vehicles/{theirs}/readings"), &reading).created();
    }

    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = json!({"plate": "QC-1", "make": "Ours", "customer_id": owner});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let job = shop.finishes(&vehicle, 412);
    let handover = json!({"on": "2026-03-10", "odometer": km(420)});
    let handed = shop.desk.post(&format!("{job}/handover"), &handover).created();
    let warranty = format!("/v1/warranties/{}", id(&handed["warranty"]));
    shop.it_is("2026-04-20T09:00:00Z");
    let wash = |of: &str| json!({"vehicle_id": of, "on": "2026-04-06", "services": [{"service": "maintenance wash"}]});
    let first = shop.technician.post("/v1/visits", &wash(&vehicle)).created();
    let booked = json!({"vehicle_id": vehicle, "at": "2026-05-18T09:00:00Z"});
    let booked = id(&shop.desk.post("/v1/appointments", &booked).created());
    let before = (
        shop.desk.get("/v1/eligibility?plate=QC-1").ok(),
        shop.desk.get("/v1/dues").ok(),
        shop.desk.get(&format!("{warranty}/assessment")).ok(),
        shop.desk.get(&format!("/v1/vehicles/{vehicle}/history")).ok(),
    );

    let path = format!("/v1/vehicles/{vehicle}");
    shop.technician.change(&path, &json!({"vin": VIN})).refused(403, "forbidden");
    let joined = shop.desk.change(&path, &json!({"vin": VIN, "colour": "graphite"})).ok();
    assert_eq!((id(&joined), &joined["vin"]), (theirs.clone(), &json!(VIN)));
    assert_eq!(
        (&joined["make"], &joined["colour"], &joined["customer_id"]),
        (&json!("Ours"), &json!("graphite"), &json!(owner)),
        "the shop's own view"
    );
    shop.desk.get(&path).refused(404, "not_found");

    // All that this shop had entered is told of that vehicle now, and says what it said.
    let mut after = (
        shop.verdict("2026-04-20"),
        shop.desk.get("/v1/dues").ok(),
        shop.desk.get(&format!("{warranty}/assessment")).ok(),
        shop.desk.get(&format!("/v1/vehicles/{theirs}/history")).ok(),
    );
    let (mut seen, mut dues) = (before.0, before.1);
    seen["vehicle"] = joined.clone();
    for due in dues["items"].as_array_mut().unwrap() {
        due["vehicle"]["id"] = json!(theirs);
        due["vehicle"]["vin"] = json!(VIN);
    }
    after.0["vehicle"] = joined;
    assert_eq!(after, (seen, dues, before.2, before.3));
    for (list, many) in [("jobs", 1), ("warranties", 1), ("visits", 1)] {
        let listed = shop.desk.get(&format!("/v1/{list}?vehicle_id={theirs}")).ok();
        assert_eq!(listed["items"].as_array().unwrap().len(), many, "{list}");
        assert!(
            listed["items"].as_array().unwrap().iter().all(|one| one["vehicle_id"] == theirs),
            "{listed:#}"
        );
    }

    assert_eq!(shop.desk.get(&format!("/v1/appointments/{booked}")).ok()["vehicle_id"], theirs);

    // It goes on from there: the neighbour's readings are no concern of this shop's, nor the other way round.
    let reading = json!({"on": "2026-04-20", "odometer": km(900)});
    shop.technician.post(&format!("/v1/vehicles/{theirs}/readings"), &reading).created();
    let retract =
        json!({"kind": "retract", "event": first["services"][0]["event_id"], "reason": "Another car."});
    shop.desk.post(&format!("/v1/vehicles/{theirs}/events"), &retract).created();
    let again = shop.technician.post("/v1/visits", &wash(&theirs)).created();
    assert_eq!(again["effects"][0]["effect"], "meets");
    let neighbour = shop.signs_in("otto@hillside.example");
    let seen = neighbour.get(&format!("/v1/vehicles/{theirs}")).ok();
    assert_eq!((&seen["plate"], &seen["make"]), (&json!("NB-1"), &json!("Theirs")));
    let history = neighbour.get(&format!("/v1/vehicles/{theirs}/history")).ok();
    assert_eq!(history["items"].as_array().unwrap().len(), 2);
    let reading = json!({"on": "2026-04-20", "odometer": km(92_000)});
    neighbour.post(&format!("/v1/vehicles/{theirs}/readings"), &reading).created();
    assert_eq!(neighbour.get("/v1/warranties").ok()["items"], json!([]));
}

fn a_vin_given_later_names_the_vehicle_or_is_refused(shop: TestShop) {
    let (first, second) = (shop.knows("QC-1"), shop.knows("QC-2"));
    let named = shop.desk.change(&format!("/v1/vehicles/{first}"), &json!({"vin": VIN})).ok();
    assert_eq!((id(&named), &named["vin"]), (first.clone(), &json!(VIN)));
    // This shop has it under another id: which of the two is meant, a person says.
    let path = format!("/v1/vehicles/{second}");
    let refused = shop.desk.change(&path, &json!({"vin": VIN})).refused(409, "vehicle_exists");
    assert_eq!(refused["existing"], first);
    let taken = json!({"vin": VIN, "plate": "QC-3"});
    assert_eq!(shop.desk.post("/v1/vehicles", &taken).refused(409, "vehicle_exists")["existing"], first);
    assert_eq!(shop.desk.get(&path).ok()["plate"], "QC-2");
    // One that was given stays.
    let fixed = [("/vin".to_owned(), "vin_is_fixed".to_owned())];
    for vin in [json!(ONES), Value::Null] {
        let change = shop.desk.change(&format!("/v1/vehicles/{first}"), &json!({"vin": vin}));
        assert_eq!(change.faults(422, "rule_broken"), fixed);
    }
    let faults = shop.desk.change(&path, &json!({"vin": "O"})).faults(422, "rule_broken");
    assert_eq!(faults[0].0, "/vin");
}

fn an_implausible_reading_is_asked_back(shop: TestShop) {
    let vehicle = shop.knows("QC-1");
    let path = format!("/v1/vehicles/{vehicle}/readings");
    let reads =
        |on: &str, odometer: &Value| shop.technician.post(&path, &json!({"on": on, "odometer": odometer}));
    let miles = |value: u32| json!({"value": value, "unit": "mi"});
    reads("2026-03-01", &miles(1_000)).created();
    // 1,000 mi are 1,609 km.
    let refused = reads("2026-03-02", &km(1_608)).refused(422, "odometer_implausible");
    assert_eq!(refused["previous"], json!({"on": "2026-03-01", "odometer": miles(1_000)}));
    reads("2026-03-02", &km(1_609)).created();
    // 2,000 km a day and not one more, also on the way to a later reading.
    reads("2026-03-05", &km(1_609 + 6_001)).refused(422, "odometer_implausible");
    reads("2026-03-05", &km(1_609 + 6_000)).created();
    let refused = reads("2026-03-04", &km(1_700)).refused(422, "odometer_implausible");
    assert_eq!(refused["previous"]["on"], "2026-03-05");

    let mut confirmed = km(1_700);
    confirmed["confirmed"] = json!(true);
    reads("2026-03-06", &confirmed).created();
    let mut replaced = km(5);
    replaced["replaced"] = json!(true);
    reads("2026-03-07", &replaced).created();
    reads("2026-03-08", &km(4)).refused(422, "odometer_implausible");
    reads("2026-03-08", &km(105)).created();
    let listed = shop.desk.get(&path).ok();
    let driven: Vec<&Value> = listed["items"].as_array().unwrap().iter().map(|one| &one["km"]).collect();
    assert_eq!(driven, [1_609, 1_609, 7_609, 1_700, 1_705, 1_805]);
    // Everywhere an odometer is given; and what is wrong with the day is told without guessing about the distance.
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-09", "odometer": km(4), "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &visit).refused(422, "odometer_implausible");
    shop.technician.post("/v1/visits?validate_only=true", &visit).refused(422, "odometer_implausible");
    let tomorrow = [("/on".to_owned(), "in_the_future".to_owned())];
    assert_eq!(reads("2026-03-11", &km(4)).faults(422, "rule_broken"), tomorrow);
    assert_eq!(
        reads("2026-03-11", &km(10_000_001)).faults(422, "rule_broken"),
        [tomorrow[0].clone(), ("/odometer/value".into(), "odometer_too_large".into())]
    );
}

fn a_visit_is_tried_while_others_write(shop: TestShop) {
    let vehicle = shop.knows("QC-1");
    // Somebody holds what the real call would have to wait for.
    let url = shop.database.url.trim_start_matches("sqlite:");
    let _holder: Box<dyn SimpleConnection> = match shop.database.backend {
        Backend::Sqlite => {
            let mut c = SqliteConnection::establish(url).unwrap();
            c.batch_execute("BEGIN IMMEDIATE").unwrap();
            Box::new(c)
        }
        Backend::Postgres => {
            let mut c = PgConnection::establish(url).unwrap();
            c.batch_execute("BEGIN; LOCK TABLE visits IN SHARE MODE; SELECT 1 FROM vehicles FOR UPDATE")
                .unwrap();
            Box::new(c)
        }
    };
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-09", "services": [{"service": "inspection"}]});
    assert_eq!(shop.technician.post("/v1/visits?validate_only=true", &visit).ok(), json!({"valid": true}));
    let wrong = json!({"vehicle_id": vehicle, "on": "2026-03-11", "services": [{"service": "inspektion"}]});
    assert_eq!(
        shop.technician.post("/v1/visits?validate_only=true", &wrong).faults(422, "rule_broken"),
        [("/on".into(), "in_the_future".into()), ("/services/0/service".into(), "unknown_service".into())]
    );
    assert_eq!(shop.desk.get("/v1/visits").ok()["items"], json!([]));
}
