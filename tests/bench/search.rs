//! How long it takes to find a vehicle among 100,000, over HTTP: `cargo bench --bench search`, and on PostgreSQL
//! `cargo bench --bench search -- postgres://…` with the address of an empty database.
//!
//! Printed are median and 99th percentile of what one client waits for a page of fifty, by what is sought: a word that
//! most have, one that one in a thousand has, a number that one has, one that none has, and beginnings of two letters.

use std::net::TcpListener;
use std::time::{Duration, Instant};

use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::{App, customers, sessions, vehicles};
use lustrum::clock::Clock;
use lustrum::config::Config;
use lustrum::core::fold::search_key;
use lustrum::core::ids::VehicleId;
use lustrum::core::json::typed;
use serde_json::json;

const VEHICLES: u32 = 100_000;
const CALLS: usize = 400;
const EMAIL: &str = "ines@quayside.example";
const PASSWORD: &str = "correct horse battery";
const NAMES: [&str; 8] = ["Ferro", "Lira", "Nunes", "Brandt", "Okafor", "Moreau", "Haddad", "Kowalczyk"];
const GIVEN: [&str; 8] = ["Ada", "Bruno", "Clara", "Ida", "Joao", "Zoe", "Rui", "Marta"];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = tempfile::tempdir()?;
    let given = std::env::args().skip(1).find(|argument| argument.starts_with("postgres"));
    let database = given.unwrap_or_else(|| format!("sqlite:{}", folder.path().join("bench.db").display()));
    let config = Config { database, mail: "memory:".into(), ..Config::default() };
    let clock = Clock::fixed("2026-03-10T08:00:00Z".parse()?);
    let founding = Founding {
        shop: ShopSettings::usual("Quayside Coatings", "Europe/Lisbon"),
        name: "The manager".into(),
        email: EMAIL.into(),
        password: PASSWORD.into(),
        drill: false,
    };
    setup::init(&config.database, &founding, clock.now()).map_err(|e| format!("{e:?}"))?;
    let app = App::open(config, clock).map_err(|e| format!("{e:?}"))?;
    let began = Instant::now();
    fill(&app).map_err(|e| format!("{e:?}"))?;
    println!("{VEHICLES} vehicles entered in {:.1} s", began.elapsed().as_secs_f64());

    let listener = TcpListener::bind("127.0.0.1:0")?;
    let url = format!("http://{}", listener.local_addr()?);
    std::thread::spawn(move || {
        actix_web::rt::System::new().block_on(async { lustrum::http::serve(app, listener, 2)?.await })
    });
    let agent = ureq::Agent::new_with_defaults();
    let body = json!({"email": EMAIL, "password": PASSWORD});
    let session: serde_json::Value =
        agent.post(format!("{url}/v1/sessions")).send_json(&body)?.body_mut().read_json()?;
    let token = format!("Bearer {}", session["access_token"].as_str().unwrap_or_default());
    let sought = [
        ("most have it", "corvina"),
        ("one in eight", "moreau"),
        ("one in a thousand", "ridge 77"),
        ("one has it", "2026-54321"),
        ("none has it", "quandary"),
        ("none has it, all its parts are common", "corvinada"),
        ("two letters, common", "mo"),
        ("two letters, rare", "xq"),
    ];
    for (what, q) in sought {
        let path = format!("{url}/v1/vehicles?q={}", q.replace(' ', "%20"));
        let mut times: Vec<Duration> = Vec::with_capacity(CALLS);
        let mut found = 0;
        for _ in 0..CALLS {
            let began = Instant::now();
            let mut answer = agent.get(&path).header("Authorization", &token).call()?;
            let text = answer.body_mut().read_to_string()?;
            times.push(began.elapsed());
            let page: serde_json::Value = serde_json::from_str(&text)?;
            found = page["items"].as_array().map_or(0, Vec::len);
        }
        times.sort_unstable();
        let ms = |at: usize| times[at].as_secs_f64() * 1e3;
        println!(
            "{what:38} {q:12} {found:3} found   median {:6.2} ms   p99 {:6.2} ms",
            ms(CALLS / 2),
            ms(CALLS * 99 / 100)
        );
    }
    Ok(())
}

/// An input as the interface reads it.
fn input<T: serde::de::DeserializeOwned>(body: serde_json::Value) -> Result<T, lustrum::app::Error> {
    typed(body).map_err(|fault| lustrum::core::error::Error::rules(vec![fault]).into())
}

/// Eight owners of an invented shop, who have many vehicles each.
fn fill(app: &App) -> Result<(), lustrum::app::Error> {
    let who = sessions::act_for(app, EMAIL)?;
    let mut owners = Vec::new();
    for (given, name) in GIVEN.iter().zip(NAMES) {
        let owner = json!({"name": format!("{given} {name}"), "email": "owner@example.org"});
        owners.push((customers::add(app, &who, input(owner)?)?.id, format!("{given} {name}")));
    }
    let first = json!({"plate": "QC-0", "make": "Corvina"});
    let first = vehicles::add(app, &who, input(first)?)?;
    for part in 0..VEHICLES / 1_000 {
        let (app_in, who, owners) = (app.clone(), who.clone(), owners.clone());
        let first = first.id;
        app.db.write(move |tx| {
            let pattern = lustrum::db::vehicles::find(tx, &who.shop, first)?;
            for n in part * 1_000..(part + 1) * 1_000 {
                let id: VehicleId = uuid::Uuid::now_v7().into();
                let id = lustrum::db::vehicles::identify(tx, &app_in.db.installation(), None, id)?;
                let (owner, name) = &owners[n as usize % owners.len()];
                let mut row = pattern.clone();
                let model = format!("Ridge {}", n % 1_000);
                let plate = format!("QC{n:06}");
                let number = format!("J-2026-{n:05}");
                row.search_key = search_key([plate.as_str(), "Corvina", &model, name, &number]);
                (row.id, row.plate_key, row.plate, row.model) =
                    (id, Some(plate.clone()), Some(plate), Some(model));
                lustrum::db::vehicles::add(tx, &who.shop, &row, uuid::Uuid::now_v7().as_bytes())?;
                let from = who.day(app_in.now());
                let ownership = uuid::Uuid::now_v7().into();
                lustrum::db::vehicles::give(tx, &who.shop, ownership, id, *owner, from, None)?;
            }
            Ok::<_, lustrum::app::Error>(())
        })?;
    }
    Ok(())
}
