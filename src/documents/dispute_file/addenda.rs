//! What was entered on a job after it was signed off.

use chrono::NaiveDateTime;

use crate::documents::job::{ClimateOnPaper, StepOnPaper};
use crate::documents::paper::{Column, Paper};
use crate::documents::{panels, short};
use crate::language::{Language, said};

/// An addendum. All times are local.
#[derive(Debug, Clone)]
pub struct AddendumOnPaper {
    /// What it says.
    pub says: Vec<Says>,
    /// When and by whom it was entered.
    pub entered: (NaiveDateTime, String),
    /// The place of its record.
    pub seq: i64,
}

/// What an addendum says.
#[derive(Debug, Clone)]
pub enum Says {
    /// Something in words.
    Note(String),
    /// A step that was done.
    Step(StepOnPaper),
    /// A climate reading that was taken.
    Climate(ClimateOnPaper),
}

/// Tells of the addenda of a job, in the order in which they were entered, if there are any.
pub(super) fn tell(paper: &mut Paper, addenda: &[AddendumOnPaper]) {
    if addenda.is_empty() {
        return;
    }
    let language = paper.language;
    paper.part(language.word("dispute-addenda"));
    let columns = vec![
        Column::wide(language.word("dispute-entered"), 3),
        Column::wide(language.word("history-what"), 5),
        Column::wide(language.word("job-by"), 2),
    ];
    let row = |one: &AddendumOnPaper| {
        let (at, by) = &one.entered;
        let entered = said!["at" => short(language, *at), "seq" => one.seq.to_string()];
        let says: Vec<String> = one.says.iter().map(|says| says.told(language)).collect();
        vec![language.say("dispute-entry", &entered), says.join("\n"), by.clone()]
    };
    paper.table(columns, addenda.iter().map(row).collect());
}

impl Says {
    fn told(&self, language: Language) -> String {
        match self {
            Self::Note(note) => note.clone(),
            Self::Step(step) => step_told(language, step),
            Self::Climate(reading) => reading_told(language, reading),
        }
    }
}

fn step_told(language: Language, step: &StepOnPaper) -> String {
    let on = match &step.panels {
        Some(named) => panels(language, named),
        None => language.capital(&language.surfaces(&step.surfaces)),
    };
    let with = [&step.product, &step.dilution, &step.by].into_iter().flatten().cloned();
    let times = [step.times.0, step.times.1].into_iter().flatten().map(|at| short(language, at));
    let mut lines = vec![language.labelled(&language.capital(&language.step(step.kind)), &on)];
    let more: Vec<String> = times.chain(with).collect();
    lines.extend((!more.is_empty()).then(|| more.join(", ")));
    lines.join("\n")
}

fn reading_told(language: Language, reading: &ClimateOnPaper) -> String {
    let celsius = |c: f64| language.say("unit-celsius", &said!["number" => language.number(c, 1)]);
    let humidity = said!["number" => language.number(reading.rh_pct, 0)];
    let mut parts = vec![
        format!("{} {}", language.word("job-air"), celsius(reading.air_c)),
        format!("{} {}", language.word("job-humidity"), language.say("unit-percent", &humidity)),
    ];
    let panel =
        reading.surface_c.map(|c| format!("{} {}", language.word("job-panel-temperature"), celsius(c)));
    parts.extend(panel);
    parts.extend(reading.place.clone());
    let head = language.labelled(&language.word("job-climate"), &short(language, reading.at));
    format!("{head}\n{}", parts.join(", "))
}
