//! Lists come page by page, and a cursor belongs to its filters.

use lustrum::http::{ROUTES, Route};
use serde_json::Value;

use super::samples::Scene;
use super::{is_problem, operation};
use crate::support::database::on_both;

on_both!(lists_come_page_by_page, a_cursor_belongs_to_its_list_and_filters);

/// Lists of what belongs to one thing and is read with it: they come whole.
const WHOLE: &[&str] = &[
    "/v1/jobs/{id}/checks",
    "/v1/vehicles/{id}/history",
    "/v1/vehicles/{id}/readings",
    "/v1/vehicles/{id}/events",
    "/v1/vehicles/{id}/transfers",
    "/v1/warranties/{id}/answers",
    "/v1/warranties/{id}/dues",
];

fn parameters(route: &Route) -> Vec<Value> {
    operation(route)["parameters"].as_array().cloned().unwrap_or_default()
}

fn has(route: &Route, name: &str) -> bool {
    parameters(route).iter().any(|parameter| parameter["name"] == name)
}

fn paged() -> impl Iterator<Item = &'static Route> {
    ROUTES.iter().filter(|route| route.method == "GET" && has(route, "limit"))
}

fn with(path: &str, query: &str) -> String {
    format!("{path}{}{query}", if path.contains('?') { '&' } else { '?' })
}

fn items(body: &Value) -> Vec<Value> {
    body["items"].as_array().unwrap_or_else(|| panic!("no items in {body:#}")).clone()
}

fn lists_come_page_by_page(scene: Scene) {
    for route in ROUTES.iter().filter(|route| route.method == "GET" && route.path.starts_with("/v1")) {
        let body = scene.sample(route).send().ok();
        let listed = body["items"].is_array();
        assert_eq!(listed, has(route, "limit") || WHOLE.contains(&route.path), "{}", route.path);
        assert!(
            has(route, "limit") <= body.get("next").is_some(),
            "{}: a page says where the next begins",
            route.path
        );
        assert_eq!(has(route, "limit"), has(route, "cursor"), "{}", route.path);
    }
    for route in paged() {
        let call = scene.sample(route);
        let all = items(&call.at(with(&call.path, "limit=200")).send().ok());
        assert!(all.len() >= 2, "{}: the scene shows only {} of it", route.path, all.len());
        let (mut seen, mut cursor) = (Vec::new(), None::<String>);
        loop {
            let page = cursor.iter().map(|cursor| format!("&cursor={cursor}")).collect::<String>();
            let body = call.at(with(&call.path, &format!("limit=1{page}"))).send().ok();
            assert_eq!(items(&body).len(), 1, "{}", route.path);
            seen.extend(items(&body));
            cursor = body["next"].as_str().map(str::to_owned);
            if cursor.is_none() {
                break;
            }
        }
        assert_eq!(seen, all, "{}", route.path);
        for limit in ["0", "201", "-1", "1.5", "many", ""] {
            let answer = call.at(with(&call.path, &format!("limit={limit}"))).send();
            is_problem(&answer, 400, "malformed");
            assert_eq!(answer.body["errors"][0]["parameter"], "limit", "{}", answer.what);
        }
        let answer = call.at(with(&call.path, "limit=1&limit=2")).send();
        assert_eq!(answer.faults(400, "malformed"), [("limit".to_owned(), "given_twice".to_owned())]);
    }
}

/// A value that the document allows for a filter.
fn allowed(parameter: &Value) -> String {
    let many = parameter["schema"]["items"].is_object();
    let schema = if many { &parameter["schema"]["items"] } else { &parameter["schema"] };
    let any = |schema: &Value| schema["oneOf"].as_array().or(schema["anyOf"].as_array()).cloned();
    let schema =
        any(schema).and_then(|of| of.into_iter().find(|one| one["type"] != "null")).unwrap_or(schema.clone());
    let name = schema["$ref"].as_str().and_then(|path| path.rsplit('/').next());
    let schema = name.map_or(schema.clone(), |name| super::document()["components"]["schemas"][name].clone());
    if let Some(word) = schema["enum"][0].as_str() {
        return word.to_owned();
    }
    if schema["type"] == "boolean" {
        return "true".into();
    }
    match schema["format"].as_str() {
        Some("uuid") => uuid::Uuid::now_v7().to_string(),
        Some("date") => "2026-03-10".into(),
        _ => "no-such-thing".into(),
    }
}

fn a_cursor_belongs_to_its_list_and_filters(scene: Scene) {
    for route in paged() {
        let call = scene.sample(route);
        let plain = call.path.split('?').next().unwrap().to_owned();
        let next = call.at(with(&call.path, "limit=1")).send().ok()["next"].clone();
        let cursor = next.as_str().unwrap_or_else(|| panic!("{}: there is one page only", route.path));
        for wrong in [&cursor[1..], "AAAA", "%20", ""] {
            let answer = call.at(with(&call.path, &format!("cursor={wrong}"))).send();
            assert_eq!(answer.faults(400, "malformed"), [("cursor".to_owned(), "bad_cursor".to_owned())]);
        }
        let filters = parameters(route).into_iter().filter(|parameter| {
            parameter["in"] == "query" && !matches!(parameter["name"].as_str(), Some("limit" | "cursor"))
        });
        for filter in filters {
            let query = format!("{}={}", filter["name"].as_str().unwrap(), allowed(&filter));
            assert_eq!(call.at(format!("{plain}?{query}")).send().status, 200, "{plain}?{query}");
            let answer = call.at(format!("{plain}?{query}&cursor={cursor}")).send();
            let what = answer.what.clone();
            assert_eq!(
                answer.faults(400, "malformed"),
                [("cursor".to_owned(), "bad_cursor".to_owned())],
                "{what}"
            );
        }
    }
}
