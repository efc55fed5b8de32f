//! Addresses that take no more mails, as servers said.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::suppressions;
use super::scope::Shop;
use super::types::{At, Uid};
use super::{Conn, Tx};

/// Puts an address down; what was said of it first stays.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, email: &str, words: &str, at: DateTime<Utc>) -> Result<(), Error> {
    both!(tx, c => diesel::insert_into(suppressions::table)
        .values((
            suppressions::shop_id.eq(Uid::of(scope.id())),
            suppressions::email.eq(email),
            suppressions::words.eq(words),
            suppressions::suppressed_at.eq(At(at)),
        ))
        .on_conflict_do_nothing()
        .execute(c))?;
    Ok(())
}

/// Of these addresses those that take no more mails: each with what was said, and when.
pub fn of(
    conn: &mut Conn,
    scope: &Shop,
    emails: &[&str],
) -> Result<Vec<(String, String, DateTime<Utc>)>, Error> {
    let rows: Vec<(String, String, At)> = suppressions::table
        .filter(suppressions::shop_id.eq(Uid::of(scope.id())))
        .filter(suppressions::email.eq_any(emails))
        .select((suppressions::email, suppressions::words, suppressions::suppressed_at))
        .load(conn.multi())?;
    Ok(rows.into_iter().map(|(email, words, at)| (email, words, at.0)).collect())
}

/// Takes an address off again.
pub fn remove(tx: &mut Tx<'_>, scope: &Shop, email: &str) -> Result<(), Error> {
    let held = suppressions::table
        .filter(suppressions::shop_id.eq(Uid::of(scope.id())))
        .filter(suppressions::email.eq(email));
    diesel::delete(held).execute(tx.multi())?;
    Ok(())
}
