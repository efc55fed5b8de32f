//! `lustrum member`: the people of a shop.

use clap::Subcommand;

use super::{Failure, settings};
use crate::app::members::{self, NewMember};
use crate::app::page::Wanted;
use crate::app::{App, Who, sessions, shops};
use crate::config::Config;
use crate::core::words::Role;

/// Example: lustrum member add --email bo@example.org --name Bo --role technician
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Add someone; the password is taken from LUSTRUM_PASSWORD, or asked for.
    Add {
        /// Where they sign in.
        #[arg(long)]
        email: String,
        /// Name, as it stands in records.
        #[arg(long)]
        name: String,
        /// manager, technician or desk.
        #[arg(long)]
        role: Role,
        /// Name of the shop, where there are several.
        #[arg(long)]
        shop: Option<String>,
    },
    /// List the people of the shop.
    List {
        /// Name of the shop, where there are several.
        #[arg(long)]
        shop: Option<String>,
    },
    /// Set someone's password.
    Password {
        /// Where they sign in.
        email: String,
    },
    /// Change what someone may do.
    Role {
        /// Where they sign in.
        email: String,
        /// manager, technician or desk.
        role: Role,
    },
    /// Take from someone everything they may do.
    Disable {
        /// Where they sign in.
        email: String,
    },
}

pub(super) fn run(config: Config, args: &Args) -> Result<(), Failure> {
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    match &args.what {
        What::Add { email, name, role, shop } => {
            let who = shops::operator(&app, shop.as_deref())?;
            let password = settings::password(email)?;
            let new = NewMember { name: name.clone(), email: email.clone(), role: *role, password };
            let added = members::add(&app, &who, &new)?;
            println!("{} {} {}", added.id, added.email, added.role);
        }
        What::List { shop } => {
            let who = shops::operator(&app, shop.as_deref())?;
            list(&app, &who)?;
        }
        What::Password { email } => {
            let who = sessions::act_for(&app, email)?;
            members::set_password(&app, &who, who.member, &settings::password(email)?)?;
            println!("password set for {email}");
        }
        What::Role { email, role } => change(&app, email, &serde_json::json!({"role": role}))?,
        What::Disable { email } => change(&app, email, &serde_json::json!({"disabled": true}))?,
    }
    Ok(())
}

fn list(app: &App, who: &Who) -> Result<(), Failure> {
    let mut cursor = None;
    loop {
        let wanted = Wanted::read(None, cursor.as_deref(), &()).map_err(crate::app::Error::from)?;
        let page = members::list(app, who, &wanted)?;
        for member in page.items {
            let disabled = if member.disabled { " (disabled)" } else { "" };
            println!("{}  {:<10}  {}  {}{disabled}", member.id, member.role, member.email, member.name);
        }
        cursor = page.next;
        if cursor.is_none() {
            return Ok(());
        }
    }
}

fn change(app: &App, email: &str, patch: &serde_json::Value) -> Result<(), Failure> {
    let who = sessions::act_for(app, email)?;
    let current = members::find(app, &who, who.member)?;
    let changed = members::change(app, &who, who.member, current.version, patch)?;
    println!(
        "{} {} {}{}",
        changed.id,
        changed.email,
        changed.role,
        if changed.disabled { " (disabled)" } else { "" }
    );
    Ok(())
}
