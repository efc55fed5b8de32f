//! The one test binary: everything that is tested through the library's public face.
#![allow(clippy::unwrap_used)]
// Tables of cases are as long as they are, and numbers stand as the documents write them.
#![allow(clippy::too_many_lines, clippy::unreadable_literal)]

mod additive;
mod api;
mod commands;
#[path = "core/mod.rs"]
mod core_rules;
mod demo;
mod faults;
mod fuzz;
mod generated;
mod histories;
mod language;
mod layers;
mod layout;
mod mail;
mod migrations;
mod openapi;
mod pages;
mod support;
