//! Every answer of every test is held against the OpenAPI document.

use std::collections::HashMap;
use std::sync::{Mutex, OnceLock};

use jsonschema::Validator;
use lustrum::http::ROUTES;
use serde_json::{Value, json};

fn document() -> &'static Value {
    static DOCUMENT: OnceLock<Value> = OnceLock::new();
    DOCUMENT.get_or_init(|| serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap())
}

/// The route that a path belongs to, as the document writes it.
fn template(path: &str) -> Option<&'static str> {
    let segments: Vec<&str> = path.split('/').collect();
    let fits = |route: &str| {
        let wanted: Vec<&str> = route.split('/').collect();
        wanted.len() == segments.len()
            && wanted.iter().zip(&segments).all(|(w, s)| w.starts_with('{') || w == s)
    };
    // A path without variables wins over one with them, as in the router.
    let mut fitting: Vec<&str> = ROUTES.iter().map(|route| route.path).filter(|path| fits(path)).collect();
    fitting.sort_by_key(|path| path.matches('{').count());
    fitting.first().copied()
}

/// Fails when an answer is not as the document says.
pub(crate) fn check(method: &str, path: &str, status: u16, content_type: &str, body: &Value) {
    let Some(template) = template(path) else {
        assert!(matches!(status, 404 | 429), "{method} {path} is in no route, yet answers {status}");
        return;
    };
    if matches!(method, "HEAD" | "OPTIONS") || matches!(status, 204 | 304 | 405) {
        return;
    }
    let operation = &document()["paths"][template][method.to_lowercase()];
    assert!(operation.is_object(), "{method} {template} is not in the document");
    let response = &operation["responses"][status.to_string()];
    assert!(
        response.is_object(),
        "{method} {template} answers {status}, which the document does not say: {body}"
    );
    let picture =
        response["content"].as_object().filter(|of| status < 400 && !of.contains_key("application/json"));
    if let Some(pictures) = picture {
        assert!(pictures.contains_key(content_type), "{method} {template} answers {content_type}");
        return;
    }
    let kind = if status < 400 { "application/json" } else { "application/problem+json" };
    let schema = &response["content"][kind]["schema"];
    assert!(schema.is_object(), "{method} {template}: the document does not describe the body of {status}");
    let key = format!("{method} {template} {status}");
    static KNOWN: OnceLock<Mutex<HashMap<String, Validator>>> = OnceLock::new();
    let mut known =
        KNOWN.get_or_init(Mutex::default).lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let validator = known.entry(key.clone()).or_insert_with(|| {
        let whole = json!({"allOf": [schema], "components": document()["components"]});
        jsonschema::validator_for(&whole).unwrap_or_else(|e| panic!("{key}: {e}"))
    });
    let faults: Vec<String> =
        validator.iter_errors(body).map(|e| format!("{}: {e}", e.instance_path())).collect();
    drop(known);
    assert!(faults.is_empty(), "{key} is not as the document says: {faults:#?}\n{body:#}");
}
