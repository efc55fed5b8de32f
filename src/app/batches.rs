//! Batches of products: what stands on the bottle, whether it may be used, and where it went.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::notices;
use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched, vehicles as vehicle_views};
use crate::core::access::Action;
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{BatchId, CoatId, CustomerId, JobId, ProductId, RunningNumber, VehicleId};
use crate::core::words::{BatchState, Panel, Surface};
pub use crate::db::batches::Filter;
use crate::db::batches::{self, BatchRow};
use crate::db::{Conn, Shop, customers, products, vehicles};

/// The most that a batch can hold, in ml.
const MOST_ML: f64 = 1.0e6;

/// What can be said of a batch.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BatchInput {
    /// Code of the product.
    #[schema(pattern = "^[a-z0-9-]{1,64}$")]
    pub product: String,
    /// What stands on the bottle; 1–60 characters.
    #[schema(min_length = 1, max_length = 60)]
    pub number: String,
    /// When it was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_on: Option<Day>,
    /// The last day on which it may be used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires_on: Option<Day>,
    /// When it was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened_on: Option<Day>,
    /// How much it holds, in ml; above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(exclusive_minimum = 0, maximum = 1_000_000)]
    pub ml: Option<f64>,
    /// Whether it may be used; a manager alone says otherwise than `usable`.
    #[serde(default = "usable")]
    pub state: BatchState,
}

fn usable() -> BatchState {
    BatchState::Usable
}

impl BatchInput {
    fn faults(&self, today: Day) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(super::wanted_text("/number", &self.number, 60));
        if self.number.trim() != self.number && !self.number.trim().is_empty() {
            faults.push(Fault::new("/number", "blank_at_end", "no blank at either end"));
        }
        for (pointer, day) in
            [("/made_on", self.made_on), ("/expires_on", self.expires_on), ("/opened_on", self.opened_on)]
        {
            faults.extend(day.and_then(|day| super::usual_day(pointer, day)));
        }
        for (pointer, day) in [("/made_on", self.made_on), ("/opened_on", self.opened_on)] {
            if let Some(day) = day.filter(|day| *day > today) {
                faults.push(Fault::new(
                    pointer,
                    "in_the_future",
                    format!("{day} comes after today, {today}"),
                ));
            }
        }
        for (pointer, day) in [("/expires_on", self.expires_on), ("/opened_on", self.opened_on)] {
            if let (Some(made), Some(day)) = (self.made_on, day)
                && day < made
            {
                let detail = format!("{day} lies before {made}, when it was made");
                faults.push(Fault::new(pointer, "before_made", detail));
            }
        }
        if let Some(ml) = self.ml.filter(|ml| !(*ml > 0.0 && *ml <= MOST_ML)) {
            faults.push(Fault::new(
                "/ml",
                "out_of_range",
                format!("{ml} is not above 0 and up to {MOST_ML}"),
            ));
        }
        faults
    }

    fn row(self, id: BatchId, product: ProductId, created_at: DateTime<Utc>, version: i64) -> BatchRow {
        BatchRow {
            id,
            product,
            product_code: self.product,
            number: self.number,
            state: self.state,
            made_on: self.made_on.map(Day::date),
            expires_on: self.expires_on.map(Day::date),
            opened_on: self.opened_on.map(Day::date),
            ml: self.ml,
            created_at,
            version,
        }
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
        let day = |day: Option<NaiveDate>| day.map(Day::from);
        Self {
            id: row.id,
            batch: BatchInput {
                product: row.product_code,
                number: row.number,
                made_on: day(row.made_on),
                expires_on: day(row.expires_on),
                opened_on: day(row.opened_on),
                ml: row.ml,
                state: row.state,
            },
            created_at: row.created_at,
            version: row.version,
        }
    }
}

fn exists(batch: &BatchRow) -> Error {
    let more = Map::from_iter([("existing".to_owned(), json!(batch.id))]);
    let detail = format!("your shop has a batch {:?} of {:?} already", batch.number, batch.product_code);
    Rule::State { code: "batch_exists", detail, errors: Vec::new(), more }.into()
}

/// Adds a batch of a product. Everybody may; one that is not usable, a manager alone.
pub fn add(app: &App, who: &Who, input: BatchInput) -> Result<BatchView, Error> {
    if input.state != BatchState::Usable {
        who.must(Action::SetBatchState)?;
    }
    let (shop, at) = (who.shop, app.now());
    let mut faults = input.faults(who.day(at).into());
    app.db.write(move |tx| {
        let product = match products::find(tx, &shop, &input.product) {
            Ok(product) => product.id,
            Err(crate::db::Error::NotFound) => {
                let detail = format!("{:?} is no product of your shop", input.product);
                faults.insert(0, Fault::new("/product", "unknown_product", detail));
                return Err(Rule::rules(faults).into());
            }
            Err(other) => return Err(other.into()),
        };
        all_clear(faults)?;
        if let Some(known) = batches::by_number(tx, &shop, &input.product, &input.number)? {
            return Err(exists(&known));
        }
        let row = input.row(new_id(), product, at, 1);
        match batches::add(tx, &shop, &row) {
            Err(crate::db::Error::Conflict(_)) => Err(exists(&row)),
            other => {
                other?;
                Ok(row.into())
            }
        }
    })
}

