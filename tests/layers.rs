//! Holds the house up: arrows of import run downwards only, and what a layer must not know it does not mention.
//!
//! The check reads `src/` as text: comments, strings and `#[cfg(test)]` modules are blanked, the paths in what is
//! left (with `use` trees unfolded) are held against the rules below. It is a reader of this house's own style, not
//! of all of Rust; the tests at the end show that each rule can fail.

mod reading;

use std::fmt;
use std::fs;
use std::path::Path;

use reading::{Mention, mentions, without_comments_and_strings, without_test_modules};

/// What each room of the house may import from the crate besides itself.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("core", &[]),
    ("clock", &["core"]),
    ("config", &["core"]),
    ("db", &["core"]),
    ("files", &["core"]),
    ("language", &["core"]),
    ("documents", &["core", "language"]),
    ("mail", &["core", "language"]),
    ("app", &["core", "config", "clock", "db", "documents", "files", "language", "mail"]),
    ("jobs", &["core", "config", "documents", "mail", "app"]),
    ("http", &["core", "config", "documents", "language", "mail", "app"]),
    ("commands", &["core", "config", "clock", "documents", "language", "mail", "app", "jobs", "http"]),
    ("main", &["config", "clock", "commands"]),
];

/// The crates that `core` may use: they compute or describe values, and reach for nothing.
const PURE_CRATES: &[&str] = &[
    "serde",
    "serde_json",
    "serde_json_canonicalizer",
    "serde_path_to_error",
    "chrono",
    "chrono_tz",
    "base64",
    "csv",
    "ed25519_dalek",
    "encoding_rs",
    "image",
    "palette",
    "sha2",
    "statrs",
    "unicode_normalization",
    "utoipa",
    "uuid",
];

const CLOCK: &str = "time is an argument: only the clock asks the machine";
const CHANCE: &str = "chance is an argument: only app and http draw it";
const SQL: &str = "only db knows SQL";
const TEXTS: &str = "only language knows how texts are kept and dates are written";
const TWO: &str = "only db/backend.rs knows that there are two databases";

/// Paths that only some rooms (or files) may mention: a part of the path, the places, and the rule.
const RESERVED: &[(&[&str], &[&str], &str)] = &[
    (&["Utc", "now"], &["clock"], CLOCK),
    (&["SystemTime"], &["clock"], CLOCK),
    (&["Local"], &[], "the machine's own time zone means nothing here"),
    (
        &["Clock", "System"],
        &["main", "commands", "app", "clock"],
        "the clock is chosen where the program starts",
    ),
    (&["now_v7"], &["app"], "identifiers are made by app"),
    (&["new_v7"], &["app"], "identifiers are made by app"),
    (&["new_v4"], &["app", "http"], CHANCE),
    (&["getrandom"], &["app", "http"], CHANCE),
    (&["rand"], &[], "chance comes from getrandom"),
    (&["thread_rng"], &[], "chance comes from getrandom"),
    (&["diesel"], &["db"], SQL),
    (&["diesel_migrations"], &["db"], SQL),
    (&["diesel", "pg"], &["db/backend.rs", "db/types.rs"], TWO),
    (&["diesel", "sqlite"], &["db/backend.rs", "db/types.rs"], TWO),
    (&["PgConnection"], &["db/backend.rs"], TWO),
    (&["SqliteConnection"], &["db/backend.rs"], TWO),
    (&["MultiConnection"], &["db/backend.rs"], TWO),
    (&["Multi", "Pg"], &["db/backend.rs"], TWO),
    (&["Multi", "Sqlite"], &["db/backend.rs"], TWO),
    (&["actix_web"], &["http", "commands"], "only http speaks HTTP"),
    (&["lettre"], &["mail"], "only mail speaks SMTP"),
    (&["fluent_bundle"], &["language"], TEXTS),
    (&["icu_calendar"], &["language"], TEXTS),
    (&["icu_datetime"], &["language"], TEXTS),
    (&["icu_decimal"], &["language"], TEXTS),
    (&["icu_list"], &["language"], TEXTS),
    (&["icu_locale_core"], &["language"], TEXTS),
];

/// Paths of the standard library that `core` must not mention: the world outside.
const OUTSIDE: &[&str] = &["env", "fs", "net", "process", "thread", "os"];

/// Macros that print or give up.
const PRINTING: &[&str] = &["print", "println", "eprint", "eprintln"];
const GIVING_UP: &[&str] = &["todo", "unimplemented", "dbg"];

