//! What a climate logger wrote: a table of readings, in whatever way it writes.
//!
//! [`LoggerFile::open`] finds out how it is written: encoding, delimiter, which column is which, in which unit and zone,
//! which way round its days are. [`LoggerFile::readings`] reads all rows, with every fault of every row at line and column.

use std::borrow::Cow;

use chrono::{DateTime, FixedOffset, Utc};
use chrono_tz::Tz;

use super::ClimateReading;
use super::columns::{LoggerColumn, Meant, Unit, mapping};
use super::stamps::{self, Stamp};
use crate::core::calendar::Moment;
use crate::core::error::{Cell, Fault};
use crate::core::imports::{DayOrder, Encoding, Evidence, Faults, decode, line_of, reader};

/// The delimiters that are looked for, likeliest first.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// How many lines may stand before the header: loggers like to say who they are.
const MOST_BEFORE: usize = 40;

/// The most rows of one file.
pub const MOST_ROWS: usize = 200_000;

/// How a file of a logger is to be read, where the file itself leaves it open.
#[derive(Debug, Clone, Copy)]
pub struct Given<'g> {
    /// The zone of stamps that say none.
    pub zone: Tz,
    /// Which way round days with slashes are; the file decides unless given.
    pub days: Option<DayOrder>,
    /// Where it was read, of rows that do not say it.
    pub place: Option<&'g str>,
    /// The present instant, after which nothing was read yet.
    pub now: DateTime<Utc>,
}

/// A file of a logger whose rows are not yet read.
#[derive(Debug)]
pub struct LoggerFile<'b> {
    /// How its text is encoded.
    pub encoding: Encoding,
    /// What stands between cells.
    pub delimiter: char,
    /// Which way round its days with slashes are.
    pub days: DayOrder,
    /// Whether its numbers have a decimal comma.
    pub decimal_comma: bool,
    /// The headers, in order.
    pub header: Vec<String>,
    /// What each of them means; none: nothing to us.
    pub columns: Vec<Option<Meant>>,
    /// The offset from UTC that its header says.
    pub offset: Option<FixedOffset>,
    text: Cow<'b, str>,
    /// Where the table begins, and how many lines lie before.
    begins: (usize, u64),
}

/// A column by what it is looked up.
type Places = [Option<usize>; LoggerColumn::ALL.len()];

impl<'b> LoggerFile<'b> {
    /// Finds out how a file is written.
    ///
    /// Refused, each thing that is: bytes that are no text, no header, a column twice or missing, days that nothing
    /// decides, too many rows.
    ///
    /// ```
    /// use lustrum::core::climate::logger::{Given, LoggerFile};
    /// let given = Given { zone: chrono_tz::Europe::Berlin, days: None, place: None, now: chrono::DateTime::UNIX_EPOCH };
    /// let given = Given { now: "2026-03-10T08:00:00Z".parse().unwrap(), ..given };
    /// let table = "Zeit;Temperatur (°C);rel. Feuchte (%)\n09.03.2026 09:30;20,5;48\n";
    /// let file = LoggerFile::open(table.as_bytes(), &given).unwrap();
    /// let reading = &file.readings(&given).unwrap()[0];
    /// assert_eq!((reading.air_c, reading.rh_pct), (20.5, 48.0));
    /// assert_eq!(reading.at.0.to_rfc3339(), "2026-03-09T08:30:00+00:00");
    /// ```
    pub fn open(bytes: &'b [u8], given: &Given<'_>) -> Result<Self, Vec<Fault>> {
        let (encoding, text) = decode(bytes).map_err(|fault| vec![fault])?;
        let mut file = Self {
            encoding,
            delimiter: ',',
            days: given.days.unwrap_or(DayOrder::DayFirst),
            decimal_comma: false,
            header: Vec::new(),
            columns: Vec::new(),
            offset: None,
            text,
            begins: (0, 0),
        };
        file.find_header()?;
        file.look(given.days)?;
        Ok(file)
    }