/// One batch of the shop.
pub fn find(app: &App, who: &Who, id: BatchId) -> Result<BatchView, Error> {
    Ok(app.db.read(|c| batches::find(c, &who.shop, id))?.into())
}

/// A page of batches, newest first.
pub fn list(
    app: &App,
    who: &Who,
    filter: &Filter,
    wanted: &Wanted<BatchId>,
) -> Result<Page<BatchView>, Error> {
    let rows = app.db.read(|c| batches::list(c, &who.shop, filter, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(BatchView::from).collect(), |view| view.id))
}

/// Changes a batch by a merge patch, if it is still of `version`; its state, a manager alone. Product and number
/// stay: coats name them.
pub fn change(app: &App, who: &Who, id: BatchId, version: i64, patch: &Value) -> Result<BatchView, Error> {
    let current = app.db.read(|c| batches::find(c, &who.shop, id))?;
    let (product, created_at) = (current.product, current.created_at);
    let before = BatchView::from(current).batch;
    let input: BatchInput = patched(&before, patch)?;
    if input.state != before.state {
        who.must(Action::SetBatchState)?;
    }
    let mut faults = input.faults(who.day(app.now()).into());
    for (pointer, stays) in
        [("/product", input.product == before.product), ("/number", input.number == before.number)]
    {
        if !stays {
            faults.push(Fault::new(pointer, "is_fixed", "coats name it: enter another batch instead"));
        }
    }
    all_clear(faults)?;
    let recalled = input.state == BatchState::Recalled && before.state != BatchState::Recalled;
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    let mut row = input.row(id, product, created_at, version);
    app.db.write(move |tx| {
        let shop = who.shop;
        if !batches::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        if recalled {
            notices::recalled(tx, &app_in, &shop, &row, who.day(now).into(), now)?;
        }
        Ok(row.into())
    })
}

/// A vehicle on which a batch went.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct BatchVehicle {
    /// The vehicle.
    pub vehicle: VehicleNamed,
    /// Who has it now; null where nobody is known.
    pub customer: Option<CustomerNamed>,
    /// The coats, as they were begun.
    pub coats: Vec<BatchUse>,
}

/// A vehicle, as lists name it.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VehicleNamed {
    /// The vehicle.
    pub id: VehicleId,
    /// Vehicle identification number.
    pub vin: Option<String>,
    /// Registration.
    pub plate: Option<String>,
    /// What people call it.
    pub title: String,
}

/// A customer, and how to reach them.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct CustomerNamed {
    /// The customer.
    pub id: CustomerId,
    /// Their name.
    pub name: String,
    /// Where mails go.
    pub email: Option<String>,
    /// Telephone.
    pub phone: Option<String>,
}

/// A coat that was laid from a batch.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct BatchUse {
    /// The coat.
    pub coat: CoatId,
    /// On which job.
    pub job: JobNamed,
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// When it was begun.
    pub started_at: DateTime<Utc>,
}

/// A job, as lists name it.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct JobNamed {
    /// The job.
    pub id: JobId,
    /// Its running number.
    #[schema(value_type = RunningNumber)]
    pub number: String,
}

fn used_on(conn: &mut Conn, shop: &Shop, batch: &BatchRow, id: VehicleId) -> Result<BatchVehicle, Error> {
    let vehicle = vehicles::find(conn, shop, id)?;
    let owner = vehicles::owner(conn, shop, id)?;
    let customer = owner.map(|id| customers::find(conn, shop, id)).transpose()?;
    let coat = |used: batches::Use| BatchUse {
        coat: used.coat,
        job: JobNamed { id: used.job, number: used.job_number },
        surface: used.surface,
        panels: used.panels,
        started_at: used.started_at,
    };
    Ok(BatchVehicle {
        customer: customer.map(|row| CustomerNamed {
            id: row.id,
            name: row.name,
            email: row.email,
            phone: row.phone,
        }),
        coats: batches::uses(conn, shop, batch, id)?.into_iter().map(coat).collect(),
        vehicle: VehicleNamed {
            id,
            title: vehicle_views::title(&vehicle),
            vin: vehicle.vin,
            plate: vehicle.plate,
        },
    })
}

/// A page of the vehicles on which a batch went, with panels and present owner: whom to call when it is recalled.
pub fn vehicles(
    app: &App,
    who: &Who,
    id: BatchId,
    wanted: &Wanted<VehicleId>,
) -> Result<Page<BatchVehicle>, Error> {
    app.db.read(|c| {
        let batch = batches::find(c, &who.shop, id)?;
        let ids = batches::vehicles(c, &who.shop, &batch, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> =
            ids.into_iter().map(|vehicle| used_on(c, &who.shop, &batch, vehicle)).collect();
        Ok(wanted.page(views?, |view| view.vehicle.id))
    })
}
