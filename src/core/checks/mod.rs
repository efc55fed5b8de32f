//! Checks on a job: what stops sign-off, and what a technician should know while there is time.

mod built;
mod climate;
mod laid;
mod recoat;
mod wet;
mod work;

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use crate::core::climate::ClimateReading;
use crate::core::coats::Coat;
use crate::core::error::Fault;
use crate::core::ids::{CoatId, Digest, StepId};
use crate::core::record::canonical;
use crate::core::sheet::Sheet;
use crate::core::stages::PlannedStage;
use crate::core::steps::Step;
use crate::core::terms::Build;
use crate::core::words::{BatchState, Finish, Panel, ProductRole, Severity, Surface};

/// A step as the checks see it.
#[derive(Debug, Clone, Serialize)]
pub struct StepSeen {
    /// The step.
    pub id: StepId,
    /// What is said of it.
    pub step: Step,
}

/// What is known of the batch that a coat names.
#[derive(Debug, Clone, Copy)]
pub struct BatchSeen {
    /// Whether it may be used.
    pub state: BatchState,
    /// Last day on which it may be used.
    pub expires_on: Option<NaiveDate>,
    /// When it was opened.
    pub opened_on: Option<NaiveDate>,
}

/// A coat as the checks see it, and what it relies on. What is written of it is what a pass depends on.
#[derive(Debug, Clone, Serialize)]
pub struct CoatSeen {
    /// The coat.
    pub id: CoatId,
    /// What is said of it.
    pub coat: Coat,
    /// What is known of its batch; none: nothing.
    #[serde(skip)]
    pub known: Option<BatchSeen>,
    /// The edition of the data sheet that was current when it was entered; none: the product has none.
    #[serde(skip)]
    pub sheet: Option<Sheet>,
    /// What its product is used as.
    #[serde(skip)]
    pub role: ProductRole,
}

/// A panel that carries a coating already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgedPanel {
    /// The surface.
    pub surface: Surface,
    /// The panel.
    pub panel: Panel,
    /// When that was laid, where this shop did it.
    pub since: Option<DateTime<Utc>>,
}

/// A job as the checks see it.
#[derive(Debug, Clone)]
pub struct JobSeen {
    /// The shop's zone, in which days begin and end.
    pub zone: Tz,
    /// When the job began, if that was said.
    pub started_at: Option<DateTime<Utc>>,
    /// The panels that the job lists, by surface.
    pub panels: BTreeMap<Surface, Vec<Panel>>,
    /// Panels left out.
    pub excluded: Vec<Panel>,
    /// Panels that carry a coating: of an earlier job, or as was told at check-in.
    pub aged: Vec<AgedPanel>,
    /// How the vehicle is finished.
    pub finish: Finish,
    /// Panels that are finished otherwise.
    pub finishes: BTreeMap<Panel, Finish>,
    /// What air and panels were like.
    pub climate: Vec<ClimateReading>,
    /// What is planned for the vehicle.
    pub stages: Vec<PlannedStage>,
    /// Steps of preparation.
    pub steps: Vec<StepSeen>,
    /// Coats.
    pub coats: Vec<CoatSeen>,
    /// What the terms ask of the work.
    pub build: Vec<Build>,
}

/// Something that a check found. Code and subject name one finding of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Which check.
    pub code: &'static str,
    /// How grave it is.
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
    /// The finding as it was, with what it was found on: a pass holds for this alone.
    #[serde(skip)]
    pub digest: Digest,
    /// Whether the terms themselves ask for it, so that without it there is no handover on them.
    #[serde(skip)]
    pub of_terms: bool,
}

/// Everything that the checks find, in the order of coats, steps and surfaces.
///
/// Refused: numbers in a coat that are not finite, of which no finding can be written.
pub fn check(job: &JobSeen) -> Result<Vec<Finding>, Fault> {
    let mut checker = Checker { job, findings: Vec::new() };
    for coat in &job.coats {
        checker.batch(coat)?;
        checker.surface(coat)?;
        checker.opened(coat)?;
        checker.amount(coat)?;
        checker.climate(coat)?;
        checker.levelled(coat)?;
        checker.recoated(coat)?;
    }
    checker.times()?;
    checker.worked()?;
    checker.built()?;
    checker.prepared()?;
    checker.high_spots()?;
    checker.wet()?;
    Ok(checker.findings)
}

/// What keeps a job from being handed over on its terms: missing coats, passed or not, and steps that the terms ask
/// for. Refuses what [`check`] refuses.
pub fn falls_short(job: &JobSeen) -> Result<Vec<Finding>, Fault> {
    Ok(check(job)?.into_iter().filter(|finding| finding.of_terms).collect())
}

struct Checker<'a> {
    job: &'a JobSeen,
    findings: Vec<Finding>,
}

/// What a check says.
struct Said {
    code: &'static str,
    severity: Severity,
    subject: String,
    measured: Option<String>,
    allowed: Option<String>,
    clause: String,
    detail: String,
    of_terms: bool,
}

/// An instant as it is told.
fn said(at: DateTime<Utc>) -> String {
    at.to_rfc3339_opts(chrono::SecondsFormat::AutoSi, true)
}

/// What was said, without what was said before.
fn each_once(said: Vec<String>) -> Vec<String> {
    let mut once: Vec<String> = Vec::new();
    for one in said {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    once
}

impl Checker<'_> {
    /// An instant as the clock on the wall of the shop shows it.
    fn clock(&self, at: DateTime<Utc>) -> String {
        at.with_timezone(&self.job.zone).format("%Y-%m-%d %H:%M").to_string()
    }

    /// Adds a finding; `on` is what it was found on.
    fn find(&mut self, said: Said, on: &impl Serialize) -> Result<(), Fault> {
        let whole = (said.code, &said.subject, &said.measured, &said.allowed, on);
        let digest = Digest::of(&canonical(&whole)?);
        let Said { code, severity, subject, measured, allowed, clause, detail, of_terms } = said;
        self.findings.push(Finding {
            code,
            severity,
            subject,
            measured,
            allowed,
            clause,
            detail,
            digest,
            of_terms,
        });
        Ok(())
    }
}

/// A surface that was coated, with the panels that were and those that were left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coated {
    /// The surface.
    pub surface: Surface,
    /// Panels with a coat, less those left out.
    pub panels: Vec<Panel>,
    /// Panels left out.
    pub excluded: Vec<Panel>,
}

/// What a job coated, surface by surface in the order of the trade's list.
pub fn coated(job: &JobSeen) -> Vec<Coated> {
    let mut all = Vec::new();
    for surface in Surface::ALL.iter().copied() {
        let mut panels: Vec<Panel> = Vec::new();
        let coats = job.coats.iter().filter(|seen| seen.coat.surface == surface);
        for panel in coats.flat_map(|seen| &seen.coat.panels) {
            if !panels.contains(panel) && !job.excluded.contains(panel) {
                panels.push(panel.clone());
            }
        }
        if panels.is_empty() {
            continue;
        }
        // A panel that the job lists for other surfaces only was not left out of this one.
        let elsewhere = |panel: &&Panel| {
            let lists = |of: &Surface| job.panels.get(of).is_some_and(|panels| panels.contains(panel));
            job.panels.keys().any(|other| *other != surface && lists(other)) && !lists(&surface)
        };
        let excluded = job.excluded.iter().filter(|panel| !elsewhere(panel)).cloned().collect();
        all.push(Coated { surface, panels, excluded });
    }
    all
}
