//! The card that goes along with a fresh coating: until when it is kept dry, from when on it may be washed, and what
//! must not be done until then. One page.

use chrono::NaiveDateTime;

use super::paper::{Block, Column, Paper, Setting};
use super::{VehicleOnPaper, panels, surface};
use crate::core::words::{Panel, Surface};
use crate::language::{Language, said};

/// What a card is made from. All times are estimates, in local time.
#[derive(Debug, Clone)]
pub struct WinterCard {
    /// Language, paper, shop.
    pub setting: Setting,
    /// The job, `J-…`
    pub job: String,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The time zone of all times.
    pub zone: String,
    /// When the vehicle leaves.
    pub leaves: NaiveDateTime,
    /// Until when the whole vehicle is kept dry.
    pub water: When,
    /// From when on it may be washed.
    pub wash: When,
    /// When it has cured.
    pub cured: When,
    /// Panels for which the same holds.
    pub panels: Vec<CardPanels>,
}

/// From when on something is safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// It is.
    Now,
    /// It is, since a coat that takes water lies over it.
    Covered,
    /// From then on.
    At(NaiveDateTime),
    /// Nobody can tell yet.
    Unknown,
}

/// Panels of a surface for which the same holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardPanels {
    /// The surface.
    pub surface: Surface,
    /// The panels.
    pub panels: Vec<Panel>,
    /// Until when they are kept dry.
    pub water: When,
    /// From when on they may be washed.
    pub wash: When,
}

impl When {
    /// From when on something may get wet.
    fn wet(self, language: Language) -> String {
        match self {
            Self::Now => language.word("winter-card-may-get-wet"),
            other => other.said(language),
        }
    }

    fn said(self, language: Language) -> String {
        match self {
            Self::Now => language.word("winter-card-now"),
            Self::Covered => language.word("winter-card-covered"),
            Self::At(at) => language.moment(at),
            Self::Unknown => language.word("winter-card-unknown"),
        }
    }
}

impl WinterCard {
    /// The document.
    pub fn paper(&self) -> Paper {
        let language = self.setting.language;
        let (shop, vehicle) = (&self.setting.shop.name, self.vehicle.name());
        let mut paper = Paper::new(&self.setting, language.word("winter-card-kind"), self.job.clone());
        paper.heading = language.word("winter-card-heading");
        paper.lead = Some(language.say("winter-card-lead", &said!["vehicle" => vehicle, "shop" => shop]));
        paper.description = language.say("winter-card-description", &said!["vehicle" => vehicle]);
        paper.foot = language.say("winter-card-foot", &said!["shop" => shop]);
        let times = [
            ("winter-card-leaves", language.moment(self.leaves)),
            ("winter-card-water", self.water.wet(language)),
            ("winter-card-wash", self.wash.said(language)),
            ("winter-card-cured", self.cured.said(language)),
        ];
        let times = times.map(|(id, when)| (language.word(id), language.capital(&when)));
        paper.front = vec![Block::Dates { pairs: times.to_vec() }];
        paper.small(language.say("winter-card-estimates", &said!["zone" => &self.zone]));
        self.by_panel(&mut paper);
        paper.section(language.word("winter-card-never"));
        let never = ["wash", "rub", "snow", "cover", "chemicals"];
        paper.list(
            never.map(|what| language.capital(&language.word(&format!("winter-card-never-{what}")))).to_vec(),
        );
        paper.section(language.word("winter-card-wet"));
        paper.text(language.word("winter-card-wet-text"));
        paper.section(language.word("winter-card-after"));
        paper.text(language.word("winter-card-after-text"));
        paper.add(Block::Notice { alarm: true, heading: None, text: language.word("winter-card-safety") });
        paper
    }

    fn by_panel(&self, paper: &mut Paper) {
        // Where the same holds for all, it has been said above.
        let first = self.panels.first().map(|one| (one.water, one.wash));
        if self.panels.iter().all(|one| Some((one.water, one.wash)) == first) {
            return;
        }
        let language = self.setting.language;
        paper.section(language.word("winter-card-panels"));
        let columns = vec![
            Column::fitting(language.word("paper-surface")),
            Column::wide(language.word("winter-card-panel"), 4),
            Column::wide(language.word("winter-card-water"), 3),
            Column::wide(language.word("winter-card-wash"), 3),
        ];
        let row = |one: &CardPanels| {
            vec![
                surface(language, one.surface),
                panels(language, &one.panels),
                one.water.wet(language),
                one.wash.said(language),
            ]
        };
        paper.add(Block::Table { small: true, columns, rows: self.panels.iter().map(row).collect() });
    }
}
