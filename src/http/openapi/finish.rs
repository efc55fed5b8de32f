//! What the document says of every operation alike: the headers that go along, what parameters of one name mean,
//! and how a change is described.

use serde_json::{Map, Value, json};

use crate::app::calc::Question;
use crate::app::idempotency::HOURS;
use crate::app::page::{MOST, USUAL};
use crate::http::auth::Access;
use crate::http::pages::docs::chapters;
use crate::http::{ROUTES, Route, once};

/// What a 201 makes that has no address of its own, so that there is neither `Location` nor `ETag`.
const WITHOUT_ADDRESS: &[&str] = &[
    "/v1/sessions",
    "/v1/appointments/calendar-link",
    "/v1/imports",
    "/v1/jobs/{id}/passes",
    "/v1/jobs/{id}/addenda",
    "/v1/customers/{id}/links",
    "/v1/vehicles/{id}/door-link",
    "/v1/vehicles/{id}/readings",
    "/v1/vehicles/{id}/events",
    "/v1/vehicles/{id}/transfers",
    "/v1/warranties/{id}/answers",
    "/v1/vehicles/{id}/transfers/{event}/told",
    "/v1/vehicles/{id}/readings/{event}/correct",
    "/v1/warranties/{id}/waivers",
    "/v1/warranties/{id}/extensions",
];

/// Says of a photo's file, and of its thumbnail, what they are.
fn picture(paths: &mut Value, photos: &str, pictures: &Value, binary: &Value) {
    let photo = &mut paths[format!("{photos}/{{row}}/file")]["get"];
    photo["responses"]["200"]["content"] = pictures.clone();
    let thumbnail = &mut paths[format!("{photos}/{{row}}/thumbnail")]["get"];
    thumbnail["responses"]["200"]["content"] = json!({"image/jpeg": binary});
}

/// Finishes the document that was gathered from the handlers.
pub(super) fn finish(document: &mut Value) {
    let schemas = document["components"]["schemas"].clone();
    flatten(&mut document["components"]["schemas"], &schemas);
    document["components"]["parameters"] = parameters();
    document["components"]["headers"] = headers();
    document["components"]["schemas"]["TermsDocument"] = terms_document();
    let binary = json!({"schema": {"type": "string", "format": "binary"}});
    let pictures = json!({"image/jpeg": binary, "image/png": binary});
    let paths = &mut document["paths"];
    picture(paths, "/v1/tasks/{id}/photos", &pictures, &binary);
    for photos in ["/v1/jobs/{id}/photos", "/v1/visits/{id}/photos"] {
        paths[photos]["post"]["requestBody"] = json!({"required": true, "description": "The picture itself, of at most 15 MiB.", "content": pictures});
        picture(paths, photos, &pictures, &binary);
    }
    for route in
        ROUTES.iter().filter(|route| route.path.rsplit_once('.').is_some_and(|(_, kind)| kind == "pdf"))
    {
        paths[route.path]["get"]["responses"]["200"]["content"] = json!({"application/pdf": binary});
    }
    document["components"]["schemas"]["Valid"] = json!({
        "type": "object",
        "description": "It would have been taken; nothing was written.",
        "required": ["valid"],
        "properties": {"valid": {"type": "boolean", "description": "Always true."}},
    });
    name_calculations(&mut document["components"]["schemas"]["CalcQuestion"]);
    name_variants(&mut document["components"]["schemas"], "CalcQuestion", "calc", "Question");
    name_variants(&mut document["components"]["schemas"], "EventInput", "kind", "Event");
    let mut examples = chapters::bodies();
    let mut patches = Map::new();
    for route in ROUTES {
        let operation = &mut document["paths"][route.path][route.method.to_lowercase()];
        if operation.is_object() {
            describe(operation, route);
            if matches!(route.path, "/v1/terms" | "/v1/terms/{code}/editions/{n}") && route.method != "GET" {
                operation["requestBody"]["content"]["application/json"]["schema"] =
                    json!({"$ref": "#/components/schemas/TermsDocument"});
            }
            if let Some(example) = examples.remove(&(route.method, route.path)) {
                operation["requestBody"]["content"]["application/json"]["example"] = example;
            }
            let tried = operation["parameters"]
                .as_array()
                .is_some_and(|listed| listed.iter().any(|parameter| parameter["name"] == "validate_only"));
            let own = &operation["responses"]["200"]["content"]["application/json"]["schema"]["$ref"];
            if tried && !own.is_string() {
                operation["responses"]["200"]["content"]["application/json"]["schema"] =
                    json!({"$ref": "#/components/schemas/Valid"});
            }
            if route.method == "PATCH" {
                patches.extend(patch(operation, &schemas));
            }
        }
    }
    if let Some(schemas) = document["components"]["schemas"].as_object_mut() {
        schemas.extend(patches);
    }
}

