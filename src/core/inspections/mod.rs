//! Inspections of a coating in service: what was seen and measured, and what it says.

mod judging;

pub use judging::judged;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::core::calendar::Day;
use crate::core::colour::Lab;
use crate::core::error::Fault;
use crate::core::figures::Standing;
use crate::core::ids::WarrantyId;
use crate::core::sample::Interval;
use crate::core::terms::Limit;
use crate::core::units::{Degrees, Millimetres};
use crate::core::wetting;
use crate::core::words::{Panel, words};

words! {
    /// How water stands on a panel.
    Water, "water behaviour" {
        /// In beads that run off.
        Beading = "beading",
        /// As a sheet that runs off at once.
        Sheeting = "sheeting",
        /// It runs off slowly.
        Slow = "slow",
        /// It lies flat and stays.
        Flat = "flat",
    }
}

words! {
    /// What an inspection came to.
    InspectionOutcome, "outcome of an inspection" {
        InOrder = "in_order",
        InOrderWithAdvice = "in_order_with_advice",
        /// It opens a remedy; the owner came in time all the same.
        Finding = "finding",
    }
}

words! {
    /// What is done about a finding.
    Remedy, "remedy" {
        DecontaminateAndTopUp = "decontaminate_and_top_up",
        RecoatPanel = "recoat_panel",
        Claim = "claim",
    }
}

words! {
    /// A figure that terms can set a limit to.
    Figure, "figure" {
        ContactAngle = "contact_angle_deg",
        RollOff = "roll_off_deg",
        Gloss = "gloss_gu",
        Colour = "delta_e_00",
    }
}

/// So many drops make a figure to rely on (common practice).
pub const LEAST_DROPS: usize = 3;

/// The most drops on one panel.
pub const MOST_DROPS: usize = 50;

/// The angles at which gloss is read, in degrees (ISO 2813).
pub const GLOSS_ANGLES: [u8; 3] = [20, 60, 85];

/// A drop on a panel, seen from the side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InspectedDrop {
    /// Height, mm, above 0.
    pub height_mm: f64,
    /// Width of the base, mm, above 0.
    pub width_mm: f64,
}

/// What was seen and measured on a panel; at least one thing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InspectedPanel {
    /// The panel.
    pub panel: Panel,
    /// How water stood on it as the vehicle arrived: this speaks mostly of dirt.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_arrived: Option<Water>,
    /// How water stood on it after decontamination: this speaks of the coating.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decontaminated: Option<Water>,
    /// Small drops; three or more, from which the contact angle is worked out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 50)]
    pub drops: Vec<InspectedDrop>,
    /// The tilt at which a drop rolls off, degrees.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0.0, maximum = 90.0)]
    pub roll_off_deg: Option<f64>,
    /// Gloss, in gloss units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0.0, maximum = 2_000.0)]
    pub gloss_gu: Option<f64>,
    /// The angle at which gloss was read: 20, 60 or 85 degrees; 60 unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 20, maximum = 85)]
    pub gloss_at_deg: Option<u8>,
    /// Colour as L*, a*, b*.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 3, max_items = 3)]
    pub lab: Option<[f64; 3]>,
}

/// What the inspector makes of it, where that is not what was worked out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Overruled {
    /// What it comes to.
    pub outcome: InspectionOutcome,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// An inspection as it is entered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct InspectionInput {
    /// What was looked at, panel by panel; at least one.
    #[schema(min_items = 1)]
    pub panels: Vec<InspectedPanel>,
    /// What is done about a finding; unless given, what is usual.
    #[serde(default)]
    pub remedy: Option<Remedy>,
    /// The inspector's own outcome, with the reason.
    #[serde(default)]
    pub overruled: Option<Overruled>,
}

/// A figure of a panel against a limit and the panel's own first figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Measured {
    /// The panel.
    pub panel: Panel,
    /// Which figure.
    pub figure: Figure,
    /// What was measured, to a thousandth.
    pub value: f64,
    /// Ends of its 95 % interval, where several drops were measured.
    pub low: Option<f64>,
    /// The upper one.
    pub high: Option<f64>,
    /// The panel's first figure since it was last coated; null where there is none.
    pub baseline: Option<f64>,
    /// The warranty whose terms set the limit; null where none does.
    pub warranty: Option<WarrantyId>,
    /// What they allow, in words.
    pub allowed: Option<String>,
    /// Where the figure lies.
    pub standing: Standing,
}

