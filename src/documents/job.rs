//! A job on paper: what was found, prepared, measured and laid, by whom and with which bottle. The job sheet, the
//! history and the dispute file tell of it with the same sections.

use chrono::NaiveDateTime;

use super::paper::{Block, Column, Paper};
use super::{odometer, panels, short, surface};
use crate::core::ids::Digest;
use crate::core::marks::MarkKind;
use crate::core::odometer::Odometer;
use crate::core::words::{JobState, Panel, Severity, StepKind, Surface};
use crate::language::{Language, said};

/// A job. All times are local.
#[derive(Debug, Clone)]
pub struct JobOnPaper {
    /// `J-…`
    pub number: String,
    /// Where it stands.
    pub state: JobState,
    /// When the vehicle was taken in.
    pub taken_in: NaiveDateTime,
    /// What the odometer showed.
    pub odometer: Odometer,
    /// The panels that are to be worked on, by surface.
    pub panels: Vec<(Surface, Vec<Panel>)>,
    /// The panels that are left out.
    pub excluded: Vec<Panel>,
    /// Marks at check-in.
    pub marks: Vec<MarkOnPaper>,
    /// Steps, in order.
    pub steps: Vec<StepOnPaper>,
    /// Climate, in order.
    pub climate: Vec<ClimateOnPaper>,
    /// The climate as a drawing.
    pub climate_drawing: Option<String>,
    /// Coats, in order.
    pub coats: Vec<CoatOnPaper>,
    /// Paint readings, panel by panel.
    pub paint: Vec<PaintOnPaper>,
    /// The paint readings as a drawing.
    pub paint_drawing: Option<String>,
    /// What the checks found.
    pub findings: Vec<FindingOnPaper>,
    /// The sign-off.
    pub signed: Option<SignedOnPaper>,
    /// When it was handed over.
    pub handed_over: Option<chrono::NaiveDate>,
}

/// A mark at check-in.
#[derive(Debug, Clone)]
pub struct MarkOnPaper {
    /// On which panel.
    pub panel: Panel,
    /// On which surface.
    pub surface: Surface,
    /// What it is.
    pub kind: MarkKind,
    /// Its longest dimension, mm.
    pub size_mm: Option<f64>,
    /// What else there is to say.
    pub note: Option<String>,
}

/// A step of work.
#[derive(Debug, Clone)]
pub struct StepOnPaper {
    /// When it began and ended.
    pub times: (Option<NaiveDateTime>, Option<NaiveDateTime>),
    /// What was done.
    pub kind: StepKind,
    /// On which surfaces.
    pub surfaces: Vec<Surface>,
    /// On which panels; all unless given.
    pub panels: Option<Vec<Panel>>,
    /// With what.
    pub product: Option<String>,
    /// How it was diluted.
    pub dilution: Option<String>,
    /// Who did it.
    pub by: Option<String>,
}

/// A climate reading.
#[derive(Debug, Clone)]
pub struct ClimateOnPaper {
    /// When.
    pub at: NaiveDateTime,
    /// Air, °C.
    pub air_c: f64,
    /// Relative humidity, %.
    pub rh_pct: f64,
    /// Panel, °C.
    pub surface_c: Option<f64>,
    /// Where.
    pub place: Option<String>,
}

/// A coat.
#[derive(Debug, Clone)]
pub struct CoatOnPaper {
    /// On which surface.
    pub surface: Surface,
    /// On which panels.
    pub panels: Vec<Panel>,
    /// The product.
    pub product: String,
    /// The edition of its data sheet.
    pub sheet: Option<u32>,
    /// The batch.
    pub batch: String,
    /// When it began and ended.
    pub times: (NaiveDateTime, NaiveDateTime),
    /// How much, ml.
    pub ml: Option<f64>,
    /// Who laid it.
    pub by: Option<String>,
}

/// Paint readings of a panel, means in µm.
#[derive(Debug, Clone)]
pub struct PaintOnPaper {
    /// The panel.
    pub panel: Panel,
    /// Before polishing: mean and how many.
    pub before: Option<(f64, usize)>,
    /// After polishing.
    pub after: Option<(f64, usize)>,
}

/// What a check found.
#[derive(Debug, Clone)]
pub struct FindingOnPaper {
    /// Which check, and on what.
    pub about: String,
    /// How grave it is.
    pub severity: Severity,
    /// In words, in English.
    pub detail: String,
    /// Why it was let be, by whom and when.
    pub passed: Option<(String, String, NaiveDateTime)>,
}

