//! The one test binary: everything that is tested through the library's public face.
#![allow(clippy::unwrap_used)]

mod api;
#[path = "core/mod.rs"]
mod core_rules;
mod layers;
mod layout;
mod mail;
mod migrations;
mod openapi;
mod support;
