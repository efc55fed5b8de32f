//! The only file that knows that there are two databases: how they are opened, how a transaction begins on each,
//! and how migrations reach them.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::mpsc::{SyncSender, TrySendError, sync_channel};
use std::time::Duration;

use diesel::connection::{AnsiTransactionManager, SimpleConnection, TransactionManager};
use diesel::prelude::*;
use diesel::r2d2::{ManageConnection, Pool};
use diesel_migrations::{EmbeddedMigrations, MigrationHarness, embed_migrations};

use super::error::Error;

const SQLITE_MIGRATIONS: EmbeddedMigrations = embed_migrations!("migrations/sqlite");
const POSTGRES_MIGRATIONS: EmbeddedMigrations = embed_migrations!("migrations/postgres");

/// Any number will do as long as every replica takes the same one.
const MIGRATION_LOCK: i64 = 7_301_245;

/// Read-only connections beside SQLite's one writer.
const SQLITE_READERS: u32 = 4;

/// Writes that may wait for SQLite's writer; the next one is answered `Busy`.
const WRITER_QUEUE: usize = 1024;

const SQLITE_PRAGMAS: &str = "PRAGMA busy_timeout = 5000; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; \
     PRAGMA foreign_keys = ON;";

/// What the writer keeps in memory at most, 256 MB of pages: a large import touches more of the indices than the usual
/// 2 MB hold, and would write and read them over and over. Of a statement that can fail, what was before stays in memory, too.
const SQLITE_WRITER: &str = "PRAGMA cache_size = -262144; PRAGMA temp_store = MEMORY;";

const POSTGRES_SETTINGS: &str = "SET lock_timeout = '10s'; SET statement_timeout = '60s'; SET timezone = 'UTC'; SET client_min_messages = warning;";

/// A connection to the one.
pub(crate) type Sqlite = diesel::SqliteConnection;
/// A connection to the other.
pub(crate) type Postgres = diesel::PgConnection;

/// One connection to either database.
#[derive(diesel::MultiConnection)]
pub(crate) enum Multi {
    Pg(diesel::PgConnection),
    Sqlite(diesel::SqliteConnection),
}

/// Compiles one expression once for each database: for what diesel offers on both but not on their enum.
macro_rules! both {
    ($conn:expr, $c:ident => $body:expr) => {
        match $conn.multi() {
            $crate::db::backend::Multi::Pg($c) => $body,
            $crate::db::backend::Multi::Sqlite($c) => $body,
        }
    };
}
pub(crate) use both;

/// Rows that go into one statement: SQLite binds at most 32,766 values in one, PostgreSQL 65,535.
pub(crate) const AT_A_TIME: usize = 500;

/// Inserts all rows. On SQLite one by one: its statement is prepared once, and one of many rows costs more to prepare than
/// it saves. On PostgreSQL, where each statement is a round trip, by COPY, which has nothing to plan.
macro_rules! insert_all {
    ($tx:expr, $table:expr, $rows:expr) => {{
        let mut rows = $rows.into_iter();
        match $tx.multi() {
            $crate::db::backend::Multi::Sqlite(c) => rows
                .try_for_each(|row| diesel::insert_into($table).values(row).execute(c).map(drop))
                .map_err($crate::db::error::Error::from),
            $crate::db::backend::Multi::Pg(c) => loop {
                let some: Vec<_> = rows.by_ref().take($crate::db::backend::AT_A_TIME).collect();
                if some.is_empty() {
                    break Ok::<(), $crate::db::error::Error>(());
                }
                diesel::prelude::ExecuteCopyFromDsl::execute(
                    diesel::copy_from($table).from_insertable(some),
                    c,
                )?;
            },
        }
    }};
}
pub(crate) use insert_all;

/// A connection for reading. What it sees is one consistent state of the database.
pub struct Conn(Multi);

impl Conn {
    /// What diesel works on.
    pub(crate) fn multi(&mut self) -> &mut Multi {
        &mut self.0
    }
}

impl Conn {
    /// Has PostgreSQL go by indices until the transaction ends: rows that it has added itself, or that were added a moment ago,
    /// are not in the statistics by which it would rather read whole tables, over and over.
    pub(crate) fn by_indices(&mut self) -> Result<(), Error> {
        if let Multi::Pg(c) = self.multi() {
            c.batch_execute("SET LOCAL enable_seqscan = off")?;
        }
        Ok(())
    }

    /// Does what each database does in a way of its own.
    pub(crate) fn by_either<T>(
        &mut self,
        sqlite: impl FnOnce(&mut Sqlite) -> T,
        postgres: impl FnOnce(&mut Postgres) -> T,
    ) -> T {
        match self.multi() {
            Multi::Sqlite(c) => sqlite(c),
            Multi::Pg(c) => postgres(c),
        }
    }
}

