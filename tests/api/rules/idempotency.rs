//! `Idempotency-Key`: the same request again does nothing twice, whoever is first and whatever happens in between.

use std::sync::Barrier;
use std::thread;

use lustrum::app::ticks::{Did, tick};
use lustrum::app::{App, idempotency};
use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::server::{Answer, Client, Server};
use crate::support::shop::{TestShop, sign_in};

on_both!(
    a_hundred_at_once_make_one_row,
    a_hundred_at_once_where_a_rule_lets_it_happen_once,
    an_answer_outlives_the_service,
    another_request_under_the_key_is_refused,
    only_success_is_kept,
    what_is_only_tried_is_not_kept,
    a_key_has_its_time,
    a_key_is_one_visible_text,
);

/// A POST under a key.
pub(super) fn keyed(client: &Client, key: &str, path: &str, body: &Value) -> Answer {
    client.call("POST", path, &[("Idempotency-Key", key)], Some(body))
}

/// All of an answer that must be the same again; its date and request id are its own.
pub(super) fn said(answer: &Answer) -> (u16, Option<String>, Option<String>, String) {
    let header = |name| answer.header(name).map(str::to_owned);
    (answer.status, header("location"), header("etag"), answer.text.clone())
}

fn ada() -> Value {
    json!({"name": "Ada Ferreira", "email": "ada@mail.example"})
}

fn count(client: &Client, path: &str) -> usize {
    client.get(path).ok()["items"].as_array().unwrap().len()
}

