//! The command `lustrum`: each command a file, all of them through `app` and `core`.

pub mod assess;
mod bounce;
mod calc;
mod check;
pub mod demo;
mod export;
mod health;
mod import;
mod init;
mod keys;
mod member;
mod plan;
mod serve;
mod settings;
mod tick;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Keeps the record of paint-protection work on vehicles, and the warranty that comes with it.
#[derive(Debug, Parser)]
#[command(name = "lustrum", version, about, max_term_width = 110)]
struct Lustrum {
    /// The configuration file; `lustrum.toml` in the working directory unless given.
    #[arg(long, global = true, value_name = "FILE", env = "LUSTRUM_CONFIG")]
    config: Option<PathBuf>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Tell the main job on an invented shop, then serve it: no question asked.
    Demo(demo::Args),
    /// Set up a database with a shop and its first manager, or add a shop to one that is there.
    Init(init::Args),
    /// Run the service: the interface, a tick each minute, mail delivery. Migrates first.
    Serve,
    /// Bring the database to the present shape.
    Migrate,
    /// Work out verdicts from files, without a database.
    Assess(assess::Args),
    /// Work out dew points, cure, statistics and all else from lines of JSON, without a database.
    Calc(calc::Args),
    /// Add, list and change the people of a shop.
    Member(member::Args),
    /// Take what a shop had before from a file: customers, vehicles, past jobs, past services, what else happened.
    Import(import::Args),
    /// Write everything of a shop as files that `import` reads back.
    Export(export::Args),
    /// Show which notices would go out on a day, to whom and why; nothing is written or sent.
    Plan(plan::Args),
    /// Do once what the running service would have done by itself at an instant.
    Tick(tick::Args),
    /// The keys by which certificates are signed.
    Keys(keys::Args),
    /// Take a report that a mail came back, from standard input.
    Bounce(bounce::Args),
    /// Show where each setting came from, and what is wrong with the surroundings, with the fix.
    Check(check::Args),
    /// Ask the running service whether it can do its work.
    Health(health::Args),
    /// Print the OpenAPI document of the interface.
    Openapi,
}

/// Why a command stopped, for stderr.
pub(crate) type Failure = Box<dyn std::error::Error>;

/// Runs the command that the arguments ask for. Exit status: 0 done, 1 something was wrong, 2 wrong usage.
pub fn run() -> ExitCode {
    let Lustrum { config, command } = Lustrum::parse();
    let done = match command {
        Command::Assess(args) => return assess::run(&args),
        Command::Calc(args) => return calc::run(&args),
        Command::Init(args) => settings::read(config.as_deref()).and_then(|config| init::run(&config, &args)),
        Command::Serve => settings::read(config.as_deref()).and_then(serve::run),
        Command::Migrate => settings::read(config.as_deref()).and_then(|config| init::migrate(&config)),
        Command::Member(args) => {
            settings::read(config.as_deref()).and_then(|config| member::run(config, &args))
        }
        Command::Import(args) => {
            settings::read(config.as_deref()).and_then(|config| import::run(config, &args))
        }
        Command::Export(args) => {
            settings::read(config.as_deref()).and_then(|config| export::run(config, &args))
        }
        Command::Plan(args) => settings::read(config.as_deref()).and_then(|config| plan::run(config, &args)),
        Command::Tick(args) => settings::read(config.as_deref()).and_then(|config| tick::run(config, &args)),
        Command::Keys(args) => settings::read(config.as_deref()).and_then(|config| keys::run(config, &args)),
        Command::Bounce(args) => {
            settings::read(config.as_deref()).and_then(|config| bounce::run(config, &args))
        }
        Command::Check(args) => check::run(config.as_deref(), &args),
        Command::Health(args) => {
            settings::read(config.as_deref()).and_then(|config| health::run(&config, &args))
        }
        Command::Demo(args) => demo::run(&args),
        Command::Openapi => print_openapi(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("lustrum: {failure}");
            ExitCode::FAILURE
        }
    }
}

fn print_openapi() -> Result<(), Failure> {
    print!("{}", crate::http::openapi::text()?);
    Ok(())
}
