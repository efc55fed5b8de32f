//! Cure of a job: how far each coat is, when it reaches its milestones, and whether the vehicle may leave.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::{Deserialize, Serialize};

use super::checks::{parsed_sheet, seen, seen_in, unwritable};
use super::jobs as job_cases;
use super::{App, Error, Who};
use crate::core::calendar::{Day, Moment, day_begins};
use crate::core::checks::JobSeen;
use crate::core::climate::ClimateReading;
use crate::core::cure::job::{FULL_CURE, JobClocks, PanelClock, WASH_SAFE};
use crate::core::cure::leave::{CoverProduct, Leave, heated_outside, leave};
use crate::core::error::all_clear;
use crate::core::ids::CoatId;
use crate::core::stages::{self, PlannedStage};
use crate::core::words::{Panel, ProductRole, Surface};
use crate::db::jobs::JobRow;
use crate::db::{Conn, Shop, products};

/// The temperature of a bay as it usually is, °C (common practice).
const BAY_C: f64 = 20.0;

/// What is asked of a job's cure, nothing of which is kept.
#[derive(Debug, Clone, Default, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CureAsked {
    /// The instant at which it is asked; now unless given.
    #[serde(default)]
    pub at: Option<Moment>,
    /// What is planned; what the job says unless given.
    #[serde(default)]
    #[schema(max_items = 50)]
    pub stages: Option<Vec<PlannedStage>>,
}

/// A milestone of a coat, a panel or the vehicle. Times are estimates.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MilestoneView {
    /// As the data sheets call it.
    pub name: String,
    /// Which panel; the vehicle unless given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub panel: Option<Panel>,
    /// When it was reached; null: not yet.
    pub reached_at: Option<Moment>,
    /// When it will be reached under what is planned; null: it has been, or not with what is known.
    pub expected_at: Option<Moment>,
}

/// A coat on a panel.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PanelCure {
    /// The panel.
    pub panel: Panel,
    /// When the coat was applied there.
    pub applied_at: Moment,
    /// Hours in the reference climate that would have done the same.
    pub equivalent_h: f64,
    /// Each milestone of the coat's data sheet.
    pub milestones: Vec<MilestoneView>,
}

/// A coat.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CoatCure {
    /// The coat.
    pub id: CoatId,
    /// On which surface.
    pub surface: Surface,
    /// Code of the product.
    pub product: String,
    /// Whether it takes water as soon as it is laid.
    pub takes_water: bool,
    /// Its clocks; none where its data sheet does not say how it cures.
    pub panels: Vec<PanelCure>,
}

/// What the clocks went by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Readings {
    /// How many readings at the vehicle there are.
    pub at_the_vehicle: usize,
    /// Of how many of them the panel's own temperature was read; of the others the air's is taken.
    pub of_the_panel: usize,
}

/// Cure of a job at an instant.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CureView {
    /// The instant.
    pub at: Moment,
    /// Coat by coat.
    pub coats: Vec<CoatCure>,
    /// Each milestone of the vehicle, then of each panel: the latest of its coats.
    pub milestones: Vec<MilestoneView>,
    /// Whether the vehicle may leave.
    pub leave: Leave,
    /// What the clocks went by.
    pub readings: Readings,
    /// What to heed besides, in plain words.
    pub hints: Vec<String>,
}

fn milestone(
    name: &str,
    panel: Option<&Panel>,
    reached: Option<DateTime<Utc>>,
    at: DateTime<Utc>,
) -> MilestoneView {
    MilestoneView {
        name: name.to_owned(),
        panel: panel.cloned(),
        reached_at: reached.filter(|reached| *reached <= at).map(Moment),
        expected_at: reached.filter(|reached| *reached > at).map(Moment),
    }
}

fn panel_cure(clock: &PanelClock, at: DateTime<Utc>) -> PanelCure {
    let milestones = clock.milestones().iter().map(|one| milestone(&one.name, None, one.reached_at, at));
    PanelCure {
        panel: clock.panel.clone(),
        applied_at: Moment(clock.applied_at),
        equivalent_h: clock.hours_at(at).get(),
        milestones: milestones.collect(),
    }
}

/// The products of the shop that take water at once.
fn covers(conn: &mut Conn, shop: &Shop) -> Result<Vec<CoverProduct>, Error> {
    let mut covers = Vec::new();
    for role in [ProductRole::WeatherTopper, ProductRole::Topper, ProductRole::Coating] {
        for product in products::list(conn, shop, Some(role), None, i64::MAX)? {
            let sheet = products::current_sheet(conn, shop, product.id)?;
            let sheet = sheet.map(|sheet| parsed_sheet(&product.code, &sheet)).transpose()?;
            let cure = sheet.as_ref().and_then(|sheet| sheet.cure.as_ref());
            if cure.map_or(role == ProductRole::WeatherTopper, |cure| cure.wet_at_once) {
                let surfaces = sheet.map(|sheet| sheet.surfaces);
                covers.push(CoverProduct { product: product.code, surfaces });
            }
        }
    }
    Ok(covers)
}

fn hints(job: &JobSeen, readings: &Readings) -> Vec<String> {
    let mut hints = Vec::new();
    if readings.at_the_vehicle == 0 {
        hints.push(
            "nothing was read at the vehicle: only what is planned, and the calendar, move the clocks".into(),
        );
    } else if readings.of_the_panel < readings.at_the_vehicle {
        let air = readings.at_the_vehicle - readings.of_the_panel;
        hints.push(format!(
            "of {air} readings the air stands for the panel, which may be colder: read the panel"
        ));
    }
    if let Some(dry) = heated_outside(job, BAY_C) {
        let outside = job.climate.iter().filter(|reading| reading.is_outside());
        if let Some(last) = outside.max_by_key(|reading| reading.at) {
            hints.push(format!(
                "outside air of {} °C and {} % has {dry:.0} % once it is heated to {BAY_C} °C: humidify where the data \
                 sheets ask for more",
                last.air_c, last.rh_pct
            ));
            if last.air_c < 5.0 {
                hints.push(
                    "a vehicle that stood in that cold needs a night inside before its panels read bay temperature".into(),
                );
            }
        }
    }
    hints
}

