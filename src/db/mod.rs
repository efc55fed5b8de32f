//! The only place with SQL: rows in, values of `core` out. One code for SQLite and PostgreSQL.
//!
//! Every function here takes a [`Shop`] or the [`Installation`], so that nothing of another shop can be reached by
//! forgetting a condition; the tables themselves are not visible outside.

mod backend;
mod error;
#[allow(clippy::wildcard_imports)] // as diesel prints it
mod schema;
mod scope;
mod search;
mod types;

pub mod accreditations;
pub mod addenda;
pub mod agenda;
pub mod answers;
pub mod appointments;
pub mod batches;
pub mod climate;
pub mod coats;
pub mod customers;
pub mod dues;
pub mod files;
pub mod idempotency;
pub mod imports;
pub mod installation;
pub mod jobs;
pub mod links;
pub mod marks;
pub mod notices;
pub mod outbox;
pub mod packages;
pub mod paint_readings;
pub mod parts;
pub mod passes;
pub mod people;
pub mod photos;
pub mod products;
pub mod records;
pub mod reports;
pub mod signatures;
pub mod steps;
pub mod suppressions;
pub mod surroundings;
pub mod tasks;
pub mod terms;
pub mod vehicle_events;
pub mod vehicles;
pub mod visit_photos;
pub mod visits;
pub mod warranties;

pub(crate) use backend::without_password;
pub use backend::{Conn, Tx};
pub use error::Error;
pub use scope::{Installation, Shop};

use std::sync::Arc;

use backend::{Engine, Location};
use idempotency::Once;

/// The open database.
#[derive(Clone)]
pub struct Db {
    engine: Arc<Engine>,
    once: Option<Arc<Once>>,
}

impl Db {
    /// Opens the database at `url` (`sqlite:PATH`, `postgres://…`) as it is; see [`migrate`].
    pub fn open(url: &str) -> Result<Self, Error> {
        Ok(Self { engine: Arc::new(Engine::open(Location::parse(url)?)?), once: None })
    }

    /// The scope of what belongs to no single shop.
    pub fn installation(&self) -> Installation {
        Installation { _made_by_db: () }
    }

    /// The same database, where the next write transaction keeps its answer.
    #[must_use]
    pub fn with(&self, once: Arc<Once>) -> Self {
        Self { engine: self.engine.clone(), once: Some(once) }
    }

    /// The same database, where what is written is nobody's answer.
    #[must_use]
    pub fn unanswered(&self) -> Self {
        Self { engine: self.engine.clone(), once: None }
    }

    /// How many callers can be served at once.
    pub fn connections(&self) -> u32 {
        self.engine.connections()
    }

    /// Runs `f` on one consistent state of the database; it cannot write.
    pub fn read<T, E: From<Error>>(&self, f: impl FnOnce(&mut Conn) -> Result<T, E>) -> Result<T, E> {
        self.engine.read(f)
    }

    /// Runs `f` in one transaction: when this answers `Ok`, all of it is done and on the disk; else nothing is.
    pub fn write<T, E>(&self, f: impl FnOnce(&mut Tx<'_>) -> Result<T, E> + Send + 'static) -> Result<T, E>
    where
        T: Send + 'static,
        E: From<Error> + Send + 'static,
    {
        match self.once.clone() {
            None => self.engine.write(f),
            Some(once) => self.engine.write(move |tx| once.within(tx, f)),
        }
    }
}

/// How many migrations the database at `url` still waits for.
pub fn pending(url: &str) -> Result<usize, Error> {
    backend::pending(Location::parse(url)?)
}

/// Brings the database at `url` to the present shape; answers the versions that were run.
pub fn migrate(url: &str) -> Result<Vec<String>, Error> {
    backend::migrate(Location::parse(url)?)
}

/// The LIKE pattern that finds `part` anywhere; its own wildcards are escaped with a backslash.
fn anywhere(part: &str) -> String {
    let mut pattern = String::from("%");
    for c in part.chars() {
        if matches!(c, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(c);
    }
    pattern.push('%');
    pattern
}

/// A distance in km as a column holds it.
fn km(value: i64) -> Result<u32, Error> {
    u32::try_from(value).map_err(|_| Error::Other(format!("{value} km in a row")))
}

/// A panel as a column holds it.
fn panel(text: &str) -> Result<crate::core::words::Panel, Error> {
    text.parse().map_err(|_| Error::Other(format!("no such panel: {text:?}")))
}

/// An odometer as two columns hold it.
fn odometer(
    value: Option<i64>,
    unit: Option<crate::core::words::OdometerUnit>,
) -> Result<Option<crate::core::odometer::Odometer>, Error> {
    let (Some(value), Some(unit)) = (value, unit) else { return Ok(None) };
    let read = crate::core::odometer::Odometer::new(km(value)?, unit);
    read.map(Some).map_err(|fault| Error::Other(format!("in a row: {}", fault.detail)))
}

/// An edition as a column holds it.
fn count_as(value: u32) -> Result<i32, Error> {
    i32::try_from(value).map_err(|_| Error::Other(format!("{value} does not fit a column")))
}

/// An edition as a row says it.
fn count_of(value: i32) -> Result<u32, Error> {
    u32::try_from(value).map_err(|_| Error::Other(format!("{value} in a row counts something")))
}

/// A digest as a row says it.
fn digest(bytes: &[u8]) -> Result<crate::core::ids::Digest, Error> {
    let bytes = bytes.try_into().map_err(|_| Error::Other("a row has no digest".into()))?;
    Ok(crate::core::ids::Digest::from_bytes(bytes))
}
