//! A job with what only a dispute asks for: how each panel came, every reading, when what was applied and levelled,
//! which bottles were used, and what was signed and added.

use chrono::{NaiveDate, NaiveDateTime};

use super::addenda::{self, AddendumOnPaper};
use super::signatures::{self, SignatureOnPaper};
use super::{entry, fitted};
use crate::core::ids::Digest;
use crate::core::paint_readings::Polishing;
use crate::core::words::{BatchState, Finish, Panel, Surface};
use crate::documents::job::JobOnPaper;
use crate::documents::paper::{Column, Paper};
use crate::documents::photos::{Photograph, in_halves, photos};
use crate::documents::{short, surface};
use crate::language::said;

/// A job with its proofs. All times are local.
#[derive(Debug, Clone)]
pub struct ProvenJob {
    /// What any document tells of it.
    pub job: JobOnPaper,
    /// When and by whom it was opened.
    pub opened: (NaiveDateTime, String),
    /// Why it was cancelled.
    pub cancelled_because: Option<String>,
    /// Panels that came with another finish than the vehicle's.
    pub finishes: Vec<(Panel, Finish)>,
    /// Panels that came with a coating, by surface.
    pub old_coating: Vec<(Surface, Vec<Panel>)>,
    /// Each paint reading, in the order in which they were entered.
    pub readings: Vec<ReadingOnPaper>,
    /// Parts of coats with when they were applied and levelled, in the order of the coats.
    pub sections: Vec<SectionOnPaper>,
    /// Bottles that were used, in the order of the coats.
    pub bottles: Vec<BottleOnPaper>,
    /// What a manager let be and has changed since, in the order in which that was said.
    pub passes: Vec<PassOnPaper>,
    /// What was signed, in the order in which it was entered.
    pub signatures: Vec<SignatureOnPaper>,
    /// What was entered after the sign-off, in the order in which it was.
    pub addenda: Vec<AddendumOnPaper>,
    /// Photos.
    pub photos: Vec<Photograph>,
}

/// What a gauge read on a panel.
#[derive(Debug, Clone)]
pub struct ReadingOnPaper {
    /// The panel.
    pub panel: Panel,
    /// Before or after polishing.
    pub polishing: Polishing,
    /// Each spot, by name where it has one, µm.
    pub spots: Vec<(Option<String>, f64)>,
    /// When it was read and by whom; when and by whom it was entered, where that was not said.
    pub read: (NaiveDateTime, String),
}

/// A part of a coat.
#[derive(Debug, Clone)]
pub struct SectionOnPaper {
    /// The product.
    pub product: String,
    /// On which surface.
    pub surface: Surface,
    /// Which panels.
    pub panels: Vec<Panel>,
    /// When it was applied, and when levelled; none: by eye.
    pub times: (NaiveDateTime, Option<NaiveDateTime>),
}

/// A bottle that was used, as it is registered today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BottleOnPaper {
    /// The product.
    pub product: String,
    /// Edition and SHA-256 of the data sheet that it was laid by.
    pub sheet: Option<(u32, Digest)>,
    /// The batch number on it.
    pub batch: String,
    /// When it was made, opened and expires, and whether it may be used; none: the batch is not registered.
    pub registered: Option<BatchOnPaper>,
}

/// A batch as it is registered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BatchOnPaper {
    /// When it was made.
    pub made: Option<NaiveDate>,
    /// When it was opened.
    pub opened: Option<NaiveDate>,
    /// The last day on which it may be used.
    pub expires: Option<NaiveDate>,
    /// Whether it may be used.
    pub state: BatchState,
}

/// A pass that holds no more: what it let be has changed, or is gone.
#[derive(Debug, Clone)]
pub struct PassOnPaper {
    /// Which check, and on what.
    pub about: String,
    /// Why it was let be.
    pub reason: String,
    /// When and by whom.
    pub passed: (NaiveDateTime, String),
}

impl ProvenJob {
    /// Tells of the job in a section of its own.
    pub(super) fn tell(&self, paper: &mut Paper) {
        let (language, job) = (paper.language, &self.job);
        paper.section(language.say("dispute-job", &said!["number" => &job.number]));
        let mut facts: Vec<(String, String)> = job.facts(language).into_iter().skip(1).collect();
        facts.push((language.word("dispute-job-opened"), entry(language, &self.opened)));
        if let Some(reason) = &self.cancelled_because {
            facts.push((language.word("dispute-job-cancelled"), reason.clone()));
        }
        paper.facts(facts);
        job.scope(paper);
        self.as_it_came(paper);
        job.marks(paper);
        job.paint(paper);
        self.readings(paper);
        job.steps(paper);
        job.climate(paper);
        job.coats(paper);
        self.sections(paper);
        self.bottles(paper);
        job.findings(paper);
        self.passes(paper);
        if let Some(signed) = &job.signed {
            let by = said!["at" => language.moment(signed.at), "by" => &signed.by];
            paper.part(language.word("job-sign-off"));
            paper.facts(vec![
                (language.word("job-signed-off"), language.say("job-signed-off-by", &by)),
                (language.word("paper-record"), signed.seq.to_string()),
                (language.word("paper-digest"), signed.digest.to_string()),
            ]);
        }
        signatures::tell(paper, &self.signatures);
        addenda::tell(paper, &self.addenda);
        if !self.photos.is_empty() {
            paper.part(language.word("job-photos"));
            photos(paper, &self.photos, |shows| {
                language.say("job-photo-alt", &said!["shows" => shows, "number" => &job.number])
            });
        }
    }

