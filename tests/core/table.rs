//! Tables of check values: comma-separated, quoted where a value has a comma.

use std::collections::HashMap;

/// The rows of a table by column name.
pub(crate) fn rows(text: &str) -> Vec<HashMap<String, String>> {
    let mut lines = text.lines().map(cells);
    let names = lines.next().unwrap();
    lines
        .map(|cells| {
            assert_eq!(cells.len(), names.len(), "{cells:?}");
            names.iter().cloned().zip(cells).collect()
        })
        .collect()
}

fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.trim_end_matches('\r').chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            c => cells.last_mut().unwrap().push(c),
        }
    }
    cells
}
