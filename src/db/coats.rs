//! Coats of a job.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{coat_sections, coats, jobs};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{CoatId, JobId, MemberId};
use crate::core::words::{Panel, Surface};

/// A coat as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatRow {
    /// Its id.
    pub id: CoatId,
    /// The job.
    pub job: JobId,
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// Code of the product.
    pub product: String,
    /// The edition of its data sheet that was current when the coat was entered.
    pub sheet_edition: Option<u32>,
    /// The batch number on the bottle.
    pub batch: String,
    /// When it began.
    pub started_at: DateTime<Utc>,
    /// When it ended.
    pub ended_at: DateTime<Utc>,
    /// How much was used, ml.
    pub ml: Option<f64>,
    /// Who laid it.
    pub done_by: Option<MemberId>,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = coats, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    surface: Word<Surface>,
    panels: Json<Vec<Panel>>,
    product: String,
    sheet_edition: Option<i32>,
    batch: String,
    started_at: At,
    ended_at: At,
    ml: Option<f64>,
    done_by: Option<Uid>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    fn of(row: &CoatRow) -> Result<Self, Error> {
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            surface: Word(row.surface),
            panels: Json(row.panels.clone()),
            product: row.product.clone(),
            sheet_edition: row.sheet_edition.map(super::count_as).transpose()?,
            batch: row.batch.clone(),
            started_at: At(row.started_at),
            ended_at: At(row.ended_at),
            ml: row.ml,
            done_by: row.done_by.map(Uid::of),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }
}

impl TryFrom<Row> for CoatRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            job: row.job_id.id(),
            surface: row.surface.0,
            panels: row.panels.0,
            product: row.product,
            sheet_edition: row.sheet_edition.map(super::count_of).transpose()?,
            batch: row.batch,
            started_at: row.started_at.0,
            ended_at: row.ended_at.0,
            ml: row.ml,
            done_by: row.done_by.map(Uid::id),
            entered_by: row.entered_by.id(),
            entered_at: row.entered_at.0,
            version: row.version,
        })
    }
}

/// Adds a row to a job of the shop.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &CoatRow) -> Result<(), Error> {
    diesel::insert_into(coats::table).values(Row::of(row)?).execute(tx.multi())?;
    Ok(())
}

/// One row of a job of the shop.
pub fn find(conn: &mut Conn, scope: &Shop, job: JobId, id: CoatId) -> Result<CoatRow, Error> {
    coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(coats::id.eq(Uid::of(id)))
        .filter(coats::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The rows of a job of the shop, in the order in which they were entered.
pub fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<CoatRow>, Error> {
    coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(coats::job_id.eq(Uid::of(job)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .order(coats::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(CoatRow::try_from)
        .collect()
}

/// Changes a row when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, _: &Shop, row: &CoatRow) -> Result<bool, Error> {
    let mut new = Row::of(row)?;
    new.version += 1;
    let current = coats::table.find(Uid::of(row.id)).filter(coats::version.eq(row.version));
    Ok(diesel::update(current).set(new).execute(tx.multi())? == 1)
}

/// Removes a row when it is still of `version`; false when somebody else was there first.
pub fn remove(tx: &mut Tx<'_>, _: &Shop, id: CoatId, version: i64) -> Result<bool, Error> {
    diesel::delete(coat_sections::table.filter(coat_sections::coat_id.eq(Uid::of(id))))
        .execute(tx.multi())?;
    let current = coats::table.find(Uid::of(id)).filter(coats::version.eq(version));
    Ok(diesel::delete(current).execute(tx.multi())? == 1)
}

/// A section of a coat: some panels, and when they were applied and levelled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SectionRow {
    /// Which panels.
    pub panels: Vec<Panel>,
    /// When the product was applied.
    pub applied_at: DateTime<Utc>,
    /// When it was levelled; none: by eye, no time was taken.
    pub levelled_at: Option<DateTime<Utc>>,
}

/// Puts these sections in the place of those that the coat had.
pub fn set_sections(tx: &mut Tx<'_>, _: &Shop, coat: CoatId, sections: &[SectionRow]) -> Result<(), Error> {
    diesel::delete(coat_sections::table.filter(coat_sections::coat_id.eq(Uid::of(coat))))
        .execute(tx.multi())?;
    for (position, section) in (0_i32..).zip(sections) {
        diesel::insert_into(coat_sections::table)
            .values((
                coat_sections::coat_id.eq(Uid::of(coat)),
                coat_sections::position.eq(position),
                coat_sections::panels.eq(Json(section.panels.clone())),
                coat_sections::applied_at.eq(At(section.applied_at)),
                coat_sections::levelled_at.eq(section.levelled_at.map(At)),
            ))
            .execute(tx.multi())?;
    }
    Ok(())
}

/// The sections of a coat, in the order in which they were given.
pub fn sections(conn: &mut Conn, _: &Shop, coat: CoatId) -> Result<Vec<SectionRow>, Error> {
    let rows = coat_sections::table
        .filter(coat_sections::coat_id.eq(Uid::of(coat)))
        .order(coat_sections::position)
        .select((coat_sections::panels, coat_sections::applied_at, coat_sections::levelled_at))
        .load::<(Json<Vec<Panel>>, At, Option<At>)>(conn.multi())?;
    let section = |(panels, applied_at, levelled_at): (Json<Vec<Panel>>, At, Option<At>)| SectionRow {
        panels: panels.0,
        applied_at: applied_at.0,
        levelled_at: levelled_at.map(|at| at.0),
    };
    Ok(rows.into_iter().map(section).collect())
}
