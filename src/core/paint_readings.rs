//! Paint readings of a job, and what they say of each panel.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::error::Fault;
use crate::core::ids::MemberId;
use crate::core::paint::{self, FILM_ADDS_UM, Limits, PaintFlag, flags, vehicle_median};
use crate::core::sample::{Interval, Summary};
use crate::core::units::Micrometres;
use crate::core::words::{Panel, words};
use crate::core::{grubbs, thickness};

words! {
    /// Whether paint was read before or after polishing.
    Polishing, "time of a paint reading" {
        Before = "before",
        After = "after",
    }
}

words! {
    /// What a gauge stood on.
    ReadOn, "ground of a paint reading" {
        /// Paint on metal.
        Paint = "paint",
        /// Film over the paint.
        Film = "film",
        /// A part of plastic, which such gauges cannot read.
        Plastic = "plastic",
    }
}

/// The thickest reading that is taken, in µm: thicker than any filler on a body.
pub const THICKEST_UM: f64 = 10_000.0;

/// The most spots of one entry.
pub const MOST_SPOTS: usize = 200;

/// What was read on a panel, at one time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PaintReading {
    /// On which panel.
    pub panel: Panel,
    /// Before or after polishing.
    pub when: Polishing,
    /// What the gauge stood on. Unless given: film where the job says that the panel is finished in film, else paint.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground: Option<ReadOn>,
    /// What was read, spot by spot: at least one; of plastic none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 200)]
    pub spots: Vec<Spot>,
    /// When it was read; when it was entered unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_at: Option<Moment>,
    /// Who read it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
}

/// One reading of the gauge.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Spot {
    /// What the spot is called, so that it is found again after polishing; 1–40 characters. Several readings of one spot
    /// count together. Readings without a name belong to one another by their order, where there are as many after as before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 40)]
    pub spot: Option<String>,
    /// Thickness of all layers together, µm.
    #[schema(minimum = 0.0, maximum = 10_000.0)]
    pub um: f64,
}

impl Spot {
    /// The reading as a quantity; refused out of 0 to [`THICKEST_UM`].
    pub fn thickness(&self) -> Result<Micrometres, Fault> {
        let within = Micrometres::new(self.um).ok().filter(|um| um.get() <= THICKEST_UM);
        let detail = || format!("{} µm; allowed are 0 to {THICKEST_UM} µm", self.um);
        within.ok_or_else(|| Fault::new("/um", "out_of_range", detail()))
    }
}

/// What the readings of a panel say together.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Statistics {
    /// How many readings.
    pub n: usize,
    /// Mean, µm.
    pub mean_um: f64,
    /// Sample standard deviation, µm; null of one reading.
    pub sd_um: Option<f64>,
    /// The thinnest, µm.
    pub min_um: f64,
    /// The thickest, µm.
    pub max_um: f64,
    /// The thickest less the thinnest, µm.
    pub range_um: f64,
    /// Readings that are outliers by Grubbs' two-sided test at 5 %; they count all the same.
    pub outliers: Vec<Spot>,
}

impl Statistics {
    /// None of no reading.
    fn of(spots: &[Spot]) -> Option<Self> {
        let um: Vec<f64> = spots.iter().map(|spot| spot.um).collect();
        let all = Summary::of(&um)?;
        Some(Self {
            n: all.n,
            mean_um: all.mean,
            sd_um: all.sd,
            min_um: all.least,
            max_um: all.most,
            range_um: all.most - all.least,
            outliers: grubbs::outliers(&um).into_iter().map(|i| spots[i].clone()).collect(),
        })
    }
}

words! {
    /// How what was removed was worked out.
    RemovedBy, "way of comparing" {
        /// Spot by spot, those that were read before and after.
        Spot = "spot",
        /// The two means (Welch), for readings that do not belong together.
        Mean = "mean",
    }
}

/// What polishing took off a panel.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
#[schema(as = RemovedPaint)]
pub struct Removed {
    /// Mean, µm.
    pub mean_um: f64,
    /// Lower end of the 95 % interval, µm; null where there are too few readings.
    pub low_um: Option<f64>,
    /// Upper end, µm.
    pub high_um: Option<f64>,
    /// How it was worked out.
    pub by: RemovedBy,
}

