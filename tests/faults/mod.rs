//! What is left when something goes wrong that nobody can prevent.

mod dark_days;
mod delivery;
mod import;
mod kill;
mod killed_delivery;
mod slow_bodies;
