//! Marks that a vehicle came with, on a job.

use diesel::prelude::*;

use super::Conn;
use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{jobs, marks};
use super::scope::Shop;
use super::types::{At, Uid, Word};
use crate::core::calendar::Moment;
use crate::core::ids::{MarkId, PhotoId};
use crate::core::marks::{Mark, MarkKind};
use crate::core::words::Surface;

/// A mark as the row says.
pub type MarkRow = PartRow<Mark>;

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = marks, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    panel: String,
    surface: Word<Surface>,
    kind: Word<MarkKind>,
    size_mm: Option<f64>,
    note: Option<String>,
    photo_id: Option<Uid>,
    seen_at: Option<At>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn of(row: &MarkRow) -> Result<Self, Error> {
        let mark = row.part.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            panel: mark.panel.to_string(),
            surface: Word(mark.surface),
            kind: Word(mark.kind),
            size_mm: mark.size_mm,
            note: mark.note,
            photo_id: mark.photo.map(Uid::of),
            seen_at: mark.seen_at.map(|at| At(at.0)),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    fn part(self) -> Result<MarkRow, Error> {
        Ok(MarkRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: Mark {
                panel: super::panel(&self.panel)?,
                surface: self.surface.0,
                kind: self.kind.0,
                size_mm: self.size_mm,
                note: self.note,
                photo: self.photo_id.map(Uid::id),
                seen_at: self.seen_at.map(|at| Moment(at.0)),
            },
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for Mark {
    type Id = MarkId;

    job_parts!(marks);
}

/// A mark of the shop that shows this photo.
pub fn showing(conn: &mut Conn, scope: &Shop, photo: PhotoId) -> Result<Option<MarkId>, Error> {
    let found = marks::table
        .inner_join(jobs::table.on(jobs::id.eq(marks::job_id)))
        .filter(marks::photo_id.eq(Uid::of(photo)))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(marks::id)
        .first::<Uid>(conn.multi())
        .optional()?;
    Ok(found.map(Uid::id))
}