/// An open write transaction; functions that write ask for one, so that no write can happen outside.
pub struct Tx<'c>(&'c mut Conn);

impl std::ops::Deref for Tx<'_> {
    type Target = Conn;

    fn deref(&self) -> &Conn {
        self.0
    }
}

impl std::ops::DerefMut for Tx<'_> {
    fn deref_mut(&mut self) -> &mut Conn {
        self.0
    }
}

impl Tx<'_> {
    /// Takes row locks with `sql` on PostgreSQL; SQLite has one writer and needs none.
    pub(crate) fn lock(&mut self, sql: &str, id: super::types::Uid) -> Result<(), Error> {
        if let Multi::Pg(c) = self.multi() {
            diesel::sql_query(sql).bind::<super::types::sql::Uid, _>(id).execute(c)?;
        }
        Ok(())
    }
}

impl Tx<'_> {
    /// Takes row locks on many rows in the order of their ids, with `sql` on PostgreSQL.
    pub(crate) fn lock_each(&mut self, sql: &str, ids: &[super::types::Uid]) -> Result<(), Error> {
        if let Multi::Pg(c) = self.multi() {
            for some in ids.chunks(10_000) {
                diesel::sql_query(sql)
                    .bind::<diesel::sql_types::Array<super::types::sql::Uid>, _>(some)
                    .execute(c)?;
            }
        }
        Ok(())
    }
}

/// Where the database is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Location {
    Sqlite(String),
    Postgres(String),
}

impl Location {
    /// Reads `sqlite:PATH`, `postgres://…` or `postgresql://…`; anything else is refused.
    pub(crate) fn parse(url: &str) -> Result<Self, Error> {
        let refuse = |why: &str| Err(Error::Other(format!("database {}: {why}", without_password(url))));
        if let Some(rest) = url.strip_prefix("sqlite:") {
            let path = rest.strip_prefix("//").unwrap_or(rest);
            if path.is_empty() || path == ":memory:" {
                return refuse("sqlite: needs the path of a file");
            }
            return Ok(Self::Sqlite(path.to_owned()));
        }
        if url.starts_with("postgres://") || url.starts_with("postgresql://") {
            if !cfg!(feature = "pg-tls") && !is_local(url) {
                return refuse(
                    "this build has no TLS and does not speak plaintext to a server that is not local; build with --features pg-tls",
                );
            }
            return Ok(Self::Postgres(url.to_owned()));
        }
        refuse("the address must begin with sqlite:, postgres:// or postgresql://")
    }
}

/// The address as it may be shown: a password in it is replaced.
pub(crate) fn without_password(url: &str) -> String {
    let Some((scheme, rest)) = url.split_once("://") else { return url.to_owned() };
    match rest.rsplit_once('@') {
        Some((user, host)) => {
            let name = user.split(':').next().unwrap_or_default();
            format!("{scheme}://{name}@{host}")
        }
        None => url.to_owned(),
    }
}

/// Whether every host of a PostgreSQL address is this machine (or a socket).
fn is_local(url: &str) -> bool {
    let rest = url.split_once("://").map_or("", |(_, rest)| rest);
    let authority = rest.split(['/', '?']).next().unwrap_or_default();
    let hosts = authority.rsplit_once('@').map_or(authority, |(_, hosts)| hosts);
    let named = rest
        .split_once('?')
        .map_or("", |(_, query)| query)
        .split('&')
        .filter_map(|pair| pair.strip_prefix("host="));
    hosts.split(',').chain(named).all(|host| {
        let host = if host.starts_with('[') {
            host.split(']').next().unwrap_or_default().trim_start_matches('[')
        } else {
            host.split(':').next().unwrap_or_default()
        };
        host.is_empty()
            || host == "localhost"
            || host.starts_with('/')
            || host.to_ascii_lowercase().starts_with("%2f")
            || host.parse::<std::net::IpAddr>().is_ok_and(|ip| ip.is_loopback())
    })
}

/// Opens connections of the one kind that the address asks for.
#[derive(Clone)]
struct Manager {
    location: Location,
    read_only: bool,
}

impl Manager {
    fn open(&self) -> Result<Multi, Error> {
        let cannot = |e: &dyn std::fmt::Display| Error::Other(format!("cannot open the database: {e}"));
        match &self.location {
            Location::Sqlite(path) => {
                let mut c =
                    diesel::SqliteConnection::establish(path).map_err(|e| cannot(&format!("{path}: {e}")))?;
                c.batch_execute(SQLITE_PRAGMAS).map_err(|e| cannot(&e))?;
                let more = if self.read_only { "PRAGMA query_only = ON;" } else { SQLITE_WRITER };
                c.batch_execute(more).map_err(|e| cannot(&e))?;
                Ok(Multi::Sqlite(c))
            }
            Location::Postgres(url) => {
                let mut c = diesel::PgConnection::establish(url).map_err(|e| cannot(&e))?;
                c.batch_execute(POSTGRES_SETTINGS).map_err(|e| cannot(&e))?;
                Ok(Multi::Pg(c))
            }
        }
    }
}

