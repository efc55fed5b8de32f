//! Batches of products, and where they went.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{batches, coats, jobs, products};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{BatchId, CoatId, JobId, ProductId, VehicleId};
use crate::core::words::{BatchState, Panel, Surface};

/// A batch as the row says, with the code of its product.
#[derive(Debug, Clone)]
pub struct BatchRow {
    /// The batch.
    pub id: BatchId,
    /// Whose batch it is.
    pub product: ProductId,
    /// Code of that product.
    pub product_code: String,
    /// What stands on the bottle.
    pub number: String,
    /// Whether it may be used.
    pub state: BatchState,
    /// When it was made.
    pub made_on: Option<NaiveDate>,
    /// The last day on which it may be used.
    pub expires_on: Option<NaiveDate>,
    /// When it was opened.
    pub opened_on: Option<NaiveDate>,
    /// How much it holds, in ml.
    pub ml: Option<f64>,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = batches)]
struct Row {
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

impl BatchRow {
    fn of((row, product_code): (Row, String)) -> Self {
        Self {
            id: row.id.id(),
            product: row.product_id.id(),
            product_code,
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
}

/// Adds a batch; `Conflict` where the product has one of this number.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &BatchRow) -> Result<(), Error> {
    diesel::insert_into(batches::table)
        .values(Row {
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
        })
        .execute(tx.multi())?;
    Ok(())
}

/// The batch with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: BatchId) -> Result<BatchRow, Error> {
    Ok(batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::id.eq(Uid::of(id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .select((Row::as_select(), products::code))
        .first(conn.multi())
        .map(BatchRow::of)?)
}

/// The batch of this number of the product with this code, if the shop has entered it.
pub fn by_number(
    conn: &mut Conn,
    scope: &Shop,
    product: &str,
    number: &str,
) -> Result<Option<BatchRow>, Error> {
    Ok(batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .filter(products::code.eq(product))
        .filter(batches::number.eq(number))
        .select((Row::as_select(), products::code))
        .first(conn.multi())
        .optional()?
        .map(BatchRow::of))
}

/// The number of the bottle of a product that was opened last, of those that may be used.
pub fn opened_last(conn: &mut Conn, scope: &Shop, product: &str) -> Result<Option<String>, Error> {
    Ok(batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .filter(products::code.eq(product))
        .filter(batches::state.eq(Word(BatchState::Usable)))
        .filter(batches::opened_on.is_not_null())
        .order((batches::opened_on.desc(), batches::id.desc()))
        .select(batches::number)
        .first(conn.multi())
        .optional()?)
}

/// What a list of batches is narrowed to.
#[derive(Debug, Clone, Default, serde::Serialize)]
pub struct Filter {
    /// Code of the product.
    pub product: Option<String>,
    /// What stands on the bottle.
    pub number: Option<String>,
    /// Whether they may be used.
    pub state: Option<BatchState>,
}

/// The shop's batches, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    filter: &Filter,
    after: Option<BatchId>,
    limit: i64,
) -> Result<Vec<BatchRow>, Error> {
    let mut query = batches::table
        .inner_join(products::table.on(products::id.eq(batches::product_id)))
        .filter(batches::shop_id.eq(Uid::of(scope.id())))
        .select((Row::as_select(), products::code))
        .into_boxed();
    if let Some(product) = &filter.product {
        query = query.filter(products::code.eq(product));
    }
    if let Some(number) = &filter.number {
        query = query.filter(batches::number.eq(number));
    }
    if let Some(state) = filter.state {
        query = query.filter(batches::state.eq(Word(state)));
    }
    if let Some(after) = after {
        query = query.filter(batches::id.lt(Uid::of(after)));
    }
    let rows = query.order(batches::id.desc()).limit(limit).load(conn.multi())?;
    Ok(rows.into_iter().map(BatchRow::of).collect())
}

/// Changes everything but product and number when the row is still of its version; false when somebody else was
/// there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &BatchRow) -> Result<bool, Error> {
    let changed = diesel::update(
        batches::table
            .find(Uid::of(row.id))
            .filter(batches::shop_id.eq(Uid::of(scope.id())))
            .filter(batches::version.eq(row.version)),
    )
    .set((
        batches::state.eq(Word(row.state)),
        batches::made_on.eq(row.made_on),
        batches::expires_on.eq(row.expires_on),
        batches::opened_on.eq(row.opened_on),
        batches::ml.eq(row.ml),
        batches::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// A coat that was laid from a batch.
#[derive(Debug, Clone)]
pub struct Use {
    /// The coat.
    pub coat: CoatId,
    /// On which job.
    pub job: JobId,
    /// That job's running number.
    pub job_number: String,
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// When it was begun.
    pub started_at: DateTime<Utc>,
}

/// The vehicles of the shop on which a coat names this number of this product, in the order of their ids, after
/// `after`: also where the coat was entered before the batch was.
pub fn vehicles(
    conn: &mut Conn,
    scope: &Shop,
    batch: &BatchRow,
    after: Option<VehicleId>,
    limit: i64,
) -> Result<Vec<VehicleId>, Error> {
    let mut query = coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .filter(coats::product.eq(&batch.product_code))
        .filter(coats::batch.eq(&batch.number))
        .select(jobs::vehicle_id)
        .distinct()
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(jobs::vehicle_id.gt(Uid::of(after)));
    }
    let rows = query.order(jobs::vehicle_id).limit(limit).load::<Uid>(conn.multi())?;
    Ok(rows.into_iter().map(Uid::id).collect())
}

/// Every coat on this vehicle that names this number of this product, as they were begun.
pub fn uses(conn: &mut Conn, scope: &Shop, batch: &BatchRow, vehicle: VehicleId) -> Result<Vec<Use>, Error> {
    type Found = (Uid, Uid, String, Word<Surface>, Json<Vec<Panel>>, At);
    let rows = coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .filter(jobs::vehicle_id.eq(Uid::of(vehicle)))
        .filter(coats::product.eq(&batch.product_code))
        .filter(coats::batch.eq(&batch.number))
        .select((coats::id, jobs::id, jobs::number, coats::surface, coats::panels, coats::started_at))
        .order((coats::started_at, coats::id))
        .load::<Found>(conn.multi())?;
    Ok(rows
        .into_iter()
        .map(|(coat, job, job_number, surface, panels, at)| Use {
            coat: coat.id(),
            job: job.id(),
            job_number,
            surface: surface.0,
            panels: panels.0,
            started_at: at.0,
        })
        .collect())
}
