//! Steps of a job: what was done before, between and after the coats.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{jobs, steps};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{JobId, MemberId, StepId};
use crate::core::words::{Panel, StepKind, Surface};

/// A step as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct StepRow {
    /// Its id.
    pub id: StepId,
    /// The job.
    pub job: JobId,
    /// What was done.
    pub kind: StepKind,
    /// On which surfaces.
    pub surfaces: Vec<Surface>,
    /// On which panels; none: all of the job.
    pub panels: Option<Vec<Panel>>,
    /// Code of the product.
    pub product: Option<String>,
    /// How it was diluted, as written.
    pub dilution: Option<String>,
    /// When it began.
    pub started_at: Option<DateTime<Utc>>,
    /// When it ended.
    pub ended_at: Option<DateTime<Utc>>,
    /// Who did it.
    pub done_by: Option<MemberId>,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = steps, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    kind: Word<StepKind>,
    surfaces: Json<Vec<Surface>>,
    panels: Option<Json<Vec<Panel>>>,
    product: Option<String>,
    dilution: Option<String>,
    started_at: Option<At>,
    ended_at: Option<At>,
    done_by: Option<Uid>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    fn of(row: &StepRow) -> Result<Self, Error> {
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            kind: Word(row.kind),
            surfaces: Json(row.surfaces.clone()),
            panels: row.panels.clone().map(Json),
            product: row.product.clone(),
            dilution: row.dilution.clone(),
            started_at: row.started_at.map(At),
            ended_at: row.ended_at.map(At),
            done_by: row.done_by.map(Uid::of),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }
}

impl TryFrom<Row> for StepRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            job: row.job_id.id(),
            kind: row.kind.0,
            surfaces: row.surfaces.0,
            panels: row.panels.map(|json| json.0),
            product: row.product,
            dilution: row.dilution,
            started_at: row.started_at.map(|at| at.0),
            ended_at: row.ended_at.map(|at| at.0),
            done_by: row.done_by.map(Uid::id),
            entered_by: row.entered_by.id(),
            entered_at: row.entered_at.0,
            version: row.version,
        })
    }
}

/// Adds a row to a job of the shop.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &StepRow) -> Result<(), Error> {
    diesel::insert_into(steps::table).values(Row::of(row)?).execute(tx.multi())?;
    Ok(())
}

/// One row of a job of the shop.
pub fn find(conn: &mut Conn, scope: &Shop, job: JobId, id: StepId) -> Result<StepRow, Error> {
    steps::table
        .inner_join(jobs::table.on(jobs::id.eq(steps::job_id)))
        .filter(steps::id.eq(Uid::of(id)))
        .filter(steps::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The rows of a job of the shop, in the order in which they were entered.
pub fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<StepRow>, Error> {
    steps::table
        .inner_join(jobs::table.on(jobs::id.eq(steps::job_id)))
        .filter(steps::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .order(steps::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(StepRow::try_from)
        .collect()
}

/// Changes a row when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, _: &Shop, row: &StepRow) -> Result<bool, Error> {
    let mut new = Row::of(row)?;
    new.version += 1;
    let current = steps::table.find(Uid::of(row.id)).filter(steps::version.eq(row.version));
    Ok(diesel::update(current).set(new).execute(tx.multi())? == 1)
}

/// Removes a row when it is still of `version`; false when somebody else was there first.
pub fn remove(tx: &mut Tx<'_>, _: &Shop, id: StepId, version: i64) -> Result<bool, Error> {
    let current = steps::table.find(Uid::of(id)).filter(steps::version.eq(version));
    Ok(diesel::delete(current).execute(tx.multi())? == 1)
}
