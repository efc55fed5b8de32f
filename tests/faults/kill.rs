//! The service is killed in the middle of writes: what it answered with success is there afterwards.
//!
//! On PostgreSQL it is the service that is killed, not the database.

use std::fs::{self, File, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use lustrum::core::ids::Digest;
use serde_json::{Value, json};

use crate::support::database::{Backend, TestDatabase, on_both};
use crate::support::pictures::jpeg;
use crate::support::server::Client;
use crate::support::shop::PASSWORD;

const ROUNDS: usize = 4;
const WRITERS: usize = 4;
const MANAGER: &str = "ines@quayside.example";

on_both!(what_was_answered_survives_kill_9);

fn what_was_answered_survives_kill_9(backend: Backend) {
    let database = TestDatabase::durable(backend);
    let folder = tempfile::tempdir().unwrap();
    init(&database.url, folder.path());
    let photos = folder.path().join("photos");
    let job = opens_job(&database.url, folder.path());
    let notes: Vec<PathBuf> = (0..WRITERS).map(|n| folder.path().join(format!("answered-{n}"))).collect();

    for round in 0..ROUNDS {
        let mut service = Service::start(&database.url, folder.path());
        let (url, token) = (service.url.clone(), service.sign_in());
        let answered = AtomicUsize::new(0);
        std::thread::scope(|scope| {
            for (writer, notes) in notes.iter().enumerate() {
                let (url, token, answered) = (&url, &token, &answered);
                scope.spawn(move || {
                    write_until_cut_off(url, token, &format!("{round}.{writer}"), notes, answered);
                });
            }
            let (url, token, job, photos) = (&url, &token, &job, &photos);
            scope.spawn(move || photograph_until_cut_off(url, token, job, photos));
            // The burst is under way before its end is drawn; each writer ends by the kill and nothing else.
            let until = Instant::now() + Duration::from_secs(30);
            while answered.load(Ordering::Relaxed) < WRITERS && Instant::now() < until {
                std::thread::sleep(Duration::from_millis(2));
            }
            std::thread::sleep(Duration::from_millis(u64::from(getrandom::u32().unwrap() % 500)));
            service.kill();
        });
        assert!(answered.load(Ordering::Relaxed) >= WRITERS, "round {round}: nothing was being written");
    }

    let service = Service::start(&database.url, folder.path());
    let client = Client::new(&service.url, Some(service.sign_in()));
    let mut seen = 0;
    for note in notes.iter().flat_map(|notes| lines(notes)) {
        let (id, name) = note.split_once(' ').unwrap();
        let customer = client.get(&format!("/v1/customers/{id}")).ok();
        assert_eq!(customer["name"], name, "{id}");
        seen += 1;
    }
    assert!(seen >= ROUNDS * WRITERS, "only {seen} writes were answered");

    // What was answered is there, unless it was to be removed; and whatever is there has its files.
    let photos = lines(&photos);
    let removed = |id: &str| photos.iter().any(|line| *line == format!("- {id}"));
    let kept: Vec<&str> =
        photos.iter().filter_map(|line| line.strip_prefix("+ ")).filter(|id| !removed(id)).collect();
    assert!(!kept.is_empty(), "no photo was answered");
    for id in kept {
        client.get(&format!("{job}/photos/{id}")).ok();
    }
    let listed = client.get(&format!("{job}/photos?limit=200")).ok();
    for photo in listed["items"].as_array().unwrap() {
        let place = format!("{job}/photos/{}", photo["id"].as_str().unwrap());
        let file = client.get(&format!("{place}/file"));
        assert_eq!(photo["digest"], Digest::of(&file.bytes).to_string(), "{place}");
        assert_eq!(client.get(&format!("{place}/thumbnail")).status, 200, "{place}");
    }
}

/// Opens a job; answers its path.
fn opens_job(database: &str, folder: &Path) -> String {
    let service = Service::start(database, folder);
    let client = Client::new(&service.url, Some(service.sign_in()));
    let vehicle = client.post("/v1/vehicles", &json!({"plate": "QC-1"})).created();
    let job = json!({"vehicle_id": vehicle["id"], "odometer": {"value": 412, "unit": "km"}});
    format!("/v1/jobs/{}", client.post("/v1/jobs", &job).created()["id"].as_str().unwrap())
}

/// Adds the same picture twice and removes it once, with ever other pictures, until the service is gone. Answered photos
/// are noted with a plus; with a minus, before it is asked for, what is to be removed.
fn photograph_until_cut_off(url: &str, token: &str, job: &str, notes: &Path) {
    let agent = agent();
    let mut notes = OpenOptions::new().create(true).append(true).open(notes).unwrap();
    let authorized = format!("Bearer {token}");
    for n in 0_u32.. {
        let picture = jpeg(8 + n % 24, 8 + n / 24);
        let mut made = Vec::new();
        for _ in 0..2 {
            let request = agent.post(format!("{url}{job}/photos")).header("Authorization", &authorized);
            let Ok(mut answer) = request.header("Content-Type", "image/jpeg").send(&picture) else { return };
            assert_eq!(answer.status().as_u16(), 201);
            let Ok(body) = answer.body_mut().read_json::<Value>() else { return };
            made.push(body["id"].as_str().unwrap().to_owned());
            writeln!(notes, "+ {}", made[made.len() - 1]).unwrap();
        }
        writeln!(notes, "- {}", made[0]).unwrap();
        notes.sync_data().unwrap();
        let request =
            agent.delete(format!("{url}{job}/photos/{}", made[0])).header("Authorization", &authorized);
        let Ok(answer) = request.header("If-Match", "\"1\"").call() else { return };
        assert_eq!(answer.status().as_u16(), 204);
    }
}

/// Calls that fail are the point here: not the client of the stories, which takes none.
fn agent() -> ureq::Agent {
    let config = ureq::Agent::config_builder().http_status_as_error(false);
    config.timeout_global(Some(Duration::from_secs(20))).build().into()
}

/// Adds customers until the service is gone; what was answered with 201 is noted, one line each.
fn write_until_cut_off(url: &str, token: &str, prefix: &str, notes: &Path, answered: &AtomicUsize) {
    let agent = agent();
    let mut notes = OpenOptions::new().create(true).append(true).open(notes).unwrap();
    for n in 0.. {
        let name = format!("Customer {prefix}.{n}");
        let sent = agent
            .post(format!("{url}/v1/customers"))
            .header("Authorization", format!("Bearer {token}"))
            .send_json(json!({"name": &name}));
        let Ok(mut answer) = sent else { return };
        assert_eq!(answer.status().as_u16(), 201, "{name}");
        // An answer that was cut off in its middle told nobody an id.
        let Ok(body) = answer.body_mut().read_json::<Value>() else { return };
        writeln!(notes, "{} {name}", body["id"].as_str().unwrap()).unwrap();
        notes.sync_data().unwrap();
        answered.fetch_add(1, Ordering::Relaxed);
    }
}

fn lines(file: &Path) -> Vec<String> {
    fs::read_to_string(file).unwrap().lines().map(str::to_owned).collect()
}

/// The program, in a folder where no settings of the developer lie, and without those of the environment.
fn lustrum(database: &str, folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lustrum"));
    let inherited = std::env::vars_os().map(|(name, _)| name);
    for name in inherited.filter(|name| name.to_string_lossy().starts_with("LUSTRUM_")) {
        command.env_remove(name);
    }
    command.current_dir(folder).env("LUSTRUM_DATABASE", database).stdin(Stdio::null());
    command
}

fn init(database: &str, folder: &Path) {
    let output = lustrum(database, folder)
        .args(["init", "--shop", "Quayside Coatings", "--email", MANAGER])
        .env("LUSTRUM_PASSWORD", PASSWORD)
        .output()
        .unwrap();
    assert!(output.status.success(), "lustrum init: {}", String::from_utf8_lossy(&output.stderr));
}

/// `lustrum serve`, a process of its own; gone when it is dropped.
struct Service {
    process: Child,
    url: String,
}

impl Service {
    /// Starts it on a port that it chooses itself, and waits until it serves.
    fn start(database: &str, folder: &Path) -> Self {
        let log = folder.join("log");
        let process = lustrum(database, folder)
            .arg("serve")
            .env("LUSTRUM_LISTEN", "127.0.0.1:0")
            .stdout(Stdio::null())
            .stderr(File::create(&log).unwrap())
            .spawn()
            .unwrap();
        let mut service = Self { process, url: String::new() };
        let until = Instant::now() + Duration::from_mins(1);
        loop {
            if let Some(address) = address(&lines(&log)) {
                service.url = format!("http://{address}");
                return service;
            }
            let ended = service.process.try_wait().unwrap();
            assert!(ended.is_none() && Instant::now() < until, "not serving ({ended:?}): {:?}", lines(&log));
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    fn sign_in(&self) -> String {
        let body = json!({"email": MANAGER, "password": PASSWORD});
        let session = Client::new(&self.url, None).post("/v1/sessions", &body).created();
        session["access_token"].as_str().unwrap().to_owned()
    }

    /// SIGKILL: no handler runs, nothing is flushed.
    fn kill(&mut self) {
        self.process.kill().unwrap();
        self.process.wait().unwrap();
    }
}

impl Drop for Service {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// Where it serves, as its log says.
fn address(log: &[String]) -> Option<String> {
    let entries = log.iter().filter_map(|line| serde_json::from_str::<Value>(line).ok());
    entries
        .map(|entry| entry["fields"].clone())
        .find(|fields| fields["message"] == "serving")
        .and_then(|fields| fields["address"].as_str().map(str::to_owned))
}
