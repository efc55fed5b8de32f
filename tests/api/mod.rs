//! Stories over HTTP, each on both databases.

mod accreditations;
mod batches;
mod customers;
mod main_job;
mod products;
mod sessions;
mod terms;