/// A sign-off.
#[derive(Debug, Clone)]
pub struct SignedOnPaper {
    /// When.
    pub at: NaiveDateTime,
    /// By whom.
    pub by: String,
    /// The place of its record.
    pub seq: i64,
    /// The digest of its record.
    pub digest: Digest,
}

/// More readings than these are told by their range.
const MOST_READINGS: usize = 24;

impl JobOnPaper {
    /// Number, state, days and odometer.
    pub(super) fn facts(&self, language: Language) -> Vec<(String, String)> {
        let state = language.say("job-state", &said!["state" => self.state.as_str()]);
        let mut facts = vec![
            (language.word("paper-job"), self.number.clone()),
            (language.word("job-stands"), state),
            (language.word("job-taken-in"), language.moment(self.taken_in)),
            (language.word("paper-odometer"), odometer(language, self.odometer)),
        ];
        if let Some(signed) = &self.signed {
            let said = said!["at" => language.moment(signed.at), "by" => &signed.by];
            facts.push((language.word("job-signed-off"), language.say("job-signed-off-by", &said)));
        }
        if let Some(on) = self.handed_over {
            facts.push((language.word("job-handed-over"), language.date(on.into())));
        }
        facts
    }

    /// What is to be worked on and what is left out.
    pub(super) fn scope(&self, paper: &mut Paper) {
        let language = paper.language;
        let mut pairs: Vec<(String, String)> =
            self.panels.iter().map(|(on, all)| (surface(language, *on), panels(language, all))).collect();
        if !self.excluded.is_empty() {
            pairs.push((language.word("job-excluded"), panels(language, &self.excluded)));
        }
        paper.facts(pairs);
    }

    pub(super) fn marks(&self, paper: &mut Paper) {
        let language = paper.language;
        paper.part(language.word("job-marks"));
        if self.marks.is_empty() {
            return paper.text(language.word("job-marks-none"));
        }
        let columns = vec![
            Column::wide(language.word("job-panel"), 2),
            Column::wide(language.word("job-mark"), 2),
            Column::figures(language.word("job-size")),
            Column::wide(language.word("job-note"), 4),
        ];
        let row = |mark: &MarkOnPaper| {
            let on = format!("{} ({})", language.panel(&mark.panel), language.surface(&mark.surface));
            let kind = language.say("job-mark-kind", &said!["kind" => mark.kind.as_str()]);
            vec![
                language.capital(&on),
                kind,
                mark.size_mm.map_or_else(String::new, |mm| format!("{} mm", language.number(mm, 0))),
                mark.note.clone().unwrap_or_default(),
            ]
        };
        let rows = self.marks.iter().map(row).collect();
        paper.add(Block::Table { small: true, columns, rows });
    }

