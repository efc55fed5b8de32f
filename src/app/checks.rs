//! The checks of a job: worked out anew each time, passed by a manager, and at last what sign-off rests on.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use super::jobs::{RecordPlace, open_job};
use super::parts::{Entered, Kind};
use super::records::Document;
use super::{App, Error, Who, jobs as job_cases, new_id, wanted_text};
use crate::core::checks::{BatchSeen, CoatSeen, Finding, JobSeen, StepSeen, check};
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::error::{Error as Rule, all_clear};
use crate::core::ids::{JobId, MemberId, PassId, RunningNumber};
use crate::core::sheet::Sheet;
use crate::core::steps::Step;
use crate::core::terms::Terms;
use crate::core::words::{JobState, RecordKind, Severity};
use crate::db::jobs::{self, JobRow, SignedOff};
use crate::db::parts::{Part as _, PartRow};
use crate::db::passes::{self, PassRow};
use crate::db::steps::StepRow;
use crate::db::{self, Conn, Shop, batches, people, products, terms, vehicles};

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
    /// Who let it be, and why.
    pub passed_by: Option<PassedBy>,
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

/// What a manager lets be.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PassInput {
    /// Which check.
    pub code: String,
    /// The subject of its finding.
    pub subject: String,
    /// Why; 1–2,000 characters.
    pub reason: String,
}

/// A pass as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct PassView {
    /// The pass.
    pub id: PassId,
    /// Which check.
    pub code: String,
    /// The subject of its finding.
    pub subject: String,
    /// Why it was let be.
    pub reason: String,
    /// Who let it be.
    pub member: MemberId,
    /// When.
    pub passed_at: DateTime<Utc>,
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
}

/// Everything that the checks of a job look at.
pub(crate) fn seen(conn: &mut Conn, who: &Who, row: &JobRow) -> Result<JobSeen, Error> {
    let shop = &who.shop;
    let mut job = JobSeen {
        zone: who.zone,
        started_at: row.started_at,
        panels: std::collections::BTreeMap::new(),
        excluded: Vec::new(),
        steps: Vec::new(),
        coats: Vec::new(),
        build: Vec::new(),
    };
    for one in jobs::panels(conn, shop, row.id)? {
        match one.surface {
            Some(surface) => job.panels.entry(surface).or_default().push(one.panel),
            None => job.excluded.push(one.panel),
        }
    }
    let step = |row: StepRow| StepSeen {
        id: row.id,
        kind: row.part.kind,
        surfaces: row.part.surfaces,
        panels: row.part.panels,
        started_at: row.part.started_at.map(|at| at.0),
        ended_at: row.part.ended_at.map(|at| at.0),
    };
    job.steps = Step::of_job(conn, shop, row.id)?.into_iter().map(step).collect();
    for row in LaidCoat::of_job(conn, shop, row.id)? {
        let coat = row.part.coat.clone();
        let known = batches::by_number(conn, shop, &coat.product, &coat.batch)?;
        let sheet = sheet_of(conn, shop, &row.part)?;
        job.coats.push(CoatSeen {
            id: row.id,
            surface: coat.surface,
            panels: coat.panels,
            product: coat.product,
            batch: coat.batch,
            known: known.map(|batch| BatchSeen { state: batch.state, expires_on: batch.expires_on }),
            sheet: sheet.and_then(|sheet| Sheet::parse(sheet.document.as_bytes()).ok()),
            started_at: coat.started_at.0,
            ended_at: coat.ended_at.0,
            sections: coat
                .sections
                .iter()
                .map(|section| (section.applied_at.0, section.levelled_at.map(|at| at.0)))
                .collect(),
        });
    }
    if let Some((code, edition)) = &row.terms {
        let text = terms::find(conn, shop, code, *edition)?.document;
        job.build = Terms::parse(text.as_bytes()).map(|terms| terms.build).unwrap_or_default();
    }
    Ok(job)
}

/// The edition of the data sheet that a coat was laid by.
fn sheet_of(conn: &mut Conn, shop: &Shop, laid: &LaidCoat) -> Result<Option<products::SheetRow>, Error> {
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

fn findings(conn: &mut Conn, who: &Who, row: &JobRow) -> Result<Vec<(Finding, Option<PassRow>)>, Error> {
    let job = seen(conn, who, row)?;
    Ok(passed(check(&job), &passes::of_job(conn, &who.shop, row.id)?))
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
        passed_by: pass.map(|pass| PassedBy { member: pass.member, reason: pass.reason }),
    }
}

/// What the checks find on a job, worked out anew.
pub fn list(app: &App, who: &Who, name: &str) -> Result<Findings, Error> {
    app.db.read(|c| {
        let row = job_cases::named(c, &who.shop, name)?;
        Ok(Findings { items: findings(c, who, &row)?.into_iter().map(finding_view).collect() })
    })
}

