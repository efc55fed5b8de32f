//! Taking what a shop had before from its files: customers, vehicles, past jobs with their warranties, past services, and
//! what else happened to vehicles.
//!
//! A file is read and judged whole before anything is written; then all of it is written in one transaction, so that
//! nothing is half done whatever happens. Each row is remembered by its key (what the file calls it, else made of what
//! it says): a file imported again, in whatever order, adds what is new and nothing twice.

mod catalogue;
mod customers;
mod events;
mod jobs;
mod ledger;
mod people;
mod readings;
mod sales;
mod services;
mod vehicles;

use std::collections::HashMap;
use std::sync::Arc;

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::exports::Told;
use super::jobs::RecordPlace;
use super::records::Document;
use super::{App, Database, Error, Who};
use crate::core::access::Action;
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::Digest;
use crate::core::imports::{
    Column, DayOrder, Encoding, Faults, File, Format, Kept, Kind, Layout, Mapped, Said, rows,
};
use crate::core::record::canonical;
use crate::core::words::RecordKind;
use crate::db::imports::{self, ImportedRow};
use crate::db::{Conn, Tx};

pub(crate) use ledger::{Edition, Shelf};
pub(crate) use people::{Owners, Vehicles};

/// What a file is, and how it is to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// What it is about.
    pub kind: Kind,
    /// Which way round days with slashes are, where the file does not decide it.
    pub days: Option<DayOrder>,
}

/// Rows that are looked at together.
const AT_A_TIME: usize = 500;

/// How a file was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ReadAs {
    /// How its rows are written.
    pub format: Format,
    /// How its text is encoded.
    pub encoding: Encoding,
    /// What stands between cells; null in JSON Lines.
    pub delimiter: Option<char>,
    /// Which way round days with slashes are.
    pub days: DayOrder,
    /// What each header was taken for.
    pub mapping: Vec<Mapped>,
    /// Headers that mean nothing to this kind; what stands under them was left alone.
    pub unused: Vec<String>,
}

/// A file that was imported.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Imported {
    /// What it is about.
    pub kind: Kind,
    /// How many rows it has.
    pub rows: usize,
    /// How many of them were new.
    pub added: usize,
    /// How many had been imported before and say the same still.
    pub unchanged: usize,
    /// How it was read.
    pub read_as: ReadAs,
    /// The record of it; null where nothing was new.
    pub record: Option<RecordPlace>,
}

/// What the rows of an import have in common.
struct Scene {
    app: App,
    who: Who,
    now: DateTime<Utc>,
    layout: Layout,
}

impl Scene {
    /// A fault of the cell in a column of a row that was read.
    fn fault<T: Kept>(
        &self,
        said: &Said<T>,
        column: Column,
        code: &'static str,
        detail: impl Into<String>,
    ) -> Fault {
        self.layout.fault(said, column, code, detail.into())
    }
}

/// A kind of row that can be taken in.
trait Taken: Told + Send + Sync + 'static {
    /// What the database makes of the rows.
    type Checked;

    /// Holds new rows against what the shop has; faults are told.
    fn check(
        conn: &mut Conn,
        scene: &Scene,
        new: &[&Said<Self>],
        faults: &mut Faults,
    ) -> Result<Self::Checked, Error>;

    /// Writes rows that were checked in this transaction; answers what each became, in the order of the rows.
    fn write(
        tx: &mut Tx<'_>,
        scene: &Scene,
        new: &[&Said<Self>],
        checked: Self::Checked,
    ) -> Result<Vec<Uuid>, Error>;
}

/// Takes a file in: all of it, or, where anything is wrong with it, nothing. With `validate_only` nothing is written,
/// and None is answered where all of it would be taken.
///
/// Refused with every fault of every row: by line, column and value, each under a pointer as `/rows/17/email`.
pub fn take(
    app: &App,
    who: &Who,
    bytes: &[u8],
    asked: Asked,
    validate_only: bool,
) -> Result<Option<Imported>, Error> {
    who.must(Action::Import)?;
    let file = File::open(bytes, asked.kind, asked.days).map_err(|faults| {
        let all = faults.len();
        refused(None, 0, Faults { listed: faults, all })
    })?;
    let digest = Digest::of(bytes);
    match asked.kind {
        Kind::Customers => {
            run::<crate::core::imports::customers::Customer>(app, who, &file, digest, validate_only)
        }
        Kind::Vehicles => {
            run::<crate::core::imports::vehicles::Vehicle>(app, who, &file, digest, validate_only)
        }
        Kind::Jobs => run::<crate::core::imports::jobs::Job>(app, who, &file, digest, validate_only),
        Kind::Services => {
            run::<crate::core::imports::services::Service>(app, who, &file, digest, validate_only)
        }
        Kind::Events => run::<crate::core::imports::events::Event>(app, who, &file, digest, validate_only),
    }
}

fn run<T: Taken>(
    app: &App,
    who: &Who,
    file: &File<'_>,
    digest: Digest,
    validate_only: bool,
) -> Result<Option<Imported>, Error> {
    let mut faults = Faults::default();
    let said = rows::<T>(file, &mut faults);
    let scene = Scene { app: app.clone(), who: who.clone(), now: app.now(), layout: file.layout() };
    let read_as = ReadAs {
        format: file.format,
        encoding: file.encoding,
        delimiter: file.delimiter,
        days: file.days,
        mapping: file.mapping(),
        unused: file.unused(),
    };
    app.db.read(|c| {
        c.by_indices()?;
        let new = unknown(c, &scene, &said, &mut faults)?;
        T::check(c, &scene, &new, &mut faults).map(drop)
    })?;
    if faults.all > 0 {
        return Err(refused(Some(&read_as), said.len(), faults));
    }
    if validate_only {
        return Ok(None);
    }
    let said = Arc::new(said);
    app.db.write(move |tx| write(tx, &scene, &said, read_as, digest)).map(Some)
}