/// An answer that is an input and something besides is one object; as `allOf` of the two it could never be valid,
/// since inputs refuse members that they do not know.
fn flatten(schema: &mut Value, schemas: &Value) {
    match schema {
        Value::Object(members) => members.values_mut().for_each(|member| flatten(member, schemas)),
        Value::Array(items) => items.iter_mut().for_each(|item| flatten(item, schemas)),
        _ => {}
    }
    let Some(parts) = schema.get("allOf").and_then(Value::as_array).cloned() else { return };
    let (mut properties, mut required) = (Map::new(), Vec::new());
    for part in parts {
        let mut part = named(&part, schemas).unwrap_or(&part).clone();
        flatten(&mut part, schemas);
        properties.extend(part["properties"].as_object().cloned().unwrap_or_default());
        required.extend(part["required"].as_array().cloned().unwrap_or_default());
    }
    let description = schema.get("description").cloned();
    *schema = json!({"type": "object", "required": required, "properties": properties});
    if let (Some(description), Some(members)) = (description, schema.as_object_mut()) {
        members.insert("description".into(), description);
    }
}

/// The word by which a question names its calculation; the derived schema has the name of the variant.
fn name_calculations(question: &mut Value) {
    let variants = question["oneOf"].as_array_mut().into_iter().flatten();
    for (variant, name) in variants.zip(Question::NAMES) {
        variant["properties"]["calc"] = json!({"type": "string", "enum": [name]});
    }
}

/// Gives each alternative of `name`, told apart by the word in `member`, a schema of its own: generated clients then
/// have a type for each.
fn name_variants(schemas: &mut Value, name: &str, member: &str, suffix: &str) {
    let mut mapping = Map::new();
    let mut named = Map::new();
    for variant in schemas[name]["oneOf"].as_array_mut().into_iter().flatten() {
        let Some(word) = variant["properties"][member]["enum"][0].as_str().map(str::to_owned) else {
            continue;
        };
        let parts = word.split('_').map(|part| {
            let (first, rest) = part.split_at(part.len().min(1));
            format!("{}{rest}", first.to_uppercase())
        });
        let own = format!("{}{suffix}", parts.collect::<String>());
        variant["additionalProperties"] = false.into();
        let reference = format!("#/components/schemas/{own}");
        mapping.insert(word, reference.clone().into());
        named.insert(own, std::mem::replace(variant, json!({"$ref": reference})));
    }
    schemas[name]["discriminator"] = json!({"propertyName": member, "mapping": mapping});
    if let Some(schemas) = schemas.as_object_mut() {
        schemas.extend(named);
    }
}

/// The schema that a reference names.
fn named<'s>(reference: &Value, schemas: &'s Value) -> Option<&'s Value> {
    let name = reference["$ref"].as_str()?.rsplit('/').next()?;
    schemas.get(name)
}

