//! What stories are told with.

pub(crate) mod calc;
pub(crate) mod contract;
pub(crate) mod database;
pub(crate) mod papers;
pub(crate) mod pictures;
pub(crate) mod python;
pub(crate) mod returns;
pub(crate) mod server;
pub(crate) mod shop;
pub(crate) mod smtp;
