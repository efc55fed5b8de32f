//! Who may: every route by every role, in the own shop and in another one.

use std::collections::BTreeMap;

use lustrum::http::ROUTES;
use serde_json::{Value, json};

use super::main_job::VIN;
use crate::support::database::on_both;
use crate::support::pictures::jpeg;
use crate::support::server::{Answer, Client};
use crate::support::shop::{PASSWORD, TestShop, id};

on_both!(every_route_asks_each_role, some_words_of_a_body_ask_for_more);

/// Who may call each route: anybody, all who are signed in, desk and manager, or the manager alone.
const TABLE: &str = "
    anybody GET    /health/live
    anybody GET    /health/ready
    anybody GET    /openapi.json
    anybody GET    /.well-known/jwks.json
    anybody POST   /v1/sessions
    anybody POST   /v1/sessions/refresh
    anybody DELETE /v1/sessions/current
    all     GET    /v1/shop
    manager PATCH  /v1/shop
    all     GET    /v1/members
    manager POST   /v1/members
    all     GET    /v1/members/{id}
    manager PATCH  /v1/members/{id}
    all     GET    /v1/customers
    all     POST   /v1/customers
    all     GET    /v1/customers/{id}
    desk    PATCH  /v1/customers/{id}
    desk    POST   /v1/customers/{id}/links
    desk    POST   /v1/customers/{id}/links/revoke
    all     GET    /v1/products
    manager POST   /v1/products
    all     GET    /v1/products/{code}
    manager PATCH  /v1/products/{code}
    all     GET    /v1/products/{code}/sheets
    manager POST   /v1/products/{code}/sheets
    all     GET    /v1/products/{code}/sheets/{n}
    all     GET    /v1/batches
    all     POST   /v1/batches
    all     GET    /v1/batches/{id}
    all     PATCH  /v1/batches/{id}
    all     GET    /v1/batches/{id}/vehicles
    all     GET    /v1/terms
    manager POST   /v1/terms
    all     GET    /v1/terms/{code}/editions/{n}
    manager PUT    /v1/terms/{code}/editions/{n}
    manager POST   /v1/terms/{code}/editions/{n}/publish
    manager POST   /v1/terms/{code}/editions/{n}/retire
    all     POST   /v1/terms/{code}/editions/{n}/preview
    all     GET    /v1/accreditations
    manager POST   /v1/accreditations
    all     GET    /v1/accreditations/{id}
    manager PATCH  /v1/accreditations/{id}
    manager DELETE /v1/accreditations/{id}
    all     GET    /v1/vehicles
    all     POST   /v1/vehicles
    all     GET    /v1/vehicles/{id}
    desk    PATCH  /v1/vehicles/{id}
    all     GET    /v1/vehicles/{id}/door-link
    desk    POST   /v1/vehicles/{id}/door-link
    all     GET    /v1/vehicles/{id}/history
    all     GET    /v1/vehicles/{id}/readings
    all     POST   /v1/vehicles/{id}/readings
    all     GET    /v1/vehicles/{id}/events
    all     POST   /v1/vehicles/{id}/events
    all     GET    /v1/vehicles/{id}/transfers
    desk    POST   /v1/vehicles/{id}/transfers
    desk    POST   /v1/vehicles/{id}/transfers/{event}/told
    desk    POST   /v1/vehicles/{id}/readings/{event}/correct
    all     GET    /v1/jobs
    all     POST   /v1/jobs
    all     GET    /v1/jobs/{id}
    all     PATCH  /v1/jobs/{id}
    all     GET    /v1/jobs/{id}/steps
    all     POST   /v1/jobs/{id}/steps
    all     GET    /v1/jobs/{id}/steps/{row}
    all     PATCH  /v1/jobs/{id}/steps/{row}
    all     DELETE /v1/jobs/{id}/steps/{row}
    all     GET    /v1/jobs/{id}/climate
    all     POST   /v1/jobs/{id}/climate
    all     GET    /v1/jobs/{id}/climate/{row}
    all     PATCH  /v1/jobs/{id}/climate/{row}
    all     DELETE /v1/jobs/{id}/climate/{row}
    all     GET    /v1/jobs/{id}/coats
    all     POST   /v1/jobs/{id}/coats
    all     GET    /v1/jobs/{id}/coats/{row}
    all     PATCH  /v1/jobs/{id}/coats/{row}
    all     DELETE /v1/jobs/{id}/coats/{row}
    all     GET    /v1/jobs/{id}/climate.svg
    all     GET    /v1/jobs/{id}/cure.svg
    all     GET    /v1/jobs/{id}/panels.svg
    all     GET    /v1/warranties/{id}/cover.svg
    all     GET    /v1/warranties/{id}/certificate.pdf
    all     GET    /v1/warranties/{id}/history.pdf
    all     GET    /v1/jobs/{id}/winter-card.pdf
    all     GET    /v1/jobs/{id}/sheet.pdf
    all     GET    /v1/vehicles/{id}/history.pdf
    all     GET    /v1/vehicles/{id}/dispute-file.pdf
    all     GET    /v1/vehicles/{id}/door-label.pdf
    all     GET    /v1/jobs/{id}/paint
    all     GET    /v1/jobs/{id}/paint-readings
    all     POST   /v1/jobs/{id}/paint-readings
    all     GET    /v1/jobs/{id}/paint-readings/{row}
    all     PATCH  /v1/jobs/{id}/paint-readings/{row}
    all     DELETE /v1/jobs/{id}/paint-readings/{row}
    all     GET    /v1/jobs/{id}/marks
    all     POST   /v1/jobs/{id}/marks
    all     GET    /v1/jobs/{id}/marks/{row}
    all     PATCH  /v1/jobs/{id}/marks/{row}
    all     DELETE /v1/jobs/{id}/marks/{row}
    all     GET    /v1/jobs/{id}/photos
    all     POST   /v1/jobs/{id}/photos
    all     GET    /v1/jobs/{id}/photos/{row}
    all     PATCH  /v1/jobs/{id}/photos/{row}
    all     DELETE /v1/jobs/{id}/photos/{row}
    all     GET    /v1/jobs/{id}/photos/{row}/file
    all     GET    /v1/jobs/{id}/photos/{row}/thumbnail
    all     GET    /v1/jobs/{id}/check-in
    all     GET    /v1/jobs/{id}/handover
    all     GET    /v1/jobs/{id}/signatures
    all     POST   /v1/jobs/{id}/signatures
    all     GET    /v1/jobs/{id}/signatures/{row}
    all     POST   /v1/jobs/{id}/confirm
    all     GET    /v1/jobs/{id}/addenda
    all     POST   /v1/jobs/{id}/addenda
    all     GET    /v1/packages
    manager POST   /v1/packages
    all     GET    /v1/packages/{code}
    manager PATCH  /v1/packages/{code}
    manager DELETE /v1/packages/{code}
    all     GET    /v1/jobs/{id}/checks
    all     GET    /v1/jobs/{id}/cure
    all     POST   /v1/jobs/{id}/cure
    manager POST   /v1/jobs/{id}/passes
    all     POST   /v1/jobs/{id}/sign-off
    desk    POST   /v1/jobs/{id}/cancel
    desk    POST   /v1/jobs/{id}/handover
    desk    POST   /v1/jobs/{id}/warranty
    all     GET    /v1/warranties
    all     GET    /v1/warranties/{id}
    all     GET    /v1/warranties/{id}/certificate.jws
    all     GET    /v1/warranties/{id}/assessment
    all     GET    /v1/warranties/{id}/dues
    manager POST   /v1/warranties/{id}/waivers
    manager POST   /v1/warranties/{id}/extensions
    all     GET    /v1/warranties/{id}/answers
    desk    POST   /v1/warranties/{id}/answers
    manager POST   /v1/warranties/{id}/void
    all     GET    /v1/visits
    all     POST   /v1/visits
    all     GET    /v1/visits/{id}
    all     GET    /v1/visits/{id}/photos
    all     POST   /v1/visits/{id}/photos
    all     GET    /v1/visits/{id}/photos/{row}
    desk    DELETE /v1/visits/{id}/photos/{row}
    all     GET    /v1/visits/{id}/photos/{row}/file
    all     GET    /v1/visits/{id}/photos/{row}/thumbnail
    manager POST   /v1/visits/{id}/countersign
    all     GET    /v1/eligibility
    all     GET    /v1/dues
    all     GET    /v1/notices
    desk    POST   /v1/notices/bounces
    all     GET    /v1/notices/{id}
    all     GET    /v1/notices/{id}/preview
    desk    POST   /v1/notices/{id}/cancel
    desk    POST   /v1/notices/{id}/resend
    manager POST   /v1/imports
    manager GET    /v1/exports/{kind}
    all     GET    /v1/appointments
    desk    POST   /v1/appointments
    all     GET    /v1/appointments/{id}
    desk    PATCH  /v1/appointments/{id}
    all     GET    /v1/appointments/calendar.ics
    desk    POST   /v1/appointments/calendar-link
    desk    POST   /v1/appointments/calendar-link/revoke
    all     GET    /v1/warranties/{id}/calendar.ics
    all     GET    /v1/tasks
    all     GET    /v1/tasks/{id}
    desk    POST   /v1/tasks/{id}/done
    desk    POST   /v1/tasks/{id}/confirm
    all     GET    /v1/tasks/{id}/photos/{row}/file
    all     GET    /v1/tasks/{id}/photos/{row}/thumbnail
    all     POST   /v1/calc
