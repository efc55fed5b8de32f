//! Rows of a table, read cell by cell, with every fault at its line and column.

use std::borrow::Cow;
use std::str::FromStr;

use serde_json::Value;

use super::columns::Column;
use super::days::{self, Evidence};
use super::table::{File, reader};
use super::write::told;
use super::{Format, MOST_FAULTS};
use crate::core::calendar::Day;
use crate::core::error::{Cell, Fault};
use crate::core::fold::folded;
use crate::core::json;

/// The faults of a file: the first [`MOST_FAULTS`] of them, and how many there are.
#[derive(Debug, Clone, Default)]
pub struct Faults {
    /// What is listed.
    pub listed: Vec<Fault>,
    /// How many there are.
    pub all: usize,
}

impl Faults {
    /// Takes a fault in.
    pub fn push(&mut self, fault: Fault) {
        self.all += 1;
        if self.listed.len() < MOST_FAULTS {
            self.listed.push(fault);
        }
    }
}

/// The rows of a file, one after the other.
pub struct Rows<'f, 'b> {
    file: &'f File<'b>,
    source: Source<'f>,
    next: usize,
}

enum Source<'f> {
    Csv { reader: Box<csv::Reader<&'f [u8]>>, record: csv::StringRecord },
    Jsonl(std::iter::Enumerate<std::str::Lines<'f>>),
}

/// A row as it stands in the file.
struct Raw<'f> {
    line: u64,
    /// Cells in the order of the header.
    cells: Vec<Cow<'f, str>>,
    /// What is wrong with the row as a whole.
    broken: Option<(&'static str, String)>,
}

impl<'f, 'b> Rows<'f, 'b> {
    /// The rows of a file from its first.
    pub fn of(file: &'f File<'b>) -> Self {
        let text = &file.text[file.begins.0..];
        let source = match file.format {
            Format::Csv => {
                let delimiter = file.delimiter.and_then(|c| u8::try_from(c).ok()).unwrap_or(b',');
                let mut reader = Box::new(reader(text, delimiter));
                let mut record = csv::StringRecord::new();
                // The header, which has been read.
                let _ = reader.read_record(&mut record);
                Source::Csv { reader, record }
            }
            Format::Jsonl => Source::Jsonl(text.lines().enumerate()),
        };
        Self { file, source, next: 0 }
    }

    /// The next row that says anything.
    fn raw(&mut self) -> Option<Raw<'f>> {
        loop {
            let raw = match &mut self.source {
                Source::Csv { reader, record } => {
                    if !reader.read_record(record).ok()? {
                        return None;
                    }
                    let line = line_of(record, &self.file.text[self.file.begins.0..]) + self.file.begins.1;
                    let cells: Vec<_> = record.iter().map(|cell| Cow::Owned(cell.to_owned())).collect();
                    let (given, wanted) = (cells.len(), self.file.header.len());
                    let broken = (given != wanted).then(|| {
                        (
                            "cell_count",
                            format!("the row has {given} cells, the header {wanted}; is a quote missing?"),
                        )
                    });
                    Raw { line, cells, broken }
                }
                Source::Jsonl(lines) => {
                    let (i, text) = lines.next()?;
                    if text.trim().is_empty() {
                        continue;
                    }
                    let line = 1 + i as u64;
                    match members(self.file, text) {
                        Ok(cells) => return Some(Raw { line, cells, broken: None }),
                        Err((code, detail)) => {
                            return Some(Raw { line, cells: Vec::new(), broken: Some((code, detail)) });
                        }
                    }
                }
            };
            if raw.cells.iter().any(|cell| !cell.trim().is_empty()) {
                return Some(raw);
            }
        }
    }

    /// Looks at all days, and counts the rows.
    pub(super) fn look(mut self) -> (Evidence, usize) {
        let days: Vec<usize> = (0..self.file.columns.len())
            .filter(|place| self.file.columns[*place].is_some_and(Column::is_day))
            .collect();
        let (mut evidence, mut rows) = (Evidence::default(), 0);
        while let Some(raw) = self.raw() {
            rows += 1;
            for cell in days.iter().filter_map(|place| raw.cells.get(*place)) {
                evidence.hears(raw.line, cell.trim());
            }
        }
        (evidence, rows)
    }

    /// The next row that can be read; those that cannot are told to `faults`.
    pub fn next<'r>(&mut self, faults: &'r mut Faults) -> Option<Row<'r, 'f>> {
        loop {
            let raw = self.raw()?;
            let index = self.next;
            self.next += 1;
            if let Some((code, detail)) = raw.broken {
                faults.push(of_row(index, raw.line, code, detail));
                continue;
            }
            let (header, columns) = (&self.file.header, &self.file.columns);
            return Some(Row {
                index,
                line: raw.line,
                cells: raw.cells,
                header,
                columns,
                days: self.file.days,
                csv: self.file.format == Format::Csv,
                faults,
            });
        }
    }
}