fn parameters() -> Value {
    let key = format!(
        "What the client calls this request. The same request again under the same key, within {HOURS} hours, does \
         nothing and is given the same answer; another request under the same key is refused with \
         `idempotency_key_reused`. Only answers of success are kept."
    );
    json!({
        "IdempotencyKey": {
            "name": once::NAME, "in": "header", "required": false, "description": key,
            "schema": {"type": "string", "minLength": 1, "maxLength": once::LONGEST, "pattern": "^[!-~]+$",
                       "examples": ["7b0c2d1e-5d0a-4f0e-9c39-6f2f0a8f3b11"]},
        },
        "IfMatch": {
            "name": "If-Match", "in": "header", "required": true,
            "description": "The ETag of what is to be changed, as it was last read. Without it 428; where it has \
                            changed in between, 412.",
            "schema": {"type": "string", "examples": ["\"1\""]},
        },
        "IfNoneMatch": {
            "name": "If-None-Match", "in": "header", "required": false,
            "description": "ETags that the client has already: 304 where one of them is the present one.",
            "schema": {"type": "string", "examples": ["\"1\""]},
        },
    })
}

fn headers() -> Value {
    json!({
        "ETag": {"description": "The version of what is answered: for `If-Match` and `If-None-Match`.",
                 "schema": {"type": "string"}, "example": "\"1\""},
        "Location": {"description": "Where the new thing is.", "schema": {"type": "string"},
                     "example": "/v1/customers/01980d1e-7b2c-7c11-8a54-3d1f0c9e4a77"},
        "RateLimit": {"description": "What is left of each limit: `r` requests, and all of them again in `t` seconds.",
                      "schema": {"type": "string"}, "example": "\"address\";r=59999;t=1, \"account\";r=59999;t=1"},
        "RateLimit-Policy": {"description": "The limits: `q` requests in `w` seconds.", "schema": {"type": "string"},
                             "example": "\"address\";q=60000;w=60, \"account\";q=60000;w=60"},
        "Retry-After": {"description": "Seconds to wait before the next attempt.",
                        "schema": {"type": "integer", "minimum": 0}, "example": 1},
        "X-Request-Id": {"description": "Under which the log tells of the request.",
                         "schema": {"type": "string", "format": "uuid"}},
    })
}

fn describe(operation: &mut Value, route: &Route) {
    let sessions = route.path.starts_with("/v1/sessions");
    let single = route.method == "GET"
        && route.path.starts_with("/v1")
        && (["}", "/file", "/thumbnail"].iter().any(|end| route.path.ends_with(end))
            || route.path == "/v1/shop");
    let shared = match route.method {
        "POST" if route.access != Access::Public => Some("IdempotencyKey"),
        "PATCH" | "PUT" | "DELETE" if !sessions => Some("IfMatch"),
        "GET" if single => Some("IfNoneMatch"),
        _ => None,
    };
    let mut listed = operation["parameters"].as_array().cloned().unwrap_or_default();
    listed.iter_mut().for_each(|parameter| explain(parameter, route));
    listed.extend(shared.map(|name| json!({"$ref": format!("#/components/parameters/{name}")})));
    if !listed.is_empty() {
        operation["parameters"] = Value::Array(listed);
    }
    if single {
        operation["responses"]["304"] = json!({"description": "The client has the present version already."});
    }
    let Some(responses) = operation["responses"].as_object_mut() else { return };
    for (status, response) in responses {
        // What every problem document has is described once, with its schema.
        if !matches!(status.as_bytes(), [b'2' | b'3', ..] | b"429" | b"503") {
            continue;
        }
        let mut names = vec!["X-Request-Id", "RateLimit", "RateLimit-Policy"];
        match status.as_str() {
            "201" if !WITHOUT_ADDRESS.contains(&route.path) => names.extend(["ETag", "Location"]),
            "200" if single || matches!(route.method, "PATCH" | "PUT") => names.push("ETag"),
            "304" => names.push("ETag"),
            "429" | "503" => names.push("Retry-After"),
            _ => {}
        }
        let headers = names.into_iter().map(|name| {
            let header = json!({"$ref": format!("#/components/headers/{name}")});
            (name.to_owned(), header)
        });
        response["headers"] = headers.collect::<Map<_, _>>().into();
    }
}

