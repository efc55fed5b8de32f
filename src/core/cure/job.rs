//! The clocks of a whole job: one for each coat on each panel, and what they say of the panel and of the vehicle.

use std::rc::Rc;

use chrono::{DateTime, Utc};

use super::{CureClock, Reached, Reading};
use crate::core::checks::{CoatSeen, JobSeen};
use crate::core::error::Fault;
use crate::core::stages::PlannedStage;
use crate::core::units::{Celsius, EquivalentHours, RelativeHumidity};
use crate::core::words::{Panel, ProductRole, Surface};

/// The milestone from which on a coat may meet water.
pub const WATER_SAFE: &str = "water-safe";
/// The milestone from which on a coat may be washed.
pub const WASH_SAFE: &str = "wash-safe";
/// The milestone of a coat that has cured.
pub const FULL_CURE: &str = "full cure";

/// The clock of a coat on a panel, with its milestones.
#[derive(Debug, Clone)]
pub struct PanelClock {
    /// The panel.
    pub panel: Panel,
    /// When the coat was applied there.
    pub applied_at: DateTime<Utc>,
    clock: Rc<(CureClock, Vec<Reached>)>,
}

impl PanelClock {
    /// Equivalent hours at an instant; none before the application.
    pub fn hours_at(&self, at: DateTime<Utc>) -> EquivalentHours {
        self.clock.0.hours_at(at).unwrap_or(EquivalentHours(0.0))
    }

    /// Each milestone of the sheet.
    pub fn milestones(&self) -> &[Reached] {
        &self.clock.1
    }

    /// When a milestone is reached, where the sheet has it; none within: not with what is known.
    pub fn milestone(&self, name: &str) -> Option<Option<DateTime<Utc>>> {
        self.clock.1.iter().find(|one| one.name == name).map(|one| one.reached_at)
    }
}

/// A coat with its clocks; none where its data sheet does not say how it cures.
#[derive(Debug, Clone)]
pub struct CoatClocks<'j> {
    /// The coat.
    pub seen: &'j CoatSeen,
    /// Its clocks, panel by panel.
    pub panels: Vec<PanelClock>,
}

impl CoatClocks<'_> {
    /// Whether it takes water as soon as it is laid: by its sheet, or as a weather topper whose sheet does not say how
    /// it cures.
    pub fn takes_water(&self) -> bool {
        match self.seen.sheet.as_ref().and_then(|sheet| sheet.cure.as_ref()) {
            Some(cure) => cure.wet_at_once,
            None => self.seen.role == ProductRole::WeatherTopper,
        }
    }

    /// When it may meet water on a panel by itself. `Ok(None)`: not with what is known; `Err`: its sheet does not say.
    fn water(&self, panel: &Panel) -> Result<Option<DateTime<Utc>>, ()> {
        if self.takes_water() {
            return Ok(Some(self.seen.coat.begins_on(panel).0));
        }
        let clock = self.panels.iter().find(|clock| clock.panel == *panel);
        clock.and_then(|clock| clock.milestone(WATER_SAFE)).ok_or(())
    }
}

/// When a panel may meet water, and which coat decides it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Water {
    /// On which surface.
    pub surface: Surface,
    /// The panel.
    pub panel: Panel,
    /// From when on; none: not with what is known.
    pub from: Option<DateTime<Utc>>,
    /// The product that is waited for last.
    pub product: String,
    /// The cover coat that takes the water for it before it could.
    pub cover: Option<String>,
    /// Whether the data sheet says it at all.
    pub said: bool,
}

/// All clocks of a job under a plan.
#[derive(Debug, Clone)]
pub struct JobClocks<'j> {
    /// The coats, in the order of the job.
    pub coats: Vec<CoatClocks<'j>>,
}

impl<'j> JobClocks<'j> {
    /// Starts the clocks of a job: by what was read at the vehicle, then by what is planned. Where nothing was read and
    /// nothing is planned for a panel, only the calendar counts.
    ///
    /// Refused: a stage that ends before it begins, or lies outside the ranges of its members.
    pub fn new(job: &'j JobSeen, stages: &[PlannedStage]) -> Result<Self, Fault> {
        let read = |one: &crate::core::climate::ClimateReading| {
            let c = Celsius::new(one.panel_c())?;
            Ok(Reading { at: one.at.0, c, rh: RelativeHumidity::new(one.rh_pct)? })
        };
        let at_the_vehicle = job.climate.iter().filter(|reading| !reading.is_outside());
        let readings = at_the_vehicle.map(read).collect::<Result<Vec<_>, Fault>>()?;
        let coats = job.coats.iter().map(|seen| clocks(seen, &readings, stages));
        Ok(Self { coats: coats.collect::<Result<_, _>>()? })
    }

