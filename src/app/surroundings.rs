//! What the service stands on, as far as the database can tell.

use chrono::{DateTime, Utc};

use super::{Error, sessions, setup, ticks};
use crate::config::DkimSettings;
use crate::core::error::Fault;
pub use crate::db::surroundings::Durability;
pub(crate) use crate::db::without_password;
use crate::db::{self, Db, installation, surroundings};
use crate::mail::dkim::Dkim;

/// What a database says of itself.
#[derive(Debug, Clone)]
pub struct Seen {
    /// The settings on which durability hangs.
    pub durability: Vec<Durability>,
    /// What its clock shows.
    pub clock: DateTime<Utc>,
    /// The last minute that was ticked.
    pub last_tick: Option<DateTime<Utc>>,
    /// How many keys there are to sign access tokens with.
    pub keys: usize,
    /// Whether it is a place for drills.
    pub drill: bool,
}

/// What signs mails, with its key read from the file.
pub fn dkim(settings: &DkimSettings) -> Result<Dkim, Fault> {
    let pem = std::fs::read_to_string(&settings.key_file).map_err(|e| {
        Fault::new("", "unreadable", format!("{} cannot be read: {e}", settings.key_file.display()))
    })?;
    Dkim::of(&settings.domain, &settings.selector, &pem)
}

/// How many migrations the database at `url` waits for.
pub fn pending(url: &str) -> Result<usize, Error> {
    Ok(db::pending(url)?)
}

/// Looks at a database that has been migrated.
pub fn of_database(url: &str) -> Result<Seen, Error> {
    let db = Db::open(url)?;
    let drill = setup::drill(&db)?;
    let scope = db.installation();
    db.write(move |tx| {
        Ok(Seen {
            durability: surroundings::durability(tx, &scope)?,
            clock: surroundings::clock(tx, &scope)?,
            last_tick: installation::last_tick(tx, &scope, ticks::TASK)?,
            keys: installation::keys_for(tx, &scope, sessions::ACCESS)?.len(),
            drill,
        })
    })
}
