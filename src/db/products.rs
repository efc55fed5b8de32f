//! Products of a shop, and the editions of their data sheets.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{products, sheets};
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{Digest, ProductId, SheetId};
use crate::core::words::ProductRole;

/// A product as the row says.
#[derive(Debug, Clone)]
pub struct ProductRow {
    /// The product.
    pub id: ProductId,
    /// What the shop calls it in bodies.
    pub code: String,
    /// For people.
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

/// An edition of a data sheet as the row says; it never changes.
#[derive(Debug, Clone)]
pub struct SheetRow {
    /// The edition.
    pub id: SheetId,
    /// Whose sheet it is.
    pub product: ProductId,
    /// From 1 on.
    pub edition: u32,
    /// Canonical JSON (RFC 8785).
    pub document: String,
    /// SHA-256 of the document.
    pub digest: Digest,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = products)]
struct Row {
    id: Uid,
    shop_id: Uid,
    code: String,
    title: String,
    role: Word<ProductRole>,
    created_at: At,
    version: i64,
}

impl From<Row> for ProductRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            code: row.code,
            title: row.title,
            role: row.role.0,
            created_at: row.created_at.0,
            version: row.version,
        }
    }
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = sheets)]
struct Edition {
    id: Uid,
    shop_id: Uid,
    product_id: Uid,
    edition: i32,
    document: String,
    digest: Vec<u8>,
    created_at: At,
}

impl TryFrom<Edition> for SheetRow {
    type Error = Error;

    fn try_from(row: Edition) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            product: row.product_id.id(),
            edition: super::count_of(row.edition)?,
            document: row.document,
            digest: super::digest(&row.digest)?,
            created_at: row.created_at.0,
        })
    }
}

/// Adds a product; `Conflict` where the shop has one of this code.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &ProductRow) -> Result<(), Error> {
    let row = row.clone();
    diesel::insert_into(products::table)
        .values(Row {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            code: row.code,
            title: row.title,
            role: Word(row.role),
            created_at: At(row.created_at),
            version: row.version,
        })
        .execute(tx.multi())?;
    Ok(())
}

/// The product with this code.
pub fn find(conn: &mut Conn, scope: &Shop, code: &str) -> Result<ProductRow, Error> {
    Ok(products::table
        .filter(products::shop_id.eq(Uid::of(scope.id())))
        .filter(products::code.eq(code))
        .select(Row::as_select())
        .first(conn.multi())
        .map(ProductRow::from)?)
}

/// The product with this id.
pub fn by_id(conn: &mut Conn, scope: &Shop, id: ProductId) -> Result<ProductRow, Error> {
    Ok(products::table
        .find(Uid::of(id))
        .filter(products::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first(conn.multi())
        .map(ProductRow::from)?)
}

/// The shop's products, newest first, after the one with id `after`, perhaps of one role only.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    role: Option<ProductRole>,
    after: Option<ProductId>,
    limit: i64,
) -> Result<Vec<ProductRow>, Error> {
    let mut query = products::table
        .filter(products::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(role) = role {
        query = query.filter(products::role.eq(Word(role)));
    }
    if let Some(after) = after {
        query = query.filter(products::id.lt(Uid::of(after)));
    }
    let rows = query.order(products::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(ProductRow::from).collect())
}

/// Changes title and role when the row is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &ProductRow) -> Result<bool, Error> {
    let changed = diesel::update(
        products::table
            .find(Uid::of(row.id))
            .filter(products::shop_id.eq(Uid::of(scope.id())))
            .filter(products::version.eq(row.version)),
    )
    .set((
        products::title.eq(&row.title),
        products::role.eq(Word(row.role)),
        products::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Adds an edition of a sheet; `Conflict` where the product has it.
pub fn add_sheet(tx: &mut Tx<'_>, scope: &Shop, row: &SheetRow) -> Result<(), Error> {
    let row = row.clone();
    diesel::insert_into(sheets::table)
        .values(Edition {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            product_id: Uid::of(row.product),
            edition: super::count_as(row.edition)?,
            document: row.document,
            digest: row.digest.as_bytes().to_vec(),
            created_at: At(row.created_at),
        })
        .execute(tx.multi())?;
    Ok(())
}

/// The sheet that is current, which is the last edition; none where the product has no sheet.
pub fn current_sheet(conn: &mut Conn, scope: &Shop, product: ProductId) -> Result<Option<SheetRow>, Error> {
    sheets::table
        .filter(sheets::shop_id.eq(Uid::of(scope.id())))
        .filter(sheets::product_id.eq(Uid::of(product)))
        .order(sheets::edition.desc())
        .select(Edition::as_select())
        .first(conn.multi())
        .optional()?
        .map(SheetRow::try_from)
        .transpose()
}

/// One edition of a product's sheet.
pub fn sheet(conn: &mut Conn, scope: &Shop, product: ProductId, edition: u32) -> Result<SheetRow, Error> {
    let Ok(edition) = i32::try_from(edition) else { return Err(Error::NotFound) };
    sheets::table
        .filter(sheets::shop_id.eq(Uid::of(scope.id())))
        .filter(sheets::product_id.eq(Uid::of(product)))
        .filter(sheets::edition.eq(edition))
        .select(Edition::as_select())
        .first(conn.multi())?
        .try_into()
}

/// Every edition of a product's sheet, newest first, before the edition `before`.
pub fn sheets(
    conn: &mut Conn,
    scope: &Shop,
    product: ProductId,
    before: Option<u32>,
    limit: i64,
) -> Result<Vec<SheetRow>, Error> {
    let before = before.and_then(|before| i32::try_from(before).ok()).unwrap_or(i32::MAX);
    sheets::table
        .filter(sheets::shop_id.eq(Uid::of(scope.id())))
        .filter(sheets::product_id.eq(Uid::of(product)))
        .filter(sheets::edition.lt(before))
        .order(sheets::edition.desc())
        .limit(limit)
        .select(Edition::as_select())
        .load(conn.multi())?
        .into_iter()
        .map(SheetRow::try_from)
        .collect()
}
