//! A product's data sheet: what whoever makes it says of where it goes, how it is laid and how it cures.
//!
//! Every number belongs to the sheet. What a sheet does not say is absent here, and is not judged.

mod parse;

use serde_json::Value;

use crate::core::calendar::Period;
use crate::core::error::Fault;
use crate::core::words::{ProductRole, StepKind, Surface};

/// An edition of a data sheet, free of faults.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Code of the product.
    pub code: String,
    /// From 1 on; none: whoever keeps the sheet counts.
    pub edition: Option<u32>,
    /// For people.
    pub title: String,
    /// What it is used as.
    pub role: ProductRole,
    /// Where it may go.
    pub surfaces: Vec<Surface>,
    /// The climate in which it may be laid.
    pub apply: Apply,
    /// When it is to be levelled.
    pub level: Option<Level>,
    /// What it may go onto, and what must come before.
    pub recoat: Vec<Recoat>,
    /// How it cures; a coating always says.
    pub cure: Option<Cure>,
    /// How far a millilitre goes, in m².
    pub yield_m2_per_ml: Option<f64>,
    /// How long an unopened bottle keeps.
    pub keeps_unopened: Option<Period>,
    /// How long an opened bottle keeps.
    pub keeps_opened: Option<Period>,
    /// What people should heed, as written.
    pub cautions: Vec<String>,
}

/// From and to, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The lower end.
    pub from: f64,
    /// The upper end.
    pub to: f64,
}

/// Points of a quantity and what holds there, rising: linear between them, constant beyond the ends.
pub type Table<T> = Vec<(f64, T)>;

/// What a table says at a place: `mix` finds what holds at a share of the way, from 0 to 1, between two points.
pub(crate) fn looked_up<T: Copy>(table: &Table<T>, at: f64, mix: impl FnOnce(T, T, f64) -> T) -> Option<T> {
    let next = table.partition_point(|(point, _)| *point <= at);
    match (next.checked_sub(1).and_then(|last| table.get(last)), table.get(next)) {
        (Some((a, from)), Some((b, to))) => Some(mix(*from, *to, (at - a) / (b - a))),
        (Some((_, held)), None) | (None, Some((_, held))) => Some(*held),
        (None, None) => None,
    }
}

impl Span {
    /// Whether a value lies within, both ends included.
    pub fn holds(&self, value: f64) -> bool {
        (self.from..=self.to).contains(&value)
    }
}

/// The climate in which a product may be laid.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Apply {
    /// Air, °C.
    pub air_c: Option<Span>,
    /// Relative humidity, %.
    pub rh_pct: Option<Span>,
    /// The surface itself, °C.
    pub surface_c: Option<Span>,
    /// How far the surface must be above the dew point, in K.
    pub over_dew_c: Option<f64>,
}

/// When a coat is to be levelled (wiped) after it was applied to a section, in seconds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Level {
    /// Whatever the temperature.
    pub after_s: Option<Span>,
    /// By temperature in °C.
    pub table: Table<Span>,
}

impl Level {
    /// The time in seconds that it may take: by the temperature of the panel in °C where that is known and the sheet
    /// has a table, else whatever the temperature. None: the sheet does not say.
    ///
    /// ```
    /// use lustrum::core::sheet::{Level, Span};
    /// let table = vec![(10.0, Span { from: 120.0, to: 240.0 }), (20.0, Span { from: 60.0, to: 120.0 })];
    /// let level = Level { after_s: None, table };
    /// assert_eq!(level.at(Some(15.0)), Some(Span { from: 90.0, to: 180.0 }));
    /// assert_eq!(level.at(None), None);
    /// ```
    pub fn at(&self, panel_c: Option<f64>) -> Option<Span> {
        let between = |a: f64, b: f64, share: f64| a + (b - a) * share;
        let mix = |a: Span, b: Span, share| Span {
            from: between(a.from, b.from, share),
            to: between(a.to, b.to, share),
        };
        panel_c.and_then(|c| looked_up(&self.table, c, mix)).or(self.after_s)
    }
}

/// What a coat lies on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Onto {
    /// The bare surface.
    Bare,
    /// A coating that is in service.
    Aged,
    /// A fresh coat of the product with this code.
    Product(String),
}

