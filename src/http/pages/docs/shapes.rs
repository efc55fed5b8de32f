//! Schemas of the document in words: what a value is, which ranges it has, and what it consists of.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use crate::http::pages::words::{Line, Span, line, paragraphs};

/// Words of an enumeration that are said on the spot; more of them stand by themselves.
const FEW: usize = 8;

/// One member of an object.
#[derive(Debug, Clone)]
pub(super) struct Member {
    pub(super) name: String,
    pub(super) needed: bool,
    pub(super) kind: Line,
    pub(super) about: Vec<Line>,
}

/// One of several sorts of object.
#[derive(Debug, Clone)]
pub(super) struct Variant {
    pub(super) about: Vec<Line>,
    pub(super) members: Vec<Member>,
}

/// A schema that stands by itself.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub(super) name: String,
    pub(super) about: Vec<Line>,
    pub(super) members: Vec<Member>,
    pub(super) words: Line,
    pub(super) variants: Vec<Variant>,
}

/// All schemas of the document.
pub(super) struct Shapes<'d> {
    schemas: &'d Value,
}

/// What a value of this schema can be besides null, and whether it can be null.
fn without_null(schema: &Value) -> (Vec<&Value>, bool) {
    match ["oneOf", "anyOf"].iter().find_map(|word| schema[*word].as_array()) {
        Some(several) => {
            let (null, other): (Vec<_>, Vec<_>) = several.iter().partition(|one| one["type"] == "null");
            (other, !null.is_empty())
        }
        None => {
            let null = schema["type"].as_array().is_some_and(|types| types.iter().any(|one| one == "null"));
            (vec![schema], null)
        }
    }
}

fn type_of(schema: &Value) -> &str {
    match &schema["type"] {
        Value::Array(types) => types.iter().filter_map(Value::as_str).find(|one| *one != "null"),
        one => one.as_str(),
    }
    .unwrap_or_default()
}

/// "1 to 60", "1 or more", "at most 60".
fn range(schema: &Value, least: &str, most: &str, usual: u64) -> Option<String> {
    let number = |name: &str| schema.get(name).filter(|limit| limit.is_number());
    let above = schema.get("exclusiveMinimum").filter(|_| least == "minimum");
    match (number(least), number(most), above) {
        (_, Some(most), Some(above)) => Some(format!("above {above}, at most {most}")),
        (_, None, Some(above)) => Some(format!("above {above}")),
        (Some(least), Some(most), None) if least == most => Some(format!("{least}")),
        (Some(least), Some(most), None) => Some(format!("{least} to {most}")),
        (Some(least), None, None) if least.as_u64() == Some(usual) && usual > 0 => None,
        (Some(least), None, None) => Some(format!("{least} or more")),
        (None, Some(most), None) => Some(format!("at most {most}")),
        (None, None, None) => None,
    }
}

impl<'d> Shapes<'d> {
    pub(super) fn of(document: &'d Value) -> Self {
        Self { schemas: &document["components"]["schemas"] }
    }

