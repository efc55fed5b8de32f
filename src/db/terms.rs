<<<<<<< HEAD
//! Editions of warranty terms.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::terms;
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{Digest, MemberId, TermsId};
use crate::core::words::TermsState;

/// An edition of terms as the row says; once published, its document never changes.
#[derive(Debug, Clone)]
pub struct TermsRow {
    /// The edition.
    pub id: TermsId,
    /// What all its editions share.
    pub code: String,
    /// From 1 on, without gaps.
    pub edition: u32,
    /// Where it stands.
    pub state: TermsState,
    /// Canonical JSON (RFC 8785).
    pub document: String,
    /// SHA-256 of the document.
    pub digest: Digest,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
    /// When it was published.
    pub published_at: Option<DateTime<Utc>>,
    /// Who published it.
=======
//! Terms of a shop, in editions, and the intervals in which it is accredited by issuers.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{accreditations, terms};
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{AccreditationId, Digest, MemberId, TermsId};
use crate::core::words::TermsState;

/// An edition of terms as the row says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TermsRow {
    /// The edition.
    pub id: TermsId,
    /// Shared by all editions.
    pub code: String,
    /// From 1 on.
    pub edition: i32,
    /// Draft, published or retired.
    pub state: TermsState,
    /// The document, as JSON text.
    pub document: String,
    /// SHA-256 of the document.
    pub digest: Digest,
    /// When it was first drafted.
    pub created_at: DateTime<Utc>,
    /// When it was published.
    pub published_at: Option<DateTime<Utc>>,
    /// Who published it, cautions notwithstanding.
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    pub published_by: Option<MemberId>,
    /// Counts up with each change.
    pub version: i64,
}

<<<<<<< HEAD
#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = terms, treat_none_as_default_value = false)]
=======
#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = terms, treat_none_as_default_value = false, treat_none_as_null = true)]
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
struct Row {
    id: Uid,
    shop_id: Uid,
    code: String,
    edition: i32,
    state: Word<TermsState>,
    document: String,
    digest: Vec<u8>,
    created_at: At,
    published_at: Option<At>,
    published_by: Option<Uid>,
    version: i64,
}

<<<<<<< HEAD
=======
impl Row {
    fn of(scope: &Shop, row: &TermsRow) -> Self {
        Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            code: row.code.clone(),
            edition: row.edition,
            state: Word(row.state),
            document: row.document.clone(),
            digest: row.digest.as_bytes().to_vec(),
            created_at: At(row.created_at),
            published_at: row.published_at.map(At),
            published_by: row.published_by.map(Uid::of),
            version: row.version,
        }
    }
}

>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
impl TryFrom<Row> for TermsRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            code: row.code,
<<<<<<< HEAD
            edition: super::count_of(row.edition)?,
            state: row.state.0,
            document: row.document,
            digest: super::digest(&row.digest)?,
=======
            edition: row.edition,
            state: row.state.0,
            document: row.document,
            digest: super::digest(row.digest)?,
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
            created_at: row.created_at.0,
            published_at: row.published_at.map(|at| at.0),
            published_by: row.published_by.map(Uid::id),
            version: row.version,
        })
    }
}

<<<<<<< HEAD
/// Adds an edition; `Conflict` where the shop has it.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &TermsRow) -> Result<(), Error> {
    let row = row.clone();
    diesel::insert_into(terms::table)
        .values(Row {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            code: row.code,
            edition: super::count_as(row.edition)?,
            state: Word(row.state),
            document: row.document,
            digest: row.digest.as_bytes().to_vec(),
            created_at: At(row.created_at),
            published_at: row.published_at.map(At),
            published_by: row.published_by.map(Uid::of),
            version: row.version,
        })
        .execute(tx.multi())?;
=======
/// Adds an edition; `Conflict` when there is one of that number.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &TermsRow) -> Result<(), Error> {
    diesel::insert_into(terms::table).values(Row::of(scope, row)).execute(tx.multi())?;
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    Ok(())
}

