//! Answers that went well.

use actix_web::body::BoxBody;
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse, Responder};
use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::error::Problem;
use crate::app::documents::Document;
pub use crate::app::idempotency::Reply;

/// What a handler answers.
pub type Answer = Result<Reply, Problem>;

impl Responder for Reply {
    type Body = BoxBody;

    fn respond_to(self, _: &HttpRequest) -> HttpResponse {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = HttpResponse::build(status);
        if let Some(location) = self.location {
            response.insert_header((header::LOCATION, location));
        }
        if let Some(etag) = self.etag {
            response.insert_header((header::ETAG, etag));
        }
        if self.body.is_empty() {
            return response.finish();
        }
        response.content_type("application/json").body(self.body)
    }
}

/// A picture that was drawn: SVG, in which nothing runs and nothing is fetched.
pub struct Drawing(pub String);

impl Responder for Drawing {
    type Body = BoxBody;

    fn respond_to(self, _: &HttpRequest) -> HttpResponse {
        HttpResponse::Ok()
            .content_type("image/svg+xml")
            .insert_header((header::CONTENT_SECURITY_POLICY, "default-src 'none'"))
            .body(self.0)
    }
}

/// A document that was printed: PDF.
pub struct Pdf(pub Document);

impl Responder for Pdf {
    type Body = BoxBody;

    fn respond_to(self, _: &HttpRequest) -> HttpResponse {
        let Self(Document { name, bytes }) = self;
        HttpResponse::Ok()
            .content_type("application/pdf")
            .insert_header((header::ETAG, tag_of(&bytes)))
            .insert_header((header::CACHE_CONTROL, "private, no-cache"))
            .insert_header((header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}.pdf\"")))
            .body(bytes)
    }
}

/// The strong ETag of a version.
pub fn etag(version: i64) -> String {
    format!("\"{version}\"")
}

fn reply(status: StatusCode, view: &impl Serialize) -> Answer {
    let body = serde_json::to_string(view).map_err(|e| Problem::internal(e.to_string()))?;
    Ok(Reply { status: status.as_u16(), location: None, etag: None, body })
}

/// 200 with a JSON object that has no ETag of its own: lists, and what was worked out.
pub fn ok(view: &impl Serialize) -> Answer {
    reply(StatusCode::OK, view)
}

/// 200 with JSON that is text already.
pub fn text(body: String) -> Answer {
    Ok(Reply { status: StatusCode::OK.as_u16(), location: None, etag: None, body })
}

/// 200 with a single thing that can be changed.
pub fn versioned(view: &impl Serialize, version: i64) -> Answer {
    Ok(Reply { etag: Some(etag(version)), ..ok(view)? })
}

/// 200 with a single thing that never changes by itself: its ETag is made from what it says.
pub fn fixed(view: &impl Serialize) -> Answer {
    let reply = ok(view)?;
    Ok(Reply { etag: Some(tag_of(&reply.body)), ..reply })
}

/// 201 with the whole new thing, where it is, and its ETag.
pub fn created(view: &impl Serialize, version: i64, location: &str) -> Answer {
    Ok(Reply { etag: Some(etag(version)), location: Some(location.to_owned()), ..made(view)? })
}

/// 201 of something that never changes by itself: it has the ETag that [`fixed`] gives to `thing`, which is how it is
/// answered at its location.
pub fn created_fixed(view: &impl Serialize, thing: &impl Serialize, location: &str) -> Answer {
    Ok(Reply { etag: fixed(thing)?.etag, location: Some(location.to_owned()), ..made(view)? })
}

/// A strong ETag made from what is said.
pub(super) fn tag_of(body: impl AsRef<[u8]>) -> String {
    let digest = Sha256::digest(body);
    let tag: String = digest.iter().take(12).map(|byte| format!("{byte:02x}")).collect();
    format!("\"{tag}\"")
}

/// 201 of something that has no address of its own.
pub fn made(view: &impl Serialize) -> Answer {
    reply(StatusCode::CREATED, view)
}

/// 204.
pub fn nothing() -> Answer {
    Ok(Reply { status: StatusCode::NO_CONTENT.as_u16(), location: None, etag: None, body: String::new() })
}

/// 200 `{"valid": true}`: everything would have been taken, nothing was written.
pub fn valid() -> Answer {
    ok(&serde_json::json!({"valid": true}))
}
