//! The certificate of a warranty: what was promised, for how long, on which panels, what it asks for, and what the law
//! says besides. It carries what 16 CFR 701.3 and Directive (EU) 2019/771, Article 17, ask for.

use chrono::NaiveDate;

use super::paper::{Block, Code, Column, Paper, Setting};
use super::terms::Told;
use super::{VehicleOnPaper, distance, panels, qr, surface};
use crate::core::ids::Digest;
use crate::core::terms::Terms;
use crate::core::words::{OdometerUnit, Panel, Surface};
use crate::language::{Language, said};

/// What a certificate is made from.
#[derive(Debug, Clone)]
pub struct Certificate<'a> {
    /// Language, paper, shop.
    pub setting: Setting,
    /// `W-…`
    pub number: String,
    /// The job that it was issued for, `J-…`
    pub job: String,
    /// The day of issue.
    pub issued: NaiveDate,
    /// To whom.
    pub customer: Option<String>,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The unit of its odometer.
    pub unit: OdometerUnit,
    /// First day of cover.
    pub start: NaiveDate,
    /// The odometer on it, km.
    pub start_km: u32,
    /// The terms.
    pub terms: &'a Terms,
    /// What they are known by, in a digest.
    pub terms_digest: Digest,
    /// What is covered, as at issue.
    pub cover: Vec<Covered>,
    /// How it stands.
    pub standing: Standing,
    /// The address at which anybody can check it.
    pub verify: String,
    /// The code of it.
    pub code: String,
    /// The address of the keys by which the signed certificate is checked.
    pub keys: String,
    /// The record of its issue.
    pub seal: Option<Seal>,
}

/// Cover of a surface, as at issue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Covered {
    /// The surface.
    pub surface: Surface,
    /// The last day.
    pub last_day: NaiveDate,
    /// How many km from the start.
    pub up_to_km: Option<u32>,
    /// The panels that are covered.
    pub panels: Vec<Panel>,
    /// The panels that were left out.
    pub excluded: Vec<Panel>,
}

/// How a warranty stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// It was issued, and stands.
    Issued,
    /// It was issued in error, and is void since that day.
    Void(NaiveDate),
    /// The warranty with this number has taken its place.
    Replaced(String),
}

/// The place of a record in the shop's log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seal {
    /// From 1 on.
    pub seq: i64,
    /// SHA-256 of what it says.
    pub digest: Digest,
}

