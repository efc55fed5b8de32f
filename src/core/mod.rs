//! What the trade and the terms say, as pure functions of values: time is an argument.

pub mod access;
pub mod assess;
pub mod calendar;
pub mod checks;
pub mod climate;
pub mod coats;
mod collect;
pub mod dilution;
pub mod email;
pub mod error;
pub mod facts;
pub mod fold;
pub mod humidity;
pub mod ids;
pub mod json;
pub mod notices;
pub mod odometer;
pub mod plate;
pub mod record;
pub mod sheet;
pub mod steps;
pub mod terms;
pub mod units;
pub mod vehicle_events;
pub mod vin;
pub mod words;
