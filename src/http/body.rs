//! What a request carries: read strictly, and only when the handler asks for it, so that who asks is settled first.

use std::io::{Read as _, Seek as _, SeekFrom};
use std::time::Duration;

use actix_web::http::StatusCode;
use actix_web::http::header;
use actix_web::web::{Bytes, BytesMut};
use actix_web::{FromRequest, HttpMessage as _, HttpRequest, dev, web};
use futures_util::StreamExt as _;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use sha2::{Digest as _, Sha256};
use tokio::io::AsyncWriteExt as _;

use super::error::Problem;
use super::once::BodyDigest;
use crate::app::{Database, Error};
use crate::core::ids::Digest;
use crate::core::json;

/// The longest JSON body, in bytes.
const LONGEST: usize = 256 * 1024;

/// A body that trickles in for longer is cut off.
const SLOWEST: Duration = Duration::from_secs(30);

/// The longest file of a table, in bytes.
const LONGEST_FILE: usize = 64 * 1024 * 1024;

/// A file that trickles in for longer is cut off.
const SLOWEST_FILE: Duration = Duration::from_mins(10);

/// The media types of tables.
const TABLES: [&str; 2] = ["text/csv", "application/jsonl"];

/// The body of a request, not yet read.
pub struct Body {
    content_type: Option<String>,
    length: Option<usize>,
    request: HttpRequest,
    payload: web::Payload,
}

impl FromRequest for Body {
    type Error = Problem;
    type Future = std::future::Ready<Result<Self, Problem>>;

    fn from_request(request: &HttpRequest, payload: &mut dev::Payload) -> Self::Future {
        let text =
            |name| request.headers().get(name).and_then(|value| value.to_str().ok()).map(str::to_owned);
        let payload = web::Payload::from_request(request, payload).into_inner();
        std::future::ready(
            payload
                .map(|payload| Self {
                    content_type: text(header::CONTENT_TYPE),
                    length: text(header::CONTENT_LENGTH).and_then(|length| length.parse().ok()),
                    request: request.clone(),
                    payload,
                })
                .map_err(|e| Problem::internal(e.to_string())),
        )
    }
}

impl Body {
    /// Reads a JSON object into a typed input: 415, 413, then 400 with the place of what is wrong.
    pub async fn read<T: DeserializeOwned>(self) -> Result<T, Problem> {
        json::typed(self.json().await?).map_err(|fault| Problem::malformed(&[fault]))
    }

    /// Reads a body in which nothing can be said: absent, or `{}`.
    pub async fn nothing(self) -> Result<(), Problem> {
        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Nothing {}
        self.read::<Nothing>().await.map(|Nothing {}| ())
    }

    /// Reads any JSON object, strictly. An absent body without Content-Type is `{}`.
    pub async fn json(self) -> Result<Value, Problem> {
        self.receive().await?.json()
    }