    /// The header is the first line that names a stamp and a temperature.
    fn find_header(&mut self) -> Result<(), Vec<Fault>> {
        use LoggerColumn as C;

        let (mut place, mut best) = (0, None::<(usize, usize, u64, u8, Vec<String>)>);
        for (n, line) in (0..).zip(self.text.split_inclusive('\n').take(MOST_BEFORE)) {
            for delimiter in DELIMITERS {
                let mut reader = reader(line, delimiter);
                let Some(Ok(record)) = reader.records().next() else { continue };
                let header: Vec<String> = record.iter().map(|name| name.trim().to_owned()).collect();
                let known = mapping(&header).iter().flatten().count();
                if known >= 2 && best.as_ref().is_none_or(|(most, ..)| known > *most) {
                    best = Some((known, place, n, delimiter, header));
                }
            }
            place += line.len();
        }
        let Some((_, place, line, delimiter, header)) = best else {
            let detail = "no line names the columns: a stamp (date and time) and a temperature are needed, in English, \
                          German, Spanish, French or Portuguese";
            return Err(vec![Fault::new("", "no_header", detail)]);
        };
        let columns = mapping(&header);
        let mut faults = Vec::new();
        for (i, meant) in columns.iter().enumerate() {
            let Some(meant) = meant else { continue };
            let first = columns[..i]
                .iter()
                .position(|one| one.as_ref().is_some_and(|one| one.column == meant.column));
            if let Some(first) = first {
                let detail =
                    format!("the headers {:?} and {:?} both mean {}", header[first], header[i], meant.column);
                faults.push(Fault::new("", "column_twice", detail));
            }
        }
        for one_of in [&[C::At, C::Date, C::Time][..], &[C::AirC], &[C::RhPct]] {
            let there = |column: &C| columns.iter().flatten().any(|meant| meant.column == *column);
            if !one_of.iter().any(there) {
                let names = one_of.iter().map(|column| column.as_str()).collect::<Vec<_>>().join(" or ");
                let detail = format!("no column is {names}; the headers are {}", header.join(", "));
                faults.push(Fault::new("", "column_missing", detail));
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        self.offset = columns.iter().flatten().find_map(|meant| meant.offset);
        self.begins = (place, line);
        self.delimiter = delimiter.into();
        (self.header, self.columns) = (header, columns);
        Ok(())
    }

    fn places(&self) -> Places {
        LoggerColumn::ALL
            .iter()
            .map(|column| {
                self.columns.iter().position(|of| of.as_ref().is_some_and(|of| of.column == *column))
            })
            .collect::<Vec<_>>()
            .try_into()
            .unwrap_or([None; LoggerColumn::ALL.len()])
    }

    fn records(&self) -> csv::Reader<&[u8]> {
        let mut rows = reader(&self.text[self.begins.0..], u8::try_from(self.delimiter).unwrap_or(b','));
        // The header, which has been read.
        let _ = rows.read_record(&mut csv::StringRecord::new());
        rows
    }

    /// Looks at all rows once: which way round days are, how numbers are written, how many there are.
    fn look(&mut self, asked: Option<DayOrder>) -> Result<(), Vec<Fault>> {
        let places = self.places();
        let (mut evidence, mut rows, mut commas) = (Evidence::default(), 0_usize, false);
        let mut record = csv::StringRecord::new();
        let mut reader = self.records();
        while reader.read_record(&mut record).unwrap_or(false) {
            rows += 1;
            for column in [LoggerColumn::At, LoggerColumn::Date, LoggerColumn::Time] {
                if let Some(day) =
                    cell(&record, &places, column).and_then(|text| text.split([' ', 'T']).next())
                {
                    evidence.hears(rows as u64 + self.begins.1 + 1, &stamps::usual(day));
                }
            }
            commas |= cell(&record, &places, LoggerColumn::AirC).is_some_and(|text| text.contains(','));
        }
        if rows > MOST_ROWS {
            let detail = format!("{rows} rows; a file has at most {MOST_ROWS}: make it several");
            return Err(vec![Fault::new("", "too_many_rows", detail)]);
        }
        self.days = evidence.order(asked).map_err(|fault| vec![fault])?;
        self.decimal_comma = commas;
        Ok(())
    }

    /// All readings in the order of the file, or every fault of every row.
    pub fn readings(&self, given: &Given<'_>) -> Result<Vec<ClimateReading>, Faults> {
        let (mut readings, mut faults) = (Vec::new(), Faults::default());
        let places = self.places();
        let text = &self.text[self.begins.0..];
        let mut record = csv::StringRecord::new();
        let mut rows = self.records();
        let (mut index, mut last) = (0, None);
        while rows.read_record(&mut record).unwrap_or(false) {
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            let mut row =
                Row { file: self, record: &record, places: &places, index, text, faults: &mut faults };
            index += 1;
            if let Some(reading) = row.read(given, last) {
                last = Some(reading.at.0);
                readings.push(reading);
            }
        }
        if faults.all > 0 { Err(faults) } else { Ok(readings) }
    }
}

/// What stands in a column, without blanks at its ends; nothing where it is empty.
fn cell<'r>(record: &'r csv::StringRecord, places: &Places, column: LoggerColumn) -> Option<&'r str> {
    let text = record.get(places[column as usize]?)?.trim();
    (!text.is_empty()).then_some(text)
}

/// A row that is being read.
struct Row<'r> {
    file: &'r LoggerFile<'r>,
    record: &'r csv::StringRecord,
    places: &'r Places,
    index: usize,
    text: &'r str,
    faults: &'r mut Faults,
}

