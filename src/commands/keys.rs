//! `lustrum keys`.

use super::{Failure, settings};
use crate::app::{App, certificates};
use crate::config::Config;

/// The keys by which certificates are signed: `list` shows them, `rotate` makes a new one, which signs from then on. What
/// the others signed stays good.
///
/// Example: lustrum keys rotate
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// What to do.
    #[arg(value_enum)]
    what: What,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum What {
    List,
    Rotate,
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let keys = match args.what {
        What::List => certificates::list_keys(&app)?,
        What::Rotate => certificates::rotate_keys(&app)?,
    };
    for key in keys {
        match key.retired_at {
            None => println!("{}  signs", key.id),
            Some(at) => println!("{}  signs no more since {}", key.id, at.format("%FT%TZ")),
        }
    }
    Ok(())
}
