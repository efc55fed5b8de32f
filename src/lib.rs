//! Lustrum keeps the record of paint-protection work on vehicles, and the promise that comes with it.
//!
//! The rooms of the house, from the inside out; arrows of import run downwards only (`tests/layers.rs`):
//!
//! - [`core`]: what the trade and the terms say. Pure: no HTTP, SQL, mail, clock, environment or randomness.
//! - [`db`]: the only place with SQL. One code for SQLite and PostgreSQL.
//! - [`documents`]: papers from values, as PDF.
//! - [`files`]: the folder of files, each whole or not there.
//! - [`language`]: the languages that owners are written to in: texts, dates, numbers, lists.
//! - [`mail`]: messages from values, and the ways they go.
//! - [`app`]: the one middle: what can be done, each function one transaction.
//! - [`http`]: the interface: routes, who asks, answers.
//! - [`jobs`]: what the running service does by itself.
//! - [`commands`]: the command `lustrum`.
//! - [`config`] and [`clock`]: what is set from outside, and what time it is.

pub mod app;
pub mod clock;
pub mod commands;
pub mod config;
pub mod core;
pub mod db;
pub mod documents;
pub mod files;
pub mod http;
pub mod jobs;
pub mod language;
pub mod mail;

/// An import is very many small pieces of memory: with this it takes a seventh less of the processor than with the C library's
/// allocator.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;
