//! Packages: a shop's own templates of a job, and what of one is still to be done on a job.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta};
use chrono_tz::Tz;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::core::calendar::Moment;
use crate::core::checks::{CoatSeen, JobSeen, StepSeen};
use crate::core::coats::Coat;
use crate::core::error::Fault;
use crate::core::ids::{CoatId, StepId};
use crate::core::steps::Step;
use crate::core::terms::Build;
use crate::core::words::{Finish, Panel, ProductRole, StepKind, Surface};

/// A step as a package asks for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PackageStep {
    /// What is to be done.
    pub kind: StepKind,
    /// On which surfaces; at least one.
    #[schema(min_items = 1)]
    pub surfaces: Vec<Surface>,
    /// On which panels; all of the job unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub panels: Option<Vec<Panel>>,
    /// Code of the product.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<String>,
    /// How it is diluted, as written, for example `1:5`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 60)]
    pub dilution: Option<String>,
}

/// A coat as a package asks for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PackageCoat {
    /// On which surface.
    pub surface: Surface,
    /// On which panels; at least one.
    #[schema(min_items = 1)]
    pub panels: Vec<Panel>,
    /// Code of the product.
    pub product: String,
}

/// A template of a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Package {
    /// What the shop calls it in bodies; 1–64 of `a-z 0-9 -`.
    #[schema(pattern = "^[a-z0-9-]{1,64}$")]
    pub code: String,
    /// For people; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub title: String,
    /// Code of the terms on which the warranty is issued, by their latest published edition; none: no warranty, or
    /// chosen on the job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terms: Option<String>,
    /// The steps, in order; at most 60.
    #[serde(default)]
    #[schema(max_items = 60)]
    pub steps: Vec<PackageStep>,
    /// The coats, in order; at most 30.
    #[serde(default)]
    #[schema(max_items = 30)]
    pub coats: Vec<PackageCoat>,
    /// Panels that are usually left out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub excluded_panels: Vec<Panel>,
}

impl Package {
    /// Every rule that the package breaks by itself, each at its place.
    ///
    /// ```
    /// use lustrum::core::packages::Package;
    /// let package = Package {
    ///     code: "winter".into(), title: "Winter".into(), terms: None, steps: vec![], coats: vec![], excluded_panels: vec![],
    /// };
    /// assert_eq!(package.faults()[0].code, "empty");
    /// ```
    pub fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.steps.is_empty() && self.coats.is_empty() {
            faults.push(Fault::new("/coats", "empty", "a package has at least one step or coat"));
        }
        for (name, count, most) in [("steps", self.steps.len(), 60), ("coats", self.coats.len(), 30)] {
            if count > most {
                faults.push(Fault::new(
                    format!("/{name}"),
                    "too_many",
                    format!("{count}; allowed are up to {most}"),
                ));
            }
        }
        for (i, step) in self.steps.iter().enumerate() {
            if step.surfaces.is_empty() {
                faults.push(Fault::new(
                    format!("/steps/{i}/surfaces"),
                    "empty",
                    "at least one surface is needed",
                ));
            }
            faults.extend(twice(&format!("/steps/{i}/panels"), step.panels.as_deref().unwrap_or_default()));
        }
        for (i, coat) in self.coats.iter().enumerate() {
            if coat.panels.is_empty() {
                faults.push(Fault::new(
                    format!("/coats/{i}/panels"),
                    "empty",
                    "at least one panel is needed",
                ));
            }
            faults.extend(twice(&format!("/coats/{i}/panels"), &coat.panels));
        }
        faults.extend(twice("/excluded_panels", &self.excluded_panels));
        faults
    }

    /// The products that it names, each with its place.
    pub fn products(&self) -> impl Iterator<Item = (String, &str)> {
        let steps = self.steps.iter().enumerate().filter_map(|(i, step)| {
            step.product.as_deref().map(|code| (format!("/steps/{i}/product"), code))
        });
        let coats = self
            .coats
            .iter()
            .enumerate()
            .map(|(i, coat)| (format!("/coats/{i}/product"), coat.product.as_str()));
        steps.chain(coats)
    }

    /// A job on which all of this was done, one after the other, and nothing else: what it lacks of what terms ask for
    /// (`build`), each job from the package lacks.
    pub fn done(&self, build: Vec<Build>, zone: Tz) -> JobSeen {
        let mut clock = DateTime::UNIX_EPOCH;
        let mut next = || {
            clock += TimeDelta::hours(1);
            Moment(clock)
        };
        let steps = self.steps.iter().zip(1..).map(|(step, n)| {
            let PackageStep { kind, surfaces, panels, product, dilution } = step.clone();
            let at = Some(next());
            let step = Step {
                kind,
                surfaces,
                panels,
                product,
                dilution,
                abrasive: None,
                wheels_off: None,
                bottle_ml: None,
                started_at: at,
                ended_at: at,
                by: None,
            };
            StepSeen { id: Uuid::from_u128(n).into(), step }
        });
        let steps = steps.collect();
        let coats = self.coats.iter().zip(1..).map(|(coat, n)| {
            let PackageCoat { surface, panels, product } = coat.clone();
            let at = next();
            let coat = Coat {
                surface,
                panels,
                product,
                batch: String::new(),
                started_at: at,
                ended_at: at,
                ml: None,
                area_m2: None,
                by: None,
                sections: Vec::new(),
            };
            CoatSeen {
                id: Uuid::from_u128(n).into(),
                coat,
                known: None,
                sheet: None,
                role: ProductRole::Coating,
            }
        });
        JobSeen {
            zone,
            started_at: None,
            panels: BTreeMap::new(),
            excluded: self.excluded_panels.clone(),
            aged: Vec::new(),
            finish: Finish::ClearCoat,
            finishes: BTreeMap::new(),
            climate: Vec::new(),
            stages: Vec::new(),
            steps,
            coats: coats.collect(),
            build,
        }
    }

    /// What is to be done on a job from this package, with these panels left out: a coat of nothing else is no coat.
    pub fn plan(&self, excluded: &[Panel]) -> Plan {
        let coats = self.coats.iter().filter_map(|coat| {
            let panels: Vec<Panel> =
                coat.panels.iter().filter(|panel| !excluded.contains(panel)).cloned().collect();
            (!panels.is_empty())
                .then(|| PlannedCoat { coat: PackageCoat { panels, ..coat.clone() }, coat_id: None })
        });
        Plan {
            steps: self.steps.iter().map(|step| PlannedStep { step: step.clone(), step_id: None }).collect(),
            coats: coats.collect(),
        }
    }
}

fn twice(pointer: &str, panels: &[Panel]) -> Vec<Fault> {
    let again = |(i, panel): (usize, &Panel)| {
        panels[..i].contains(panel).then(|| {
            Fault::new(format!("{pointer}/{i}"), "panel_twice", format!("{panel} is named above already"))
        })
    };
    panels.iter().enumerate().filter_map(again).collect()
}

/// A step of a plan, and what it has become.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct PlannedStep {
    /// What is to be done.
    #[serde(flatten)]
    pub step: PackageStep,
    /// The step that it has become; null while it is not confirmed.
    pub step_id: Option<StepId>,
}

/// A coat of a plan, and what it has become.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct PlannedCoat {
    /// What is to be laid.
    #[serde(flatten)]
    pub coat: PackageCoat,
    /// The coat that it has become; null while it is not confirmed.
    pub coat_id: Option<CoatId>,
}

/// What a package asked for on a job, as it was when the job was opened.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Plan {
    /// The steps, in order.
    pub steps: Vec<PlannedStep>,
    /// The coats, in order.
    pub coats: Vec<PlannedCoat>,
}
