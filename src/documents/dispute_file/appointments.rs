//! Days that were booked, and what became of them.

use chrono::NaiveDateTime;

use super::entry;
use crate::core::words::AppointmentState;
use crate::documents::paper::{Column, Paper};
use crate::documents::short;
use crate::language::said;

/// An appointment. All times are local.
#[derive(Debug, Clone)]
pub struct AppointmentOnPaper {
    /// When the vehicle was to come.
    pub at: NaiveDateTime,
    /// For which dues, each as `W-… annual #1`.
    pub dues: Vec<String>,
    /// What became of it.
    pub state: AppointmentState,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When and by whom it was booked.
    pub entered: (NaiveDateTime, String),
}

/// Tells of the appointments, the earliest first.
pub(super) fn tell(paper: &mut Paper, appointments: &[AppointmentOnPaper]) {
    let language = paper.language;
    paper.section(language.word("dispute-appointments"));
    let columns = vec![
        Column::fitting(language.word("job-when")),
        Column::wide(language.word("dispute-appointment-for"), 3),
        Column::wide(language.word("history-state"), 2),
        Column::wide(language.word("job-note"), 3),
        Column::wide(language.word("dispute-entered"), 3),
    ];
    let row = |one: &AppointmentOnPaper| {
        vec![
            short(language, one.at),
            one.dues.join("\n"),
            language.say("dispute-appointment-state", &said!["state" => one.state.as_str()]),
            one.note.clone().unwrap_or_default(),
            entry(language, &one.entered),
        ]
    };
    paper.table(columns, appointments.iter().map(row).collect());
}