impl ManageConnection for Manager {
    type Connection = Conn;
    type Error = Error;

    fn connect(&self) -> Result<Conn, Error> {
        self.open().map(Conn)
    }

    /// Never asked: a broken connection shows when its transaction begins, and is replaced then.
    fn is_valid(&self, _: &mut Conn) -> Result<(), Error> {
        Ok(())
    }

    fn has_broken(&self, conn: &mut Conn) -> bool {
        use diesel::r2d2::R2D2Connection;
        std::thread::panicking() || conn.0.is_broken()
    }
}

type Job = Box<dyn FnOnce(&mut Conn) + Send>;

/// The open database: `read` and `write` are the only ways in.
pub(crate) struct Engine {
    manager: Manager,
    pool: Pool<Manager>,
    writer: Option<SyncSender<Job>>,
    connections: u32,
}

impl Engine {
    /// Connects, without migrating.
    pub(crate) fn open(location: Location) -> Result<Self, Error> {
        let cores = u32::try_from(std::thread::available_parallelism().map_or(2, usize::from)).unwrap_or(2);
        let (writer, connections, read_only) = match &location {
            Location::Sqlite(path) => {
                make_folder(path)?;
                let mut conn = Manager { location: location.clone(), read_only: false }.connect()?;
                let (sender, jobs) = sync_channel::<Job>(WRITER_QUEUE);
                std::thread::Builder::new()
                    .name("sqlite-writer".into())
                    .spawn(move || jobs.into_iter().for_each(|job| job(&mut conn)))
                    .map_err(|e| Error::Other(format!("cannot start the writer: {e}")))?;
                (Some(sender), SQLITE_READERS, true)
            }
            Location::Postgres(_) => (None, (2 * cores).max(4), false),
        };
        let manager = Manager { location, read_only };
        // The first connection is made here, so that a wrong address is told with its cause.
        drop(manager.connect()?);
        let pool = Pool::builder()
            .max_size(connections)
            .min_idle(Some(0))
            .test_on_check_out(false)
            .connection_timeout(Duration::from_secs(10))
            .error_handler(Box::new(diesel::r2d2::NopErrorHandler))
            .build(manager.clone())?;
        Ok(Self { manager, pool, writer, connections })
    }

    /// How many callers can be served at once.
    pub(crate) fn connections(&self) -> u32 {
        self.connections
    }

    /// Runs `f` on a read-only view of one consistent state.
    pub(crate) fn read<T, E: From<Error>>(&self, f: impl FnOnce(&mut Conn) -> Result<T, E>) -> Result<T, E> {
        let mut conn = self.begin(|c| match c {
            Multi::Sqlite(c) => AnsiTransactionManager::begin_transaction_sql(c, "BEGIN"),
            Multi::Pg(c) => AnsiTransactionManager::begin_transaction_sql(
                c,
                "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
            ),
        })?;
        let result = caught(|| f(&mut conn));
        <Multi as Connection>::TransactionManager::rollback_transaction(&mut conn.0).map_err(Error::from)?;
        result
    }

