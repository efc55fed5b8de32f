//! A file as a table: how it is written is found out from the file itself.

use std::borrow::Cow;

use super::columns::{self, Column, Mapped};
use super::days::DayOrder;
use super::decode::{Encoding, decode};
use super::{Format, Kept, Kind, MOST_ROWS, Rows, Said, of_file};
use crate::core::error::{Cell, Fault};

/// The delimiters that are looked for, likeliest first.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// A file that was found to be a table of some kind, its rows not yet read.
#[derive(Debug)]
pub struct File<'b> {
    /// What it is about.
    pub kind: Kind,
    /// How its rows are written.
    pub format: Format,
    /// How its text is encoded.
    pub encoding: Encoding,
    /// What stands between cells; none in JSON Lines.
    pub delimiter: Option<char>,
    /// Which way round its days with slashes are.
    pub days: DayOrder,
    pub(super) text: Cow<'b, str>,
    /// Where the text of the table begins, and how many lines lie before.
    pub(super) begins: (usize, u64),
    pub(super) header: Vec<String>,
    pub(super) columns: Vec<Option<Column>>,
}

impl<'b> File<'b> {
    /// Finds out how a file of this kind is written. `days` decides where days with slashes could be two.
    ///
    /// Refused, each thing that is: bytes that are no text, no header, a column twice or missing, days that nothing
    /// decides, too many rows.
    pub fn open(bytes: &'b [u8], kind: Kind, days: Option<DayOrder>) -> Result<Self, Vec<Fault>> {
        let (encoding, text) = decode(bytes).map_err(|fault| vec![fault])?;
        let format = if text.trim_start().starts_with('{') { Format::Jsonl } else { Format::Csv };
        let mut file = Self {
            kind,
            format,
            encoding,
            delimiter: None,
            days: days.unwrap_or(DayOrder::DayFirst),
            text,
            begins: (0, 0),
            header: Vec::new(),
            columns: Vec::new(),
        };
        match format {
            Format::Csv => file.find_header()?,
            Format::Jsonl => {
                file.columns = Column::of(kind).iter().copied().map(Some).collect();
                file.header = Column::of(kind).iter().map(ToString::to_string).collect();
            }
        }
        let (evidence, rows) = Rows::of(&file).look();
        if rows > MOST_ROWS {
            let detail = format!("{rows} rows; a file has at most {MOST_ROWS}: make it several");
            return Err(vec![of_file("too_many_rows", detail)]);
        }
        file.days = evidence.order(days).map_err(|fault| vec![fault])?;
        Ok(file)
    }

    fn find_header(&mut self) -> Result<(), Vec<Fault>> {
        let first = self.text.lines().next().unwrap_or_default();
        let said =
            first.trim().to_ascii_lowercase().strip_prefix("sep=").and_then(|rest| rest.bytes().next());
        let said = said.filter(|delimiter| DELIMITERS.contains(delimiter));
        if said.is_some() {
            // Some spreadsheets say in a line before the header what they put between cells.
            self.begins = (self.text.find('\n').map_or(self.text.len(), |end| end + 1), 1);
        }
        let table = &self.text[self.begins.0..];
        let header = |delimiter: u8| -> Vec<String> {
            let mut reader = reader(table, delimiter);
            let first = reader.records().find_map(Result::ok).unwrap_or_default();
            first.iter().map(|name| name.trim().to_owned()).collect()
        };
        let known = |header: &[String]| columns::mapping(self.kind, header).iter().flatten().count();
        let tried = DELIMITERS.iter().filter(|delimiter| said.is_none_or(|said| said == **delimiter));
        let found = tried.map(|delimiter| (*delimiter, header(*delimiter)));
        // Of several that make out as many columns the likelier one.
        let best = found.fold(None, |best: Option<(u8, Vec<String>)>, next| match best {
            Some(best) if (known(&best.1), best.1.len()) >= (known(&next.1), next.1.len()) => Some(best),
            _ => Some(next),
        });
        let Some((delimiter, header)) = best.filter(|(_, header)| known(header) > 0) else {
            let known =
                Column::of(self.kind).iter().map(|column| column.as_str()).collect::<Vec<_>>().join(", ");
            let detail = format!("the first line names no column of {}; known are {known}", self.kind);
            return Err(vec![of_file("no_header", detail)]);
        };
        self.columns = columns::mapping(self.kind, &header);
        let faults = columns::faults(self.kind, &header, &self.columns);
        if !faults.is_empty() {
            return Err(faults);
        }
        self.delimiter = Some(delimiter.into());
        self.header = header;
        Ok(())
    }

    /// What faults that are found later need to know of the file.
    pub fn layout(&self) -> Layout {
        Layout { header: self.header.clone(), columns: self.columns.clone() }
    }

    /// What each header was taken for.
    pub fn mapping(&self) -> Vec<Mapped> {
        let pairs = self.header.iter().zip(&self.columns);
        pairs
            .filter_map(|(header, column)| Some(Mapped { header: header.clone(), column: (*column)? }))
            .collect()
    }

    /// The headers that mean nothing to this kind; what stands under them is left alone.
    pub fn unused(&self) -> Vec<String> {
        let pairs = self.header.iter().zip(&self.columns);
        pairs
            .filter(|(header, column)| column.is_none() && !header.is_empty())
            .map(|(header, _)| header.clone())
            .collect()
    }
}

/// What faults that are found after reading need to know of a file.
#[derive(Debug, Clone, Default)]
pub struct Layout {
    header: Vec<String>,
    columns: Vec<Option<Column>>,
}

impl Layout {
    /// A fault of the cell in a column of a row that was read.
    pub fn fault<T: Kept>(
        &self,
        said: &Said<T>,
        column: Column,
        code: &'static str,
        detail: String,
    ) -> Fault {
        let place = self.columns.iter().position(|of| *of == Some(column));
        let header = place.map_or_else(|| column.to_string(), |place| self.header[place].clone());
        let value = match column {
            Column::Ref => said.named.then(|| said.key.clone()),
            _ => said.said.cells().into_iter().find(|(of, _)| *of == column).map(|(_, text)| text),
        };
        let mut fault = Fault::new(format!("/rows/{}/{column}", said.index), code, detail);
        fault.cell = Some(Box::new(Cell { line: said.line, column: Some(header), value }));
        fault
    }
}

/// Reads records as they come, whatever their length.
pub(crate) fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}
