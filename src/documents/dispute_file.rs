//! The dispute file of a vehicle: everything that is known of it, with the proofs, in one document.
//!
//! What each part tells stands in a file of its own; here is the order in which it is read.

pub mod addenda;
pub mod answers;
pub mod appointments;
mod inspections;
pub mod jobs;
pub mod notices;
pub mod owners;
pub mod records;
pub mod reports;
pub mod signatures;
pub mod tasks;
pub mod visits;

use chrono::NaiveDateTime;

use super::events::{EventOnPaper, happened};
use super::history::WarrantyOnPaper;
use super::paper::{Block, Paper, Setting};
use super::{VehicleOnPaper, short};
use crate::core::words::OdometerUnit;
use crate::language::{Language, said};

/// What a dispute file is made from. All times are local.
#[derive(Debug, Clone)]
pub struct DisputeFile {
    /// Language, paper, shop.
    pub setting: Setting,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The unit of its odometer.
    pub unit: OdometerUnit,
    /// When it was put together.
    pub made: NaiveDateTime,
    /// The time zone of all times.
    pub zone: String,
    /// Who had it when, the first first.
    pub owners: Vec<owners::OwnerOnPaper>,
    /// Warranties, oldest first.
    pub warranties: Vec<WarrantyOnPaper>,
    /// Jobs, oldest first.
    pub jobs: Vec<jobs::ProvenJob>,
    /// What happened, in the order in which it was entered, what was retracted too.
    pub happened: Vec<EventOnPaper>,
    /// Visits of which there are photos, oldest first.
    pub visits: Vec<visits::VisitOnPaper>,
    /// Days that were booked, the earliest first.
    pub appointments: Vec<appointments::AppointmentOnPaper>,
    /// What owners answered, the earliest first.
    pub answers: Vec<answers::AnswerOnPaper>,
    /// What owners and people at the vehicle told, oldest first.
    pub reports: Vec<reports::ReportOnPaper>,
    /// What owners were told, by when it was planned.
    pub notices: Vec<notices::NoticeOnPaper>,
    /// The mails that carry it, as notices name them.
    pub mails: Vec<notices::MailOnPaper>,
    /// What else the desk had to do, oldest first.
    pub tasks: Vec<tasks::TaskOnPaper>,
    /// The records about it, in the order of the shop's log.
    pub records: Vec<records::RecordOnPaper>,
    /// The shop's log.
    pub log: records::LogOnPaper,
}

impl DisputeFile {
    /// The document.
    pub fn paper(&self) -> Paper {
        let language = self.setting.language;
        let vehicle = self.vehicle.name();
        let mut paper = Paper::new(&self.setting, language.word("dispute-kind"), vehicle.to_owned());
        paper.heading = language.say("dispute-heading", &said!["vehicle" => vehicle]);
        let made = language.moment(self.made);
        paper.lead = Some(language.say("dispute-lead", &said!["at" => made, "zone" => &self.zone]));
        paper.description = language.say("dispute-description", &said!["vehicle" => vehicle]);
        paper.front = vec![Block::Facts { pairs: self.vehicle.pairs(language) }];
        owners::tell(&mut paper, &self.owners);
        for warranty in &self.warranties {
            warranty.tell(&mut paper, true);
        }
        for job in &self.jobs {
            job.tell(&mut paper);
        }
        let all: Vec<&EventOnPaper> = self.happened.iter().collect();
        happened(&mut paper, &all, self.unit, true);
        inspections::tell(&mut paper, &self.happened);
        visits::tell(&mut paper, &self.visits);
        appointments::tell(&mut paper, &self.appointments);
        answers::tell(&mut paper, &self.answers);
        reports::tell(&mut paper, &self.reports);
        notices::tell(&mut paper, &self.notices, &self.mails);
        tasks::tell(&mut paper, &self.tasks);
        records::tell(&mut paper, &self.records, self.log);
        paper
    }
}

/// A text in a narrow place: words that are longer than so many characters go on in the next line, after a sign that parts
/// them if there is one. What servers and people write as addresses is never hyphenated: a hyphen would be part of it.
fn fitted(text: &str, most: usize) -> String {
    let mut told = String::new();
    for word in text.split_inclusive(char::is_whitespace) {
        let mut rest: Vec<char> = word.chars().collect();
        while rest.iter().filter(|sign| !sign.is_whitespace()).count() > most {
            let parts = |sign: &char| "@.-_/:;,<>".contains(*sign);
            let after = rest[..most].iter().rposition(parts).map(|place| place + 1);
            let tail = rest.split_off(after.filter(|after| *after > most / 2).unwrap_or(most));
            told.extend(std::mem::replace(&mut rest, tail));
            told.push('\n');
        }
        told.extend(rest);
    }
    told
}

/// When and by whom something was entered.
fn entry(language: Language, (at, by): &(NaiveDateTime, String)) -> String {
    language.say("job-signed-off-by", &said!["at" => short(language, *at), "by" => by])
}

/// When and by whom the desk settled something, or that it has not.
fn settled(language: Language, settled: Option<&(NaiveDateTime, String)>) -> String {
    match settled {
        None => language.word("dispute-open"),
        Some((at, by)) => language.say("dispute-settled", &said!["at" => short(language, *at), "by" => by]),
    }
}
