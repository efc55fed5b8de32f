//! What owners tell the shop by their link, and anybody at the vehicle by the label in its door frame. None of it is a
//! fact by itself: it stands on record, and is something that the desk has to settle.

use chrono::{DateTime, Months, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::core::calendar::Day;
use crate::core::words::{OdometerUnit, Panel, Surface, TaskKind};

/// Until when an owner's link works that was last followed (or made) at an instant: eighteen months.
///
/// ```
/// use lustrum::core::reports::link_lives;
/// let last: chrono::DateTime<chrono::Utc> = "2026-08-31T09:00:00Z".parse()?;
/// assert_eq!(link_lives(last).to_rfc3339(), "2028-02-29T09:00:00+00:00");
/// # Ok::<(), chrono::ParseError>(())
/// ```
pub fn link_lives(last: DateTime<Utc>) -> DateTime<Utc> {
    last.checked_add_months(Months::new(18)).unwrap_or(last)
}

/// How long a link lives that binds.
pub const BINDS_FOR: TimeDelta = TimeDelta::minutes(10);

/// The most photos that go with a report.
pub const MOST_PHOTOS: usize = 6;

/// So many notes from the door can be open for a vehicle; more have to wait until the desk has looked.
pub const MOST_DOOR_NOTES: usize = 5;

/// The longest text of a report, in characters.
pub const LONGEST_TEXT: usize = 2_000;

/// What was told.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Told {
    /// The owner wants to come.
    Booking(Booking),
    /// The owner says that something is wrong.
    Problem(ReportedProblem),
    /// The owner says that the vehicle is sold.
    Sold(Sold),
    /// Somebody at the vehicle noted a wash.
    DoorWash(DoorWash),
    /// Somebody at the vehicle noted a repair.
    DoorRepair(DoorRepair),
}

/// The owner wants to come.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Booking {
    /// The days that would suit, best first.
    pub days: Vec<Day>,
    /// For what.
    pub services: Vec<String>,
    /// What else they said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// Something is wrong.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ReportedProblem {
    /// In the owner's words.
    pub text: String,
}

/// The vehicle is sold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Sold {
    /// The day of the sale.
    pub on: Day,
    /// Who bought it, as far as the owner says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buyer: Option<String>,
    /// How the buyer is reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buyer_email: Option<String>,
}

/// A wash, noted at the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct DoorWash {
    /// The day.
    pub on: Day,
    /// The odometer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub odometer: Option<ReadAtDoor>,
    /// What else was noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// A repair, noted at the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct DoorRepair {
    /// The day.
    pub on: Day,
    /// On which surface.
    pub surface: Surface,
    /// Which panel.
    pub panel: Panel,
    /// What else was noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// An odometer as somebody at the vehicle read it; held against the others when the note is confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ReadAtDoor {
    /// What it showed.
    #[schema(maximum = 10_000_000)]
    pub value: u32,
    /// In which unit.
    pub unit: OdometerUnit,
}

impl Told {
    /// What the desk has to do with it.
    pub const fn task(&self) -> TaskKind {
        match self {
            Self::Booking(_) => TaskKind::BookingRequested,
            Self::Problem(_) => TaskKind::ProblemReported,
            Self::Sold(_) => TaskKind::SoldReported,
            Self::DoorWash(_) | Self::DoorRepair(_) => TaskKind::DoorNote,
        }
    }
}
