//! Batches: what is on the shelf, and on which vehicles it went.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched, wanted_text};
use crate::core::access::Action;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::BatchId;
use crate::core::words::BatchState;
use crate::db;
use crate::db::batches::{self, BatchRow, Filter};
use crate::db::products;

/// What can be said of a batch.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BatchInput {
    /// The product's code.
    pub product: String,
    /// As printed on the bottle; 1–60 characters.
    pub number: String,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_on: Option<NaiveDate>,
    /// Last day on which it may be used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires_on: Option<NaiveDate>,
    /// When the bottle was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened_on: Option<NaiveDate>,
    /// Content of a bottle in ml, above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ml: Option<f64>,
    /// Whether it may be used; only a manager changes it.
    #[serde(default = "usable")]
    pub state: BatchState,
}

fn usable() -> BatchState {
    BatchState::Usable
}

impl BatchInput {
    fn faults(&self) -> Vec<Fault> {
        let mut faults: Vec<Fault> = wanted_text("/number", &self.number, 60).into_iter().collect();
        if self.ml.is_some_and(|ml| !(ml > 0.0 && ml <= 100_000.0)) {
            faults.push(Fault::new("/ml", "out_of_range", "allowed are above 0 to 100,000 ml"));
        }
        if let (Some(made), Some(expires)) = (self.made_on, self.expires_on)
            && made > expires
        {
            faults.push(Fault::new(
                "/expires_on",
                "upside_down",
                format!("{expires} lies before {made}, when it was made"),
            ));
        }
        faults
    }
}

/// A batch as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct BatchView {
    /// The batch.
    pub id: BatchId,
    /// Everything that can be said of it.
    #[serde(flatten)]
    pub batch: BatchInput,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl From<BatchRow> for BatchView {
    fn from(row: BatchRow) -> Self {
        Self {
            id: row.id,
            batch: BatchInput {
                product: row.product_code,
                number: row.number,
                made_on: row.made_on,
                expires_on: row.expires_on,
                opened_on: row.opened_on,
                ml: row.ml,
                state: row.state,
            },
            created_at: row.created_at,
            version: row.version,
        }
    }
}

fn exists(input: &BatchInput) -> Error {
    Rule::state("batch_exists", format!("{} has a batch {} already", input.product, input.number)).into()
}

/// Registers a batch. Only a manager registers one that may not be used.
pub fn add(app: &App, who: &Who, input: BatchInput) -> Result<BatchView, Error> {
    if input.state != BatchState::Usable {
        who.must(Action::SetBatchState)?;
    }
    let (shop, now) = (who.shop, app.now());
    let faults = input.faults();
    app.db.write(move |tx| {
        let mut faults = faults;
        let product = match products::find(tx, &shop, &input.product) {
            Ok(product) => Some(product),
            Err(db::Error::NotFound) => {
                faults.push(Fault::new(
                    "/product",
                    "unknown_product",
                    format!("your shop has no product {:?}", input.product),
                ));
                None
            }
            Err(other) => return Err(other.into()),
        };
        all_clear(faults)?;
        let Some(product) = product else { return Err(Rule::NotFound.into()) };
        if batches::by_number(tx, &shop, &input.product, &input.number)?.is_some() {
            return Err(exists(&input));
        }
        let row = BatchRow {
            id: new_id(),
            product: product.id,
            product_code: product.code,
            number: input.number,
            state: input.state,
            made_on: input.made_on,
            expires_on: input.expires_on,
            opened_on: input.opened_on,
            ml: input.ml,
            created_at: now,
            version: 1,
        };
        batches::add(tx, &shop, &row)?;
        Ok(row.into())
    })
}

/// One batch of the shop.
pub fn find(app: &App, who: &Who, id: BatchId) -> Result<BatchView, Error> {
    Ok(app.db.read(|c| batches::find(c, &who.shop, id))?.into())
}

/// A page of batches, newest first; of one product or in one state if asked.
pub fn list(
    app: &App,
    who: &Who,
    product: Option<&str>,
    state: Option<BatchState>,
    wanted: &Wanted<BatchId>,
) -> Result<Page<BatchView>, Error> {
    let filter = Filter { product: product.map(str::to_owned), number: None, state };
    let rows = app.db.read(|c| batches::list(c, &who.shop, &filter, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(BatchView::from).collect(), |view| view.id))
}

/// Changes a batch by a merge patch, if it is still of `version`; product and number stay, the state is the manager's.
pub fn change(app: &App, who: &Who, id: BatchId, version: i64, patch: &Value) -> Result<BatchView, Error> {
    let current = app.db.read(|c| batches::find(c, &who.shop, id))?;
    if patch.get("state").is_some_and(|state| *state != current.state.as_str()) {
        who.must(Action::SetBatchState)?;
    }
    let view = BatchView::from(current.clone());
    let input: BatchInput = patched(&view.batch, patch)?;
    let mut faults = input.faults();
    if input.product != current.product_code {
        faults.push(Fault::new(
            "/product",
            "fixed",
            "a batch stays with its product: register another instead",
        ));
    }
    if input.number != current.number {
        faults.push(Fault::new("/number", "fixed", "a batch keeps its number: register another instead"));
    }
    all_clear(faults)?;
    let shop = who.shop;
    app.db.write(move |tx| {
        let mut row = BatchRow {
            state: input.state,
            made_on: input.made_on,
            expires_on: input.expires_on,
            opened_on: input.opened_on,
            ml: input.ml,
            version,
            ..current
        };
        if !batches::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        Ok(row.into())
    })
}
