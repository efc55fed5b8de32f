//! Coats of a job, with their sections.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::insert_all;
use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{coat_sections, coats, jobs};
use super::scope::{Shop, of_shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::calendar::Moment;
use crate::core::coats::{Coat, LaidCoat, Section};
use crate::core::ids::{CoatId, JobId, VehicleId};
use crate::core::words::{Panel, Surface};

/// A coat as the row says.
pub type CoatRow = PartRow<LaidCoat>;

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
    area_m2: Option<f64>,
    done_by: Option<Uid>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    fn of(row: &CoatRow) -> Result<Self, Error> {
        let coat = row.part.coat.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            surface: Word(coat.surface),
            panels: Json(coat.panels),
            product: coat.product,
            sheet_edition: row.part.sheet_edition.map(super::count_as).transpose()?,
            batch: coat.batch,
            started_at: At(coat.started_at.0),
            ended_at: At(coat.ended_at.0),
            ml: coat.ml,
            area_m2: coat.area_m2,
            done_by: coat.by.map(Uid::of),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    /// Without its sections.
    fn part(self) -> Result<CoatRow, Error> {
        let coat = Coat {
            surface: self.surface.0,
            panels: self.panels.0,
            product: self.product,
            batch: self.batch,
            started_at: Moment(self.started_at.0),
            ended_at: Moment(self.ended_at.0),
            ml: self.ml,
            area_m2: self.area_m2,
            by: self.done_by.map(Uid::id),
            sections: Vec::new(),
        };
        let sheet_edition = self.sheet_edition.map(super::count_of).transpose()?;
        Ok(CoatRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: LaidCoat { coat, sheet_edition },
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for LaidCoat {
    type Id = CoatId;

    job_parts!(coats);

    fn set_inner(tx: &mut Tx<'_>, id: CoatId, laid: Option<&Self>) -> Result<(), Error> {
        diesel::delete(coat_sections::table.filter(coat_sections::coat_id.eq(Uid::of(id))))
            .execute(tx.multi())?;
        for (position, section) in (0_i32..).zip(laid.iter().flat_map(|laid| &laid.coat.sections)) {
            diesel::insert_into(coat_sections::table)
                .values((
                    coat_sections::coat_id.eq(Uid::of(id)),
                    coat_sections::position.eq(position),
                    coat_sections::panels.eq(Json(section.panels.clone())),
                    coat_sections::applied_at.eq(At(section.applied_at.0)),
                    coat_sections::levelled_at.eq(section.levelled_at.map(|at| At(at.0))),
                ))
                .execute(tx.multi())?;
        }
        Ok(())
    }

    fn load_inner(conn: &mut Conn, job: JobId, rows: &mut [CoatRow]) -> Result<(), Error> {
        let sections = coat_sections::table
            .inner_join(coats::table.on(coats::id.eq(coat_sections::coat_id)))
            .filter(coats::job_id.eq(Uid::of(job)))
            .order((coat_sections::coat_id, coat_sections::position))
            .select((
                coat_sections::coat_id,
                coat_sections::panels,
                coat_sections::applied_at,
                coat_sections::levelled_at,
            ))
            .load::<(Uid, Json<Vec<Panel>>, At, Option<At>)>(conn.multi())?;
        for (coat, panels, applied_at, levelled_at) in sections {
            let section = Section {
                panels: panels.0,
                applied_at: Moment(applied_at.0),
                levelled_at: levelled_at.map(|at| Moment(at.0)),
            };
            if let Some(row) = rows.iter_mut().find(|row| row.id == coat.id()) {
                row.part.coat.sections.push(section);
            }
        }
        Ok(())
    }
}

/// Adds coats without sections.
pub fn add_all(tx: &mut Tx<'_>, _: &Shop, rows: &[CoatRow]) -> Result<(), Error> {
    let all = rows.iter().map(Row::of).collect::<Result<Vec<_>, _>>()?;
    insert_all!(tx, coats::table, all)
}

/// The coats of these jobs of the shop, without their sections, each job's in the order in which they were entered.
pub fn of_jobs(conn: &mut Conn, scope: &Shop, of: &[JobId]) -> Result<Vec<CoatRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(coats::job_id.eq_any(ids))
        .filter(of_shop!(jobs::shop_id, scope))
        .order(coats::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(Row::part)
        .collect()
}

/// A coat of an earlier job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EarlierCoat {
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// When it began.
    pub started_at: DateTime<Utc>,
    /// When it ended.
    pub ended_at: DateTime<Utc>,
}

/// The coats on this vehicle of the shop's jobs that were entered before this one and signed off.
pub fn earlier(
    conn: &mut Conn,
    scope: &Shop,
    vehicle: VehicleId,
    job: JobId,
) -> Result<Vec<EarlierCoat>, Error> {
    let rows = coats::table
        .inner_join(jobs::table.on(jobs::id.eq(coats::job_id)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .filter(jobs::vehicle_id.eq(Uid::of(vehicle)))
        .filter(jobs::id.lt(Uid::of(job)))
        // What was imported was never signed off here.
        .filter(jobs::signed_off_at.is_not_null().or(jobs::handed_over_on.is_not_null()))
        .order(coats::id)
        .select((coats::surface, coats::panels, coats::started_at, coats::ended_at))
        .load::<(Word<Surface>, Json<Vec<Panel>>, At, At)>(conn.multi())?;
    let coat = |(surface, panels, start, end): (Word<Surface>, Json<Vec<Panel>>, At, At)| EarlierCoat {
        surface: surface.0,
        panels: panels.0,
        started_at: start.0,
        ended_at: end.0,
    };
    Ok(rows.into_iter().map(coat).collect())
}
