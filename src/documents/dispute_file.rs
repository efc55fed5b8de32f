//! The dispute file of a vehicle: everything that is known of it, with the proofs, in one document.

use chrono::NaiveDateTime;

use super::VehicleOnPaper;
use super::history::{EventOnPaper, WarrantyOnPaper, happened};
use super::job::JobOnPaper;
use super::paper::{Block, Column, Paper, Setting};
use crate::core::ids::Digest;
use crate::core::words::OdometerUnit;
use crate::language::said;

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
    /// Warranties, oldest first.
    pub warranties: Vec<WarrantyOnPaper>,
    /// Jobs, oldest first.
    pub jobs: Vec<JobOnPaper>,
    /// What happened, in the order in which it was entered, what was retracted too.
    pub happened: Vec<EventOnPaper>,
    /// The records about it, in the order of the shop's log.
    pub records: Vec<RecordOnPaper>,
}

/// A record.
#[derive(Debug, Clone)]
pub struct RecordOnPaper {
    /// Its place.
    pub seq: i64,
    /// What kind of document it is.
    pub kind: String,
    /// What it is about: a job or a warranty by its number, or the vehicle.
    pub about: String,
    /// When it was kept.
    pub at: NaiveDateTime,
    /// SHA-256 of what it says.
    pub digest: Digest,
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
        for warranty in &self.warranties {
            warranty.tell(&mut paper, true);
        }
        for job in &self.jobs {
            paper.section(language.say("dispute-job", &said!["number" => &job.number]));
            paper.facts(job.facts(language).into_iter().skip(1).collect());
            job.scope(&mut paper);
            job.marks(&mut paper);
            job.paint(&mut paper);
            job.steps(&mut paper);
            job.climate(&mut paper);
            job.coats(&mut paper);
            job.findings(&mut paper);
            if let Some(signed) = &job.signed {
                paper.facts(vec![
                    (language.word("paper-record"), signed.seq.to_string()),
                    (language.word("paper-digest"), signed.digest.to_string()),
                ]);
            }
            job.photos(&mut paper);
        }
        let all: Vec<&EventOnPaper> = self.happened.iter().collect();
        happened(&mut paper, &all, self.unit, true);
        self.records(&mut paper);
        paper
    }

    fn records(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("dispute-records"));
        paper.text(language.word("dispute-records-lead"));
        let columns = vec![
            Column::figures(language.word("dispute-seq")),
            Column::fitting(language.word("job-when")),
            Column::wide(language.word("dispute-document"), 3),
            Column::fitting("SHA-256"),
        ];
        let row = |record: &RecordOnPaper| {
            vec![
                record.seq.to_string(),
                record.at.format("%Y-%m-%d %H:%M").to_string(),
                format!("{} ({})", record.kind.replace('_', " "), record.about),
                record.digest.to_string(),
            ]
        };
        let rows = self.records.iter().map(row).collect();
        paper.add(Block::Table { small: true, columns, rows });
    }
}
