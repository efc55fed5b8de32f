//! Stories over HTTP, each on both databases.

mod customers;
mod sessions;
