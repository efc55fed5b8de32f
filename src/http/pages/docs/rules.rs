//! The codes of problems, as the page of rules lists them.

use crate::http::error::TITLES;

/// A code of a problem.
#[derive(Debug)]
pub(super) struct Code {
    pub(super) status: u16,
    pub(super) code: &'static str,
    pub(super) title: &'static str,
}

/// All of them, by status.
pub(super) fn codes() -> Vec<Code> {
    let mut codes: Vec<Code> =
        TITLES.iter().map(|(status, code, title)| Code { status: *status, code, title }).collect();
    codes.sort_by_key(|code| code.status);
    codes
}
