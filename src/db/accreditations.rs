//! Intervals in which a shop says that it is accredited by an issuer.

use chrono::NaiveDate;
use diesel::prelude::*;

use super::error::Error;
use super::schema::accreditations;
use super::scope::Shop;
use super::types::Uid;
use super::{Conn, Tx};
use crate::core::ids::AccreditationId;

/// An accreditation as the row says.
#[derive(Debug, Clone)]
pub struct AccreditationRow {
    /// The accreditation.
    pub id: AccreditationId,
    /// Code of the issuer.
    pub issuer: String,
    /// Its first day.
    pub from: NaiveDate,
    /// Its last day; none: no end.
    pub until: Option<NaiveDate>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = accreditations)]
struct Row {
    id: Uid,
    shop_id: Uid,
    issuer: String,
    from_on: NaiveDate,
    until_on: Option<NaiveDate>,
    version: i64,
}

impl From<Row> for AccreditationRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            issuer: row.issuer,
            from: row.from_on,
            until: row.until_on,
            version: row.version,
        }
    }
}

/// Adds an accreditation.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &AccreditationRow) -> Result<(), Error> {
    diesel::insert_into(accreditations::table)
        .values(Row {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            issuer: row.issuer.clone(),
            from_on: row.from,
            until_on: row.until,
            version: row.version,
        })
        .execute(tx.multi())?;
    Ok(())
}

/// The accreditation with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: AccreditationId) -> Result<AccreditationRow, Error> {
    Ok(accreditations::table
        .find(Uid::of(id))
        .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first(conn.multi())
        .map(AccreditationRow::from)?)
}

/// The shop's accreditations, newest first, after the one with id `after`, perhaps of one issuer only.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    issuer: Option<&str>,
    after: Option<AccreditationId>,
    limit: i64,
) -> Result<Vec<AccreditationRow>, Error> {
    let mut query = accreditations::table
        .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(issuer) = issuer {
        query = query.filter(accreditations::issuer.eq(issuer.to_owned()));
    }
    if let Some(after) = after {
        query = query.filter(accreditations::id.lt(Uid::of(after)));
    }
    let rows = query.order(accreditations::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(AccreditationRow::from).collect())
}

/// Changes an accreditation when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &AccreditationRow) -> Result<bool, Error> {
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

/// Takes an accreditation away when it is still of this version; false when somebody else was there first.
pub fn remove(tx: &mut Tx<'_>, scope: &Shop, id: AccreditationId, version: i64) -> Result<bool, Error> {
    let removed = diesel::delete(
        accreditations::table
            .find(Uid::of(id))
            .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
            .filter(accreditations::version.eq(version)),
    )
    .execute(tx.multi())?;
    Ok(removed == 1)
}
