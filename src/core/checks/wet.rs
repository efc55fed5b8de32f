//! Whether rain or snow is planned to fall on a coat that is not safe from water.

use super::{Checker, Said};
use crate::core::cure::job::{JobClocks, WATER_SAFE, Water};
use crate::core::error::Fault;
use crate::core::stages::{PlannedStage, Weather};
use crate::core::words::{Severity, Surface};

impl Checker<'_> {
    /// The first wet stage of the plan that comes too early, surface by surface.
    pub(super) fn wet(&mut self) -> Result<(), Fault> {
        let falls = |stage: &&PlannedStage| stage.weather.is_some_and(Weather::is_wet);
        let mut wet: Vec<&PlannedStage> = self.job.stages.iter().filter(falls).collect();
        if wet.is_empty() {
            return Ok(());
        }
        wet.sort_by_key(|stage| stage.from);
        let water = JobClocks::new(self.job, &self.job.stages)?.water();
        for surface in Surface::ALL.iter().copied() {
            let early = |stage: &PlannedStage| -> Vec<&Water> {
                let on = water.iter().filter(|water| water.surface == surface && stage.is_on(&water.panel));
                on.filter(|water| water.from.is_none_or(|from| from > stage.from.0)).collect()
            };
            let Some((stage, early)) =
                wet.iter().map(|stage| (*stage, early(stage))).find(|(_, early)| !early.is_empty())
            else {
                continue;
            };
            let panel = |water: &&Water| match water.from {
                Some(from) => format!("{} ({} from {})", water.panel, water.product, self.clock(from)),
                None => format!("{} ({} not with what is known)", water.panel, water.product),
            };
            let measured = early.iter().map(panel).collect::<Vec<_>>().join(", ");
            let falls = stage.weather.map_or("rain", Weather::as_str);
            let said = Said {
                code: "wet_before_safe",
                severity: Severity::Warns,
                subject: surface.to_string(),
                measured: Some(format!("{falls} from {}: {measured}", self.clock(stage.from.0))),
                allowed: Some(format!("{WATER_SAFE}, or a weather topper over it")),
                clause: format!("sheet.cure.milestones.{WATER_SAFE}"),
                detail: "keep the vehicle in until then, or lay a weather topper over those panels: what would help, and how \
                         long it takes, is told with the job's cure"
                    .into(),
                of_terms: false,
            };
            self.find(said, stage)?;
        }
        Ok(())
    }
}
