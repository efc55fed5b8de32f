//! Lists in one cell: parts with a mark between them; a backslash takes its meaning from a mark.

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
