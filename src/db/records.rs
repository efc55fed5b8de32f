//! The shop's records, each once, in one unbroken order; and the running numbers of jobs and warranties.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::{both, insert_all};
use super::error::Error;
use super::schema::{counters, record_persons, records};
use super::scope::Shop;
use super::types::{At, Uid};
use super::{Conn, Tx};
use crate::core::ids::{Digest, Numbered, RunningNumber};
use crate::core::record::{Salt, leaf_hash};
use crate::core::words::RecordKind;

/// A text that names a person: the record's body holds its digest at `place`.
#[derive(Debug, Clone)]
pub struct PersonalText {
    /// JSON pointer into the body, to where the digest stands.
    pub place: String,
    /// Erased together with the text.
    pub salt: Salt,
    /// The text.
    pub text: String,
}

/// A record as it is kept.
#[derive(Debug, Clone)]
pub struct RecordRow {
    /// Its place in the shop's order, from 1 on without gaps.
    pub seq: i64,
    /// What kind of document it is.
    pub kind: String,
    /// What it is about, as `job:ID`, `vehicle:ID`, `warranty:ID`, `terms:ID`.
    pub subject: String,
    /// Canonical JSON (RFC 8785).
    pub body: String,
    /// SHA-256 of the body.
    pub digest: Digest,
    /// When it was kept.
    pub recorded_at: DateTime<Utc>,
}

/// Where a record was put.
#[derive(Debug, Clone, Copy)]
pub struct Kept {
    /// Its place in the shop's order.
    pub seq: i64,
    /// SHA-256 of its body.
    pub digest: Digest,
}

/// The next value of a counter of the shop. The row stays locked until the transaction ends, so that numbers
/// have no gaps and are never given twice.
fn count(tx: &mut Tx<'_>, scope: &Shop, kind: &str, year: i32) -> Result<i64, Error> {
    count_on(tx, scope, kind, year, 1)
}

/// Takes so many values of a counter at once; answers the last.
fn count_on(tx: &mut Tx<'_>, scope: &Shop, kind: &str, year: i32, by: i64) -> Result<i64, Error> {
    Ok(both!(tx, c => diesel::insert_into(counters::table)
        .values((
            counters::shop_id.eq(Uid::of(scope.id())),
            counters::kind.eq(kind),
            counters::year.eq(year),
            counters::value.eq(by),
        ))
        .on_conflict((counters::shop_id, counters::kind, counters::year))
        .do_update()
        .set(counters::value.eq(counters::value + by))
        .returning(counters::value)
        .get_result::<i64>(c))?)
}

/// The next running number of the shop in this local year.
pub fn next_number(tx: &mut Tx<'_>, scope: &Shop, of: Numbered, year: u16) -> Result<RunningNumber, Error> {
    let value = count(tx, scope, &of.letter().to_string(), i32::from(year))?;
    let count = u32::try_from(value).map_err(|_| Error::Other("more numbers than a year can hold".into()))?;
    Ok(RunningNumber { of, year, count })
}

/// The shop's next running numbers in this local year, so many, in order.
pub fn next_numbers(
    tx: &mut Tx<'_>,
    scope: &Shop,
    of: Numbered,
    year: u16,
    many: usize,
) -> Result<Vec<RunningNumber>, Error> {
    let too_many = |_| Error::Other("more numbers than a year can hold".into());
    let by = i64::try_from(many).unwrap_or(i64::MAX);
    let last = u32::try_from(count_on(tx, scope, &of.letter().to_string(), i32::from(year), by)?)
        .map_err(too_many)?;
    let first = last + 1 - u32::try_from(many).unwrap_or(last);
    Ok((first..=last).map(|count| RunningNumber { of, year, count }).collect())
}

/// A document about to be kept.
#[derive(Debug, Clone)]
pub struct NewRecord {
    /// What kind of document it is.
    pub kind: RecordKind,
    /// What it is about.
    pub subject: String,
    /// Canonical JSON (RFC 8785).
    pub body: String,
    /// SHA-256 of the body.
    pub digest: Digest,
    /// Of the body, as it stands in the log (RFC 9162).
    pub leaf: Digest,
    /// The texts that it names persons with.
    pub persons: Vec<PersonalText>,
}

impl NewRecord {
    /// A document whose `body` is canonical JSON; refused where that is not UTF-8.
    pub fn new(
        kind: RecordKind,
        subject: String,
        body: Vec<u8>,
        persons: Vec<PersonalText>,
    ) -> Result<Self, Error> {
        let (digest, leaf) = (Digest::of(&body), leaf_hash(&body));
        let body = String::from_utf8(body).map_err(|e| Error::Other(e.to_string()))?;
        Ok(Self { kind, subject, body, digest, leaf, persons })
    }
}

/// Keeps documents as [`append_record`] does, many at once; answers the place of the first.
pub fn append_records(
    tx: &mut Tx<'_>,
    scope: &Shop,
    new: Vec<NewRecord>,
    at: DateTime<Utc>,
) -> Result<i64, Error> {
    let shop = Uid::of(scope.id());
    let many = i64::try_from(new.len()).unwrap_or(i64::MAX);
    let first = count_on(tx, scope, "record", 0, many)? - many + 1;
    let (mut rows, mut persons) = (Vec::new(), Vec::new());
    for (seq, one) in (first..).zip(new) {
        rows.push((
            records::shop_id.eq(shop),
            records::seq.eq(seq),
            records::kind.eq(one.kind.as_str()),
            records::subject.eq(one.subject),
            records::body.eq(one.body),
            records::digest.eq(one.digest.as_bytes().to_vec()),
            records::leaf.eq(one.leaf.as_bytes().to_vec()),
            records::recorded_at.eq(At(at)),
        ));
        persons.extend(one.persons.into_iter().map(|person| {
            (
                record_persons::shop_id.eq(shop),
                record_persons::seq.eq(seq),
                record_persons::place.eq(person.place),
                record_persons::salt.eq(person.salt.to_vec()),
                record_persons::text.eq(person.text),
            )
        }));
    }
    insert_all!(tx, records::table, rows)?;
    insert_all!(tx, record_persons::table, persons)?;
    Ok(first)
}

