//! What a rule refused, and where.

use serde::Serialize;
use serde_json::{Map, Value};

/// One thing that is wrong with something a person or a program gave us.
///
/// ```
/// use lustrum::core::error::Fault;
/// let fault = Fault::new("/upkeep/0/every", "period_empty", "a rule needs a period longer than nothing");
/// assert_eq!(fault.pointer, "/upkeep/0/every");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Fault {
    /// JSON pointer (RFC 6901) to the value, or to where a missing member would stand.
    pub pointer: String,
    /// Stable snake_case word for programs.
    pub code: &'static str,
    /// A sentence for people: what was given, and what is allowed.
    pub detail: String,
    /// Where it stands in a file that is a table.
    #[serde(skip)]
    #[schema(ignore)]
    pub cell: Option<Box<Cell>>,
}

/// A place in a file that is a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The line, from 1 on.
    pub line: u64,
    /// The header of the column, as the file has it; none: the row as a whole.
    pub column: Option<String>,
    /// What stands there.
    pub value: Option<String>,
}

impl Fault {
    /// A fault at `pointer`, a JSON pointer.
    pub fn new(pointer: impl Into<String>, code: &'static str, detail: impl Into<String>) -> Self {
        Self { pointer: pointer.into(), code, detail: detail.into(), cell: None }
    }

    /// The same fault seen from one level further out: `prefix` is put before the pointer.
    #[must_use]
    pub fn within(mut self, prefix: &str) -> Self {
        self.pointer.insert_str(0, prefix);
        self
    }

    /// Whether it is about the value at `pointer` or something in it.
    ///
    /// ```
    /// use lustrum::core::error::Fault;
    /// let fault = Fault::new("/upkeep/1/every", "period_zero", "");
    /// assert!(fault.is_within("/upkeep/1") && fault.is_within("/upkeep/1/every") && fault.is_within(""));
    /// assert!(!fault.is_within("/upkeep/1/e") && !fault.is_within("/upkeep/10"));
    /// ```
    pub fn is_within(&self, pointer: &str) -> bool {
        self.pointer.strip_prefix(pointer).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.pointer.is_empty() {
            f.write_str(&self.detail)
        } else {
            write!(f, "{}: {}", self.pointer, self.detail)
        }
    }
}

impl std::error::Error for Fault {}

/// Escapes one member name for use in a JSON pointer (RFC 6901 §3).
///
/// ```
/// assert_eq!(lustrum::core::error::escape("a/b~c"), "a~1b~0c");
/// ```
pub fn escape(member: &str) -> String {
    member.replace('~', "~0").replace('/', "~1")
}

/// Why something was not done.
#[derive(Debug, Clone, PartialEq)]
pub enum Error {
    /// Nobody is signed in, or no longer.
    NotSignedIn,
    /// E-mail address and password do not belong together, or a session has ended.
    SignInFailed,
    /// This role may not do that; the text says which may.
    Forbidden(String),
    /// No such thing, or not this shop's: the two cannot be told apart.
    NotFound,
    /// It was there and is no more.
    Gone {
        /// The word of the interface.
        code: &'static str,
        /// One sentence.
        detail: &'static str,
    },
    /// What was given does not have the described shape.
    Malformed(Vec<Fault>),
    /// What was given has the right shape, but a rule refuses it.
    Refused {
        /// `rule_broken`, or the more telling word of the interface.
        code: &'static str,
        /// One sentence.
        detail: String,
        /// Every rule that was broken.
        faults: Vec<Fault>,
        /// Further members of the answer.
        more: Map<String, Value>,
    },
    /// Not in this state.
    State {
        /// The word of the interface.
        code: &'static str,
        /// One sentence.
        detail: String,
        /// What stands in the way, in the shape that the interface gives it.
        errors: Vec<Value>,
        /// Further members of the answer.
        more: Map<String, Value>,
    },
    /// Somebody else changed it in between.
    Stale,
}

impl Error {
    /// Broken rules, all of them.
    pub fn rules(faults: Vec<Fault>) -> Self {
        let detail = match faults.as_slice() {
            [one] => one.detail.clone(),
            many => format!("{} rules are broken", many.len()),
        };
        Self::Refused { code: "rule_broken", detail, faults, more: Map::new() }
    }

    /// One broken rule.
    pub fn rule(pointer: impl Into<String>, code: &'static str, detail: impl Into<String>) -> Self {
        Self::rules(vec![Fault::new(pointer, code, detail)])
    }

    /// It was there and is no more.
    pub fn gone(code: &'static str, detail: &'static str) -> Self {
        Self::Gone { code, detail }
    }

    /// Not in this state, with nothing more to say than one sentence.
    pub fn state(code: &'static str, detail: impl Into<String>) -> Self {
        Self::State { code, detail: detail.into(), errors: Vec::new(), more: Map::new() }
    }
}

/// `Ok` when nothing was found, else all that was found as broken rules.
pub fn all_clear(faults: Vec<Fault>) -> Result<(), Error> {
    if faults.is_empty() { Ok(()) } else { Err(Error::rules(faults)) }
}
