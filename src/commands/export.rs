//! `lustrum export`.

use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::PathBuf;

use super::{Failure, settings};
use crate::app::{App, exports, shops};
use crate::config::Config;
use crate::core::imports::Format;

/// Example: lustrum export --format jsonl papers
///
/// Writes customers, vehicles, jobs, services and events into DIR, each as a file that `lustrum import` reads back, and
/// prints for each how many rows it has and the SHA-256 of its bytes. The same rows give the same bytes.
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// csv or jsonl.
    #[arg(long, default_value = "csv")]
    format: Format,
    /// The folder; made if it is not there.
    dir: PathBuf,
    /// Name of the shop, where there are several.
    #[arg(long)]
    shop: Option<String>,
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let who = shops::operator(&app, args.shop.as_deref())?;
    std::fs::create_dir_all(&args.dir).map_err(|e| format!("{}: {e}", args.dir.display()))?;
    let all = exports::write_all(&app, &who, args.format, |kind| {
        let file = File::create(args.dir.join(format!("{kind}.{}", args.format)))?;
        Ok(Box::new(BufWriter::new(file)) as Box<dyn Write>)
    })?;
    for file in all {
        println!("{}.{}  {} rows  sha256:{}", file.kind, args.format, file.rows, file.digest);
    }
    Ok(())
}
