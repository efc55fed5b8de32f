//! The sheet of a job, for the bay and for the file: cautions first, then what was found, prepared, measured and laid.

use super::VehicleOnPaper;
use super::job::JobOnPaper;
use super::paper::{Block, Paper, Setting};
use crate::language::said;

/// What a sheet is made from.
#[derive(Debug, Clone)]
pub struct JobSheet {
    /// Language, paper, shop.
    pub setting: Setting,
    /// The job.
    pub job: JobOnPaper,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The owner.
    pub owner: Option<String>,
    /// The terms that it is done on, with their edition.
    pub terms: Option<(String, u32)>,
    /// Each product of the job with the cautions of its data sheet.
    pub products: Vec<(String, Vec<String>)>,
}

/// What holds for any work with such products.
const CAUTIONS: [&str; 7] = [
    "job-caution-gloves",
    "job-caution-air",
    "job-caution-isocyanates",
    "job-caution-rags",
    "job-caution-mixing",
    "job-caution-lamps",
    "job-caution-footing",
];

impl JobSheet {
    /// The document.
    pub fn paper(&self) -> Paper {
        let (language, job) = (self.setting.language, &self.job);
        let vehicle = self.vehicle.name();
        let mut paper = Paper::new(&self.setting, language.word("job-sheet-kind"), job.number.clone());
        paper.heading = language.say("job-sheet-heading", &said!["vehicle" => vehicle]);
        paper.description =
            language.say("job-sheet-description", &said!["number" => &job.number, "vehicle" => vehicle]);
        let mut front = self.vehicle.pairs(language);
        if let Some(owner) = &self.owner {
            front.push((language.word("paper-owner"), owner.clone()));
        }
        front.extend(job.facts(language).into_iter().skip(1));
        if let Some((code, edition)) = &self.terms {
            let said = said!["code" => code, "edition" => edition.to_string()];
            front.push((language.word("certificate-terms"), language.say("certificate-edition", &said)));
        }
        paper.front = vec![Block::Facts { pairs: front }];
        self.cautions(&mut paper);
        paper.section(language.word("job-found"));
        job.scope(&mut paper);
        job.marks(&mut paper);
        job.paint(&mut paper);
        paper.section(language.word("job-done"));
        job.steps(&mut paper);
        job.climate(&mut paper);
        job.coats(&mut paper);
        job.findings(&mut paper);
        self.signed(&mut paper);
        paper
    }

    fn cautions(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("job-cautions"));
        let first = language.word("job-caution-first");
        paper.add(Block::Notice { alarm: true, heading: None, text: first });
        paper.list(CAUTIONS.map(|id| language.word(id)).to_vec());
        let own = self.products.iter().filter(|(_, cautions)| !cautions.is_empty());
        let own: Vec<(String, String)> =
            own.map(|(product, cautions)| (product.clone(), cautions.join("\n"))).collect();
        if !own.is_empty() {
            paper.part(language.word("job-cautions-sheets"));
            paper.facts(own);
        }
    }

    fn signed(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("job-sign-off"));
        match &self.job.signed {
            Some(signed) => {
                let said = said!["at" => language.moment(signed.at), "by" => &signed.by];
                paper.facts(vec![
                    (language.word("job-signed-off"), language.say("job-signed-off-by", &said)),
                    (language.word("paper-record"), signed.seq.to_string()),
                    (language.word("paper-digest"), signed.digest.to_string()),
                ]);
            }
            None => {
                paper.text(language.word("job-sign-off-open"));
                paper.add(Block::Lines {
                    labels: ["job-line-name", "job-line-day", "job-line-signature"]
                        .map(|id| language.word(id))
                        .to_vec(),
                });
            }
        }
    }
}
