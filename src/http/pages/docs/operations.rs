//! What the document says of one operation, as the page tells it.

use std::collections::BTreeSet;

use serde_json::Value;

use super::shapes::{Member, Shapes, Variant, is_free};
use crate::core::access::may;
use crate::core::words::Role;
use crate::http::Route;
use crate::http::auth::Access;
use crate::http::pages::words::{Line, Span, line, paragraphs};

/// Statuses that any call can be answered with; they are told once, among the rules.
const COMMON: &[&str] = &["400", "403", "406", "408", "413", "415", "429", "500", "503"];

/// What goes into a request.
#[derive(Debug)]
pub(super) struct Sent {
    /// `application/json`, unless said otherwise.
    pub(super) kind: String,
    pub(super) about: Vec<Line>,
    pub(super) needed: bool,
    pub(super) members: Vec<Member>,
    pub(super) variants: Vec<Variant>,
}

/// An operation.
#[derive(Debug)]
pub(super) struct Operation {
    pub(super) method: &'static str,
    pub(super) path: &'static str,
    /// The path in stretches: fixed ones, and variables.
    pub(super) steps: Vec<(String, bool)>,
    pub(super) summary: String,
    pub(super) about: Vec<Line>,
    pub(super) who: &'static str,
    pub(super) parameters: Vec<(&'static str, Vec<Member>)>,
    pub(super) sent: Vec<Sent>,
    /// Status, and what is answered with it.
    pub(super) answers: Vec<(String, Line)>,
    /// Status, and codes of problems.
    pub(super) problems: Vec<(String, Line)>,
}

impl Operation {
    pub(super) fn of(
        route: &'static Route,
        document: &Value,
        shapes: &Shapes,
        used: &mut BTreeSet<String>,
    ) -> Self {
        let operation = &document["paths"][route.path][route.method.to_lowercase()];
        Self {
            method: route.method,
            path: route.path,
            steps: steps(route.path),
            summary: operation["summary"]
                .as_str()
                .unwrap_or_default()
                .trim_end_matches('.')
                .replace('\n', " "),
            about: paragraphs(operation["description"].as_str().unwrap_or_default()),
            who: who(route.access),
            parameters: parameters(operation, document, shapes, used),
            sent: sent(operation, shapes, used),
            answers: answers(operation, shapes, used),
            problems: problems(operation),
        }
    }
}

fn steps(path: &str) -> Vec<(String, bool)> {
    let parts = path.split_inclusive('}').flat_map(|part| match part.split_once('{') {
        Some((fixed, variable)) => {
            vec![(fixed.to_owned(), false), (format!("{{{variable}"), true)]
        }
        None => vec![(part.to_owned(), false)],
    });
    parts.collect()
}

/// Who may call it, in words.
pub(crate) fn who(access: Access) -> &'static str {
    match access {
        Access::Public => "Anybody",
        Access::Member(action) => {
            let may = |role| may(role, action);
            match (may(Role::Technician), may(Role::Desk)) {
                (true, true) => "Every role",
                (false, true) => "Desk and manager",
                (true, false) => "Technician and manager",
                (false, false) => "Manager",
            }
        }
    }
}

fn parameters(
    operation: &Value,
    document: &Value,
    shapes: &Shapes,
    used: &mut BTreeSet<String>,
) -> Vec<(&'static str, Vec<Member>)> {
    let listed = operation["parameters"].as_array().map_or(&[][..], Vec::as_slice);
    let meant: Vec<&Value> = listed
        .iter()
        .map(|one| match one["$ref"].as_str() {
            Some(path) => document.pointer(path.trim_start_matches('#')).unwrap_or(one),
            None => one,
        })
        .collect();
    let mut found = Vec::new();
    for (place, title) in [("path", "In the path"), ("query", "In the query"), ("header", "Headers")] {
        let members: Vec<Member> = meant
            .iter()
            .filter(|one| one["in"] == place)
            .map(|one| Member {
                name: one["name"].as_str().unwrap_or_default().to_owned(),
                needed: one["required"] == true,
                kind: shapes.kind(&one["schema"], used),
                about: paragraphs(one["description"].as_str().unwrap_or_default()),
            })
            .collect();
        if !members.is_empty() {
            found.push((title, members));
        }
    }
    found
}

fn sent(operation: &Value, shapes: &Shapes, used: &mut BTreeSet<String>) -> Vec<Sent> {
    let body = &operation["requestBody"];
    let kinds = body["content"].as_object().into_iter().flatten();
    kinds
        .map(|(kind, content)| {
            let (schema, _) = shapes.meant(&content["schema"]);
            let mut about = paragraphs(schema["description"].as_str().unwrap_or_default());
            let variants = shapes.variants(schema, true, used);
            if is_free(schema) && variants.is_empty() {
                about.extend(paragraphs(body["description"].as_str().unwrap_or_default()));
            }
            Sent {
                kind: kind.clone(),
                about,
                needed: body["required"] == true,
                members: shapes.members(schema, true, used),
                variants,
            }
        })
        .collect()
}

fn answers(operation: &Value, shapes: &Shapes, used: &mut BTreeSet<String>) -> Vec<(String, Line)> {
    let responses = operation["responses"].as_object().into_iter().flatten();
    let well = responses.filter(|(status, _)| status.starts_with(['2', '3']));
    well.map(|(status, response)| {
        let mut words = line(response["description"].as_str().unwrap_or_default());
        for (kind, content) in response["content"].as_object().into_iter().flatten() {
            words.push(Span::plain(" "));
            if kind == "application/json" {
                words.extend(shapes.kind(&content["schema"], used));
            } else {
                words.push(Span::code(kind));
            }
        }
        (status.clone(), words)
    })
    .collect()
}

/// Problems that are this operation's own.
fn problems(operation: &Value) -> Vec<(String, Line)> {
    let responses = operation["responses"].as_object().into_iter().flatten();
    let own = responses.filter(|(status, _)| status.starts_with('4') && !COMMON.contains(&status.as_str()));
    own.filter_map(|(status, response)| {
        let codes = response["description"].as_str()?.strip_prefix("Problem: ")?;
        let mut words = Line::new();
        for code in codes.split(", ").filter(|code| !code.contains(' ') && *code != "not_signed_in") {
            if !words.is_empty() {
                words.push(Span::plain(", "));
            }
            words.push(Span::link(code, format!("/docs/rules#{code}")));
        }
        (!words.is_empty()).then(|| (status.clone(), words))
    })
    .collect()
}
