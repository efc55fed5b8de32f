//! Who had the vehicle when.

use chrono::NaiveDate;

use crate::core::words::CustomerKind;
use crate::documents::paper::{Column, Paper};
use crate::language::said;

/// Somebody who has or had the vehicle.
#[derive(Debug, Clone)]
pub struct OwnerOnPaper {
    /// Their name.
    pub name: String,
    /// Owner, or a dealer's stock.
    pub kind: CustomerKind,
    /// From this day on.
    pub from: NaiveDate,
    /// Until this day; none: still.
    pub until: Option<NaiveDate>,
}

/// Tells of the owners, the first first.
pub(super) fn tell(paper: &mut Paper, owners: &[OwnerOnPaper]) {
    let language = paper.language;
    paper.section(language.word("dispute-owners"));
    let columns = vec![
        Column::wide(language.word("job-line-name"), 4),
        Column::wide(language.word("dispute-owner"), 2),
        Column::wide(language.word("history-from"), 3),
        Column::wide(language.word("dispute-owner-until"), 3),
    ];
    let row = |one: &OwnerOnPaper| {
        vec![
            one.name.clone(),
            language.say("dispute-owner-kind", &said!["kind" => one.kind.as_str()]),
            language.date(one.from.into()),
            one.until.map_or_else(String::new, |day| language.date(day.into())),
        ]
    };
    paper.table(columns, owners.iter().map(row).collect());
}