";

/// The routes that `TABLE` tells of, with who may call each.
fn table() -> BTreeMap<(&'static str, &'static str), &'static str> {
    let line = |line: &'static str| {
        let words: Vec<&str> = line.split_whitespace().collect();
        let [who, method, path] = words[..] else { panic!("{line:?}") };
        ((path, method), who)
    };
    TABLE.trim().lines().map(line).collect()
}

/// A shop in which every path has something to name: an id for each noun.
fn everything(shop: &TestShop) -> BTreeMap<&'static str, String> {
    let (vehicle, warranty) = shop.delivers();
    let of = |path: &str| id(&shop.manager.get(path).ok()["items"][0]);
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let job = id(&shop.technician.post("/v1/jobs", &job).created());
    let part = |name: &str, body: &Value| {
        id(&shop.technician.post(&format!("/v1/jobs/{job}/{name}"), body).created())
    };
    let step = part("steps", &json!({"kind": "dry", "surfaces": ["paint"]}));
    let at = "2026-03-10T07:00:00Z";
    let climate = part("climate", &json!({"at": at, "air_c": 20.0, "rh_pct": 50.0}));
    let coat = part(
        "coats",
        &json!({"surface": "paint", "panels": ["roof"], "product": "base-30", "batch": "base-30-0417",
                "started_at": at, "ended_at": at}),
    );
    let mark = part("marks", &json!({"panel": "roof", "kind": "dent"}));
    let paint = part("paint-readings", &json!({"panel": "roof", "when": "before", "spots": [{"um": 112}]}));
    let picture = jpeg(8, 8);
    let kind = [("Content-Type", "image/jpeg")];
    let photo = shop.technician.send("POST", &format!("/v1/jobs/{job}/photos"), &kind, Some(&picture));
    let shown = shop.technician.get(&format!("/v1/jobs/{job}/check-in")).ok();
    let signature = part(
        "signatures",
        &json!({"of": "check_in", "digest": shown["digest"], "name": "Ada Ferro", "strokes": [[[0, 0], [4, 2]]]}),
    );
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}]});
    let visit = id(&shop.technician.post("/v1/visits", &visit).created());
    let proof =
        shop.technician.send("POST", &format!("/v1/visits/{visit}/photos"), &kind, Some(&picture)).created();
    let of_vehicle = |rest: &str| format!("/v1/vehicles/{vehicle}/{rest}");
    let reading = json!({"on": "2026-03-10", "odometer": {"value": 500, "unit": "km"}});
    let reading = id(&shop.technician.post(&of_vehicle("readings"), &reading).created());
    let sale = json!({"on": "2026-03-10", "told": null, "customer": {"name": "Bruno Lira"}});
    let sale = id(&shop.desk.post(&of_vehicle("transfers"), &sale).created());
    let accreditation = json!({"issuer": "northern-chain", "from": "2026-01-01"});
    let accreditation = id(&shop.manager.post("/v1/accreditations", &accreditation).created());
    let package = json!({"code": "one-coat", "title": "One coat",
                         "coats": [{"surface": "paint", "panels": ["roof"], "product": "base-30"}]});
    shop.manager.post("/v1/packages", &package).created();
    // Booked for today and not here by tomorrow: that makes a task.
    let appointment = json!({"vehicle_id": vehicle, "at": "2026-03-10T12:00:00Z"});
    let appointment = id(&shop.desk.post("/v1/appointments", &appointment).created());
    lustrum::app::ticks::tick(&shop.app, "2026-03-11T08:00:00Z".parse().unwrap()).unwrap();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let task = shop.hears_of_a_problem(owner.as_str().unwrap(), &vehicle);
    BTreeMap::from([
        ("photos of a task", id(&task["report"]["photos"][0])),
        ("packages", "one-coat".to_owned()),
        ("appointments", appointment),
        ("tasks", of("/v1/tasks")),
        ("notices", of("/v1/notices")),
        ("members", of("/v1/members")),
        ("customers", of("/v1/customers")),
        ("batches", of("/v1/batches")),
        ("products", "base-30".to_owned()),
        ("terms", "two-coat-five".to_owned()),
        ("accreditations", accreditation),
        ("vehicles", vehicle),
        ("jobs", job),
        ("steps", step),
        ("climate", climate),
        ("coats", coat),
        ("marks", mark),
        ("paint-readings", paint),
        ("signatures", signature),
        ("photos", id(&photo.created())),
        ("warranties", id(&warranty)),
        ("visits", visit),
        ("photos of a visit", id(&proof)),
        ("readings", reading),
        ("transfers", sale),
    ])
}

