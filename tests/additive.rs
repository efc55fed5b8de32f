//! The document of the interface only grows: whoever wrote against an earlier one goes on working.
//!
//! `tests/data/openapi.json` is what others have written against. It is replaced when a version is released, and
//! never to make this test pass.

use std::collections::BTreeSet;

use serde_json::{Value, json};

/// Which way a value goes. What is asked of a client must not become more; what it is told must not become less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    In,
    Out,
}

/// Two documents side by side, and what is no longer so in the second.
struct Comparison<'d> {
    before: &'d Value,
    now: &'d Value,
    /// Pairs of named schemas that have been looked at, each way.
    seen: BTreeSet<(String, String, Way)>,
    broken: Vec<String>,
}

const METHODS: [&str; 5] = ["get", "post", "put", "patch", "delete"];

/// Answers that a body of another media type brought a second shape: whoever sends what was sent before gets the first.
const BY_BODY: [&str; 1] = ["POST /v1/jobs/{id}/climate 201"];

/// Limits from below and from above.
const LOWER: [&str; 4] = ["minimum", "exclusiveMinimum", "minLength", "minItems"];
const UPPER: [&str; 4] = ["maximum", "exclusiveMaximum", "maxLength", "maxItems"];

fn members(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

fn items(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// What a schema, parameter or response stands for, and the name it has in the document.
fn resolved<'d>(document: &'d Value, value: &'d Value) -> (&'d Value, String) {
    match value["$ref"].as_str() {
        Some(path) => {
            let there = document.pointer(path.trim_start_matches('#'));
            (there.unwrap_or_else(|| panic!("{path} is nowhere")), path.to_owned())
        }
        None => (value, String::new()),
    }
}

/// The words of `type`, a whole number being a number, too.
fn types(schema: &Value) -> BTreeSet<&str> {
    match &schema["type"] {
        Value::String(one) => BTreeSet::from([one.as_str()]),
        Value::Array(several) => several.iter().filter_map(Value::as_str).collect(),
        _ => BTreeSet::new(),
    }
}

fn texts(list: &Value) -> BTreeSet<String> {
    items(list).iter().map(ToString::to_string).collect()
}

fn variants(schema: &Value) -> &[Value] {
    ["oneOf", "anyOf"].iter().map(|word| items(&schema[word])).find(|list| !list.is_empty()).unwrap_or(&[])
}

impl<'d> Comparison<'d> {
    fn of(before: &'d Value, now: &'d Value) -> Vec<String> {
        let mut comparison = Self { before, now, seen: BTreeSet::new(), broken: Vec::new() };
        for (path, item) in members(&before["paths"]) {
            for method in METHODS.iter().filter(|method| item[**method].is_object()) {
                let what = format!("{} {path}", method.to_uppercase());
                let operation = &now["paths"][path][method];
                if operation.is_object() {
                    comparison.operation(&what, &item[method], operation);
                } else {
                    comparison.breaks(&what, "is gone");
                }
            }
        }
        comparison.broken
    }

    fn breaks(&mut self, what: &str, how: impl std::fmt::Display) {
        self.broken.push(format!("{what} {how}"));
    }

    fn operation(&mut self, what: &str, before: &'d Value, now: &'d Value) {
        if before["operationId"] != now["operationId"] {
            self.breaks(what, "has another operationId");
        }
        let parameters = |document: &'d Value, operation: &'d Value| {
            items(&operation["parameters"]).iter().map(|one| resolved(document, one).0).collect::<Vec<_>>()
        };
        let (old, new) = (parameters(self.before, before), parameters(self.now, now));
        let same = |a: &Value, b: &Value| a["name"] == b["name"] && a["in"] == b["in"];
        for parameter in &old {
            let what = format!("{what} parameter {}", parameter["name"]);
            match new.iter().find(|other| same(parameter, other)) {
                Some(other) => self.schema(&what, &parameter["schema"], &other["schema"], Way::In),
                None => self.breaks(&what, "is gone"),
            }
        }
        for parameter in new.iter().filter(|parameter| parameter["required"] == true) {
            if !old.iter().any(|other| same(parameter, other) && other["required"] == true) {
                self.breaks(what, format!("now needs the parameter {}", parameter["name"]));
            }
        }
        let (asked, asks) = (&before["requestBody"], &now["requestBody"]);
        if asks["required"] == true && asked["required"] != true {
            self.breaks(what, "now needs a body");
        }
        self.contents(&format!("{what} body"), asked, asks, Way::In);
        for (status, answer) in members(&before["responses"]) {
            let what = format!("{what} {status}");
            let there = &now["responses"][status];
            if there.is_null() {
                self.breaks(&what, "is gone");
                continue;
            }
            let (answer, there) = (resolved(self.before, answer).0, resolved(self.now, there).0);
            for (header, _) in members(&answer["headers"]) {
                if there["headers"][header].is_null() {
                    self.breaks(&what, format!("has no header {header} any more"));
                }
            }
            self.contents(&what, answer, there, Way::Out);
        }
    }

    fn contents(&mut self, what: &str, before: &'d Value, now: &'d Value, way: Way) {
        for (kind, content) in members(&before["content"]) {
            let there = &now["content"][kind];
            if there.is_null() {
                self.breaks(what, format!("is no {kind} any more"));
            } else {
                self.schema(what, &content["schema"], &there["schema"], way);
            }
        }
    }

    fn schema(&mut self, what: &str, before: &'d Value, now: &'d Value, way: Way) {
        let ((before, old), (mut now, mut new)) = (resolved(self.before, before), resolved(self.now, now));
        if BY_BODY.contains(&what) && variants(before).is_empty() {
            let same = variants(now).iter().find(|variant| variant["$ref"] == old);
            (now, new) = resolved(self.now, same.unwrap_or(&Value::Null));
        }
        if !old.is_empty() && !new.is_empty() && !self.seen.insert((old, new, way)) {
            return;
        }
        self.types(what, before, now, way);
        self.words(what, before, now, way);
        self.limits(what, before, now, way);
        for (name, member) in members(&before["properties"]) {
            let there = &now["properties"][name];
            let what = format!("{what}/{name}");
            if there.is_null() {
                self.breaks(&what, "is gone");
            } else {
                self.schema(&what, member, there, way);
            }
        }
        let (must, must_now) = (texts(&before["required"]), texts(&now["required"]));
        match way {
            Way::In => {
                must_now.difference(&must).for_each(|name| self.breaks(what, format!("now needs {name}")));
            }
            Way::Out => {
                must.difference(&must_now).for_each(|name| self.breaks(what, format!("may now lack {name}")));
            }
        }
        if way == Way::In && now["additionalProperties"] == false && before["additionalProperties"] != false {
            self.breaks(what, "now takes no further members");
        }
        if before["items"].is_object() {
            self.schema(&format!("{what}/*"), &before["items"], &now["items"], way);
        }
        if before["additionalProperties"].is_object() {
            let further = &now["additionalProperties"];
            self.schema(&format!("{what}/*"), &before["additionalProperties"], further, way);
        }
        self.variants(what, before, now, way);
    }

    fn types(&mut self, what: &str, before: &Value, now: &Value, way: Way) {
        let (old, new) = (types(before), types(now));
        let fits = |one: &str, among: &BTreeSet<&str>| {
            among.is_empty() || among.contains(one) || (one == "integer" && among.contains("number"))
        };
        let (narrow, wide) = if way == Way::In { (&old, &new) } else { (&new, &old) };
        let astray: Vec<&str> = narrow.iter().filter(|one| !fits(one, wide)).copied().collect();
        if !astray.is_empty() || (narrow.is_empty() && !wide.is_empty() && variants(now).is_empty()) {
            self.breaks(what, format!("was of type {old:?} and is of type {new:?}"));
        }
    }

    /// Words go in one by one; readers are told to expect new ones.
    fn words(&mut self, what: &str, before: &Value, now: &Value, way: Way) {
        let (old, new) = (texts(&before["enum"]), texts(&now["enum"]));
        if old.is_empty() && way == Way::In && !new.is_empty() {
            self.breaks(what, "is now one of a few words");
        }
        if !old.is_empty() && !new.is_empty() {
            old.difference(&new)
                .for_each(|word| self.breaks(what, format!("no longer knows the word {word}")));
        }
        if !old.is_empty() && new.is_empty() && way == Way::Out {
            self.breaks(what, "is no longer one of a few words");
        }
    }

    fn limits(&mut self, what: &str, before: &Value, now: &Value, way: Way) {
        if way == Way::Out {
            return;
        }
        let mut stricter = |name: &str, is: fn(f64, f64) -> bool| {
            let Some(limit) = now[name].as_f64() else { return };
            if before[name].as_f64().is_none_or(|old| is(limit, old)) {
                self.breaks(what, format!("has the stricter {name} {limit}"));
            }
        };
        LOWER.iter().for_each(|name| stricter(name, |new, old| new > old));
        UPPER.iter().for_each(|name| stricter(name, |new, old| new < old));
        for name in ["pattern", "format", "propertyNames"] {
            if !now[name].is_null() && now[name] != before[name] {
                self.breaks(what, format!("has another {name}"));
            }
        }
    }

    /// Each of the alternatives that there were is still there, in its place among those that are like it.
    fn variants(&mut self, what: &str, before: &'d Value, now: &'d Value, way: Way) {
        let (old, new) = (variants(before), variants(now));
        for variant in old {
            let fits = |other: &&Value| {
                let mut tried = Comparison {
                    before: self.before,
                    now: self.now,
                    seen: self.seen.clone(),
                    broken: Vec::new(),
                };
                tried.schema(what, variant, other, way);
                tried.broken.is_empty()
            };
            if !new.iter().any(|other| fits(&other)) {
                let named = variant["$ref"].as_str().map_or_else(|| variant.to_string(), str::to_owned);
                self.breaks(what, format!("has no alternative any more like {named}"));
            }
        }
        let null = |list: &[Value]| list.iter().any(|one| one["type"] == "null");
        if way == Way::Out && null(new) && !null(old) && !types(before).contains("null") {
            self.breaks(what, "may now be null");
        }
    }
}

#[test]
fn the_document_only_grows() {
    let before: Value = serde_json::from_str(include_str!("data/openapi.json")).unwrap();
    let now: Value = serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap();
    let broken = Comparison::of(&before, &now);
    assert!(
        broken.is_empty(),
        "whoever wrote against the earlier document is let down:\n{}",
        broken.join("\n")
    );
}

/// A document of one operation each way.
fn small() -> Value {
    json!({
        "paths": {"/v1/jobs": {"post": {
            "operationId": "post_v1_jobs",
            "parameters": [{"name": "q", "in": "query", "schema": {"type": "string", "maxLength": 40}}],
            "requestBody": {"content": {"application/json": {"schema": {"$ref": "#/components/schemas/Job"}}}},
            "responses": {
                "201": {"description": "", "headers": {"ETag": {}},
                        "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Job"}}}},
                "404": {"description": ""},
            },
        }}},
        "components": {"schemas": {
            "Job": {"type": "object", "required": ["state"], "properties": {
                "state": {"type": "string", "enum": ["open", "closed"]},
                "ml": {"type": ["number", "null"], "minimum": 0},
                "coats": {"type": "array", "items": {"$ref": "#/components/schemas/Coat"}},
                "by": {"oneOf": [{"$ref": "#/components/schemas/Coat"}, {"type": "null"}]},
            }},
            "Coat": {"type": "object", "additionalProperties": true, "properties": {"job": {"$ref": "#/components/schemas/Job"}}},
        }},
    })
}

