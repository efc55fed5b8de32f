//! Documents that people answer for: how a record's body is built, kept and read back.

use serde::Serialize;
use serde_json::{Value, json};

use crate::core::error::escape;
use crate::core::ids::Digest;
use crate::core::record::{Salt, canonical, is_personal_text, personal_digest};
use crate::core::words::RecordKind;
use crate::db::records::{self, Kept, NewRecord, PersonalText, RecordRow};
use crate::db::{Conn, Shop, Tx};

use super::authors::Author;
use super::{Error, Who};

/// The member of a record's body under which the digest of a text stands in place of the text.
const PERSONAL: &str = "personal";

/// A document on its way into the records: what it is about, what it says, and which of its texts name persons.
pub(crate) struct Document {
    kind: RecordKind,
    subject: String,
    body: Value,
    personal: Vec<String>,
}

impl Document {
    /// A document about `subject` (`job:ID`, `vehicle:ID`, `warranty:ID`, `terms:ID`) that says `body`, a JSON
    /// object with everything that it relied on.
    pub(crate) fn new(
        kind: RecordKind,
        subject: impl Into<String>,
        body: &impl Serialize,
    ) -> Result<Self, Error> {
        let body = serde_json::to_value(body).map_err(|e| crate::db::Error::Other(e.to_string()))?;
        Ok(Self { kind, subject: subject.into(), body, personal: Vec::new() })
    }

    /// Says that the texts at these JSON pointers (from the body's root; `*` stands for every item of a list, or
    /// every member of an object) name a person or are written freely: names, notes, findings, reasons. Where
    /// nothing, null or no text stands, nothing is done.
    #[must_use]
    pub(crate) fn personal(mut self, pointers: &[&str]) -> Self {
        self.personal.extend(pointers.iter().map(|&pointer| pointer.to_owned()));
        self
    }

    /// Keeps the document as the shop's next record, with `entered_by` and `recorded` added to its body; in the
    /// transaction that writes what it is about.
    pub(crate) fn keep(
        self,
        tx: &mut Tx<'_>,
        who: &Who,
        at: chrono::DateTime<chrono::Utc>,
    ) -> Result<Kept, Error> {
        self.keep_by(tx, &who.into(), at)
    }

    /// The same, whoever enters it.
    pub(crate) fn keep_by(
        self,
        tx: &mut Tx<'_>,
        author: &Author,
        at: chrono::DateTime<chrono::Utc>,
    ) -> Result<Kept, Error> {
        Ok(records::append_record(tx, &author.shop, self.written_by(author, at)?, at)?)
    }

    /// The document as it is kept: with `entered_by` and `recorded`, and digests in place of personal texts.
    pub(crate) fn written(self, who: &Who, at: chrono::DateTime<chrono::Utc>) -> Result<NewRecord, Error> {
        self.written_by(&who.into(), at)
    }

    fn written_by(mut self, author: &Author, at: chrono::DateTime<chrono::Utc>) -> Result<NewRecord, Error> {
        if let Value::Object(members) = &mut self.body {
            members.insert("entered_by".into(), author.said());
            members.insert("recorded".into(), json!(at));
        }
        self.personal.push("/entered_by/name".into());
        let mut persons = Vec::new();
        for pointer in &self.personal {
            let steps: Vec<&str> = pointer.split('/').skip(1).collect();
            take_texts(&mut self.body, &steps, String::new(), &mut persons)?;
        }
        let body = canonical(&self.body).map_err(|fault| crate::db::Error::Other(fault.detail))?;
        Ok(NewRecord::new(self.kind, self.subject, body, persons)?)
    }
}

/// Replaces the texts at `steps` below `value` by their digests.
fn take_texts(
    value: &mut Value,
    steps: &[&str],
    place: String,
    persons: &mut Vec<PersonalText>,
) -> Result<(), Error> {
    let Some((&step, rest)) = steps.split_first() else {
        if let Value::String(text) = value {
            let text = std::mem::take(text);
            let mut salt = Salt::default();
            getrandom::fill(&mut salt).map_err(|e| crate::db::Error::Other(format!("no randomness: {e}")))?;
            *value = json!({ PERSONAL: personal_digest(&salt, &text) });
            persons.push(PersonalText { place, salt, text });
        }
        return Ok(());
    };
    match value {
        Value::Array(items) if step == "*" => {
            for (i, item) in items.iter_mut().enumerate() {
                take_texts(item, rest, format!("{place}/{i}"), persons)?;
            }
        }
        Value::Object(members) => {
            for (name, member) in members.iter_mut().filter(|(name, _)| step == "*" || *name == step) {
                take_texts(member, rest, format!("{place}/{}", escape(name)), persons)?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// A record's body with the personal texts back in their places, as far as they have not been erased.
///
/// A text that is not the one whose digest the body holds is an error: somebody changed it.
pub fn read_back(conn: &mut Conn, shop: &Shop, record: &RecordRow) -> Result<Value, Error> {
    let broken = |why: String| Error::from(crate::db::Error::Other(format!("record {}: {why}", record.seq)));
    let mut body: Value = serde_json::from_str(&record.body).map_err(|e| broken(e.to_string()))?;
    for person in records::personal_texts(conn, shop, record.seq)? {
        let place = body
            .pointer_mut(&person.place)
            .ok_or_else(|| broken(format!("no place {} for a text", person.place)))?;
        let held = place
            .get(PERSONAL)
            .and_then(Value::as_str)
            .and_then(|digest| digest.parse::<Digest>().ok())
            .ok_or_else(|| broken(format!("no digest at {}", person.place)))?;
        if !is_personal_text(held, &person.salt, &person.text) {
            return Err(broken(format!("the text at {} is not the one that was kept", person.place)));
        }
        *place = Value::String(person.text);
    }
    Ok(body)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_of_lists_and_members_are_taken_where_they_stand() {
        let mut body = json!({
            "note": "seen by Ida Brandt",
            "empty": null,
            "services": [{ "finding": "clear" }, { "finding": null }, { "finding": "swirls" }],
        });
        let mut persons = Vec::new();
        for pointer in ["/note", "/empty", "/missing/x", "/services/*/finding"] {
            let steps: Vec<&str> = pointer.split('/').skip(1).collect();
            assert!(take_texts(&mut body, &steps, String::new(), &mut persons).is_ok());
        }
        let places: Vec<&str> = persons.iter().map(|p| p.place.as_str()).collect();
        assert_eq!(places, ["/note", "/services/0/finding", "/services/2/finding"]);
        assert!(!body.to_string().contains("Brandt"), "{body}");
        let held = body["services"][2]["finding"][PERSONAL].as_str().map(str::parse::<Digest>);
        assert_eq!(held, Some(Ok(personal_digest(&persons[2].salt, "swirls"))));
        assert!(body["services"][1]["finding"].is_null());
    }
}
