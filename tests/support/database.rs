//! Databases for tests: each test has one of its own, on SQLite and on PostgreSQL alike.
//!
//! SQLite is a file in a folder that goes with the test. PostgreSQL is a server that `tests/run` starts; the test's
//! database there is a copy of one that was migrated once, and is dropped with the test, also when it fails.

use std::fs;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};

use diesel::PgConnection;
use diesel::connection::{Connection, SimpleConnection};
use tempfile::TempDir;

/// Makes two tests, `NAME::sqlite` and `NAME::postgres`, of each story. A story is a function that takes a
/// [`Backend`] or anything that is made from one, for example a [`TestDatabase`].
macro_rules! on_both {
    ($($story:ident),+ $(,)?) => {$(
        mod $story {
            use $crate::support::database::Backend;

            #[test]
            fn sqlite() {
                super::$story(Backend::Sqlite.into());
            }

            #[test]
            fn postgres() {
                super::$story(Backend::Postgres.into());
            }
        }
    )+};
}
pub(crate) use on_both;

/// Which database a test runs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Backend {
    /// A file.
    Sqlite,
    /// A database on the server of `tests/run`.
    Postgres,
}

/// A database for one test; gone when it is dropped.
#[derive(Debug)]
pub(crate) struct TestDatabase {
    /// Where it is, as `lustrum` is told.
    pub(crate) url: String,
    /// Which of the two it is.
    pub(crate) backend: Backend,
    /// Where the files of its photos go.
    pub(crate) files: TempDir,
    place: Place,
}

#[derive(Debug)]
enum Place {
    Folder { _gone_with_the_test: TempDir },
    Server { url: String, name: String },
}

impl TestDatabase {
    /// A migrated database.
    pub(crate) fn new(backend: Backend) -> Self {
        match backend {
            Backend::Sqlite => Self::file(Some(migrated_file())),
            Backend::Postgres => Self::on_server(server(), Some(migrated_database())),
        }
    }

    /// A database with nothing in it, not even tables.
    pub(crate) fn empty(backend: Backend) -> Self {
        match backend {
            Backend::Sqlite => Self::file(None),
            Backend::Postgres => Self::on_server(server(), None),
        }
    }

    /// A database with nothing in it that keeps what it acknowledged, also when something dies.
    pub(crate) fn durable(backend: Backend) -> Self {
        match backend {
            Backend::Sqlite => Self::file(None),
            Backend::Postgres => Self::on_server(durable_server(), None),
        }
    }

    /// Runs SQL past the service, for what no call can do.
    pub(crate) fn execute(&self, sql: &str) {
        match self.backend {
            Backend::Sqlite => {
                let path = self.url.trim_start_matches("sqlite:");
                diesel::SqliteConnection::establish(path).unwrap().batch_execute(sql).unwrap();
            }
            Backend::Postgres => run_on(&self.url, sql),
        }
    }

    fn file(content: Option<&[u8]>) -> Self {
        let folder = TempDir::with_prefix("lustrum-test-").unwrap();
        let path = folder.path().join("lustrum.db");
        if let Some(content) = content {
            fs::write(&path, content).unwrap();
        }
        Self {
            url: format!("sqlite:{}", path.display()),
            backend: Backend::Sqlite,
            files: TempDir::with_prefix("lustrum-files-").unwrap(),
            place: Place::Folder { _gone_with_the_test: folder },
        }
    }

    fn on_server(server: &str, template: Option<&str>) -> Self {
        static MADE: AtomicU32 = AtomicU32::new(1);
        let name = format!("test_{}_{}", std::process::id(), MADE.fetch_add(1, Ordering::Relaxed));
        // `template0` is what the server holds ready for a database with nothing in it.
        run_on(server, &format!("CREATE DATABASE {name} TEMPLATE {}", template.unwrap_or("template0")));
        Self {
            url: url_of(server, &name),
            backend: Backend::Postgres,
            files: TempDir::with_prefix("lustrum-files-").unwrap(),
            place: Place::Server { url: server.to_owned(), name },
        }
    }
}