/// One answer to the question what the product may go onto.
#[derive(Debug, Clone, PartialEq)]
pub struct Recoat {
    /// What it goes onto.
    pub onto: Onto,
    /// When, after the coat below; none: at any time.
    pub windows: Vec<Window>,
    /// Steps that must come before, by surface.
    pub prep: Vec<(Surface, Vec<StepKind>)>,
}

/// A time in which the next coat may follow, in minutes after the one below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Not earlier.
    pub after_min: f64,
    /// Not later; none: no end.
    pub within_min: Option<f64>,
}

impl Window {
    /// Whether so many minutes after the coat below lie in it.
    pub fn holds(&self, minutes: f64) -> bool {
        minutes >= self.after_min && self.within_min.is_none_or(|within| minutes <= within)
    }
}

/// How a coat cures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cure {
    /// The climate in which the hours of the milestones hold.
    pub reference: Option<Reference>,
    /// Below this it stands still, °C.
    pub stops_below_c: Option<f64>,
    /// How temperature changes the rate.
    pub temperature: Option<Temperature>,
    /// How relative humidity (%) changes the rate; empty: it does not.
    pub humidity: Table<f64>,
    /// What an infrared lamp does.
    pub lamp: Option<Lamp>,
    /// Rising in hours.
    pub milestones: Vec<Milestone>,
    /// Whether it takes water at once.
    pub wet_at_once: bool,
}

/// The climate in which the rate of cure is 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// °C.
    pub c: f64,
    /// Relative humidity, %.
    pub rh_pct: Option<f64>,
}

/// How temperature changes the rate of cure.
#[derive(Debug, Clone, PartialEq)]
pub enum Temperature {
    /// The factor for each 10 K; above 0.
    Q10(f64),
    /// Activation energy in J/mol (the equivalent-age form of ASTM C1074); above 0.
    ActivationEnergy(f64),
    /// Factors by °C.
    Table(Table<f64>),
}

/// A milestone that a lamp reaches by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Lamp {
    /// The panels are held at this or more, °C.
    pub panel_c: f64,
    /// For so many minutes.
    pub min: f64,
    /// The milestone that is reached then.
    pub then: String,
}

/// A point on the way to full cure.
#[derive(Debug, Clone, PartialEq)]
pub struct Milestone {
    /// As the sheet calls it: `water-safe`, `wash-safe`.
    pub name: String,
    /// Hours in the reference climate.
    pub h: f64,
    /// Reached after so many days whatever the climate; none: perhaps never.
    pub latest_days: Option<u32>,
}

impl Cure {
    /// Reads what a coating's sheet says of its cure, by itself, or says everything that is wrong with it.
    pub fn read(value: &Value) -> Result<Self, Vec<Fault>> {
        parse::cure_of_coating(value)
    }
}

impl Sheet {
    /// Reads a document, or says everything that is wrong with it, each fault at its place.
    ///
    /// ```
    /// use lustrum::core::sheet::Sheet;
    /// let faults = Sheet::parse(br#"{"code": "shine", "title": "Shine", "role": "topper", "surfaces": ["paint"],
    ///     "apply": {"air_c": [30, 10]}}"#).unwrap_err();
    /// assert_eq!((faults[0].pointer.as_str(), faults[0].code), ("/apply/air_c", "upside_down"));
    /// ```
    pub fn parse(document: &[u8]) -> Result<Self, Vec<Fault>> {
        let value = crate::core::json::read(document).map_err(|fault| vec![fault])?;
        Self::read(&value)
    }

    /// The same from a value that was read before.
    pub fn read(value: &Value) -> Result<Self, Vec<Fault>> {
        parse::sheet(value)
    }

    /// Whether the product may go onto this surface.
    pub fn takes(&self, surface: Surface) -> bool {
        self.surfaces.contains(&surface)
    }

    /// What it says of going onto this; none where it does not say.
    pub fn recoat(&self, onto: &Onto) -> Option<&Recoat> {
        self.recoat.iter().find(|recoat| recoat.onto == *onto)
    }

    /// The steps that must come before a coat of it that goes onto this on this surface; none where the sheet
    /// does not say.
    pub fn prep(&self, onto: &Onto, surface: Surface) -> Option<&[StepKind]> {
        let recoat = self.recoat(onto)?;
        recoat.prep.iter().find(|(of, _)| *of == surface).map(|(_, steps)| steps.as_slice())
    }
}