/// Lets a finding that stops be, with a reason that stays in the record; it holds for the finding as it is.
pub fn pass(app: &App, who: &Who, id: JobId, input: PassInput) -> Result<PassView, Error> {
    all_clear(wanted_text("/reason", &input.reason, 2_000).into_iter().collect())?;
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let row = open_job(tx, &who.shop, id)?;
        let found = findings(tx, &who, &row)?.into_iter().map(|(finding, _)| finding).find(|finding| {
            finding.severity == Severity::Stops
                && finding.code == input.code
                && finding.subject == input.subject
        });
        let Some(finding) = found else {
            let detail = format!("no {} stops {} on this job", input.code, input.subject);
            return Err(Rule::rule("/subject", "no_such_stop", detail).into());
        };
        let pass = PassRow {
            id: new_id(),
            job: id,
            code: input.code,
            subject: input.subject,
            finding: finding.digest,
            reason: input.reason,
            member: who.member,
            passed_at: now,
        };
        passes::add(tx, &who.shop, &pass)?;
        let body = json!({"job": id, "pass": pass.id, "finding": finding, "reason": pass.reason});
        Document::new(RecordKind::Pass, format!("job:{id}"), &body)?
            .personal(&["/reason"])
            .keep(tx, &who, now)?;
        Ok(PassView {
            id: pass.id,
            code: pass.code,
            subject: pass.subject,
            reason: pass.reason,
            member: pass.member,
            passed_at: pass.passed_at,
        })
    })
}

/// Signs a job off: from then on only addenda. What stops it, and was not passed, is told.
pub fn sign_off(app: &App, who: &Who, id: JobId) -> Result<SignedOffView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let mut row = open_job(tx, &who.shop, id)?;
        let found = findings(tx, &who, &row)?;
        let stops: Vec<Value> = found
            .iter()
            .filter(|(finding, pass)| finding.severity == Severity::Stops && pass.is_none())
            .map(|(finding, _)| {
                json!({"pointer": "", "code": finding.code, "subject": finding.subject, "detail": finding.detail})
            })
            .collect();
        if !stops.is_empty() {
            let detail = format!("{} findings stop sign-off", stops.len());
            return Err(Rule::State { code: "job_has_stops", detail, errors: stops, more: Map::new() }.into());
        }
        let body = sheet_body(tx, &who, &row, &found)?;
        let kept = Document::new(RecordKind::SignOff, format!("job:{id}"), &body)?
            .personal(&["/checks/*/passed_by/reason"])
            .keep(tx, &who, now)?;
        row.state = JobState::SignedOff;
        row.signed_off = Some(SignedOff { at: now, by: who.member, seq: kept.seq, digest: kept.digest });
        if !jobs::change(tx, &who.shop, &row)? {
            return Err(Rule::Stale.into());
        }
        let record = RecordPlace { seq: kept.seq, digest: kept.digest };
        Ok(SignedOffView { id: row.id, number: row.number, state: row.state, record })
    })
}

/// The job sheet: everything that was done and everything that it relied on.
fn sheet_body(
    conn: &mut Conn,
    who: &Who,
    row: &JobRow,
    found: &[(Finding, Option<PassRow>)],
) -> Result<Value, Error> {
    let shop = &who.shop;
    let vehicle = vehicles::find(conn, shop, row.vehicle)?;
    let mut relied = Vec::new();
    let coats = LaidCoat::of_job(conn, shop, row.id)?;
    for coat in &coats {
        let sheet = sheet_of(conn, shop, &coat.part)?;
        let batch = batches::by_number(conn, shop, &coat.part.coat.product, &coat.part.coat.batch)?;
        relied.push(json!({
            "coat": coat.id,
            "sheet": sheet.map(|sheet| json!({"edition": sheet.edition, "digest": sheet.digest})),
            "batch": batch.map(|batch| json!({"id": batch.id, "state": batch.state, "expires_on": batch.expires_on})),
        }));
    }
    let checks: Vec<FindingView> = found.iter().cloned().map(finding_view).collect();
    let terms = match &row.terms {
        Some((code, edition)) => {
            let digest = terms::find(conn, shop, code, *edition)?.digest;
            Some(json!({"code": code, "edition": edition, "digest": digest}))
        }
        None => None,
    };
    let shop_row = people::member_of(conn, shop, who.member)?;
    let job = job_cases::view(conn, shop, row.clone())?;
    Ok(json!({
        "job": job,
        "vehicle": {"id": vehicle.id, "vin": vehicle.vin, "plate": vehicle.plate},
        "steps": written(Step::of_job(conn, shop, row.id)?)?,
        "climate": written(ClimateReading::of_job(conn, shop, row.id)?)?,
        "coats": written(coats)?,
        "relied_on": relied,
        "terms": terms,
        "checks": checks,
        "signed_off_by": shop_row.id,
    }))
}

/// Parts of a job as a record holds them: as they are answered.
fn written<P: Kind>(rows: Vec<PartRow<P>>) -> Result<Value, Error> {
    let views: Vec<Entered<P>> = rows.into_iter().map(Entered::from).collect();
    Ok(serde_json::to_value(views).map_err(|e| db::Error::Other(e.to_string()))?)
}
