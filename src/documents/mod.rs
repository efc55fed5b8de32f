//! Documents: bytes from values.

pub mod calendar;
