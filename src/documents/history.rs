//! The history of a vehicle: how its cover stands, every job, coat, batch and climate, every visit with what it found
//! and measured.

use chrono::NaiveDate;

use super::certificate::Standing;
use super::events::{EventOnPaper, happened};
use super::job::JobOnPaper;
use super::paper::{Block, Column, Paper, Setting};
use super::{VehicleOnPaper, distance};
use crate::core::assess::{Assessment, DueAnswer, DueStatus};
use crate::core::ids::Digest;
use crate::core::vehicle_events::Happened;
use crate::core::words::OdometerUnit;
use crate::language::said;

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
        let state = language.state_of_cover(one.state, one.cause);
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
