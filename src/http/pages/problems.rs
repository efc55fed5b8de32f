//! What went wrong on the pages behind links, for people: a link that is not there, is gone, or was followed too often.

use actix_web::HttpResponse;
use actix_web::http::header::{self, HeaderMap};
use askama::Template;

use super::{Page, forms};
use crate::http::error::Problem;
use crate::language::Language;

#[derive(Template)]
#[template(path = "problem.html", config = "src/http/pages/askama.toml")]
struct Shown {
    l: Language,
    title: String,
    about: String,
    request_id: String,
}

/// Where pages are that stand behind links of mails and labels.
const BEHIND_LINKS: [&str; 6] = ["/my/", "/calendar/", "/confirm/", "/door/", "/unsubscribe/", "/verify/"];

/// Whether a path is behind such a link.
pub(in crate::http) fn is_behind_link(path: &str) -> bool {
    BEHIND_LINKS.iter().any(|before| path.starts_with(before))
}

/// A path as the log may have it: what stands in a link is nobody's to read there.
pub(in crate::http) fn without_secret(path: &str) -> String {
    let Some(before) = BEHIND_LINKS.iter().find(|before| path.starts_with(**before)) else {
        return path.to_owned();
    };
    let rest = path[before.len()..].split_once('/').map(|(_, rest)| format!("/{rest}"));
    format!("{before}…{}", rest.unwrap_or_default())
}

/// The page that says what went wrong, for whoever would rather have one; none for programs.
pub(in crate::http) fn page(
    problem: &Problem,
    path: &str,
    headers: &HeaderMap,
    request_id: &str,
) -> Option<HttpResponse> {
    if !is_behind_link(path) || !forms::wants_page(headers) {
        return None;
    }
    let wanted = forms::languages(headers);
    let l = Language::best(wanted.iter().map(String::as_str));
    let said = match (problem.status.as_u16(), problem.code) {
        (410, "link_used") => "used",
        (410, "link_revoked") => "revoked",
        (410, _) => "expired",
        (404, _) => "not-found",
        (429, _) => "too-many",
        (413, _) => "too-large",
        (503, _) => "not-now",
        (status, _) if status >= 500 => "broken",
        _ => "refused",
    };
    let title = l.word(&format!("page-problem-{said}-title"));
    let about = l.word(&format!("page-problem-{said}"));
    let shown = Shown { l, title, about, request_id: request_id.to_owned() };
    let mut response = Page::of(&shown).ok()?.private();
    *response.status_mut() = problem.status;
    response.headers_mut().insert(header::VARY, header::HeaderValue::from_static("accept, accept-language"));
    Some(response)
}

#[cfg(test)]
mod tests {
    use super::without_secret;

    #[test]
    fn what_stands_in_a_link_is_not_logged() {
        assert_eq!(without_secret("/my/AbC-1_2"), "/my/…");
        assert_eq!(without_secret("/my/AbC-1_2/vehicles/7/wash"), "/my/…/vehicles/7/wash");
        assert_eq!(without_secret("/v1/visits/7"), "/v1/visits/7");
    }
}