impl From<Backend> for TestDatabase {
    fn from(backend: Backend) -> Self {
        Self::new(backend)
    }
}

impl Drop for TestDatabase {
    fn drop(&mut self) {
        if let Place::Server { url, name } = &self.place {
            let dropped = PgConnection::establish(url).map_err(|e| e.to_string()).and_then(|mut c| {
                c.batch_execute(&format!("DROP DATABASE {name} WITH (FORCE)")).map_err(|e| e.to_string())
            });
            // A second panic would hide the first one.
            if let Err(why) = dropped
                && !std::thread::panicking()
            {
                panic!("cannot drop the test's database {name}: {why}");
            }
        }
    }
}

/// The server that `tests/run` starts; it may lose everything with the power.
fn server() -> &'static str {
    static SERVER: OnceLock<String> = OnceLock::new();
    SERVER.get_or_init(|| told("LUSTRUM_TEST_POSTGRES"))
}

/// The other server that `tests/run` starts: it keeps what it acknowledged.
fn durable_server() -> &'static str {
    static SERVER: OnceLock<String> = OnceLock::new();
    SERVER.get_or_init(|| told("LUSTRUM_TEST_POSTGRES_DURABLE"))
}

/// What `tests/run` says in the environment.
fn told(name: &str) -> String {
    std::env::var(name)
        .unwrap_or_else(|_| panic!("{name} is not set: run tests/run, or tests/run NAME for this test alone"))
}

/// The bytes of a migrated SQLite file, made once.
fn migrated_file() -> &'static [u8] {
    static FILE: OnceLock<Vec<u8>> = OnceLock::new();
    FILE.get_or_init(|| {
        let made = TestDatabase::empty(Backend::Sqlite);
        lustrum::db::migrate(&made.url).unwrap();
        fs::read(made.url.trim_start_matches("sqlite:")).unwrap()
    })
}

/// The name of a migrated PostgreSQL database, made once. It goes with the server.
fn migrated_database() -> &'static str {
    static NAME: OnceLock<String> = OnceLock::new();
    NAME.get_or_init(|| {
        let name = format!("template_{}", std::process::id());
        run_on(server(), &format!("CREATE DATABASE {name} TEMPLATE template0"));
        lustrum::db::migrate(&url_of(server(), &name)).unwrap();
        name
    })
}

/// The address of another database on the same server.
fn url_of(server: &str, name: &str) -> String {
    let (host, _) = server.rsplit_once('/').unwrap();
    format!("{host}/{name}")
}

fn run_on(server: &str, sql: &str) {
    PgConnection::establish(server)
        .unwrap_or_else(|e| panic!("{server}: {e}; is it the one that tests/run started?"))
        .batch_execute(sql)
        .unwrap_or_else(|e| panic!("{sql}: {e}"));
}

on_both!(a_database_is_migrated_alone_and_gone_with_its_test);

fn a_database_is_migrated_alone_and_gone_with_its_test(backend: Backend) {
    let (one, other) = (TestDatabase::new(backend), TestDatabase::new(backend));
    assert_ne!(one.url, other.url);
    assert!(exists(&one.url) && exists(&other.url));
    assert_eq!(lustrum::db::migrate(&one.url).unwrap(), Vec::<String>::new());
    assert_ne!(lustrum::db::migrate(&TestDatabase::empty(backend).url).unwrap(), Vec::<String>::new());

    // A failing test drops its database too, although a connection to it is open.
    let url = one.url.clone();
    let failed = std::thread::spawn(move || {
        let _open = lustrum::db::Db::open(&one.url).unwrap();
        std::panic::resume_unwind(Box::new("a failing test"));
    })
    .join();
    assert!(failed.is_err());
    assert!(!exists(&url), "{url} is still there");
}

/// Whether there is a database at `url`; asking makes none.
fn exists(url: &str) -> bool {
    match url.strip_prefix("sqlite:") {
        Some(path) => fs::exists(path).unwrap(),
        None => PgConnection::establish(url).is_ok(),
    }
}