impl Certificate<'_> {
    /// The document.
    pub fn paper(&self) -> Paper {
        let language = self.setting.language;
        let shop = &self.setting.shop.name;
        let mut paper = Paper::new(&self.setting, language.word("certificate-kind"), self.number.clone());
        paper.heading.clone_from(&self.terms.title);
        paper.lead = Some(language.say("certificate-lead", &said!["shop" => shop]));
        paper.description = language.say(
            "certificate-description",
            &said!["shop" => shop, "vehicle" => self.vehicle.name(), "number" => &self.number],
        );
        paper.foot = language.say("certificate-foot", &said!["address" => &self.verify]);
        paper.front = vec![Block::Facts { pairs: self.front(language) }];
        paper.code = qr::svg(&self.verify).ok().map(|svg| Code {
            svg,
            alt: language.say("certificate-code-alt", &said!["address" => &self.verify]),
            caption: format!("{}\n{}", in_fours(&self.code), language.word("certificate-code")),
        });
        self.standing(&mut paper);
        self.cover(&mut paper);
        self.left_out(&mut paper);
        self.remedy(&mut paper);
        self.upkeep(&mut paper);
        self.changes(&mut paper);
        self.care(&mut paper);
        self.law(&mut paper);
        self.seal(&mut paper);
        paper
    }

    fn told(&self) -> Told<'_> {
        Told {
            language: self.setting.language,
            terms: self.terms,
            issuer: self.terms.issuer.as_deref().unwrap_or(&self.setting.shop.name),
            start: self.start.into(),
            unit: self.unit,
        }
    }

    fn front(&self, language: Language) -> Vec<(String, String)> {
        let mut pairs = self.vehicle.pairs(language);
        if let Some(customer) = &self.customer {
            pairs.push((language.word("certificate-issued-to"), customer.clone()));
        }
        pairs.push((language.word("certificate-issued-on"), language.date(self.issued.into())));
        pairs.push((language.word("certificate-start"), language.date(self.start.into())));
        pairs.push((language.word("paper-odometer"), distance(language, self.start_km, self.unit)));
        let edition = said!["code" => &self.terms.code, "edition" => self.terms.edition.to_string()];
        pairs.push((language.word("certificate-terms"), language.say("certificate-edition", &edition)));
        pairs.push((language.word("paper-job"), self.job.clone()));
        pairs
    }

    fn standing(&self, paper: &mut Paper) {
        let language = self.setting.language;
        let (heading, text) = match &self.standing {
            Standing::Issued => return,
            Standing::Void(since) => {
                let since = language.date((*since).into());
                (
                    language.word("certificate-void"),
                    language.say("certificate-void-since", &said!["day" => since]),
                )
            }
            Standing::Replaced(by) => (
                language.word("certificate-replaced"),
                language.say("certificate-replaced-by", &said!["number" => by]),
            ),
        };
        paper.add(Block::Notice { alarm: true, heading: Some(heading), text });
    }

    fn cover(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("certificate-cover"));
        let start = language.date(self.start.into());
        let km = distance(language, self.start_km, self.unit);
        paper.text(language.say("certificate-cover-lead", &said!["day" => start, "distance" => km]));
        let columns = vec![
            Column::fitting(language.word("paper-surface")),
            Column::wide(language.word("certificate-panels"), 1),
            Column::fitting(language.word("certificate-last-day")),
            Column::figures(language.word("certificate-up-to")),
        ];
        let row = |one: &Covered| {
            let limit = one.up_to_km.map(|km| {
                let from_start = distance(language, km, self.unit);
                language.say("certificate-km", &said!["distance" => from_start])
            });
            vec![
                surface(language, one.surface),
                panels(language, &one.panels),
                language.date(one.last_day.into()),
                limit.unwrap_or_else(|| language.word("certificate-no-limit")),
            ]
        };
        let rows = self.cover.iter().map(row).collect();
        paper.add(Block::Table { small: false, columns, rows });
        paper.small(language.word("certificate-cover-note"));
    }

    fn left_out(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("certificate-not-covered"));
        let left = self.cover.iter().filter(|one| !one.excluded.is_empty());
        let mut items: Vec<String> = left
            .map(|one| {
                let said = said!["surface" => language.surface(&one.surface), "panels" => language.panels(&one.excluded)];
                language.say("certificate-left-out", &said)
            })
            .collect();
        items.push(language.word("certificate-rest"));
        items.extend(self.terms.words_in(language.as_str()).excludes);
        paper.list(items);
    }

    /// What is done, how it is asked for, and who answers for it.
    fn remedy(&self, paper: &mut Paper) {
        let language = self.setting.language;
        let (words, shop) = (self.terms.words_in(language.as_str()), &self.setting.shop);
        paper.section(language.word("certificate-remedy"));
        paper.text(words.remedy.unwrap_or_else(|| language.word("certificate-remedy-silent")));
        paper.section(language.word("certificate-claim"));
        let report = match self.terms.report_within {
            None => language.say("certificate-report", &said!["shop" => &shop.name]),
            Some(within) => language.say(
                "certificate-report-within",
                &said!["shop" => &shop.name, "period" => language.period(within)],
            ),
        };
        let mut steps = vec![report];
        steps.extend(words.how_to_claim);
        steps.push(language.word("certificate-bring"));
        steps.push(language.say("certificate-work-by", &said!["shop" => &shop.name]));
        paper.add(Block::Steps { items: steps });
        let known = |id: &str, value: Option<&String>| Some((language.word(id), value?.clone()));
        let guarantor = [
            known("certificate-guarantor", Some(&shop.name)),
            known("paper-address", shop.address.as_ref()),
            known("paper-phone", shop.phone.as_ref()),
            known("paper-email", shop.email.as_ref()),
        ];
        paper.facts(guarantor.into_iter().flatten().collect());
    }

    fn upkeep(&self, paper: &mut Paper) {
        let (language, told) = (self.setting.language, self.told());
        paper.section(language.word("certificate-upkeep"));
        if self.terms.upkeep.is_empty() {
            paper.text(language.word("certificate-upkeep-none"));
        } else {
            paper.text(language.word("certificate-upkeep-lead"));
        }
        for rule in &self.terms.upkeep {
            paper.part(told.name(rule));
            paper.facts(told.rule(rule));
        }
        if let Some(within) = self.terms.entry_within.filter(|_| !self.terms.upkeep.is_empty()) {
            paper.small(language.say("certificate-entry", &said!["period" => language.period(within)]));
        }
    }

    /// What happens to cover when something happens to the vehicle.
    fn changes(&self, paper: &mut Paper) {
        let (language, told) = (self.setting.language, self.told());
        let breaches = told.breaches();
        if !breaches.is_empty() {
            paper.section(language.word("certificate-breaches"));
            paper.list(breaches);
        }
        paper.section(language.word("certificate-transfer"));
        paper.list(told.transfer());
        paper.section(language.word("certificate-repair"));
        paper.text(told.repair());
    }

    fn care(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("certificate-care"));
        let mut items = self.terms.words_in(language.as_str()).care;
        items.extend(
            ["certificate-care-fresh", "certificate-care-products", "certificate-care-ice"]
                .map(|id| language.word(id)),
        );
        paper.list(items);
    }

    fn law(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("certificate-law"));
        paper.add(Block::Notice {
            alarm: false,
            heading: None,
            text: language.word("certificate-law-remedies"),
        });
        if let Some(own) = self.terms.words_in(language.as_str()).law {
            paper.text(own);
        }
        let lines = [
            "certificate-law-rights",
            "certificate-law-implied",
            "certificate-law-damages",
            "certificate-law-dispute",
            "certificate-law-card",
            "certificate-law-territory",
        ];
        paper.list(lines.map(|id| language.word(id)).to_vec());
    }

    fn seal(&self, paper: &mut Paper) {
        let language = self.setting.language;
        paper.section(language.word("certificate-seal"));
        paper.text(language.word("certificate-seal-lead"));
        let mut pairs = Vec::new();
        if let Some(Seal { seq, digest }) = &self.seal {
            pairs.push((language.word("paper-record"), seq.to_string()));
            pairs.push((language.word("paper-digest"), digest.to_string()));
        }
        pairs.push((language.word("certificate-terms-digest"), self.terms_digest.to_string()));
        pairs.push((language.word("certificate-verify"), self.verify.clone()));
        pairs.push((language.word("certificate-keys"), self.keys.clone()));
        paper.add(Block::Links { pairs });
    }
}

/// A code in groups of four, as it is easily read out.
fn in_fours(code: &str) -> String {
    let signs: Vec<char> = code.chars().collect();
    signs.chunks(4).map(|four| four.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}
