//! Migrations: the same steps on both databases, each of which can be gone back on and taken again with rows in
//! every table, and which lead to the same shape.

use std::fs;
use std::path::PathBuf;

use diesel::connection::SimpleConnection as _;
use diesel::prelude::*;
use diesel::sql_types::Text;
use diesel::{PgConnection, SqliteConnection};
use diesel_migrations::{FileBasedMigrations, MigrationHarness as _};

use crate::support::database::{Backend, TestDatabase, on_both};

/// Every row of every table, as text.
pub(crate) fn contents(database: &TestDatabase) -> Vec<String> {
    Raw::open(database).content()
}

/// A connection that knows nothing of the program's own ways into the database.
enum Raw {
    Sqlite(SqliteConnection),
    Postgres(PgConnection),
}

#[derive(QueryableByName)]
struct Line {
    #[diesel(sql_type = Text)]
    line: String,
}

/// Both connections offer the same, by types that differ.
macro_rules! each {
    ($raw:expr, $c:ident => $done:expr) => {
        match $raw {
            Raw::Sqlite($c) => $done,
            Raw::Postgres($c) => $done,
        }
    };
}

impl Raw {
    fn open(database: &TestDatabase) -> Self {
        match database.backend {
            Backend::Sqlite => {
                let path = database.url.trim_start_matches("sqlite:");
                let mut c = SqliteConnection::establish(path).unwrap();
                c.batch_execute("PRAGMA foreign_keys = ON").unwrap();
                Self::Sqlite(c)
            }
            Backend::Postgres => Self::Postgres(PgConnection::establish(&database.url).unwrap()),
        }
    }

    fn run(&mut self, sql: &str) {
        each!(self, c => c.batch_execute(sql)).unwrap_or_else(|e| panic!("{sql}: {e}"));
    }

    /// The column `line` of what `sql` finds.
    fn lines(&mut self, sql: &str) -> Vec<String> {
        let found: QueryResult<Vec<Line>> = each!(self, c => diesel::sql_query(sql).load(c));
        found.unwrap_or_else(|e| panic!("{sql}: {e}")).into_iter().map(|row| row.line).collect()
    }

    /// Takes the next step that the folder holds.
    fn up(&mut self, steps: &FileBasedMigrations) {
        let done = each!(self, c => c.run_next_migration(steps.clone()).map(drop).map_err(|e| e.to_string()));
        done.unwrap_or_else(|e| panic!("up: {e}"));
    }

    /// Goes back on the last step that was taken.
    fn down(&mut self, steps: &FileBasedMigrations) {
        let done =
            each!(self, c => c.revert_last_migration(steps.clone()).map(drop).map_err(|e| e.to_string()));
        done.unwrap_or_else(|e| panic!("down: {e}"));
    }

    /// The columns of all tables, tables in the order in which they were made.
    fn columns(&mut self) -> Vec<Column> {
        let sql = match self {
            Self::Sqlite(_) => COLUMNS_SQLITE,
            Self::Postgres(_) => COLUMNS_POSTGRES,
        };
        self.lines(sql).iter().map(|line| Column::read(line)).collect()
    }

    /// Columns, keys, references and indexes, each as a line that says the same on both databases.
    fn shape(&mut self) -> Vec<String> {
        let (keys, references, searches) = match self {
            Self::Sqlite(_) => (KEYS_SQLITE, REFERENCES_SQLITE, SEARCHES_SQLITE),
            Self::Postgres(_) => (KEYS_POSTGRES, REFERENCES_POSTGRES, SEARCHES_POSTGRES),
        };
        let mut shape: Vec<String> = self.columns().iter().map(Column::line).collect();
        shape.extend(self.lines(keys));
        shape.extend(self.lines(references));
        shape.extend(self.lines(searches));
        shape.sort();
        shape
    }

