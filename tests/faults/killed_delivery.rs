//! Delivery is killed at random points: no mail is lost, and one that arrives twice is the same mail, byte for byte.
//!
//! Fifty kills on each database; `LUSTRUM_TEST_KILLS` asks for others (a thousand at home). All names are invented.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::{App, appointments, customers, sessions, vehicles};
use lustrum::clock::Clock;
use lustrum::config::Config;
use serde_json::{Value, from_value, json};

use crate::support::database::{Backend, TestDatabase, on_both};
use crate::support::smtp::{Behaviour, SmtpServer};

const EMAIL: &str = "ines@quayside.example";
const OWNERS: usize = 120;
/// The claims of a courier that was killed are over by then.
const BETWEEN: TimeDelta = TimeDelta::minutes(3);

on_both!(mails_survive_fifty_kills);

fn mails_survive_fifty_kills(backend: Backend) {
    let kills =
        std::env::var("LUSTRUM_TEST_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(50_usize);
    let database = TestDatabase::durable(backend);
    let folder = tempfile::tempdir().unwrap();
    let server = SmtpServer::start(&vec![Behaviour::Slowly; 100_000]);
    let mut now: DateTime<Utc> = "2026-03-10T08:00:00Z".parse().unwrap();
    books_a_day_for_everybody(&database.url, now);
    let (mut killed, mut in_the_middle) = (0, 0);
    while killed < kills {
        now += BETWEEN;
        let before = server.received().len();
        let mut delivery = tick(&database.url, &folder, &server, now).spawn().unwrap();
        // Half of them while mails are written or before, half from when the first of this round has arrived.
        let until = Instant::now() + Duration::from_secs(30);
        let waits = killed % 2 == 0;
        while waits && server.received().len() == before && Instant::now() < until {
            if delivery.try_wait().unwrap().is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(2));
        }
        let most = if waits { 120 } else { 600 };
        std::thread::sleep(Duration::from_millis(u64::from(getrandom::u32().unwrap() % most)));
        delivery.kill().unwrap();
        let ended = delivery.wait().unwrap();
        if ended.success() {
            // All has gone: another round of mails for the kills that are left.
            books_a_day_for_everybody(&database.url, now);
            continue;
        }
        killed += 1;
        in_the_middle += usize::from(server.received().len() > before);
    }
    assert!(in_the_middle > kills / 4, "only {in_the_middle} of {kills} kills met a mail on its way");
    for _ in 0..5 {
        now += BETWEEN;
        assert!(tick(&database.url, &folder, &server, now).status().unwrap().success());
    }

    let wanted = sent(&database.url, now);
    let mut arrived: BTreeMap<String, Vec<Vec<u8>>> = BTreeMap::new();
    for mail in server.received() {
        let id = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
        arrived.entry(id.message_id().unwrap().to_owned()).or_default().push(mail.bytes);
    }
    for id in &wanted {
        assert!(arrived.contains_key(id), "lost: {id}");
    }
    assert_eq!(arrived.len(), wanted.len(), "nothing arrived that nobody wrote");
    let mut again = 0;
    for (id, copies) in arrived {
        assert!(copies.windows(2).all(|two| two[0] == two[1]), "{id} is not the same each time");
        again += copies.len() - 1;
    }
    // At most once a crash and message: eight are on their way at a time.
    assert!(again <= 8 * kills, "{again} copies of {} mails by {kills} kills", wanted.len());
}

fn tick(database: &str, folder: &tempfile::TempDir, server: &SmtpServer, at: DateTime<Utc>) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lustrum"));
    command
        .args(["tick", "--at", &at.format("%Y-%m-%dT%H:%M:%SZ").to_string()])
        .current_dir(folder.path())
        .env("LUSTRUM_DATABASE", database)
        .env("LUSTRUM_MAIL", server.url())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

fn opened(database: &str, now: DateTime<Utc>) -> App {
    let config = Config { database: database.to_owned(), mail: "memory:".into(), ..Config::default() };
    App::open(config, Clock::fixed(now)).unwrap()
}

/// A place for drills with as many owners, each of whom has just booked a day: a mail for each.
fn books_a_day_for_everybody(database: &str, now: DateTime<Utc>) {
    let founding = Founding {
        shop: ShopSettings::usual("Quayside Coatings", "Europe/Lisbon"),
        name: "Ines".into(),
        email: EMAIL.into(),
        password: "long enough for you".into(),
        drill: true,
    };
    // There from the second time on.
    let _ = setup::init(database, &founding, now);
    let app = opened(database, now);
    let who = sessions::act_for(&app, EMAIL).unwrap();
    let minute = now.format("%H%M%d");
    for n in 0..OWNERS {
        let owner = json!({"name": format!("Owner {n}"), "email": format!("owner{n}-{minute}@example.org")});
        let owner = customers::add(&app, &who, from_value(owner).unwrap()).unwrap().id;
        let vehicle = json!({"plate": format!("KD {minute} {n}"), "customer_id": owner});
        let vehicle = vehicles::add(&app, &who, from_value(vehicle).unwrap()).unwrap().id;
        let day = json!({"vehicle_id": vehicle, "at": now + TimeDelta::days(30)});
        appointments::add(&app, &who, from_value(day).unwrap()).unwrap();
    }
}

/// The Message-IDs of all mails that were to go by now.
fn sent(database: &str, now: DateTime<Utc>) -> Vec<String> {
    let app = opened(database, now);
    let who = sessions::act_for(&app, EMAIL).unwrap();
    let mut wanted = lustrum::app::page::Wanted::first(200);
    let mut ids = Vec::new();
    loop {
        let page = lustrum::app::notices::list(&app, &who, &[], &wanted).unwrap();
        for notice in &page.items {
            if notice.planned_for > now {
                continue;
            }
            let said = serde_json::to_value(notice).unwrap();
            assert_eq!(said["state"], "sent", "{said:#}");
            let Value::String(id) = &said["message_id"] else { panic!("sent without a message: {said:#}") };
            ids.push(id.clone());
        }
        let Some(last) = page.items.last().filter(|_| page.next.is_some()) else { return ids };
        wanted.after = Some(last.id);
    }
}