    /// Receives a table (CSV or JSON Lines) into a file of the system's own that goes with its handle: 415 and 413.
    pub async fn file(mut self) -> Result<std::fs::File, Problem> {
        if !self.content_type.as_deref().is_some_and(is_table) {
            let taken = format!("taken are {}", TABLES.join(" and "));
            return Err(Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "unsupported_media_type", taken));
        }
        self.is_at_most(LONGEST_FILE)?;
        let broken = |e: std::io::Error| Problem::internal(format!("a file for the body: {e}"));
        let mut file = tokio::fs::File::from_std(tempfile::tempfile().map_err(broken)?);
        let (mut hash, mut length) = (Sha256::new(), 0);
        let received = async {
            while let Some(chunk) = self.payload.next().await {
                let chunk = chunk.map_err(|e| {
                    Problem::new(StatusCode::BAD_REQUEST, "malformed", format!("the body broke off: {e}"))
                })?;
                length += chunk.len();
                if length > LONGEST_FILE {
                    return Err(too_large(LONGEST_FILE));
                }
                hash.update(&chunk);
                file.write_all(&chunk).await.map_err(broken)?;
            }
            file.flush().await.map_err(broken)
        };
        tokio::time::timeout(SLOWEST_FILE, received)
            .await
            .map_err(|_| Problem::of_status(StatusCode::REQUEST_TIMEOUT))??;
        let digest = Digest::from_bytes(hash.finalize().into());
        self.request.extensions_mut().insert(BodyDigest(digest));
        Ok(file.into_std().await)
    }

    /// Receives the bytes of a JSON body without looking into them: 415 and 413.
    pub async fn receive(self) -> Result<Received, Problem> {
        let absent = self.content_type.is_none();
        if self.content_type.as_deref().is_some_and(|given| !is_json(given)) {
            return Err(not_json());
        }
        let bytes = self.bytes(LONGEST, SLOWEST).await?;
        if absent && !bytes.is_empty() {
            return Err(not_json());
        }
        Ok(Received { absent, bytes })
    }

    /// Whether the body is said to be a table as CSV.
    pub fn is_table(&self) -> bool {
        let media = self.content_type.as_deref().unwrap_or_default().split(';').next().unwrap_or_default();
        media.trim().eq_ignore_ascii_case(TABLES[0])
    }

    /// What the body is said to be.
    pub(super) fn content_type(&self) -> Option<&str> {
        self.content_type.as_deref()
    }

    /// Refuses a body that is said to be longer than `longest` bytes, before any of it is received: 413.
    pub(super) fn is_at_most(&self, longest: usize) -> Result<(), Problem> {
        if self.length.is_some_and(|length| length > longest) { Err(too_large(longest)) } else { Ok(()) }
    }

    /// Receives all bytes of a body of at most `longest`, as they come within `slowest`.
    pub(super) async fn bytes(mut self, longest: usize, slowest: Duration) -> Result<Bytes, Problem> {
        self.is_at_most(longest)?;
        let read = async {
            let mut bytes = BytesMut::new();
            while let Some(chunk) = self.payload.next().await {
                let chunk = chunk.map_err(|e| {
                    Problem::new(StatusCode::BAD_REQUEST, "malformed", format!("the body broke off: {e}"))
                })?;
                if bytes.len() + chunk.len() > longest {
                    return Err(too_large(longest));
                }
                bytes.extend_from_slice(&chunk);
            }
            Ok(bytes.freeze())
        };
        let bytes = tokio::time::timeout(slowest, read)
            .await
            .map_err(|_| Problem::of_status(StatusCode::REQUEST_TIMEOUT))??;
        self.request.extensions_mut().insert(BodyDigest(Digest::of(&bytes)));
        Ok(bytes)
    }
}

/// Reads a file that was received, from its beginning.
pub fn whole(mut file: std::fs::File) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0))
        .and_then(|_| file.read_to_end(&mut bytes))
        .map_err(|e| Database::Other(format!("the received file cannot be read: {e}")))?;
    Ok(bytes)
}

fn too_large(longest: usize) -> Problem {
    let detail = format!("a body has at most {longest} bytes here");
    Problem::new(StatusCode::PAYLOAD_TOO_LARGE, "too_large", detail)
}

fn not_json() -> Problem {
    let detail = "only application/json in UTF-8 is taken here";
    Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "unsupported_media_type", detail)
}

/// A body whose type and size are in order, not yet looked into.
pub struct Received {
    /// Without Content-Type, and so without a byte.
    absent: bool,
    bytes: Bytes,
}

impl Received {
    /// Reads a JSON object, strictly; an absent body is `{}`.
    pub fn json(&self) -> Result<Value, Problem> {
        if self.absent {
            return Ok(Value::Object(Map::new()));
        }
        json::read(&self.bytes).and_then(json::object).map_err(|fault| Problem::malformed(&[fault]))
    }
}

/// Whether it is a table; how it is encoded is found out from the file.
fn is_table(content_type: &str) -> bool {
    let media = content_type.split(';').next().unwrap_or_default().trim();
    TABLES.iter().any(|table| media.eq_ignore_ascii_case(table))
}

fn is_json(content_type: &str) -> bool {
    let mut parts = content_type.split(';').map(str::trim);
    parts.next().is_some_and(|kind| kind.eq_ignore_ascii_case("application/json"))
        && parts.all(|parameter| {
            parameter.split_once('=').is_some_and(|(name, value)| {
                !name.eq_ignore_ascii_case("charset") || value.trim_matches('"').eq_ignore_ascii_case("utf-8")
            })
        })
}
