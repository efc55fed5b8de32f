//! What the trade and the terms say, as pure functions of values: time is an argument.

pub mod error;
