//! Steps of a job: what is particular to them among its parts.

use chrono::{DateTime, Utc};

use super::jobs::{panel_faults, time_fault};
use super::parts::{Kind, unknown_member, unknown_product};
use super::{Error, wanted_text};
use crate::core::dilution::Dilution;
use crate::core::error::Fault;
use crate::core::ids::JobId;
use crate::core::steps::{LARGEST_BOTTLE_ML, MixedStep, Step};
use crate::core::words::StepKind;
use crate::db::{Conn, Shop};

impl Kind for MixedStep {
    const NAME: &'static str = "steps";

    type Input = Step;

    fn input(&self) -> &Step {
        &self.step
    }

    fn faults(step: &Step, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults = Vec::new();
        if step.surfaces.is_empty() {
            faults.push(Fault::new("/surfaces", "empty", "at least one surface is needed"));
        }
        for (i, surface) in step.surfaces.iter().enumerate() {
            if step.surfaces[..i].contains(surface) {
                let detail = format!("{surface} is named above already");
                faults.push(Fault::new(format!("/surfaces/{i}"), "surface_twice", detail));
            }
        }
        faults.extend(step.panels.iter().flat_map(|panels| panel_faults("/panels", panels)));
        faults.extend(step.dilution.as_deref().and_then(|text| dilution_fault("/dilution", text)));
        if step.abrasive.is_some() && step.kind != StepKind::Clay {
            faults.push(Fault::new(
                "/abrasive",
                "not_clay",
                format!("it is said of clay, not of {}", step.kind),
            ));
        }
        if let Some(ml) = step.bottle_ml.filter(|ml| !(*ml > 0.0 && *ml <= LARGEST_BOTTLE_ML)) {
            let detail = format!("{ml} ml; allowed are above 0 to {LARGEST_BOTTLE_ML} ml");
            faults.push(Fault::new("/bottle_ml", "out_of_range", detail));
        }
        faults.extend(step.started_at.and_then(|at| time_fault("/started_at", at, now)));
        faults.extend(step.ended_at.and_then(|at| time_fault("/ended_at", at, now)));
        faults
    }

    fn unknown(conn: &mut Conn, shop: &Shop, _: JobId, step: &Step) -> Result<Vec<Fault>, Error> {
        let mut faults = Vec::new();
        faults.extend(unknown_product(conn, shop, step.product.as_deref())?);
        faults.extend(unknown_member(conn, shop, step.by)?);
        Ok(faults)
    }

    fn kept(_: &mut Conn, _: &Shop, step: Step, _: Option<Self>) -> Result<Self, Error> {
        Ok(step.into())
    }
}

/// What is wrong with a dilution as it was written.
pub(super) fn dilution_fault(pointer: &str, text: &str) -> Option<Fault> {
    wanted_text(pointer, text, 60).or_else(|| Dilution::read(text).err().map(|fault| fault.within(pointer)))
}