/// A path of the table with the ids of what there is.
fn filled(path: &str, named: &BTreeMap<&str, String>) -> String {
    let segments: Vec<&str> = path.split('/').collect();
    let mut made: Vec<String> = Vec::new();
    for (i, segment) in segments.iter().enumerate() {
        made.push(match *segment {
            "{n}" => "1".to_owned(),
            "{kind}" => "customers".to_owned(),
            "{row}" if path.starts_with("/v1/tasks") => named["photos of a task"].clone(),
            "{row}" if path.starts_with("/v1/visits") => named["photos of a visit"].clone(),
            variable if variable.starts_with('{') => named[segments[i - 1]].clone(),
            fixed => fixed.to_owned(),
        });
    }
    let query = if path == "/v1/eligibility" { format!("?vin={VIN}") } else { String::new() };
    made.join("/") + &query
}

/// A call that changes nothing: bodies are of a type that is not taken, DELETE says no version.
fn harmless(who: &Client, method: &str, path: &str) -> Answer {
    match method {
        "GET" | "DELETE" => who.call(method, path, &[], None),
        _ => who.send(method, path, &[("Content-Type", "text/plain")], Some(b"x")),
    }
}

/// What a harmless call answers to someone who may make it.
fn granted(method: &str) -> u16 {
    match method {
        "GET" => 200,
        "DELETE" => 428,
        _ => 415,
    }
}

