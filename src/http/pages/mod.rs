//! Pages for people. All that they are made of is compiled in, and they reach for nothing outside: that is said to the
//! browser, too, which then holds to it.

pub mod confirm;
pub mod docs;
pub mod door;
mod forms;
pub mod home;
pub mod mail_choices;
pub mod owner;
pub(super) mod problems;
pub mod verification;
pub(crate) mod words;

use actix_web::HttpResponse;
use actix_web::http::StatusCode;
use actix_web::http::header::{self, HeaderMap};

use super::accept;
use super::answer::tag_of;
use super::auth::Path;
use super::error::Problem;

/// Nothing from elsewhere, nothing inline, nothing sent, and shown in nobody's frame.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; base-uri 'none'; \
                      form-action 'none'; frame-ancestors 'none'";

const HTML: &str = "text/html";

/// What pages need besides their text: name, type, content.
const ASSETS: &[(&str, &str, &str)] = &[
    ("pages.css", "text/css; charset=utf-8", include_str!("assets/pages.css")),
    ("copy.js", "text/javascript; charset=utf-8", include_str!("assets/copy.js")),
    ("mark.svg", "image/svg+xml", include_str!("assets/mark.svg")),
];

/// A page as it is answered.
#[derive(Debug, Clone)]
struct Page {
    html: String,
    etag: String,
}

impl Page {
    fn of(template: &impl askama::Template) -> Result<Self, Problem> {
        let html = template.render().map_err(|e| Problem::internal(e.to_string()))?;
        let etag = tag_of(&html);
        Ok(Self { html, etag })
    }

    /// A page for whoever holds its link: kept by nobody, found by nobody, and its form posts to itself.
    fn private(&self) -> HttpResponse {
        let policy = POLICY.replace("form-action 'none'", "form-action 'self'");
        HttpResponse::Ok()
            .insert_header((header::CACHE_CONTROL, "no-store"))
            .insert_header((header::CONTENT_SECURITY_POLICY, policy))
            .insert_header((header::REFERRER_POLICY, "no-referrer"))
            .insert_header(("X-Robots-Tag", "noindex"))
            .content_type("text/html; charset=utf-8")
            .body(self.html.clone())
    }

    fn answer(&self) -> HttpResponse {
        lasting(&self.etag, "text/html; charset=utf-8").body(self.html.clone())
    }
}

/// An answer that may be kept as long as it is asked each time whether it still is the present one.
fn lasting(etag: &str, kind: &str) -> actix_web::HttpResponseBuilder {
    let mut response = HttpResponse::Ok();
    response
        .insert_header((header::ETAG, etag))
        .insert_header((header::CACHE_CONTROL, "no-cache"))
        .insert_header((header::CONTENT_SECURITY_POLICY, POLICY))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .content_type(kind);
    response
}

/// 406 for whoever does not take pages.
fn reads_html(headers: &HeaderMap) -> Result<(), Problem> {
    if accept::takes(headers, &[HTML]) {
        Ok(())
    } else {
        Err(Problem::new(StatusCode::NOT_ACCEPTABLE, "not_acceptable", "this is a page: it is text/html"))
    }
}

/// A style sheet, script or picture of the pages.
pub async fn asset(path: Path) -> Result<HttpResponse, Problem> {
    let name: String = path.get("name")?;
    let found = ASSETS.iter().find(|(known, ..)| *known == name);
    let (_, kind, content) = found.ok_or_else(Problem::not_found)?;
    Ok(lasting(&tag_of(content), kind).body(*content))
}
