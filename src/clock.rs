//! What time it is. Only `main`, `app` and the tests touch it; everything below takes time as an argument.

use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, SubsecRound, TimeDelta, Utc};

/// A source of the present instant, always to the microsecond.
#[derive(Debug, Clone)]
pub enum Clock {
    /// The machine's.
    System,
    /// The machine's, moved: a drill that runs on from another instant.
    Moved(TimeDelta),
    /// Stands still until it is set: tests and the demo's story.
    Fixed(Arc<Mutex<DateTime<Utc>>>),
}

impl Clock {
    /// A clock that stands at `at`.
    pub fn fixed(at: DateTime<Utc>) -> Self {
        Self::Fixed(Arc::new(Mutex::new(at)))
    }

    /// A clock that shows `at` now and runs on from there.
    pub fn from(at: DateTime<Utc>) -> Self {
        Self::Moved(at - Utc::now())
    }

    /// The present instant.
    pub fn now(&self) -> DateTime<Utc> {
        match self {
            Self::System => Utc::now(),
            Self::Moved(by) => Utc::now() + *by,
            Self::Fixed(at) => *at.lock().unwrap_or_else(PoisonError::into_inner),
        }
        .trunc_subsecs(6)
    }

    /// Sets a fixed clock; the others run by themselves and answer false.
    pub fn set(&self, to: DateTime<Utc>) -> bool {
        if let Self::Fixed(at) = self {
            *at.lock().unwrap_or_else(PoisonError::into_inner) = to;
            true
        } else {
            false
        }
    }
}