/// What polishing took off: by spot where two spots or more were read before and after, or where no spot has a name
/// and there are as many readings after as before; else from the two means. None where either is missing.
///
/// ```
/// use lustrum::core::paint_readings::{RemovedBy, Spot, removed};
/// let read = |spot: &str, um| Spot { spot: Some(spot.into()), um };
/// let before = [read("front", 120.0), read("middle", 110.0), read("rear", 131.0)];
/// let after = [read("rear", 127.0), read("middle", 107.0), read("front", 118.0)];
/// let took = removed(&before, &after).unwrap();
/// assert_eq!((took.mean_um, took.by), (3.0, RemovedBy::Spot));
/// ```
pub fn removed(before: &[Spot], after: &[Spot]) -> Option<Removed> {
    let um = |spots: &[Spot]| spots.iter().map(|spot| Micrometres(spot.um)).collect::<Vec<_>>();
    let (named_before, named_after) = (by_name(before), by_name(after));
    let nameless = named_before.is_empty() && named_after.is_empty() && before.len() == after.len();
    let again: Vec<(Micrometres, Micrometres)> = if nameless {
        um(before).into_iter().zip(um(after)).collect()
    } else {
        let both = named_before.iter();
        both.filter_map(|(name, um)| Some((Micrometres(*um), Micrometres(*named_after.get(name)?)))).collect()
    };
    let (interval, by) = if nameless || again.len() >= 2 {
        let (before, after): (Vec<_>, Vec<_>) = again.into_iter().unzip();
        (thickness::removed(&before, &after), RemovedBy::Spot)
    } else {
        (thickness::removed_by_means(&um(before), &um(after)), RemovedBy::Mean)
    };
    let Interval { mean, ends } = interval.ok()?;
    Some(Removed { mean_um: mean, low_um: ends.map(|(low, _)| low), high_um: ends.map(|(_, high)| high), by })
}

/// The mean of each spot that has a name.
fn by_name(spots: &[Spot]) -> BTreeMap<&str, f64> {
    let mut named: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for spot in spots {
        if let Some(name) = spot.spot.as_deref() {
            named.entry(name.trim()).or_default().push(spot.um);
        }
    }
    named.into_iter().filter_map(|(name, um)| Some((name, Summary::of(&um)?.mean))).collect()
}

/// What the readings of a panel say.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct PanelPaint {
    /// The panel.
    pub panel: Panel,
    /// What the gauge stood on.
    pub ground: ReadOn,
    /// Before polishing; null where nothing was read.
    pub before: Option<Statistics>,
    /// After polishing; null where nothing was read.
    pub after: Option<Statistics>,
    /// What polishing took off; null where paint was not read before and after.
    pub removed: Option<Removed>,
    /// What was taken off in all jobs in the shop up to this one, µm; null where it was never read before and after.
    pub removed_in_life_um: Option<f64>,
    /// What draws attention.
    pub flags: Vec<PaintFlag>,
    /// What there is to say of it, for people.
    pub detail: Option<String>,
}

/// What the readings of a job say of the panels of a vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct JobPaint {
    /// The median over the panels on which paint was read, of the mean of the latest readings of each, µm.
    pub median_um: Option<f64>,
    /// Panel by panel.
    pub panels: Vec<PanelPaint>,
}

/// All readings of one panel of a job, in the order of entry.
#[derive(Debug, Clone, Default)]
struct OfPanel {
    ground: Option<ReadOn>,
    before: Vec<Spot>,
    after: Vec<Spot>,
}

/// The readings of a job by panel; `film` says of a panel whether the job finds film there.
fn by_panel<'r>(
    readings: impl IntoIterator<Item = &'r PaintReading>,
    film: impl Fn(&Panel) -> bool,
) -> BTreeMap<Panel, OfPanel> {
    let mut panels: BTreeMap<Panel, OfPanel> = BTreeMap::new();
    for reading in readings {
        let of_panel = panels.entry(reading.panel.clone()).or_default();
        let usual = if film(&reading.panel) { ReadOn::Film } else { ReadOn::Paint };
        // What is farthest from bare paint decides: one film reading among others makes them all doubtful.
        of_panel.ground = of_panel.ground.max(Some(reading.ground.unwrap_or(usual)));
        let spots = match reading.when {
            Polishing::Before => &mut of_panel.before,
            Polishing::After => &mut of_panel.after,
        };
        spots.extend(reading.spots.iter().cloned());
    }
    panels
}

