//! The checks of a job: worked out anew each time, passed by a manager, and at last what sign-off rests on.

use chrono::NaiveDate;
use chrono_tz::Tz;
use serde::Serialize;
use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::jobs::{RecordPlace, open_job};
use super::records::Document;
use super::{App, Error, Who, job_sheet, jobs as job_cases};
use crate::core::checks::{AgedPanel, BatchSeen, CoatSeen, Finding, JobSeen, StepSeen, check, falls_short};
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{EventId, JobId, MemberId, RunningNumber};
use crate::core::sheet::Sheet;
use crate::core::steps::MixedStep;
use crate::core::vehicle_events::Happened;
use crate::core::words::{JobState, Panel, RecordKind, Severity, Surface};
use crate::db::addenda::{self, AddendumRow};
use crate::db::jobs::{self, JobPanels, JobRow, SignedOff};
use crate::db::parts::Part as _;
use crate::db::passes::{self, PassRow};
use crate::db::steps::StepRow;
use crate::db::{self, Conn, Shop, batches, coats, products, terms, vehicle_events, vehicles};

/// A finding as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct FindingView {
    /// Which check.
    pub code: &'static str,
    /// How grave it is: `stops`, `warns` or `tells`.
    pub severity: Severity,
    /// `coat:ID`, `step:ID` or `SURFACE[/PANEL[/PRODUCT]]`.
    pub subject: String,
    /// What was measured.
    pub measured: Option<String>,
    /// What is allowed.
    pub allowed: Option<String>,
    /// Whose rule it is.
    pub clause: String,
    /// What to do now, in plain words.
    pub detail: String,
    /// Whether it keeps the job from a warranty on its terms: passed or not, the terms ask for it.
    pub hinders_warranty: bool,
    /// Who let it be, and why.
    pub passed_by: Option<PassedBy>,
}

/// Something that the terms ask for and the work lacks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Lack {
    /// Which check.
    pub code: &'static str,
    /// `SURFACE[/PANEL[/PRODUCT]]`.
    pub subject: String,
    /// What to do, in plain words.
    pub detail: String,
}

impl From<&Finding> for Lack {
    fn from(finding: &Finding) -> Self {
        let Finding { code, subject, detail, .. } = finding;
        Self { code, subject: subject.clone(), detail: detail.clone() }
    }
}

/// What keeps a job from a warranty on its terms.
pub(super) fn lacks(job: &JobSeen) -> Result<Vec<Lack>, Error> {
    Ok(falls_short(job).map_err(unwritable)?.iter().map(Lack::from).collect())
}

/// Who let a finding be.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct PassedBy {
    /// The manager.
    pub member: MemberId,
    /// Why.
    pub reason: String,
}

/// The findings of a job.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Findings {
    /// In the order of coats, steps and surfaces.
    pub items: Vec<FindingView>,
}

/// A job that has been signed off.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SignedOffView {
    /// The job.
    pub id: JobId,
    /// `J-…`
    pub number: RunningNumber,
    /// `signed_off`.
    pub state: JobState,
    /// The record of it.
    pub record: RecordPlace,
    /// What it lacks for a warranty on its terms: as it is, a handover is answered 409 `job_falls_short`. Steps that were done
    /// and not entered can follow as addenda. Empty where nothing is lacking, or the job has no terms.
    pub falls_short: Vec<Lack>,
}

/// Everything that the checks of a job look at.
pub(crate) fn seen(conn: &mut Conn, who: &Who, row: &JobRow) -> Result<JobSeen, Error> {
    seen_in(conn, &who.shop, who.zone, row)
}

