//! `lustrum init` and `lustrum migrate`.

use super::{Failure, settings};
use crate::app::setup::{self, Founding};
use crate::app::shops::ShopSettings;
use crate::clock::Clock;
use crate::config::Config;

/// Example: LUSTRUM_PASSWORD='long enough for you' lustrum init --shop 'Harbour Coatings' --email ana@example.org
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// Name of the shop, as owners read it.
    #[arg(long, value_name = "NAME")]
    shop: String,
    /// Where the first manager signs in.
    #[arg(long, value_name = "ADDRESS")]
    email: String,
    /// The manager's name; the part of the address before the @ unless given.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// IANA time zone of the shop.
    #[arg(long, value_name = "ZONE", default_value = "UTC")]
    zone: String,
    /// Mark a new database as a place for drills: its clock may be set, and mail stays on this machine.
    #[arg(long)]
    drill: bool,
}

pub(super) fn run(config: &Config, args: &Args) -> Result<(), Failure> {
    let name =
        args.name.clone().unwrap_or_else(|| args.email.split('@').next().unwrap_or_default().to_owned());
    let clock = match config.clock {
        Some(at) if args.drill => Clock::from(at),
        Some(_) => settings::clock(config)?,
        None => Clock::System,
    };
    let founding = Founding {
        shop: ShopSettings::usual(&args.shop, &args.zone),
        name,
        email: args.email.clone(),
        password: settings::password(&args.email)?,
        drill: args.drill,
    };
    let id = setup::init(&config.database, &founding, clock.now())?;
    println!("shop {} is set up as {id}; {} signs in as its manager", args.shop, args.email);
    Ok(())
}

pub(super) fn migrate(config: &Config) -> Result<(), Failure> {
    let run = setup::migrate(&config.database)?;
    if run.is_empty() {
        println!("the database is in the present shape");
    }
    run.iter().for_each(|version| println!("migrated to {version}"));
    Ok(())
}