    /// Puts two rows into each table that has none: one with a value in every column, one with as few as allowed.
    /// Every row refers to the row of its own sort, so that all references hold.
    fn fill(&mut self) {
        let columns = self.columns();
        for of_table in columns.chunk_by(|a, b| a.table == b.table) {
            let table = &of_table[0].table;
            if !self.rows(of_table).is_empty() {
                continue;
            }
            let names: Vec<&str> = of_table.iter().map(|column| column.name.as_str()).collect();
            for (sort, sparse) in [(1, false), (2, true)] {
                let values: Vec<String> = of_table.iter().map(|column| column.value(sort, sparse)).collect();
                self.run(&format!(
                    "INSERT INTO {table} ({}) VALUES ({})",
                    names.join(", "),
                    values.join(", ")
                ));
            }
        }
    }

    /// What the given columns of one table hold.
    fn rows(&mut self, columns: &[Column]) -> Vec<String> {
        let texts: Vec<String> = columns
            .iter()
            .map(|column| match self {
                Self::Sqlite(_) => format!("quote({})", column.name),
                Self::Postgres(_) => format!("coalesce(quote_literal({}::text), 'NULL')", column.name),
            })
            .collect();
        let table = &columns[0].table;
        self.lines(&format!("SELECT {} AS line FROM {table} ORDER BY line", texts.join(" || ', ' || ")))
            .into_iter()
            .map(|row| format!("{table}: {row}"))
            .collect()
    }

    /// What all tables hold.
    fn content(&mut self) -> Vec<String> {
        let columns = self.columns();
        self.rows_of(&columns)
    }

    /// What these columns of all tables hold.
    fn rows_of(&mut self, columns: &[Column]) -> Vec<String> {
        columns.chunk_by(|a, b| a.table == b.table).flat_map(|of_table| self.rows(of_table)).collect()
    }
}

/// A column as the database describes it.
struct Column {
    table: String,
    name: String,
    kind: String,
    required: bool,
}

impl Column {
    fn read(line: &str) -> Self {
        let parts: Vec<&str> = line.split('|').collect();
        let [table, name, kind, required] = parts[..] else { panic!("not a column: {line}") };
        Self {
            table: table.into(),
            name: name.into(),
            kind: kind.into(),
            required: matches!(required, "1" | "true"),
        }
    }

    /// The same on both databases. SQLite has no types of its own for uuid and day; text on PostgreSQL must be
    /// compared by its bytes, as SQLite does.
    fn line(&self) -> String {
        let kind = match self.kind.as_str() {
            "uuid" | "bytea" => "BLOB",
            "text C" | "date" => "TEXT",
            "bigint" => "BIGINT",
            "integer" => "INTEGER",
            "boolean" => "BOOLEAN",
            "double precision" => "REAL",
            other => other,
        };
        format!("{}.{} {kind}{}", self.table, self.name, if self.required { " NOT NULL" } else { "" })
    }

    /// A value for the row of a sort, as SQL.
    fn value(&self, sort: u8, sparse: bool) -> String {
        if sparse && !self.required {
            return "NULL".into();
        }
        match self.kind.as_str() {
            "uuid" => format!("'00000000-0000-7000-8000-{sort:012}'"),
            "bytea" => format!("'\\x{sort:02x}'"),
            "BLOB" => format!("X'{sort:032x}'"),
            "text C" | "date" | "TEXT" => format!("'2026-03-{sort:02}'"),
            "boolean" | "BOOLEAN" => "TRUE".into(),
            _ => sort.to_string(),
        }
    }
}

/// Table, column, type, whether it must have a value.
const COLUMNS_SQLITE: &str = "
    SELECT m.name || '|' || c.name || '|' || c.type || '|' || c.\"notnull\" AS line
    FROM sqlite_schema m JOIN pragma_table_info(m.name) c
    WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite\\_%' ESCAPE '\\' AND m.name <> '__diesel_schema_migrations'
        AND m.name NOT LIKE '%\\_search%' ESCAPE '\\'
    ORDER BY m.rowid, c.cid";

