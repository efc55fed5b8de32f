//! Whether a vehicle may leave now into whatever falls outside, why, and what would help.
//!
//! Each help is tried before it is offered: whoever does what it says may leave.

use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;

use super::job::{JobClocks, WATER_SAFE, Water};
use crate::core::calendar::Moment;
use crate::core::checks::JobSeen;
use crate::core::error::Fault;
use crate::core::stages::PlannedStage;
use crate::core::words::{Panel, Surface, words};

/// A bay as it usually is while coats cure (common practice).
const BAY: (f64, f64) = (20.0, 50.0);

/// For how long waiting in the bay is looked at.
const LONGEST_WAIT: TimeDelta = TimeDelta::days(400);

words! {
    /// What would help a vehicle to leave.
    HelpKind, "kind of help" {
        /// Hours in the bay.
        Bay = "bay",
        /// An infrared lamp, as the data sheets describe it.
        Lamp = "lamp",
        /// A coat over it that takes water at once.
        Cover = "cover",
    }
}

/// A product of the shop that takes water at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoverProduct {
    /// Its code.
    pub product: String,
    /// Where it may go; none: its data sheet does not say.
    pub surfaces: Option<Vec<Surface>>,
}

/// Panels of a surface.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct OnPanels {
    /// The surface.
    pub surface: Surface,
    /// Its panels.
    pub panels: Vec<Panel>,
}

/// Why a vehicle may leave, or may not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct LeaveBecause {
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// The product that decides it.
    pub product: String,
    /// From when on the panels may meet water, an estimate; null: not with what is known and planned.
    pub from: Option<Moment>,
    /// The coat over it that takes the water meanwhile.
    pub cover: Option<String>,
    /// The same in words.
    pub text: String,
}

/// Something after which the vehicle may leave.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Help {
    /// What it is.
    pub kind: HelpKind,
    /// From when on the vehicle may leave, if it is done at once.
    pub at: Moment,
    /// The plan with it: what was planned up to now, and then this.
    pub stages: Vec<PlannedStage>,
    /// Hours that it takes.
    pub hours: f64,
    /// Which products would do.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub products: Vec<String>,
    /// On which panels it is needed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on: Vec<OnPanels>,
    /// The same in words.
    pub text: String,
}

/// Whether a vehicle may leave, why, and what would help where it may not.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Leave {
    /// Whether every coated panel that weather reaches may meet water.
    pub may: bool,
    /// Why.
    pub because: Vec<LeaveBecause>,
    /// What would help; nothing where it may leave.
    pub helps: Vec<Help>,
}

fn is_safe(water: &Water, at: DateTime<Utc>) -> bool {
    water.from.is_some_and(|from| from <= at)
}

/// Panels that may not meet water yet, by surface.
fn wet_too_early(all: &[Water], at: DateTime<Utc>) -> Vec<OnPanels> {
    let mut on: Vec<OnPanels> = Vec::new();
    for water in all.iter().filter(|water| !is_safe(water, at)) {
        match on.iter_mut().find(|known| known.surface == water.surface) {
            Some(known) => known.panels.push(water.panel.clone()),
            None => on.push(OnPanels { surface: water.surface, panels: vec![water.panel.clone()] }),
        }
    }
    on
}

/// Whether a job's vehicle may leave at an instant under a plan. `covers` are the shop's products that take water at
/// once.
///
/// Refused: a plan that [`JobClocks::new`] refuses.
pub fn leave(
    job: &JobSeen,
    stages: &[PlannedStage],
    at: DateTime<Utc>,
    covers: &[CoverProduct],
) -> Result<Leave, Fault> {
    let water = JobClocks::new(job, stages)?.water();
    let may = water.iter().all(|water| is_safe(water, at));
    let because = because(job, &water, at);
    let mut helps = Vec::new();
    if !may {
        let plan = Try { job, at, begun: begun(stages, at), on: wet_too_early(&water, at) };
        helps.extend(plan.bay()?);
        helps.extend(plan.lamp()?);
        helps.extend(plan.cover(covers));
    }
    Ok(Leave { may, because, helps })
}

