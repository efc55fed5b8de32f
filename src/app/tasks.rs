//! Tasks: what a person must do, because the service cannot.

use std::fs::File;

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::assessments::{WarrantyAssessment, answers, cases};
use super::customers::{CustomerInput, MailChoices};
use super::dues::{DueCustomer, DueVehicle};
use super::events::{EventInput, OnPanel, Told as HeardOf, TransferInput};
use super::odometer::OdometerInput;
use super::page::{Page, Wanted};
use super::reports::{self, ReportView};
use super::{App, Error, Who, events, new_id, photo_files, visits};
use crate::core::access::Action;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{CustomerId, MemberId, PhotoId, TaskId, VehicleId};
use crate::core::reports::{DoorRepair, DoorWash, Sold, Told};
use crate::core::vehicle_events::Elsewhere;
use crate::core::words::{CustomerKind, DoneBy, TaskKind};
use crate::db::reports::{self as db_reports, ReportPhotoRow, ReportRow};
use crate::db::tasks::{self, TaskRow};
use crate::db::{self, Conn, Shop, Tx, customers, vehicles};
use crate::files::Sort;

/// Something that a person must do from now on.
pub(crate) struct NewTask {
    /// What gave rise to it; each does so once.
    pub(crate) key: String,
    /// What is to be done.
    pub(crate) kind: TaskKind,
    /// Whom it concerns.
    pub(crate) customer: Option<CustomerId>,
    /// Which vehicle.
    pub(crate) vehicle: VehicleId,
    /// What is to be done, in words.
    pub(crate) text: String,
}

/// Adds a task, unless the same thing has given rise to one before; answers the id that it has if it is new.
pub(crate) fn add(tx: &mut Tx<'_>, shop: &Shop, new: NewTask, now: DateTime<Utc>) -> Result<TaskId, Error> {
    let row = TaskRow {
        id: new_id(),
        key: new.key,
        kind: new.kind,
        customer: new.customer,
        vehicle: new.vehicle,
        text: new.text,
        created_at: now,
        done: None,
        version: 1,
    };
    tasks::add(tx, shop, &row)?;
    Ok(row.id)
}

/// A task as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct TaskView {
    /// The task.
    pub id: TaskId,
    /// What is to be done.
    pub kind: TaskKind,
    /// Whom it concerns.
    pub customer: Option<DueCustomer>,
    /// How they can be rung up, if that is known.
    pub phone: Option<String>,
    /// Which vehicle.
    pub vehicle: DueVehicle,
    /// What is to be done, in words.
    pub text: String,
    /// What was told, where an owner or somebody at the vehicle told it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub report: Option<ReportView>,
    /// Since when.
    pub created_at: DateTime<Utc>,
    /// When it was done.
    pub done_at: Option<DateTime<Utc>>,
    /// Who did it.
    pub done_by: Option<MemberId>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

fn view(conn: &mut Conn, shop: &Shop, row: TaskRow) -> Result<TaskView, Error> {
    let customer = row.customer.map(|id| customers::find(conn, shop, id)).transpose()?;
    let vehicle = vehicles::find(conn, shop, row.vehicle)?;
    let report = db_reports::of_task(conn, shop, row.id)?;
    let report = report.map(|report| reports::view(conn, shop, report)).transpose()?;
    Ok(TaskView {
        report,
        id: row.id,
        kind: row.kind,
        phone: customer.as_ref().and_then(|customer| customer.phone.clone()),
        customer: customer.map(|customer| DueCustomer { id: customer.id, name: customer.name }),
        vehicle: vehicle.into(),
        text: row.text,
        created_at: row.created_at,
        done_at: row.done.map(|(at, _)| at),
        done_by: row.done.map(|(_, by)| by),
        version: row.version,
    })
}