/// An inspection as it is kept: what was entered, and what was made of it then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Inspection {
    /// What was looked at, panel by panel.
    pub panels: Vec<InspectedPanel>,
    /// Each figure against each limit.
    pub measured: Vec<Measured>,
    /// What that comes to.
    pub worked_out: InspectionOutcome,
    /// Why, and what else there is to say, for people.
    pub because: Vec<String>,
    /// What it came to: the inspector's word, else what was worked out.
    pub outcome: InspectionOutcome,
    /// What is done about a finding.
    pub remedy: Option<Remedy>,
    /// Where the inspector decided otherwise than was worked out.
    pub overruled: Option<Overruled>,
}

/// Values measured on a panel, by name.
type Values = BTreeMap<String, f64>;

/// What was measured on a panel at an earlier inspection.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// The day.
    pub on: Day,
    /// The panel.
    pub panel: Panel,
    /// Figures by name.
    pub figures: Values,
    /// The angle at which its gloss was read.
    pub gloss_at_deg: u8,
    /// Its colour.
    pub lab: Option<[f64; 3]>,
}

/// What the terms of a warranty ask of figures.
#[derive(Debug, Clone)]
pub struct Asked<'t> {
    /// The warranty; none: nothing is asked, and figures are only compared.
    pub warranty: Option<WarrantyId>,
    /// Its limits, by figure.
    pub limits: &'t [(String, Limit)],
    /// Figures before this day are not those of its coating.
    pub since: Option<Day>,
    /// The panels that it covers; none named: all.
    pub panels: Vec<Panel>,
}

impl Asked<'_> {
    /// What it asks of a figure of a panel.
    fn limit(&self, panel: &Panel, figure: Figure) -> Option<&Limit> {
        let covered = self.panels.is_empty() || self.panels.contains(panel);
        self.limits.iter().find(|(name, _)| covered && name == figure.as_str()).map(|(_, limit)| limit)
    }
}

impl InspectedPanel {
    fn says_nothing(&self) -> bool {
        self.as_arrived.is_none()
            && self.decontaminated.is_none()
            && self.drops.is_empty()
            && self.roll_off_deg.is_none()
            && self.gloss_gu.is_none()
            && self.lab.is_none()
    }

    /// The angle at which gloss was read, in degrees.
    pub fn gloss_at(&self) -> u8 {
        self.gloss_at_deg.unwrap_or(60)
    }

    /// Mean contact angle of the drops, with its interval, to a thousandth of a degree: finer than a drop is read.
    fn contact_angle(&self) -> Option<Interval> {
        let angle = |drop: &InspectedDrop| {
            let (height, width) =
                (Millimetres::new(drop.height_mm).ok()?, Millimetres::new(drop.width_mm).ok()?);
            wetting::contact_angle(height, width).ok()
        };
        let angles: Vec<Degrees> = self.drops.iter().filter_map(angle).collect();
        let Interval { mean, ends } = wetting::of_drops(&angles)?;
        let ends = ends.map(|(low, high)| (thousandth(low), thousandth(high)));
        Some(Interval { mean: thousandth(mean), ends })
    }

    /// The figures of the panel by name, as far as they can be compared by themselves.
    pub fn figures(&self) -> Values {
        let all = [
            (Figure::ContactAngle, self.contact_angle().map(|angle| angle.mean)),
            (Figure::RollOff, self.roll_off_deg),
            (Figure::Gloss, self.gloss_gu),
        ];
        all.into_iter().filter_map(|(figure, value)| Some((figure.to_string(), value?))).collect()
    }

    fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.says_nothing() {
            let detail = format!("{}: how water stood on it, or a figure, is needed", self.panel);
            faults.push(Fault::new("", "empty", detail));
        }
        let n = self.drops.len();
        if n > 0 && !(LEAST_DROPS..=MOST_DROPS).contains(&n) {
            let drops = if n == 1 { "drop" } else { "drops" };
            let detail = format!("{n} {drops}; allowed are none, or {LEAST_DROPS} to {MOST_DROPS}");
            faults.push(Fault::new("/drops", if n < LEAST_DROPS { "too_few" } else { "too_many" }, detail));
        }
        for (i, drop) in self.drops.iter().enumerate() {
            let place = format!("/drops/{i}");
            let length = |pointer: &str, mm| Millimetres::new(mm).map_err(|fault| fault.within(pointer));
            let read = length("/height_mm", drop.height_mm)
                .and_then(|height| Ok((height, length("/width_mm", drop.width_mm)?)))
                .and_then(|(height, width)| wetting::contact_angle(height, width));
            faults.extend(read.err().map(|fault| fault.within(&place)));
        }
        let ranges = [("/roll_off_deg", self.roll_off_deg, 90.0), ("/gloss_gu", self.gloss_gu, 2_000.0)];
        for (pointer, value, most) in ranges {
            if let Some(value) = value.filter(|value| !(0.0..=most).contains(value)) {
                faults.push(Fault::new(pointer, "out_of_range", format!("{value}; allowed are 0 to {most}")));
            }
        }
        match self.gloss_at_deg {
            Some(angle) if !GLOSS_ANGLES.contains(&angle) => {
                let detail = format!("{angle}°; allowed are 20, 60 and 85");
                faults.push(Fault::new("/gloss_at_deg", "out_of_range", detail));
            }
            Some(_) if self.gloss_gu.is_none() => {
                let detail = "an angle without a gloss: say gloss_gu too";
                faults.push(Fault::new("/gloss_at_deg", "without_gloss", detail));
            }
            _ => {}
        }
        if let Some([l, a, b]) = self.lab {
            faults.extend(Lab::new(l, a, b).err().map(|fault| fault.within("/lab")));
        }
        faults
    }
}

/// What is wrong with the panels of an inspection, each fault at its place below the list.
///
/// ```
/// use lustrum::core::inspections::{InspectedPanel, faults};
/// let panel: InspectedPanel = serde_json::from_value(serde_json::json!({"panel": "roof", "roll_off_deg": 95})).unwrap();
/// let found = faults(&[panel.clone(), panel]);
/// let places: Vec<_> = found.iter().map(|fault| (fault.pointer.as_str(), fault.code)).collect();
/// assert_eq!(places, [("/0/roll_off_deg", "out_of_range"), ("/1/roll_off_deg", "out_of_range"), ("/1/panel", "panel_twice")]);
/// assert_eq!(faults(&[])[0].code, "empty");
/// ```
pub fn faults(panels: &[InspectedPanel]) -> Vec<Fault> {
    if panels.is_empty() {
        return vec![Fault::new("", "empty", "at least one panel is needed")];
    }
    let mut faults = Vec::new();
    for (i, one) in panels.iter().enumerate() {
        let place = format!("/{i}");
        faults.extend(one.faults().into_iter().map(|fault| fault.within(&place)));
        if panels[..i].iter().any(|other| other.panel == one.panel) {
            let detail = format!("{} is named above already", one.panel);
            faults.push(Fault::new(format!("{place}/panel"), "panel_twice", detail));
        }
    }
    faults
}

impl Inspection {
    /// The inspection with the inspector's word on it: another outcome, and what is done about a finding. Refused: a
    /// remedy where it comes to no finding, at `/remedy`.
    pub fn decided(mut self, overruled: Option<Overruled>, remedy: Option<Remedy>) -> Result<Self, Fault> {
        if let Some(overruled) = overruled {
            self.outcome = overruled.outcome;
            self.overruled = Some(overruled);
        }
        if self.outcome != InspectionOutcome::Finding {
            if let Some(remedy) = remedy {
                let detail = format!("{remedy}, and it comes to {}: a remedy is for a finding", self.outcome);
                return Err(Fault::new("/remedy", "no_finding", detail));
            }
            self.remedy = None;
            return Ok(self);
        }
        self.remedy = remedy.or(self.remedy).or(Some(Remedy::DecontaminateAndTopUp));
        Ok(self)
    }
}

/// A number to a thousandth, so that it reads back as it was written.
fn thousandth(value: f64) -> f64 {
    (value * 1_000.0).round() / 1_000.0
}
