//! `lustrum check`.

mod mail;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::TimeDelta;

use super::{Failure, health};
use crate::app::documents;
use crate::app::surroundings::{self, without_password};
use crate::clock::Clock;
use crate::config::{Config, Gathered};
use crate::core::email::Email;
use crate::core::error::Fault;

/// Less than this left on a disk is a fault, in MiB.
const LEAST_FREE_MIB: u64 = 512;
/// Clocks of service and database may differ by so much.
const MOST_SKEW: TimeDelta = TimeDelta::seconds(30);

/// Shows where each setting came from, looks at what the service stands on, and says of each fault how to put it right.
/// Nothing is changed, and no mail is sent unless one is asked for. Exit status 1: there are faults, or the mail that
/// was asked for was not accepted.
///
/// Example: lustrum check --config /etc/lustrum.toml --mail you@example.org
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// Send a test mail there, say what the server answered, and list the DNS records that mails need
    #[arg(long, value_name = "ADDRESS", value_parser = email)]
    mail: Option<Email>,
}

fn email(text: &str) -> Result<Email, String> {
    text.parse().map_err(|fault: Fault| fault.detail)
}

/// How many faults there are; each finding is told as it is found.
#[derive(Default)]
struct Findings {
    faults: usize,
}

impl Findings {
    fn fault(&mut self, what: &str, found: impl std::fmt::Display, fix: &str) {
        self.faults += 1;
        println!("FAULT  {what:<14} {found}");
        println!("       {:<14} to put it right: {fix}", "");
    }
}

/// Something is as it must be.
fn holds(what: &str, found: impl std::fmt::Display) {
    println!("ok     {what:<14} {found}");
}

/// Something is no fault, and good to know.
fn note(what: &str, found: impl std::fmt::Display, advice: &str) {
    println!("note   {what:<14} {found}");
    println!("       {:<14} {advice}", "");
}

pub(super) fn run(file: Option<&Path>, args: &Args) -> Result<(), Failure> {
    let environment: BTreeMap<String, String> = std::env::vars_os()
        .filter_map(|(name, value)| Some((name.into_string().ok()?, value.into_string().ok()?)))
        .collect();
    let (gathered, _) = Gathered::read(file, &environment);
    println!("Settings");
    for setting in gathered.explained() {
        println!("       {:<16} {}  ({})", setting.key, without_password(&setting.value), setting.source);
    }
    println!("\nWhat they lead to");
    let mut findings = Findings::default();
    match Config::read(file, &environment) {
        Ok(config) => look_around(&config, args.mail.as_ref(), &mut findings),
        Err(faults) => {
            for fault in faults {
                findings.fault("settings", fault, "change the line or the variable that is named");
            }
        }
    }
    match findings.faults {
        0 => Ok(()),
        1 => Err("1 fault".into()),
        many => Err(format!("{many} faults").into()),
    }
}

fn look_around(config: &Config, to: Option<&Email>, findings: &mut Findings) {
    let drill = database(config, findings);
    mail::look(config, drill, to, findings);
    address(config, findings);
    fonts(config, findings);
    for (what, folder) in folders(config) {
        disk(what, &folder, findings);
    }
}