/// A page of tasks, newest first: those that are open, or those that are done.
pub fn list(app: &App, who: &Who, done: bool, wanted: &Wanted<TaskId>) -> Result<Page<TaskView>, Error> {
    app.db.read(|c| {
        let rows = tasks::list(c, &who.shop, done, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// One task.
pub fn find(app: &App, who: &Who, id: TaskId) -> Result<TaskView, Error> {
    app.db.read(|c| {
        let row = tasks::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// Says that a task has been done; once is enough.
pub fn done(app: &App, who: &Who, id: TaskId) -> Result<TaskView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        tasks::find(tx, &who.shop, id)?;
        tasks::done(tx, &who.shop, id, now, who.member)?;
        let row = tasks::find(tx, &who.shop, id)?;
        view(tx, &who.shop, row)
    })
}

/// What the desk knows beyond what was told, when it confirms it.
#[derive(Debug, Clone, Default, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TaskConfirmInput {
    /// Of a sale: the new owner, where the shop knows them already.
    #[serde(default)]
    pub customer_id: Option<CustomerId>,
    /// Of a sale: or the new owner as a new customer; as the owner named them, unless given.
    #[serde(default)]
    pub customer: Option<CustomerInput>,
    /// Of a wash: what the odometer showed; as it was noted, unless given.
    #[serde(default)]
    pub odometer: Option<OdometerInput>,
}

/// What confirming came to.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ConfirmedTask {
    /// The task, done.
    pub task: TaskView,
    /// The verdict of each warranty of the vehicle, as of today.
    pub assessments: Vec<WarrantyAssessment>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

/// Confirms what was told: it is entered as what it is, and the task is done, together. A sale counts as told on the day
/// on which the owner told of it; a wash that was noted at the vehicle, as the owner's.
pub fn confirm(app: &App, who: &Who, id: TaskId, input: TaskConfirmInput) -> Result<ConfirmedTask, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        let task = tasks::find(tx, &shop, id)?;
        // Of two who confirm it at once one is first.
        crate::db::vehicle_events::lock(tx, &shop, task.vehicle)?;
        let task = tasks::find(tx, &shop, task.id)?;
        if task.done.is_some() {
            return Err(Rule::state("task_done", "this task is done").into());
        }
        let told = db_reports::of_task(tx, &shop, id)?;
        let Some(ReportRow { told, reported_at, vehicle, customer, .. }) = told else {
            return Err(nothing_to_confirm(NOTHING_ENTERED));
        };
        let given = input.customer_id.is_some() || input.customer.is_some();
        if given && !matches!(told, Told::Sold(_)) {
            return Err(Rule::rule("/customer_id", "no_sale", "only a sale has a new owner").into());
        }
        if input.odometer.is_some() && !matches!(told, Told::DoorWash(_)) {
            return Err(
                Rule::rule("/odometer", "no_wash", "only a wash is confirmed with an odometer").into()
            );
        }
        match told {
            Told::Sold(sold) => {
                who.must(Action::Transfer)?;
                // Whoever told of it may have sold it by what the desk entered, or another task confirmed.
                if vehicles::owner(tx, &shop, vehicle)? != customer {
                    let detail = "the vehicle has another owner than the one who told of the sale: if that is \
                                  this sale, say that the task is done";
                    return Err(nothing_to_confirm(detail));
                }
                let sale = sale(sold, input, who.day(reported_at).into())?;
                events::transferred(tx, &app_in, &who, vehicle, sale, now)?;
            }
            Told::DoorWash(DoorWash { on, odometer, .. }) => {
                let noted = odometer.map(|read| OdometerInput {
                    value: read.value,
                    unit: read.unit,
                    confirmed: false,
                    replaced: false,
                });
                let proof =
                    "Noted at the vehicle, by the link on its label; confirmed by the shop.".to_owned();
                let visit = visits::VisitInput {
                    vehicle_id: vehicle,
                    on,
                    odometer: input.odometer.or(noted),
                    services: vec![visits::ServiceInput::of("maintenance wash".into())],
                    note: None,
                    done_by: Some(Elsewhere { kind: DoneBy::Owner, name: None, proof }),
                };
                visits::enter(tx, &app_in, &(&who).into(), visit, now)?;
            }
            Told::DoorRepair(DoorRepair { on, surface, panel, .. }) => {
                who.must(Action::LogDamage)?;
                let repair = EventInput::Repair(OnPanel { on, surface, panel });
                events::added(tx, &app_in, &who, vehicle, repair, now)?;
            }
            Told::Booking(_) | Told::Problem(_) => return Err(nothing_to_confirm(NOTHING_ENTERED)),
        }
        tasks::done(tx, &shop, id, now, who.member)?;
        let assessments = answers(&cases(tx, &shop, vehicle)?, &who, now);
        let row = tasks::find(tx, &shop, id)?;
        let task = view(tx, &shop, row)?;
        Ok(ConfirmedTask { version: task.version, task, assessments })
    })
}

/// Why a task that asks for something to be done is not confirmed.
const NOTHING_ENTERED: &str = "nothing is entered by this task: do what it asks for, and say that it is done";

fn nothing_to_confirm(detail: &str) -> Error {
    Rule::state("nothing_to_confirm", detail).into()
}

/// A sale as it is entered: to whom the desk says, else to whom the owner named.
fn sale(
    sold: Sold,
    input: TaskConfirmInput,
    told: crate::core::calendar::Day,
) -> Result<TransferInput, Error> {
    let named = sold.buyer.map(|name| CustomerInput {
        name,
        kind: CustomerKind::Owner,
        email: sold.buyer_email,
        phone: None,
        language: None,
        time_zone: None,
        mail: MailChoices::default(),
    });
    let customer = match input.customer_id {
        Some(_) => input.customer,
        None => input.customer.or(named),
    };
    if input.customer_id.is_none() && customer.is_none() {
        let detail = "the owner did not name the buyer: give customer_id or customer";
        all_clear(vec![Fault::new("/customer_id", "required", detail)])?;
    }
    let told = HeardOf::On(told);
    Ok(TransferInput { on: sold.on, told, customer_id: input.customer_id, customer })
}

/// A photo that came with a task's report: its row, its open file or that of its thumbnail, and the length of that.
pub fn open_photo(
    app: &App,
    who: &Who,
    task: TaskId,
    id: PhotoId,
    sort: Sort,
) -> Result<(ReportPhotoRow, File, u64), Error> {
    let photo = app.db.read(|c| {
        let report = db_reports::of_task(c, &who.shop, task)?.ok_or(db::Error::NotFound)?;
        let photos = db_reports::photos(c, &who.shop, report.id)?;
        photos.into_iter().find(|photo| photo.id == id).ok_or_else(|| Error::from(db::Error::NotFound))
    })?;
    let (file, bytes) = photo_files::open(app, photo.digest, sort)?;
    Ok((photo, file, bytes))
}
