//! The rules that hold for every route. Requests are taken from the route table by way of [`samples`].

mod answers;
mod bodies;
mod call;
mod idempotency;
mod limits;
mod lists;
mod lost_commit;
mod repeated;
mod samples;
mod versions;

use std::sync::OnceLock;

use lustrum::http::Route;
use serde_json::Value;

use crate::support::server::Answer;

fn document() -> &'static Value {
    static DOCUMENT: OnceLock<Value> = OnceLock::new();
    DOCUMENT.get_or_init(|| serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap())
}

/// What the OpenAPI document says of a route.
fn operation(route: &Route) -> &'static Value {
    &document()["paths"][route.path][route.method.to_lowercase()]
}

/// Whether a route is sent a picture, and nothing of JSON.
fn takes_a_picture(route: &Route) -> bool {
    operation(route)["requestBody"]["content"]["image/jpeg"].is_object()
}

/// What a route answers besides JSON.
fn besides_json(route: &Route) -> Vec<&'static String> {
    let content = operation(route)["responses"]["200"]["content"].as_object();
    content.into_iter().flatten().map(|(kind, _)| kind).filter(|kind| *kind != "application/json").collect()
}

/// Fails unless the answer is a problem document (RFC 9457) of this status and code.
fn is_problem(answer: &Answer, status: u16, code: &str) {
    assert_eq!(answer.status, status, "{}: {:#}", answer.what, answer.body);
    assert_eq!(answer.header("content-type"), Some("application/problem+json"), "{}", answer.what);
    let body = &answer.body;
    assert_eq!(body["code"], code, "{}: {body:#}", answer.what);
    assert_eq!(body["status"], status, "{}: {body:#}", answer.what);
    assert_eq!(body["type"], format!("urn:lustrum:problem:{code}"), "{}", answer.what);
    for member in ["title", "detail"] {
        assert!(body[member].as_str().is_some_and(|text| !text.is_empty()), "{}: {body:#}", answer.what);
    }
    assert_eq!(body["request_id"].as_str(), answer.header("x-request-id"), "{}", answer.what);
}
