//! The JSON interface: a noun a file, handlers of a few lines.

pub mod accreditations;
pub mod batches;
pub mod customers;
pub mod health;
pub mod members;
pub mod products;
pub mod sessions;
pub mod shop;
pub mod terms;
pub mod vehicles;