/// What stands in the way; where nothing does, what the vehicle may leave by.
fn because(job: &JobSeen, all: &[Water], at: DateTime<Utc>) -> Vec<LeaveBecause> {
    let may = all.iter().all(|water| is_safe(water, at));
    let mut found: Vec<LeaveBecause> = Vec::new();
    for water in all.iter().filter(|water| may || !is_safe(water, at)) {
        let from = water.from.map(Moment);
        let same = found.iter_mut().find(|known| {
            (known.surface, &known.product, known.from, &known.cover)
                == (water.surface, &water.product, from, &water.cover)
        });
        if let Some(known) = same {
            known.panels.push(water.panel.clone());
            continue;
        }
        let product = &water.product;
        let local = |at: DateTime<Utc>| at.with_timezone(&job.zone).format("%Y-%m-%d %H:%M").to_string();
        let text = match (&water.cover, water.from) {
            (Some(cover), Some(from)) if from <= at => {
                format!("{cover} over it takes water since {}", local(from))
            }
            (_, Some(from)) if from <= at => format!("{product} is {WATER_SAFE} since {}", local(from)),
            (_, Some(from)) => format!("{product} is not {WATER_SAFE} before {}, an estimate", local(from)),
            (_, None) if water.said => {
                format!(
                    "{product} does not get {WATER_SAFE} with what is known and planned: it is too cold, or nothing was read"
                )
            }
            (_, None) => format!("the data sheet of {product} does not say when it may meet water"),
        };
        found.push(LeaveBecause {
            surface: water.surface,
            panels: vec![water.panel.clone()],
            product: product.clone(),
            from,
            cover: water.cover.clone(),
            text,
        });
    }
    found
}

/// The stages that have begun, none of them longer than until now.
fn begun(stages: &[PlannedStage], at: DateTime<Utc>) -> Vec<PlannedStage> {
    let now = Moment(at);
    let begun = stages.iter().filter(|stage| stage.from < now).cloned();
    begun.map(|stage| PlannedStage { until: stage.until.min(now), ..stage }).collect()
}

/// Helps, tried from an instant on.
struct Try<'j> {
    job: &'j JobSeen,
    at: DateTime<Utc>,
    begun: Vec<PlannedStage>,
    /// Where water would come too early.
    on: Vec<OnPanels>,
}

