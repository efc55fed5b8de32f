//! The OpenAPI document is the one that is committed, and names every route.

use lustrum::http::ROUTES;
use serde_json::Value;

#[test]
fn the_committed_document_is_the_present_one() {
    let present = lustrum::http::openapi::text().unwrap();
    let committed = std::fs::read_to_string("openapi/lustrum.json").unwrap_or_default();
    assert!(
        present == committed,
        "it has drifted: run `cargo run -- openapi > openapi/lustrum.json` and look at the change"
    );
}

#[test]
fn every_route_is_in_the_document_and_nothing_else() {
    let document: Value = serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap();
    let paths = document["paths"].as_object().unwrap();
    let mut described: Vec<(String, String)> = Vec::new();
    for (path, item) in paths {
        for method in item.as_object().unwrap().keys() {
            described.push((path.clone(), method.to_uppercase()));
        }
    }
    let mut routed: Vec<(String, String)> =
        ROUTES.iter().map(|route| (route.path.to_owned(), route.method.to_owned())).collect();
    described.sort();
    routed.sort();
    assert_eq!(described, routed);
}
