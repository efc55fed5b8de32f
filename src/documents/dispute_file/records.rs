//! The records about a vehicle, and how the shop's log stood when the file was put together.

use chrono::NaiveDateTime;

use crate::core::ids::Digest;
use crate::documents::paper::{Block, Column, Paper};
use crate::language::said;

/// A record.
#[derive(Debug, Clone)]
pub struct RecordOnPaper {
    /// Its place.
    pub seq: i64,
    /// What kind of document it is.
    pub kind: String,
    /// What it is about: a job or a warranty by its number, a visit by its day, terms by their edition, or the vehicle.
    pub about: String,
    /// When it was kept; local.
    pub at: NaiveDateTime,
    /// SHA-256 of what it says.
    pub digest: Digest,
}

/// The shop's log of records as it stood.
#[derive(Debug, Clone, Copy)]
pub struct LogOnPaper {
    /// How many records it held.
    pub records: usize,
    /// The head of the Merkle tree over all of them (RFC 9162 §2.1.1).
    pub head: Digest,
}

/// Tells of the records in the order of the log, and of the log.
pub(super) fn tell(paper: &mut Paper, records: &[RecordOnPaper], log: LogOnPaper) {
    let language = paper.language;
    paper.section(language.word("dispute-records"));
    paper.text(language.word("dispute-records-lead"));
    let columns = vec![
        Column::figures(language.word("dispute-seq")),
        Column::fitting(language.word("job-when")),
        Column::wide(language.word("dispute-document"), 3),
        Column::fitting("SHA-256"),
    ];
    let row = |record: &RecordOnPaper| {
        vec![
            record.seq.to_string(),
            record.at.format("%Y-%m-%d %H:%M").to_string(),
            format!("{} ({})", record.kind.replace('_', " "), record.about),
            record.digest.to_string(),
        ]
    };
    let rows = records.iter().map(row).collect();
    paper.add(Block::Table { small: true, columns, rows });
    paper.text(language.say("dispute-log", &said!["count" => log.records]));
    paper.facts(vec![(language.word("dispute-log-head"), log.head.to_string())]);
}
