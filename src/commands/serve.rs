//! `lustrum serve`.

use std::io::IsTerminal as _;
use std::net::TcpListener;

use tracing_subscriber::EnvFilter;

use super::{Failure, settings};
use crate::app::{App, setup};
use crate::config::Config;
use crate::http;
use crate::jobs::Jobs;

pub(super) fn run(config: Config) -> Result<(), Failure> {
    log(&config)?;
    for version in setup::migrate(&config.database)? {
        tracing::info!(version, "migrated");
    }
    let clock = settings::clock(&config)?;
    let app = App::open(config, clock)?;
    let listener = TcpListener::bind(&app.config.listen)
        .map_err(|e| format!("LUSTRUM_LISTEN: cannot listen on {}: {e}", app.config.listen))?;
    run_on(app, listener)
}

/// Serves on a listener until SIGTERM or SIGINT.
pub(super) fn run_on(app: App, listener: TcpListener) -> Result<(), Failure> {
    let address = listener.local_addr()?;
    actix_web::rt::System::new().block_on(async move {
        let _jobs = if app.config.jobs { Some(Jobs::start(&app)?) } else { None };
        let server = http::serve(app.clone(), listener, 2)?;
        tracing::info!(%address, "serving");
        server.await?;
        tracing::info!("stopped");
        Ok(())
    })
}

/// Text on a terminal, JSON elsewhere; always to stderr.
pub(super) fn log(config: &Config) -> Result<(), Failure> {
    let filter = EnvFilter::try_new(&config.log).map_err(|e| format!("LUSTRUM_LOG: {e}"))?;
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    // A second call finds a log in place, which is just as well.
    let _ = if std::io::stderr().is_terminal() { log.try_init() } else { log.json().try_init() };
    Ok(())
}
