//! Editions of warranty terms.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::terms;
use super::scope::{Installation, Shop};
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
    pub published_by: Option<MemberId>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = terms, treat_none_as_default_value = false)]
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

impl TryFrom<Row> for TermsRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            code: row.code,
            edition: super::count_of(row.edition)?,
            state: row.state.0,
            document: row.document,
            digest: super::digest(&row.digest)?,
            created_at: row.created_at.0,
            published_at: row.published_at.map(|at| at.0),
            published_by: row.published_by.map(Uid::id),
            version: row.version,
        })
    }
}

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
    Ok(())
}

/// One edition.
pub fn find(conn: &mut Conn, scope: &Shop, code: &str, edition: u32) -> Result<TermsRow, Error> {
    let Ok(edition) = i32::try_from(edition) else { return Err(Error::NotFound) };
    terms::table
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .filter(terms::code.eq(code))
        .filter(terms::edition.eq(edition))
        .select(Row::as_select())
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

/// The shop's editions, newest first, after the one with id `after`, perhaps of one code or state only.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    code: Option<&str>,
    state: Option<TermsState>,
    after: Option<TermsId>,
    limit: i64,
) -> Result<Vec<TermsRow>, Error> {
    let mut query =
        terms::table.filter(terms::shop_id.eq(Uid::of(scope.id()))).select(Row::as_select()).into_boxed();
    if let Some(code) = code {
        query = query.filter(terms::code.eq(code.to_owned()));
    }
    if let Some(state) = state {
        query = query.filter(terms::state.eq(Word(state)));
    }
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

/// The documents of all editions of the shop, drafts excepted.
pub fn documents(conn: &mut Conn, scope: &Shop) -> Result<Vec<String>, Error> {
    Ok(terms::table
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .filter(terms::state.ne(Word(TermsState::Draft)))
        .select(terms::document)
        .load(conn.multi())?)
}

/// The documents of all shops' editions, drafts excepted, that say when owners are told.
pub fn with_leads(conn: &mut Conn, _: &Installation) -> Result<Vec<String>, Error> {
    Ok(terms::table
        .filter(terms::state.ne(Word(TermsState::Draft)))
        .filter(terms::document.like("%\"upcoming_days\"%"))
        .select(terms::document)
        .load(conn.multi())?)
}
