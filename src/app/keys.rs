//! Keys with which the installation signs: for each purpose a set, the newest first. Those that are retired sign no more;
//! what they signed stays good.

use chrono::{DateTime, Utc};
use ed25519_dalek::SigningKey;
use uuid::Uuid;

use super::Error;
use crate::db::{self, Conn, Db, Installation, Tx, installation};

/// A key.
#[derive(Clone)]
pub(crate) struct Key {
    /// Its public name.
    pub(crate) id: String,
    /// Since when it signs no more.
    pub(crate) retired_at: Option<DateTime<Utc>>,
    /// The key itself.
    pub(crate) key: SigningKey,
}

/// The keys for a purpose.
pub(crate) fn of(conn: &mut Conn, scope: &Installation, purpose: &str) -> Result<Vec<Key>, Error> {
    let rows = installation::keys_for(conn, scope, purpose)?;
    let key = |row: installation::KeyRow| {
        let seed = <[u8; 32]>::try_from(row.secret.as_slice());
        let seed = seed.map_err(|_| db::Error::Other(format!("the key {} is broken", row.id)))?;
        Ok(Key { id: row.id, retired_at: row.retired_at, key: SigningKey::from_bytes(&seed) })
    };
    rows.into_iter().map(key).collect()
}

/// Makes a new key for a purpose.
pub(crate) fn make(
    tx: &mut Tx<'_>,
    scope: &Installation,
    purpose: &str,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|e| db::Error::Other(format!("no randomness: {e}")))?;
    Ok(installation::add_key(tx, scope, &Uuid::now_v7().to_string(), purpose, &seed, now)?)
}

/// The keys for a purpose; the first one is made where there is none yet.
pub(crate) fn made(db: &Db, purpose: &'static str, now: DateTime<Utc>) -> Result<Vec<Key>, Error> {
    let scope = db.installation();
    let there = db.read(|c| of(c, &scope, purpose))?;
    if !there.is_empty() {
        return Ok(there);
    }
    db.write(move |tx| {
        // Somebody else may have been first.
        if of(tx, &scope, purpose)?.is_empty() {
            make(tx, &scope, purpose, now)?;
        }
        of(tx, &scope, purpose)
    })
}
