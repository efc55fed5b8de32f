//! Steps of a job: what was done before, between and after the coats.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::dilution::Dilution;
use crate::core::ids::MemberId;
use crate::core::units::Millilitres;
use crate::core::words::{Panel, StepKind, Surface};

/// A step of work on a vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// What was done.
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
    /// How it was diluted, as the trade writes it: `1:5`, `50 ml to 250 ml`, `20 %`, or `50 ml in 300 ml`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 60)]
    pub dilution: Option<String>,
    /// Of clay: whether it was of a grade that cuts. Such clay must not touch matte paint or film.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub abrasive: Option<bool>,
    /// Whether wheels were taken off for it: their bolts are then to be tightened to torque.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheels_off: Option<bool>,
    /// How much the bottle in use holds, ml, above 0: the dilution is then answered in ml for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(exclusive_minimum = 0.0, maximum = 100_000.0)]
    pub bottle_ml: Option<f64>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_at: Option<Moment>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<Moment>,
    /// Who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
}

impl Step {
    /// When it counts from: its beginning, since panel by panel it ends while others are coated already (common
    /// practice); else its end. None: neither was noted.
    pub fn counts_from(&self) -> Option<Moment> {
        self.started_at.or(self.ended_at)
    }

    /// Whether it was done on this panel of this surface.
    pub fn is_on(&self, surface: Surface, panel: &Panel) -> bool {
        self.surfaces.contains(&surface) && self.panels.as_ref().is_none_or(|panels| panels.contains(panel))
    }
}

/// The largest bottle, in ml: larger than any drum.
pub const LARGEST_BOTTLE_ML: f64 = 100_000.0;

/// How a dilution is mixed.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Mixed {
    /// Parts of water to one of product.
    pub ratio_parts: f64,
    /// Per cent of product by volume.
    pub percent_v: f64,
    /// Product in the bottle, ml.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product_ml: Option<f64>,
    /// Water in the bottle, ml.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_ml: Option<f64>,
}

/// A step, and how its dilution is mixed.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MixedStep {
    /// What is said of it.
    #[serde(flatten)]
    pub step: Step,
    /// How it is mixed; absent where nothing was diluted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mixed: Option<Mixed>,
}

impl From<Step> for MixedStep {
    /// ```
    /// use lustrum::core::steps::{MixedStep, Step};
    /// use serde_json::{from_value, json};
    /// let foam = json!({"kind": "foam", "surfaces": ["paint"], "dilution": "1:5", "bottle_ml": 750});
    /// let mixed = MixedStep::from(from_value::<Step>(foam).unwrap()).mixed.unwrap();
    /// assert_eq!((mixed.product_ml, mixed.water_ml), (Some(125.0), Some(625.0)));
    /// ```
    fn from(step: Step) -> Self {
        let mixed = step.dilution.as_deref().and_then(|text| Dilution::read(text).ok()).map(|dilution| {
            let bottle = step.bottle_ml.and_then(|ml| Millilitres::new(ml).ok());
            let filled = bottle.map(|bottle| dilution.fill(bottle));
            Mixed {
                ratio_parts: dilution.parts(),
                percent_v: dilution.percent(),
                product_ml: filled.map(|(product, _)| product.get()),
                water_ml: filled.map(|(_, water)| water.get()),
            }
        });
        Self { step, mixed }
    }
}
