//! Answers that went well.

use actix_web::HttpResponse;
use actix_web::http::header;
use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::error::Problem;

/// What a handler answers.
pub type Answer = Result<HttpResponse, Problem>;

/// The strong ETag of a version.
pub fn etag(version: i64) -> String {
    format!("\"{version}\"")
}

/// 200 with a JSON object that has no ETag of its own: lists, and what was worked out.
pub fn ok(view: &impl Serialize) -> Answer {
    Ok(HttpResponse::Ok().json(view))
}

/// 200 with a single thing that can be changed.
pub fn versioned(view: &impl Serialize, version: i64) -> Answer {
    Ok(HttpResponse::Ok().insert_header((header::ETAG, etag(version))).json(view))
}

/// 200 with a single thing that never changes by itself: its ETag is made from what it says.
pub fn fixed(view: &impl Serialize) -> Answer {
    let body = serde_json::to_vec(view).map_err(|e| Problem::internal(e.to_string()))?;
    Ok(HttpResponse::Ok()
        .insert_header((header::ETAG, tag_of(&body)))
        .content_type("application/json")
        .body(body))
}

/// 201 with the whole new thing, where it is, and its ETag.
pub fn created(view: &impl Serialize, version: i64, location: &str) -> Answer {
    Ok(HttpResponse::Created()
        .insert_header((header::LOCATION, location))
        .insert_header((header::ETAG, etag(version)))
        .json(view))
}

/// 201 of something that never changes by itself: its ETag is made from what it says.
pub fn created_fixed(view: &impl Serialize, location: &str) -> Answer {
    let body = serde_json::to_vec(view).map_err(|e| Problem::internal(e.to_string()))?;
    Ok(HttpResponse::Created()
        .insert_header((header::LOCATION, location))
        .insert_header((header::ETAG, tag_of(&body)))
        .content_type("application/json")
        .body(body))
}

fn tag_of(body: &[u8]) -> String {
    let digest = Sha256::digest(body);
    let tag: String = digest.iter().take(12).map(|byte| format!("{byte:02x}")).collect();
    format!("\"{tag}\"")
}

/// 201 of something that has no address of its own.
pub fn made(view: &impl Serialize) -> Answer {
    Ok(HttpResponse::Created().json(view))
}

/// 204.
pub fn nothing() -> Answer {
    Ok(HttpResponse::NoContent().finish())
}

/// 200 `{"valid": true}`: everything would have been taken, nothing was written.
pub fn valid() -> Answer {
    ok(&serde_json::json!({"valid": true}))
}
