//! What the database answered when it could not do as asked.

use std::fmt;

use diesel::result::{DatabaseErrorKind, Error as Diesel};

/// Why the database did not do as asked.
#[derive(Debug)]
pub enum Error {
    /// No such row, or not one of this shop: the two cannot be told apart.
    NotFound,
    /// A business key is taken; names the constraint or columns as the database words them.
    Conflict(String),
    /// Too much work waits, or a lock was not to be had in time: nothing was done, try again.
    Busy,
    /// COMMIT was sent and no answer came: it may have been done or not.
    OutcomeUnknown(String),
    /// Everything else: the cause is for the log.
    Other(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFound => f.write_str("no such row"),
            Self::Conflict(what) => write!(f, "already there: {what}"),
            Self::Busy => f.write_str("the database is busy"),
            Self::OutcomeUnknown(why) => write!(f, "the outcome of the commit is unknown: {why}"),
            Self::Other(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Error {}

impl From<Diesel> for Error {
    fn from(error: Diesel) -> Self {
        match error {
            Diesel::NotFound => Self::NotFound,
            Diesel::DatabaseError(DatabaseErrorKind::UniqueViolation, about) => Self::Conflict(
                about.constraint_name().map_or_else(|| about.message().to_owned(), str::to_owned),
            ),
            Diesel::DatabaseError(DatabaseErrorKind::SerializationFailure, _) => Self::Busy,
            Diesel::DatabaseError(_, ref about) if is_busy(about.message()) => Self::Busy,
            other => Self::Other(other.to_string()),
        }
    }
}

/// SQLite says "database is locked"; PostgreSQL has no kind of its own in diesel for a lock that timed out or a
/// deadlock.
fn is_busy(message: &str) -> bool {
    ["database is locked", "lock timeout", "deadlock detected", "statement timeout"]
        .iter()
        .any(|known| message.contains(known))
}

impl From<diesel::r2d2::PoolError> for Error {
    fn from(_: diesel::r2d2::PoolError) -> Self {
        Self::Busy
    }
}
