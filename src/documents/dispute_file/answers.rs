//! What owners answered when they were asked to come.

use chrono::{NaiveDate, NaiveDateTime};

use super::entry;
use crate::core::words::OwnerAnswer;
use crate::documents::paper::{Column, Paper};
use crate::language::said;

/// An answer. All times are local.
#[derive(Debug, Clone)]
pub struct AnswerOnPaper {
    /// The day.
    pub on: NaiveDate,
    /// About which due, as `W-… annual #1`.
    pub due: String,
    /// What they answered.
    pub answer: OwnerAnswer,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When and by whom it was entered.
    pub entered: (NaiveDateTime, String),
}

/// Tells of the answers, the earliest first.
pub(super) fn tell(paper: &mut Paper, answers: &[AnswerOnPaper]) {
    let language = paper.language;
    paper.section(language.word("dispute-answers"));
    let columns = vec![
        Column::fitting(language.word("history-day")),
        Column::wide(language.word("history-due"), 3),
        Column::wide(language.word("dispute-answer"), 2),
        Column::wide(language.word("job-note"), 3),
        Column::wide(language.word("dispute-entered"), 3),
    ];
    let row = |one: &AnswerOnPaper| {
        vec![
            one.on.to_string(),
            one.due.clone(),
            language.say("dispute-answer-was", &said!["answer" => one.answer.as_str()]),
            one.note.clone().unwrap_or_default(),
            entry(language, &one.entered),
        ]
    };
    paper.table(columns, answers.iter().map(row).collect());
}