/// Says what a parameter of this name means everywhere, unless the handler says something of its own.
fn explain(parameter: &mut Value, route: &Route) {
    let noun = route.path.split('/').nth(2).unwrap_or_default();
    let in_path = parameter["in"] == "path";
    let numbered = matches!(noun, "jobs" | "warranties");
    let (description, schema) = match parameter["name"].as_str() {
        Some("limit") => (
            format!("How many items a page has at most; {USUAL} unless given."),
            json!({"default": USUAL, "maximum": MOST}),
        ),
        Some("cursor") => {
            ("`next` of the page before, asked for with the same filters.".to_owned(), json!({}))
        }
        Some("validate_only") => {
            let tried =
                "Checks everything and writes nothing: 200 with `valid`, or the refusal of the real call.";
            (tried.to_owned(), json!({"default": false}))
        }
        Some("id") if numbered => (
            format!("Id or number of one of the {noun}."),
            json!({"examples": [if noun == "jobs" { "J-2026-0042" } else { "W-2026-0042" }]}),
        ),
        Some("id") => (format!("Id of one of the {noun}."), json!({})),
        Some("row") => {
            (format!("Id of one of the {}.", route.path.split('/').nth(4).unwrap_or_default()), json!({}))
        }
        Some("n") => ("Number of the edition.".to_owned(), json!({"minimum": 1})),
        Some("code") if in_path => (format!("Code of the {noun}."), json!({"minLength": 1})),
        Some("state") => (format!("Only {noun} in this state."), json!({})),
        Some("vehicle_id") => (format!("Only {noun} of this vehicle."), json!({})),
        Some(name) => (format!("Only {noun} with this {}.", name.replace('_', " ")), json!({})),
        None => return,
    };
    if parameter["description"].is_null() {
        parameter["description"] = description.into();
    }
    if parameter["schema"]["$ref"].is_null()
        && let (Some(given), Some(more)) = (parameter["schema"].as_object_mut(), schema.as_object())
    {
        given.extend(more.clone());
    }
}

/// What any object needs to be taken as a draft; all else that is wrong with it is told as a fault of the draft.
fn terms_document() -> Value {
    json!({
        "type": "object",
        "description": "Terms as people write them. Whatever is wrong with them besides these two members is answered as \
                        a fault of the draft.",
        "required": ["code", "edition"],
        "properties": {
            "code": {"type": "string", "description": "What the terms are called.", "examples": ["two-coat-five"]},
            "edition": {"type": "integer", "minimum": 1, "description": "The last edition plus 1."},
        },
    })
}

/// Describes a merge patch (RFC 7396) of what the handler takes: nothing is needed, and what can be absent can be
/// cleared with null.
fn patch(operation: &mut Value, schemas: &Value) -> Option<(String, Value)> {
    let body = &mut operation["requestBody"]["content"]["application/json"]["schema"];
    let whole = named(body, schemas)?.clone();
    let name = format!("{}Patch", body["$ref"].as_str()?.rsplit('/').next()?.trim_end_matches("Input"));
    let needed = whole["required"].as_array().cloned().unwrap_or_default();
    let members = whole["properties"].as_object()?.iter().map(|(member, schema)| {
        let cleared = !needed.contains(&json!(member)) && !nullable(schema);
        let mut schema = schema.clone();
        if cleared {
            let description = schema.as_object_mut().and_then(|members| members.remove("description"));
            schema = json!({"oneOf": [schema, {"type": "null"}]});
            if let Some(description) = description {
                schema["description"] = description;
            }
        }
        (member.clone(), schema)
    });
    let patch = json!({
        "type": "object",
        "description": "A merge patch (RFC 7396): what is absent stays, null clears.",
        "additionalProperties": false,
        "properties": members.collect::<Map<_, _>>(),
    });
    *body = json!({"$ref": format!("#/components/schemas/{name}")});
    // An absent body is the patch that changes nothing.
    operation["requestBody"]["required"] = false.into();
    Some((name, patch))
}

fn nullable(schema: &Value) -> bool {
    let null = |schema: &Value| match &schema["type"] {
        Value::Array(types) => types.contains(&json!("null")),
        one => one == "null",
    };
    null(schema) || schema["oneOf"].as_array().is_some_and(|of| of.iter().any(null))
}