    /// The schema that is meant, and its name where it has one.
    pub(super) fn meant<'s>(&'s self, schema: &'s Value) -> (&'s Value, Option<&'s str>) {
        match schema["$ref"].as_str().and_then(|path| path.rsplit('/').next()) {
            Some(name) => (&self.schemas[name], Some(name)),
            None => (schema, None),
        }
    }

    /// Whether a schema is said in a few words wherever it is used.
    fn is_plain(schema: &Value) -> bool {
        let words = schema["enum"].as_array().map_or(0, Vec::len);
        let long = schema["pattern"].as_str().is_some_and(|pattern| pattern.len() > 60);
        type_of(schema) != "object" && words <= FEW && !long && without_null(schema).0.len() == 1
    }

    /// What a value is, in words; schemas that stand by themselves are noted in `used`.
    pub(super) fn kind(&self, schema: &Value, used: &mut BTreeSet<String>) -> Line {
        let (parts, null) = without_null(schema);
        let mut words = Line::new();
        for (i, part) in parts.iter().enumerate() {
            if i > 0 {
                words.push(Span::plain(" or "));
            }
            words.extend(self.one_kind(part, used));
        }
        if null {
            words.push(Span::plain(", or null"));
        }
        if let Some(usual) = schema.get("default") {
            words.push(Span::plain("; "));
            words.push(Span::code(usual.to_string()));
            words.push(Span::plain(" unless given"));
        }
        words
    }

    fn one_kind(&self, schema: &Value, used: &mut BTreeSet<String>) -> Line {
        let (meant, name) = self.meant(schema);
        if let Some(name) = name {
            if Self::is_plain(meant) {
                return self.one_kind(meant, used);
            }
            used.insert(name.to_owned());
            return vec![Span::link(name, format!("#shape-{name}"))];
        }
        if let Some(words) = schema["enum"].as_array() {
            return one_of(words.iter().filter_map(Value::as_str));
        }
        match type_of(schema) {
            "string" => text(schema),
            "integer" => number("whole number", schema),
            "number" => number("number", schema),
            "boolean" => vec![Span::code("true"), Span::plain(" or "), Span::code("false")],
            "array" => {
                let many = range(schema, "minItems", "maxItems", 0);
                let mut words = vec![Span::plain(match many {
                    Some(many) => format!("list of {many}: "),
                    None => "list of ".to_owned(),
                })];
                words.extend(self.kind(&schema["items"], used));
                words
            }
            _ if schema["additionalProperties"].is_object() => {
                let mut words = vec![Span::plain("object: by name, ")];
                words.extend(self.kind(&schema["additionalProperties"], used));
                words
            }
            _ => vec![Span::plain("object")],
        }
    }

    /// What an object consists of. Only of what is asked for is it said that it is needed.
    pub(super) fn members(&self, schema: &Value, asked: bool, used: &mut BTreeSet<String>) -> Vec<Member> {
        let required = schema["required"].as_array().map_or(&[][..], Vec::as_slice);
        let needed = |name: &String| asked && required.iter().any(|one| one == name);
        let mut members: Vec<Member> = schema["properties"]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(name, member)| Member {
                name: name.clone(),
                needed: needed(name),
                kind: self.kind(member, used),
                about: about(member),
            })
            .collect();
        // What is needed comes first; the rest keeps its order.
        members.sort_by_key(|member| !member.needed);
        members
    }

    /// The sorts of object that a schema lets one choose from.
    pub(super) fn variants(&self, schema: &Value, asked: bool, used: &mut BTreeSet<String>) -> Vec<Variant> {
        let (parts, _) = without_null(schema);
        if parts.len() < 2 {
            return Vec::new();
        }
        let mut variants = Vec::new();
        for part in parts {
            let (meant, _) = self.meant(part);
            let said = if part["description"].is_string() { part } else { meant };
            let members =
                if type_of(meant) == "object" { self.members(meant, asked, used) } else { Vec::new() };
            let mut about = about(said);
            if members.is_empty() {
                about.push(self.one_kind(part, used));
            }
            variants.push(Variant { about, members });
        }
        variants
    }

    /// Everything that was noted, and what it consists of in turn.
    pub(super) fn all(&self, used: BTreeSet<String>) -> Vec<Shape> {
        let mut waiting: Vec<String> = used.into_iter().collect();
        let mut shapes: BTreeMap<String, Shape> = BTreeMap::new();
        while let Some(name) = waiting.pop() {
            if shapes.contains_key(&name) {
                continue;
            }
            let mut more = BTreeSet::new();
            let schema = &self.schemas[&name];
            // What comes in refuses members that it does not know; what goes out says nothing of that.
            let asked = schema["additionalProperties"] == false;
            let shape = Shape {
                about: about(schema),
                members: self.members(schema, asked, &mut more),
                words: words(schema),
                variants: self.variants(schema, asked, &mut more),
                name: name.clone(),
            };
            waiting.extend(more);
            shapes.insert(name, shape);
        }
        shapes.into_values().collect()
    }
}

/// What is said of a member: by itself, or by what it refers to.
fn about(schema: &Value) -> Vec<Line> {
    let (parts, _) = without_null(schema);
    let of_parts = || parts.iter().find_map(|part| part["description"].as_str());
    let text = schema["description"].as_str().or_else(of_parts).unwrap_or_default();
    paragraphs(text)
}

/// The words of an enumeration, or of a pattern that is one.
fn words(schema: &Value) -> Line {
    if let Some(words) = schema["enum"].as_array() {
        return one_of(words.iter().filter_map(Value::as_str));
    }
    let pattern = schema["pattern"].as_str().unwrap_or_default();
    match pattern.strip_prefix("^(").and_then(|rest| rest.strip_suffix(")$")) {
        Some(alternatives) => one_of(alternatives.split('|')),
        None => Line::new(),
    }
}

fn one_of<'w>(words: impl Iterator<Item = &'w str>) -> Line {
    let mut line = Line::new();
    for word in words {
        if !line.is_empty() {
            line.push(Span::plain(", "));
        }
        // Whatever follows a colon is any text.
        match word.split_once(":[") {
            Some((before, _)) => {
                line.push(Span::code(format!("{before}:")));
                line.push(Span::plain(" and a text of your own"));
            }
            None => line.push(Span::code(word)),
        }
    }
    line
}

fn text(schema: &Value) -> Line {
    let known = match schema["format"].as_str() {
        Some("date") => Some("day, `2026-03-10`"),
        Some("date-time") => Some("instant, `2026-03-10T09:30:00+01:00`"),
        Some("uuid") => Some("id"),
        _ => None,
    };
    if let Some(known) = known {
        return line(known);
    }
    let mut words = match range(schema, "minLength", "maxLength", 1) {
        Some(length) => vec![Span::plain(format!("text of {length} characters"))],
        None => vec![Span::plain("text")],
    };
    if let Some(pattern) = schema["pattern"].as_str() {
        words.push(Span::plain(" like "));
        words.push(Span::code(pattern));
    }
    words
}

fn number(what: &str, schema: &Value) -> Line {
    let range = range(schema, "minimum", "maximum", u64::MAX);
    vec![Span::plain(range.map_or_else(|| what.to_owned(), |range| format!("{what}, {range}")))]
}

/// Members of a free object have no schema.
pub(super) fn is_free(schema: &Value) -> bool {
    schema["properties"].as_object().is_none_or(Map::is_empty)
}
