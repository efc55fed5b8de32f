//! `lustrum import`.

use std::path::PathBuf;

use super::{Failure, settings};
use crate::app::imports::{self, Asked, ReadAs};
use crate::app::{App, Error, shops};
use crate::config::Config;
use crate::core::error::{Error as Rule, Fault};
use crate::core::imports::{DayOrder, Kind};

/// Example: lustrum import customers customers.csv --dry-run
///
/// The file is a table with a header: CSV, however a spreadsheet writes it, or JSON Lines. Import customers first, then
/// vehicles, jobs, services and events. A file that is imported again adds what is new and nothing twice.
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// customers, vehicles, jobs, services or events.
    kind: Kind,
    /// The file.
    file: PathBuf,
    /// List everything that is wrong with the file, and take nothing.
    #[arg(long)]
    dry_run: bool,
    /// day_first or month_first: which way round 03/04/2024 is, where the file does not decide it.
    #[arg(long, value_name = "ORDER")]
    days: Option<DayOrder>,
    /// Name of the shop, where there are several.
    #[arg(long)]
    shop: Option<String>,
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let bytes = std::fs::read(&args.file).map_err(|e| format!("{}: {e}", args.file.display()))?;
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let who = shops::operator(&app, args.shop.as_deref())?;
    let asked = Asked { kind: args.kind, days: args.days };
    match imports::take(&app, &who, &bytes, asked, args.dry_run) {
        Ok(Some(done)) => {
            tell(&done.read_as);
            println!("{}: {} rows, {} added, {} unchanged", done.kind, done.rows, done.added, done.unchanged);
            Ok(())
        }
        Ok(None) => {
            println!("{}: all of {} would be taken; nothing was written", args.kind, args.file.display());
            Ok(())
        }
        Err(Error::Rule(Rule::Refused { detail, faults, .. })) => {
            faults.iter().for_each(|fault| eprintln!("{}", line(fault)));
            Err(detail.into())
        }
        Err(other) => Err(other.into()),
    }
}

/// How the file was read.
fn tell(read_as: &ReadAs) {
    let headers: Vec<String> =
        read_as.mapping.iter().map(|mapped| format!("{:?} as {}", mapped.header, mapped.column)).collect();
    println!("read {} ({}): {}", read_as.format, read_as.encoding, headers.join(", "));
    if !read_as.unused.is_empty() {
        println!("left alone: {}", read_as.unused.join(", "));
    }
}

/// A fault as a line: where it is, and what is wrong.
fn line(fault: &Fault) -> String {
    match fault.cell.as_deref() {
        None => fault.detail.clone(),
        Some(cell) => match &cell.column {
            None => format!("line {}: {} [{}]", cell.line, fault.detail, fault.code),
            Some(column) => format!("line {}, {column:?}: {} [{}]", cell.line, fault.detail, fault.code),
        },
    }
}