fn may(who: &str, role: &str) -> bool {
    match who {
        "all" => true,
        "desk" => role != "technician",
        "manager" => role == "manager",
        other => panic!("{other} is nobody"),
    }
}

/// A manager, a technician and someone at the desk of another shop.
fn another_shop(shop: &TestShop) -> [(&'static str, Client); 3] {
    let manager = shop.neighbour();
    let hire = |role: &str| {
        let email = format!("{role}@hillside.example");
        let member = json!({"name": role, "email": email, "role": role, "password": PASSWORD});
        manager.post("/v1/members", &member).created();
        shop.signs_in(&email)
    };
    [("technician", hire("technician")), ("desk", hire("desk")), ("manager", manager.clone())]
}

fn every_route_asks_each_role(shop: TestShop) {
    let table = table();
    let routes: Vec<_> = ROUTES.iter().map(|route| (route.path, route.method)).collect();
    for route in &routes {
        assert!(table.contains_key(route), "who may call {route:?}? TABLE does not say");
    }
    for route in table.keys() {
        assert!(routes.contains(route), "TABLE tells of {route:?}, which is no route");
    }

    let named = everything(&shop);
    let own = [("technician", &shop.technician), ("desk", &shop.desk), ("manager", &shop.manager)];
    let others = another_shop(&shop);
    for ((path, method), who) in &table {
        if *who == "anybody" {
            continue;
        }
        let full = filled(path, &named);
        let status = |client: &Client| harmless(client, method, &full).status;
        assert_eq!(status(&shop.manager.anonymous()), 401, "{method} {path} without a token");
        for (role, client) in own {
            let wanted = if may(who, role) { granted(method) } else { 403 };
            assert_eq!(status(client), wanted, "{method} {path} as {role}");
        }
        // In another shop: what the path names is not there; the vehicle of the query neither.
        for (role, client) in &others {
            let names = (path.contains('{') && !path.contains("{kind}")) || *path == "/v1/eligibility";
            let wanted = match may(who, role) {
                false => 403,
                true if names => 404,
                true => granted(method),
            };
            let answer = harmless(client, method, &full);
            assert_eq!(answer.status, wanted, "{method} {path} as {role} of another shop");
            let told = answer.body.to_string();
            let leaked: Vec<_> = named.values().filter(|id| told.contains(id.as_str())).collect();
            assert!(leaked.is_empty(), "{method} {path} tells another shop of {leaked:?}: {told}");
        }
    }
}

fn some_words_of_a_body_ask_for_more(shop: TestShop) {
    let named = everything(&shop);
    let events = format!("/v1/vehicles/{}/events", named["vehicles"]);
    let later = "2027-01-01";
    let own = [("technician", &shop.technician), ("desk", &shop.desk), ("manager", &shop.manager)];
    let panel = json!({"on": later, "surface": "paint", "panel": "bonnet"});
    let kinds = [
        ("repair", "all", panel.clone()),
        ("recoat", "all", panel),
        ("breach", "all", json!({"on": later, "key": "abrasive-wash"})),
        ("close", "desk", json!({"on": later, "reason": "Exported."})),
        ("retract", "desk", json!({"event": named["jobs"], "reason": "A slip."})),
    ];
    for (kind, who, mut body) in kinds {
        body["kind"] = json!(kind);
        for (role, client) in own {
            // Nothing is entered for a day to come, and no job is an event.
            let wanted = if may(who, role) { 422 } else { 403 };
            assert_eq!(client.post(&events, &body).status, wanted, "{kind} as {role}");
        }
    }
    let visit = json!({"vehicle_id": named["vehicles"], "on": later,
                       "services": [{"service": "inspection", "countersigned": true}]});
    let batch = format!("/v1/batches/{}", named["batches"]);
    for (role, client) in own {
        let manager = role == "manager";
        assert_eq!(client.post("/v1/visits", &visit).status, if manager { 422 } else { 403 }, "{role}");
        let recall = client.change(&batch, &json!({"state": "quarantined"}));
        assert_eq!(recall.status, if manager { 200 } else { 403 }, "{role}");
        assert_eq!(client.change(&batch, &json!({"ml": 40})).status, 200, "{role}");
    }
}