/// One broken rule.
#[derive(Debug, PartialEq, Eq)]
struct Offence {
    file: String,
    line: usize,
    found: String,
    rule: String,
}

impl fmt::Display for Offence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "src/{}:{}: `{}`: {}", self.file, self.line, self.found, self.rule)
    }
}

/// Holds one file (its path below `src`) against all rules.
fn offences(file: &str, source: &str, dependencies: &[String]) -> Vec<Offence> {
    let code = without_test_modules(&without_comments_and_strings(source));
    let room = room_of(file);
    let mut found = Vec::new();
    for mention in mentions(&code) {
        let mut report = |rule: String| {
            let offence =
                Offence { file: file.into(), line: mention.line, found: mention.path.join("::"), rule };
            if !found.contains(&offence) {
                found.push(offence);
            }
        };
        if let Some(target) = imported_room(file, &mention.path) {
            let allowed = MAY_IMPORT.iter().find(|(name, _)| *name == room).map(|(_, allowed)| *allowed);
            // `lib.rs` is the list of modules: it holds no code that could import.
            if let Some(allowed) = allowed
                && target != room
                && MAY_IMPORT.iter().any(|(name, _)| *name == target)
                && !allowed.contains(&target)
            {
                report(format!("{room} does not import {target}; it may import: {}", allowed.join(", ")));
            }
        }
        for (end, places, why) in RESERVED {
            if contains(&mention.path, end) && !places.iter().any(|place| *place == room || *place == file) {
                report((*why).to_string());
            }
        }
        if room == "core" {
            core_rules(&mention, dependencies, &mut report);
        }
        common_rules(&mention, &mut report);
    }
    found
}

fn core_rules(mention: &Mention, dependencies: &[String], report: &mut impl FnMut(String)) {
    let path = &mention.path;
    let first = path[0].as_str();
    if mention.starts && dependencies.iter().any(|name| name == first) && !PURE_CRATES.contains(&first) {
        report(format!("core uses no crate but {}", PURE_CRATES.join(", ")));
    }
    if first == "std" && path.get(1).is_some_and(|part| OUTSIDE.contains(&part.as_str())) {
        report("core knows nothing of the world outside".into());
    }
    if contains(path, &["time", "Instant"]) || contains(path, &["Instant", "now"]) {
        report(CLOCK.into());
    }
    if mention.next == '!' && PRINTING.contains(&path[path.len() - 1].as_str()) {
        report("core returns values, it does not print".into());
    }
}

fn common_rules(mention: &Mention, report: &mut impl FnMut(String)) {
    let path = &mention.path;
    let last = path[path.len() - 1].as_str();
    let is_call = mention.after_dot || path.len() > 1;
    if is_call && (last == "unwrap" || last == "expect") {
        report("outside tests an error is answered, not a reason to stop".into());
    }
    if mention.next == '!' && GIVING_UP.contains(&last) {
        report("what is not finished is not landed".into());
    }
    if last == "unsafe" {
        report("no unsafe code".into());
    }
}

/// The room that a file belongs to: the folder or file right below `src`.
fn room_of(file: &str) -> &str {
    file.split('/').next().unwrap_or(file).trim_end_matches(".rs")
}

/// The room that a path leads to, when it leads anywhere in this crate: `crate::db::x`, `lustrum::db` (how `main.rs`
/// sees the library), or enough `super`s.
fn imported_room<'a>(file: &'a str, path: &'a [String]) -> Option<&'a str> {
    let supers = path.iter().take_while(|part| *part == "super").count();
    let start = match path[0].as_str() {
        "crate" | "lustrum" => 1,
        "super" if supers >= depth(file) => supers,
        _ => return None,
    };
    path.get(start).map(String::as_str)
}

/// How many `super`s lead from a file's module to the crate's root.
fn depth(file: &str) -> usize {
    let folders = file.matches('/').count();
    if file.ends_with("/mod.rs") { folders } else { folders + 1 }
}

fn contains(path: &[String], part: &[&str]) -> bool {
    path.windows(part.len()).any(|window| window.iter().zip(part).all(|(a, b)| a == b))
}

/// All Rust files below `src`, as (path below `src`, text).
pub(crate) fn sources() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut folders = vec![root.clone()];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let name = path.strip_prefix(&root).unwrap().to_str().unwrap().to_owned();
                found.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// The names of the crates that `Cargo.toml` lists, as they stand in code.
fn dependencies() -> Vec<String> {
    let manifest: toml::Table = include_str!("../Cargo.toml").parse().unwrap();
    manifest["dependencies"].as_table().unwrap().keys().map(|name| name.replace('-', "_")).collect()
}

