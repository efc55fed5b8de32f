//! Inspections: what was seen, what was worked out of it, and where the inspector decided otherwise.

use crate::core::inspections::{Inspection, Measured, Water};
use crate::core::vehicle_events::Happened;
use crate::documents::events::EventOnPaper;
use crate::documents::paper::{Block, Column, Paper};
use crate::language::said;

/// Tells of each inspection that took a close look, in the order in which they were entered.
pub(super) fn tell(paper: &mut Paper, happened: &[EventOnPaper]) {
    for one in happened {
        if let Happened::Service { inspection: Some(inspection), .. } = &one.happened {
            tell_one(paper, one, inspection);
        }
    }
}

fn tell_one(paper: &mut Paper, event: &EventOnPaper, inspection: &Inspection) {
    let language = paper.language;
    let day = language.date(event.on.into());
    paper.part(language.say("dispute-inspection", &said!["day" => day]));
    let outcome = |id: &str| language.say("history-outcome", &said!["outcome" => id]);
    let mut pairs = vec![(language.word("paper-record"), event.entered.seq.to_string())];
    pairs.push((language.word("dispute-inspection-worked-out"), outcome(inspection.worked_out.as_str())));
    if let Some(overruled) = &inspection.overruled {
        let decided = format!("{}\n{}", outcome(overruled.outcome.as_str()), overruled.reason);
        pairs.push((language.word("dispute-inspection-decided"), decided));
    }
    if let Some(remedy) = inspection.remedy {
        let remedy = language.say("dispute-inspection-remedy-is", &said!["remedy" => remedy.as_str()]);
        pairs.push((language.word("dispute-inspection-remedy"), remedy));
    }
    paper.facts(pairs);
    let water = |water: Option<Water>| {
        water.map_or_else(String::new, |water| {
            language.say("dispute-water", &said!["water" => water.as_str()])
        })
    };
    let seen =
        inspection.panels.iter().filter(|one| one.as_arrived.is_some() || one.decontaminated.is_some());
    let rows: Vec<Vec<String>> = seen
        .map(|one| {
            let panel = language.capital(&language.panel(&one.panel));
            vec![panel, water(one.as_arrived), water(one.decontaminated)]
        })
        .collect();
    if !rows.is_empty() {
        let columns = vec![
            Column::wide(language.word("job-panel"), 2),
            Column::wide(language.word("dispute-water-arrived"), 3),
            Column::wide(language.word("dispute-water-decontaminated"), 3),
        ];
        paper.table(columns, rows);
    }
    measured(paper, &inspection.measured);
    if !inspection.because.is_empty() {
        paper.add(Block::English { items: inspection.because.clone() });
    }
}

/// Each figure against what is allowed, and against the panel's own first.
fn measured(paper: &mut Paper, measured: &[Measured]) {
    if measured.is_empty() {
        return;
    }
    let language = paper.language;
    let columns = vec![
        Column::wide(language.word("job-panel"), 2),
        Column::wide(language.word("history-what"), 2),
        Column::wide(language.word("dispute-measured"), 3),
        Column::figures(language.word("dispute-measured-first")),
        Column::english(language.word("dispute-measured-allowed"), 2),
    ];
    let row = |one: &Measured| {
        let number = |value: f64| language.number(value, 1);
        let mut value = number(one.value);
        if let (Some(low), Some(high)) = (one.low, one.high) {
            value = format!("{value} (95 %: {}–{})", number(low), number(high));
        }
        vec![
            language.capital(&language.panel(&one.panel)),
            language.say("history-figure", &said!["name" => one.figure.as_str()]),
            value,
            one.baseline.map_or_else(String::new, number),
            one.allowed.clone().unwrap_or_default(),
        ]
    };
    paper.table(columns, measured.iter().map(row).collect());
}
