//! What a client takes (RFC 9110 §12.5.1).

use actix_web::http::header::{self, HeaderMap};

/// How much a client wants a media type, 0 (not at all) to 1: the range that names it most closely counts. Without
/// `Accept` everything is wanted.
///
/// ```
/// use actix_web::http::header::{ACCEPT, HeaderMap, HeaderValue};
/// use lustrum::http::accept::weight;
/// let mut headers = HeaderMap::new();
/// assert_eq!(weight(&headers, "text/html"), 1.0);
/// headers.insert(ACCEPT, HeaderValue::from_static("text/html;q=0.3, text/*;q=0.9, */*;q=0.1"));
/// assert_eq!(weight(&headers, "text/html"), 0.3);
/// assert_eq!(weight(&headers, "text/plain"), 0.9);
/// assert_eq!(weight(&headers, "application/json"), 0.1);
/// ```
pub fn weight(headers: &HeaderMap, kind: &str) -> f32 {
    let mut given = headers.get_all(header::ACCEPT).peekable();
    if given.peek().is_none() {
        return 1.0;
    }
    let family = kind.split('/').next().unwrap_or_default();
    let mut best: Option<(u8, f32)> = None;
    for range in given.filter_map(|value| value.to_str().ok()).flat_map(|value| value.split(',')) {
        let mut parts = range.split(';').map(str::trim);
        let name = parts.next().unwrap_or_default().to_ascii_lowercase();
        let closeness = match name.as_str() {
            "*/*" => 0,
            name if name.strip_suffix("/*") == Some(family) => 1,
            name if name == kind => 2,
            _ => continue,
        };
        let q = parts.find_map(|parameter| {
            parameter.strip_prefix("q=").or_else(|| parameter.strip_prefix("Q="))?.parse::<f32>().ok()
        });
        if best.is_none_or(|(closest, _)| closeness > closest) {
            best = Some((closeness, q.unwrap_or(1.0)));
        }
    }
    best.map_or(0.0, |(_, q)| q)
}

/// Whether a client takes any of these.
pub fn takes(headers: &HeaderMap, kinds: &[&str]) -> bool {
    kinds.iter().any(|kind| weight(headers, kind) > 0.0)
}
