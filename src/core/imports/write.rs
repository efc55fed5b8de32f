//! Rows as files: CSV (RFC 4180, comma, UTF-8) and JSON Lines, the same bytes for the same rows.

use serde_json::{Map, Value};

use super::columns::Column;
use super::{Format, Kept, Kind};

/// What a spreadsheet takes for the beginning of a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A cell that no spreadsheet takes for a formula: an apostrophe stands before whatever begins as one, and before what
/// begins with apostrophes and then as one, so that [`told`] gives back every text.
///
/// ```
/// use lustrum::core::imports::write::{safe, told};
/// assert_eq!(safe("+351 210 000 417"), "'+351 210 000 417");
/// assert_eq!(told(&safe("'=A1")), "'=A1");
/// assert_eq!(safe("'twas"), "'twas");
/// ```
pub fn safe(text: &str) -> String {
    if text.trim_start_matches('\'').starts_with(FORMULA) { format!("'{text}") } else { text.to_owned() }
}

/// What a cell says, without the apostrophe that keeps it from being a formula.
pub fn told(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.trim_start_matches('\'').starts_with(FORMULA) => rest,
        _ => cell,
    }
}

/// The first line of a file of this kind; JSON Lines have none.
pub fn head(kind: Kind, format: Format) -> String {
    match format {
        Format::Csv => line(Column::written(kind).iter().map(|column| column.as_str())),
        Format::Jsonl => String::new(),
    }
}

/// A row as a line.
pub fn row<T: Kept>(key: &str, said: &T, format: Format) -> String {
    let mut cells = said.cells();
    cells.push((Column::Ref, key.to_owned()));
    let of = |column: Column| cells.iter().find(|(of, _)| *of == column).map(|(_, text)| text.as_str());
    let columns = Column::written(T::KIND);
    match format {
        Format::Csv => {
            let texts: Vec<String> =
                columns.iter().map(|column| safe(of(*column).unwrap_or_default())).collect();
            line(texts.iter().map(String::as_str))
        }
        Format::Jsonl => {
            let member = |column: &Column| Some((column.to_string(), Value::from(of(*column)?)));
            let mut line =
                Value::Object(columns.iter().filter_map(member).collect::<Map<_, _>>()).to_string();
            line.push('\n');
            line
        }
    }
}

/// Cells with commas between them, quoted where they have to be.
fn line<'c>(cells: impl Iterator<Item = &'c str>) -> String {
    let mut line = String::new();
    for (i, cell) in cells.enumerate() {
        if i > 0 {
            line.push(',');
        }
        if cell.contains([',', '"', '\n', '\r']) {
            line.push('"');
            line.push_str(&cell.replace('"', "\"\""));
            line.push('"');
        } else {
            line.push_str(cell);
        }
    }
    line.push_str("\r\n");
    line
}