impl Try<'_> {
    fn panels(&self) -> Vec<Panel> {
        self.on.iter().flat_map(|on| on.panels.iter().cloned()).collect()
    }

    /// The plan with one more stage, from now until then.
    fn with(
        &self,
        until: DateTime<Utc>,
        c: f64,
        rh_pct: f64,
        panels: Option<Vec<Panel>>,
    ) -> Vec<PlannedStage> {
        let mut stages = self.begun.clone();
        let (from, until) = (Moment(self.at), Moment(until));
        stages.push(PlannedStage { from, until, c, rh_pct, panels, weather: None });
        stages
    }

    /// The instant at which the last panel may meet water under a plan.
    fn safe_from(&self, stages: &[PlannedStage]) -> Result<Option<DateTime<Utc>>, Fault> {
        let water = JobClocks::new(self.job, stages)?.water();
        let each: Option<Vec<DateTime<Utc>>> = water.iter().map(|water| water.from).collect();
        Ok(each.and_then(|each| each.into_iter().max()))
    }

    fn help(&self, kind: HelpKind, until: DateTime<Utc>, stages: Vec<PlannedStage>, text: String) -> Help {
        let hours = (until - self.at).as_seconds_f64() / 3600.0;
        Help { kind, at: Moment(until), stages, hours, products: Vec::new(), on: self.on.clone(), text }
    }

    /// Hours in the bay.
    fn bay(&self) -> Result<Option<Help>, Fault> {
        let Some(longest) = self.at.checked_add_signed(LONGEST_WAIT) else { return Ok(None) };
        let (c, rh) = BAY;
        let safe = self.safe_from(&self.with(longest, c, rh, None))?;
        let Some(until) = safe.filter(|until| *until <= longest).map(|until| until.max(self.at)) else {
            return Ok(None);
        };
        let stages = self.with(until, c, rh, None);
        if self.safe_from(&stages)?.is_none_or(|safe| safe > until) {
            return Ok(None);
        }
        let hours = (until - self.at).as_seconds_f64() / 3600.0;
        let mut text =
            format!("{:.0} h in the bay at {c} °C and {rh} % relative humidity, an estimate", hours.ceil());
        if let Some(dry) = heated_outside(self.job, c).filter(|dry| *dry < rh) {
            text.push_str(&format!("; outside air that is heated has {dry:.0} % there, so humidify"));
        }
        text.push_str(
            "; panels that were out in the cold need a night inside before they read bay temperature",
        );
        Ok(Some(self.help(HelpKind::Bay, until, stages, text)))
    }

    /// A lamp, where the sheets of all coats that are waited for know one.
    fn lamp(&self) -> Result<Option<Help>, Fault> {
        let waited = self.job.coats.iter().filter(|seen| {
            self.on.iter().any(|on| {
                on.surface == seen.coat.surface
                    && on.panels.iter().any(|panel| seen.coat.panels.contains(panel))
            })
        });
        let lamps = waited.filter_map(|seen| seen.sheet.as_ref()?.cure.as_ref()?.lamp.as_ref());
        let most = lamps.fold(None, |most: Option<(f64, f64)>, lamp| {
            let (c, min) = most.unwrap_or((lamp.panel_c, lamp.min));
            Some((c.max(lamp.panel_c), min.max(lamp.min)))
        });
        let Some((c, min)) = most else { return Ok(None) };
        let length = TimeDelta::try_milliseconds(milliseconds(min));
        let Some(until) = length.and_then(|length| self.at.checked_add_signed(length)) else {
            return Ok(None);
        };
        let stages = self.with(until, c, BAY.1, Some(self.panels()));
        // Only where that is enough on every panel.
        if self.safe_from(&stages)?.is_none_or(|safe| safe > until) {
            return Ok(None);
        }
        let text = format!(
            "an infrared lamp that holds each of these panels at {c} °C for {min} min: measure on the panel, keep film, \
             trim and sensors shaded; the data sheets of product and lamp decide"
        );
        Ok(Some(self.help(HelpKind::Lamp, until, stages, text)))
    }

    /// A coat over it that takes water at once, where there is one for each surface.
    fn cover(&self, covers: &[CoverProduct]) -> Option<Help> {
        let goes = |cover: &CoverProduct, surface| {
            cover.surfaces.as_ref().is_none_or(|surfaces| surfaces.contains(&surface))
        };
        // What is laid later than this would lie over it.
        if self.job.coats.iter().any(|seen| seen.coat.level_by().0 > self.at) {
            return None;
        }
        let mut products: Vec<String> = Vec::new();
        for on in &self.on {
            let cover = covers.iter().find(|cover| goes(cover, on.surface))?;
            if !products.contains(&cover.product) {
                products.push(cover.product.clone());
            }
        }
        let told: Vec<String> = self
            .on
            .iter()
            .map(|on| {
                let panels: Vec<String> = on.panels.iter().map(ToString::to_string).collect();
                format!("{} ({})", panels.join(", "), on.surface)
            })
            .collect();
        let text = format!(
            "{} over {}: it takes water at once, and covers those panels only; lay it when its data sheet says it may go on",
            products.join(" and "),
            told.join("; ")
        );
        let help = self.help(HelpKind::Cover, self.at, self.begun.clone(), text);
        Some(Help { products, ..help })
    }
}

/// Minutes as whole milliseconds, rounded up.
fn milliseconds(minutes: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a sheet's minutes are at most a million")]
    let whole = (minutes * 60_000.0).ceil() as i64;
    whole
}

/// The relative humidity, in %, of the air that was last read outside once it is heated to so many °C; none where none
/// was read, or it is warmer outside.
pub fn heated_outside(job: &JobSeen, c: f64) -> Option<f64> {
    use crate::core::humidity::heated;
    use crate::core::units::{Celsius, RelativeHumidity};
    let last = job.climate.iter().filter(|reading| reading.is_outside()).max_by_key(|reading| reading.at)?;
    let (out, rh) = (Celsius::new(last.air_c).ok()?, RelativeHumidity::new(last.rh_pct).ok()?);
    heated(out, rh, Celsius::new(c).ok()?).ok().map(RelativeHumidity::get)
}
