//! What is said of upkeep: what falls due, what was missed, what is booked, what the season asks for.

use chrono::NaiveTime;

use crate::core::calendar::Day;
use crate::core::terms::{Consequence, Rank};
use crate::core::words::{Season, Surface};

/// A due, as the owner is told of it.
#[derive(Debug, Clone, PartialEq)]
pub struct DueText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The services of which any meets it.
    pub services: Vec<String>,
    /// Who may do it.
    pub by: Rank,
    /// The first day on which it counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it counts.
    pub closes: Day,
    /// The last odometer at which it counts, in km, where distance is counted.
    pub closes_km: Option<u32>,
    /// The surfaces whose cover hangs on it.
    pub surfaces: Vec<Surface>,
    /// What a miss does, if this one is missed.
    pub if_missed: Consequence,
    /// The title of the terms, and the clause.
    pub terms: (String, String),
}

/// A due that was missed.
#[derive(Debug, Clone, PartialEq)]
pub struct MissedText {
    /// The due.
    pub due: DueText,
    /// The first day on which it counts as missed.
    pub since: Day,
    /// Until when it can be made good, where there is such a day.
    pub make_good_until: Option<Day>,
}

/// A date ahead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextText {
    /// The services of which any will do.
    pub services: Vec<String>,
    /// The first day on which it counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it counts.
    pub closes: Day,
}

/// A day that is booked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookedText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The day.
    pub on: Day,
    /// The time of day, where one was agreed.
    pub at: Option<NaiveTime>,
    /// What is to be done.
    pub services: Vec<String>,
    /// Where.
    pub place: Option<String>,
    /// Whether it is the reminder before the day.
    pub again: bool,
}

/// Care for the season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeasonText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// Which season.
    pub season: Season,
    /// The day on which it is written.
    pub on: Day,
    /// What falls due next.
    pub next: Vec<NextText>,
}
