<<<<<<< HEAD
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
=======
//! Products of a shop, the editions of their data sheets, and their batches.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{batches, products, sheets};
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{BatchId, Digest, ProductId, SheetId};
use crate::core::words::{BatchState, ProductRole};

/// A product as the row says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProductRow {
    /// The product.
    pub id: ProductId,
    /// The shop's code of it.
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
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

<<<<<<< HEAD
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
=======
type Product = (Uid, String, String, Word<ProductRole>, At, i64);

fn product((id, code, title, role, created_at, version): Product) -> ProductRow {
    ProductRow { id: id.id(), code, title, role: role.0, created_at: created_at.0, version }
}

const PRODUCT: (
    products::id,
    products::code,
    products::title,
    products::role,
    products::created_at,
    products::version,
) = (products::id, products::code, products::title, products::role, products::created_at, products::version);

/// Adds a product; `Conflict` when its code is taken.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &ProductRow) -> Result<(), Error> {
    diesel::insert_into(products::table)
        .values((
            products::id.eq(Uid::of(row.id)),
            products::shop_id.eq(Uid::of(scope.id())),
            products::code.eq(&row.code),
            products::title.eq(&row.title),
            products::role.eq(Word(row.role)),
            products::created_at.eq(At(row.created_at)),
            products::version.eq(row.version),
        ))
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
        .execute(tx.multi())?;
    Ok(())
}

/// The product with this code.
pub fn find(conn: &mut Conn, scope: &Shop, code: &str) -> Result<ProductRow, Error> {
    Ok(products::table
        .filter(products::shop_id.eq(Uid::of(scope.id())))
        .filter(products::code.eq(code))
<<<<<<< HEAD
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
=======
        .select(PRODUCT)
        .first::<Product>(conn.multi())
        .map(product)?)
}

/// The shop's products, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    after: Option<ProductId>,
    limit: i64,
) -> Result<Vec<ProductRow>, Error> {
    let mut query =
        products::table.filter(products::shop_id.eq(Uid::of(scope.id()))).select(PRODUCT).into_boxed();
    if let Some(after) = after {
        query = query.filter(products::id.lt(Uid::of(after)));
    }
    let rows = query.order(products::id.desc()).limit(limit).load::<Product>(conn.multi())?;
    Ok(rows.into_iter().map(product).collect())
}

/// Changes a product's title when it is still of its version; false when somebody else was there first.
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &ProductRow) -> Result<bool, Error> {
    let changed = diesel::update(
        products::table
            .find(Uid::of(row.id))
            .filter(products::shop_id.eq(Uid::of(scope.id())))
            .filter(products::version.eq(row.version)),
    )
<<<<<<< HEAD
    .set((
        products::title.eq(&row.title),
        products::role.eq(Word(row.role)),
        products::version.eq(row.version + 1),
    ))
=======
    .set((products::title.eq(&row.title), products::version.eq(row.version + 1)))
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    .execute(tx.multi())?;
    Ok(changed == 1)
}

<<<<<<< HEAD
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
=======
/// An edition of a data sheet as the row says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRow {
    /// The edition.
    pub id: SheetId,
    /// The product that it is of.
    pub product: ProductId,
    /// From 1 on.
    pub edition: i32,
    /// The document, as JSON text.
    pub document: String,
    /// SHA-256 of the document.
    pub digest: Digest,
    /// When it was added.
    pub created_at: DateTime<Utc>,
}

type Sheet = (Uid, Uid, i32, String, Vec<u8>, At);

fn sheet((id, product, edition, document, digest, created_at): Sheet) -> Result<SheetRow, Error> {
    Ok(SheetRow {
        id: id.id(),
        product: product.id(),
        edition,
        document,
        digest: super::digest(digest)?,
        created_at: created_at.0,
    })
}

const SHEET: (
    sheets::id,
    sheets::product_id,
    sheets::edition,
    sheets::document,
    sheets::digest,
    sheets::created_at,
) = (sheets::id, sheets::product_id, sheets::edition, sheets::document, sheets::digest, sheets::created_at);

/// Adds an edition; `Conflict` when there is one of that number.
pub fn add_sheet(tx: &mut Tx<'_>, scope: &Shop, row: &SheetRow) -> Result<(), Error> {
    diesel::insert_into(sheets::table)
        .values((
            sheets::id.eq(Uid::of(row.id)),
            sheets::shop_id.eq(Uid::of(scope.id())),
            sheets::product_id.eq(Uid::of(row.product)),
            sheets::edition.eq(row.edition),
            sheets::document.eq(&row.document),
            sheets::digest.eq(row.digest.as_bytes().as_slice()),
            sheets::created_at.eq(At(row.created_at)),
        ))
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
        .execute(tx.multi())?;
    Ok(())
}

