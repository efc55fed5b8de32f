//! Settings, keys and ticks of the whole installation.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::{keys, settings, ticks};
use super::scope::Installation;
use super::types::At;
use super::{Conn, Tx};

/// The value of a setting of the installation.
pub fn setting(conn: &mut Conn, _: &Installation, name: &str) -> Result<Option<String>, Error> {
    Ok(settings::table.find(name).select(settings::value).first(conn.multi()).optional()?)
}

/// Sets a setting of the installation.
pub fn set_setting(tx: &mut Tx<'_>, _: &Installation, name: &str, value: &str) -> Result<(), Error> {
    both!(tx, c => diesel::insert_into(settings::table)
        .values((settings::name.eq(name), settings::value.eq(value)))
        .on_conflict(settings::name)
        .do_update()
        .set(settings::value.eq(value))
        .execute(c))?;
    Ok(())
}

/// A secret of the installation.
#[derive(Clone)]
pub struct KeyRow {
    /// Its public name.
    pub id: String,
    /// The secret itself.
    pub secret: Vec<u8>,
    /// Since when it is no longer used for new signatures.
    pub retired_at: Option<DateTime<Utc>>,
}

/// The keys for one purpose, newest first.
pub fn keys_for(conn: &mut Conn, _: &Installation, purpose: &str) -> Result<Vec<KeyRow>, Error> {
    Ok(keys::table
        .filter(keys::purpose.eq(purpose))
        .order((keys::created_at.desc(), keys::id.desc()))
        .select((keys::id, keys::secret, keys::retired_at))
        .load::<(String, Vec<u8>, Option<At>)>(conn.multi())?
        .into_iter()
        .map(|(id, secret, retired_at)| KeyRow { id, secret, retired_at: retired_at.map(|at| at.0) })
        .collect())
}

/// Keeps a new key.
pub fn add_key(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: &str,
    purpose: &str,
    secret: &[u8],
    at: DateTime<Utc>,
) -> Result<(), Error> {
    diesel::insert_into(keys::table)
        .values((
            keys::id.eq(id),
            keys::purpose.eq(purpose),
            keys::secret.eq(secret),
            keys::created_at.eq(At(at)),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// From now on none of the keys for a purpose signs any more.
pub fn retire_keys(tx: &mut Tx<'_>, _: &Installation, purpose: &str, at: DateTime<Utc>) -> Result<(), Error> {
    let signing = keys::table.filter(keys::purpose.eq(purpose)).filter(keys::retired_at.is_null());
    diesel::update(signing).set(keys::retired_at.eq(Some(At(at)))).execute(tx.multi())?;
    Ok(())
}

/// The instant of the last tick of a task.
pub fn last_tick(conn: &mut Conn, _: &Installation, task: &str) -> Result<Option<DateTime<Utc>>, Error> {
    Ok(ticks::table
        .filter(ticks::task.eq(task))
        .select(ticks::at)
        .order(ticks::at.desc())
        .first::<At>(conn.multi())
        .optional()?
        .map(|at| at.0))
}

/// Claims the tick of `task` at `at` for whoever comes first; false when another replica has it.
pub fn claim_tick(tx: &mut Tx<'_>, _: &Installation, task: &str, at: DateTime<Utc>) -> Result<bool, Error> {
    let inserted = both!(tx, c => diesel::insert_into(ticks::table)
        .values((ticks::task.eq(task), ticks::at.eq(At(at))))
        .on_conflict_do_nothing()
        .execute(c))?;
    Ok(inserted == 1)
}
