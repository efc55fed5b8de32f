//! Stories over HTTP, each on both databases.

mod accreditations;
mod batches;
mod customers;
mod products;
mod sessions;
mod terms;
