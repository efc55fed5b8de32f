//! What happened to a vehicle, on paper: visits and events, in order.

use chrono::{NaiveDate, NaiveDateTime};

use super::distance;
use super::paper::{Block, Column, Paper};
use crate::core::inspections::Figure;
use crate::core::vehicle_events::{Figures, Happened};
use crate::core::words::{DoneBy, OdometerUnit, Panel};
use crate::language::{Language, said};

/// Something that happened.
#[derive(Debug, Clone)]
pub struct EventOnPaper {
    /// The day.
    pub on: NaiveDate,
    /// Distance driven by then, km.
    pub km: Option<u32>,
    /// What.
    pub happened: Happened,
    /// The other shop that did it, by name, and what was seen of it.
    pub elsewhere: Option<(Option<String>, String)>,
    /// What there is to say of the visit on which it happened.
    pub note: Option<String>,
    /// How it came to be on record.
    pub entered: Entry,
    /// Whether it was retracted.
    pub retracted: bool,
}

/// How an event came to be on record; only whoever has to answer for it reads that.
#[derive(Debug, Clone, Default)]
pub struct Entry {
    /// When.
    pub at: NaiveDateTime,
    /// The place of its record.
    pub seq: i64,
    /// By whom; none: by the owner.
    pub by: Option<String>,
    /// The record of the event in whose place it stands.
    pub instead_of: Option<i64>,
    /// The record of the event that it takes back.
    pub takes_back: Option<i64>,
}

/// What happened, in order; with when it was entered, and what was retracted, where somebody has to answer for it.
pub(super) fn happened(paper: &mut Paper, events: &[&EventOnPaper], unit: OdometerUnit, entries: bool) {
    let language = paper.language;
    paper.section(language.word("history-happened"));
    if events.is_empty() {
        return paper.text(language.word("history-happened-none"));
    }
    let mut columns = vec![
        Column::fitting(language.word("history-day")),
        Column::figures(language.word("paper-odometer")),
        Column::wide(language.word("history-what"), 5),
        Column::wide(language.word("job-by"), 2),
    ];
    if entries {
        columns.push(Column::wide(language.word("dispute-entered"), 2));
    }
    let shop = paper.author.clone();
    let row = |one: &&EventOnPaper| {
        let mut what = one.told(language, entries);
        if one.retracted {
            what = language.say("dispute-retracted", &said!["what" => what]);
        }
        let mut cells = vec![
            one.on.to_string(),
            one.km.map_or_else(String::new, |km| distance(language, km, unit)),
            what,
            one.by(language, &shop),
        ];
        if entries {
            let Entry { at, seq, by, .. } = &one.entered;
            let at = at.format("%Y-%m-%d %H:%M").to_string();
            let entry = language.say("dispute-entry", &said!["at" => at, "seq" => seq.to_string()]);
            let by = by.clone().unwrap_or_else(|| language.word("history-by-owner"));
            cells.push(format!("{entry}\n{by}"));
        }
        cells
    };
    let rows = events.iter().map(row).collect();
    paper.add(Block::Table { small: true, columns, rows });
}

impl EventOnPaper {
    fn by(&self, language: Language, shop: &str) -> String {
        match &self.happened {
            Happened::Service { done_by: DoneBy::Owner, .. } => language.word("history-by-owner"),
            Happened::Service { done_by: DoneBy::OtherShop, .. } => {
                let name = self.elsewhere.as_ref().and_then(|(name, _)| name.clone());
                name.unwrap_or_else(|| language.word("history-by-other"))
            }
            _ => shop.to_owned(),
        }
    }

