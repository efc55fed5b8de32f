//! Bodies are read strictly, and in the same order of refusals everywhere.

use lustrum::core::json::DEEPEST;
use lustrum::http::{ROUTES, Route};
use serde_json::{Value, json};

use super::samples::Scene;
use super::{is_problem, operation, takes_a_picture};
use crate::migrations::contents;
use crate::support::database::on_both;

on_both!(
    a_body_is_json_of_bearable_length_and_depth,
    a_body_says_what_is_described_and_nothing_else,
    a_file_is_a_table_of_bearable_length,
    what_is_tried_leaves_nothing_behind,
    a_picture_is_of_its_type_and_bearable_length,
);

/// Routes that take a document which people write: what is wrong with it is a fault of the document.
const DOCUMENTS: &[(&str, &str)] = &[
    ("POST", "/v1/terms"),
    ("PUT", "/v1/terms/{code}/editions/{n}"),
    ("POST", "/v1/products/{code}/sheets"),
];

/// Members that hold such a document.
const DOCUMENT_IN: &[(&str, &str)] = &[("/v1/terms/{code}/editions/{n}/preview", "facts")];

/// The longest JSON body.
const LONGEST: usize = 256 * 1024;

/// Routes that take a table instead.
const TABLES: &[&str] = &["/v1/imports"];

/// The longest file of a table.
const LONGEST_FILE: usize = 64 * 1024 * 1024;

fn with_body() -> impl Iterator<Item = &'static Route> {
    let sent = |route: &&Route| {
        let written = matches!(route.method, "POST" | "PUT" | "PATCH");
        written && !takes_a_picture(route) && !TABLES.contains(&route.path)
    };
    ROUTES.iter().filter(sent)
}

fn a_file_is_a_table_of_bearable_length(scene: Scene) {
    for route in ROUTES.iter().filter(|route| TABLES.contains(&route.path)) {
        let call = scene.sample(route);
        let good = call.body.clone().unwrap().as_str().unwrap().to_owned();
        for media in ["application/json", "text/plain", "text/csvs"] {
            let answer = call.send_bytes(&[("Content-Type", media)], good.as_bytes());
            is_problem(&answer, 415, "unsupported_media_type");
        }
        is_problem(&call.send_bytes(&[], good.as_bytes()), 415, "unsupported_media_type");
        let long = vec![b'a'; LONGEST_FILE + 1];
        let chunked = [("Content-Type", "text/csv"), ("Transfer-Encoding", "chunked")];
        is_problem(&call.send_bytes(&chunked, &long), 413, "too_large");
        for bytes in [&b""[..], b"\0", b"no such header", b"\xEF\xBB\xBF\xFF", b"{\"a\": 1}", b"{"] {
            is_problem(&call.send_bytes(&[("Content-Type", "text/csv")], bytes), 422, "rule_broken");
        }
        for media in ["Text/CSV; charset=whatever", "application/jsonl"] {
            let answer = call.send_bytes(&[("Content-Type", media)], good.as_bytes());
            assert_eq!(answer.status, call.status, "{}: {:#}", answer.what, answer.body);
        }
    }
}

