//! Lines of text with code and links in them: what templates are given.

/// A stretch of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) text: String,
    pub(crate) code: bool,
    pub(crate) link: Option<String>,
}

impl Span {
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), code: false, link: None }
    }

    pub(crate) fn code(text: impl Into<String>) -> Self {
        Self { text: text.into(), code: true, link: None }
    }

    pub(crate) fn link(text: impl Into<String>, to: impl Into<String>) -> Self {
        Self { text: text.into(), code: true, link: Some(to.into()) }
    }
}

pub(crate) type Line = Vec<Span>;

/// A text in which code stands between backticks.
pub(crate) fn line(text: &str) -> Line {
    let parts = text.split('`').enumerate();
    parts
        .filter(|(_, part)| !part.is_empty())
        .map(|(i, part)| if i % 2 == 1 { Span::code(part) } else { Span::plain(part) })
        .collect()
}

/// A text of several paragraphs, with an empty line between them. What stands in a fence is for those who read the
/// source.
pub(crate) fn paragraphs(text: &str) -> Vec<Line> {
    let text = text.split("```").next().unwrap_or_default();
    text.split("\n\n")
        .map(|paragraph| line(&paragraph.lines().map(str::trim).collect::<Vec<_>>().join(" ")))
        .filter(|line| !line.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Span, paragraphs};

    #[test]
    fn code_stands_between_backticks_and_fences_are_left_out() {
        let read = paragraphs("Kept by\n`number`.\n\nSecond.\n\n```\nlet x;\n```");
        let first = vec![Span::plain("Kept by "), Span::code("number"), Span::plain(".")];
        assert_eq!(read, [first, vec![Span::plain("Second.")]]);
    }
}
