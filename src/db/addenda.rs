//! Addenda: what was entered on a job after it was signed off. They are added, never changed.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{addenda, jobs};
use super::scope::Shop;
use super::types::{At, Json, Uid};
use super::{Conn, Tx};
use crate::core::addenda::Addendum;
use crate::core::ids::{AddendumId, JobId, MemberId};

/// An addendum as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct AddendumRow {
    /// The addendum.
    pub id: AddendumId,
    /// The job.
    pub job: JobId,
    /// What it says.
    pub addendum: Addendum,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When.
    pub entered_at: DateTime<Utc>,
    /// The place of its record.
    pub record_seq: i64,
}

/// Adds an addendum.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &AddendumRow) -> Result<(), Error> {
    diesel::insert_into(addenda::table)
        .values((
            addenda::id.eq(Uid::of(row.id)),
            addenda::job_id.eq(Uid::of(row.job)),
            addenda::body.eq(Json(row.addendum.clone())),
            addenda::entered_by.eq(Uid::of(row.entered_by)),
            addenda::entered_at.eq(At(row.entered_at)),
            addenda::record_seq.eq(row.record_seq),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The addenda of a job of the shop, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    job: JobId,
    after: Option<AddendumId>,
    limit: i64,
) -> Result<Vec<AddendumRow>, Error> {
    let mut query = addenda::table
        .inner_join(jobs::table.on(jobs::id.eq(addenda::job_id)))
        .filter(addenda::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select((addenda::id, addenda::body, addenda::entered_by, addenda::entered_at, addenda::record_seq))
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(addenda::id.lt(Uid::of(after)));
    }
    let rows = query
        .order(addenda::id.desc())
        .limit(limit)
        .load::<(Uid, Json<Addendum>, Uid, At, i64)>(conn.multi())?;
    let row = |(id, addendum, by, at, record_seq): (Uid, Json<Addendum>, Uid, At, i64)| AddendumRow {
        id: id.id(),
        job,
        addendum: addendum.0,
        entered_by: by.id(),
        entered_at: at.0,
        record_seq,
    };
    Ok(rows.into_iter().map(row).collect())
}

/// All addenda of a job of the shop, in the order in which they were entered.
pub fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<AddendumRow>, Error> {
    let mut rows = list(conn, scope, job, None, i64::MAX)?;
    rows.reverse();
    Ok(rows)
}
