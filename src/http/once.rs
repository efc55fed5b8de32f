//! `Idempotency-Key`: how a client names a request, so that the same again does nothing twice.

use actix_web::http::header::HeaderName;
use actix_web::{HttpMessage as _, HttpRequest};
use sha2::{Digest as _, Sha256};

use super::error::Problem;
use crate::app::Who;
use crate::app::idempotency::Request;
use crate::core::error::Fault;
use crate::core::ids::Digest;

/// The header, as faults and the OpenAPI document name it.
pub(super) const NAME: &str = "Idempotency-Key";

const HEADER: HeaderName = HeaderName::from_static("idempotency-key");

/// The longest key, in characters.
pub(super) const LONGEST: usize = 255;

/// The digest of a body that was read, left in its request.
pub(super) struct BodyDigest(pub(super) Digest);

/// What a request is called, if it is; 400 where that cannot be a name.
pub(super) fn named(request: &HttpRequest, who: &Who) -> Result<Option<Request>, Problem> {
    let mut given = request.headers().get_all(HEADER);
    let Some(first) = given.next() else { return Ok(None) };
    let key = first.to_str().unwrap_or_default();
    let whole = (1..=LONGEST).contains(&key.len()) && key.bytes().all(|byte| byte.is_ascii_graphic());
    if !whole || given.next().is_some() {
        let detail = format!("a key is one text of 1 to {LONGEST} visible ASCII characters without blanks");
        return Err(Problem::malformed(&[Fault::new(NAME, "bad_key", detail)]));
    }
    Ok(Some(Request { member: who.member, key: key.to_owned(), digest: digest(request) }))
}

/// Of everything that a request says: method, path, query and body.
fn digest(request: &HttpRequest) -> Digest {
    let mut whole = Sha256::new();
    for part in [request.method().as_str(), request.path(), request.query_string()] {
        whole.update(part.as_bytes());
        whole.update([0]);
    }
    if let Some(BodyDigest(body)) = request.extensions().get::<BodyDigest>() {
        whole.update(body.as_bytes());
    }
    Digest::from_bytes(whole.finalize().into())
}
