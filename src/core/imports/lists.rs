//! Lists in one cell: parts with a mark between them; a backslash takes its meaning from a mark.

use super::cells::word_of;
use super::{Column, Row};
use crate::core::error::Fault;
use crate::core::words::Panel;

/// What stands between parts of a list.
pub(super) const BETWEEN: &[char] = &[',', ';', '\n'];

/// The parts of a text between marks that no backslash precedes; backslashes stay.
pub(super) fn split<'t>(text: &'t str, marks: &[char]) -> Vec<&'t str> {
    let (mut parts, mut begun, mut escaped) = (Vec::new(), 0, false);
    for (place, c) in text.char_indices() {
        if escaped {
            escaped = false;
        } else if c == '\\' {
            escaped = true;
        } else if marks.contains(&c) {
            parts.push(&text[begun..place]);
            begun = place + c.len_utf8();
        }
    }
    parts.push(&text[begun..]);
    parts
}

/// A text at its first mark, if it has one.
pub(super) fn cut<'t>(text: &'t str, marks: &[char]) -> Option<(&'t str, char, &'t str)> {
    let first = *split(text, marks).first()?;
    let rest = &text[first.len()..];
    let mark = rest.chars().next()?;
    Some((first, mark, &rest[mark.len_utf8()..]))
}

/// A part without blanks at its ends and without backslashes.
pub(super) fn plain(part: &str) -> String {
    let (mut text, mut escaped) = (String::new(), false);
    for c in part.trim().chars() {
        if c == '\\' && !escaped {
            escaped = true;
        } else {
            escaped = false;
            text.push(c);
        }
    }
    text
}

/// A text in which no mark has a meaning.
pub(super) fn escaped(text: &str, marks: &[char]) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c == '\\' || marks.contains(&c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// The parts of a list, each once.
pub(super) fn list<T: std::str::FromStr<Err = Fault> + Ord>(
    row: &mut Row<'_, '_>,
    column: Column,
    word: &dyn Fn(&str) -> String,
) -> Vec<T> {
    let mut found: Vec<T> = Vec::new();
    let Some(text) = row.cell(column) else { return found };
    for part in split(&text, BETWEEN).into_iter().map(plain).filter(|part| !part.is_empty()) {
        match word(&part).parse() {
            Ok(value) if found.contains(&value) => {
                row.fault(column, "named_twice", format!("{part:?} stands there twice"));
            }
            Ok(value) => found.push(value),
            Err(fault) => row.fault(column, fault.code, fault.detail),
        }
    }
    found
}

/// A panel as the interface writes it: other words after `other:` are the shop's own.
pub(super) fn panel_of(text: &str) -> String {
    if text.starts_with(Panel::OTHER_PREFIX) { text.to_owned() } else { word_of(text) }
}