    /// The names of all milestones, each once, as the sheets order them.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        let clocks = self.coats.iter().filter_map(|coat| coat.panels.first());
        for milestones in clocks.map(PanelClock::milestones) {
            // A name that is new goes before the next one that is known.
            for (i, one) in milestones.iter().enumerate() {
                if !names.contains(&one.name) {
                    let next = milestones[i..]
                        .iter()
                        .find_map(|next| names.iter().position(|name| *name == next.name));
                    names.insert(next.unwrap_or(names.len()), one.name.clone());
                }
            }
        }
        names
    }

    /// The panels that were coated, in the order of the coats, each once.
    pub fn panels(&self) -> Vec<Panel> {
        let mut panels: Vec<Panel> = Vec::new();
        for panel in self.coats.iter().flat_map(|coat| &coat.seen.coat.panels) {
            if !panels.contains(panel) {
                panels.push(panel.clone());
            }
        }
        panels
    }

    /// When a milestone is reached on a panel, or on the whole vehicle: the latest of the coats whose sheets have it.
    /// None: no sheet has it; none within: not with what is known.
    pub fn milestone(&self, name: &str, panel: Option<&Panel>) -> Option<Option<DateTime<Utc>>> {
        let clocks = self.coats.iter().flat_map(|coat| &coat.panels);
        clocks
            .filter(|clock| panel.is_none_or(|panel| clock.panel == *panel))
            .filter_map(|clock| clock.milestone(name))
            .reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b)))
    }

    /// When each panel that weather reaches may meet water: its coats are safe from it, or a coat that takes water at
    /// once lies over those that are not.
    pub fn water(&self) -> Vec<Water> {
        let mut all: Vec<Water> = Vec::new();
        for coat in &self.coats {
            let surface = coat.seen.coat.surface;
            // Inside the cabin it does not rain.
            if matches!(surface, Surface::Leather | Surface::Fabric) {
                continue;
            }
            for panel in &coat.seen.coat.panels {
                if !all.iter().any(|known| known.surface == surface && known.panel == *panel) {
                    all.extend(self.water_on(surface, panel));
                }
            }
        }
        all
    }

    fn water_on(&self, surface: Surface, panel: &Panel) -> Option<Water> {
        let lies = |coat: &&CoatClocks<'_>| {
            coat.seen.coat.surface == surface && coat.seen.coat.panels.contains(panel)
        };
        let begun = |coat: &CoatClocks<'_>| coat.seen.coat.begins_on(panel).0;
        let on: Vec<&CoatClocks<'_>> = self.coats.iter().filter(lies).collect();
        let judged = on.iter().filter(|coat| {
            // What a sheet does not say is not judged, but of a coating it has to say it.
            coat.water(panel).is_ok() || coat.seen.role == ProductRole::Coating || !coat.panels.is_empty()
        });
        let each = judged.map(|coat| {
            let alone = coat.water(panel);
            let covers = on.iter().filter(|over| over.takes_water() && begun(over) >= begun(coat));
            let cover = covers.min_by_key(|over| begun(over)).filter(|_| !coat.takes_water());
            let covered = cover.map(|over| begun(over));
            let earlier = covered.filter(|at| alone.ok().flatten().is_none_or(|alone| *at < alone));
            Water {
                surface,
                panel: panel.clone(),
                from: earlier.or(alone.ok().flatten()),
                product: coat.seen.coat.product.clone(),
                cover: cover.filter(|_| earlier.is_some()).map(|over| over.seen.coat.product.clone()),
                said: alone.is_ok(),
            }
        });
        // The one that is waited for last; never is later than any.
        each.reduce(|a, b| match (a.from, b.from) {
            (Some(one), Some(other)) if other > one => b,
            (Some(_), None) => b,
            _ => a,
        })
    }
}

/// The clocks of a coat. Panels that were coated together under the same plan share one.
fn clocks<'j>(
    seen: &'j CoatSeen,
    readings: &[Reading],
    stages: &[PlannedStage],
) -> Result<CoatClocks<'j>, Fault> {
    let Some(cure) = seen.sheet.as_ref().and_then(|sheet| sheet.cure.as_ref()) else {
        return Ok(CoatClocks { seen, panels: Vec::new() });
    };
    type Known = (DateTime<Utc>, Vec<usize>, Rc<(CureClock, Vec<Reached>)>);
    let mut known: Vec<Known> = Vec::new();
    let mut panels = Vec::new();
    for panel in &seen.coat.panels {
        let applied_at = seen.coat.begins_on(panel).0;
        let of: Vec<usize> = (0..stages.len()).filter(|i| stages[*i].is_on(panel)).collect();
        let same = known.iter().find(|(at, plan, _)| *at == applied_at && *plan == of);
        let clock = if let Some((.., clock)) = same {
            clock.clone()
        } else {
            let planned = of.iter().map(|i| stages[*i].stage()).collect::<Result<Vec<_>, Fault>>()?;
            let clock = if readings.is_empty() && planned.is_empty() {
                CureClock::by_calendar(cure, applied_at)?
            } else {
                CureClock::new(cure, applied_at, readings, &planned)?
            };
            let milestones = clock.milestones();
            let clock = Rc::new((clock, milestones));
            known.push((applied_at, of, clock.clone()));
            clock
        };
        panels.push(PanelClock { panel: panel.clone(), applied_at, clock });
    }
    Ok(CoatClocks { seen, panels })
}
