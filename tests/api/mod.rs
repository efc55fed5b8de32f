//! Stories over HTTP, each on both databases.

mod accreditations;
mod batches;
mod customers;
mod main_job;
mod parts;
mod products;
mod sessions;
mod terms;