#[test]
fn arrows_of_import_run_downwards() {
    let sources = sources();
    assert!(sources.iter().any(|(file, _)| file == "core/mod.rs"), "src/core was not found");
    let dependencies = dependencies();
    let found: Vec<String> = sources
        .iter()
        .flat_map(|(file, source)| offences(file, source, &dependencies))
        .map(|offence| offence.to_string())
        .collect();
    assert!(found.is_empty(), "\n{}\n", found.join("\n"));
}

#[test]
fn every_room_has_its_rule() {
    let without: Vec<String> = sources()
        .into_iter()
        .map(|(file, _)| file)
        .filter(|file| file != "lib.rs" && !MAY_IMPORT.iter().any(|(room, _)| *room == room_of(file)))
        .collect();
    assert!(without.is_empty(), "no rule in MAY_IMPORT for {without:?}");
}

/// Each row breaks one rule: file, source, a word of the rule.
const BROKEN: &[(&str, &str, &str)] = &[
    ("core/dues.rs", "use crate::db::Db;", "core does not import db"),
    ("core/assess/mod.rs", "use crate::{core::terms, app::App};", "core does not import app"),
    ("core/assess/cover.rs", "use super::super::super::db::Db;", "core does not import db"),
    ("core/dues.rs", "fn f() { crate::mail::send() }", "core does not import mail"),
    ("db/visits.rs", "use crate::app::App;", "db does not import app"),
    ("app/visits.rs", "use crate::http::error::Problem;", "app does not import http"),
    ("app/mod.rs", "use super::jobs;", "app does not import jobs"),
    ("http/api/visits.rs", "use crate::db;", "http does not import db"),
    ("http/api/photos.rs", "use crate::files::Files;", "http does not import files"),
    ("http/pages/visits.rs", "use crate::db::visits::{self, Row};", "http does not import db"),
    ("jobs/deliver.rs", "use crate :: db :: outbox;", "jobs does not import db"),
    ("jobs/deliver.rs", "use crate::http::x;", "jobs does not import http"),
    ("commands/serve.rs", "use crate::db::Db;", "commands does not import db"),
    ("main.rs", "use lustrum::db::Db;", "main does not import db"),
    ("clock.rs", "use crate::app::App;", "clock does not import app"),
    ("mail/mod.rs", "use crate::config::Config;", "mail does not import config"),
    ("language/figures.rs", "use crate::mail::said::Mail;", "language does not import mail"),
    ("documents/pdf.rs", "use crate::db::records;", "documents does not import db"),
    ("core/dues.rs", "use tokio::task;", "core uses no crate but"),
    ("core/dues.rs", "fn f() { toml::from_str(text) }", "core uses no crate but"),
    ("core/dues.rs", "use std::{collections::BTreeMap, fs};", "world outside"),
    ("core/dues.rs", "fn f() { std::env::var(name) }", "world outside"),
    ("core/dues.rs", "use std::net::TcpStream;", "world outside"),
    ("core/dues.rs", "use std::time::{Duration, Instant};", "only the clock asks the machine"),
    ("core/dues.rs", "use std::time::SystemTime;", "only the clock asks the machine"),
    ("core/dues.rs", "fn f() { Utc::now() }", "only the clock asks the machine"),
    ("db/visits.rs", "fn f() { chrono::Utc::now() }", "only the clock asks the machine"),
    ("app/visits.rs", "fn f() { Utc::now() }", "only the clock asks the machine"),
    ("http/mod.rs", "fn f() { Clock::System }", "where the program starts"),
    ("app/visits.rs", "fn f() { Local::now() }", "own time zone"),
    ("core/ids.rs", "fn f() { uuid::Uuid::now_v7() }", "made by app"),
    ("http/middleware.rs", "fn f() { uuid::Uuid::now_v7() }", "made by app"),
    ("db/keys.rs", "fn f() { Uuid::new_v7(at) }", "made by app"),
    ("core/ids.rs", "fn f() { Uuid::new_v4() }", "chance"),
    ("app/keys.rs", "use rand::Rng;", "chance comes from getrandom"),
    ("db/keys.rs", "fn f() { getrandom::fill(&mut salt) }", "chance"),
    ("core/dues.rs", "fn f() { println!() }", "does not print"),
    ("app/visits.rs", "use diesel::prelude::*;", "only db knows SQL"),
    ("app/visits.rs", "#[diesel(table_name = visits)] struct Row;", "only db knows SQL"),
    ("db/visits.rs", "fn f(c: &mut diesel::PgConnection) {}", "two databases"),
    ("db/visits.rs", "use diesel::{SqliteConnection as S};", "two databases"),
    ("db/visits.rs", "use diesel::{pg::Pg};", "two databases"),
    ("db/visits.rs", "fn f() -> diesel::sqlite::Sqlite {}", "two databases"),
    ("db/visits.rs", "fn f() { match c { Multi::Pg(c) => c, Multi::Sqlite (c) => c } }", "two databases"),
    ("app/visits.rs", "use actix_web::web;", "only http speaks HTTP"),
    ("app/visits.rs", "use lettre::Message;", "only mail speaks SMTP"),
    ("mail/texts.rs", "use icu_list::ListFormatter;", "only language knows"),
    ("app/visits.rs", "fn f() { x\n    .unwrap() }", "an error is answered"),
    ("app/visits.rs", "fn f() { x.expect(\"is there\") }", "an error is answered"),
    ("app/visits.rs", "fn f() { x.map(Option::unwrap) }", "an error is answered"),
    ("app/visits.rs", "fn f() { todo!() }", "not landed"),
    ("app/visits.rs", "fn f() { unsafe { g() } }", "no unsafe code"),
    (
        "app/visits.rs",
        "#[cfg(test)]\nmod tests { fn f() { a.unwrap() } }\nfn g() { b.unwrap() }",
        "is answered",
    ),
    ("app/visits.rs", "const QUOTE: char = '\"'; fn g() { b.unwrap() } // \"", "is answered"),
];

