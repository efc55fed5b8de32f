//! Files that photos name, whichever shop's: a row stands while the file does, and is what is locked for both.

use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::{files, photos};
use super::scope::Installation;
use super::{Conn, Tx};
use crate::core::ids::Digest;

/// Holds a file until the transaction ends: nobody else names or removes it meanwhile.
pub fn hold(tx: &mut Tx<'_>, _: &Installation, digest: Digest) -> Result<(), Error> {
    let bytes = digest.as_bytes().as_slice();
    both!(tx, c => diesel::insert_into(files::table)
        .values(files::digest.eq(bytes))
        .on_conflict(files::digest)
        .do_update()
        .set(files::digest.eq(bytes))
        .execute(c))?;
    Ok(())
}

/// Whether a photo names the file.
pub fn is_named(conn: &mut Conn, _: &Installation, digest: Digest) -> Result<bool, Error> {
    let named = photos::table.filter(photos::digest.eq(digest.as_bytes().as_slice()));
    let found: i64 = named.count().get_result(conn.multi())?;
    Ok(found > 0)
}

/// Forgets a file that no photo names.
pub fn forget(tx: &mut Tx<'_>, _: &Installation, digest: Digest) -> Result<(), Error> {
    diesel::delete(files::table.find(digest.as_bytes().as_slice())).execute(tx.multi())?;
    Ok(())
}
