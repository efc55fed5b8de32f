//! The connection to PostgreSQL is lost while COMMIT is on its way: whoever asked is told that the outcome is unknown,
//! and finds out by asking again under the same key.

use std::io::{Read as _, Write as _};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::thread;

use lustrum::app::App;
use lustrum::config::Config;
use serde_json::json;

use super::idempotency::{keyed, said};
use crate::support::database::Backend;
use crate::support::server::Server;
use crate::support::shop::{TestShop, sign_in};

/// What becomes of the next COMMIT.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fate {
    /// It is done and answered.
    Answered = 0,
    /// It is done; its answer does not come back, and the line stays dead until the next fate.
    Done = 1,
    /// It never reaches the server, and the line stays dead until the next fate.
    NotDone = 2,
    /// It is done; its answer does not come back, but other connections live.
    DoneOnly = 3,
    /// The line is dead.
    Dead = 4,
}

impl Fate {
    fn of(cell: &AtomicU8) -> Self {
        let number = cell.load(Ordering::SeqCst);
        let all = [Self::Answered, Self::Done, Self::NotDone, Self::DoneOnly, Self::Dead];
        all.into_iter().find(|fate| *fate as u8 == number).unwrap()
    }
}

/// Stands between the service and PostgreSQL.
struct Wire {
    url: String,
    fate: Arc<AtomicU8>,
}

impl Wire {
    fn to(database: &str) -> Self {
        let (before, rest) = database.split_once('@').unwrap();
        let (server, name) = rest.split_once('/').unwrap();
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let url = format!("{before}@{}/{name}", listener.local_addr().unwrap());
        let fate = Arc::new(AtomicU8::new(Fate::Answered as u8));
        let (server, shared) = (server.to_owned(), fate.clone());
        thread::spawn(move || {
            for client in listener.incoming().map_while(Result::ok) {
                let (server, fate) = (server.clone(), shared.clone());
                if Fate::of(&fate) != Fate::Dead {
                    thread::spawn(move || join(client, TcpStream::connect(server).unwrap(), &fate));
                }
            }
        });
        Self { url, fate }
    }

    fn next_commit(&self, fate: Fate) {
        self.fate.store(fate as u8, Ordering::SeqCst);
    }
}

/// Carries bytes both ways until either side closes, or a COMMIT meets its fate.
fn join(mut client: TcpStream, mut server: TcpStream, fate: &AtomicU8) {
    let (mut back_from, mut back_to) = (server.try_clone().unwrap(), client.try_clone().unwrap());
    let back = thread::spawn(move || {
        let _ = std::io::copy(&mut back_from, &mut back_to);
        let _ = back_to.shutdown(Shutdown::Both);
    });
    let mut bytes = [0; 16 * 1024];
    while let Ok(n @ 1..) = client.read(&mut bytes) {
        // As the protocol sends it; "READ COMMITTED" is something else.
        let commits = bytes[..n].windows(7).any(|window| window == b"COMMIT\0");
        let met = match Fate::of(fate) {
            Fate::Answered => false,
            Fate::Dead => break,
            Fate::Done | Fate::NotDone | Fate::DoneOnly => commits,
        };
        if !met {
            if server.write_all(&bytes[..n]).is_err() {
                break;
            }
            continue;
        }
        let _ = client.shutdown(Shutdown::Both);
        if Fate::of(fate) != Fate::NotDone {
            let _ = server.write_all(&bytes[..n]);
            // The server closes in turn when it is done with it.
            let _ = server.shutdown(Shutdown::Write);
            let _ = back.join();
        }
        let then = if Fate::of(fate) == Fate::DoneOnly { Fate::Answered } else { Fate::Dead };
        fate.store(then as u8, Ordering::SeqCst);
        let _ = server.shutdown(Shutdown::Both);
        return;
    }
    let _ = server.shutdown(Shutdown::Both);
    let _ = back.join();
}

#[test]
fn whether_it_was_done_is_told_by_the_key() {
    let shop = TestShop::open(Backend::Postgres);
    let wire = Wire::to(&shop.database.url);
    let config = Config { database: wire.url.clone(), ..(*shop.app.config).clone() };
    let server = Server::start(App::open(config, shop.clock.clone()).unwrap());
    let desk = sign_in(&server.url, "dora@quayside.example");
    let customers = || desk.get("/v1/customers").ok()["items"].as_array().unwrap().len();

    for (fate, key, name) in
        [(Fate::Done, "done", "Ada Ferreira"), (Fate::NotDone, "not-done", "Bruno Ferreira")]
    {
        let body = json!({"name": name});
        wire.next_commit(fate);
        keyed(&desk, key, "/v1/customers", &body).refused(503, "outcome_unknown");
        wire.next_commit(Fate::Answered);
        // What is there before anybody asks again.
        assert_eq!(customers(), 1, "{name}");
        let again = keyed(&desk, key, "/v1/customers", &body);
        assert_eq!((again.status, &again.body["name"]), (201, &json!(name)));
        assert_eq!(said(&keyed(&desk, key, "/v1/customers", &body)), said(&again));
    }
    assert_eq!(customers(), 2);

    // Where another connection can be asked, the service finds out by itself.
    wire.next_commit(Fate::DoneOnly);
    let body = json!({"name": "Carla Ferreira"});
    assert_eq!(keyed(&desk, "found-out", "/v1/customers", &body).status, 201);
    assert_eq!(customers(), 3);

    // Without a key nobody can.
    wire.next_commit(Fate::DoneOnly);
    desk.post("/v1/customers", &json!({"name": "Dinis Ferreira"})).refused(503, "outcome_unknown");
    assert_eq!(customers(), 4);
}