/// The line on which a record begins. Its position is where the reader stood: what ends the line before, and lines with
/// nothing in them, may still lie ahead.
pub(crate) fn line_of(record: &csv::StringRecord, text: &str) -> u64 {
    let Some(position) = record.position() else { return 0 };
    let ahead = usize::try_from(position.byte()).ok().and_then(|byte| text.as_bytes().get(byte..));
    let ends = ahead.unwrap_or_default().iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
    position.line() + ends.filter(|byte| **byte == b'\n').count() as u64
}

/// The cells of an object, in the order of the columns.
fn members<'f>(file: &File<'_>, text: &str) -> Result<Vec<Cow<'f, str>>, (&'static str, String)> {
    let value =
        json::read(text.as_bytes()).and_then(json::object).map_err(|fault| (fault.code, fault.detail))?;
    let mut cells = vec![Cow::Borrowed(""); file.columns.len()];
    for (name, value) in value.as_object().into_iter().flatten() {
        let column = name.parse::<Column>().ok();
        let place = column.and_then(|column| file.columns.iter().position(|of| *of == Some(column)));
        let Some(place) = place else {
            let known = file.header.join(", ");
            return Err(("unknown_member", format!("there is no `{name}` here; known are {known}")));
        };
        cells[place] = match value {
            Value::Null => continue,
            Value::String(text) => Cow::Owned(text.clone()),
            Value::Bool(_) | Value::Number(_) => Cow::Owned(value.to_string()),
            _ => return Err(("wrong_type", format!("`{name}` is a text, a number, true or false"))),
        };
    }
    Ok(cells)
}

fn of_row(index: usize, line: u64, code: &'static str, detail: String) -> Fault {
    let mut fault = Fault::new(format!("/rows/{index}"), code, detail);
    fault.cell = Some(Box::new(Cell { line, column: None, value: None }));
    fault
}

/// A row that is being read.
pub struct Row<'r, 'f> {
    index: usize,
    line: u64,
    cells: Vec<Cow<'f, str>>,
    header: &'f [String],
    columns: &'f [Option<Column>],
    days: days::DayOrder,
    csv: bool,
    faults: &'r mut Faults,
}

impl Row<'_, '_> {
    /// Its place among the rows, from 0 on.
    pub fn index(&self) -> usize {
        self.index
    }

    /// The line on which it begins, from 1 on.
    pub fn line(&self) -> u64 {
        self.line
    }

    /// How many faults have been told so far, to see whether more came.
    pub fn faults(&self) -> usize {
        self.faults.all
    }

    /// Tells a fault of the cell in a column.
    pub fn fault(&mut self, column: Column, code: &'static str, detail: impl Into<String>) {
        let place = self.columns.iter().position(|of| *of == Some(column));
        let mut fault = Fault::new(format!("/rows/{}/{column}", self.index), code, detail);
        fault.cell = Some(Box::new(Cell {
            line: self.line,
            column: Some(place.map_or_else(|| column.to_string(), |place| self.header[place].clone())),
            value: place.and_then(|place| self.cells.get(place)).map(|cell| cell.clone().into_owned()),
        }));
        self.faults.push(fault);
    }

