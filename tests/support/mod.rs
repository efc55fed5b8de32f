//! What stories are told with.

pub(crate) mod database;
