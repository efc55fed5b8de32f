//! Whether the database keeps what it has been told: its own settings of durability, and its clock.

use chrono::{DateTime, Utc};
use diesel::prelude::*;
use diesel::sql_types::Text;

use super::Tx;
use super::error::Error;
use super::scope::Installation;

/// A setting of the database that promises hang on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Durability {
    /// What it is called.
    pub name: &'static str,
    /// What it is.
    pub value: String,
    /// What it must be.
    pub wanted: &'static [&'static str],
    /// Why.
    pub why: &'static str,
}

impl Durability {
    /// Whether it is as it must be.
    pub fn holds(&self) -> bool {
        self.wanted.contains(&self.value.as_str())
    }
}

#[derive(QueryableByName)]
struct Line {
    #[diesel(sql_type = Text)]
    line: String,
}

/// A setting with its name, the query for it, what it may be, and why.
type Wanted = (&'static str, &'static str, &'static [&'static str], &'static str);

const SQLITE: &[Wanted] = &[
    (
        "journal_mode",
        "SELECT journal_mode AS line FROM pragma_journal_mode",
        &["wal"],
        "readers and the writer hold each other up otherwise",
    ),
    (
        "synchronous",
        "SELECT CAST(synchronous AS TEXT) AS line FROM pragma_synchronous",
        &["2", "3"],
        "what was answered could be lost when the power fails",
    ),
    (
        "foreign_keys",
        "SELECT CAST(foreign_keys AS TEXT) AS line FROM pragma_foreign_keys",
        &["1"],
        "rows could refer to what is not there",
    ),
];

const POSTGRES: &[Wanted] = &[
    (
        "fsync",
        "SELECT current_setting('fsync') AS line",
        &["on"],
        "a power failure could destroy the database",
    ),
    (
        "synchronous_commit",
        "SELECT current_setting('synchronous_commit') AS line",
        &["on", "remote_apply", "remote_write"],
        "what was answered could be lost when the server stops",
    ),
    (
        "full_page_writes",
        "SELECT current_setting('full_page_writes') AS line",
        &["on"],
        "a page written by half could not be put right",
    ),
];

/// The settings on which durability hangs, as they are on the connection that writes.
pub fn durability(tx: &mut Tx<'_>, _: &Installation) -> Result<Vec<Durability>, Error> {
    fn seen<C>(
        c: &mut C,
        wanted: &[Wanted],
        ask: impl Fn(&mut C, &str) -> QueryResult<Line>,
    ) -> QueryResult<Vec<Durability>> {
        let each = wanted
            .iter()
            .map(|&(name, sql, wanted, why)| Ok(Durability { name, value: ask(c, sql)?.line, wanted, why }));
        each.collect()
    }
    Ok(tx.by_either(
        |c| seen(c, SQLITE, |c, sql| diesel::sql_query(sql).get_result(c)),
        |c| seen(c, POSTGRES, |c, sql| diesel::sql_query(sql).get_result(c)),
    )?)
}

/// What the database's own clock shows; of SQLite it is this machine's.
pub fn clock(tx: &mut Tx<'_>, _: &Installation) -> Result<DateTime<Utc>, Error> {
    let line: Line = tx.by_either(
        |c| diesel::sql_query("SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now') AS line").get_result(c),
        |c| {
            let now = "SELECT to_char(clock_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD\"T\"HH24:MI:SS.MS\"Z\"') AS line";
            diesel::sql_query(now).get_result(c)
        },
    )?;
    line.line.parse().map_err(|e| Error::Other(format!("the database's clock shows {:?}: {e}", line.line)))
}
