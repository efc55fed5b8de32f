//! The plan of a job that was opened from a package: its steps and coats, confirmed by few calls.

use serde::{Deserialize, Serialize};

use super::jobs::{JobInput, JobView, TermsChoice, must_be_open, view as job_view};
use super::parts::{Entered, enter, faults_of};
use super::{App, Error, Who};
use crate::core::calendar::Moment;
use crate::core::coats::{Coat, LaidCoat, Section};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{JobId, MemberId};
use crate::core::packages::Plan;
use crate::core::steps::{MixedStep, Step};
use crate::core::words::Panel;
use crate::db::{self, Conn, Shop, batches, jobs, packages};

/// What was done of a job's plan.
#[derive(Debug, Clone, Default, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ConfirmInput {
    /// Steps that were done; all that are not confirmed yet unless given, without times.
    #[serde(default)]
    pub steps: Option<Vec<ConfirmStep>>,
    /// Coats that were laid.
    #[serde(default)]
    pub coats: Vec<ConfirmCoat>,
}

/// A step of the plan that was done.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ConfirmStep {
    /// Its place among the plan's steps, from 0 on.
    pub place: usize,
    /// When it began.
    #[serde(default)]
    pub started_at: Option<Moment>,
    /// When it ended.
    #[serde(default)]
    pub ended_at: Option<Moment>,
    /// Who did it.
    #[serde(default)]
    pub by: Option<MemberId>,
}

/// A coat of the plan that was laid.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ConfirmCoat {
    /// Its place among the plan's coats, from 0 on.
    pub place: usize,
    /// The batch number on the bottle; that of the bottle of this product that was opened last unless given.
    #[serde(default)]
    pub batch: Option<String>,
    /// When it began.
    pub started_at: Moment,
    /// When it ended.
    pub ended_at: Moment,
    /// How much was used, ml, above 0.
    #[serde(default)]
    pub ml: Option<f64>,
    /// How much surface it went onto, m², above 0.
    #[serde(default)]
    pub area_m2: Option<f64>,
    /// Who laid it.
    #[serde(default)]
    pub by: Option<MemberId>,
    /// When parts of it were applied and levelled.
    #[serde(default)]
    pub sections: Vec<Section>,
}

/// What was entered by confirming a plan.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Confirmed {
    /// The job, with its plan as it is now.
    pub job: JobView,
    /// The steps, in the order of the plan.
    pub steps: Vec<Entered<MixedStep>>,
    /// The coats, in the order in which they were given.
    pub coats: Vec<Entered<LaidCoat>>,
}

/// What a job begins with: where it is opened from a package, that package's terms, panels and panels left out as far
/// as nothing else is said, and its plan.
pub(super) fn begin(
    conn: &mut Conn,
    shop: &Shop,
    mut input: JobInput,
    faults: &mut Vec<Fault>,
) -> Result<(JobInput, Option<Plan>), Error> {
    let Some(code) = &input.package else { return Ok((input, None)) };
    let package = match packages::find(conn, shop, code) {
        Ok(row) => row.package,
        Err(db::Error::NotFound) => {
            let detail = format!("{code:?} is no package of your shop");
            faults.push(Fault::new("/package", "unknown_package", detail));
            return Ok((input, None));
        }
        Err(error) => return Err(error.into()),
    };
    if input.terms.is_none() {
        input.terms = package.terms.clone().map(|code| TermsChoice { code, edition: None });
    }
    if input.excluded_panels.is_empty() {
        input.excluded_panels.clone_from(&package.excluded_panels);
    }
    let plan = package.plan(&input.excluded_panels);
    if input.panels.is_empty() {
        for planned in &plan.coats {
            let panels = input.panels.entry(planned.coat.surface).or_default();
            let new = planned.coat.panels.iter().filter(|panel| !panels.contains(panel)).cloned();
            let new: Vec<Panel> = new.collect();
            panels.extend(new);
        }
    }
    Ok((input, Some(plan)))
}

