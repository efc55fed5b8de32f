//! What pictures say. In which language is not known here: whoever has a picture drawn brings its words.

use chrono::{NaiveDateTime, NaiveTime};

use super::panels::PanelMark;
use crate::core::assess::DueStatus;
use crate::core::calendar::Day;
use crate::core::words::Panel;

/// How a picture says things.
pub trait Wording {
    /// A label, with a capital at its beginning.
    fn label(&self, label: Label<'_>) -> String;

    /// A sentence of the description.
    fn sentence(&self, sentence: Sentence<'_>) -> String;

    /// What something is, and how it is: "Roof: 112".
    fn labelled(&self, label: &str, text: &str) -> String;

    /// What a sheet calls a milestone; those that every sheet has, by a word of the language.
    fn milestone(&self, name: &str) -> String;

    /// A milestone with its equivalent hours, in few words.
    fn milestone_at(&self, milestone: &str, hours: f64) -> String;

    /// A number to a tenth at most.
    fn figure(&self, value: f64) -> String;

    /// "10 Mar".
    fn short_day(&self, day: Day) -> String;

    /// "10 Mar 2026".
    fn short_date(&self, day: Day) -> String;

    /// "Mar 2026".
    fn short_month(&self, day: Day) -> String;

    /// "10 Mar, 08:00".
    fn short_moment(&self, local: NaiveDateTime) -> String;

    /// "08:00".
    fn time(&self, local: NaiveTime) -> String;
}

/// What stands in a picture, whatever it shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Label<'a> {
    /// Nothing was entered of climate or coats.
    NoClimate,
    /// The axis of temperatures, °C.
    Temperature,
    /// The axis of relative humidity, %.
    Humidity,
    /// The temperature of the air.
    Air,
    /// The temperature of what is coated.
    Surface,
    /// The dew point.
    DewPoint,
    /// When a coat was laid.
    CoatIsLaid,
    /// There is no coat whose cure is known.
    NoCure,
    /// Nothing is known of the climate that a coat cured in.
    ByCalendar,
    /// The axis of equivalent hours.
    EquivalentHours,
    /// Where cure stands still.
    TooCold,
    /// What readings tell.
    AsRead,
    /// What is worked out beyond them.
    AsExpected,
    /// A milestone is not reached with what is known.
    NotReached,
    /// Cover is on hold.
    OnHold,
    /// From when to when a due can be met.
    Window,
    /// What has become of a due.
    Due(DueStatus),
    /// Where the vehicle's front is.
    Front,
    /// Where its rear is.
    Rear,
    /// Which side is its left one.
    Left,
    /// Which side is its right one.
    Right,
    /// Paint that was read.
    Read,
    /// Paint under film.
    Film,
    /// A part of plastic.
    Plastic,
    /// Something draws attention.
    LookAtIt,
    /// Nothing was read.
    NotRead,
    /// A panel or part.
    Panel(&'a Panel),
}

/// What a description tells. All times are local.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sentence<'a> {
    /// How many readings, and between what: air in °C, humidity in %.
    Climate {
        /// How many.
        readings: usize,
        /// The coldest and the warmest air.
        air: (f64, f64),
        /// The driest and the dampest.
        humidity: (f64, f64),
    },
    /// When the first and the last reading were taken.
    ReadBetween(NaiveDateTime, NaiveDateTime),
    /// The coldest and the warmest surface, °C.
    SurfaceBetween(f64, f64),
    /// The lowest and the highest dew point, °C.
    DewPointBetween(f64, f64),
    /// How far the surface was above the dew point at least, K.
    AboveDewPoint(f64),
    /// No temperature of a surface was read.
    NoSurface,
    /// From when to when a coat was laid.
    CoatBetween(&'a str, NaiveDateTime, NaiveDateTime),
    /// When a coat was applied.
    Applied(&'a str, NaiveDateTime),
    /// A milestone, its equivalent hours, and when it is reached; none: not with what is known.
    Reached(&'a str, f64, Option<NaiveDateTime>),
    /// From when to when cure stands still.
    StandsStill(NaiveDateTime, NaiveDateTime),
    /// The day of a verdict.
    AsOf(Day),
    /// Cover of a surface.
    Cover {
        /// The surface.
        surface: &'a str,
        /// How it stands.
        state: &'a str,
        /// The first day.
        from: Day,
        /// The last day.
        last_day: Day,
    },
    /// A surface on hold: from, and until (that day not); none: still.
    Hold(&'a str, Day, Option<Day>),
    /// A due of a rule.
    Due {
        /// The key of the rule.
        rule: &'a str,
        /// From 1 on.
        number: u32,
        /// The day for which it is asked.
        due: Day,
        /// The last day on which it can be met.
        closes: Day,
        /// What has become of it.
        status: DueStatus,
    },
    /// What is known of a panel.
    Panel {
        /// The panel.
        panel: &'a Panel,
        /// What was read.
        value: Option<f64>,
        /// How it is set off.
        mark: PanelMark,
        /// What draws attention, in words.
        notes: &'a [String],
    },
    /// Nothing was read of any panel.
    NothingRead,
}