<<<<<<< HEAD
/// The sheet that is current, which is the last edition; none where the product has no sheet.
pub fn current_sheet(conn: &mut Conn, scope: &Shop, product: ProductId) -> Result<Option<SheetRow>, Error> {
=======
/// The editions of a product's data sheet, newest first.
pub fn sheets(conn: &mut Conn, scope: &Shop, product: ProductId) -> Result<Vec<SheetRow>, Error> {
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
    sheets::table
        .filter(sheets::shop_id.eq(Uid::of(scope.id())))
        .filter(sheets::product_id.eq(Uid::of(product)))
        .order(sheets::edition.desc())
<<<<<<< HEAD
        .select(Edition::as_select())
        .first(conn.multi())
        .optional()?
        .map(SheetRow::try_from)
        .transpose()
}

/// One edition of a product's sheet.
pub fn sheet(conn: &mut Conn, scope: &Shop, product: ProductId, edition: u32) -> Result<SheetRow, Error> {
    sheets::table
        .filter(sheets::shop_id.eq(Uid::of(scope.id())))
        .filter(sheets::product_id.eq(Uid::of(product)))
        .filter(sheets::edition.eq(super::count_as(edition)?))
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
    let before = before.map_or(Ok(i32::MAX), super::count_as)?;
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
=======
        .select(SHEET)
        .load::<Sheet>(conn.multi())?
        .into_iter()
        .map(sheet)
        .collect()
}

/// A batch as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchRow {
    /// The batch.
    pub id: BatchId,
    /// The product that it is of.
    pub product: ProductId,
    /// That product's code.
    pub code: String,
    /// As printed on the bottle.
    pub number: String,
    /// Whether it may be used.
    pub state: BatchState,
    /// When it was made.
    pub made_on: Option<NaiveDate>,
    /// Last day on which it may be used.
    pub expires_on: Option<NaiveDate>,
    /// When the bottle was opened.
    pub opened_on: Option<NaiveDate>,
    /// Content of a bottle in ml.
    pub ml: Option<f64>,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = batches, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Batch {
    id: Uid,
    shop_id: Uid,
    product_id: Uid,
    number: String,
    state: Word<BatchState>,
    made_on: Option<NaiveDate>,
    expires_on: Option<NaiveDate>,
    opened_on: Option<NaiveDate>,
    ml: Option<f64>,
    created_at: At,
    version: i64,
}

impl Batch {
    fn of(scope: &Shop, row: &BatchRow) -> Self {
        Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            product_id: Uid::of(row.product),
            number: row.number.clone(),
            state: Word(row.state),
            made_on: row.made_on,
            expires_on: row.expires_on,
            opened_on: row.opened_on,
            ml: row.ml,
            created_at: At(row.created_at),
            version: row.version,
        }
    }
}

fn batch((row, code): (Batch, String)) -> BatchRow {
    BatchRow {
        id: row.id.id(),
        product: row.product_id.id(),
        code,
        number: row.number,
        state: row.state.0,
        made_on: row.made_on,
        expires_on: row.expires_on,
        opened_on: row.opened_on,
        ml: row.ml,
        created_at: row.created_at.0,
        version: row.version,
    }
}

/// Adds a batch; `Conflict` when the product has one of that number.
pub fn add_batch(tx: &mut Tx<'_>, scope: &Shop, row: &BatchRow) -> Result<(), Error> {
    diesel::insert_into(batches::table).values(Batch::of(scope, row)).execute(tx.multi())?;
    Ok(())
}

/// The batch with this id.
pub fn batch_by_id(conn: &mut Conn, scope: &Shop, id: BatchId) -> Result<BatchRow, Error> {
    Ok(batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::id.eq(Uid::of(id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .select((Batch::as_select(), products::code))
        .first::<(Batch, String)>(conn.multi())
        .map(batch)?)
}

/// The batch of a product with this number, if it is registered.
pub fn batch_by_number(
    conn: &mut Conn,
    scope: &Shop,
    code: &str,
    number: &str,
) -> Result<Option<BatchRow>, Error> {
    Ok(batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(products::code.eq(code))
        .filter(batches::number.eq(number))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .select((Batch::as_select(), products::code))
        .first::<(Batch, String)>(conn.multi())
        .optional()?
        .map(batch))
}

/// The shop's batches, newest first, after the one with id `after`; of one product, or in one state, if asked.
pub fn list_batches(
    conn: &mut Conn,
    scope: &Shop,
    code: Option<&str>,
    state: Option<BatchState>,
    after: Option<BatchId>,
    limit: i64,
) -> Result<Vec<BatchRow>, Error> {
    let mut query = batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .select((Batch::as_select(), products::code))
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(batches::id.lt(Uid::of(after)));
    }
    if let Some(code) = code {
        query = query.filter(products::code.eq(code.to_owned()));
    }
    if let Some(state) = state {
        query = query.filter(batches::state.eq(Word(state)));
    }
    let rows = query.order(batches::id.desc()).limit(limit).load::<(Batch, String)>(conn.multi())?;
    Ok(rows.into_iter().map(batch).collect())
}

/// Changes a batch when it is still of its version; false when somebody else was there first.
pub fn change_batch(tx: &mut Tx<'_>, scope: &Shop, row: &BatchRow) -> Result<bool, Error> {
    let mut new = Batch::of(scope, row);
    new.version += 1;
    let changed = diesel::update(
        batches::table
            .find(Uid::of(row.id))
            .filter(batches::shop_id.eq(Uid::of(scope.id())))
            .filter(batches::version.eq(row.version)),
    )
    .set(new)
    .execute(tx.multi())?;
    Ok(changed == 1)
}
>>>>>>> c54433a (Products with data sheets, batches, terms in editions, accreditations)
