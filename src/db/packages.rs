//! Packages of a shop.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::packages;
use super::scope::Shop;
use super::types::{At, Json, Uid};
use super::{Conn, Tx};
use crate::core::ids::PackageId;
use crate::core::packages::Package;

/// A package as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct PackageRow {
    /// The package.
    pub id: PackageId,
    /// What it asks for.
    pub package: Package,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

type Stored = (Uid, Json<Package>, At, i64);

const STORED: (packages::id, packages::document, packages::created_at, packages::version) =
    (packages::id, packages::document, packages::created_at, packages::version);

fn row((id, package, created_at, version): Stored) -> PackageRow {
    PackageRow { id: id.id(), package: package.0, created_at: created_at.0, version }
}

/// Adds a package; `Conflict` where the shop has one of this code.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &PackageRow) -> Result<(), Error> {
    diesel::insert_into(packages::table)
        .values((
            packages::id.eq(Uid::of(row.id)),
            packages::shop_id.eq(Uid::of(scope.id())),
            packages::code.eq(&row.package.code),
            packages::document.eq(Json(row.package.clone())),
            packages::created_at.eq(At(row.created_at)),
            packages::version.eq(row.version),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The package with this code.
pub fn find(conn: &mut Conn, scope: &Shop, code: &str) -> Result<PackageRow, Error> {
    Ok(packages::table
        .filter(packages::shop_id.eq(Uid::of(scope.id())))
        .filter(packages::code.eq(code))
        .select(STORED)
        .first::<Stored>(conn.multi())
        .map(row)?)
}

/// The shop's packages, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    after: Option<PackageId>,
    limit: i64,
) -> Result<Vec<PackageRow>, Error> {
    let mut query =
        packages::table.filter(packages::shop_id.eq(Uid::of(scope.id()))).select(STORED).into_boxed();
    if let Some(after) = after {
        query = query.filter(packages::id.lt(Uid::of(after)));
    }
    let rows = query.order(packages::id.desc()).limit(limit).load::<Stored>(conn.multi())?;
    Ok(rows.into_iter().map(row).collect())
}

/// Changes a package when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &PackageRow) -> Result<bool, Error> {
    let changed = diesel::update(
        packages::table
            .find(Uid::of(row.id))
            .filter(packages::shop_id.eq(Uid::of(scope.id())))
            .filter(packages::version.eq(row.version)),
    )
    .set((
        packages::code.eq(&row.package.code),
        packages::document.eq(Json(row.package.clone())),
        packages::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Counts the version of a package up, whichever it is: something that is answered with it has changed.
pub fn touch(tx: &mut Tx<'_>, scope: &Shop, id: PackageId) -> Result<(), Error> {
    diesel::update(packages::table.find(Uid::of(id)).filter(packages::shop_id.eq(Uid::of(scope.id()))))
        .set(packages::version.eq(packages::version + 1))
        .execute(tx.multi())?;
    Ok(())
}

/// Removes a package when it is still of `version`; jobs that were opened from it keep their plan. False when
/// somebody else was there first.
pub fn remove(tx: &mut Tx<'_>, scope: &Shop, id: PackageId, version: i64) -> Result<bool, Error> {
    let gone = diesel::delete(
        packages::table
            .find(Uid::of(id))
            .filter(packages::shop_id.eq(Uid::of(scope.id())))
            .filter(packages::version.eq(version)),
    )
    .execute(tx.multi())?;
    Ok(gone == 1)
}
