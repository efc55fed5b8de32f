//! Everything of a kind as one file, which an import reads back: the same rows give the same bytes, wherever they are
//! kept.

mod customers;
mod events;
mod jobs;
mod services;
mod vehicles;

use std::collections::HashMap;
use std::io::Write;

use serde::Serialize;
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use super::{App, Database, Error, Who};
use crate::core::access::Action;
use crate::core::ids::Digest;
use crate::core::imports::write::{head, row};
use crate::core::imports::{Format, Kept, Kind};
use crate::db::{Conn, imports};

/// Rows that are loaded together.
const AT_A_TIME: usize = 500;

/// A file that was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Exported {
    /// What it is about.
    pub kind: Kind,
    /// How many rows it has.
    pub rows: usize,
    /// How many bytes.
    pub bytes: u64,
    /// SHA-256 of the bytes.
    pub digest: Digest,
}

/// What is told of things by their keys: what the file that they came from called them, else their ids.
pub(crate) struct Keys(HashMap<Uuid, String>);

impl Keys {
    fn load(conn: &mut Conn, who: &Who, kind: Kind) -> Result<Self, Error> {
        Ok(Self(imports::keys(conn, &who.shop, kind)?))
    }

    fn of(&self, id: impl Into<Uuid>) -> String {
        let id = id.into();
        self.0.get(&id).cloned().unwrap_or_else(|| id.to_string())
    }
}

/// A kind of row that can be told of what the shop has.
pub(crate) trait Told: Kept {
    /// What rows of this kind refer to.
    type Around;

    /// Loads what rows refer to.
    fn around(conn: &mut Conn, who: &Who) -> Result<Self::Around, Error>;

    /// Everything of the kind.
    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error>;

    /// What is to be said of these, as they are now; of what is not the shop's nothing.
    fn told(
        conn: &mut Conn,
        who: &Who,
        around: &Self::Around,
        of: &[Uuid],
    ) -> Result<HashMap<Uuid, Self>, Error>;
}

/// Writes everything of a kind, in the order of the keys.
pub fn write(
    app: &App,
    who: &Who,
    kind: Kind,
    format: Format,
    to: &mut dyn Write,
) -> Result<Exported, Error> {
    who.must(Action::Export)?;
    app.db.read(|c| one(c, who, kind, format, to))
}

/// Writes each kind into a file of its own, which `open` makes: all as they were at one moment.
pub fn write_all(
    app: &App,
    who: &Who,
    format: Format,
    mut open: impl FnMut(Kind) -> std::io::Result<Box<dyn Write>>,
) -> Result<Vec<Exported>, Error> {
    who.must(Action::Export)?;
    app.db.read(|c| {
        let all = Kind::ALL.iter().map(|kind| {
            let mut to = open(*kind).map_err(unwritable)?;
            one(c, who, *kind, format, &mut *to)
        });
        all.collect()
    })
}

fn one(
    conn: &mut Conn,
    who: &Who,
    kind: Kind,
    format: Format,
    to: &mut dyn Write,
) -> Result<Exported, Error> {
    use crate::core::imports;
    match kind {
        Kind::Customers => of_kind::<imports::customers::Customer>(conn, who, format, to),
        Kind::Vehicles => of_kind::<imports::vehicles::Vehicle>(conn, who, format, to),
        Kind::Jobs => of_kind::<imports::jobs::Job>(conn, who, format, to),
        Kind::Services => of_kind::<imports::services::Service>(conn, who, format, to),
        Kind::Events => of_kind::<imports::events::Event>(conn, who, format, to),
    }
}

fn of_kind<T: Told>(
    conn: &mut Conn,
    who: &Who,
    format: Format,
    to: &mut dyn Write,
) -> Result<Exported, Error> {
    let keys = Keys::load(conn, who, T::KIND)?;
    let around = T::around(conn, who)?;
    let mut all: Vec<(String, Uuid)> = T::ids(conn, who)?.into_iter().map(|id| (keys.of(id), id)).collect();
    all.sort_unstable();
    let mut hash = Sha256::new();
    let (mut bytes, mut rows) = (0, 0);
    let mut put = |text: &str| {
        hash.update(text);
        bytes += text.len() as u64;
        to.write_all(text.as_bytes()).map_err(unwritable)
    };
    put(&head(T::KIND, format))?;
    for some in all.chunks(AT_A_TIME) {
        let ids: Vec<Uuid> = some.iter().map(|(_, id)| *id).collect();
        let told = T::told(conn, who, &around, &ids)?;
        for (key, id) in some {
            let Some(said) = told.get(id) else { continue };
            put(&row(key, said, format))?;
            rows += 1;
        }
    }
    to.flush().map_err(unwritable)?;
    Ok(Exported { kind: T::KIND, rows, bytes, digest: Digest::from_bytes(hash.finalize().into()) })
}

fn unwritable(error: std::io::Error) -> Error {
    Database::Other(format!("the file cannot be written: {error}")).into()
}

/// A text as files have it: without blanks at its ends.
fn trimmed(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}
