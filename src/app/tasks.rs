//! Tasks: what a person must do, because the service cannot.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::dues::{DueCustomer, DueVehicle};
use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id};
use crate::core::ids::{CustomerId, MemberId, TaskId, VehicleId};
use crate::core::words::TaskKind;
use crate::db::tasks::{self, TaskRow};
use crate::db::{Conn, Shop, Tx, customers, vehicles};

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
    Ok(TaskView {
        id: row.id,
        kind: row.kind,
        phone: customer.as_ref().and_then(|customer| customer.phone.clone()),
        customer: customer.map(|customer| DueCustomer { id: customer.id, name: customer.name }),
        vehicle: DueVehicle::seen(
            row.vehicle,
            vehicle.vin,
            vehicle.plate,
            vehicle.make.as_deref(),
            vehicle.model.as_deref(),
        ),
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
