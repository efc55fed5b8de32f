//! Why a use case was not done: a rule, or the database.

use crate::core::error::Error as Rule;
pub use crate::db::Error as Database;

/// Why a use case was not done.
#[derive(Debug)]
pub enum Error {
    /// A rule refused it.
    Rule(Rule),
    /// The database could not.
    Database(Database),
}

impl From<Rule> for Error {
    fn from(rule: Rule) -> Self {
        Self::Rule(rule)
    }
}

impl From<Database> for Error {
    fn from(error: Database) -> Self {
        match error {
            Database::NotFound => Self::Rule(Rule::NotFound),
            other => Self::Database(other),
        }
    }
}

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Rule(Rule::Refused { detail, faults, .. }) => {
                write!(f, "{detail}")?;
                faults.iter().try_for_each(|fault| write!(f, "; {}: {}", fault.pointer, fault.detail))
            }
            Self::Rule(Rule::State { detail, .. } | Rule::Forbidden(detail)) => f.write_str(detail),
            Self::Rule(Rule::Malformed(faults)) => {
                f.write_str("not of the described shape")?;
                faults.iter().try_for_each(|fault| write!(f, "; {}: {}", fault.pointer, fault.detail))
            }
            Self::Rule(Rule::Gone { detail, .. }) => f.write_str(detail),
            Self::Rule(Rule::NotFound) => f.write_str("not found"),
            Self::Rule(Rule::NotSignedIn) => f.write_str("not signed in"),
            Self::Rule(Rule::SignInFailed) => {
                f.write_str("e-mail address and password do not belong together")
            }
            Self::Rule(Rule::Stale) => f.write_str("somebody else changed it in between"),
            Self::Database(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Error {}
