//! JSON from outside: read strictly, given a type with the place of what is wrong, and merged.

use serde::de::{DeserializeOwned, DeserializeSeed, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

use crate::core::error::{Fault, escape};

/// How deep arrays and objects may stand in one another.
pub const DEEPEST: usize = 64;

/// Reads JSON text: no member twice in one object, no U+0000 anywhere, not deeper than [`DEEPEST`].
///
/// ```
/// use lustrum::core::json::read;
/// assert!(read(br#"{"a": 1}"#).is_ok());
/// assert_eq!(read(br#"{"a": 1, "a": 2}"#).unwrap_err().code, "member_twice");
/// assert_eq!(read(b"{").unwrap_err().code, "not_json");
/// ```
pub fn read(bytes: &[u8]) -> Result<Value, Fault> {
    let mut deserializer = serde_json::Deserializer::from_slice(bytes);
    let value = Strict { depth: 0 }.deserialize(&mut deserializer).and_then(|value| {
        deserializer.end()?;
        Ok(value)
    });
    value.map_err(|error| {
        let text = error.to_string();
        for (code, mark) in [("member_twice", TWICE), ("null_character", ZERO), ("too_deep", DEEP)] {
            if text.contains(mark) {
                return Fault::new("", code, text);
            }
        }
        Fault::new("", "not_json", format!("this is not JSON: {text}"))
    })
}

const TWICE: &str = "stands twice in one object";
const ZERO: &str = "the character U+0000 is not taken";
const DEEP: &str = "arrays and objects stand too deep in one another";

struct Strict {
    depth: usize,
}

impl Strict {
    fn deeper<E: serde::de::Error>(&self) -> Result<Self, E> {
        if self.depth >= DEEPEST {
            return Err(E::custom(DEEP));
        }
        Ok(Self { depth: self.depth + 1 })
    }
}

fn text<E: serde::de::Error>(text: &str) -> Result<String, E> {
    if text.contains('\0') { Err(E::custom(ZERO)) } else { Ok(text.to_owned()) }
}

impl<'de> DeserializeSeed<'de> for Strict {
    type Value = Value;

    fn deserialize<D: serde::Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict {
    type Value = Value;

    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("any JSON value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_str<E: serde::de::Error>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(text(value)?))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = seq.next_element_seed(self.deeper()?)? {
            items.push(item);
        }
        Ok(Value::Array(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        use serde::de::Error as _;
        let mut members = Map::new();
        while let Some(name) = map.next_key::<String>()? {
            let name = text::<A::Error>(&name)?;
            let value = map.next_value_seed(self.deeper()?)?;
            if members.contains_key(&name) {
                return Err(A::Error::custom(format!("the member `{name}` {TWICE}")));
            }
            members.insert(name, value);
        }
        Ok(Value::Object(members))
    }
}

/// Gives a JSON object its type. A null is as absent; an unknown member, a missing one or a wrong type is told with
/// its place.
///
/// ```
/// #[derive(serde::Deserialize)]
/// #[serde(deny_unknown_fields)]
/// struct Reading { air_c: f64, surface_c: Option<f64> }
///
/// let read = |value| lustrum::core::json::typed::<Reading>(value);
/// assert_eq!(read(serde_json::json!({"air_c": 20.5, "surface_c": null})).unwrap().air_c, 20.5);
/// assert_eq!(read(serde_json::json!({"surface_c": 1})).err().unwrap().pointer, "/air_c");
/// assert_eq!(read(serde_json::json!({"air_c": "warm"})).err().unwrap().pointer, "/air_c");
/// assert_eq!(read(serde_json::json!({"air_c": 1, "ait_c": 2})).err().unwrap().pointer, "/ait_c");
///
/// // In JSON Schema, by which others check what they send, 2.0 is a whole number.
/// #[derive(serde::Deserialize)]
/// struct Place { place: u32 }
/// let place = lustrum::core::json::typed::<Place>(serde_json::json!({"place": 2.0}));
/// assert_eq!(place.unwrap().place, 2);
/// ```
pub fn typed<T: DeserializeOwned>(value: Value) -> Result<T, Fault> {
    let value = object(value)?;
    serde_path_to_error::deserialize(whole(without_nulls(value))).map_err(|error| {
        let mut pointer = String::new();
        for segment in error.path() {
            use serde_path_to_error::Segment;
            match segment {
                Segment::Seq { index } => pointer.push_str(&format!("/{index}")),
                Segment::Map { key } | Segment::Enum { variant: key } => {
                    pointer.push_str(&format!("/{}", escape(key)));
                }
                Segment::Unknown => {}
            }
        }
        let detail = error.inner().to_string();
        let named = |start: &str| {
            let rest = detail.strip_prefix(start)?;
            rest.split('`').nth(1).map(escape)
        };
        let (code, member) = match (named("missing field"), named("unknown field")) {
            (Some(member), _) => ("missing", Some(member)),
            (None, Some(member)) => ("unknown_member", Some(member)),
            (None, None) => ("wrong_type", None),
        };
        if let Some(member) = member
            && !pointer.ends_with(&format!("/{member}"))
        {
            pointer.push_str(&format!("/{member}"));
        }
        Fault::new(pointer, code, detail)
    })
}

/// The value itself, if it is an object: everything that is sent is one.
///
/// ```
/// assert_eq!(lustrum::core::json::object(serde_json::json!([])).unwrap_err().code, "wrong_type");
/// ```
pub fn object(value: Value) -> Result<Value, Fault> {
    if value.is_object() {
        return Ok(value);
    }
    let detail = format!("{} was given where a JSON object is asked for", kind(&value));
    Err(Fault::new("", "wrong_type", detail))
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "a boolean",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "an array",
        Value::Object(_) => "an object",
    }
}

/// The same value without members that are null, at any depth.
pub fn without_nulls(value: Value) -> Value {
    match value {
        Value::Object(members) => Value::Object(
            members.into_iter().filter(|(_, v)| !v.is_null()).map(|(k, v)| (k, without_nulls(v))).collect(),
        ),
        Value::Array(items) => Value::Array(items.into_iter().map(without_nulls).collect()),
        other => other,
    }
}

/// The same value with numbers such as 2.0 written as 2, at any depth, where that says the same.
fn whole(value: Value) -> Value {
    /// Above it not each whole number is a number of its own (2⁵³).
    const EXACT: f64 = 9_007_199_254_740_992.0;
    match value {
        Value::Object(members) => members.into_iter().map(|(k, v)| (k, whole(v))).collect(),
        Value::Array(items) => items.into_iter().map(whole).collect(),
        Value::Number(number) => match number.as_f64() {
            Some(float) if number.is_f64() && float.fract() == 0.0 && float.abs() <= EXACT => {
                // As text: there is no conversion that cannot round.
                format!("{float:.0}").parse::<i64>().map_or(Value::Number(number), Value::from)
            }
            _ => Value::Number(number),
        },
        other => other,
    }
}

/// Applies a merge patch (RFC 7396) to `target`.
///
/// ```
/// use serde_json::json;
/// // RFC 7396, appendix A.
/// let merged = lustrum::core::json::merged(json!({"a": {"b": "c"}}), &json!({"a": {"b": "d", "c": null}}));
/// assert_eq!(merged, json!({"a": {"b": "d"}}));
/// ```
pub fn merged(target: Value, patch: &Value) -> Value {
    let Value::Object(changes) = patch else { return patch.clone() };
    let mut members = match target {
        Value::Object(members) => members,
        _ => Map::new(),
    };
    for (name, change) in changes {
        if change.is_null() {
            members.remove(name);
        } else {
            let before = members.remove(name).unwrap_or(Value::Null);
            members.insert(name.clone(), merged(before, change));
        }
    }
    Value::Object(members)
}
