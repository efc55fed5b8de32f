//! What the forms of pages send: fields as browsers write them, and photos. Programs may send JSON in their place.

use std::convert::Infallible;
use std::time::Duration;

use actix_web::http::StatusCode;
use actix_web::http::header::{self, HeaderMap};
use actix_web::web::Bytes;
use futures_util::stream;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::core::calendar::Day;
use crate::core::json;
use crate::core::pictures::MediaType;
use crate::core::words::OdometerUnit;
use crate::http::accept::weight;
use crate::http::body::Body;
use crate::http::error::Problem;

/// The longest form without photos, in bytes.
pub(super) const LONGEST: usize = 64 * 1024;

/// The longest form with photos, all together, in bytes.
pub(super) const LONGEST_WITH_PHOTOS: usize = 40 * 1024 * 1024;

/// From a telephone a form takes its time; what trickles in for longer is cut off.
const SLOWEST: Duration = Duration::from_mins(2);

const URL_ENCODED: &str = "application/x-www-form-urlencoded";
const MULTIPART: &str = "multipart/form-data";

/// What was sent to a page.
pub(super) enum Sent {
    /// By a form.
    Form(Form),
    /// By a program.
    Json(Value),
}

/// A form as it was sent.
#[derive(Default)]
pub(super) struct Form {
    fields: Vec<(String, String)>,
    /// Files that are not empty: what each is said to be, and its bytes.
    pub(super) files: Vec<(String, Bytes)>,
}

/// Whether a client would rather have JSON than a page.
pub(super) fn wants_json(headers: &HeaderMap) -> bool {
    weight(headers, "application/json") > weight(headers, super::HTML)
}

/// Whether a client would rather have a page than JSON: browsers say so.
pub(in crate::http) fn wants_page(headers: &HeaderMap) -> bool {
    weight(headers, super::HTML) > weight(headers, "application/json")
}

impl Sent {
    /// Receives a form of at most `longest` bytes, or JSON in its place: 415, 413, 400.
    pub(super) async fn receive(body: Body, longest: usize) -> Result<Self, Problem> {
        let said = body.content_type().unwrap_or(URL_ENCODED).to_owned();
        let kind = said.split(';').next().unwrap_or_default().trim().to_ascii_lowercase();
        match kind.as_str() {
            "application/json" => body.json().await.map(Self::Json),
            URL_ENCODED => {
                let bytes = body.bytes(longest.min(LONGEST), SLOWEST).await?;
                let text = std::str::from_utf8(&bytes).map_err(|_| broken("it is not UTF-8"))?;
                let fields = actix_web::web::Query::<Vec<(String, String)>>::from_query(text);
                let fields = fields.map_err(|e| broken(e.to_string()))?.into_inner();
                Ok(Self::Form(Form { fields, files: Vec::new() }))
            }
            MULTIPART => {
                let boundary = multer::parse_boundary(&said).map_err(|e| broken(e.to_string()))?;
                let bytes = body.bytes(longest, SLOWEST).await?;
                parts(bytes, boundary).await.map(Self::Form)
            }
            _ => {
                let taken = format!("taken are {URL_ENCODED}, {MULTIPART} and application/json");
                Err(Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "unsupported_media_type", taken))
            }
        }
    }
}

/// Reads JSON that was sent in place of a form, strictly.
pub(super) fn typed<T: DeserializeOwned>(value: Value) -> Result<T, Problem> {
    json::typed(value).map_err(|fault| Problem::malformed(&[fault]))
}

fn broken(why: impl Into<String>) -> Problem {
    Problem::new(StatusCode::BAD_REQUEST, "malformed", format!("the form cannot be read: {}", why.into()))
}

/// Takes a form with files apart.
async fn parts(bytes: Bytes, boundary: String) -> Result<Form, Problem> {
    let whole = stream::once(async move { Ok::<_, Infallible>(bytes) });
    let mut parts = multer::Multipart::new(whole, boundary);
    let mut form = Form::default();
    while let Some(part) = parts.next_field().await.map_err(|e| broken(e.to_string()))? {
        let name = part.name().unwrap_or_default().to_owned();
        let file = part.file_name().is_some();
        let kind = part.content_type().map(ToString::to_string).unwrap_or_default();
        let bytes = part.bytes().await.map_err(|e| broken(e.to_string()))?;
        if !file {
            let text = String::from_utf8(bytes.to_vec()).map_err(|_| broken("it is not UTF-8"))?;
            form.fields.push((name, text));
        } else if !bytes.is_empty() {
            form.files.push((kind, bytes));
        }
    }
    Ok(form)
}