/// Answers whether it is a drill.
fn database(config: &Config, findings: &mut Findings) -> bool {
    let url = without_password(&config.database);
    match surroundings::pending(&config.database) {
        Err(e) => {
            findings.fault(
                "database",
                format!("{url}: {e}"),
                "set LUSTRUM_DATABASE, or make one with `lustrum init`",
            );
            return false;
        }
        Ok(0) => holds("database", format!("{url}, of the present shape")),
        Ok(many) => {
            findings.fault("database", format!("{url} waits for {many} migrations"), "run `lustrum migrate`");
            return false;
        }
    }
    let seen = match surroundings::of_database(&config.database) {
        Ok(seen) => seen,
        Err(e) => {
            findings.fault("database", e, "look at the database's own log");
            return false;
        }
    };
    for setting in &seen.durability {
        let found = format!("{} is {}", setting.name, setting.value);
        if setting.holds() {
            holds("durability", found);
        } else {
            let fix = format!("set it to {}: {}", setting.wanted.join(" or "), setting.why);
            findings.fault("durability", found, &fix);
        }
    }
    let now = Clock::System.now();
    let skew = (seen.clock - now).abs();
    let found = format!("this machine {}, database {}", now.format("%FT%TZ"), seen.clock.format("%FT%TZ"));
    if skew > MOST_SKEW {
        findings.fault("clock", found, "let both machines keep time by NTP");
    } else {
        holds("clock", found);
    }
    if let Some(last) = seen.last_tick.filter(|last| !seen.drill && *last > now + TimeDelta::minutes(1)) {
        let found = format!("the last tick was at {last}, which has not come yet");
        findings.fault("clock", found, "set this machine's clock; ticks go on when that instant has come");
    }
    if seen.keys == 0 {
        findings.fault("keys", "there is no key to sign access tokens with", "run `lustrum init`");
    } else {
        holds("keys", format!("{} to sign access tokens with", seen.keys));
    }
    if seen.drill {
        note("drill", "this database is a place for drills", "its mails do not leave this machine");
    } else if config.clock.is_some() {
        findings.fault("clock", "LUSTRUM_CLOCK is set, and the database is no drill", "unset it");
    }
    seen.drill
}

fn address(config: &Config, findings: &mut Findings) {
    let url = &config.public_url;
    let local = ["//127.", "//localhost", "//[::1]"].iter().any(|own| url.contains(own));
    if local {
        let advice = "set LUSTRUM_PUBLIC_URL to how owners reach it: links in mails lead there";
        note("public address", format!("{url} leads to this machine only"), advice);
    } else if url.starts_with("http://") {
        let fix = "put a proxy with TLS before the service, and set LUSTRUM_PUBLIC_URL to https://…";
        return findings.fault(
            "public address",
            format!("{url} is not encrypted: passwords go over it"),
            fix,
        );
    }
    if url.starts_with("https://") {
        return note(
            "public address",
            url,
            "open its /health/ready from outside: this command speaks no TLS",
        );
    }
    match health::answer(&format!("{url}/health/ready")) {
        Ok(_) => holds("public address", format!("{url} answers")),
        Err(e) => note("public address", e, "it answers once `lustrum serve` runs"),
    }
}

/// The fonts that were added for documents.
fn fonts(config: &Config, findings: &mut Findings) {
    let Some(folder) = &config.fonts else { return };
    match documents::press(Some(folder)) {
        Ok(press) => holds("fonts", format!("{}: {} added", folder.display(), press.added())),
        Err(fault) => {
            findings.fault("fonts", fault.detail, "change LUSTRUM_FONTS, or what is in that folder");
        }
    }
}

/// The folders that grow.
fn folders(config: &Config) -> Vec<(&'static str, PathBuf)> {
    let mut folders = Vec::new();
    if let Some(path) = config.database.strip_prefix("sqlite:") {
        let path = Path::new(path.strip_prefix("//").unwrap_or(path));
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        folders.push(("database disk", folder.unwrap_or(Path::new(".")).to_path_buf()));
    }
    folders.push(("files disk", config.files.clone()));
    if let Some(folder) = config.mail.strip_prefix("file:") {
        folders.push(("mail disk", folder.into()));
    }
    folders
}

fn disk(what: &str, folder: &Path, findings: &mut Findings) {
    // A folder that is still to be made will lie on the disk of the one above it.
    let there = folder.ancestors().find(|folder| folder.exists()).unwrap_or(Path::new("."));
    match rustix::fs::statvfs(there) {
        Ok(disk) => {
            let free = disk.f_bavail.saturating_mul(disk.f_frsize) / (1024 * 1024);
            let found = format!("{}: {free} MiB free", folder.display());
            if free < LEAST_FREE_MIB {
                findings.fault(
                    what,
                    found,
                    &format!("make room: at least {LEAST_FREE_MIB} MiB should be free"),
                );
            } else {
                holds(what, found);
            }
        }
        Err(e) => findings.fault(
            what,
            format!("{}: {e}", folder.display()),
            "let this user read and write the folder",
        ),
    }
}