    pub(super) fn paint(&self, paper: &mut Paper) {
        if self.paint.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("job-paint"));
        let columns = vec![
            Column::wide(language.word("job-panel"), 2),
            Column::figures(language.word("job-paint-before")),
            Column::figures(language.word("job-paint-after")),
        ];
        let read = |read: Option<(f64, usize)>| {
            read.map_or_else(String::new, |(mean, n)| {
                language.say("job-paint-mean", &said!["mean" => language.number(mean, 0), "count" => n])
            })
        };
        let row = |one: &PaintOnPaper| {
            vec![language.capital(&language.panel(&one.panel)), read(one.before), read(one.after)]
        };
        let rows = self.paint.iter().map(row).collect();
        paper.add(Block::Table { small: true, columns, rows });
        if let Some(svg) = &self.paint_drawing {
            let alt = language.say("job-paint-alt", &said!["count" => self.paint.len()]);
            paper.add(Block::Picture { svg: svg.clone(), alt, caption: None, width: 80 });
        }
    }

    pub(super) fn steps(&self, paper: &mut Paper) {
        if self.steps.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("job-steps"));
        let columns = vec![
            Column::fitting(language.word("job-when")),
            Column::wide(language.word("job-step"), 3),
            Column::wide(language.word("job-where"), 3),
            Column::wide(language.word("job-with"), 3),
            Column::wide(language.word("job-by"), 2),
        ];
        let row = |step: &StepOnPaper| {
            let with = [&step.product, &step.dilution].into_iter().flatten().cloned().collect::<Vec<_>>();
            let on = match &step.panels {
                Some(named) => panels(language, named),
                None => language.capital(&language.surfaces(&step.surfaces)),
            };
            let when = match step.times {
                (Some(from), Some(until)) => {
                    format!("{}–{}", short(language, from), language.time(until.time()))
                }
                (from, until) => from.or(until).map_or_else(String::new, |at| short(language, at)),
            };
            vec![
                when,
                language.capital(&language.step(step.kind)),
                on,
                with.join(", "),
                step.by.clone().unwrap_or_default(),
            ]
        };
        let rows = self.steps.iter().map(row).collect();
        paper.add(Block::Table { small: true, columns, rows });
    }

    pub(super) fn coats(&self, paper: &mut Paper) {
        if self.coats.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("job-coats"));
        let columns = vec![
            Column::fitting(language.word("job-when")),
            Column::wide(language.word("job-where"), 4),
            Column::wide(language.word("job-product"), 3),
            Column::wide(language.word("job-batch"), 2),
            Column::wide(language.word("job-by"), 2),
        ];
        let row = |coat: &CoatOnPaper| {
            let on = language.labelled(&surface(language, coat.surface), &language.panels(&coat.panels));
            let mut product = coat.product.clone();
            if let Some(edition) = coat.sheet {
                let sheet = language.say("job-sheet-edition", &said!["edition" => edition.to_string()]);
                product = format!("{product}\n{sheet}");
            }
            let mut batch = coat.batch.clone();
            if let Some(ml) = coat.ml {
                batch = format!("{batch}\n{} ml", language.number(ml, 0));
            }
            let until = language.time(coat.times.1.time());
            vec![
                format!("{}–{until}", short(language, coat.times.0)),
                on,
                product,
                batch,
                coat.by.clone().unwrap_or_default(),
            ]
        };
        let rows = self.coats.iter().map(row).collect();
        paper.add(Block::Table { small: true, columns, rows });
    }

    pub(super) fn climate(&self, paper: &mut Paper) {
        if self.climate.is_empty() {
            return;
        }
        let language = paper.language;
        paper.part(language.word("job-climate"));
        let range = self.climate_range(language);
        if self.climate.len() > MOST_READINGS {
            paper.text(range.clone());
        } else {
            let columns = vec![
                Column::wide(language.word("job-when"), 3),
                Column::figures(language.word("job-air")),
                Column::figures(language.word("job-humidity")),
                Column::figures(language.word("job-panel-temperature")),
                Column::wide(language.word("job-place"), 3),
            ];
            let celsius = |c: f64| language.say("unit-celsius", &said!["number" => language.number(c, 1)]);
            let row = |one: &ClimateOnPaper| {
                vec![
                    short(language, one.at),
                    celsius(one.air_c),
                    language.say("unit-percent", &said!["number" => language.number(one.rh_pct, 0)]),
                    one.surface_c.map_or_else(String::new, celsius),
                    one.place.clone().unwrap_or_default(),
                ]
            };
            let rows = self.climate.iter().map(row).collect();
            paper.add(Block::Table { small: true, columns, rows });
        }
        if let Some(svg) = &self.climate_drawing {
            paper.add(Block::Picture { svg: svg.clone(), alt: range, caption: None, width: 92 });
        }
    }

    /// How many readings there are, and between what.
    pub(super) fn climate_range(&self, language: Language) -> String {
        let between = |values: &mut dyn Iterator<Item = f64>, decimals| {
            let (least, most) =
                values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
            (language.number(least, decimals), language.number(most, decimals))
        };
        let air = between(&mut self.climate.iter().map(|one| one.air_c), 1);
        let humidity = between(&mut self.climate.iter().map(|one| one.rh_pct), 0);
        let said = said!["count" => self.climate.len(), "coldest" => air.0, "warmest" => air.1,
                         "driest" => humidity.0, "dampest" => humidity.1];
        language.say("job-climate-range", &said)
    }

    pub(super) fn findings(&self, paper: &mut Paper) {
        let language = paper.language;
        paper.part(language.word("job-checks"));
        if self.findings.is_empty() {
            return paper.text(language.word("job-checks-none"));
        }
        let say = |one: &FindingOnPaper| {
            let passed = one.passed.as_ref().map(|(reason, by, at)| {
                format!(" — passed by {by} on {}: {reason}", short(Language::English, *at))
            });
            let passed = passed.unwrap_or_default();
            format!("{} ({}): {}{passed}", one.about, one.severity, one.detail)
        };
        paper.add(Block::English { items: self.findings.iter().map(say).collect() });
    }
}
