//! The pure core against worked cases, published tables and laws that must hold.

mod access;
mod calendar;
mod cases;
mod checks;
mod cure;
mod dilution;
mod distance;
mod email;
mod facts;
mod humidity;
mod ids;
mod inspection;
mod invented;
mod jws;
mod laws;
mod notices;
mod odometer;
mod readings;
mod reasons;
mod record;
mod scenarios;
mod statistics;
mod table;
mod terms;
mod vin;
mod words;
