//! What was imported under which key, so that a file imported again adds nothing twice.

use std::collections::HashMap;

use chrono::{DateTime, Utc};
use diesel::prelude::*;
use uuid::Uuid;

use super::backend::insert_all;
use super::error::Error;
use super::schema::imports;
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::Digest;
use crate::core::imports::Kind;

/// A row that was imported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ImportedRow {
    /// Of what it said.
    pub digest: Digest,
    /// What it became: a customer, a vehicle, a job or an event.
    pub subject: Uuid,
    /// When.
    pub at: DateTime<Utc>,
}

/// Lets imports into one shop come one after the other.
pub fn lock(tx: &mut Tx<'_>, scope: &Shop) -> Result<(), Error> {
    // Rows that refer to the shop can be added meanwhile.
    tx.lock("SELECT 1 FROM shops WHERE id = $1 FOR NO KEY UPDATE", Uid::of(scope.id()))
}

/// Everything of a kind that the shop has imported, by key.
pub fn known(conn: &mut Conn, scope: &Shop, kind: Kind) -> Result<HashMap<String, ImportedRow>, Error> {
    imports::table
        .filter(imports::shop_id.eq(Uid::of(scope.id())))
        .filter(imports::kind.eq(Word(kind)))
        .select((imports::key, imports::digest, imports::subject_id, imports::imported_at))
        .load::<(String, Vec<u8>, Uid, At)>(conn.multi())?
        .into_iter()
        .map(|(key, digest, subject, at)| {
            Ok((key, ImportedRow { digest: super::digest(&digest)?, subject: subject.0, at: at.0 }))
        })
        .collect()
}

/// The keys of everything of a kind that the shop has imported, by what it became.
pub fn keys(conn: &mut Conn, scope: &Shop, kind: Kind) -> Result<HashMap<Uuid, String>, Error> {
    let rows = imports::table
        .filter(imports::shop_id.eq(Uid::of(scope.id())))
        .filter(imports::kind.eq(Word(kind)))
        // Where two keys became the same, the one that sorts last is told, each time.
        .order(imports::key)
        .select((imports::subject_id, imports::key))
        .load::<(Uid, String)>(conn.multi())?;
    Ok(rows.into_iter().map(|(subject, key)| (subject.0, key)).collect())
}

/// Remembers what rows became: key, digest and subject of each.
pub fn add_all(
    tx: &mut Tx<'_>,
    scope: &Shop,
    kind: Kind,
    at: DateTime<Utc>,
    rows: &[(String, Digest, Uuid)],
) -> Result<(), Error> {
    let values = rows.iter().map(|(key, digest, subject)| {
        (
            imports::shop_id.eq(Uid::of(scope.id())),
            imports::kind.eq(Word(kind)),
            imports::key.eq(key.clone()),
            imports::digest.eq(digest.as_bytes().to_vec()),
            imports::subject_id.eq(Uid(*subject)),
            imports::imported_at.eq(At(at)),
        )
    });
    insert_all!(tx, imports::table, values)
}