/// Keeps a document that people answer for, at the shop's next place. Called in the transaction that writes the fact.
///
/// ```compile_fail
/// // A record belongs to a shop: without one it does not compile.
/// use lustrum::db::{Tx, records};
/// fn keep(tx: &mut Tx<'_>, new: records::NewRecord, at: chrono::DateTime<chrono::Utc>) {
///     let _ = records::append_record(tx, new, at);
/// }
/// ```
///
/// ```
/// use lustrum::db::{Shop, Tx, records};
/// fn keep(tx: &mut Tx<'_>, shop: &Shop, new: records::NewRecord, at: chrono::DateTime<chrono::Utc>) {
///     let _ = records::append_record(tx, shop, new, at);
/// }
/// ```
pub fn append_record(
    tx: &mut Tx<'_>,
    scope: &Shop,
    new: NewRecord,
    at: DateTime<Utc>,
) -> Result<Kept, Error> {
    let NewRecord { kind, subject, body, digest, leaf, persons } = new;
    let seq = count(tx, scope, "record", 0)?;
    diesel::insert_into(records::table)
        .values((
            records::shop_id.eq(Uid::of(scope.id())),
            records::seq.eq(seq),
            records::kind.eq(kind.as_str()),
            records::subject.eq(subject),
            records::body.eq(body),
            records::digest.eq(digest.as_bytes().as_slice()),
            records::leaf.eq(leaf.as_bytes().as_slice()),
            records::recorded_at.eq(At(at)),
        ))
        .execute(tx.multi())?;
    for person in persons {
        diesel::insert_into(record_persons::table)
            .values((
                record_persons::shop_id.eq(Uid::of(scope.id())),
                record_persons::seq.eq(seq),
                record_persons::place.eq(person.place),
                record_persons::salt.eq(person.salt.as_slice()),
                record_persons::text.eq(person.text),
            ))
            .execute(tx.multi())?;
    }
    Ok(Kept { seq, digest })
}

type Columns = (i64, String, String, String, Vec<u8>, At);

/// What is read of a record.
const COLUMNS: (
    records::seq,
    records::kind,
    records::subject,
    records::body,
    records::digest,
    records::recorded_at,
) = (records::seq, records::kind, records::subject, records::body, records::digest, records::recorded_at);

fn row((seq, kind, subject, body, digest, at): Columns) -> Result<RecordRow, Error> {
    let digest =
        <[u8; 32]>::try_from(digest).map_err(|_| Error::Other(format!("record {seq} has no digest")))?;
    Ok(RecordRow { seq, kind, subject, body, digest: Digest::from_bytes(digest), recorded_at: at.0 })
}

/// The shop's records in order, after the one at place `after`.
pub fn list(conn: &mut Conn, scope: &Shop, after: i64, limit: i64) -> Result<Vec<RecordRow>, Error> {
    records::table
        .filter(records::shop_id.eq(Uid::of(scope.id())))
        .filter(records::seq.gt(after))
        .order(records::seq)
        .limit(limit)
        .select(COLUMNS)
        .load::<Columns>(conn.multi())?
        .into_iter()
        .map(row)
        .collect()
}

/// The leaf hashes of all records of the shop, in order: what the head of the Merkle tree is worked out from.
pub fn leaves(conn: &mut Conn, scope: &Shop) -> Result<Vec<Digest>, Error> {
    records::table
        .filter(records::shop_id.eq(Uid::of(scope.id())))
        .order(records::seq)
        .select(records::leaf)
        .load::<Vec<u8>>(conn.multi())?
        .into_iter()
        .map(|leaf| super::digest(&leaf))
        .collect()
}

/// The shop's records about `subject`, in order.
pub fn about(conn: &mut Conn, scope: &Shop, subject: &str) -> Result<Vec<RecordRow>, Error> {
    records::table
        .filter(records::shop_id.eq(Uid::of(scope.id())))
        .filter(records::subject.eq(subject))
        .order(records::seq)
        .select(COLUMNS)
        .load::<Columns>(conn.multi())?
        .into_iter()
        .map(row)
        .collect()
}

/// The personal texts of one record.
pub fn personal_texts(conn: &mut Conn, scope: &Shop, seq: i64) -> Result<Vec<PersonalText>, Error> {
    record_persons::table
        .filter(record_persons::shop_id.eq(Uid::of(scope.id())))
        .filter(record_persons::seq.eq(seq))
        .order(record_persons::place)
        .select((record_persons::place, record_persons::salt, record_persons::text))
        .load::<(String, Vec<u8>, String)>(conn.multi())?
        .into_iter()
        .map(|(place, salt, text)| {
            let salt =
                Salt::try_from(salt).map_err(|_| Error::Other(format!("record {seq} has a broken salt")))?;
            Ok(PersonalText { place, salt, text })
        })
        .collect()
}
