//! PDF files, read by libraries that did not write them (`read_pdf.py`).

use serde_json::{Value, json};

use super::python::read_by;

/// What a PDF claims and holds.
pub(crate) fn read_pdf(pdf: &[u8]) -> Value {
    read_by("tests/support/read_pdf.py", pdf)
}

/// The text of a PDF in reading order, blanks and ends of lines alike, words that were parted at the end of a line whole.
pub(crate) fn text_of(read: &Value) -> String {
    let pages: Vec<&str> =
        read["text"].as_array().unwrap().iter().map(|page| page.as_str().unwrap()).collect();
    let all = pages.join("\n");
    // A hyphen at the end of a line is one of these to the reader.
    let mut parts = all.split(['\u{2}', '\u{ad}', '\u{fffe}']);
    let first = parts.next().unwrap_or_default().to_owned();
    let whole = parts.fold(first, |whole, part| whole + part.trim_start());
    whole.split_whitespace().collect::<Vec<_>>().join(" ")
}

const PDFA: &str = "{http://www.aiim.org/pdfa/ns/id/}";
const PDFUA: &str = "{http://www.aiim.org/pdfua/ns/id/}part";

/// Whether a PDF says that it is PDF/A-2a and PDF/UA-1.
pub(crate) fn claims(read: &Value) -> bool {
    let said = &read["metadata"];
    let all = (&said[format!("{PDFA}part")], &said[format!("{PDFA}conformance")], &said[PDFUA]);
    assert!(
        all == (&json!("2"), &json!("A"), &json!("1")) || all == (&json!(null), &json!(null), &json!(null)),
        "half a claim: {all:?}"
    );
    all.0 != &json!(null)
}

/// Holds a PDF to what it claims, as far as ISO 19005-2 and ISO 14289-1 can be checked by reading: language, title, every
/// font within, an output intent, nothing drawn outside of the structure, every figure with a text, headings in steps,
/// tables with heads, and nothing that runs.
pub(crate) fn holds_what_it_claims(read: &Value, language: &str) {
    assert!(claims(read), "{:#}", read["metadata"]);
    assert_eq!(read["version"], "1.7");
    assert_eq!((&read["marked"], &read["shows_title"]), (&json!(true), &json!(true)));
    assert_eq!(read["language"], language);
    assert_eq!(read["metadata"]["{http://purl.org/dc/elements/1.1/}language"], format!("{{'{language}'}}"));
    let title = &read["metadata"]["{http://purl.org/dc/elements/1.1/}title"];
    assert!(!title.as_str().unwrap().is_empty());
    assert_eq!(read["info"]["/Title"], *title, "both say the same");
    assert_eq!(read["intents"], json!(["GTS_PDFA1"]));
    assert_eq!((&read["scripts"], &read["encrypted"]), (&json!(false), &json!(false)));
    let fonts = read["fonts"].as_object().unwrap();
    assert!(!fonts.is_empty() && fonts.values().all(|within| within == true), "{fonts:?}");
    assert_eq!(read["unmarked"], 0, "something is drawn outside of the structure");
    assert!(read["tab_orders"].as_array().unwrap().iter().all(|order| order == "S"));
    let elements = read["structure"].as_array().unwrap();
    let kinds: Vec<&str> = elements.iter().map(|element| element["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds[0], "Document");
    for element in elements.iter().filter(|element| element["kind"] == "Figure") {
        assert!(element["alt"].as_str().is_some_and(|alt| !alt.is_empty()), "a figure without a text");
    }
    let mut last = 0;
    for kind in &kinds {
        if let Some(level) = kind.strip_prefix('H').and_then(|level| level.parse::<u32>().ok()) {
            assert!(level <= last + 1, "H{level} after H{last}");
            last = level;
        }
    }
    let count = |kind: &str| kinds.iter().filter(|one| **one == kind).count();
    assert_eq!(count("Table"), count("THead"), "every table has a head");
}

/// Keeps a document or a picture where somebody can look at it: in the folder that LUSTRUM_TEST_PAPERS names, if it does.
pub(crate) fn kept(name: &str, bytes: &[u8]) {
    if let Ok(folder) = std::env::var("LUSTRUM_TEST_PAPERS") {
        let ending = if name.contains(".svg") { ".svg" } else { ".pdf" };
        let name = name.trim_start_matches("/v1/").replace(['/', '?'], "-").replace(ending, "");
        std::fs::write(std::path::Path::new(&folder).join(name + ending), bytes).unwrap();
    }
}