const COLUMNS_POSTGRES: &str = "
    SELECT t.relname || '|' || c.attname || '|' || format_type(c.atttypid, c.atttypmod)
        || coalesce(' ' || (SELECT collname FROM pg_collation l WHERE l.oid = nullif(c.attcollation, 0)), '')
        || '|' || c.attnotnull AS line
    FROM pg_class t JOIN pg_attribute c ON c.attrelid = t.oid
    WHERE t.relnamespace = 'public'::regnamespace AND t.relkind = 'r' AND c.attnum > 0 AND NOT c.attisdropped
        AND t.relname <> '__diesel_schema_migrations'
    ORDER BY t.oid, c.attnum";

/// Primary keys, unique constraints and indexes; those that a constraint brought with it have no name of their own.
const KEYS_SQLITE: &str = "
    SELECT m.name || CASE i.origin WHEN 'pk' THEN ' PRIMARY KEY' WHEN 'u' THEN ' UNIQUE'
            ELSE CASE i.\"unique\" WHEN 1 THEN ' UNIQUE INDEX ' ELSE ' INDEX ' END || i.name END
        || ' (' || (SELECT group_concat(c.name, ', ' ORDER BY c.seqno) FROM pragma_index_info(i.name) c) || ')'
        || coalesce((SELECT substr(s.sql, instr(s.sql, ' WHERE ')) FROM sqlite_schema s
            WHERE s.name = i.name AND i.partial), '') AS line
    FROM sqlite_schema m JOIN pragma_index_list(m.name) i
    WHERE m.type = 'table' AND m.name <> '__diesel_schema_migrations' AND m.name NOT LIKE '%\\_search%' ESCAPE '\\'";

const KEYS_POSTGRES: &str = "
    SELECT t.relname || CASE WHEN k.contype = 'p' THEN ' PRIMARY KEY' WHEN k.contype = 'u' THEN ' UNIQUE'
            ELSE CASE WHEN i.indisunique THEN ' UNIQUE INDEX ' ELSE ' INDEX ' END || n.relname END
        || ' (' || (SELECT string_agg(c.attname, ', ' ORDER BY p.place)
            FROM unnest(i.indkey::int2[]) WITH ORDINALITY p (attnum, place)
            JOIN pg_attribute c ON c.attrelid = t.oid AND c.attnum = p.attnum) || ')'
        || coalesce(' WHERE ' || trim(BOTH '()' FROM pg_get_expr(i.indpred, i.indrelid)), '') AS line
    FROM pg_index i JOIN pg_class n ON n.oid = i.indexrelid JOIN pg_class t ON t.oid = i.indrelid
    LEFT JOIN pg_constraint k ON k.conindid = n.oid AND k.contype IN ('p', 'u')
    WHERE t.relnamespace = 'public'::regnamespace AND t.relname <> '__diesel_schema_migrations'
        AND n.relname NOT LIKE '%\\_search'";

