//! The JSON interface: a noun a file, handlers of a few lines.

pub mod accreditations;
pub mod appointments;
pub mod batches;
pub mod calc;
pub mod checks;
pub mod climate;
pub mod coats;
pub mod customers;
pub mod dues;
pub mod eligibility;
pub mod events;
pub mod health;
pub mod jobs;
pub mod members;
pub mod notices;
pub mod parts;
pub mod passes;
pub mod products;
pub mod sessions;
pub mod shop;
pub mod steps;
pub mod tasks;
pub mod terms;
pub mod vehicles;
pub mod visits;
pub mod warranties;
