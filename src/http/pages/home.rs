//! The first page: what this is and where to go, for people and for programs.

use actix_web::http::StatusCode;
use actix_web::http::header::{HeaderValue, VARY};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;
use serde_json::json;

use super::{HTML, Page};
use crate::http::accept::weight;
use crate::http::error::Problem;
use crate::http::service;

#[derive(Template)]
#[template(path = "home.html", config = "src/http/pages/askama.toml")]
struct Home {
    drill: bool,
    version: &'static str,
}

/// HTML unless JSON is wanted more.
pub async fn page(request: HttpRequest) -> Result<HttpResponse, Problem> {
    let (html, json) = (weight(request.headers(), HTML), weight(request.headers(), "application/json"));
    let version = env!("CARGO_PKG_VERSION");
    let drill = service(&request)?.app.drill;
    let mut response = if html <= 0.0 && json <= 0.0 {
        let detail = "text/html and application/json are offered";
        return Err(Problem::new(StatusCode::NOT_ACCEPTABLE, "not_acceptable", detail));
    } else if html >= json {
        Page::of(&Home { drill, version })?.answer()
    } else {
        HttpResponse::Ok().json(json!({
            "service": "lustrum", "version": version, "drill": drill,
            "documentation": "/docs", "openapi": "/openapi.json", "health": "/health/ready",
        }))
    };
    response.headers_mut().insert(VARY, HeaderValue::from_static("accept"));
    Ok(response)
}
