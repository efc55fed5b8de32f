//! What is done to every request and answer, in one place: a request id, the log, panics, 304, and problem documents.

use std::panic::AssertUnwindSafe;

use actix_web::body::{BoxBody, MessageBody};
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{self, HeaderName, HeaderValue};
use actix_web::http::{Method, StatusCode};
use actix_web::middleware::Next;
use actix_web::{Error, HttpRequest, HttpResponse, ResponseError as _, web};
use futures_util::FutureExt as _;
use tracing::Instrument as _;

use super::error::Problem;
use super::{Service, accept, limits, pages};

/// The header that carries the id under which the log tells of a request.
const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

/// Wraps every request.
pub(super) async fn around<B: MessageBody + 'static>(
    request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let id = uuid::Uuid::new_v4().to_string();
    let method = request.method().clone();
    let path = request.path().to_owned();
    let if_none_match = request.headers().get(header::IF_NONE_MATCH).cloned();
    let unacceptable = path.starts_with("/v1") && !accept::takes(request.headers(), offered(&path));
    let told = pages::problems::without_secret(&path);
    let span = tracing::info_span!("request", %id, %method, path = %told);

    let too_many =
        request.app_data::<web::Data<Service>>().and_then(|service| service.limits.address(&request).err());
    let refused = too_many.or_else(|| unacceptable.then(|| Problem::of_status(StatusCode::NOT_ACCEPTABLE)));
    let answered = if let Some(refused) = refused {
        request.into_response(refused.error_response())
    } else {
        match AssertUnwindSafe(next.call(request)).catch_unwind().instrument(span.clone()).await {
            Ok(answered) => answered?.map_into_boxed_body(),
            Err(_) => {
                span.in_scope(|| tracing::error!("a handler panicked"));
                let mut problem = Problem::internal("a handler panicked");
                problem.request_id = Some(id);
                return Err(problem.into());
            }
        }
    };
    let (request, response) = answered.into_parts();
    let mut response = as_problem(response, &request, &id, &span);
    if matches!(method, Method::GET | Method::HEAD) && response.status() == StatusCode::OK {
        response = unless_known(response, if_none_match.as_ref());
    }
    if let Ok(value) = HeaderValue::from_str(&id) {
        response.headers_mut().insert(REQUEST_ID, value);
    }
    if path.starts_with("/v1/sessions") {
        response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    limits::tell(&request, response.headers_mut());
    response.headers_mut().insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    span.in_scope(|| tracing::info!(status = response.status().as_u16(), "answered"));
    Ok(ServiceResponse::new(request, response))
}

/// Whatever went wrong, by us or by the framework, leaves as a problem document; its cause goes to the log, once.
fn as_problem(response: HttpResponse, request: &HttpRequest, id: &str, span: &tracing::Span) -> HttpResponse {
    let known = response.extensions().get::<Problem>().cloned();
    // A page that says itself what is wrong with a form is a page.
    let a_page = known.is_none() && response.headers().get(header::CONTENT_TYPE).is_some_and(is_html);
    if response.status().as_u16() < 400 || a_page {
        return response;
    }
    let problem = known.unwrap_or_else(|| Problem::of_status(response.status()));
    if let Some(cause) = &problem.cause {
        span.in_scope(|| tracing::error!(code = problem.code, %cause, "failed"));
    }
    let page = pages::problems::page(&problem, request.path(), request.headers(), id);
    let mut answer = page.unwrap_or_else(|| {
        HttpResponse::build(problem.status)
            .content_type("application/problem+json")
            .body(problem.document(id).to_string())
    });
    for (name, value) in response.headers() {
        if name != header::CONTENT_TYPE && name != header::CONTENT_LENGTH {
            answer.headers_mut().insert(name.clone(), value.clone());
        }
    }
    answer
}

fn is_html(kind: &HeaderValue) -> bool {
    kind.as_bytes().starts_with(b"text/html")
}

/// 304 when the client already has this.
fn unless_known(response: HttpResponse, if_none_match: Option<&HeaderValue>) -> HttpResponse {
    let (Some(given), Some(tag)) = (if_none_match, response.headers().get(header::ETAG).cloned()) else {
        return response;
    };
    let known = given.to_str().unwrap_or_default().split(',').any(|one| {
        let one = one.trim().trim_start_matches("W/");
        one == "*" || one.as_bytes() == tag.as_bytes()
    });
    if known { HttpResponse::NotModified().insert_header((header::ETAG, tag)).finish() } else { response }
}

/// What a path offers.
fn offered(path: &str) -> &'static [&'static str] {
    if path.starts_with("/v1/exports/") {
        return &["text/csv", "application/jsonl"];
    }
    let name = path.rsplit('/').next().unwrap_or_default();
    match (name, name.rsplit_once('.')) {
        ("file", _) => &["image/jpeg", "image/png"],
        ("thumbnail", _) => &["image/jpeg"],
        (_, Some((_, "svg"))) => &["image/svg+xml"],
        (_, Some((_, "pdf"))) => &["application/pdf"],
        (_, Some((_, "ics"))) => &["text/calendar"],
        (_, Some((_, "jws"))) => &["application/jose"],
        _ => &["application/json", "application/problem+json"],
    }
}