/// Confirms steps and coats of a job's plan: all of them are entered, or none.
pub fn confirm(app: &App, who: &Who, job: JobId, input: ConfirmInput) -> Result<Confirmed, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        jobs::lock(tx, &shop, job)?;
        let row = jobs::find(tx, &shop, job)?;
        let mut plan = row.plan.clone().unwrap_or_default();
        let wanted = input.steps.unwrap_or_else(|| not_confirmed(&plan));
        let mut faults = places("steps", wanted.iter().map(|step| step.place), &steps_done(&plan));
        faults.extend(places("coats", input.coats.iter().map(|coat| coat.place), &coats_done(&plan)));
        all_clear(faults)?;
        let steps: Vec<(usize, Step)> =
            wanted.into_iter().map(|done| (done.place, step(&plan, done))).collect();
        let (coats, mut faults) = laid(tx, &shop, &plan, input.coats)?;
        for (i, (_, step)) in steps.iter().enumerate() {
            faults.extend(faults_of::<MixedStep>(tx, &shop, job, step, now, &format!("/steps/{i}"))?);
        }
        for (i, (_, coat)) in coats.iter().enumerate() {
            faults.extend(faults_of::<LaidCoat>(tx, &shop, job, coat, now, &format!("/coats/{i}"))?);
        }
        all_clear(faults)?;
        let mut row = must_be_open(row)?;
        let (mut steps_entered, mut coats_entered) = (Vec::new(), Vec::new());
        for (place, step) in steps {
            let entered = enter::<MixedStep>(tx, &who, job, step, now)?;
            plan.steps[place].step_id = Some(entered.id);
            steps_entered.push(entered);
        }
        for (place, coat) in coats {
            let entered = enter::<LaidCoat>(tx, &who, job, coat, now)?;
            plan.coats[place].coat_id = Some(entered.id);
            coats_entered.push(entered);
        }
        row.plan = Some(plan);
        if !jobs::change(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        row.version += 1;
        Ok(Confirmed { job: job_view(tx, &shop, row)?, steps: steps_entered, coats: coats_entered })
    })
}

/// The step that a confirmation means.
fn step(plan: &Plan, done: ConfirmStep) -> Step {
    let planned = plan.steps[done.place].step.clone();
    Step {
        kind: planned.kind,
        surfaces: planned.surfaces,
        panels: planned.panels,
        product: planned.product,
        dilution: planned.dilution,
        abrasive: None,
        wheels_off: None,
        bottle_ml: None,
        started_at: done.started_at,
        ended_at: done.ended_at,
        by: done.by,
    }
}

fn steps_done(plan: &Plan) -> Vec<bool> {
    plan.steps.iter().map(|step| step.step_id.is_some()).collect()
}

fn coats_done(plan: &Plan) -> Vec<bool> {
    plan.coats.iter().map(|coat| coat.coat_id.is_some()).collect()
}

/// Every step that is not confirmed yet, without times.
fn not_confirmed(plan: &Plan) -> Vec<ConfirmStep> {
    let open = |(place, step): (usize, &crate::core::packages::PlannedStep)| {
        step.step_id.is_none().then_some(ConfirmStep { place, started_at: None, ended_at: None, by: None })
    };
    plan.steps.iter().enumerate().filter_map(open).collect()
}

/// Places that the plan has not, that are confirmed already, or that are given twice.
fn places(list: &str, given: impl Iterator<Item = usize>, confirmed: &[bool]) -> Vec<Fault> {
    let mut seen = std::collections::BTreeSet::new();
    let mut faults = Vec::new();
    for (i, place) in given.enumerate() {
        let at = format!("/{list}/{i}/place");
        match confirmed.get(place) {
            None => {
                let detail =
                    format!("the job's plan has {} {list}; {place} is none of them", confirmed.len());
                faults.push(Fault::new(at, "not_planned", detail));
            }
            Some(true) => {
                faults.push(Fault::new(at, "already_confirmed", format!("{place} has been confirmed")));
            }
            Some(false) if !seen.insert(place) => {
                faults.push(Fault::new(at, "given_twice", format!("{place} is given above already")));
            }
            Some(false) => {}
        }
    }
    faults
}

/// Coats, each with its place in the plan, and what is wrong with how they were given.
type Laid = (Vec<(usize, Coat)>, Vec<Fault>);

/// The coats that confirmations mean, and what is wrong where no batch is given and no bottle is open.
fn laid(conn: &mut Conn, shop: &Shop, plan: &Plan, given: Vec<ConfirmCoat>) -> Result<Laid, Error> {
    let (mut coats, mut faults) = (Vec::new(), Vec::new());
    for (i, given) in given.into_iter().enumerate() {
        let planned = plan.coats[given.place].coat.clone();
        let batch = match given.batch {
            Some(batch) => batch,
            None => batches::opened_last(conn, shop, &planned.product)?.unwrap_or_else(|| {
                let detail =
                    format!("no usable bottle of {} is open: say which batch it was", planned.product);
                faults.push(Fault::new(format!("/coats/{i}/batch"), "missing", detail));
                // Any text: the fault above keeps it from being entered.
                planned.product.clone()
            }),
        };
        let coat = Coat {
            surface: planned.surface,
            panels: planned.panels,
            product: planned.product,
            batch,
            started_at: given.started_at,
            ended_at: given.ended_at,
            ml: given.ml,
            area_m2: given.area_m2,
            by: given.by,
            sections: given.sections,
        };
        coats.push((given.place, coat));
    }
    Ok((coats, faults))
}