impl Row<'_> {
    fn fault(&mut self, column: Option<LoggerColumn>, code: &'static str, detail: String) {
        let place = column.and_then(|column| self.places[column as usize]);
        let pointer = match column {
            Some(column) => format!("/rows/{}/{column}", self.index),
            None => format!("/rows/{}", self.index),
        };
        let mut fault = Fault::new(pointer, code, detail);
        fault.cell = Some(Box::new(Cell {
            line: line_of(self.record, self.text) + self.file.begins.1,
            column: place.map(|place| self.file.header[place].clone()),
            value: place.and_then(|place| self.record.get(place)).map(str::to_owned),
        }));
        self.faults.push(fault);
    }

    /// The reading of the row; none where it had faults, each of which is told.
    fn read(&mut self, given: &Given<'_>, last: Option<DateTime<Utc>>) -> Option<ClimateReading> {
        let (cells, wanted) = (self.record.len(), self.file.header.len());
        if cells != wanted {
            let detail = format!("the row has {cells} cells, the header {wanted}; is a quote missing?");
            self.fault(None, "cell_count", detail);
            return None;
        }
        let at = self.stamp(given, last);
        let air_c = self.number(LoggerColumn::AirC, -45.0, 60.0, true);
        let rh_pct = self.number(LoggerColumn::RhPct, 0.0, 100.0, true);
        let surface_c = self.number(LoggerColumn::SurfaceC, -45.0, 120.0, false);
        let place = cell(self.record, self.places, LoggerColumn::Place).or(given.place);
        if let Some(long) = place.map(|place| place.chars().count()).filter(|length| *length > 60) {
            let detail = format!("{long} characters; allowed are 1 to 60");
            self.fault(Some(LoggerColumn::Place), "too_long", detail);
            return None;
        }
        let place = place.map(str::to_owned);
        Some(ClimateReading {
            at: Moment(at?),
            air_c: air_c??,
            rh_pct: rh_pct??,
            surface_c: surface_c?,
            place,
        })
    }

    /// The instant of the row.
    fn stamp(&mut self, given: &Given<'_>, last: Option<DateTime<Utc>>) -> Option<DateTime<Utc>> {
        let of = |column| cell(self.record, self.places, column);
        let (column, text) = match (of(LoggerColumn::At), of(LoggerColumn::Date), of(LoggerColumn::Time)) {
            (Some(at), ..) => (LoggerColumn::At, Cow::Borrowed(at)),
            (None, Some(date), Some(time)) => (LoggerColumn::Date, Cow::Owned(format!("{date} {time}"))),
            (None, Some(date), None) => (LoggerColumn::Date, Cow::Borrowed(date)),
            (None, None, Some(time)) => (LoggerColumn::Time, Cow::Borrowed(time)),
            (None, None, None) => {
                self.fault(self.stamp_column(), "missing", "a stamp is needed: date and time".to_owned());
                return None;
            }
        };
        let stamp = Stamp::read(&text, self.file.days);
        let at = stamp.and_then(|stamp| stamp.instant(self.file.offset, given.zone, last));
        match at {
            Ok(at) if at > given.now => {
                let detail =
                    format!("{at} lies after now, {}: is the logger's clock, or its zone, right?", given.now);
                self.fault(Some(column), "in_the_future", detail);
                None
            }
            Ok(at) => Some(at),
            Err((code, detail)) => {
                self.fault(Some(column), code, detail);
                None
            }
        }
    }

    fn stamp_column(&self) -> Option<LoggerColumn> {
        let stamps = [LoggerColumn::At, LoggerColumn::Date, LoggerColumn::Time];
        stamps.into_iter().find(|column| self.places[*column as usize].is_some())
    }

    /// A number within a range in °C or %; none where it is wrong, none within where the cell is empty and may be.
    #[expect(clippy::option_option, reason = "wrong; empty, as it may be; a number")]
    fn number(&mut self, column: LoggerColumn, from: f64, to: f64, needed: bool) -> Option<Option<f64>> {
        let Some(text) = cell(self.record, self.places, column) else {
            if needed {
                self.fault(Some(column), "missing", format!("`{column}` is needed here"));
                return None;
            }
            return Some(None);
        };
        let Some(value) = number_of(text) else {
            self.fault(Some(column), "not_a_number", format!("{text:?} is no number, such as 20.5 or 20,5"));
            return None;
        };
        let unit = self.places[column as usize]
            .and_then(|place| self.file.columns[place].as_ref())
            .map(|of| of.unit);
        let value = if unit == Some(Unit::Fahrenheit) { (value - 32.0) / 1.8 } else { value };
        if !(from..=to).contains(&value) {
            self.fault(Some(column), "out_of_range", format!("{value} is not from {from} to {to}"));
            return None;
        }
        Some(Some(value))
    }
}

/// A number with decimal point or comma, perhaps with its unit behind it; no thousands.
fn number_of(text: &str) -> Option<f64> {
    let number =
        text.trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '°' | '%' | ' ' | '\u{a0}'));
    let plain = |text: &str| {
        let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
        let known = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        let begins = digits.starts_with(|c: char| c.is_ascii_digit()) || digits.starts_with('.');
        if known && begins { text.parse::<f64>().ok() } else { None }
    };
    // Spreadsheets and typists write a true minus sign now and then.
    let number = if number.starts_with('\u{2212}') {
        Cow::Owned(number.replacen('\u{2212}', "-", 1))
    } else {
        Cow::Borrowed(number)
    };
    match number.find(',') {
        None => plain(&number),
        Some(_) if number.contains('.') => None,
        Some(place) => {
            let mut text = number.into_owned();
            text.replace_range(place..=place, ".");
            plain(&text)
        }
    }
}
