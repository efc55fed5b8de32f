//! The pure core against worked cases, published tables and laws that must hold.

mod notices;
mod scenarios;
