//! The history of a vehicle: how its cover stands, every job, coat, batch and climate, every visit with what it found
//! and measured.

use chrono::{NaiveDate, NaiveDateTime};

use super::certificate::Standing;
use super::job::JobOnPaper;
use super::paper::{Block, Column, Paper, Setting};
use super::{VehicleOnPaper, distance};
use crate::core::assess::{Assessment, DueAnswer, DueStatus};
use crate::core::ids::Digest;
use crate::core::inspections::Figure;
use crate::core::vehicle_events::{Figures, Happened};
use crate::core::words::{DoneBy, OdometerUnit};
use crate::language::{Language, said};

/// What a history is made from. All times are local.
#[derive(Debug, Clone)]
pub struct History {
    /// Language, paper, shop.
    pub setting: Setting,
    /// The number of the warranty that it is about; none: of all of the vehicle.
    pub warranty: Option<String>,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The unit of its odometer.
    pub unit: OdometerUnit,
    /// The day of which it is.
    pub as_of: NaiveDate,
    /// Warranties.
    pub warranties: Vec<WarrantyOnPaper>,
    /// Jobs, oldest first.
    pub jobs: Vec<JobOnPaper>,
    /// What happened, oldest first.
    pub happened: Vec<EventOnPaper>,
}

/// A warranty and how it stands.
#[derive(Debug, Clone)]
pub struct WarrantyOnPaper {
    /// `W-…`
    pub number: String,
    /// Title, code and edition of its terms.
    pub terms: (String, String, u32),
    /// SHA-256 of its terms.
    pub terms_digest: Digest,
    /// The first day of cover, and the distance driven by then, km.
    pub start: (NaiveDate, u32),
    /// Why it is void, in the shop's own words.
    pub void_because: Option<String>,
    /// Whether it stands.
    pub standing: Standing,
    /// The verdict; none of one that is void.
    pub verdict: Option<Assessment>,
    /// Why it is so, in English.
    pub reasons: Vec<String>,
    /// Cover over time as a drawing.
    pub drawing: Option<String>,
}

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

impl History {
    /// The document.
    pub fn paper(&self) -> Paper {
        let language = self.setting.language;
        let vehicle = self.vehicle.name().to_owned();
        let number = self.warranty.clone().unwrap_or_else(|| vehicle.clone());
        let mut paper = Paper::new(&self.setting, language.word("history-kind"), number);
        paper.heading = language.say("history-heading", &said!["vehicle" => &vehicle]);
        let day = language.date(self.as_of.into());
        paper.lead = Some(language.say("history-lead", &said!["day" => &day]));
        paper.description = language.say("history-description", &said!["vehicle" => &vehicle, "day" => day]);
        paper.front = vec![Block::Facts { pairs: self.vehicle.pairs(language) }];
        for warranty in &self.warranties {
            warranty.tell(&mut paper, false);
        }
        paper.section(language.word("history-jobs"));
        if self.jobs.is_empty() {
            paper.text(language.word("history-jobs-none"));
        }
        for job in &self.jobs {
            paper.part(job.number.clone());
            paper.facts(job.facts(language).into_iter().skip(1).collect());
            job.coats(&mut paper);
            if !job.climate.is_empty() {
                paper.text(job.climate_range(language));
            }
            if let Some(svg) = &job.climate_drawing {
                let alt = job.climate_range(language);
                paper.add(Block::Picture { svg: svg.clone(), alt, caption: None, width: 92 });
            }
        }
        let counts =
            |one: &&EventOnPaper| !one.retracted && !matches!(one.happened, Happened::Retract { .. });
        let standing: Vec<&EventOnPaper> = self.happened.iter().filter(counts).collect();
        happened(&mut paper, &standing, self.unit, false);
        paper
    }
}