    fn as_it_came(&self, paper: &mut Paper) {
        let language = paper.language;
        let finish = |(panel, finish): &(Panel, Finish)| {
            let finish = language.say("dispute-finish-is", &said!["finish" => finish.as_str()]);
            language.labelled(&language.capital(&language.panel(panel)), &finish)
        };
        let old = |(on, all): &(Surface, Vec<Panel>)| {
            language.labelled(&surface(language, *on), &language.panels(all))
        };
        let finishes: Vec<String> = self.finishes.iter().map(finish).collect();
        let old: Vec<String> = self.old_coating.iter().map(old).collect();
        let pairs = [("dispute-finishes", finishes), ("dispute-old-coating", old)];
        let told = pairs.into_iter().filter(|(_, lines)| !lines.is_empty());
        paper.facts(told.map(|(id, lines)| (language.word(id), lines.join("\n"))).collect());
    }

    fn readings(&self, paper: &mut Paper) {
        if self.readings.is_empty() {
            return;
        }
        let language = paper.language;
        let columns = vec![
            Column::fitting(language.word("job-when")),
            Column::wide(language.word("job-panel"), 2),
            Column::wide(language.word("dispute-readings"), 4),
            Column::wide(language.word("job-by"), 2),
        ];
        let row = |one: &ReadingOnPaper| {
            let polishing = match one.polishing {
                Polishing::Before => "job-paint-before",
                Polishing::After => "job-paint-after",
            };
            let spot = |(name, um): &(Option<String>, f64)| {
                let read = language.say("unit-micrometres", &said!["number" => language.number(*um, 0)]);
                name.as_ref().map_or(read.clone(), |name| language.labelled(name, &read))
            };
            let spots: Vec<String> = one.spots.iter().map(spot).collect();
            vec![
                short(language, one.read.0),
                language.capital(&language.panel(&one.panel)),
                format!("{}\n{}", language.word(polishing), spots.join(", ")),
                one.read.1.clone(),
            ]
        };
        paper.table(columns, self.readings.iter().map(row).collect());
    }

    fn sections(&self, paper: &mut Paper) {
        if self.sections.is_empty() {
            return;
        }
        let language = paper.language;
        let columns = vec![
            Column::fitting(language.word("dispute-section-applied")),
            Column::fitting(language.word("dispute-section-levelled")),
            Column::wide(language.word("job-where"), 4),
            Column::wide(language.word("job-product"), 3),
        ];
        let row = |one: &SectionOnPaper| {
            let (applied, levelled) = one.times;
            vec![
                short(language, applied),
                levelled.map_or_else(|| language.word("dispute-section-by-eye"), |at| short(language, at)),
                language.labelled(&surface(language, one.surface), &language.panels(&one.panels)),
                one.product.clone(),
            ]
        };
        paper.table(columns, self.sections.iter().map(row).collect());
    }

    fn passes(&self, paper: &mut Paper) {
        if self.passes.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("dispute-passes"));
        let columns = vec![
            Column::english(language.word("job-checks"), 4),
            Column::wide(language.word("dispute-notice-because"), 3),
            Column::wide(language.word("dispute-entered"), 3),
        ];
        let row = |one: &PassOnPaper| {
            vec![fitted(&one.about, 36), one.reason.clone(), entry(language, &one.passed)]
        };
        paper.table(columns, self.passes.iter().map(row).collect());
    }

    fn bottles(&self, paper: &mut Paper) {
        if self.bottles.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("dispute-bottles"));
        let columns = vec![
            Column::wide(language.word("job-product"), 5),
            Column::wide(language.word("job-batch"), 3),
            Column::wide(language.word("dispute-batch"), 4),
        ];
        let row = |one: &BottleOnPaper| {
            let mut product = vec![one.product.clone()];
            if let Some((edition, digest)) = one.sheet {
                product.push(language.say("job-sheet-edition", &said!["edition" => edition.to_string()]));
                product.push(format!("SHA-256 {}", in_halves(digest)));
            }
            let batch = match one.registered {
                None => language.word("dispute-batch-unknown"),
                Some(batch) => {
                    let day = |id: &str, day: Option<NaiveDate>| {
                        Some(language.labelled(&language.word(id), &language.date(day?.into())))
                    };
                    let state = said!["state" => batch.state.as_str()];
                    let lines = [
                        Some(language.say("dispute-batch-state", &state)),
                        day("dispute-batch-made", batch.made),
                        day("dispute-batch-opened", batch.opened),
                        day("dispute-batch-expires", batch.expires),
                    ];
                    lines.into_iter().flatten().collect::<Vec<_>>().join("\n")
                }
            };
            vec![product.join("\n"), one.batch.clone(), batch]
        };
        paper.table(columns, self.bottles.iter().map(row).collect());
    }
}
