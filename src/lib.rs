//! Lustrum keeps the record of paint-protection work on vehicles, and the promise that comes with it.
//!
//! The rooms of the house, from the inside out; arrows of import run downwards only (`tests/layers.rs`):
//!
//! - [`core`]: what the trade and the terms say. Pure: no HTTP, SQL, mail, clock, environment or randomness.

pub mod core;
