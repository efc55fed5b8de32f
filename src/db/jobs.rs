//! Jobs, and the panels that they are about.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::backend::insert_all;
use super::error::Error;
use super::schema::{job_panels, jobs};
use super::scope::{Shop, of_shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{Digest, EventId, JobId, MemberId, RunningNumber, VehicleId};
use crate::core::odometer::Odometer;
use crate::core::packages::Plan;
use crate::core::stages::PlannedStage;
use crate::core::words::{Finish, JobState, OdometerUnit, Panel, Surface};

/// A job as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct JobRow {
    /// The job.
    pub id: JobId,
    /// `J-…`
    pub number: RunningNumber,
    /// The vehicle.
    pub vehicle: VehicleId,
    /// Where it stands.
    pub state: JobState,
    /// The odometer when it was taken in.
    pub odometer: Odometer,
    /// The event of that reading.
    pub reading: Option<EventId>,
    /// The terms that the warranty is to be issued on.
    pub terms: Option<(String, u32)>,
    /// Code of the package that it was opened from.
    pub package: Option<String>,
    /// What that package asked for, and what of it has been confirmed.
    pub plan: Option<Plan>,
    /// What is planned for the vehicle after its last coat.
    pub stages: Vec<PlannedStage>,
    /// When work began, if that was said.
    pub started_at: Option<DateTime<Utc>>,
    /// When it was entered.
    pub created_at: DateTime<Utc>,
    /// Who entered it.
    pub created_by: MemberId,
    /// When and by whom it was signed off, and its record.
    pub signed_off: Option<SignedOff>,
    /// The day on which the vehicle was handed over, and the distance driven by then in km.
    pub handed_over: Option<(NaiveDate, u32)>,
    /// Why it was cancelled.
    pub cancelled_because: Option<String>,
    /// Counts up with each change.
    pub version: i64,
}

/// A sign-off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SignedOff {
    /// When.
    pub at: DateTime<Utc>,
    /// By whom.
    pub by: MemberId,
    /// The place of its record.
    pub seq: i64,
    /// The digest of its record.
    pub digest: Digest,
}

/// What a job says of panels.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct JobPanels {
    /// Those that are to be worked on, by surface.
    pub listed: BTreeMap<Surface, Vec<Panel>>,
    /// Those that are left out.
    pub excluded: Vec<Panel>,
    /// Those that are finished otherwise than the vehicle.
    pub finishes: BTreeMap<Panel, Finish>,
    /// Those that came with a coating, by surface.
    pub old_coating: BTreeMap<Surface, Vec<Panel>>,
}

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = jobs, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    shop_id: Uid,
    number: String,
    vehicle_id: Uid,
    state: Word<JobState>,
    odometer_value: i64,
    odometer_unit: Word<OdometerUnit>,
    terms_code: Option<String>,
    terms_edition: Option<i32>,
    started_at: Option<At>,
    created_at: At,
    created_by: Uid,
    signed_off_at: Option<At>,
    signed_off_by: Option<Uid>,
    record_seq: Option<i64>,
    record_digest: Option<Vec<u8>>,
    handed_over_on: Option<NaiveDate>,
    handover_km: Option<i64>,
    cancelled_because: Option<String>,
    version: i64,
    reading_id: Option<Uid>,
    package: Option<String>,
    plan: Option<Json<Plan>>,
    stages: Option<Json<Vec<PlannedStage>>>,
}

impl Row {
    fn of(scope: &Shop, row: &JobRow) -> Result<Self, Error> {
        Ok(Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            number: row.number.to_string(),
            vehicle_id: Uid::of(row.vehicle),
            state: Word(row.state),
            odometer_value: row.odometer.value().into(),
            odometer_unit: Word(row.odometer.unit()),
            terms_code: row.terms.as_ref().map(|(code, _)| code.clone()),
            terms_edition: row.terms.as_ref().map(|(_, edition)| super::count_as(*edition)).transpose()?,
            started_at: row.started_at.map(At),
            created_at: At(row.created_at),
            created_by: Uid::of(row.created_by),
            signed_off_at: row.signed_off.map(|signed| At(signed.at)),
            signed_off_by: row.signed_off.map(|signed| Uid::of(signed.by)),
            record_seq: row.signed_off.map(|signed| signed.seq),
            record_digest: row.signed_off.map(|signed| signed.digest.as_bytes().to_vec()),
            handed_over_on: row.handed_over.map(|(on, _)| on),
            handover_km: row.handed_over.map(|(_, km)| km.into()),
            cancelled_because: row.cancelled_because.clone(),
            version: row.version,
            reading_id: row.reading.map(Uid::of),
            package: row.package.clone(),
            plan: row.plan.clone().map(Json),
            stages: (!row.stages.is_empty()).then(|| Json(row.stages.clone())),
        })
    }
}