    /// What happened, found and measured; with the shop's own words about it where `whole`. Those can name people, and a
    /// history goes to whoever buys the vehicle.
    fn told(&self, language: Language, whole: bool) -> String {
        let mut lines = vec![self.event(language)];
        if let Happened::Service { finding, figures, inspection, .. } = &self.happened {
            if let Some(inspection) = inspection {
                let outcome = inspection.outcome.as_str();
                lines.push(language.say("history-outcome", &said!["outcome" => outcome]));
            }
            lines.extend(finding.clone());
            lines.extend(measured(language, figures));
        }
        if whole {
            if let Some((_, proof)) = &self.elsewhere {
                lines.push(language.say("history-proof", &said!["proof" => proof]));
            }
            lines.extend(self.note.clone());
            lines.extend(self.behind(language));
        }
        lines.join("\n")
    }

    /// Why it was entered, and in place of what.
    fn behind(&self, language: Language) -> Vec<String> {
        let because = |reason: &String| Some(language.say("dispute-because", &said!["reason" => reason]));
        let record = |id: &str, seq: Option<i64>| Some(language.say(id, &said!["seq" => seq?.to_string()]));
        let word = |id: &str, so: bool| so.then(|| language.word(id));
        let own = match &self.happened {
            Happened::Service { countersigned, imported, .. } => [
                word("dispute-countersigned", *countersigned == Some(true)),
                word("dispute-imported", *imported),
            ],
            Happened::Breach { surfaces: Some(on), .. } => {
                [Some(language.capital(&language.surfaces(on))), None]
            }
            Happened::Waive { reason, .. }
            | Happened::Extend { reason, .. }
            | Happened::Close { reason }
            | Happened::Retract { reason, .. } => [because(reason), None],
            _ => [None, None],
        };
        let instead = record("dispute-instead", self.entered.instead_of);
        let takes_back = record("dispute-takes-back", self.entered.takes_back);
        own.into_iter().chain([instead, takes_back]).flatten().collect()
    }

    fn event(&self, language: Language) -> String {
        let on = |panel: &Panel, surface| said!["panel" => language.panel(panel), "surface" => language.surface(surface)];
        match &self.happened {
            Happened::Service { service, carried_out, .. } => {
                let service = language.capital(&language.service(service));
                if *carried_out {
                    service
                } else {
                    language.say("history-not-as-asked", &said!["service" => service])
                }
            }
            Happened::Reading {} => language.word("history-reading"),
            Happened::Transfer { told: None, .. } => language.word("history-sold-not-told"),
            Happened::Transfer { told: Some(day), .. } => {
                language.say("history-sold", &said!["day" => language.date((*day).into())])
            }
            Happened::Repair { surface, panel } => language.say("history-repair", &on(panel, surface)),
            Happened::Recoat { surface, panel } => language.say("history-recoat", &on(panel, surface)),
            Happened::Breach { key, .. } => {
                language.say("history-breach", &said!["key" => key.replace('-', " ")])
            }
            Happened::Waive { upkeep, number, .. } => {
                language.say("history-waived", &said!["due" => format!("{upkeep} #{number}")])
            }
            Happened::Extend { upkeep, number, to, .. } => {
                let due = format!("{upkeep} #{number}");
                language.say("history-extended", &said!["due" => due, "day" => language.date((*to).into())])
            }
            Happened::Close { .. } => language.word("history-closed"),
            Happened::Retract { .. } => language.word("history-retraction"),
        }
    }
}

/// Figures, panel by panel.
fn measured(language: Language, figures: &Figures) -> Vec<String> {
    let line = |(panel, values): (&Panel, &std::collections::BTreeMap<String, f64>)| {
        let values: Vec<String> = values
            .iter()
            .map(|(name, value)| {
                let name = match name.parse::<Figure>() {
                    Ok(known) => language.say("history-figure", &said!["name" => known.as_str()]),
                    // A shop can measure what no terms ask for.
                    Err(_) => name.replace('_', " "),
                };
                format!("{name} {}", language.number(*value, 1))
            })
            .collect();
        language.labelled(&language.capital(&language.panel(panel)), &values.join(", "))
    };
    figures.iter().map(line).collect()
}
