//! The one test binary: everything that is tested through the library's public face.
#![allow(clippy::unwrap_used)]

mod layers;
mod layout;
mod migrations;
mod support;