impl TryFrom<Row> for JobRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        let broken = |what: &str| Error::Other(format!("job {} has {what}", row.number));
        let signed_off = match (row.signed_off_at, row.signed_off_by, row.record_seq, row.record_digest) {
            (Some(at), Some(by), Some(seq), Some(digest)) => {
                Some(SignedOff { at: at.0, by: by.id(), seq, digest: super::digest(&digest)? })
            }
            _ => None,
        };
        let odometer = super::odometer(Some(row.odometer_value), Some(row.odometer_unit.0))?;
        Ok(Self {
            id: row.id.id(),
            number: row.number.parse().map_err(|_| broken("no number"))?,
            vehicle: row.vehicle_id.id(),
            state: row.state.0,
            odometer: odometer.ok_or_else(|| broken("no odometer"))?,
            reading: row.reading_id.map(Uid::id),
            terms: row.terms_code.zip(row.terms_edition.map(super::count_of).transpose()?),
            started_at: row.started_at.map(|at| at.0),
            created_at: row.created_at.0,
            created_by: row.created_by.id(),
            signed_off,
            handed_over: row.handed_over_on.zip(row.handover_km.map(super::km).transpose()?),
            cancelled_because: row.cancelled_because,
            version: row.version,
            package: row.package,
            plan: row.plan.map(|plan| plan.0),
            stages: row.stages.map(|stages| stages.0).unwrap_or_default(),
        })
    }
}

/// Adds a job.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &JobRow, panels: &JobPanels) -> Result<(), Error> {
    diesel::insert_into(jobs::table).values(Row::of(scope, row)?).execute(tx.multi())?;
    set_panels(tx, scope, row.id, panels)
}

/// Adds jobs, each with what it says of panels.
pub fn add_all(tx: &mut Tx<'_>, scope: &Shop, rows: &[(JobRow, JobPanels)]) -> Result<(), Error> {
    let all = rows.iter().map(|(row, _)| Row::of(scope, row)).collect::<Result<Vec<_>, _>>()?;
    insert_all!(tx, jobs::table, all)?;
    let panels = rows.iter().flat_map(|(row, panels)| panel_values(row.id, panels));
    insert_all!(tx, job_panels::table, panels)
}

/// What a row of panels sets.
type PanelValues = (
    diesel::dsl::Eq<job_panels::job_id, Uid>,
    diesel::dsl::Eq<job_panels::position, i32>,
    diesel::dsl::Eq<job_panels::surface, Option<Word<Surface>>>,
    diesel::dsl::Eq<job_panels::panel, String>,
    diesel::dsl::Eq<job_panels::finish, Option<Word<Finish>>>,
    diesel::dsl::Eq<job_panels::excluded, bool>,
    diesel::dsl::Eq<job_panels::old_coating, bool>,
);

/// What a job says of panels as rows.
fn panel_values(job: JobId, panels: &JobPanels) -> Vec<PanelValues> {
    let of = |by_surface: &BTreeMap<Surface, Vec<Panel>>, old_coating: bool| {
        let each =
            by_surface.iter().flat_map(|(surface, panels)| panels.iter().map(|panel| (*surface, panel)));
        each.map(|(surface, panel)| (Some(surface), panel.clone(), None, false, old_coating))
            .collect::<Vec<_>>()
    };
    let mut rows = of(&panels.listed, false);
    rows.extend(panels.excluded.iter().map(|panel| (None, panel.clone(), None, true, false)));
    rows.extend(
        panels.finishes.iter().map(|(panel, finish)| (None, panel.clone(), Some(*finish), false, false)),
    );
    rows.extend(of(&panels.old_coating, true));
    let values = |(position, (surface, panel, finish, excluded, old_coating)): (i32, _)| {
        let panel: Panel = panel;
        (
            job_panels::job_id.eq(Uid::of(job)),
            job_panels::position.eq(position),
            job_panels::surface.eq(Option::<Surface>::map(surface, Word)),
            job_panels::panel.eq(panel.to_string()),
            job_panels::finish.eq(Option::<Finish>::map(finish, Word)),
            job_panels::excluded.eq(excluded),
            job_panels::old_coating.eq(old_coating),
        )
    };
    (0_i32..).zip(rows).map(values).collect()
}

/// Puts this in the place of what the job said of panels.
pub fn set_panels(tx: &mut Tx<'_>, _: &Shop, job: JobId, panels: &JobPanels) -> Result<(), Error> {
    diesel::delete(job_panels::table.filter(job_panels::job_id.eq(Uid::of(job)))).execute(tx.multi())?;
    insert_all!(tx, job_panels::table, panel_values(job, panels))
}

