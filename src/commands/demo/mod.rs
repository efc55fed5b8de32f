//! `lustrum demo`: the main job, told on an invented shop, then served.

mod scenario;
mod story;
mod telling;

use std::fs;
use std::io::Write;
use std::net::TcpListener;
use std::path::{Path, PathBuf};

use super::{Failure, serve};
use crate::app::App;
use crate::clock::Clock;
use crate::config::Config;

pub use scenario::Scenario;
pub use story::{Told, tell};

/// The file by which the demo knows a folder as its own.
const MARKER: &str = ".lustrum-demo";

/// Example: lustrum demo --dir /tmp/lustrum-demo
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// Where database and mails go; made anew each time if it is the demo's own.
    #[arg(long, value_name = "DIR", default_value = "./lustrum-demo")]
    dir: PathBuf,
    /// End after the story.
    #[arg(long)]
    no_serve: bool,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let folder = fresh(&args.dir)?;
    let mut out = std::io::stdout();
    let mut told = tell(&folder, &Scenario::invented(Clock::System.now()), &mut out)?;
    for (role, email) in &told.log_ins {
        writeln!(out, "log-in {role} {email} {}", told.password)?;
    }
    if args.no_serve {
        return Ok(());
    }
    let listener = listen(&told.config.listen)?;
    told.config.public_url = format!("http://{}", listener.local_addr()?);
    let url = &told.config.public_url;
    writeln!(out, "serving at {url}, how it is called stands at {url}/docs (stop with Ctrl-C)")?;
    out.flush()?;
    serve::log(&told.config)?;
    serve::run_on(App::open(told.config, Clock::System)?, listener)
}

/// The usual port, else a free one.
fn listen(usual: &str) -> std::io::Result<TcpListener> {
    TcpListener::bind(usual).or_else(|_| TcpListener::bind("127.0.0.1:0"))
}

/// An empty folder with the marker in it. What is there and is not the demo's own is left alone.
fn fresh(folder: &Path) -> Result<PathBuf, Failure> {
    let there = folder.try_exists()? && folder.read_dir()?.next().is_some();
    if there {
        if !folder.join(MARKER).try_exists()? {
            let shown = folder.display();
            return Err(format!("--dir {shown}: there is something in it that the demo did not make").into());
        }
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder)?;
    fs::write(folder.join(MARKER), "made by `lustrum demo`; everything in this folder can go\n")?;
    Ok(folder.canonicalize()?)
}

/// The configuration of a demo in a folder.
fn config(folder: &Path) -> Config {
    Config {
        database: format!("sqlite:{}", folder.join("lustrum.db").display()),
        mail: format!("file:{}", folder.join("mail").display()),
        files: folder.join("files"),
        mail_from: "notices@skerry.example".into(),
        ..Config::default()
    }
}
