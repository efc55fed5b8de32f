//! The configuration and the clock, as every command that needs a database reads them.

use std::path::Path;

use super::Failure;
use crate::app::setup;
use crate::clock::Clock;
use crate::config::Config;

/// The configuration of file and environment; every fault at once.
pub(super) fn read(file: Option<&Path>) -> Result<Config, Failure> {
    let environment = std::env::vars_os()
        .filter_map(|(name, value)| Some((name.into_string().ok()?, value.into_string().ok()?)))
        .collect();
    Config::read(file, &environment).map_err(|faults| faults.join("\nlustrum: ").into())
}

/// The clock that the configuration asks for; another than the machine's is for drills only.
pub(super) fn clock(config: &Config) -> Result<Clock, Failure> {
    match config.clock {
        None => Ok(Clock::System),
        Some(at) if setup::drill_at(&config.database)? => Ok(Clock::from(at)),
        Some(_) => Err(
            "LUSTRUM_CLOCK: the clock can be set only where the database is a drill (`lustrum init --drill`)"
                .into(),
        ),
    }
}

/// A password from `LUSTRUM_PASSWORD`, else asked for.
pub(super) fn password(of: &str) -> Result<String, Failure> {
    match std::env::var("LUSTRUM_PASSWORD") {
        Ok(password) => Ok(password),
        Err(_) => Ok(rpassword::prompt_password(format!("Password of {of} (12 characters or more): "))?),
    }
}