/// Writes what is new; looks again at all that it relies on.
fn write<T: Taken>(
    tx: &mut Tx<'_>,
    scene: &Scene,
    said: &[Said<T>],
    read_as: ReadAs,
    digest: Digest,
) -> Result<Imported, Error> {
    let shop = scene.who.shop;
    tx.by_indices()?;
    imports::lock(tx, &shop)?;
    let mut faults = Faults::default();
    let new = unknown(tx, scene, said, &mut faults)?;
    let checked = T::check(tx, scene, &new, &mut faults)?;
    if faults.all > 0 {
        return Err(refused(Some(&read_as), said.len(), faults));
    }
    let (rows, added) = (said.len(), new.len());
    let mut imported =
        Imported { kind: T::KIND, rows, added, unchanged: rows - added, read_as, record: None };
    if new.is_empty() {
        return Ok(imported);
    }
    let became = T::write(tx, scene, &new, checked)?;
    let keys: Vec<(String, Digest, Uuid)> =
        new.iter().zip(became).map(|(said, subject)| (said.key.clone(), said.digest, subject)).collect();
    imports::add_all(tx, &shop, T::KIND, scene.now, &keys)?;
    let body = json!({
        "import": {"kind": T::KIND, "file": digest, "rows": rows, "added": added, "unchanged": rows - added},
    });
    let kept = Document::new(RecordKind::Import, format!("shop:{}", shop.id()), &body)?
        .keep(tx, &scene.who, scene.now)?;
    imported.record = Some(RecordPlace { seq: kept.seq, digest: kept.digest });
    Ok(imported)
}

/// The rows that were not imported before. One that says something else than it did is told, not taken.
fn unknown<'s, T: Taken>(
    conn: &mut Conn,
    scene: &Scene,
    said: &'s [Said<T>],
    faults: &mut Faults,
) -> Result<Vec<&'s Said<T>>, Error> {
    let known: HashMap<String, ImportedRow> = imports::known(conn, &scene.who.shop, T::KIND)?;
    // A key can also be the id of something that is here, as exports tell it.
    let subject = |row: &Said<T>| match known.get(&row.key) {
        Some(before) => (before.digest != row.digest).then_some(before.subject),
        None => row.key.parse::<Uuid>().ok(),
    };
    let unclear: Vec<Uuid> = said.iter().filter_map(subject).collect();
    let mut there = HashMap::new();
    if !unclear.is_empty() {
        let around = T::around(conn, &scene.who)?;
        for some in unclear.chunks(AT_A_TIME) {
            for (id, told) in T::told(conn, &scene.who, &around, some)? {
                there.insert(id, digest_of(&told)?);
            }
        }
    }
    let mut new = Vec::new();
    for row in said {
        let before = known.get(&row.key);
        let is = subject(row).and_then(|subject| there.get(&subject));
        if before.is_none() && is.is_none() {
            new.push(row);
        } else if before.is_some_and(|before| before.digest == row.digest) || is == Some(&row.digest) {
            // As it was imported, or as it is told now.
        } else {
            let when =
                before.map_or_else(String::new, |before| format!(" since {}", scene.who.day(before.at)));
            let detail = format!(
                "{:?} is here already{when} and says something else: put it right where it is, or give this row a key \
                 of its own",
                row.key
            );
            faults.push(scene.fault(row, Column::Ref, "changed", detail));
        }
    }
    Ok(new)
}

/// What rows are compared by.
fn digest_of<T: Kept>(said: &T) -> Result<Digest, Error> {
    let bytes = canonical(said).map_err(|fault| Database::Other(fault.detail))?;
    Ok(Digest::of(&bytes))
}

/// The refusal with all faults, in the order of the file.
fn refused(read_as: Option<&ReadAs>, rows: usize, mut faults: Faults) -> Error {
    faults.listed.sort_by_key(|fault| fault.cell.as_ref().map_or(0, |cell| cell.line));
    let mut detail = match (faults.listed.as_slice(), faults.all) {
        ([one], 1) => one.detail.clone(),
        (listed, all) => {
            let mut lines: Vec<u64> =
                listed.iter().filter_map(|fault| Some(fault.cell.as_ref()?.line)).collect();
            lines.dedup();
            format!(
                "{all} faults; lines with faults: {}, rows without: {rows}; nothing was taken",
                lines.len()
            )
        }
    };
    if faults.all > faults.listed.len() {
        detail.push_str(&format!("; the first {} are listed", faults.listed.len()));
    }
    let mut more = Map::new();
    if let Some(read_as) = read_as.and_then(|read_as| serde_json::to_value(read_as).ok()) {
        more.insert("read_as".into(), read_as);
    }
    Rule::Refused { code: "rule_broken", detail, faults: faults.listed, more }.into()
}

/// What the record of something imported says of where it came from.
fn came_from<T: Kept>(said: &Said<T>) -> Value {
    json!({"kind": T::KIND, "ref": said.named.then_some(&said.key), "digest": said.digest})
}
