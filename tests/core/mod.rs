//! The pure core against worked cases, published tables and laws that must hold.

mod access;
mod checks;
mod email;
mod ids;
mod notices;
mod odometer;
mod record;
mod scenarios;
mod vin;
mod words;
