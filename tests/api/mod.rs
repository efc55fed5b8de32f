//! Stories over HTTP, each on both databases.

mod access;
mod accreditations;
mod appointments;
mod batches;
mod calc;
mod check_in;
mod checks;
mod customers;
mod dues;
mod eligibility;
mod handover;
mod jobs;
mod main_job;
mod notices;
mod packages;
mod parts;
mod photos;
mod products;
mod rules;
mod sessions;
mod signatures;
mod terms;
mod transfers;
mod vehicles;
mod visits;
mod warranties;
