//! What the desk had to do about the vehicle, beside what was reported.

use chrono::NaiveDateTime;

use super::{fitted, settled};
use crate::core::words::TaskKind;
use crate::documents::paper::{Column, Paper};
use crate::documents::short;
use crate::language::said;

/// A task. All times are local.
#[derive(Debug, Clone)]
pub struct TaskOnPaper {
    /// What was to be done.
    pub kind: TaskKind,
    /// The same in words, in English.
    pub text: String,
    /// Since when.
    pub at: NaiveDateTime,
    /// When and by whom it was settled.
    pub settled: Option<(NaiveDateTime, String)>,
}

/// Tells of the tasks, oldest first, if there are any.
pub(super) fn tell(paper: &mut Paper, tasks: &[TaskOnPaper]) {
    if tasks.is_empty() {
        return;
    }
    let language = paper.language;
    paper.section(language.word("dispute-tasks"));
    let columns = vec![
        Column::fitting(language.word("job-when")),
        Column::wide(language.word("history-what"), 2),
        Column::english(language.word("job-note"), 4),
        Column::wide(language.word("history-state"), 3),
    ];
    let row = |one: &TaskOnPaper| {
        vec![
            short(language, one.at),
            language.say("dispute-task-kind", &said!["kind" => one.kind.as_str()]),
            fitted(&one.text, 36),
            settled(language, one.settled.as_ref()),
        ]
    };
    paper.table(columns, tasks.iter().map(row).collect());
}
