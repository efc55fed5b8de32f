//! Warranty terms: the document, every fault of it at once, and what it means for people who draft it.

mod cautions;
mod parse;
mod rules;
mod sanity;
mod wording;

pub use cautions::cautions;
pub(crate) use rules::{Effect, INSPECTION, UpkeepRule, bit};
pub use rules::{Mask, Rules};
pub use wording::Wording;

use serde_json::Value;

use crate::core::calendar::{Period, WorkingDays};
use crate::core::error::Fault;
use crate::core::words::{StepKind, words};

words! {
    /// Who did a service, in rising order: an owner, any shop, a shop that the issuer has accredited.
    Rank, "rank" {
        Owner = "owner",
        Shop = "shop",
        Accredited = "accredited",
    }
}

/// An edition of warranty terms (`lustrum-terms/1`), free of faults.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// What people choose to call it; all its editions share it.
    pub code: String,
    /// From 1 on.
    pub edition: u32,
    /// For people.
    pub title: String,
    /// Whose terms they are; none: the shop that published.
    pub issuer: Option<String>,
    /// What is covered, for how long.
    pub cover: Vec<Cover>,
    /// What the owner has to have done.
    pub upkeep: Vec<Upkeep>,
    /// What costs cover when it happens.
    pub breaches: Vec<Breach>,
    /// What a sale asks for; none: cover goes with the vehicle.
    pub transfer: Option<Transfer>,
    /// Whether a recoat brings a repaired panel back into cover, and within what time.
    pub repair: Repair,
    /// Within what time a service is to be entered; none: at any time.
    pub entry_within: Option<Period>,
    /// On which days things can be done.
    pub working_days: WorkingDays,
    /// What decides the first day of cover.
    pub begins: Begins,
    /// Coats and steps that must be there.
    pub build: Vec<Build>,
    /// Within what time a defect is to be reported; none: any.
    pub report_within: Option<Period>,
    /// What an inspection's figures are measured against.
    pub limits: Vec<(String, Limit)>,
    /// Lead times of this plan's mails in days; none: the shop's.
    pub upcoming_days: Option<Vec<u32>>,
    /// Texts for people, as written.
    pub wording: Option<Value>,
}

/// Cover of one surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Cover {
    /// Which surface.
    pub surface: String,
    /// For how long.
    pub lasts: Period,
    /// And for how many km from the start; none: no limit.
    pub up_to_km: Option<u32>,
}

/// From where a rule counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountedFrom {
    /// A rota: fixed dates from the start.
    Start,
    /// A rolling clock: from the last time it was done.
    Last,
}

/// A rule of upkeep.
#[derive(Debug, Clone, PartialEq)]
pub struct Upkeep {
    /// Its name in dues and reasons.
    pub key: String,
    /// Services of which any serves.
    pub services: Vec<String>,
    /// The lowest rank that may do it.
    pub by: Rank,
    /// From where it counts.
    pub counted_from: CountedFrom,
    /// How often; none only for a rule that comes once.
    pub every: Option<Period>,
    /// When for the first time, where that is not after `every`.
    pub first_after: Option<Period>,
    /// How long before a due its window opens.
    pub early: Period,
    /// How long after a due its window closes.
    pub late: Period,
    /// No service counts before this time since the start.
    pub not_before: Period,
    /// How often by distance, in km.
    pub every_km: Option<u32>,
    /// How much farther it may be.
    pub late_km: u32,
    /// Which surfaces it is about; none: all.
    pub surfaces: Option<Vec<String>>,
    /// How many dues there are; none: no end.
    pub times: Option<u32>,
    /// What its misses climb; at least one.
    pub if_missed: Vec<Consequence>,
}

/// What a miss or a breach does to cover.
#[derive(Debug, Clone, PartialEq)]
pub enum Consequence {
    /// It is only listed.
    Note,
    /// Cover ends on that day.
    End,
    /// Cover ends earlier by this much.
    Shorten(Period),
    /// Cover is on hold until it is made good.
    Suspend {
        /// By when; none: at any time.
        make_good_within: Option<Period>,
        /// Services of which any makes good.
        with: Vec<String>,
        /// The lowest rank that may do it.
        by: Rank,
    },
}

/// Something that costs cover when it happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Breach {
    /// Its name in events and reasons.
    pub key: String,
    /// Which surfaces it is about; none: all.
    pub surfaces: Option<Vec<String>>,
    /// What it does.
    pub consequence: Consequence,
}

/// What a sale asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Transfer {
    /// Whether cover goes over at all.
    pub allowed: bool,
    /// Within what time the shop is to be told.
    pub tell_within: Option<Period>,
    /// Within what time an accredited shop is to inspect.
    pub inspect_within: Option<Period>,
    /// How many owners there may be, the first among them.
    pub owners: Option<u32>,
}

/// What brings a repaired panel back into cover.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// Whether a recoat does.
    pub restores: bool,
    /// Within what time after the repair; none: at any time.
    pub recoat_within: Option<Period>,
}

/// What decides the first day of cover.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Begins {
    /// Whether the end of the last coat decides, instead of the handover.
    pub on_completion: bool,
    /// How long after it.
    pub after: Period,
}

/// The coats and steps that a surface must have had.
#[derive(Debug, Clone, PartialEq)]
pub struct Build {
    /// Which surface.
    pub surface: String,
    /// Product codes, in the order in which they lie on one another, and how many coats of each.
    pub coats: Vec<(String, u32)>,
    /// Steps that must come before the first coat.
    pub prep: Vec<StepKind>,
}

/// What a figure of an inspection is measured against.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limit {
    /// At least.
    pub min: Option<f64>,
    /// At most.
    pub max: Option<f64>,
    /// At least this share of the panel's own first figure, in per cent.
    pub min_pct_of_baseline: Option<f64>,
}

impl Terms {
    /// Reads a document, or says everything that is wrong with it, each fault at its place.
    ///
    /// ```
    /// use lustrum::core::terms::Terms;
    /// let document = br#"{"terms": "lustrum-terms/1", "code": "plain", "edition": 1, "title": "Plain",
    ///                     "cover": [{"surface": "paint", "lasts": {"years": 2}}]}"#;
    /// assert_eq!(Terms::parse(document).unwrap().cover.len(), 1);
    /// let faults = Terms::parse(br#"{"terms": "lustrum-terms/1", "code": "plain", "edition": 0}"#).unwrap_err();
    /// let places: Vec<_> = faults.iter().map(|fault| fault.pointer.as_str()).collect();
    /// assert_eq!(places, ["/edition", "/title", "/cover"]);
    /// ```
    pub fn parse(document: &[u8]) -> Result<Self, Vec<Fault>> {
        let value = crate::core::json::read(document).map_err(|fault| vec![fault])?;
        Self::read(&value)
    }

    /// The same from a value that was read before.
    pub fn read(value: &Value) -> Result<Self, Vec<Fault>> {
        parse::terms(value)
    }

    /// Every service that these terms name: of rules, and those that make good.
    pub fn services(&self) -> impl Iterator<Item = &str> {
        let made_good = self
            .upkeep
            .iter()
            .flat_map(|rule| rule.if_missed.iter())
            .chain(self.breaches.iter().map(|breach| &breach.consequence))
            .flat_map(Consequence::with);
        self.upkeep.iter().flat_map(|rule| rule.services.iter()).chain(made_good).map(String::as_str)
    }
}

impl Consequence {
    /// The services that make good; none where nothing is to be made good.
    pub fn with(&self) -> &[String] {
        match self {
            Self::Suspend { with, .. } => with,
            _ => &[],
        }
    }
}
