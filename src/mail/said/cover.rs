//! What is said of cover: how it stands, what changed, what ends; and links that bind.

use crate::core::assess::Why;
use crate::core::calendar::Day;
use crate::core::notices::Change;
use crate::core::words::{Panel, Surface};

/// The cover of a surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoverText {
    /// The surface.
    pub surface: Surface,
    /// The panels of it that are covered.
    pub panels: Vec<Panel>,
    /// The last day of cover.
    pub last_day: Day,
    /// How far the vehicle may run since the start, in km.
    pub up_to_km: Option<u32>,
    /// Whether it is on hold.
    pub on_hold: bool,
}

/// Cover that ends by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EndingText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The warranty's number.
    pub warranty: String,
    /// What ends.
    pub ending: Vec<CoverText>,
    /// What is still covered after it.
    pub still: Vec<CoverText>,
}

impl EndingText {
    /// The day on which the first of it ends.
    pub(in crate::mail) fn first_day(&self) -> Day {
        self.ending.iter().map(|cover| cover.last_day).min().unwrap_or_default()
    }
}

/// A change of cover.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The warranty's number.
    pub warranty: String,
    /// The day from which it is so.
    pub on: Day,
    /// What changed.
    pub change: Change,
    /// Why it is on hold or has ended, where the change does not say so by itself.
    pub why: Option<Box<Why>>,
    /// The service that brought it back into force.
    pub brought_back_by: Option<String>,
    /// The cover as it stands now.
    pub cover: Vec<CoverText>,
}

impl ChangedText {
    /// Whether something can be done about it at the shop.
    pub(in crate::mail) const fn asks_for_a_day(&self) -> bool {
        matches!(self.change, Change::PanelOut { .. } | Change::OnHold { .. } | Change::Recalled { .. })
    }
}

/// What a link that was asked for is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkPurpose {
    /// To say that the vehicle has a new owner.
    Transfer,
    /// To report a problem under the warranty.
    Claim,
}

/// A link that was asked for; where it leads is the mail's [`Action`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// What it is good for.
    pub purpose: LinkPurpose,
    /// For how many minutes.
    pub minutes: u32,
}