fn a_body_is_json_of_bearable_length_and_depth(scene: Scene) {
    let json = &[("Content-Type", "application/json")][..];
    for route in with_body() {
        let call = scene.sample(route);
        let good = call.body.clone().unwrap().to_string();
        is_problem(
            &call.send_bytes(&[("Content-Type", "text/plain")], good.as_bytes()),
            415,
            "unsupported_media_type",
        );
        is_problem(
            &call.send_bytes(&[("Content-Type", "application/json; charset=latin1")], b"{}"),
            415,
            "unsupported_media_type",
        );
        is_problem(&call.send_bytes(&[], good.as_bytes()), 415, "unsupported_media_type");
        let long = format!("{{\"a\": \"{}\"}}", "b".repeat(LONGEST));
        is_problem(&call.send_bytes(json, long.as_bytes()), 413, "too_large");
        let chunked = [("Content-Type", "application/json"), ("Transfer-Encoding", "chunked")];
        is_problem(&call.send_bytes(&chunked, long.as_bytes()), 413, "too_large");

        let deep = |levels: usize| format!("{{\"a\": {}{}}}", "[".repeat(levels - 1), "]".repeat(levels - 1));
        for (bytes, code) in [
            (good[..good.len() - 1].to_owned(), "not_json"),
            ("no json".to_owned(), "not_json"),
            (String::new(), "not_json"),
            ("[]".to_owned(), "wrong_type"),
            ("null".to_owned(), "wrong_type"),
            ("\"text\"".to_owned(), "wrong_type"),
            (r#"{"a\u0000": 1}"#.to_owned(), "null_character"),
            (r#"{"a": ["b\u0000"]}"#.to_owned(), "null_character"),
            (r#"{"a": 1, "a": 1}"#.to_owned(), "member_twice"),
            (deep(DEEPEST + 1), "too_deep"),
        ] {
            let answer = call.send_bytes(json, bytes.as_bytes());
            is_problem(&answer, 400, "malformed");
            assert_eq!(answer.body["errors"][0]["code"], code, "{}: {bytes}: {:#}", answer.what, answer.body);
            assert_eq!(answer.body["errors"][0]["pointer"], "", "{}: {bytes}", answer.what);
        }
        let answer = call.send_bytes(json, deep(DEEPEST).as_bytes());
        assert_ne!(answer.body["errors"][0]["code"], "too_deep", "{}", answer.what);
        // The request was right all along.
        let answer =
            call.send_bytes(&[("Content-Type", "Application/JSON; Charset=\"UTF-8\"")], good.as_bytes());
        assert_eq!(answer.status, call.status, "{}: {:#}", answer.what, answer.body);
    }
}

/// Values of another type than this one.
fn other_than(value: &Value) -> Value {
    match value {
        Value::String(_) => json!({"a": "text"}),
        _ => json!("no such thing"),
    }
}

fn a_body_says_what_is_described_and_nothing_else(scene: Scene) {
    for route in with_body().filter(|route| !DOCUMENTS.contains(&(route.method, route.path))) {
        let call = scene.sample(route);
        let good = call.body.clone().unwrap();
        let mut more = good.clone();
        more["colour_of_the_sky"] = json!("blue");
        let faults = call.saying(more).send().faults(400, "malformed");
        assert_eq!(
            faults,
            [("/colour_of_the_sky".to_owned(), "unknown_member".to_owned())],
            "{} {}",
            route.method,
            route.path
        );
        for (name, value) in good.as_object().unwrap() {
            if DOCUMENT_IN.contains(&(route.path, name)) {
                continue;
            }
            let mut wrong = good.clone();
            wrong[name] = other_than(value);
            let answer = call.saying(wrong).send();
            is_problem(&answer, 400, "malformed");
            let pointer = answer.body["errors"][0]["pointer"].as_str().unwrap_or_default();
            assert!(pointer.starts_with(&format!("/{name}")), "{}: {name}: {:#}", answer.what, answer.body);
        }
    }
}

fn what_is_tried_leaves_nothing_behind(scene: Scene) {
    let parameter = |route: &Route, name: &str| {
        let listed = operation(route)["parameters"].as_array().cloned().unwrap_or_default();
        listed.iter().any(|parameter| parameter["name"] == name)
    };
    let tried: Vec<&Route> = ROUTES.iter().filter(|route| parameter(route, "validate_only")).collect();
    for path in [
        "/v1/terms",
        "/v1/products/{code}/sheets",
        "/v1/visits",
        "/v1/jobs/{id}/steps",
        "/v1/jobs/{id}/climate",
        "/v1/jobs/{id}/coats",
        "/v1/jobs/{id}/marks",
        "/v1/jobs/{id}/paint-readings",
        "/v1/jobs/{id}/photos",
        "/v1/visits/{id}/photos",
        "/v1/imports",
    ] {
        assert!(tried.iter().any(|route| route.path == path), "POST {path} cannot be tried");
    }
    for route in tried {
        let call = scene.sample(route);
        let before = contents(&scene.shop.database);
        let saying = |value: &str| {
            let mark = if call.path.contains('?') { '&' } else { '?' };
            call.at(format!("{}{mark}validate_only={value}", call.path))
        };
        let answer = saying("true").send();
        assert_eq!((answer.status, &answer.body), (200, &json!({"valid": true})), "{}", answer.what);
        assert_eq!(contents(&scene.shop.database), before, "{}", answer.what);
        let plain = saying("false").send();
        assert_eq!(plain.status, call.status, "{}: {:#}", plain.what, plain.body);
        assert_ne!(contents(&scene.shop.database), before, "{}", answer.what);
        let faulty = saying("perhaps").send().faults(400, "malformed");
        assert_eq!(faulty, [("validate_only".to_owned(), "wrong_type".to_owned())]);
    }
}

/// The longest picture.
const LONGEST_PICTURE: usize = 15 * 1024 * 1024;

fn a_picture_is_of_its_type_and_bearable_length(scene: Scene) {
    let routes: Vec<&Route> = ROUTES.iter().filter(|route| takes_a_picture(route)).collect();
    assert!(!routes.is_empty(), "no route takes a picture");
    for route in routes {
        let call = scene.sample(route);
        let good = call.picture.unwrap();
        for kind in ["text/plain", "application/json", "image/svg+xml", "image", "multipart/form-data"] {
            let answer = call.send_bytes(&[("Content-Type", kind)], good);
            is_problem(&answer, 415, "unsupported_media_type");
        }
        is_problem(&call.send_bytes(&[], good), 415, "unsupported_media_type");
        let long = vec![0; LONGEST_PICTURE + 1];
        let chunked = [("Content-Type", "image/jpeg"), ("Transfer-Encoding", "chunked")];
        is_problem(&call.send_bytes(&chunked, &long), 413, "too_large");
        // One that is as long as can be is looked into.
        let answer = call.send_bytes(&[("Content-Type", "image/jpeg")], &long[1..]);
        is_problem(&answer, 422, "rule_broken");
        let answer = call.send_bytes(&[("Content-Type", "Image/JPEG; name=bonnet")], good);
        assert_eq!(answer.status, call.status, "{}: {:#}", answer.what, answer.body);
    }
}
