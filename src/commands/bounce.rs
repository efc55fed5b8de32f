//! `lustrum bounce`.

use std::io::Read as _;

use super::{Failure, settings};
use crate::app::{App, bounces};
use crate::config::Config;

/// The longest report that is read, in bytes.
const LONGEST: u64 = 10 * 1024 * 1024;

/// Takes a report that a mail came back (RFC 3464), as a mail server hands it over on standard input, and says what was
/// made of it. Exit status 1: it is no report, or not about a mail of this installation.
///
/// Example, in /etc/aliases: bounces: "|/usr/local/bin/lustrum --config /etc/lustrum.toml bounce"
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {}

pub(super) fn run(config: Config, _: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let mut report = Vec::new();
    std::io::stdin()
        .lock()
        .take(LONGEST)
        .read_to_end(&mut report)
        .map_err(|e| Failure::from(e.to_string()))?;
    let taken = bounces::take_any(&app, &report)?;
    if taken.failed {
        println!("{} failed for good: {}", taken.message_id, taken.words);
    } else {
        println!("{} may yet arrive: {}; nothing was done", taken.message_id, taken.words);
    }
    Ok(())
}
