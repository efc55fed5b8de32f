//! Paint readings of a job.

use diesel::prelude::*;

use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{jobs, paint_readings};
use super::types::{At, Json, Uid, Word};
use crate::core::calendar::Moment;
use crate::core::ids::PaintReadingId;
use crate::core::paint_readings::{PaintReading, Polishing, ReadOn, Spot};

/// Paint readings of a panel as the row says.
pub type PaintReadingRow = PartRow<PaintReading>;

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = paint_readings, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    panel: String,
    polishing: Word<Polishing>,
    ground: Option<Word<ReadOn>>,
    spots: Json<Vec<Spot>>,
    read_at: Option<At>,
    read_by: Option<Uid>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn of(row: &PaintReadingRow) -> Result<Self, Error> {
        let reading = row.part.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            panel: reading.panel.to_string(),
            polishing: Word(reading.when),
            ground: reading.ground.map(Word),
            spots: Json(reading.spots),
            read_at: reading.read_at.map(|at| At(at.0)),
            read_by: reading.by.map(Uid::of),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    fn part(self) -> Result<PaintReadingRow, Error> {
        Ok(PaintReadingRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: PaintReading {
                panel: super::panel(&self.panel)?,
                when: self.polishing.0,
                ground: self.ground.map(|word| word.0),
                spots: self.spots.0,
                read_at: self.read_at.map(|at| Moment(at.0)),
                by: self.read_by.map(Uid::id),
            },
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for PaintReading {
    type Id = PaintReadingId;

    job_parts!(paint_readings);
}