impl OfPanel {
    fn ground(&self) -> ReadOn {
        self.ground.unwrap_or(ReadOn::Paint)
    }

    fn removed(&self) -> Option<Removed> {
        removed(&self.before, &self.after).filter(|_| self.ground() == ReadOn::Paint)
    }

    /// The latest readings.
    fn latest(&self) -> Option<Summary> {
        let spots = if self.after.is_empty() { &self.before } else { &self.after };
        let um: Vec<f64> = spots.iter().map(|spot| spot.um).collect();
        Summary::of(&um).filter(|_| self.ground() == ReadOn::Paint)
    }
}

/// What polishing took off in a job, by panel, µm.
pub fn removed_in_job<'r>(
    readings: impl IntoIterator<Item = &'r PaintReading>,
    film: impl Fn(&Panel) -> bool,
) -> BTreeMap<Panel, f64> {
    let panels = by_panel(readings, film).into_iter();
    panels.filter_map(|(panel, of)| Some((panel, of.removed()?.mean_um))).collect()
}

/// What the readings of a job say; `earlier` is what [`removed_in_job`] says of each earlier job on the vehicle.
///
/// ```
/// use lustrum::core::{paint::{Limits, PaintFlag}, paint_readings::{PaintReading, of_job}};
/// let read = |panel: &str, um: f64| -> PaintReading {
///     serde_json::from_value(serde_json::json!({"panel": panel, "when": "before", "spots": [{"um": um}]})).unwrap()
/// };
/// let readings = [read("bonnet", 112.0), read("roof", 105.0), read("boot", 190.0)];
/// let paint = of_job(&readings, |_| false, &[], &Limits::default());
/// assert_eq!(paint.median_um, Some(112.0));
/// let boot = paint.panels.iter().find(|panel| panel.panel.to_string() == "boot").unwrap();
/// assert_eq!(boot.flags, [PaintFlag::LikelyRefinished]);
/// ```
pub fn of_job<'r>(
    readings: impl IntoIterator<Item = &'r PaintReading>,
    film: impl Fn(&Panel) -> bool,
    earlier: &[BTreeMap<Panel, f64>],
    limits: &Limits,
) -> JobPaint {
    let panels = by_panel(readings, film);
    let means: Vec<Micrometres> =
        panels.values().filter_map(|of| Some(Micrometres(of.latest()?.mean))).collect();
    let median = vehicle_median(&means).ok();
    let of_panel = |(panel, of): (Panel, OfPanel)| {
        let removed = of.removed();
        let in_job = removed.as_ref().map(|removed| removed.mean_um);
        let in_life: Vec<f64> =
            earlier.iter().filter_map(|job| job.get(&panel).copied()).chain(in_job).collect();
        let in_life = (!in_life.is_empty()).then(|| in_life.iter().sum());
        let read = of.latest().map(|latest| paint::Panel {
            mean: Micrometres(latest.mean),
            least: Micrometres(latest.least),
            removed_in_job: in_job,
            removed_in_life: in_life,
        });
        let flags = read.zip(median).map(|(read, median)| flags(&read, median, limits)).unwrap_or_default();
        PanelPaint {
            ground: of.ground(),
            before: Statistics::of(&of.before),
            after: Statistics::of(&of.after),
            removed,
            removed_in_life_um: in_life,
            flags,
            detail: detail(of.ground()),
            panel,
        }
    };
    JobPaint { median_um: median.map(Micrometres::get), panels: panels.into_iter().map(of_panel).collect() }
}

fn detail(ground: ReadOn) -> Option<String> {
    let (least, most) = FILM_ADDS_UM;
    match ground {
        ReadOn::Paint => None,
        ReadOn::Film => Some(format!(
            "read through film, which adds about {least} to {most} µm (common practice): it says nothing of the paint below"
        )),
        ReadOn::Plastic => Some("plastic: its paint cannot be read, so there is no number".into()),
    }
}
