//! The only status table: whatever goes wrong becomes a problem document (RFC 9457).

use std::fmt;

use actix_web::http::StatusCode;
use actix_web::http::header::{self, HeaderValue};
use actix_web::{HttpResponse, ResponseError};
use serde_json::{Map, Value, json};

use crate::app::{Database, Error as AppError};
use crate::core::error::{Error as Rule, Fault};

/// An answer that says what went wrong: to the client without causes, which go to the log.
#[derive(Debug, Clone)]
pub struct Problem {
    /// HTTP status.
    pub status: StatusCode,
    /// Stable word for programs.
    pub code: &'static str,
    /// A sentence for people.
    pub detail: String,
    /// Each single fault.
    pub errors: Vec<Value>,
    /// Further members.
    pub more: Map<String, Value>,
    /// Why, for the log alone.
    pub cause: Option<String>,
    /// Methods that the resource does have, for 405.
    pub allow: Option<String>,
    /// Seconds to wait, for 429.
    pub retry_after: Option<u64>,
    /// The request's id, where nobody else can add it any more.
    pub request_id: Option<String>,
}

/// Status of each code and what stands in its `title`: one fixed sentence, whatever the case.
pub(super) const TITLES: &[(u16, &str, &str)] = &[
    (400, "malformed", "The request does not have the described shape"),
    (401, "not_signed_in", "Nobody is signed in"),
    (401, "sign_in_failed", "Signing in failed"),
    (403, "forbidden", "This role may not do that"),
    (404, "not_found", "There is no such thing"),
    (405, "method_not_allowed", "This cannot be done here"),
    (406, "not_acceptable", "What is offered here is not among what is accepted"),
    (408, "timeout", "The request took too long to arrive"),
    (409, "product_exists", STATE),
    (409, "batch_exists", STATE),
    (409, "edition_exists", STATE),
    (409, "edition_published", STATE),
    (409, "vehicle_exists", STATE),
    (409, "several_vehicles", STATE),
    (409, "job_not_open", STATE),
    (409, "job_has_stops", STATE),
    (409, "job_not_signed_off", STATE),
    (409, "job_not_handed_over", STATE),
    (409, "job_handed_over", STATE),
    (409, "job_falls_short", STATE),
    (409, "warranty_void", STATE),
    (409, "notice_not_planned", STATE),
    (409, "notice_on_its_way", STATE),
    (409, "notice_private", STATE),
    (409, "photo_in_use", STATE),
    (409, "task_done", STATE),
    (409, "nothing_to_confirm", STATE),
    (410, "link_used", GONE),
    (410, "link_revoked", GONE),
    (410, "link_expired", GONE),
    (412, "precondition_failed", "It was changed in between"),
    (413, "too_large", "The request is too large"),
    (415, "unsupported_media_type", "A body of this type is not taken here"),
    (422, "rule_broken", "A rule refuses this"),
    (422, "terms_faulty", "The terms have faults"),
    (422, "sheet_faulty", "The data sheet has faults"),
    (422, "odometer_implausible", "The odometer reading does not go with the others"),
    (422, "idempotency_key_reused", "This key belongs to another request"),
    (428, "precondition_required", "If-Match is needed"),
    (429, "too_many_requests", "Too many requests in a short time"),
    (500, "internal", "Something went wrong here"),
    (503, "unavailable", "Not now"),
    (503, "outcome_unknown", "It may have been done or not"),
];

/// The title of whatever is not in the state that a request asks for.
const STATE: &str = "Not in this state";

/// The title of whatever was there and is no more.
const GONE: &str = "It is no longer there";

fn title(code: &str) -> &'static str {
    TITLES.iter().find(|(_, known, _)| *known == code).map_or(STATE, |(.., title)| title)
}

impl Problem {
    /// A problem with nothing but its sentence.
    pub fn new(status: StatusCode, code: &'static str, detail: impl Into<String>) -> Self {
        Self {
            status,
            code,
            detail: detail.into(),
            errors: Vec::new(),
            more: Map::new(),
            cause: None,
            allow: None,
            retry_after: None,
            request_id: None,
        }
    }

    /// Faults of shape: 400.
    pub fn malformed(faults: &[Fault]) -> Self {
        let detail = match faults {
            [one] => one.detail.clone(),
            many => format!("{} faults", many.len()),
        };
        let mut problem = Self::new(StatusCode::BAD_REQUEST, "malformed", detail);
        problem.errors = faults.iter().map(place).collect();
        problem
    }

    /// No such thing: 404.
    pub fn not_found() -> Self {
        Self::new(StatusCode::NOT_FOUND, "not_found", "there is no such thing, or it is not yours")
    }

    /// Whether it says that there is no such thing.
    pub fn is_not_found(&self) -> bool {
        self.code == "not_found"
    }

    /// The same, with other words for people.
    #[must_use]
    pub fn saying(self, detail: String) -> Self {
        Self { detail, ..self }
    }

    /// An answer of the framework itself, as a problem.
    pub fn of_status(status: StatusCode) -> Self {
        let code = match status {
            StatusCode::NOT_FOUND => return Self::not_found(),
            StatusCode::METHOD_NOT_ALLOWED => "method_not_allowed",
            StatusCode::NOT_ACCEPTABLE => "not_acceptable",
            StatusCode::REQUEST_TIMEOUT => "timeout",
            StatusCode::PAYLOAD_TOO_LARGE => "too_large",
            StatusCode::UNSUPPORTED_MEDIA_TYPE => "unsupported_media_type",
            StatusCode::SERVICE_UNAVAILABLE => "unavailable",
            status if status.is_client_error() => "malformed",
            _ => "internal",
        };
        Self::new(status, code, title(code))
    }

