//! Calendars: files that calendar programs read, held against a reader that is not ours (PyPI `icalendar`) and the rules
//! of RFC 5545 that it does not hold a file to. All names are invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::python::read_by;
use crate::support::shop::{TestShop, id};

on_both!(
    dues_stand_in_a_calendar_until_they_are_settled,
    a_booked_day_comes_as_a_calendar_file,
    an_owners_calendar_follows_their_link,
    the_shops_calendar_is_subscribed_to_by_an_address_that_can_be_ended,
);

/// What a calendar file says, by another's reader.
pub(super) fn read(file: &[u8]) -> Value {
    read_by("tests/support/read_calendar.py", file)
}

fn calendar(shop: &TestShop, path: &str) -> Value {
    let answer = shop.desk.call("GET", path, &[("Accept", "text/calendar")], None);
    assert_eq!((answer.status, answer.header("content-type")), (200, Some("text/calendar; charset=utf-8")));
    read(&answer.bytes)
}

fn dues_stand_in_a_calendar_until_they_are_settled(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}/calendar.ics", id(&warranty));
    let before = calendar(&shop, &path);
    assert_eq!(
        (&before["method"], &before["name"]), // Another's reader leaves the name as it is written.
        (&json!("PUBLISH"), &json!("Upkeep of Corvina Estate\\, QC-417"))
    );
    let first = &before["events"][0];
    assert_eq!(
        (&first["start"], &first["day"], &first["status"]),
        (&json!("2027-03-10"), &json!(true), &json!("CONFIRMED"))
    );
    assert!(first["summary"].as_str().unwrap().contains("Corvina Estate, QC-417"), "{first}");
    assert!(first["description"].as_str().unwrap().contains("9 April 2027"), "{first}");
    assert_eq!(calendar(&shop, &path), before, "the same as long as nothing happens");

    shop.it_is("2027-03-01T10:00:00Z");
    let visit = json!({"vehicle_id": vehicle, "on": "2027-03-01", "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &visit).created();
    let after = calendar(&shop, &path);
    let same = after["events"].as_array().unwrap().iter().find(|event| event["uid"] == first["uid"]).unwrap();
    assert_eq!(same["status"], "CANCELLED");
    assert!(same["sequence"].as_u64() > first["sequence"].as_u64(), "{same} after {first}");
    let next =
        after["events"].as_array().unwrap().iter().find(|event| event["status"] == "CONFIRMED").unwrap();
    assert_eq!(next["start"], "2028-03-10");
    shop.neighbour().get(&path).refused(404, "not_found");
}

fn a_booked_day_comes_as_a_calendar_file(shop: TestShop) {
    shop.manager.change("/v1/shop", &json!({"address": "Cais 4; Porto Novo, (invented)\nfirst yard"})).ok();
    let (vehicle, _) = shop.delivers();
    let booked = json!({"vehicle_id": vehicle, "at": "2026-04-15T09:30:00Z"});
    shop.desk.post("/v1/appointments", &booked).created();
    shop.ticks();
    let mail = shop.app.mailer.kept().pop().expect("a mail");
    let parsed = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
    let is_calendar = |part: &&mail_parser::MessagePart<'_>| {
        let kind = mail_parser::MimeHeaders::content_type(*part);
        kind.is_some_and(|kind| kind.subtype() == Some("calendar"))
    };
    let file = parsed.attachments().find(is_calendar).expect("a calendar file");
    let events = read(file.contents())["events"].clone();
    let day = events.as_array().unwrap().iter().find(|event| event["day"] == false).unwrap();
    assert_eq!(
        (&day["start"], &day["place"]),
        (&json!("2026-04-15T09:30:00+00:00"), &json!("Cais 4; Porto Novo, (invented)\nfirst yard"))
    );
}

fn an_owners_calendar_follows_their_link(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let booked = json!({"vehicle_id": vehicle, "at": "2026-04-15T09:30:00Z"});
    shop.desk.post("/v1/appointments", &booked).created();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let customer = format!("/v1/customers/{}", owner.as_str().unwrap());
    shop.desk.change(&customer, &json!({"language": "de"})).ok();
    let link = shop.desk.post(&format!("{customer}/links"), &json!({})).created();
    let url = link["url"].as_str().unwrap();
    let path = format!("{}/calendar.ics", &url[url.find("/my/").unwrap()..]);
    let anybody = shop.desk.anonymous();
    let calendar = read(&anybody.call("GET", &path, &[("Accept", "text/calendar")], None).bytes);
    let summaries: Vec<&str> = calendar["events"]
        .as_array()
        .unwrap()
        .iter()
        .map(|event| event["summary"].as_str().unwrap())
        .collect();
    assert!(summaries.contains(&"Termin: Corvina Estate, QC-417"), "{summaries:?}");
    assert!(summaries.iter().any(|text| text.contains("fällig")), "{summaries:?}");
    // Sold: it shows what is theirs now.
    let sale = json!({"on": "2026-03-10", "customer": {"name": "Bruno Lira"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    let calendar = read(&anybody.call("GET", &path, &[("Accept", "text/calendar")], None).bytes);
    assert_eq!(calendar["events"], json!([]));
    shop.desk.post(&format!("{customer}/links/revoke"), &json!({})).ok();
    assert_eq!(anybody.call("GET", &path, &[], None).status, 410);
}

fn the_shops_calendar_is_subscribed_to_by_an_address_that_can_be_ended(shop: TestShop) {
    let vehicle = shop.adds_vehicle("QC-9");
    let booked = json!({"vehicle_id": vehicle, "at": "2026-04-15T09:30:00Z"});
    let booked = format!("/v1/appointments/{}", id(&shop.desk.post("/v1/appointments", &booked).created()));
    let link = |shop: &TestShop| {
        let made = shop.desk.post("/v1/appointments/calendar-link", &json!({})).created();
        let url = made["url"].as_str().unwrap();
        url[url.find("/calendar/").unwrap()..].to_owned()
    };
    let anybody = shop.desk.anonymous();
    let asked = |path: &str| anybody.call("GET", path, &[("Accept", "text/calendar")], None);
    let first = link(&shop);
    let events = |path: &str| read(&asked(path).bytes)["events"].clone();
    assert_eq!(events(&first)[0]["status"], "CONFIRMED");
    assert_eq!(events(&first)[0]["summary"], "Appointment: QC-9");
    shop.desk.change(&booked, &json!({"state": "cancelled"})).ok();
    assert_eq!(events(&first)[0]["status"], "CANCELLED");
    let second = link(&shop);
    assert_eq!(asked(&first).status, 404, "the one before is ended");
    assert_eq!(events(&second), calendar(&shop, "/v1/appointments/calendar.ics")["events"]);
    assert_eq!(shop.desk.post("/v1/appointments/calendar-link/revoke", &json!({})).status, 204);
    assert_eq!(asked(&second).status, 404);
    for guess in ["/calendar/none", "/calendar/AAAA", "/calendar/AAAAAAAAAAAAAAAAAAAAAAAA"] {
        assert_eq!(asked(guess).status, 404, "{guess}");
    }
}