/// One edition.
<<<<<<< HEAD
pub fn find(conn: &mut Conn, scope: &Shop, code: &str, edition: u32) -> Result<TermsRow, Error> {
    let Ok(edition) = i32::try_from(edition) else { return Err(Error::NotFound) };
=======
pub fn find(conn: &mut Conn, scope: &Shop, code: &str, edition: i32) -> Result<TermsRow, Error> {
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    terms::table
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .filter(terms::code.eq(code))
        .filter(terms::edition.eq(edition))
        .select(Row::as_select())
<<<<<<< HEAD
        .first(conn.multi())?
        .try_into()
}

/// The edition with this id.
pub fn by_id(conn: &mut Conn, scope: &Shop, id: TermsId) -> Result<TermsRow, Error> {
    terms::table
        .find(Uid::of(id))
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first(conn.multi())?
        .try_into()
}

/// The last edition of a code, perhaps only of those in this state; none where there is none.
pub fn last(
=======
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The newest edition of a code, in one state if asked.
pub fn latest(
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    conn: &mut Conn,
    scope: &Shop,
    code: &str,
    state: Option<TermsState>,
) -> Result<Option<TermsRow>, Error> {
    let mut query = terms::table
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .filter(terms::code.eq(code))
        .select(Row::as_select())
        .into_boxed();
    if let Some(state) = state {
        query = query.filter(terms::state.eq(Word(state)));
    }
    query
        .order(terms::edition.desc())
        .first::<Row>(conn.multi())
        .optional()?
        .map(TermsRow::try_from)
        .transpose()
}

<<<<<<< HEAD
/// The shop's editions, newest first, after the one with id `after`, perhaps of one code or state only.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    code: Option<&str>,
=======
/// The shop's editions, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    state: Option<TermsState>,
    after: Option<TermsId>,
    limit: i64,
) -> Result<Vec<TermsRow>, Error> {
    let mut query =
        terms::table.filter(terms::shop_id.eq(Uid::of(scope.id()))).select(Row::as_select()).into_boxed();
<<<<<<< HEAD
    if let Some(code) = code {
        query = query.filter(terms::code.eq(code.to_owned()));
=======
    if let Some(after) = after {
        query = query.filter(terms::id.lt(Uid::of(after)));
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    }
    if let Some(state) = state {
        query = query.filter(terms::state.eq(Word(state)));
    }
<<<<<<< HEAD
    if let Some(after) = after {
        query = query.filter(terms::id.lt(Uid::of(after)));
    }
    let rows = query.order(terms::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    rows.into_iter().map(TermsRow::try_from).collect()
}

/// Changes an edition when it is still of its version; false when somebody else was there first. A document that is
/// published is not touched, whatever the row says.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &TermsRow) -> Result<bool, Error> {
    let still = || {
        terms::table
            .find(Uid::of(row.id))
            .filter(terms::shop_id.eq(Uid::of(scope.id())))
            .filter(terms::version.eq(row.version))
    };
    diesel::update(still().filter(terms::state.eq(Word(TermsState::Draft))))
        .set((terms::document.eq(&row.document), terms::digest.eq(row.digest.as_bytes().to_vec())))
        .execute(tx.multi())?;
    let changed = diesel::update(still())
        .set((
            terms::state.eq(Word(row.state)),
            terms::published_at.eq(row.published_at.map(At)),
            terms::published_by.eq(row.published_by.map(Uid::of)),
            terms::version.eq(row.version + 1),
        ))
        .execute(tx.multi())?;
    Ok(changed == 1)
}
=======
    query
        .order(terms::id.desc())
        .limit(limit)
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(TermsRow::try_from)
        .collect()
}

/// Changes an edition when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &TermsRow) -> Result<bool, Error> {
    let mut new = Row::of(scope, row);
    new.version += 1;
    let changed = diesel::update(
        terms::table
            .find(Uid::of(row.id))
            .filter(terms::shop_id.eq(Uid::of(scope.id())))
            .filter(terms::version.eq(row.version)),
    )
    .set(new)
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// An interval in which the shop is accredited by an issuer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccreditationRow {
    /// The interval.
    pub id: AccreditationId,
    /// The issuer's code.
    pub issuer: String,
    /// First day.
    pub from: NaiveDate,
    /// Last day; none: no end.
    pub until: Option<NaiveDate>,
    /// Counts up with each change.
    pub version: i64,
}

type Accreditation = (Uid, String, NaiveDate, Option<NaiveDate>, i64);

fn accreditation((id, issuer, from, until, version): Accreditation) -> AccreditationRow {
    AccreditationRow { id: id.id(), issuer, from, until, version }
}

const ACCREDITATION: (
    accreditations::id,
    accreditations::issuer,
    accreditations::from_on,
    accreditations::until_on,
    accreditations::version,
) = (
    accreditations::id,
    accreditations::issuer,
    accreditations::from_on,
    accreditations::until_on,
    accreditations::version,
);

/// Adds an interval.
pub fn accredit(tx: &mut Tx<'_>, scope: &Shop, row: &AccreditationRow) -> Result<(), Error> {
    diesel::insert_into(accreditations::table)
        .values((
            accreditations::id.eq(Uid::of(row.id)),
            accreditations::shop_id.eq(Uid::of(scope.id())),
            accreditations::issuer.eq(&row.issuer),
            accreditations::from_on.eq(row.from),
            accreditations::until_on.eq(row.until),
            accreditations::version.eq(row.version),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// One interval.
pub fn accreditation_by_id(
    conn: &mut Conn,
    scope: &Shop,
    id: AccreditationId,
) -> Result<AccreditationRow, Error> {
    Ok(accreditations::table
        .find(Uid::of(id))
        .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
        .select(ACCREDITATION)
        .first::<Accreditation>(conn.multi())
        .map(accreditation)?)
}

/// The shop's intervals, newest first, after the one with id `after`.
pub fn accreditations(
    conn: &mut Conn,
    scope: &Shop,
    after: Option<AccreditationId>,
    limit: i64,
) -> Result<Vec<AccreditationRow>, Error> {
    let mut query = accreditations::table
        .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
        .select(ACCREDITATION)
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(accreditations::id.lt(Uid::of(after)));
    }
    let rows = query.order(accreditations::id.desc()).limit(limit).load::<Accreditation>(conn.multi())?;
    Ok(rows.into_iter().map(accreditation).collect())
}

/// Changes an interval when it is still of its version; false when somebody else was there first.
pub fn change_accreditation(tx: &mut Tx<'_>, scope: &Shop, row: &AccreditationRow) -> Result<bool, Error> {
    let changed = diesel::update(
        accreditations::table
            .find(Uid::of(row.id))
            .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
            .filter(accreditations::version.eq(row.version)),
    )
    .set((
        accreditations::issuer.eq(&row.issuer),
        accreditations::from_on.eq(row.from),
        accreditations::until_on.eq(row.until),
        accreditations::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Removes an interval when it is still of `version`; false when somebody else was there first.
pub fn remove_accreditation(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: AccreditationId,
    version: i64,
) -> Result<bool, Error> {
    let removed = diesel::delete(
        accreditations::table
            .find(Uid::of(id))
            .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
            .filter(accreditations::version.eq(version)),
    )
    .execute(tx.multi())?;
    Ok(removed == 1)
}
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