    /// Something that should not have happened: 500, with its cause for the log.
    pub fn internal(cause: impl Into<String>) -> Self {
        let mut problem = Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "internal",
            "something went wrong here; the log of the service says what, under this request_id",
        );
        problem.cause = Some(cause.into());
        problem
    }

    /// The document, as the client gets it.
    pub fn document(&self, request_id: &str) -> Value {
        let mut document = json!({
            "type": format!("urn:lustrum:problem:{}", self.code),
            "title": title(self.code),
            "status": self.status.as_u16(),
            "detail": self.detail,
            "code": self.code,
            "request_id": request_id,
        });
        if let Value::Object(members) = &mut document {
            if !self.errors.is_empty() {
                members.insert("errors".into(), Value::Array(self.errors.clone()));
            }
            members.extend(self.more.clone());
        }
        document
    }
}

/// A fault of the body has a pointer, one of the query a parameter.
fn place(fault: &Fault) -> Value {
    if let Some(cell) = &fault.cell {
        let mut place = json!({
            "pointer": fault.pointer, "code": fault.code, "detail": fault.detail, "line": cell.line,
        });
        if let (Some(column), Value::Object(members)) = (&cell.column, &mut place) {
            members.insert("column".into(), column.as_str().into());
            members.insert("value".into(), cell.value.as_deref().unwrap_or_default().into());
        }
        return place;
    }
    if fault.pointer.is_empty() || fault.pointer.starts_with('/') {
        json!({"pointer": fault.pointer, "code": fault.code, "detail": fault.detail})
    } else {
        json!({"parameter": fault.pointer, "code": fault.code, "detail": fault.detail})
    }
}

impl From<AppError> for Problem {
    fn from(error: AppError) -> Self {
        match error {
            AppError::Rule(rule) => rule.into(),
            AppError::Database(error) => error.into(),
        }
    }
}

impl From<Rule> for Problem {
    fn from(rule: Rule) -> Self {
        match rule {
            Rule::NotSignedIn => Self::new(
                StatusCode::UNAUTHORIZED,
                "not_signed_in",
                "sign in, and send the access token as Authorization: Bearer",
            ),
            Rule::SignInFailed => Self::new(
                StatusCode::UNAUTHORIZED,
                "sign_in_failed",
                "address and password do not belong together, or the session has ended",
            ),
            Rule::Forbidden(detail) => Self::new(StatusCode::FORBIDDEN, "forbidden", detail),
            Rule::NotFound => Self::not_found(),
            Rule::Gone { code, detail } => Self::new(StatusCode::GONE, code, detail),
            Rule::Malformed(faults) => Self::malformed(&faults),
            Rule::Refused { code, detail, faults, more } => {
                let mut problem = Self::new(StatusCode::UNPROCESSABLE_ENTITY, code, detail);
                problem.errors = faults.iter().map(place).collect();
                problem.more = more;
                problem
            }
            Rule::State { code, detail, errors, more } => {
                let mut problem = Self::new(StatusCode::CONFLICT, code, detail);
                problem.errors = errors;
                problem.more = more;
                problem
            }
            Rule::Stale => Self::new(
                StatusCode::PRECONDITION_FAILED,
                "precondition_failed",
                "it was changed in between: read it again, and send its present ETag in If-Match",
            ),
        }
    }
}

impl From<Database> for Problem {
    fn from(error: Database) -> Self {
        match error {
            Database::NotFound => Self::not_found(),
            Database::Busy => Self::new(
                StatusCode::SERVICE_UNAVAILABLE,
                "unavailable",
                "too much is waiting; nothing was done, try again in a moment",
            ),
            Database::OutcomeUnknown(why) => {
                let mut problem = Self::new(
                    StatusCode::SERVICE_UNAVAILABLE,
                    "outcome_unknown",
                    "the database did not say whether it was done: repeat with the same Idempotency-Key",
                );
                problem.cause = Some(why);
                problem
            }
            other => Self::internal(other.to_string()),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.code, self.detail)
    }
}

impl ResponseError for Problem {
    fn status_code(&self) -> StatusCode {
        self.status
    }

    /// Only the mark: the outermost middleware knows the request id and writes the document.
    fn error_response(&self) -> HttpResponse {
        let mut response = match &self.request_id {
            Some(id) => HttpResponse::build(self.status)
                .content_type("application/problem+json")
                .body(self.document(id).to_string()),
            None => HttpResponse::build(self.status).finish(),
        };
        response.extensions_mut().insert(self.clone());
        if self.status == StatusCode::UNAUTHORIZED {
            response.headers_mut().insert(header::WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"));
        }
        let unavailable = (self.status == StatusCode::SERVICE_UNAVAILABLE).then_some(1);
        if let Some(seconds) = self.retry_after.or(unavailable) {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        if let Some(allow) = self.allow.as_deref().and_then(|allow| HeaderValue::from_str(allow).ok()) {
            response.headers_mut().insert(header::ALLOW, allow);
        }
        response
    }
}
