//! How fast mails leave: `cargo bench --bench delivery`, and on PostgreSQL `cargo bench --bench delivery -- postgres://…`
//! with the address of an empty database.
//!
//! A thousand owners are told of their appointments: the mails, each with a calendar file, are planned, written, signed
//! (DKIM, RSA of 2,048 bits) and handed to an SMTP server on this machine that takes every one. Printed is how long
//! writing takes, and how many leave a second. The bar is 150 a second.

#[expect(
    dead_code,
    clippy::unwrap_used,
    reason = "the server of the tests, of which only what behaves well is used"
)]
#[path = "../support/smtp.rs"]
mod smtp;

use std::time::Instant;

use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::{App, appointments, customers, sessions, ticks, vehicles};
use lustrum::clock::Clock;
use lustrum::config::{Config, DkimSettings};
use lustrum::core::json::typed;
use serde_json::json;

const MAILS: usize = 1_000;
const EMAIL: &str = "ines@quayside.example";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = tempfile::tempdir()?;
    let given = std::env::args().skip(1).find(|argument| argument.starts_with("postgres"));
    let database = given.unwrap_or_else(|| format!("sqlite:{}", folder.path().join("bench.db").display()));
    let server = smtp::SmtpServer::start(&[]);
    let dkim = DkimSettings {
        domain: "quayside.example".into(),
        selector: "lustrum".into(),
        key_file: concat!(env!("CARGO_MANIFEST_DIR"), "/tests/mail/keys/rsa-pkcs8.pem").into(),
    };
    let config = Config {
        database,
        mail: server.url(),
        mail_from: "lustrum@quayside.example".into(),
        dkim: Some(dkim),
        ..Config::default()
    };
    let clock = Clock::fixed("2026-03-10T08:00:00Z".parse()?);
    let founding = Founding {
        shop: ShopSettings::usual("Quayside Coatings", "Europe/Lisbon"),
        name: "The manager".into(),
        email: EMAIL.into(),
        password: "correct horse battery".into(),
        drill: false,
    };
    let run = || -> Result<(), lustrum::app::Error> {
        setup::init(&config.database, &founding, clock.now())?;
        let app = App::open(config.clone(), clock.clone())?;
        book(&app)?;
        let began = Instant::now();
        ticks::tick(&app, app.now())?;
        println!("{MAILS} mails planned, written and signed in {:.2} s", began.elapsed().as_secs_f64());
        let began = Instant::now();
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        let runtime = runtime.map_err(|e| lustrum::app::Database::Other(e.to_string()))?;
        runtime.block_on(lustrum::jobs::deliver(&app, || app.now()))?;
        let (taken, took) = (server.received(), began.elapsed().as_secs_f64());
        let header = b"DKIM-Signature:";
        let signed =
            taken.iter().filter(|mail| mail.bytes.windows(header.len()).any(|at| at == header)).count();
        let bytes: usize = taken.iter().map(|mail| mail.bytes.len()).sum();
        #[expect(clippy::cast_precision_loss, reason = "a thousand")]
        let rate = taken.len() as f64 / took;
        println!(
            "{} mails of {} bytes, {signed} of them signed, taken by the server in {took:.2} s: {rate:.0} a second",
            taken.len(),
            bytes / taken.len().max(1),
        );
        Ok(())
    };
    run().map_err(|e| format!("{e:?}").into())
}

/// An input as the interface reads it.
fn input<T: serde::de::DeserializeOwned>(body: serde_json::Value) -> Result<T, lustrum::app::Error> {
    typed(body).map_err(|fault| lustrum::core::error::Error::rules(vec![fault]).into())
}

/// A thousand invented owners, a vehicle each, booked for the same week.
fn book(app: &App) -> Result<(), lustrum::app::Error> {
    let who = sessions::act_for(app, EMAIL)?;
    for n in 0..MAILS {
        let owner = json!({"name": format!("Owner {n}"), "email": format!("owner-{n}@owners.example")});
        let owner = customers::add(app, &who, input(owner)?)?.id;
        let vehicle =
            json!({"plate": format!("QC-{n}"), "make": "Corvina", "model": "Estate", "customer_id": owner});
        let vehicle = vehicles::add(app, &who, input(vehicle)?)?.id;
        let at = format!("2026-03-{}T10:00:00Z", 16 + n % 5);
        appointments::add(app, &who, input(json!({"vehicle_id": vehicle, "at": at}))?)?;
    }
    Ok(())
}