impl Form {
    /// What stands in a field; none where it is empty or not there.
    pub(super) fn text(&self, name: &str) -> Option<String> {
        let (_, text) = self.fields.iter().find(|(known, _)| known == name)?;
        let text = text.replace("\r\n", "\n");
        let text = text.trim();
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// Everything that stands in fields of this name.
    pub(super) fn all(&self, name: &str) -> Vec<String> {
        let fields = self.fields.iter().filter(|(known, text)| known == name && !text.trim().is_empty());
        fields.map(|(_, text)| text.trim().to_owned()).collect()
    }

    /// Whether a box is ticked.
    pub(super) fn ticked(&self, name: &str) -> bool {
        self.fields.iter().any(|(known, _)| known == name)
    }

    /// A day that is needed; what is wrong with it goes to `faults`.
    pub(super) fn day(&self, name: &str, pointer: &str, faults: &mut Vec<Value>) -> Option<Day> {
        let Some(text) = self.text(name) else {
            faults.push(fault(pointer, "required", "a day is needed"));
            return None;
        };
        let day = text.parse().ok();
        if day.is_none() {
            faults.push(fault(pointer, "not_a_day", "a day is written as 2026-03-10"));
        }
        day
    }

    /// An odometer, if it was read; what is wrong with it goes to `faults`.
    pub(super) fn odometer(
        &self,
        unit: OdometerUnit,
        faults: &mut Vec<Value>,
    ) -> Option<crate::app::odometer::OdometerInput> {
        let text = self.text("odometer")?;
        // As people write thousands.
        let digits: String = text
            .chars()
            .filter(|sign| !matches!(sign, ' ' | '.' | ',' | '\'' | '\u{a0}' | '\u{202f}'))
            .collect();
        let Ok(value) = digits.parse() else {
            faults.push(fault("/odometer", "not_a_number", "an odometer is a whole number"));
            return None;
        };
        Some(crate::app::odometer::OdometerInput {
            value,
            unit,
            confirmed: self.ticked("confirmed"),
            replaced: false,
        })
    }
}

/// A fault as problem documents have it.
pub(super) fn fault(pointer: &str, code: &str, detail: &str) -> Value {
    json!({"pointer": pointer, "code": code, "detail": detail})
}

/// What a form that broke these rules is refused with.
pub(super) fn refused(errors: Vec<Value>) -> Problem {
    let mut problem = Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "rule_broken", "the form breaks rules");
    problem.errors = errors;
    problem
}

/// The type that a file is said to be, where it can be a photo.
pub(super) fn picture_kind(said: &str) -> Option<MediaType> {
    said.split(';').next().unwrap_or_default().trim().to_ascii_lowercase().parse().ok()
}

/// The languages that a client asks for, most wanted first.
pub(super) fn languages(headers: &HeaderMap) -> Vec<String> {
    let given = headers.get_all(header::ACCEPT_LANGUAGE).filter_map(|value| value.to_str().ok());
    let mut wanted: Vec<(f32, String)> = given
        .flat_map(|value| value.split(','))
        .filter_map(|range| {
            let mut parts = range.split(';').map(str::trim);
            let tag = parts.next().filter(|tag| !tag.is_empty() && *tag != "*")?;
            let q = parts.find_map(|part| part.strip_prefix("q=")?.parse().ok()).unwrap_or(1.0);
            Some((q, tag.to_owned()))
        })
        .collect();
    wanted.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    wanted.into_iter().map(|(_, tag)| tag).collect()
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{ACCEPT_LANGUAGE, HeaderMap, HeaderValue};

    use super::{Form, languages};
    use crate::core::words::OdometerUnit;

    #[test]
    fn the_language_that_is_wanted_most_comes_first() {
        let mut headers = HeaderMap::new();
        headers.insert(ACCEPT_LANGUAGE, HeaderValue::from_static("en;q=0.3, pt-PT, *;q=0.1, fr;q=0.8"));
        assert_eq!(languages(&headers), ["pt-PT", "fr", "en"]);
    }

    #[test]
    fn thousands_are_read_as_people_write_them() {
        let form = |text: &str| Form { fields: vec![("odometer".into(), text.into())], files: Vec::new() };
        for text in ["31000", "31.000", "31 000", "31,000", " 31\u{202f}000 "] {
            let mut faults = Vec::new();
            let read = form(text).odometer(OdometerUnit::Km, &mut faults);
            assert_eq!(read.map(|read| read.value), Some(31_000), "{text}: {faults:?}");
        }
        let mut faults = Vec::new();
        assert_eq!(form("about 31").odometer(OdometerUnit::Km, &mut faults), None);
        assert_eq!(faults[0]["code"], "not_a_number");
        assert_eq!(form("").odometer(OdometerUnit::Km, &mut Vec::new()), None);
    }
}