#[test]
fn what_may_be_done_to_the_document() {
    let before = small();
    let changes: &[(&str, Value)] = &[
        ("/paths/~1v1~1terms", json!({"get": {"responses": {}}})),
        ("/paths/~1v1~1jobs/get", json!({"responses": {}})),
        ("/paths/~1v1~1jobs/post/responses/429", json!({"description": ""})),
        ("/components/schemas/Job/properties/colour", json!({"type": "string"})),
        ("/components/schemas/Job/properties/state/enum", json!(["open", "closed", "cancelled"])),
        ("/paths/~1v1~1jobs/post/parameters/0/schema/maxLength", json!(80)),
        ("/components/schemas/Job/properties/ml/minimum", json!(-1)),
    ];
    assert_eq!(Comparison::of(&before, &before), Vec::<String>::new());
    for (pointer, value) in changes {
        let mut now = before.clone();
        set(&mut now, pointer, value.clone());
        assert_eq!(Comparison::of(&before, &now), Vec::<String>::new(), "{pointer}");
    }
}

#[test]
fn what_must_not_be_done_to_the_document() {
    let before = small();
    let post = "/paths/~1v1~1jobs/post";
    let job = "/components/schemas/Job";
    let changes: &[(String, Value)] = &[
        ("/paths/~1v1~1jobs".into(), Value::Null),
        (post.into(), Value::Null),
        (format!("{post}/operationId"), json!("add_job")),
        (format!("{post}/parameters"), json!([])),
        (format!("{post}/parameters/0/required"), json!(true)),
        (format!("{post}/parameters/0/schema/maxLength"), json!(20)),
        (format!("{post}/parameters/0/schema/pattern"), json!("^a")),
        (format!("{post}/parameters/0/schema/enum"), json!(["a"])),
        (format!("{post}/requestBody/required"), json!(true)),
        (format!("{post}/responses/404"), Value::Null),
        (format!("{post}/responses/201/headers/ETag"), Value::Null),
        (format!("{post}/responses/201/content"), json!({"text/csv": {}})),
        (format!("{job}/required"), json!([])),
        (format!("{job}/required"), json!(["state", "ml"])),
        (format!("{job}/properties/state"), Value::Null),
        (format!("{job}/properties/state/enum"), json!(["open"])),
        (format!("{job}/properties/state/type"), json!(["string", "null"])),
        (format!("{job}/properties/ml/type"), json!("number")),
        (format!("{job}/properties/ml/minimum"), json!(1)),
        (format!("{job}/properties/coats/items"), json!({"type": "string"})),
        (format!("{job}/properties/by/oneOf"), json!([{"$ref": "#/components/schemas/Coat"}])),
        (format!("{job}/properties/coats/maxItems"), json!(3)),
        ("/components/schemas/Coat/additionalProperties".into(), json!(false)),
        ("/components/schemas/Coat/properties/job".into(), Value::Null),
    ];
    for (pointer, value) in changes {
        let mut now = before.clone();
        set(&mut now, pointer, value.clone());
        assert!(!Comparison::of(&before, &now).is_empty(), "{pointer} = {value} is not found");
    }
}

/// Puts a value at a JSON pointer; null takes away what stands there.
fn set(document: &mut Value, pointer: &str, value: Value) {
    let (parent, name) = pointer.rsplit_once('/').unwrap();
    let name = name.replace("~1", "/");
    let parent = document.pointer_mut(parent).unwrap().as_object_mut().unwrap();
    if value.is_null() { drop(parent.remove(&name)) } else { drop(parent.insert(name, value)) }
}