impl WarrantyOnPaper {
    /// How it stands, surface by surface, and what fell due; with reasons where somebody has to answer for them.
    pub(super) fn tell(&self, paper: &mut Paper, with_reasons: bool) {
        let language = paper.language;
        paper.section(language.say("history-warranty", &said!["number" => &self.number]));
        let (title, code, edition) = &self.terms;
        let edition =
            language.say("certificate-edition", &said!["code" => code, "edition" => edition.to_string()]);
        let mut facts = vec![(language.word("certificate-terms"), format!("{title} ({edition})"))];
        if with_reasons {
            let (day, km) = self.start;
            let start =
                format!("{}, {}", language.date(day.into()), distance(language, km, OdometerUnit::Km));
            facts.push((language.word("certificate-terms-digest"), self.terms_digest.to_string()));
            facts.push((language.word("certificate-start"), start));
        }
        paper.facts(facts);
        match &self.standing {
            Standing::Issued => {}
            Standing::Void(since) => {
                let since = language.date((*since).into());
                paper.add(Block::Notice {
                    alarm: true,
                    heading: Some(language.word("certificate-void")),
                    text: language.say("certificate-void-since", &said!["day" => since]),
                });
                if let Some(reason) = self.void_because.as_ref().filter(|_| with_reasons) {
                    paper.text(language.say("dispute-because", &said!["reason" => reason]));
                }
            }
            Standing::Replaced(by) => paper.add(Block::Notice {
                alarm: true,
                heading: Some(language.word("certificate-replaced")),
                text: language.say("certificate-replaced-by", &said!["number" => by]),
            }),
        }
        if let Some(verdict) = &self.verdict {
            cover(paper, verdict);
            if let Some(svg) = &self.drawing {
                let alt = language.say("history-cover-alt", &said!["number" => &self.number]);
                paper.add(Block::Picture { svg: svg.clone(), alt, caption: None, width: 100 });
            }
            dues(paper, verdict);
            if with_reasons && !self.reasons.is_empty() {
                paper.part(language.word("dispute-reasons"));
                paper.add(Block::English { items: self.reasons.clone() });
            }
        }
    }
}

fn cover(paper: &mut Paper, verdict: &Assessment) {
    let language = paper.language;
    let columns = vec![
        Column::wide(language.word("paper-surface"), 2),
        Column::wide(language.word("history-state"), 4),
        Column::wide(language.word("history-from"), 3),
        Column::wide(language.word("certificate-last-day"), 3),
    ];
    let mut rows = Vec::new();
    for (surface, one) in &verdict.cover {
        let mut state = language.say("history-state-of", &said!["state" => one.state.as_str()]);
        if let Some(cause) = one.cause {
            let cause = language.say("history-cause", &said!["cause" => cause.as_str()]);
            state = format!("{state}: {cause}");
        }
        let named = language.capital(&language.surface_named(surface));
        rows.push(vec![named, state, language.date(one.from), language.date(one.last_day)]);
    }
    paper.add(Block::Table { small: true, columns, rows });
    let out = verdict.panels.iter().map(|out| {
        let panel = out.panel.parse().map_or_else(|_| out.panel.clone(), |panel| language.panel(&panel));
        let (panel, surface) = (language.capital(&panel), language.surface_named(&out.surface));
        let since = language.date(out.since);
        match out.until {
            None => language
                .say("history-panel-out", &said!["panel" => panel, "surface" => surface, "since" => since]),
            Some(until) => {
                let said = said!["panel" => panel, "surface" => surface, "since" => since,
                                 "until" => language.date(until)];
                language.say("history-panel-back", &said)
            }
        }
    });
    paper.list(out.collect());
}

/// What fell due, and of each rule the next one ahead.
fn dues(paper: &mut Paper, verdict: &Assessment) {
    let language = paper.language;
    let mut ahead: Option<&str> = None;
    let told = verdict.dues.iter().filter(|due| {
        let first = due.status != DueStatus::Ahead || ahead != Some(due.upkeep.as_str());
        if due.status == DueStatus::Ahead {
            ahead = Some(&due.upkeep);
        }
        first
    });
    let row = |due: &DueAnswer| {
        vec![
            format!("{} #{}", due.upkeep, due.number),
            language.date(due.opens),
            language.date(due.due),
            language.date(due.closes),
            language.say("history-due-status", &said!["status" => due.status.as_str()]),
        ]
    };
    let rows: Vec<Vec<String>> = told.map(row).collect();
    if rows.is_empty() {
        return;
    }
    paper.part(language.word("history-dues"));
    let columns = vec![
        Column::wide(language.word("history-rule"), 3),
        Column::wide(language.word("history-opens"), 3),
        Column::wide(language.word("history-due"), 3),
        Column::wide(language.word("history-closes"), 3),
        Column::wide(language.word("history-state"), 2),
    ];
    paper.add(Block::Table { small: true, columns, rows });
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
        let on = |panel: &crate::core::words::Panel, surface| said!["panel" => language.panel(panel), "surface" => language.surface(surface)];
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
    let line = |(panel, values): (&crate::core::words::Panel, &std::collections::BTreeMap<String, f64>)| {
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
        format!("{}: {}", language.capital(&language.panel(panel)), values.join(", "))
    };
    figures.iter().map(line).collect()
}
