//! What a rule refused, and where.

use serde::Serialize;

/// One thing that is wrong with something a person or a program gave us.
///
/// ```
/// use lustrum::core::error::Fault;
/// let fault = Fault::new("/upkeep/0/every", "period_empty", "a rule needs a period longer than nothing");
/// assert_eq!(fault.pointer, "/upkeep/0/every");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// JSON pointer (RFC 6901) to the value, or to where a missing member would stand.
    pub pointer: String,
    /// Stable snake_case word for programs.
    pub code: &'static str,
    /// A sentence for people: what was given, and what is allowed.
    pub detail: String,
}

impl Fault {
    /// A fault at `pointer`, a JSON pointer.
    pub fn new(pointer: impl Into<String>, code: &'static str, detail: impl Into<String>) -> Self {
        Self { pointer: pointer.into(), code, detail: detail.into() }
    }

    /// The same fault seen from one level further out: `prefix` is put before the pointer.
    #[must_use]
    pub fn within(mut self, prefix: &str) -> Self {
        self.pointer.insert_str(0, prefix);
        self
    }
}

/// Escapes one member name for use in a JSON pointer (RFC 6901 §3).
///
/// ```
/// assert_eq!(lustrum::core::error::escape("a/b~c"), "a~1b~0c");
/// ```
pub fn escape(member: &str) -> String {
    member.replace('~', "~0").replace('/', "~1")
}