/// The same, whoever asks; days begin and end in the shop's zone.
pub(crate) fn seen_in(conn: &mut Conn, shop: &Shop, zone: Tz, row: &JobRow) -> Result<JobSeen, Error> {
    let panels = jobs::panels(conn, shop, row.id)?;
    let mut job = JobSeen {
        zone,
        started_at: row.started_at,
        aged: aged(conn, shop, zone, row, &panels)?,
        panels: panels.listed,
        excluded: panels.excluded,
        finish: vehicles::find(conn, shop, row.vehicle)?.finish,
        finishes: panels.finishes,
        climate: ClimateReading::of_job(conn, shop, row.id)?.into_iter().map(|row| row.part).collect(),
        stages: row.stages.clone(),
        steps: Vec::new(),
        coats: Vec::new(),
        build: Vec::new(),
    };
    let step = |row: StepRow| StepSeen { id: row.id, step: row.part.step };
    job.steps = MixedStep::of_job(conn, shop, row.id)?.into_iter().map(step).collect();
    // What was done and not entered counts once it is, marked as it is with who entered it afterwards.
    for AddendumRow { id, addendum, .. } in addenda::of_job(conn, shop, row.id)? {
        job.steps.extend(addendum.step.map(|step| StepSeen { id: Uuid::from(id).into(), step }));
        job.climate.extend(addendum.climate);
    }
    for row in LaidCoat::of_job(conn, shop, row.id)? {
        let coat = &row.part.coat;
        let known = batches::by_number(conn, shop, &coat.product, &coat.batch)?;
        let sheet = sheet_of(conn, shop, &row.part)?;
        job.coats.push(CoatSeen {
            id: row.id,
            known: known.map(|batch| BatchSeen {
                state: batch.state,
                expires_on: batch.expires_on,
                opened_on: batch.opened_on,
            }),
            role: products::find(conn, shop, &coat.product)?.role,
            sheet: sheet.map(|sheet| parsed_sheet(&coat.product, &sheet)).transpose()?,
            coat: row.part.coat,
        });
    }
    if let Some((code, edition)) = &row.terms {
        job.build = super::assessments::parsed(&terms::find(conn, shop, code, *edition)?.document)?.build;
    }
    Ok(job)
}

/// A data sheet as it was kept: free of faults, or something is broken.
pub(super) fn parsed_sheet(product: &str, kept: &products::SheetRow) -> Result<Sheet, Error> {
    Sheet::parse(kept.document.as_bytes()).map_err(|faults| {
        let edition = kept.edition;
        db::Error::Other(format!("edition {edition} of the data sheet of {product} has faults: {faults:?}"))
            .into()
    })
}

/// Panels that carry a coating: as was told at check-in, and those of earlier jobs of this shop that were not repaired
/// since.
fn aged(
    conn: &mut Conn,
    shop: &Shop,
    zone: Tz,
    row: &JobRow,
    told: &JobPanels,
) -> Result<Vec<AgedPanel>, Error> {
    let events = vehicle_events::of_vehicle(conn, shop, row.vehicle)?;
    let gone: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let repaired = |surface: Surface, panel: &Panel, coated_on: NaiveDate| {
        events.iter().map(|row| &row.event).any(|event| match &event.happened {
            Happened::Repair { surface: of, panel: on } => {
                *of == surface && on == panel && event.on >= coated_on && !gone.contains(&event.id)
            }
            _ => false,
        })
    };
    let each = |(surface, panels): (&Surface, &Vec<Panel>)| {
        let panel = |panel: &Panel| AgedPanel { surface: *surface, panel: panel.clone(), since: None };
        panels.iter().map(panel).collect::<Vec<_>>()
    };
    let mut aged: Vec<AgedPanel> = told.old_coating.iter().flat_map(each).collect();
    for coat in coats::earlier(conn, shop, row.vehicle, row.id)? {
        let (surface, coated_on) = (coat.surface, coat.started_at.with_timezone(&zone).date_naive());
        let since = Some(coat.ended_at.max(coat.started_at));
        let panels = coat.panels.into_iter().filter(|panel| !repaired(surface, panel, coated_on));
        aged.extend(panels.map(|panel| AgedPanel { surface, panel, since }));
    }
    Ok(aged)
}

/// Why no finding can be written: for the log.
pub(super) fn unwritable(fault: Fault) -> db::Error {
    db::Error::Other(format!("the findings of a job cannot be written: {fault}"))
}

