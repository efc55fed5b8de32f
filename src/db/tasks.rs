//! Tasks: what a person must do, because the service cannot.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::tasks;
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{CustomerId, MemberId, TaskId, VehicleId};
use crate::core::words::TaskKind;

/// A task as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskRow {
    /// The task.
    pub id: TaskId,
    /// What gave rise to it; each does so once.
    pub key: String,
    /// What is to be done.
    pub kind: TaskKind,
    /// Whom it concerns.
    pub customer: Option<CustomerId>,
    /// Which vehicle.
    pub vehicle: VehicleId,
    /// What is to be done, in words.
    pub text: String,
    /// Since when.
    pub created_at: DateTime<Utc>,
    /// When and by whom it was done.
    pub done: Option<(DateTime<Utc>, MemberId)>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = tasks, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    business_key: String,
    kind: Word<TaskKind>,
    customer_id: Option<Uid>,
    vehicle_id: Uid,
    text: String,
    created_at: At,
    done_at: Option<At>,
    done_by: Option<Uid>,
    version: i64,
}

impl From<Row> for TaskRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            key: row.business_key,
            kind: row.kind.0,
            customer: row.customer_id.map(Uid::id),
            vehicle: row.vehicle_id.id(),
            text: row.text,
            created_at: row.created_at.0,
            done: row.done_at.map(|at| at.0).zip(row.done_by.map(Uid::id)),
            version: row.version,
        }
    }
}

/// Adds a task, unless the same thing has given rise to one before.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &TaskRow) -> Result<(), Error> {
    let row = Row {
        id: Uid::of(row.id),
        shop_id: Uid::of(scope.id()),
        business_key: row.key.clone(),
        kind: Word(row.kind),
        customer_id: row.customer.map(Uid::of),
        vehicle_id: Uid::of(row.vehicle),
        text: row.text.clone(),
        created_at: At(row.created_at),
        done_at: row.done.map(|(at, _)| At(at)),
        done_by: row.done.map(|(_, by)| Uid::of(by)),
        version: row.version,
    };
    both!(tx, c => diesel::insert_into(tasks::table).values(row).on_conflict_do_nothing().execute(c))?;
    Ok(())
}

/// The task with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: TaskId) -> Result<TaskRow, Error> {
    Ok(tasks::table
        .find(Uid::of(id))
        .filter(tasks::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .into())
}

/// The shop's tasks, newest first, after the one with id `after`; those that are open, or those that are done.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    done: bool,
    after: Option<TaskId>,
    limit: i64,
) -> Result<Vec<TaskRow>, Error> {
    let mut query =
        tasks::table.filter(tasks::shop_id.eq(Uid::of(scope.id()))).select(Row::as_select()).into_boxed();
    query = if done {
        query.filter(tasks::done_at.is_not_null())
    } else {
        query.filter(tasks::done_at.is_null())
    };
    if let Some(after) = after {
        query = query.filter(tasks::id.lt(Uid::of(after)));
    }
    let rows = query.order(tasks::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(TaskRow::from).collect())
}

/// The shop's tasks about a vehicle, oldest first.
pub fn of_vehicle(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<TaskRow>, Error> {
    let rows = tasks::table
        .filter(tasks::shop_id.eq(Uid::of(scope.id())))
        .filter(tasks::vehicle_id.eq(Uid::of(vehicle)))
        .order((tasks::created_at, tasks::id))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(TaskRow::from).collect())
}

/// A task has been done; one that was done before stays as it was.
pub fn done(tx: &mut Tx<'_>, scope: &Shop, id: TaskId, at: DateTime<Utc>, by: MemberId) -> Result<(), Error> {
    diesel::update(
        tasks::table
            .find(Uid::of(id))
            .filter(tasks::shop_id.eq(Uid::of(scope.id())))
            .filter(tasks::done_at.is_null()),
    )
    .set((
        tasks::done_at.eq(Some(At(at))),
        tasks::done_by.eq(Some(Uid::of(by))),
        tasks::version.eq(tasks::version + 1),
    ))
    .execute(tx.multi())?;
    Ok(())
}
