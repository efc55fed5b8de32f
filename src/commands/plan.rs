//! `lustrum plan`.

use super::{Failure, settings};
use crate::app::{App, notices::foreseen};
use crate::config::Config;
use crate::core::calendar::Day;
use crate::core::email::Email;

/// What would go out on a day, or within sixty days, if nothing else happened until then. Nothing is written.
///
/// Example: lustrum plan --on 2027-01-24
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// The day, as each owner's own calendar has it; the coming sixty days unless given.
    #[arg(long, value_name = "DATE", value_parser = day)]
    on: Option<Day>,
    /// A JSON object a notice, one a line.
    #[arg(long)]
    json: bool,
}

fn day(text: &str) -> Result<Day, String> {
    text.parse().map_err(|fault: crate::core::error::Fault| fault.detail)
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let foreseen = match args.on {
        Some(day) => foreseen::on(&app, day.date())?,
        None => foreseen::coming(&app)?,
    };
    if args.json {
        for notice in foreseen {
            println!("{}", serde_json::to_string(&notice)?);
        }
        return Ok(());
    }
    if foreseen.is_empty() {
        let when = args.on.map_or("within sixty days".to_owned(), |day| format!("on {day}"));
        println!("no notices {when}");
    }
    for notice in foreseen {
        let at = notice.planned_for.with_timezone(&notice.time_zone);
        // A list on a screen needs no whole addresses.
        let email = notice.email.parse::<Email>().map_or_else(|_| String::new(), |email| email.masked());
        println!(
            "{}  {}  {} <{email}>: {} ({})",
            at.format("%Y-%m-%d %H:%M %Z"),
            notice.kind,
            notice.customer,
            notice.subject,
            notice.because
        );
    }
    Ok(())
}