    /// Tells a fault of the row as a whole.
    pub fn fault_of_row(&mut self, code: &'static str, detail: impl Into<String>) {
        self.faults.push(of_row(self.index, self.line, code, detail.into()));
    }

    /// What stands in a column, without blanks at its ends; nothing where it is empty.
    pub fn cell(&self, column: Column) -> Option<String> {
        let place = self.columns.iter().position(|of| *of == Some(column))?;
        let cell = self.cells.get(place)?.trim();
        let text = if self.csv { told(cell).trim() } else { cell };
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// A text of at most so many characters, without control characters other than line breaks and tabs.
    pub fn text_of(&mut self, column: Column, most: usize) -> Option<String> {
        let text = self.cell(column)?.replace("\r\n", "\n");
        let length = text.chars().count();
        if length > most {
            self.fault(column, "too_long", format!("{length} characters; allowed are 1 to {most}"));
            return None;
        }
        if text.contains(|c: char| c.is_control() && c != '\n' && c != '\t') {
            self.fault(column, "control_character", "control characters are not taken");
            return None;
        }
        Some(text)
    }

    /// What stands in a column, where something has to.
    pub fn needed(&mut self, column: Column) -> Option<String> {
        let text = self.cell(column);
        if text.is_none() {
            self.fault(column, "missing", format!("`{column}` is needed here"));
        }
        text
    }

    /// What a text says, read as its type reads it; the fault is told with the column.
    pub fn parsed<T: FromStr<Err = Fault>>(&mut self, column: Column) -> Option<T> {
        let text = self.cell(column)?;
        text.parse().map_err(|fault: Fault| self.fault(column, fault.code, fault.detail)).ok()
    }

    /// One of a set of words; capitals, accents, blanks and hyphens do not matter.
    pub fn word<T: FromStr<Err = Fault>>(&mut self, column: Column) -> Option<T> {
        let text = self.cell(column)?;
        word_of(&text).parse().map_err(|fault: Fault| self.fault(column, fault.code, fault.detail)).ok()
    }

    /// A day.
    pub fn day(&mut self, column: Column) -> Option<Day> {
        let text = self.cell(column)?;
        days::day(&text, self.days).map_err(|detail| self.fault(column, "not_a_day", detail)).ok()
    }

    /// Yes or no, in one of the languages that headers are read in.
    pub fn yes_or_no(&mut self, column: Column) -> Option<bool> {
        let text = self.cell(column)?;
        let said = yes_or_no(&text);
        if said.is_none() {
            self.fault(column, "not_yes_or_no", format!("{text:?} is neither yes nor no"));
        }
        said
    }

    /// A day, or no where there is none: Some(None).
    pub fn day_or_no(&mut self, column: Column) -> Option<Option<Day>> {
        let text = self.cell(column)?;
        if yes_or_no(&text) == Some(false) {
            return Some(None);
        }
        let said = days::day(&text, self.days);
        said.map(Some).map_err(|detail| self.fault(column, "not_a_day", format!("{detail}, or no"))).ok()
    }
}

/// Whether a text says yes or no.
fn yes_or_no(text: &str) -> Option<bool> {
    const YES: &[&str] =
        &["yes", "y", "true", "1", "x", "ja", "j", "wahr", "si", "s", "oui", "o", "vrai", "sim"];
    const NO: &[&str] = &["no", "n", "false", "0", "nein", "falsch", "non", "faux", "nao", "falso"];
    let key = folded(text);
    match (YES.contains(&key.as_str()), NO.contains(&key.as_str())) {
        (true, _) => Some(true),
        (_, true) => Some(false),
        _ => None,
    }
}

/// A text as words of the interface are written.
pub(super) fn word_of(text: &str) -> String {
    folded(text).replace(['-', ' '], "_")
}