#[test]
fn each_rule_can_fail() {
    let dependencies = dependencies();
    for (file, source, rule) in BROKEN {
        let found = offences(file, source, &dependencies);
        assert!(
            found.iter().any(|offence| offence.rule.contains(rule)),
            "{file} with `{source}` should break \"{rule}\", found {found:?}"
        );
    }
}

#[test]
fn an_offence_is_reported_at_its_line() {
    let source = "//! Visits.\n\n/* two\nlines */ use crate::core::ids;\nuse crate::{\n    core::terms,\n    http::auth,\n};\n";
    let found: Vec<String> = offences("app/visits.rs", source, &[]).iter().map(ToString::to_string).collect();
    assert_eq!(
        found,
        ["src/app/visits.rs:7: `crate::http::auth`: app does not import http; \
             it may import: core, config, clock, db, documents, files, language, mail"]
    );
}

/// Each row is in order, although it looks like an offence.
const IN_ORDER: &[(&str, &str)] = &[
    ("core/dues.rs", "use super::terms::Terms; use crate::core::ids; use std::collections::HashMap;"),
    ("core/assess/cover.rs", "use super::super::terms; use super::dues;"),
    ("core/dues.rs", "//! See crate::db and x.unwrap()\n/* unsafe /* crate::app */ diesel */ fn f() {}"),
    ("core/dues.rs", "fn f<'a>(x: &'a str) -> &'a str { \"crate::db::Db \\\" unsafe\" }"),
    ("core/dues.rs", "fn f() { r#\"use tokio::task; \"unsafe\" \"# }"),
    ("core/dues.rs", "use chrono::{NaiveDate, Utc}; use crate::core::email; fn f(now: DateTime<Utc>) {}"),
    ("core/dues.rs", "#[cfg(test)]\nmod tests { use std::fs; fn f() { x.unwrap(); } }"),
    ("app/visits.rs", "use crate::{clock::Clock, core, db::visits, mail}; fn f() { x.unwrap_or(1) }"),
    ("app/visits.rs", "#[expect(clippy::large_enum_variant)] enum E {}"),
    ("db/backend.rs", "use diesel::{PgConnection, SqliteConnection}; fn f() { Multi::Pg(x) }"),
    ("db/types.rs", "use diesel::{pg::Pg, sqlite::Sqlite}; impl ToSql<Uid, Pg> for Uid {}"),
    ("http/api/jobs.rs", "use super::super::jobs; use crate::http::auth; use crate::app::jobs;"),
    ("jobs/mod.rs", "use std::time::Instant; use crate::{app::App, mail::Mailer};"),
    ("commands/serve.rs", "use crate::{app, http, jobs};"),
    ("main.rs", "use lustrum::commands;"),
    ("clock.rs", "fn f() { Utc::now() }"),
];

#[test]
fn what_is_in_order_passes() {
    let dependencies = dependencies();
    for (file, source) in IN_ORDER {
        let found = offences(file, source, &dependencies);
        assert!(found.is_empty(), "{file} with `{source}`: {found:?}");
    }
}