/// Which columns refer to which table.
const REFERENCES_SQLITE: &str = "
    SELECT m.name || ' (' || group_concat(f.\"from\", ', ' ORDER BY f.seq) || ') REFERENCES ' || f.\"table\"
        || ' (' || group_concat(f.\"to\", ', ' ORDER BY f.seq) || ')' AS line
    FROM sqlite_schema m JOIN pragma_foreign_key_list(m.name) f
    WHERE m.type = 'table' GROUP BY m.name, f.id, f.\"table\"";

const REFERENCES_POSTGRES: &str = "
    SELECT t.relname || ' (' || string_agg(c.attname, ', ' ORDER BY p.place) || ') REFERENCES ' || o.relname
        || ' (' || string_agg(d.attname, ', ' ORDER BY p.place) || ')' AS line
    FROM pg_constraint k JOIN pg_class t ON t.oid = k.conrelid JOIN pg_class o ON o.oid = k.confrelid
    CROSS JOIN unnest(k.conkey, k.confkey) WITH ORDINALITY p (ours, theirs, place)
    JOIN pg_attribute c ON c.attrelid = t.oid AND c.attnum = p.ours
    JOIN pg_attribute d ON d.attrelid = o.oid AND d.attnum = p.theirs
    WHERE k.contype = 'f' GROUP BY k.oid, t.relname, o.relname";

/// What people search for is found by an index of each database's own kind: on SQLite a table with its shadows.
const SEARCHES_SQLITE: &str =
    "SELECT name || ' SEARCH' AS line FROM sqlite_schema WHERE sql LIKE 'CREATE VIRTUAL TABLE%'";

const SEARCHES_POSTGRES: &str =
    "SELECT indexname || ' SEARCH' AS line FROM pg_indexes WHERE indexdef LIKE '%USING gin%'";

/// The folder that holds one database's steps.
fn folder(backend: Backend) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("migrations").join(match backend {
        Backend::Sqlite => "sqlite",
        Backend::Postgres => "postgres",
    })
}

/// The names of one database's steps, in order.
fn names(backend: Backend) -> Vec<String> {
    let entries = fs::read_dir(folder(backend)).unwrap();
    let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn both_databases_take_the_same_steps_in_the_same_order() {
    assert!(!names(Backend::Sqlite).is_empty());
    assert_eq!(names(Backend::Sqlite), names(Backend::Postgres));
    let mut stamps: Vec<String> =
        names(Backend::Sqlite).iter().filter_map(|name| Some(name.split_once('_')?.0.to_owned())).collect();
    stamps.dedup();
    assert_eq!(stamps.len(), names(Backend::Sqlite).len(), "two steps with one stamp have no order");
}

#[test]
fn both_databases_have_the_same_shape() {
    let [sqlite, postgres] = [Backend::Sqlite, Backend::Postgres].map(|backend| {
        let database = TestDatabase::new(backend);
        Raw::open(&database).shape()
    });
    let differ = |a: &[String], b: &[String]| -> Vec<String> {
        a.iter().filter(|line| !b.contains(line)).cloned().collect()
    };
    assert!(sqlite.iter().any(|line| line == "vehicles.vin TEXT"), "{sqlite:#?}");
    assert_eq!(differ(&sqlite, &postgres), differ(&postgres, &sqlite), "only on SQLite, only on PostgreSQL");
    assert_eq!(sqlite, postgres);
}

/// Columns that a step takes away for good, each with the step: what stood there is worked out anew from the rest when it is
/// next wanted, so that going back on the step loses nothing that anybody entered.
const TAKEN_AWAY: [(&str, &str, &str); 1] = [("2026-11-26-002000_large_imports", "dues", "body")];

on_both!(each_step_goes_up_down_and_up_with_rows_in_every_table);

fn each_step_goes_up_down_and_up_with_rows_in_every_table(backend: Backend) {
    let database = TestDatabase::empty(backend);
    let steps = FileBasedMigrations::from_path(folder(backend)).unwrap();
    let mut raw = Raw::open(&database);
    let names = names(backend);
    for name in &names {
        let kept = |raw: &mut Raw| {
            let columns = raw.columns();
            let taken = |one: &Column| TAKEN_AWAY.contains(&(name, &one.table, &one.name));
            let mut kept: Vec<Column> = columns.into_iter().filter(|one| !taken(one)).collect();
            // A table that was made anew, and its columns, may stand elsewhere.
            kept.sort_by(|one, other| (&one.table, &one.name).cmp(&(&other.table, &other.name)));
            raw.rows_of(&kept)
        };
        let (shape, content) = (raw.shape(), kept(&mut raw));
        raw.up(&steps);
        let shape_after = raw.shape();
        assert_ne!(shape_after, shape, "{name}: up changes nothing");
        raw.fill();
        raw.down(&steps);
        assert_eq!(raw.shape(), shape, "{name}: down does not undo up");
        assert_eq!(kept(&mut raw), content, "{name}: down changes rows that were there before");
        raw.up(&steps);
        assert_eq!(raw.shape(), shape_after, "{name}: up after down leads elsewhere");
        raw.fill();
    }
    assert!(raw.content().len() >= 2 * 20, "few rows in the tables: {:#?}", raw.content());
    assert_eq!(
        lustrum::db::migrate(&database.url).unwrap(),
        Vec::<String>::new(),
        "the program was built with other steps than the folder holds"
    );
    for _ in &names {
        raw.down(&steps);
    }
    assert_eq!(raw.shape(), Vec::<String>::new());
}