/// A hundred clients send the same at the same moment; all are given the same answer.
fn a_hundred(client: &Client, path: &str, body: &Value) -> (u16, Option<String>, Option<String>, String) {
    let together = Barrier::new(100);
    let mut answers: Vec<_> = thread::scope(|scope| {
        let one = || {
            together.wait();
            said(&keyed(client, "a-hundred", path, body))
        };
        let all: Vec<_> = (0..100).map(|_| scope.spawn(one)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let first = answers.remove(0);
    assert!(answers.iter().all(|answer| *answer == first), "{first:?}\n{answers:#?}");
    first
}

fn a_hundred_at_once_make_one_row(shop: TestShop) {
    let (status, location, etag, _) = a_hundred(&shop.desk, "/v1/customers", &ada());
    assert_eq!(status, 201);
    assert_eq!(count(&shop.desk, "/v1/customers"), 1);
    let read = shop.desk.get(&location.unwrap());
    assert_eq!(read.header("etag"), etag.as_deref());
}

/// Whoever comes second fails at what the first has done, and is still given its answer.
fn a_hundred_at_once_where_a_rule_lets_it_happen_once(shop: TestShop) {
    let vehicle = json!({"vin": "1M8GDM9AXKP042788", "plate": "QC-417"});
    assert_eq!(a_hundred(&shop.desk, "/v1/vehicles", &vehicle).0, 201);
    shop.desk.post("/v1/vehicles", &vehicle).refused(409, "vehicle_exists");
    let product = json!({"code": "base-30", "title": "Base 30", "role": "topper"});
    assert_eq!(a_hundred(&shop.manager, "/v1/products", &product).0, 201);
    assert_eq!(count(&shop.desk, "/v1/products"), 1);
}

fn an_answer_outlives_the_service(shop: TestShop) {
    let first = said(&keyed(&shop.desk, "outlives", "/v1/customers", &ada()));
    let anew = App::open((*shop.app.config).clone(), shop.clock.clone()).unwrap();
    let server = Server::start(anew);
    let desk = sign_in(&server.url, "dora@quayside.example");
    assert_eq!(said(&keyed(&desk, "outlives", "/v1/customers", &ada())), first);

    // What happened to the customer in between changes nothing about what was answered.
    let location = first.1.clone().unwrap();
    desk.change(&location, &json!({"name": "Ada Ferreira Lopes"})).ok();
    assert_eq!(said(&keyed(&desk, "outlives", "/v1/customers", &ada())), first);
    assert_eq!(count(&desk, "/v1/customers"), 1);
}

fn another_request_under_the_key_is_refused(shop: TestShop) {
    let first = said(&keyed(&shop.desk, "one", "/v1/customers", &ada()));
    let other = json!({"name": "Bruno Ferreira", "email": "ada@mail.example"});
    keyed(&shop.desk, "one", "/v1/customers", &other).refused(422, "idempotency_key_reused");
    keyed(&shop.desk, "one", "/v1/vehicles", &json!({"plate": "QC-417"}))
        .refused(422, "idempotency_key_reused");
    assert_eq!(said(&keyed(&shop.desk, "one", "/v1/customers", &ada())), first);

    // Keys are each caller's own.
    assert_ne!(said(&keyed(&shop.manager, "one", "/v1/customers", &ada())).1, first.1);
    let neighbour = shop.neighbour();
    assert_eq!(keyed(&neighbour, "one", "/v1/customers", &ada()).status, 201);
    assert_eq!(count(&neighbour, "/v1/customers"), 1);
    assert_eq!(count(&shop.desk, "/v1/customers"), 2);
}

fn only_success_is_kept(shop: TestShop) {
    let nameless = json!({"name": "", "email": "ada@mail.example"});
    keyed(&shop.desk, "again", "/v1/customers", &nameless).refused(422, "rule_broken");
    keyed(&shop.desk, "again", "/v1/customers", &json!({"nome": "Ada"})).refused(400, "malformed");
    assert_eq!(keyed(&shop.desk, "again", "/v1/customers", &ada()).status, 201);
    keyed(&shop.technician, "again", "/v1/members", &json!({})).refused(403, "forbidden");
}

fn what_is_only_tried_is_not_kept(shop: TestShop) {
    let terms = json!({"code": "care", "edition": 1});
    let tried = keyed(&shop.manager, "care", "/v1/terms?validate_only=true", &terms).ok();
    assert_eq!(tried, json!({"valid": true}));
    assert_eq!(count(&shop.manager, "/v1/terms"), 0);
    assert_eq!(keyed(&shop.manager, "care", "/v1/terms", &terms).status, 201);
    assert_eq!(count(&shop.manager, "/v1/terms"), 1);
}

fn a_key_has_its_time(mut shop: TestShop) {
    let first = said(&keyed(&shop.desk, "time", "/v1/customers", &ada()));
    shop.it_is("2026-03-12T07:59:59Z");
    assert_eq!(said(&keyed(&shop.desk, "time", "/v1/customers", &ada())), first);
    assert_eq!(tick(&shop.app, shop.app.now()).unwrap(), Some(vec![]));

    shop.it_is("2026-03-12T08:00:00Z");
    let second = said(&keyed(&shop.desk, "time", "/v1/customers", &ada()));
    assert_eq!((second.0, count(&shop.desk, "/v1/customers")), (201, 2));
    assert_ne!(second.1, first.1);

    shop.it_is("2026-03-14T08:00:00Z");
    assert_eq!(tick(&shop.app, shop.app.now()).unwrap(), Some(vec![Did::Forgot { answers: 1 }]));
    assert_eq!(idempotency::forget(&shop.app, shop.app.now()).unwrap(), 0);
}

fn a_key_is_one_visible_text(shop: TestShop) {
    let longest = "k".repeat(255);
    assert_eq!(keyed(&shop.desk, &longest, "/v1/customers", &ada()).status, 201);
    for key in ["", "two words", &"k".repeat(256)] {
        let faults = keyed(&shop.desk, key, "/v1/customers", &ada()).faults(400, "malformed");
        assert_eq!(faults, [("Idempotency-Key".to_owned(), "bad_key".to_owned())], "{key:?}");
    }
    let twice = [("Idempotency-Key", "one"), ("Idempotency-Key", "two")];
    shop.desk.call("POST", "/v1/customers", &twice, Some(&ada())).refused(400, "malformed");
    assert_eq!(count(&shop.desk, "/v1/customers"), 1);
}
