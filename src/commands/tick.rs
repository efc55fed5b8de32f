//! `lustrum tick`.

use chrono::{DateTime, Utc};

use super::{Failure, settings};
use crate::app::{App, ticks};
use crate::config::Config;
use crate::core::calendar::instant;
use crate::jobs;

/// Example: lustrum tick --at 2027-04-10T00:00:00Z
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// The instant; not behind the last tick, and ahead of the clock only in a drill.
    #[arg(long, value_name = "INSTANT", value_parser = at)]
    at: DateTime<Utc>,
}

fn at(text: &str) -> Result<DateTime<Utc>, String> {
    instant(text).map_err(|fault| fault.detail)
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let mut did = ticks::tick_at(&app, args.at)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    did.extend(runtime.block_on(jobs::deliver(&app, || args.at))?);
    for did in did {
        println!("{}", serde_json::to_string(&did)?);
    }
    Ok(())
}