/// The edition of the data sheet that a coat was laid by.
pub(super) fn sheet_of(
    conn: &mut Conn,
    shop: &Shop,
    laid: &LaidCoat,
) -> Result<Option<products::SheetRow>, Error> {
    let Some(edition) = laid.sheet_edition else { return Ok(None) };
    let product = products::find(conn, shop, &laid.coat.product)?;
    Ok(Some(products::sheet(conn, shop, product.id, edition)?))
}

/// A finding and the pass that holds for it as it is.
fn passed(findings: Vec<Finding>, passes: &[PassRow]) -> Vec<(Finding, Option<PassRow>)> {
    let pass = |finding: &Finding| {
        passes
            .iter()
            .rfind(|pass| {
                pass.code == finding.code && pass.subject == finding.subject && pass.finding == finding.digest
            })
            .cloned()
    };
    findings.into_iter().map(|finding| (finding.clone(), pass(&finding))).collect()
}

/// What the checks find on a job, each with the pass that holds for it.
pub(super) fn findings(
    conn: &mut Conn,
    shop: &Shop,
    zone: Tz,
    row: &JobRow,
) -> Result<Vec<(Finding, Option<PassRow>)>, Error> {
    let job = seen_in(conn, shop, zone, row)?;
    Ok(passed(check(&job).map_err(unwritable)?, &passes::of_job(conn, shop, row.id)?))
}

fn finding_view((finding, pass): (Finding, Option<PassRow>)) -> FindingView {
    FindingView {
        code: finding.code,
        severity: finding.severity,
        subject: finding.subject,
        measured: finding.measured,
        allowed: finding.allowed,
        clause: finding.clause,
        detail: finding.detail,
        hinders_warranty: finding.of_terms,
        passed_by: pass.map(|pass| PassedBy { member: pass.member, reason: pass.reason }),
    }
}

/// What the checks find on a job, worked out anew.
pub fn list(app: &App, who: &Who, name: &str) -> Result<Findings, Error> {
    app.db.read(|c| {
        let row = job_cases::named(c, &who.shop, name)?;
        Ok(Findings {
            items: findings(c, &who.shop, who.zone, &row)?.into_iter().map(finding_view).collect(),
        })
    })
}

/// Signs a job off: from then on only addenda. What stops it, and was not passed, is told.
pub fn sign_off(app: &App, who: &Who, id: JobId) -> Result<SignedOffView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let mut row = open_job(tx, &who.shop, id)?;
        let found = findings(tx, &who.shop, who.zone, &row)?;
        let stops: Vec<Value> = found
            .iter()
            .filter(|(finding, pass)| finding.severity == Severity::Stops && pass.is_none())
            .map(|(finding, _)| {
                json!({"pointer": "", "code": finding.code, "subject": finding.subject, "detail": finding.detail})
            })
            .collect();
        if !stops.is_empty() {
            let detail = match stops.len() {
                1 => "one finding stops the sign-off".to_owned(),
                several => format!("{several} findings stop the sign-off"),
            };
            return Err(Rule::State { code: "job_has_stops", detail, errors: stops, more: Map::new() }.into());
        }
        let falls_short = found
            .iter()
            .filter(|(finding, _)| finding.of_terms)
            .map(|(finding, _)| Lack::from(finding))
            .collect();
        row.state = JobState::SignedOff;
        let mut body = job_sheet::sheet(tx, &who, &row)?;
        let checks: Vec<FindingView> = found.into_iter().map(finding_view).collect();
        body.insert("checks".into(), json!(checks));
        let kept = Document::new(RecordKind::SignOff, format!("job:{id}"), &body)?
            .personal(job_sheet::PERSONAL)
            .keep(tx, &who, now)?;
        row.signed_off = Some(SignedOff { at: now, by: who.member, seq: kept.seq, digest: kept.digest });
        if !jobs::change(tx, &who.shop, &row)? {
            return Err(Rule::Stale.into());
        }
        let record = RecordPlace { seq: kept.seq, digest: kept.digest };
        Ok(SignedOffView { id: row.id, number: row.number, state: row.state, record, falls_short })
    })
}
