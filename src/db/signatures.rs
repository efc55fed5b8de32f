//! Signatures on what was shown: added, never changed.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{jobs, signatures};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{Digest, JobId, MemberId, SignatureId};
use crate::core::signatures::{Occasion, Stroke};

/// A signature as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct SignatureRow {
    /// The signature.
    pub id: SignatureId,
    /// The job.
    pub job: JobId,
    /// What it stands under.
    pub of: Occasion,
    /// The document that was signed, as canonical JSON.
    pub document: String,
    /// The digest of that.
    pub digest: Digest,
    /// Who signed, as typed.
    pub name: String,
    /// The strokes of the pen.
    pub strokes: Vec<Stroke>,
    /// When it was signed.
    pub signed_at: DateTime<Utc>,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When.
    pub entered_at: DateTime<Utc>,
    /// The place of its record.
    pub record_seq: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = signatures)]
struct Row {
    id: Uid,
    job_id: Uid,
    occasion: Word<Occasion>,
    document: String,
    digest: Vec<u8>,
    name: String,
    strokes: Json<Vec<Stroke>>,
    signed_at: At,
    entered_by: Uid,
    entered_at: At,
    record_seq: i64,
}

impl TryFrom<Row> for SignatureRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            job: row.job_id.id(),
            of: row.occasion.0,
            document: row.document,
            digest: super::digest(&row.digest)?,
            name: row.name,
            strokes: row.strokes.0,
            signed_at: row.signed_at.0,
            entered_by: row.entered_by.id(),
            entered_at: row.entered_at.0,
            record_seq: row.record_seq,
        })
    }
}

/// Adds a signature.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &SignatureRow) -> Result<(), Error> {
    let new = row.clone();
    let new = Row {
        id: Uid::of(new.id),
        job_id: Uid::of(new.job),
        occasion: Word(new.of),
        document: new.document,
        digest: new.digest.as_bytes().to_vec(),
        name: new.name,
        strokes: Json(new.strokes),
        signed_at: At(new.signed_at),
        entered_by: Uid::of(new.entered_by),
        entered_at: At(new.entered_at),
        record_seq: new.record_seq,
    };
    diesel::insert_into(signatures::table).values(new).execute(tx.multi())?;
    Ok(())
}

/// One signature of a job of the shop.
pub fn find(conn: &mut Conn, scope: &Shop, job: JobId, id: SignatureId) -> Result<SignatureRow, Error> {
    signatures::table
        .inner_join(jobs::table.on(jobs::id.eq(signatures::job_id)))
        .filter(signatures::id.eq(Uid::of(id)))
        .filter(signatures::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The signatures of a job of the shop, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    job: JobId,
    after: Option<SignatureId>,
    limit: i64,
) -> Result<Vec<SignatureRow>, Error> {
    let mut query = signatures::table
        .inner_join(jobs::table.on(jobs::id.eq(signatures::job_id)))
        .filter(signatures::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(signatures::id.lt(Uid::of(after)));
    }
    let rows = query.order(signatures::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    rows.into_iter().map(SignatureRow::try_from).collect()
}
