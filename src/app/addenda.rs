//! Addenda: what is said of a job after its sign-off. The job sheet stays as it was signed; each addendum is a record
//! of its own, with who entered it and when.

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::json;

use super::page::{Page, Wanted};
use super::parts::faults_of;
use super::records::Document;
use super::{App, Error, Who, new_id, wanted_text};
use crate::core::addenda::Addendum;
use crate::core::climate::ClimateReading;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{AddendumId, JobId, MemberId};
use crate::core::steps::MixedStep;
use crate::core::words::{JobState, RecordKind};
use crate::db::addenda::{self, AddendumRow};
use crate::db::jobs;

/// An addendum as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AddendumView {
    /// The addendum.
    pub id: AddendumId,
    /// What it says.
    #[serde(flatten)]
    pub addendum: Addendum,
    /// Always true: it came after the sign-off.
    pub entered_afterwards: bool,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// The place of its record among the shop's records.
    pub record_seq: i64,
}

impl From<AddendumRow> for AddendumView {
    fn from(row: AddendumRow) -> Self {
        Self {
            id: row.id,
            addendum: row.addendum,
            entered_afterwards: true,
            entered_by: row.entered_by,
            entered_at: row.entered_at,
            record_seq: row.record_seq,
        }
    }
}

/// Adds an addendum to a job that has been signed off.
pub fn add(app: &App, who: &Who, job: JobId, input: Addendum) -> Result<AddendumView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        let mut faults: Vec<Fault> = input.fault().into_iter().collect();
        faults.extend(input.note.as_deref().and_then(|note| wanted_text("/note", note, 5_000)));
        if let Some(step) = &input.step {
            faults.extend(faults_of::<MixedStep>(tx, &shop, job, step, now, "/step")?);
        }
        if let Some(reading) = &input.climate {
            faults.extend(faults_of::<ClimateReading>(tx, &shop, job, reading, now, "/climate")?);
        }
        all_clear(faults)?;
        jobs::lock(tx, &shop, job)?;
        let row = jobs::find(tx, &shop, job)?;
        if !matches!(row.state, JobState::SignedOff | JobState::HandedOver) {
            let detail = format!("{} is {}: an addendum comes after the sign-off", row.number, row.state);
            return Err(Rule::state("job_not_signed_off", detail).into());
        }
        let id: AddendumId = new_id();
        let body =
            json!({"job": {"id": row.id, "number": row.number}, "addendum": {"id": id, "says": input}});
        let kept = Document::new(RecordKind::Addendum, format!("job:{}", row.id), &body)?
            .personal(&["/addendum/says/note"])
            .keep(tx, &who, now)?;
        let new = AddendumRow {
            id,
            job,
            addendum: input,
            entered_by: who.member,
            entered_at: now,
            record_seq: kept.seq,
        };
        addenda::add(tx, &shop, &new)?;
        Ok(new.into())
    })
}

/// A page of a job's addenda, newest first.
pub fn list(
    app: &App,
    who: &Who,
    job: JobId,
    wanted: &Wanted<AddendumId>,
) -> Result<Page<AddendumView>, Error> {
    let rows = app.db.read(|c| addenda::list(c, &who.shop, job, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(AddendumView::from).collect(), |view| view.id))
}
