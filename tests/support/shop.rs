//! A shop with its people, on a database of its own and a clock that stands still: the one who acts in a story.

use chrono::{DateTime, Utc};
use lustrum::app::members::{self, NewMember};
use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::ticks::{self, Did};
use lustrum::app::{App, Who, sessions};
use lustrum::clock::Clock;
use lustrum::config::Config;
use lustrum::core::words::Role;
use serde_json::{Value, json};

use super::database::{Backend, TestDatabase};
use super::server::{Client, Server};

/// Everybody's password.
pub(crate) const PASSWORD: &str = "correct horse battery";

/// A shop (invented) in Lisbon with a manager, a technician and someone at the desk.
pub(crate) struct TestShop {
    pub(crate) app: App,
    pub(crate) clock: Clock,
    pub(crate) server: Server,
    pub(crate) manager: Client,
    pub(crate) technician: Client,
    pub(crate) desk: Client,
    // Dropped last: the others still hold connections.
    pub(crate) database: TestDatabase,
}

impl From<Backend> for TestShop {
    fn from(backend: Backend) -> Self {
        Self::open(backend)
    }
}

impl TestShop {
    /// Opens on Tuesday 10 March 2026 at eight in the morning, UTC.
    pub(crate) fn open(backend: Backend) -> Self {
        let database = TestDatabase::new(backend);
        let clock = Clock::fixed("2026-03-10T08:00:00Z".parse().unwrap());
        let config = Config {
            database: database.url.clone(),
            files: database.files.path().into(),
            mail: "memory:".into(),
            ..Config::default()
        };
        found(&config, &clock, "Quayside Coatings", "ines@quayside.example");
        let app = App::open(config, clock.clone()).unwrap();
        let manager = sessions::act_for(&app, "ines@quayside.example").unwrap();
        hire(&app, &manager, "tomas@quayside.example", "Tomás (technician)", Role::Technician);
        hire(&app, &manager, "dora@quayside.example", "Dora (desk)", Role::Desk);
        let server = Server::start(app.clone());
        let client = |email: &str| sign_in(&server.url, email);
        Self {
            manager: client("ines@quayside.example"),
            technician: client("tomas@quayside.example"),
            desk: client("dora@quayside.example"),
            app,
            clock,
            server,
            database,
        }
    }

    /// A second shop in the same installation, and its manager.
    pub(crate) fn neighbour(&self) -> Client {
        let config = Config { database: self.database.url.clone(), ..Config::default() };
        found(&config, &self.clock, "Hillside Detailing", "otto@hillside.example");
        sign_in(&self.server.url, "otto@hillside.example")
    }

    /// The bodies of the shop's records of this kind, in order, with personal texts in their places.
    pub(crate) fn records(&self, kind: &str) -> Vec<Value> {
        let manager = lustrum::app::sessions::act_for(&self.app, "ines@quayside.example").unwrap();
        let bodies = self.app.db.read(|c| {
            let rows = lustrum::db::records::list(c, &manager.shop, 0, i64::MAX)?;
            let of_kind = rows.iter().filter(|row| row.kind == kind);
            let bodies: Result<Vec<Value>, lustrum::app::Error> =
                of_kind.map(|row| lustrum::app::records::read_back(c, &manager.shop, row)).collect();
            bodies
        });
        bodies.unwrap()
    }

    /// Anybody of the installation, newly signed in.
    pub(crate) fn signs_in(&self, email: &str) -> Client {
        sign_in(&self.server.url, email)
    }

    /// Lets it become this instant. Access tokens last a quarter of an hour: everybody signs in anew.
    pub(crate) fn it_is(&mut self, at: &str) {
        let at: DateTime<Utc> = at.parse().unwrap();
        self.clock.set(at);
        self.manager = sign_in(&self.server.url, "ines@quayside.example");
        self.technician = sign_in(&self.server.url, "tomas@quayside.example");
        self.desk = sign_in(&self.server.url, "dora@quayside.example");
    }

    /// What the running service would do by itself at this instant, delivery included.
    pub(crate) fn ticks(&self) -> Vec<Did> {
        let mut did = ticks::tick(&self.app, self.app.now()).unwrap().unwrap_or_default();
        did.extend(self.delivers_mails());
        did
    }

    /// Hands over what stands in the outbox.
    pub(crate) fn delivers_mails(&self) -> Vec<Did> {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(lustrum::jobs::deliver(&self.app, || self.app.now())).unwrap()
    }

    /// Subject and recipient of every mail that was handed over, in order.
    pub(crate) fn mails(&self) -> Vec<(String, String)> {
        let mail = |mail: lustrum::mail::Outgoing| {
            let read = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
            (read.subject().unwrap().to_owned(), mail.recipient.clone())
        };
        self.app.mailer.kept().into_iter().map(mail).collect()
    }

    /// An owner reports a problem on their page, with a photo; answers the task that it becomes.
    pub(crate) fn hears_of_a_problem(&self, owner: &str, vehicle: &str) -> Value {
        let link = self.desk.post(&format!("/v1/customers/{owner}/links"), &json!({})).created();
        let page = link["url"].as_str().unwrap().split_once("/my/").unwrap().1;
        let mut form = b"--b\r\nContent-Disposition: form-data; name=\"text\"\r\n\r\nA spot.\r\n--b\r\n\
            Content-Disposition: form-data; name=\"photos\"; filename=\"a.jpg\"\r\nContent-Type: image/jpeg\r\n\r\n"
            .to_vec();
        form.extend(super::pictures::jpeg(8, 8));
        form.extend(b"\r\n--b--\r\n");
        let kind = [("Content-Type", "multipart/form-data; boundary=b")];
        let to = format!("/my/{page}/vehicles/{vehicle}/problem");
        let sent = self.desk.anonymous().send("POST", &to, &kind, Some(&form));
        assert_eq!(sent.status, 200, "{}", sent.text);
        self.desk.get("/v1/tasks").ok()["items"][0].clone()
    }

    /// Adds a customer who can be mailed; answers their id.
    pub(crate) fn adds_customer(&self, name: &str, email: &str) -> String {
        let body = self.desk.post("/v1/customers", &json!({"name": name, "email": email})).created();
        id(&body)
    }
}

/// The `id` of an answer.
pub(crate) fn id(body: &Value) -> String {
    body["id"].as_str().unwrap_or_else(|| panic!("no id in {body:#}")).to_owned()
}

fn found(config: &Config, clock: &Clock, shop: &str, email: &str) {
    let founding = Founding {
        shop: ShopSettings::usual(shop, "Europe/Lisbon"),
        name: "The manager".into(),
        email: email.into(),
        password: PASSWORD.into(),
        drill: false,
    };
    setup::init(&config.database, &founding, clock.now()).unwrap();
}

fn hire(app: &App, manager: &Who, email: &str, name: &str, role: Role) {
    let new = NewMember { name: name.into(), email: email.into(), role, password: PASSWORD.into() };
    members::add(app, manager, &new).unwrap();
}

/// Whoever has this address, signed in with everybody's password.
pub(crate) fn sign_in(url: &str, email: &str) -> Client {
    let body = json!({"email": email, "password": PASSWORD});
    let session = Client::new(url, None).post("/v1/sessions", &body).created();
    Client::new(url, session["access_token"].as_str().map(str::to_owned))
}
