//! The pure core against worked cases, published tables and laws that must hold.

mod access;
mod calendar;
mod cases;
mod checks;
mod dilution;
mod email;
mod facts;
mod humidity;
mod ids;
mod invented;
mod laws;
mod notices;
mod odometer;
mod reasons;
mod record;
mod scenarios;
mod table;
mod terms;
mod vin;
mod words;
