//! Steps of a job.

use diesel::prelude::*;

use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{jobs, steps};
use super::types::{At, Json, Uid, Word};
use crate::core::calendar::Moment;
use crate::core::ids::StepId;
use crate::core::steps::{MixedStep, Step};
use crate::core::words::{Panel, StepKind, Surface};

/// A step as the row says.
pub type StepRow = PartRow<MixedStep>;

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
    abrasive: Option<bool>,
    wheels_off: Option<bool>,
    bottle_ml: Option<f64>,
    started_at: Option<At>,
    ended_at: Option<At>,
    done_by: Option<Uid>,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn of(row: &StepRow) -> Result<Self, Error> {
        let step = row.part.step.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            kind: Word(step.kind),
            surfaces: Json(step.surfaces),
            panels: step.panels.map(Json),
            product: step.product,
            dilution: step.dilution,
            abrasive: step.abrasive,
            wheels_off: step.wheels_off,
            bottle_ml: step.bottle_ml,
            started_at: step.started_at.map(|at| At(at.0)),
            ended_at: step.ended_at.map(|at| At(at.0)),
            done_by: step.by.map(Uid::of),
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    #[expect(clippy::unnecessary_wraps, reason = "the shape that all parts of a job share")]
    fn part(self) -> Result<StepRow, Error> {
        Ok(StepRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: MixedStep::from(Step {
                kind: self.kind.0,
                surfaces: self.surfaces.0,
                panels: self.panels.map(|json| json.0),
                product: self.product,
                dilution: self.dilution,
                abrasive: self.abrasive,
                wheels_off: self.wheels_off,
                bottle_ml: self.bottle_ml,
                started_at: self.started_at.map(|at| Moment(at.0)),
                ended_at: self.ended_at.map(|at| Moment(at.0)),
                by: self.done_by.map(Uid::id),
            }),
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for MixedStep {
    type Id = StepId;

    job_parts!(steps);
}
