//! What is left when something goes wrong that nobody can prevent.

mod delivery;
mod import;
mod kill;
mod slow_bodies;