fn view(
    job: &JobSeen,
    stages: &[PlannedStage],
    at: DateTime<Utc>,
    covers: &[CoverProduct],
) -> Result<CureView, Error> {
    let clocks = JobClocks::new(job, stages).map_err(unwritable)?;
    let coats = clocks.coats.iter().map(|coat| CoatCure {
        id: coat.seen.id,
        surface: coat.seen.coat.surface,
        product: coat.seen.coat.product.clone(),
        takes_water: coat.takes_water(),
        panels: coat.panels.iter().map(|clock| panel_cure(clock, at)).collect(),
    });
    let (names, panels) = (clocks.names(), clocks.panels());
    let of = |panel: Option<&Panel>| {
        let each = names.iter().filter_map(|name| {
            clocks.milestone(name, panel).map(|reached| milestone(name, panel, reached, at))
        });
        each.collect::<Vec<_>>()
    };
    let mut milestones = of(None);
    milestones.extend(panels.iter().flat_map(|panel| of(Some(panel))));
    let at_the_vehicle = job.climate.iter().filter(|reading| !reading.is_outside());
    let readings = Readings {
        at_the_vehicle: at_the_vehicle.clone().count(),
        of_the_panel: at_the_vehicle.filter(|reading| reading.surface_c.is_some()).count(),
    };
    Ok(CureView {
        at: Moment(at),
        coats: coats.collect(),
        milestones,
        leave: leave(job, stages, at, covers).map_err(unwritable)?,
        hints: hints(job, &readings),
        readings,
    })
}

/// How far a job has cured, and whether its vehicle may leave. Nothing is kept of what is asked.
pub fn ask(app: &App, who: &Who, name: &str, question: &CureAsked) -> Result<CureView, Error> {
    let faults = question.stages.iter().flat_map(|stages| stages::faults(stages));
    all_clear(faults.map(|fault| fault.within("/stages")).collect())?;
    let at = question.at.map_or(app.now(), |at| at.0);
    app.db.read(|c| {
        let row = job_cases::named(c, &who.shop, name)?;
        let job = seen(c, who, &row)?;
        let covers = covers(c, &who.shop)?;
        view(&job, question.stages.as_ref().unwrap_or(&job.stages), at, &covers)
    })
}

/// Care after handover: from when on, as far as can be told. Estimates.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Care {
    /// From when on the vehicle was reckoned to stand outside.
    pub leaves_at: Moment,
    /// From when on it may meet water; null: not with what is known.
    pub first_water: Option<Moment>,
    /// From when on it may be washed; null: not with what is known, or the data sheets do not say.
    pub first_wash: Option<Moment>,
    /// When it has cured; likewise.
    pub full_cure: Option<Moment>,
}

/// The care of a job's vehicle that is handed over on a day: it leaves at the end of that day, or now if that is earlier.
pub(super) fn care_since(
    conn: &mut Conn,
    shop: &Shop,
    zone: Tz,
    row: &JobRow,
    on: NaiveDate,
    now: DateTime<Utc>,
) -> Result<Option<Care>, Error> {
    let leaves_at = now.min(day_begins(Day::from(on).plus_days(1), zone));
    care(&seen_in(conn, shop, zone, row)?, leaves_at)
}

/// The care of a job's vehicle that leaves at an instant: from then on it stands in the climate that was last read
/// outside, or else as it was last read or planned. None where no coat cures.
pub(super) fn care(job: &JobSeen, leaves_at: DateTime<Utc>) -> Result<Option<Care>, Error> {
    let stages = stages_outside(job, leaves_at);
    let clocks = JobClocks::new(job, &stages).map_err(unwritable)?;
    if clocks.coats.iter().all(|coat| coat.panels.is_empty()) {
        return Ok(None);
    }
    let water: Option<Vec<DateTime<Utc>>> = clocks.water().into_iter().map(|water| water.from).collect();
    let of = |name| clocks.milestone(name, None).flatten().map(Moment);
    Ok(Some(Care {
        leaves_at: Moment(leaves_at),
        first_water: water.and_then(|each| each.into_iter().max()).map(Moment),
        first_wash: of(WASH_SAFE),
        full_cure: of(FULL_CURE),
    }))
}

/// What is planned for a vehicle, and then the climate that was last read outside, from an instant on.
pub(super) fn stages_outside(job: &JobSeen, leaves_at: DateTime<Utc>) -> Vec<PlannedStage> {
    let mut stages = job.stages.clone();
    let outside = job.climate.iter().filter(|reading| reading.is_outside());
    if let Some(last) = outside.max_by_key(|reading| reading.at) {
        let ClimateReading { air_c: c, rh_pct, .. } = *last;
        let planned = stages.iter().map(|stage| stage.until).max();
        let from = planned.map_or(Moment(leaves_at), |planned| planned.max(Moment(leaves_at)));
        // What comes last holds on.
        stages.push(PlannedStage {
            from,
            until: Moment(from.0 + chrono::TimeDelta::days(1)),
            c,
            rh_pct,
            panels: None,
            weather: None,
        });
    }
    stages
}
