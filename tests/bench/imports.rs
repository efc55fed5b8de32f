//! How long a shop's past takes to come in and go out: `cargo bench --bench imports`, on a new SQLite file, or
//! `cargo bench --bench imports -- postgres://…` on an empty database that is there; a number says how many rows.
//!
//! 100,000 rows, if no other number is said, of each kind: customers, vehicles, past jobs with a warranty of five years and two rules, services and
//! events (readings, sales, repairs, extensions), one for each vehicle. Printed are seconds and the most memory that the process has held by then.

use std::fmt::Write as _;
use std::time::Instant;

use lustrum::app::imports::{Asked, take};
use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::{App, exports, products, sessions, terms};
use lustrum::clock::Clock;
use lustrum::config::Config;
use lustrum::core::imports::{Format, Kind};
use serde_json::json;

fn main() {
    let folder = tempfile::tempdir().expect("a folder");
    let rows = std::env::args().find_map(|argument| argument.parse().ok()).unwrap_or(100_000);
    let given = std::env::args().find(|argument| argument.starts_with("postgres"));
    let database = given.unwrap_or_else(|| format!("sqlite:{}", folder.path().join("lustrum.db").display()));
    let clock = Clock::fixed("2026-03-10T08:00:00Z".parse().expect("an instant"));
    let founding = Founding {
        shop: ShopSettings::usual("Quayside Coatings", "Europe/Lisbon"),
        name: "Ines".into(),
        email: "ines@quayside.example".into(),
        password: "long enough for you".into(),
        drill: false,
    };
    setup::init(&database, &founding, clock.now()).expect("an empty database");
    let config = Config { database, mail: "memory:".into(), ..Config::default() };
    let app = App::open(config, clock).expect("it opens");
    let who = sessions::act_for(&app, "ines@quayside.example").expect("the manager");
    let product = json!({"code": "base-30", "title": "Base 30", "role": "topper"});
    products::add(&app, &who, serde_json::from_value(product).expect("a product")).expect("added");
    let document = json!({
        "terms": "lustrum-terms/1", "code": "five-years", "edition": 1, "title": "Five years",
        "cover": [{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 150_000}],
        "upkeep": [
            {"key": "annual", "service": "inspection", "counted_from": "start", "every": {"years": 1},
             "early": {"days": 60}, "late": {"days": 30}, "if_missed": {"effect": "note"}},
            {"key": "wash", "service": "maintenance wash", "counted_from": "last", "every": {"weeks": 6},
             "if_missed": {"effect": "note"}},
        ],
    });
    terms::add(&app, &who, &document, false).expect("a draft");
    terms::publish(&app, &who, "five-years", 1).expect("published");

    for kind in Kind::ALL {
        let table = table(*kind, rows);
        let before = Instant::now();
        let done = take(&app, &who, table.as_bytes(), Asked { kind: *kind, days: None }, false);
        let done = done.unwrap_or_else(|e| panic!("{e}")).expect("it was not only tried");
        assert_eq!(done.added, rows as usize);
        println!(
            "import {kind}: {rows} rows in {:.1} s, {} MB held at most",
            before.elapsed().as_secs_f64(),
            held()
        );
    }
    let before = Instant::now();
    let all =
        exports::write_all(&app, &who, Format::Csv, |_| Ok(Box::new(std::io::sink()))).expect("exported");
    let told: usize = all.iter().map(|file| file.rows).sum();
    println!("export: {told} rows in {:.1} s, {} MB held at most", before.elapsed().as_secs_f64(), held());
}

fn table(kind: Kind, rows: u32) -> String {
    let mut table = match kind {
        Kind::Customers => "ref,name,email\n",
        Kind::Vehicles => "ref,vin,plate,make,model,owner,owned since\n",
        Kind::Jobs => "ref,vehicle,handed over,km,surfaces,panels,coats,terms,edition\n",
        Kind::Services => "ref,vehicle,on,service,km\n",
        Kind::Events => {
            "ref,vehicle,on,kind,km,surface,panel,new owner,told on,upkeep,due number,extended to,reason\n"
        }
    }
    .to_owned();
    for n in 0..rows {
        let (year, month, day) = (2022 + n % 4, 1 + n % 12, 1 + n % 28);
        let done = match kind {
            Kind::Customers => writeln!(table, "K-{n},Owner {n},owner{n}@mail.example"),
            Kind::Vehicles => {
                writeln!(table, "V-{n},LSTRMTESTNR{n:06},LS {n},Corvina,Estate,K-{n},{year}-01-01")
            }
            Kind::Jobs => writeln!(
                table,
                "J-{n},V-{n},{year}-{month:02}-{day:02},{},paint,\"bonnet, roof\",paint: base-30 / B-{},five-years,1",
                1_000 + n,
                n % 100
            ),
            Kind::Services => writeln!(
                table,
                "S-{n},V-{n},{}-12-{:02},inspection,{}",
                // Jobs of 2025 were inspected in its last days, the others a year after.
                if year == 2025 { year } else { year + 1 },
                day.max(28),
                1_500 + n
            ),
            Kind::Events => {
                let what = match n % 4 {
                    0 => format!("reading,{},,,,,,,,", 1_600 + n),
                    1 => format!("sale,,,,K-{},no,,,,", (n + 1) % rows),
                    2 => "repair,,paint,roof,,,,,,".to_owned(),
                    _ => "extend,,,,,,annual,1,2026-12-31,shop full".to_owned(),
                };
                writeln!(table, "E-{n},V-{n},2026-01-{day:02},{what}")
            }
        };
        done.expect("a string takes all");
    }
    table
}

/// The most memory that this process has held, in MB, as Linux says it.
fn held() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|kb| kb.parse::<u64>().ok()).map_or(0, |kb| kb / 1024)
}
