//! Coats of a job: which product went onto which panels, and when.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::ids::MemberId;
use crate::core::words::{Panel, Surface};

/// A coat on some panels of a surface.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Coat {
    /// On which surface.
    pub surface: Surface,
    /// On which panels; at least one.
    #[schema(min_items = 1)]
    pub panels: Vec<Panel>,
    /// Code of the product.
    pub product: String,
    /// The batch number on the bottle; one that is not registered is taken, and shows as a check.
    #[schema(min_length = 1, max_length = 60)]
    pub batch: String,
    /// When it began.
    pub started_at: Moment,
    /// When it ended; before it began is taken, and shows as a check.
    pub ended_at: Moment,
    /// How much was used, ml, above 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(exclusive_minimum = 0, maximum = 10000)]
    pub ml: Option<f64>,
    /// How much surface it went onto, m², above 0: the amount used is then held against the data sheet's yield.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(exclusive_minimum = 0, maximum = 200)]
    pub area_m2: Option<f64>,
    /// Who laid it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<MemberId>,
    /// When parts of it were applied and levelled.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sections: Vec<Section>,
}

/// Some panels of a coat, and when they were applied and levelled.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Which panels.
    pub panels: Vec<Panel>,
    /// When the product was applied.
    pub applied_at: Moment,
    /// When it was levelled; by eye unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub levelled_at: Option<Moment>,
}

impl Coat {
    /// When the product was first applied to a panel of this coat: by the sections that name it, else when the coat
    /// began.
    pub fn begins_on(&self, panel: &Panel) -> Moment {
        let sections = self.sections.iter().filter(|section| section.panels.contains(panel));
        sections.map(|section| section.applied_at).min().unwrap_or(self.started_at)
    }

    /// When work on a panel of this coat was done: when its last section was levelled, or applied where that was done
    /// by eye; without a section, when the coat ended. Never before it began there.
    pub fn ends_on(&self, panel: &Panel) -> Moment {
        let sections = self.sections.iter().filter(|section| section.panels.contains(panel));
        let done = sections.map(|section| section.levelled_at.unwrap_or(section.applied_at)).max();
        done.unwrap_or(self.ended_at).max(self.begins_on(panel))
    }

    /// When all of it was level: the last of its end and of what was levelled.
    pub fn level_by(&self) -> Moment {
        let levelled = self.sections.iter().filter_map(|section| section.levelled_at);
        levelled.chain([self.started_at]).fold(self.ended_at, Moment::max)
    }
}

/// A coat and the data sheet that it was laid by.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct LaidCoat {
    /// What is said of it.
    #[serde(flatten)]
    pub coat: Coat,
    /// The edition of its product's data sheet that was current when it was entered; null where there is none.
    pub sheet_edition: Option<u32>,
}
