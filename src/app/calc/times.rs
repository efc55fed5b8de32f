//! Days, periods and local times.

use chrono::NaiveTime;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::Faults;
use crate::app::{usual_day, zone};
use crate::core::calendar::{Day, Moment, Period};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::notices;

/// A day, and what is added to it.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AddPeriodInput {
    /// A day of the years 1900 to 2999.
    date: Day,
    /// What is added; at most 100 years.
    period: Period,
    /// How often, added once as a whole; 1 unless given, negative goes back.
    times: Option<i32>,
}

/// The day that is meant.
#[derive(Debug, Serialize, ToSchema)]
pub struct AddPeriod {
    /// The day.
    date: Day,
}

pub(super) fn add_period(input: &AddPeriodInput) -> Result<AddPeriod, Rule> {
    let mut faults: Vec<Fault> = usual_day("/date", input.date).into_iter().collect();
    if input.period.is_over_a_century() {
        let detail = format!("{} is longer than 100 years", input.period);
        faults.push(Fault::new("/period", "period_too_long", detail));
    }
    all_clear(faults)?;
    let times = input.times.unwrap_or(1);
    let date = input.period.times_after(times, input.date);
    if !date.is_usual() {
        let detail = format!("{times} times {} leads out of the years 1900 to 2999", input.period);
        return Err(Rule::rule("/times", "out_of_range", detail));
    }
    Ok(AddPeriod { date })
}

/// A local time on a day.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LocalSendInput {
    /// A day of the years 1900 to 2999.
    on: Day,
    /// Hours and minutes, `09:00`.
    #[schema(pattern = "^[0-9]{2}:[0-9]{2}$")]
    at: String,
    /// IANA time zone.
    time_zone: String,
}

/// When that is.
#[derive(Debug, Serialize, ToSchema)]
pub struct LocalSend {
    /// A local time that does not exist moves forward by the gap; one that exists twice is taken the first time.
    instant: Moment,
}

pub(super) fn local_send(input: &LocalSendInput) -> Result<LocalSend, Rule> {
    let mut faults = Faults::default();
    faults.0.extend(usual_day("/on", input.on));
    let zone = faults.take("", zone("/time_zone", &input.time_zone));
    let at = faults.take("/at", time_of_day(&input.at));
    let answer =
        zone.zip(at).map(|(zone, at)| LocalSend { instant: Moment(notices::local_send(input.on, at, zone)) });
    faults.or(answer)
}

fn time_of_day(text: &str) -> Result<NaiveTime, Fault> {
    let five = text.len() == 5;
    five.then(|| NaiveTime::parse_from_str(text, "%H:%M").ok()).flatten().ok_or_else(|| {
        Fault::new("", "not_a_time", format!("{text:?} is no time of day from 00:00 to 23:59"))
    })
}
