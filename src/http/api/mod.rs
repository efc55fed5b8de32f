//! The JSON interface: a noun a file, handlers of a few lines.

pub mod customers;
pub mod health;
pub mod members;
pub mod sessions;
pub mod shop;
pub mod vehicles;
