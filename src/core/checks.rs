//! Checks on a job: what stops sign-off, and what a technician should know while there is time.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::Serialize;
use serde_json::json;

use crate::core::ids::{CoatId, Digest, StepId};
use crate::core::record::canonical;
use crate::core::sheet::{Onto, Sheet};
use crate::core::terms::Build;
use crate::core::words::{BatchState, Panel, Severity, StepKind, Surface};

/// A step of preparation as the checks see it.
#[derive(Debug, Clone, Serialize)]
pub struct StepSeen {
    /// The step.
    pub id: StepId,
    /// What was done.
    pub kind: StepKind,
    /// On which surfaces.
    pub surfaces: Vec<Surface>,
    /// On which panels; none: all of the job.
    pub panels: Option<Vec<Panel>>,
    /// When it began.
    pub started_at: Option<DateTime<Utc>>,
    /// When it ended.
    pub ended_at: Option<DateTime<Utc>>,
}

/// What is known of the batch that a coat names.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct BatchSeen {
    /// Whether it may be used.
    pub state: BatchState,
    /// Last day on which it may be used.
    pub expires_on: Option<NaiveDate>,
}

/// A coat as the checks see it.
#[derive(Debug, Clone)]
pub struct CoatSeen {
    /// The coat.
    pub id: CoatId,
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// Code of the product.
    pub product: String,
    /// The batch number on the bottle.
    pub batch: String,
    /// What is known of that batch; none: nothing.
    pub known: Option<BatchSeen>,
    /// The edition of the data sheet that was current when it was entered; none: the product has none.
    pub sheet: Option<Sheet>,
    /// When it began.
    pub started_at: DateTime<Utc>,
    /// When it ended.
    pub ended_at: DateTime<Utc>,
    /// When each section was applied and levelled.
    pub sections: Vec<(DateTime<Utc>, Option<DateTime<Utc>>)>,
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
    /// Steps of preparation.
    pub steps: Vec<StepSeen>,
    /// Coats.
    pub coats: Vec<CoatSeen>,
    /// What the terms ask of the work.
    pub build: Vec<Build>,
}

/// Something that a check found.
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
pub fn check(job: &JobSeen) -> Vec<Finding> {
    let mut checker = Checker { job, findings: Vec::new() };
    for coat in &job.coats {
        checker.batch(coat);
        checker.surface(coat);
    }
    checker.times();
    for build in &job.build {
        checker.built(build);
    }
    checker.prepared();
    checker.findings
}

/// What keeps a job from being handed over on its terms: missing coats, passed or not, and steps that the terms ask
/// for.
pub fn falls_short(job: &JobSeen) -> Vec<Finding> {
    check(job).into_iter().filter(|finding| finding.of_terms).collect()
}

struct Checker<'a> {
    job: &'a JobSeen,
    findings: Vec<Finding>,
}

/// What a finding says besides its subject.
struct Said {
    measured: Option<String>,
    allowed: Option<String>,
    clause: String,
    detail: String,
}

/// A coat as far as a pass depends on it.
fn fingerprint(coat: &CoatSeen) -> serde_json::Value {
    json!([
        coat.id,
        coat.surface,
        coat.panels,
        coat.product,
        coat.batch,
        coat.started_at,
        coat.ended_at,
        coat.sections
    ])
}

