//! What is said of work that was done, and of the vehicle's first weeks after it.

use chrono::NaiveDateTime;

use super::{CoverText, NextText};
use crate::core::calendar::Day;
use crate::core::words::{Panel, StepKind, Surface};

/// What the record is sent after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    /// The vehicle was handed over.
    Handover,
    /// A visit.
    Visit,
    /// Something was done elsewhere, and entered by this shop.
    Elsewhere,
}

/// What was done, and what follows from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// What it is sent after.
    pub after: After,
    /// The day.
    pub on: Day,
    /// What was done, in order: steps, coats, services.
    pub done: Vec<DoneText>,
    /// The warranty's number, if there is one.
    pub warranty: Option<String>,
    /// The cover, surface by surface.
    pub cover: Vec<CoverText>,
    /// Whether the warranty's certificate comes with the mail.
    pub certificate: bool,
    /// Where anybody can check the warranty.
    pub verify: Option<String>,
    /// Where the vehicle's whole history can be read as a document.
    pub history: Option<String>,
    /// What falls due next.
    pub next: Vec<NextText>,
    /// Products that were used: their safety data sheets can be had.
    pub products: Vec<String>,
}

/// One thing that was done.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum DoneText {
    /// A step of work.
    Step {
        /// Which.
        kind: StepKind,
        /// The title of what it was done with.
        product: Option<String>,
    },
    /// A coat.
    Coat {
        /// The title of what was laid.
        product: String,
        /// On what.
        surface: Surface,
        /// Where.
        panels: Vec<Panel>,
        /// Of which batch.
        batch: String,
    },
    /// A service.
    Service {
        /// Its word in the terms.
        service: String,
        /// Who did it, where it was not the shop that writes.
        by: Option<DoerText>,
        /// Whether it could be done.
        carried_out: bool,
    },
}

/// Who did a service elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum DoerText {
    /// The owner.
    Owner,
    /// Somebody by name.
    Named(String),
}

/// How to treat a vehicle in its first days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AftercareText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The day on which it was handed over.
    pub on: Day,
    /// Until when it is to be kept dry, as clocks go where the owner lives; none: the data sheets do not say.
    pub keep_dry_until: Option<NaiveDateTime>,
    /// Whether it may meet water by now: then nothing is said of keeping it dry.
    pub takes_water: bool,
    /// The first day on which it may be washed; none: the data sheets do not say.
    pub first_wash: Option<Day>,
    /// The day on which all of it is cured; none: the data sheets do not say.
    pub full_cure: Option<Day>,
    /// What was laid on it.
    pub products: Vec<String>,
}

/// That the first wash is safe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WashFromText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The first day.
    pub from: Day,
    /// The day on which it was handed over.
    pub handed_over: Day,
}

/// An invitation to have the coating looked at after its first weeks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstLookText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The day on which it was handed over.
    pub handed_over: Day,
}
