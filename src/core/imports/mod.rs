//! Importing what a shop already has: files of customers, vehicles, past jobs, past services and what else happened to
//! vehicles, read as people keep them in spreadsheets, and written so that they can be read back.
//!
//! [`File::open`] finds out how a file is written (encoding, delimiter, which column is which, which way round its days
//! are); the rows of each kind are then read by its own file with every fault of every row, each with line, column and
//! value. [`write`] writes rows; what it writes, this reads back the same.

pub mod customers;
pub mod events;
pub mod jobs;
pub mod services;
pub mod vehicles;
pub mod write;

mod cells;
mod columns;
mod days;
mod decode;
mod lists;
mod odometer;
mod spellings;
mod table;
mod whole;

pub(crate) use cells::line_of;
pub use cells::{Faults, Row, Rows};
pub use columns::{Column, Mapped};
pub use days::DayOrder;
pub(crate) use days::{Evidence, Written, written};
pub use decode::Encoding;
pub(crate) use decode::decode;
pub use odometer::{OdometerSaid, VehicleSaid};
pub(crate) use table::reader;
pub use table::{File, Layout};

use crate::core::error::Fault;
use crate::core::ids::Digest;
use crate::core::record::canonical;
use crate::core::words::words;

words! {
    /// What a file is about.
    Kind, "kind of import" {
        Customers = "customers",
        Vehicles = "vehicles",
        /// Past jobs with their warranties.
        Jobs = "jobs",
        /// Past services on vehicles.
        Services = "services",
        /// What else happened to vehicles: readings, sales, repairs, breaches, and what was granted of dues.
        Events = "events",
    }
}

words! {
    /// How rows are written.
    Format, "format" {
        Csv = "csv",
        /// JSON Lines: an object a line, with the names of the columns.
        Jsonl = "jsonl",
    }
}

/// The most rows that a file may have.
pub const MOST_ROWS: usize = 500_000;

/// The most faults that are listed; the rest are counted.
pub const MOST_FAULTS: usize = 50_000;

/// The longest own key of a row, in characters.
pub const LONGEST_REF: usize = 200;

/// A row as it was said, with what it is known by.
#[derive(Debug, Clone, PartialEq)]
pub struct Said<T> {
    /// Its place among the rows, from 0 on.
    pub index: usize,
    /// The line on which it begins, from 1 on.
    pub line: u64,
    /// The row's own key: what the file calls it, else made of what it says.
    pub key: String,
    /// Whether the file gave the key.
    pub named: bool,
    /// Of what it says, so that a row that says something else under the same key is told.
    pub digest: Digest,
    /// What it says.
    pub said: T,
}

/// What a row of some kind says.
pub trait Kept: Sized + Clone + serde::Serialize {
    /// The kind.
    const KIND: Kind;

    /// Reads a row; None where it had faults, which are told to the row.
    fn read(row: &mut Row<'_, '_>) -> Option<Self>;

    /// What it says, column by column, as it is written; columns about which it says nothing are left out.
    fn cells(&self) -> Vec<(Column, String)>;
}

/// Reads all rows of a file, with the key of each. Faults are told to `faults`.
pub fn rows<T: Kept>(file: &File<'_>, faults: &mut Faults) -> Vec<Said<T>> {
    let mut said = Vec::new();
    let mut seen = std::collections::HashMap::new();
    let mut rows = Rows::of(file);
    while let Some(mut row) = rows.next(faults) {
        let name = row.text_of(Column::Ref, LONGEST_REF);
        let (index, line) = (row.index(), row.line());
        let Some(what) = T::read(&mut row) else { continue };
        let digest = match canonical(&what) {
            Ok(bytes) => Digest::of(&bytes),
            Err(fault) => {
                row.fault(Column::Ref, fault.code, fault.detail);
                continue;
            }
        };
        let named = name.is_some();
        let key = name.unwrap_or_else(|| format!("row:{digest}"));
        if let Some(first) = seen.insert(key.clone(), line) {
            if named {
                row.fault(Column::Ref, "ref_twice", format!("{key:?} is the row on line {first} already"));
            } else {
                let detail = format!("it says the same as line {first}; if both happened, give each a `ref`");
                row.fault_of_row("row_twice", detail);
            }
            seen.insert(key, first);
            continue;
        }
        said.push(Said { index, line, key, named, digest, said: what });
    }
    said
}

/// A fault of a file as a whole.
pub(crate) fn of_file(code: &'static str, detail: impl Into<String>) -> Fault {
    Fault::new("", code, detail)
}