impl Checker<'_> {
    fn find(
        &mut self,
        code: &'static str,
        severity: Severity,
        subject: String,
        said: Said,
        on: &serde_json::Value,
    ) {
        let whole = json!([code, subject, said.measured, said.allowed, on]);
        let digest = Digest::of(&canonical(&whole).unwrap_or_default());
        let Said { measured, allowed, clause, detail } = said;
        let of_terms = code == "coats_missing" || (code == "prep_missing" && clause.starts_with("build."));
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
    }

    fn batch(&mut self, coat: &CoatSeen) {
        let (subject, on) = (format!("coat:{}", coat.id), fingerprint(coat));
        let Some(known) = coat.known else {
            let said = Said {
                measured: Some(coat.batch.clone()),
                allowed: Some("a registered batch".into()),
                clause: "batch".into(),
                detail: format!(
                    "register batch {} of {}, or correct the number on the coat",
                    coat.batch, coat.product
                ),
            };
            return self.find("batch_unknown", Severity::Stops, subject, said, &on);
        };
        if known.state != BatchState::Usable {
            let said = Said {
                measured: Some(known.state.to_string()),
                allowed: Some(BatchState::Usable.to_string()),
                clause: "batch".into(),
                detail: format!(
                    "batch {} of {} is {}: a manager decides",
                    coat.batch, coat.product, known.state
                ),
            };
            self.find("batch_unusable", Severity::Stops, subject.clone(), said, &on);
        }
        let day = coat.started_at.with_timezone(&self.job.zone).date_naive();
        if let Some(last) = known.expires_on.filter(|last| day > *last) {
            let said = Said {
                measured: Some(day.to_string()),
                allowed: Some(format!("until {last}")),
                clause: "batch".into(),
                detail: format!("batch {} of {} could be used until {last}", coat.batch, coat.product),
            };
            self.find("batch_expired", Severity::Stops, subject, said, &on);
        }
    }

    fn surface(&mut self, coat: &CoatSeen) {
        let Some(sheet) = coat.sheet.as_ref().filter(|sheet| !sheet.takes(coat.surface)) else { return };
        let allowed = sheet.surfaces.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let said = Said {
            measured: Some(coat.surface.to_string()),
            detail: format!("the data sheet of {} names {allowed}, not {}", coat.product, coat.surface),
            allowed: Some(allowed),
            clause: format!("sheet.{}.surfaces", coat.product),
        };
        self.find("product_surface", Severity::Stops, format!("coat:{}", coat.id), said, &fingerprint(coat));
    }

    fn times(&mut self) {
        let began = self.job.started_at;
        let outside = |at: DateTime<Utc>| began.is_some_and(|began| at < began);
        let mut wrong: Vec<(String, String, serde_json::Value)> = Vec::new();
        for step in &self.job.steps {
            let subject = format!("step:{}", step.id);
            let what = if step.started_at.zip(step.ended_at).is_some_and(|(start, end)| end < start) {
                "ends before it starts"
            } else if [step.started_at, step.ended_at].into_iter().flatten().any(outside) {
                "lies before the job began"
            } else {
                continue;
            };
            // One finding for each step: a pass names it by check and subject.
            wrong.push((subject, format!("{} {what}", step.kind), json!(step)));
        }
        for coat in &self.job.coats {
            let subject = format!("coat:{}", coat.id);
            let backwards =
                coat.sections.iter().any(|(applied, levelled)| levelled.is_some_and(|at| at < *applied));
            let beyond = coat
                .sections
                .iter()
                .any(|(applied, _)| *applied < coat.started_at || *applied > coat.ended_at);
            let detail = if coat.ended_at < coat.started_at {
                "the coat ends before it starts"
            } else if backwards {
                "a section was levelled before it was applied"
            } else if beyond {
                "a section was applied outside the coat's time"
            } else if outside(coat.started_at) || outside(coat.ended_at) {
                "the coat lies before the job began"
            } else {
                continue;
            };
            wrong.push((subject, detail.to_owned(), fingerprint(coat)));
        }
        for (subject, detail, on) in wrong {
            let said = Said {
                measured: None,
                allowed: None,
                clause: "times".into(),
                detail: format!("{detail}: correct the times"),
            };
            self.find("times_backwards", Severity::Stops, subject, said, &on);
        }
    }

    /// The coats that lie on a panel of a surface, by when they began.
    fn on(&self, surface: Surface, panel: &Panel) -> Vec<&CoatSeen> {
        let mut coats: Vec<&CoatSeen> = self
            .job
            .coats
            .iter()
            .filter(|coat| coat.surface == surface && coat.panels.contains(panel))
            .collect();
        coats.sort_by_key(|coat| coat.started_at);
        coats
    }

    /// The panels of a surface: as the job lists them, else as its coats name them, less those left out.
    fn panels(&self, surface: Surface) -> Vec<Panel> {
        let coated = || {
            let mut panels: Vec<Panel> = Vec::new();
            for panel in
                self.job.coats.iter().filter(|coat| coat.surface == surface).flat_map(|coat| &coat.panels)
            {
                if !panels.contains(panel) {
                    panels.push(panel.clone());
                }
            }
            panels
        };
        let listed = self.job.panels.get(&surface).filter(|panels| !panels.is_empty()).cloned();
        listed.unwrap_or_else(coated).into_iter().filter(|panel| !self.job.excluded.contains(panel)).collect()
    }

    fn built(&mut self, build: &Build) {
        let Ok(surface) = build.surface.parse::<Surface>() else { return };
        let clause = format!("build.{surface}.coats");
        if !self.job.coats.iter().any(|coat| coat.surface == surface) {
            let wanted =
                build.coats.iter().map(|(product, min)| format!("{min} of {product}")).collect::<Vec<_>>();
            let said = Said {
                measured: Some("no coat".into()),
                allowed: Some(wanted.join(", ")),
                clause,
                detail: format!("the terms ask for coats on {surface}: there is none"),
            };
            return self.find("coats_missing", Severity::Stops, surface.to_string(), said, &json!([]));
        }
        for panel in self.panels(surface) {
            let coats = self.on(surface, &panel);
            let on = json!(coats.iter().map(|coat| fingerprint(coat)).collect::<Vec<_>>());
            let mut missing = Vec::new();
            let mut firsts = Vec::new();
            for (product, min) in &build.coats {
                let laid = coats.iter().filter(|coat| coat.product == *product);
                let count = laid.clone().count();
                if count < usize::try_from(*min).unwrap_or(usize::MAX) {
                    missing.push((product.clone(), count, *min));
                }
                firsts.extend(laid.map(|coat| coat.started_at).min().map(|first| (product.clone(), first)));
            }
            for (product, count, min) in missing {
                let said = Said {
                    measured: Some(count.to_string()),
                    allowed: Some(format!("at least {min}")),
                    clause: clause.clone(),
                    detail: format!(
                        "{panel} ({surface}) has {count} of {min} coats of {product}: coat it, or leave the panel out"
                    ),
                };
                self.find(
                    "coats_missing",
                    Severity::Stops,
                    format!("{surface}/{panel}/{product}"),
                    said,
                    &on,
                );
            }
            for pair in firsts.windows(2) {
                if let [(below, first), (above, second)] = pair
                    && second < first
                {
                    let said = Said {
                        measured: Some(format!("{above} at {second}, {below} at {first}")),
                        allowed: Some(format!("{below} before {above}")),
                        clause: clause.clone(),
                        detail: format!("on {panel} ({surface}) {above} was begun before {below}"),
                    };
                    self.find("coat_order", Severity::Warns, format!("{surface}/{panel}/{above}"), said, &on);
                }
            }
        }
    }

    /// Steps that the terms or the sheet of the first coat ask for, panel by panel.
    fn prepared(&mut self) {
        let mut seen: Vec<(Surface, Panel)> = Vec::new();
        for coat in &self.job.coats {
            for panel in coat.panels.iter().filter(|panel| !self.job.excluded.contains(panel)) {
                if !seen.contains(&(coat.surface, panel.clone())) {
                    seen.push((coat.surface, panel.clone()));
                }
            }
        }
        for (surface, panel) in seen {
            let Some(first) = self.on(surface, &panel).first().copied().cloned() else { continue };
            let mut asked: Vec<(StepKind, String)> = Vec::new();
            for build in self.job.build.iter().filter(|build| build.surface == surface.as_str()) {
                asked.extend(build.prep.iter().map(|kind| (*kind, format!("build.{surface}.prep"))));
            }
            if let Some(prep) = first.sheet.as_ref().and_then(|sheet| sheet.prep(&Onto::Bare, surface)) {
                for kind in prep
                    .iter()
                    .filter(|kind| !asked.iter().any(|(known, _)| known == *kind))
                    .copied()
                    .collect::<Vec<_>>()
                {
                    asked.push((kind, format!("sheet.{}.recoat.bare.prep", first.product)));
                }
            }
            for (kind, clause) in asked {
                if self.job.steps.iter().any(|step| serves(step, kind, surface, &panel, first.started_at)) {
                    continue;
                }
                let said = Said {
                    measured: None,
                    allowed: Some(format!("{kind} before {}", first.started_at)),
                    clause,
                    detail: format!("{kind} is not noted on {panel} ({surface}) before its first coat"),
                };
                self.find(
                    "prep_missing",
                    Severity::Warns,
                    format!("{surface}/{panel}"),
                    said,
                    &fingerprint(&first),
                );
            }
        }
    }
}

/// Whether a step is the one asked for, on this panel, and came before the coat. Where no time was noted, the word of
/// whoever entered it is taken. Decontamination is met by any of the steps that do it.
fn serves(step: &StepSeen, kind: StepKind, surface: Surface, panel: &Panel, before: DateTime<Utc>) -> bool {
    use StepKind as K;
    let is = step.kind == kind
        || (kind == K::Decontamination && matches!(step.kind, K::FalloutRemoval | K::TarRemoval | K::Clay));
    is && step.surfaces.contains(&surface)
        && step.panels.as_ref().is_none_or(|panels| panels.contains(panel))
        && step.ended_at.or(step.started_at).is_none_or(|at| at <= before)
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
        for panel in job.coats.iter().filter(|coat| coat.surface == surface).flat_map(|coat| &coat.panels) {
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