    /// Runs `f` in one write transaction: all of it is done and durable, or nothing.
    pub(crate) fn write<T, E>(
        &self,
        f: impl FnOnce(&mut Tx<'_>) -> Result<T, E> + Send + 'static,
    ) -> Result<T, E>
    where
        T: Send + 'static,
        E: From<Error> + Send + 'static,
    {
        let Some(writer) = &self.writer else {
            let mut conn = self.begin(begin_write)?;
            return finish(&mut conn, f);
        };
        let (answer, answered) = sync_channel(1);
        let job: Job = Box::new(move |conn| {
            let result =
                begin_write(&mut conn.0).map_err(|e| Error::from(e).into()).and_then(|()| finish(conn, f));
            // Whoever asked may have gone; the work is done all the same.
            let _ = answer.send(result);
        });
        match writer.try_send(job) {
            Ok(()) => {}
            Err(TrySendError::Full(_)) => return Err(Error::Busy.into()),
            Err(TrySendError::Disconnected(_)) => {
                return Err(Error::Other("the writer has stopped".into()).into());
            }
        }
        answered.recv().map_err(|_| Error::OutcomeUnknown("the writer stopped".into()))?
    }

    /// A connection on which a transaction has begun. One that turns out to be broken is replaced once.
    fn begin(
        &self,
        begin: impl Fn(&mut Multi) -> QueryResult<()>,
    ) -> Result<diesel::r2d2::PooledConnection<Manager>, Error> {
        let mut conn = self.pool.get()?;
        if begin(&mut conn.0).is_ok() {
            return Ok(conn);
        }
        conn.0 = self.manager.open()?;
        begin(&mut conn.0)?;
        Ok(conn)
    }
}

fn begin_write(c: &mut Multi) -> QueryResult<()> {
    match c {
        // A deferred transaction that turns into a write fails without waiting.
        Multi::Sqlite(c) => AnsiTransactionManager::begin_transaction_sql(c, "BEGIN IMMEDIATE"),
        Multi::Pg(c) => {
            AnsiTransactionManager::begin_transaction_sql(c, "BEGIN ISOLATION LEVEL READ COMMITTED")
        }
    }
}

fn finish<T, E: From<Error>>(conn: &mut Conn, f: impl FnOnce(&mut Tx<'_>) -> Result<T, E>) -> Result<T, E> {
    let result = caught(|| f(&mut Tx(conn)));
    match result {
        Ok(value) => match <Multi as Connection>::TransactionManager::commit_transaction(&mut conn.0) {
            Ok(()) => Ok(value),
            Err(e) => Err(commit_failed(conn, e).into()),
        },
        Err(e) => {
            <Multi as Connection>::TransactionManager::rollback_transaction(&mut conn.0)
                .map_err(Error::from)?;
            Err(e)
        }
    }
}

/// A COMMIT that the server refused was not done; one that met a broken connection may have been.
fn commit_failed(conn: &mut Conn, error: diesel::result::Error) -> Error {
    use diesel::r2d2::R2D2Connection;
    if matches!(conn.0, Multi::Pg(_)) && conn.0.is_broken() {
        Error::OutcomeUnknown(error.to_string())
    } else {
        error.into()
    }
}

/// A panic in a caller's closure must not take the writer with it.
fn caught<T, E: From<Error>>(f: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
    catch_unwind(AssertUnwindSafe(f)).unwrap_or_else(|panic| {
        let said = panic
            .downcast_ref::<&str>()
            .map(|s| (*s).to_owned())
            .or_else(|| panic.downcast_ref::<String>().cloned())
            .unwrap_or_default();
        Err(Error::Other(format!("panic in a transaction: {said}")).into())
    })
}

fn make_folder(path: &str) -> Result<(), Error> {
    match Path::new(path).parent() {
        Some(folder) if !folder.as_os_str().is_empty() => std::fs::create_dir_all(folder)
            .map_err(|e| Error::Other(format!("cannot make the folder {}: {e}", folder.display()))),
        _ => Ok(()),
    }
}

/// How many migrations are still to be run. A file that is not there is not made.
pub(crate) fn pending(location: Location) -> Result<usize, Error> {
    if let Location::Sqlite(path) = &location
        && !Path::new(path).exists()
    {
        return Err(Error::Other(format!("there is no file {path}")));
    }
    let failed = |e: Box<dyn std::error::Error + Send + Sync>| Error::Other(e.to_string());
    match (Manager { location, read_only: false }).open()? {
        Multi::Sqlite(mut c) => Ok(c.pending_migrations(SQLITE_MIGRATIONS).map_err(failed)?.len()),
        Multi::Pg(mut c) => Ok(c.pending_migrations(POSTGRES_MIGRATIONS).map_err(failed)?.len()),
    }
}

/// Brings the database to the present shape; answers which migrations were run.
pub(crate) fn migrate(location: Location) -> Result<Vec<String>, Error> {
    if let Location::Sqlite(path) = &location {
        make_folder(path)?;
    }
    let failed = |e: Box<dyn std::error::Error + Send + Sync>| Error::Other(format!("migration failed: {e}"));
    let names =
        |run: Vec<diesel::migration::MigrationVersion<'_>>| run.iter().map(ToString::to_string).collect();
    match (Manager { location, read_only: false }).open()? {
        Multi::Sqlite(mut c) => Ok(names(c.run_pending_migrations(SQLITE_MIGRATIONS).map_err(failed)?)),
        Multi::Pg(mut c) => {
            // Several replicas may start at the same time; the lock goes with the connection.
            c.batch_execute("SET lock_timeout = 0; SET statement_timeout = 0;")?;
            diesel::sql_query(format!("SELECT pg_advisory_lock({MIGRATION_LOCK})")).execute(&mut c)?;
            Ok(names(c.run_pending_migrations(POSTGRES_MIGRATIONS).map_err(failed)?))
        }
    }
}
