//! A shop that takes its whole past with it, into another database: the same files come out of that again, and each
//! warranty is judged the same, on any day.

use serde_json::{Value, json};

use super::round::{KINDS, exported};
use super::{counts, import};
use crate::api::main_job::terms;
use crate::support::database::{Backend, on_both};
use crate::support::shop::{TestShop, id};

on_both!(a_shop_that_moves_keeps_every_verdict);

/// Terms by which services have to be entered within a week, beside the usual ones.
fn publishes_strict_terms(shop: &TestShop) {
    let mut strict = terms();
    strict["code"] = json!("strict");
    strict["entry_within"] = json!({"days": 7});
    strict.as_object_mut().unwrap().remove("build");
    shop.manager.post("/v1/terms", &strict).created();
    shop.manager.post("/v1/terms/strict/editions/1/publish", &json!({})).ok();
}

/// A windscreen, coated and handed over on the day that it is, on the strict terms; answers the warranty.
fn glazed(shop: &TestShop, vehicle: &str, km: u32) -> Value {
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": km, "unit": "km"}, "terms": {"code": "strict"},
                     "panels": {"glass": ["windscreen"]}});
    let path = format!("/v1/jobs/{}", id(&shop.manager.post("/v1/jobs", &job).created()));
    let at = shop.app.now();
    let coat = json!({"surface": "glass", "panels": ["windscreen"], "product": "clear-view", "batch": "clear-view-0417",
                      "started_at": at, "ended_at": at});
    shop.manager.post(&format!("{path}/coats"), &coat).created();
    shop.manager.post(&format!("{path}/sign-off"), &json!({})).ok();
    let handover = json!({"on": &at.to_rfc3339()[..10], "odometer": {"value": km, "unit": "km"}});
    shop.manager.post(&format!("{path}/handover"), &handover).created()["warranty"].clone()
}

/// A year and a half in the life of a shop, with everything that can happen to a vehicle.
fn lives(shop: &mut TestShop) {
    let (vehicle, warranty) = shop.delivers();
    publishes_strict_terms(shop);
    let stock = json!({"name": "Harbour Cars", "kind": "stock"});
    let stock = id(&shop.desk.post("/v1/customers", &stock).created());
    let other =
        id(&shop.desk.post("/v1/vehicles", &json!({"plate": "QC-77", "customer_id": stock})).created());
    let events = format!("/v1/vehicles/{vehicle}/events");
    let visit = |shop: &TestShop, vehicle: &str, on: &str, km: u32, service: &str| {
        let visit = json!({"vehicle_id": vehicle, "on": on, "odometer": {"value": km, "unit": "km"},
                           "services": [{"service": service}]});
        shop.manager.post("/v1/visits", &visit).created()
    };

    shop.it_is("2026-06-10T09:00:00Z");
    visit(shop, &vehicle, "2026-05-01", 2_000, "maintenance wash");
    // Read wrong, and put right; a reading that was never made, and is taken back.
    let readings = format!("/v1/vehicles/{vehicle}/readings");
    let read = json!({"on": "2026-05-20", "odometer": {"value": 23_000, "unit": "km"}});
    let read = id(&shop.desk.post(&readings, &read).created());
    let right = json!({"odometer": {"value": 2_300, "unit": "km"}, "reason": "a nought too many"});
    shop.desk.post(&format!("{readings}/{read}/correct"), &right).created();
    let other_reading = json!({"on": "2026-06-01", "odometer": {"value": 2_900, "unit": "km"}});
    let slip = id(&shop.desk.post(&readings, &other_reading).created());
    let retract = json!({"kind": "retract", "event": slip, "reason": "another vehicle's"});
    shop.desk.post(&events, &retract).created();
    for body in [
        json!({"kind": "repair", "on": "2026-05-02", "surface": "paint", "panel": "bonnet"}),
        json!({"kind": "recoat", "on": "2026-06-02", "surface": "paint", "panel": "bonnet"}),
        json!({"kind": "repair", "on": "2026-06-03", "surface": "paint", "panel": "roof"}),
        json!({"kind": "repair", "on": "2026-06-04", "surface": "glass", "panel": "other:sun roof, left"}),
        json!({"kind": "breach", "on": "2026-06-05", "key": "abrasive-wash", "surfaces": ["glass", "paint"]}),
    ] {
        shop.technician.post(&events, &body).created();
    }
    // Out of stock, and a second warranty on strict terms with a handover that was read wrong.
    let sale = json!({"on": "2026-06-09", "customer": {"name": "Uma Reis"}});
    shop.desk.post(&format!("/v1/vehicles/{other}/transfers"), &sale).created();
    glazed(shop, &other, 9_000);
    let handed = shop.desk.get(&format!("/v1/vehicles/{other}/readings")).ok();
    let last = handed["items"].as_array().unwrap().last().unwrap()["id"].as_str().unwrap().to_owned();
    let right =
        json!({"odometer": {"value": 900, "unit": "km", "confirmed": true}, "reason": "a nought too many"});
    shop.desk.post(&format!("/v1/vehicles/{other}/readings/{last}/correct"), &right).created();

    shop.it_is("2026-07-20T09:00:00Z");
    visit(shop, &vehicle, "2026-06-20", 3_400, "reconditioning");
    // Told three weeks later than it was entered; then sold again, and not told.
    let transfers = format!("/v1/vehicles/{vehicle}/transfers");
    let sale = json!({"on": "2026-06-25", "told": null, "customer": {"name": "Bruno Lira"}});
    let sale = id(&shop.desk.post(&transfers, &sale).created());
    shop.desk.post(&format!("{transfers}/{sale}/told"), &json!({"on": "2026-07-15"})).created();
    let again =
        json!({"on": "2026-07-19", "told": null, "customer": {"name": "Clara Nunes", "language": "pt"}});
    shop.desk.post(&transfers, &again).created();
    let path = format!("/v1/warranties/{}", id(&warranty));
    let waiver =
        json!({"upkeep": "wash", "number": 2, "on": "2026-07-01", "reason": "shop closed,\nas agreed"});
    shop.manager.post(&format!("{path}/waivers"), &waiver).created();
    let extension =
        json!({"upkeep": "annual", "number": 1, "to": "2027-06-30", "reason": "laid up for winter"});
    shop.manager.post(&format!("{path}/extensions"), &extension).created();
    // A third warranty of the one vehicle, of which something was granted too.
    let third = glazed(shop, &vehicle, 4_000);
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2026-07-20", "reason": "ours to give"});
    shop.manager.post(&format!("/v1/warranties/{}/waivers", id(&third)), &waiver).created();

    shop.it_is("2027-08-01T09:00:00Z");
    // Entered in time, entered late, and entered late with a countersignature; a warranty issued in error.
    visit(shop, &other, "2027-07-30", 9_500, "maintenance wash");
    visit(shop, &other, "2027-06-15", 9_100, "inspection");
    let signed = visit(shop, &vehicle, "2027-07-01", 12_000, "inspection");
    let why = json!({"reason": "seen in the book"});
    shop.manager.post(&format!("/v1/visits/{}/countersign", id(&signed)), &why).ok();
    let wrong = glazed(shop, &other, 9_600);
    let wrong = format!("/v1/warranties/{}", id(&wrong));
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2027-08-01", "reason": "as agreed"});
    shop.manager.post(&format!("{wrong}/waivers"), &waiver).created();
    shop.manager.post(&format!("{wrong}/void"), &json!({"reason": "issued in error"})).ok();
    let close = json!({"kind": "close", "on": "2027-07-31", "reason": "=exported"});
    shop.desk.post(&format!("/v1/vehicles/{other}/events"), &close).created();
}