/// What a job says of panels, lists in the order in which they were given.
pub fn panels(conn: &mut Conn, _: &Shop, job: JobId) -> Result<JobPanels, Error> {
    let rows = job_panels::table
        .filter(job_panels::job_id.eq(Uid::of(job)))
        .order(job_panels::position)
        .select((job_panels::surface, job_panels::panel, job_panels::finish, job_panels::old_coating))
        .load::<PanelRow>(conn.multi())?;
    let mut panels = JobPanels::default();
    rows.into_iter().try_for_each(|row| panels.take(row))?;
    Ok(panels)
}

/// A row of panels: surface, panel, finish, whether it came with a coating.
type PanelRow = (Option<Word<Surface>>, String, Option<Word<Finish>>, bool);

impl JobPanels {
    /// Takes in what a row says.
    fn take(&mut self, (surface, panel, finish, old_coating): PanelRow) -> Result<(), Error> {
        let panel = super::panel(&panel)?;
        match (surface, finish) {
            (Some(surface), _) if old_coating => self.old_coating.entry(surface.0).or_default().push(panel),
            (Some(surface), _) => self.listed.entry(surface.0).or_default().push(panel),
            (None, Some(finish)) => drop(self.finishes.insert(panel, finish.0)),
            (None, None) => self.excluded.push(panel),
        }
        Ok(())
    }
}

/// The job with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: JobId) -> Result<JobRow, Error> {
    jobs::table
        .find(Uid::of(id))
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The shop's jobs that were handed over.
pub fn handed_over(conn: &mut Conn, scope: &Shop) -> Result<Vec<JobId>, Error> {
    let rows = jobs::table
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .filter(jobs::handed_over_on.is_not_null())
        .select(jobs::id)
        .load::<Uid>(conn.multi())?;
    Ok(rows.into_iter().map(Uid::id).collect())
}

/// These jobs of the shop, each with what it says of panels.
pub fn of(conn: &mut Conn, scope: &Shop, of: &[JobId]) -> Result<Vec<(JobRow, JobPanels)>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = jobs::table
        .filter(jobs::id.eq_any(ids))
        .filter(of_shop!(jobs::shop_id, scope))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    let own: Vec<Uid> = rows.iter().map(|row| row.id).collect();
    let mut panels = std::collections::HashMap::<Uid, JobPanels>::new();
    let of_all = job_panels::table
        .filter(job_panels::job_id.eq_any(own))
        .order((job_panels::job_id, job_panels::position))
        .select((
            job_panels::job_id,
            (job_panels::surface, job_panels::panel, job_panels::finish, job_panels::old_coating),
        ))
        .load::<(Uid, PanelRow)>(conn.multi())?;
    for (job, row) in of_all {
        panels.entry(job).or_default().take(row)?;
    }
    rows.into_iter()
        .map(|row| {
            let panels = panels.remove(&row.id).unwrap_or_default();
            Ok((JobRow::try_from(row)?, panels))
        })
        .collect()
}

/// The job with this number.
pub fn numbered(conn: &mut Conn, scope: &Shop, number: RunningNumber) -> Result<JobRow, Error> {
    jobs::table
        .filter(jobs::shop_id.eq(Uid::of(scope.id())))
        .filter(jobs::number.eq(number.to_string()))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The shop's jobs, newest first, after the one with id `after`; in one state, or of one vehicle, if asked.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    state: Option<JobState>,
    vehicle: Option<VehicleId>,
    after: Option<JobId>,
    limit: i64,
) -> Result<Vec<JobRow>, Error> {
    let mut query =
        jobs::table.filter(jobs::shop_id.eq(Uid::of(scope.id()))).select(Row::as_select()).into_boxed();
    if let Some(after) = after {
        query = query.filter(jobs::id.lt(Uid::of(after)));
    }
    if let Some(state) = state {
        query = query.filter(jobs::state.eq(Word(state)));
    }
    if let Some(vehicle) = vehicle {
        query = query.filter(jobs::vehicle_id.eq(Uid::of(vehicle)));
    }
    query
        .order(jobs::id.desc())
        .limit(limit)
        .load::<Row>(conn.multi())?
        .into_iter()
        .map(JobRow::try_from)
        .collect()
}

/// Changes a job when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &JobRow) -> Result<bool, Error> {
    let mut new = Row::of(scope, row)?;
    new.version += 1;
    let changed = diesel::update(
        jobs::table
            .find(Uid::of(row.id))
            .filter(jobs::shop_id.eq(Uid::of(scope.id())))
            .filter(jobs::version.eq(row.version)),
    )
    .set(new)
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Locks a job's row until the transaction ends, so that nothing is added to it while it is signed off.
pub fn lock(tx: &mut Tx<'_>, _: &Shop, id: JobId) -> Result<(), Error> {
    tx.lock("SELECT 1 FROM jobs WHERE id = $1 FOR UPDATE", Uid::of(id))
}