/// The verdicts of a day, without what explains them and the names of events, which are each shop's own.
fn verdicts(shop: &TestShop, on: &str) -> Value {
    let mut all: Vec<Value> = Vec::new();
    let listed = shop.manager.get("/v1/warranties?limit=200").ok();
    for warranty in listed["items"].as_array().unwrap().iter().filter(|one| one["voided_at"].is_null()) {
        let path = format!("/v1/warranties/{}/assessment?as_of={on}", id(warranty));
        let mut verdict = shop.manager.get(&path).ok();
        for member in ["reasons", "today", "ahead"] {
            verdict.as_object_mut().unwrap().remove(member);
        }
        nameless(&mut verdict);
        let about = json!([warranty["terms"], warranty["start"], warranty["start_km"], warranty["cover"]]);
        all.push(json!([about, verdict]));
    }
    all.sort_by_key(Value::to_string);
    Value::Array(all)
}

fn nameless(value: &mut Value) {
    match value {
        Value::Object(members) => {
            for name in ["because", "met_by", "made_good_by", "restored_by"] {
                let named =
                    members.get_mut(name).filter(|value| value.as_str().is_some_and(|id| id.len() == 36));
                if let Some(value) = named {
                    *value = json!("an event");
                }
            }
            members.values_mut().for_each(nameless);
        }
        Value::Array(items) => items.iter_mut().for_each(nameless),
        _ => {}
    }
}

fn a_shop_that_moves_keeps_every_verdict(backend: Backend) {
    let mut shop = TestShop::open(backend);
    lives(&mut shop);
    for format in ["csv", "jsonl"] {
        let mut other = TestShop::open(backend);
        other.stocks_up();
        publishes_strict_terms(&other);
        other.it_is("2027-08-01T10:00:00Z");
        for kind in KINDS {
            let file = exported(&shop, kind, format);
            let again = import(&shop.manager, kind, &file).created();
            let (all, added, unchanged) = counts(&again);
            assert_eq!((added, unchanged), (0, all), "{kind}: {again:#}");
            assert_eq!(counts(&import(&other.manager, kind, &file).created()), (all, all, 0), "{kind}");
        }
        for kind in KINDS {
            assert_eq!(exported(&other, kind, format), exported(&shop, kind, format), "{kind}.{format}");
        }
        let days = [
            "2026-03-10",
            "2026-05-10",
            "2026-06-03",
            "2026-06-21",
            "2026-07-10",
            "2026-07-20",
            "2026-09-01",
            "2027-04-10",
            "2027-07-01",
            "2027-08-01",
            "2028-08-01",
            "2031-03-11",
        ];
        let mut different = std::collections::BTreeSet::new();
        for day in days {
            let (here, there) = (verdicts(&shop, day), verdicts(&other, day));
            assert_eq!(there, here, "as of {day}");
            assert_eq!(here.as_array().unwrap().len(), 3);
            different.insert(here.to_string());
        }
        assert!(different.len() > 8, "the days must differ to say anything: {}", different.len());
        // What is stored is what was worked out: who returns is told the same.
        let look = |shop: &TestShop| {
            let found = shop.manager.get("/v1/eligibility?plate=QC-417").ok();
            json!([found["in_force"], found["headline"]])
        };
        assert_eq!(look(&other), look(&shop));
        let mails = |shop: &TestShop| {
            shop.ticks();
            shop.mails().len()
        };
        assert_eq!(mails(&other), 0, "nobody is mailed about the past");
    }
}
