//! What else happened to a vehicle, as a file tells of it: the odometer was read, it was sold, a panel was repaired or
//! coated again, something affected its cover, it left for good; or a due of its warranty was waived or extended.

use std::collections::BTreeSet;

use serde::Serialize;

use super::cells::word_of;
use super::lists::{BETWEEN, list, panel_of, split};
use super::spellings::HAPPENINGS;
use super::{Column, Kept, Kind, LONGEST_REF, OdometerSaid, Row, VehicleSaid};
use crate::core::calendar::Day;
use crate::core::fold::folded;
use crate::core::words::{Panel, Surface, words};

words! {
    /// What a row of events tells of.
    Happening, "kind of event" {
        Reading = "reading",
        /// Out of a dealer's stock it is the first owner's handover, else a transfer.
        Sale = "sale",
        /// A sale that counts among the transfers of the terms, whoever had the vehicle.
        Transfer = "transfer",
        Repair = "repair",
        Recoat = "recoat",
        Breach = "breach",
        Close = "close",
        Waive = "waive",
        Extend = "extend",
    }
}

/// The columns of which each kind of event has some of its own.
const DETAILS: [Column; 9] = [
    Column::Surfaces,
    Column::Panel,
    Column::Breach,
    Column::NewOwner,
    Column::ToldOn,
    Column::Job,
    Column::Upkeep,
    Column::DueNumber,
    Column::ExtendedTo,
];

impl Happening {
    /// Of the details those that it has.
    const fn details(self) -> &'static [Column] {
        use Column as C;
        match self {
            Self::Reading | Self::Close => &[],
            Self::Sale | Self::Transfer => &[C::NewOwner, C::ToldOn],
            Self::Repair | Self::Recoat => &[C::Surfaces, C::Panel],
            Self::Breach => &[C::Breach, C::Surfaces],
            Self::Waive => &[C::Job, C::Upkeep, C::DueNumber],
            Self::Extend => &[C::Job, C::Upkeep, C::DueNumber, C::ExtendedTo],
        }
    }

    /// Whether it is answered for with a reason.
    const fn has_reason(self) -> bool {
        matches!(self, Self::Close | Self::Waive | Self::Extend)
    }
}

/// Something that happened to a vehicle, as a file tells of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Event {
    /// To which vehicle.
    pub vehicle: VehicleSaid,
    /// The day.
    pub on: Day,
    /// What the odometer showed; a reading has one.
    pub odometer: Option<OdometerSaid>,
    /// What happened.
    pub what: What,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum What {
    /// The odometer was read.
    Reading,
    /// It was sold: out of a dealer's stock the first owner's handover, else a transfer.
    Sale(Sold),
    /// It was sold, which counts among the transfers of the terms, whoever had it.
    Transfer(Sold),
    /// A panel was repaired or refinished.
    Repair(Place),
    /// A repaired panel was coated again.
    Recoat(Place),
    /// Something that the terms list as affecting cover.
    Breach {
        /// The terms' key of it.
        key: String,
        /// Where; everywhere unless said.
        surfaces: Option<BTreeSet<Surface>>,
    },
    /// The vehicle left for good.
    Close {
        /// Why.
        reason: String,
    },
    /// A due is asked for no more.
    Waive(Granted),
    /// A due closes later.
    Extend {
        /// Which, and why.
        #[serde(flatten)]
        granted: Granted,
        /// Its new last day.
        to: Day,
    },
}

/// A sale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sold {
    /// The new owner: a customer's own key, e-mail address or name.
    pub to: String,
    /// The day on which the shop was told; none: it was not.
    pub told: Option<Day>,
}

/// A panel of a surface.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Place {
    /// The surface.
    pub surface: Surface,
    /// The panel.
    pub panel: Panel,
}

/// A due of a warranty of which something was granted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Granted {
    /// The job that the warranty came with, by its own key; needed where several warranties have the rule.
    pub job: Option<String>,
    /// Key of the rule.
    pub upkeep: String,
    /// Which of its dues, from 1 on.
    pub number: u32,
    /// Why.
    pub reason: String,
}

impl Kept for Event {
    const KIND: Kind = Kind::Events;

    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let vehicle = VehicleSaid::read(row);
        row.needed(Column::On);
        let on = row.day(Column::On);
        row.needed(Column::Kind);
        let kind = happening(row);
        let told = row.faults();
        let odometer = OdometerSaid::read(row);
        if kind == Some(Happening::Reading) && odometer.is_none() && row.faults() == told {
            row.fault(Column::Odometer, "missing", "`odometer` is needed here: what was read");
        }
        let what = kind.and_then(|kind| {
            strays(row, kind);
            what(row, kind)
        });
        if row.faults() > before {
            return None;
        }
        Some(Self { vehicle: vehicle?, on: on?, odometer, what: what? })
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let mut cells = self.vehicle.cells();
        cells.push((Column::On, self.on.to_string()));
        cells.push((Column::Kind, self.what.kind().to_string()));
        cells.extend(self.odometer.iter().flat_map(OdometerSaid::cells));
        match &self.what {
            What::Reading => {}
            What::Sale(sold) | What::Transfer(sold) => {
                cells.push((Column::NewOwner, sold.to.clone()));
                let told = sold.told.map_or_else(|| "no".to_owned(), |day| day.to_string());
                cells.push((Column::ToldOn, told));
            }
            What::Repair(place) | What::Recoat(place) => {
                cells.push((Column::Surfaces, place.surface.to_string()));
                cells.push((Column::Panel, place.panel.to_string()));
            }
            What::Breach { key, surfaces } => {
                cells.push((Column::Breach, key.clone()));
                cells.extend(surfaces.as_ref().map(|named| {
                    let named: Vec<String> = named.iter().map(ToString::to_string).collect();
                    (Column::Surfaces, named.join(", "))
                }));
            }
            What::Close { reason } => cells.push((Column::Reason, reason.clone())),
            What::Waive(granted) => cells.extend(granted.cells()),
            What::Extend { granted, to } => {
                cells.extend(granted.cells());
                cells.push((Column::ExtendedTo, to.to_string()));
            }
        }
        cells
    }
}

impl What {
    /// The word for it.
    pub fn kind(&self) -> Happening {
        match self {
            Self::Reading => Happening::Reading,
            Self::Sale(_) => Happening::Sale,
            Self::Transfer(_) => Happening::Transfer,
            Self::Repair(_) => Happening::Repair,
            Self::Recoat(_) => Happening::Recoat,
            Self::Breach { .. } => Happening::Breach,
            Self::Close { .. } => Happening::Close,
            Self::Waive(_) => Happening::Waive,
            Self::Extend { .. } => Happening::Extend,
        }
    }
}

impl Granted {
    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let job = row.text_of(Column::Job, LONGEST_REF);
        row.needed(Column::Upkeep);
        let upkeep = row.text_of(Column::Upkeep, 60);
        let number = row.needed(Column::DueNumber).and_then(|text| {
            let number = text.parse().ok().filter(|number| *number >= 1);
            if number.is_none() {
                let detail = format!("{text:?} is no number of a due; allowed are 1, 2, 3, …");
                row.fault(Column::DueNumber, "out_of_range", detail);
            }
            number
        });
        let reason = reason(row);
        Some(Self { job, upkeep: upkeep?, number: number?, reason: reason? })
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let mut cells = vec![
            (Column::Upkeep, self.upkeep.clone()),
            (Column::DueNumber, self.number.to_string()),
            (Column::Reason, self.reason.clone()),
        ];
        cells.extend(self.job.clone().map(|job| (Column::Job, job)));
        cells
    }
}

/// Reads what happened, in the words of the interface or as shops call it.
fn happening(row: &mut Row<'_, '_>) -> Option<Happening> {
    let text = row.cell(Column::Kind)?;
    let key: String = folded(&text).chars().filter(|c| c.is_alphanumeric()).collect();
    let called = HAPPENINGS.iter().find(|(_, names)| names.split(' ').any(|name| name == key));
    called.map(|(happening, _)| *happening).or_else(|| row.word(Column::Kind))
}

/// Tells what stands in columns that this kind of event does not have: it would be lost.
fn strays(row: &mut Row<'_, '_>, kind: Happening) {
    let not_its = DETAILS.into_iter().filter(|column| !kind.details().contains(column));
    let reason = Some(Column::Reason).filter(|_| !kind.has_reason());
    for column in not_its.chain(reason) {
        if row.cell(column).is_some() {
            row.fault(
                column,
                "not_of_kind",
                format!("a row of kind {kind} has no `{column}`: leave it empty"),
            );
        }
    }
}

fn what(row: &mut Row<'_, '_>, kind: Happening) -> Option<What> {
    Some(match kind {
        Happening::Reading => What::Reading,
        Happening::Sale => What::Sale(sold(row)?),
        Happening::Transfer => What::Transfer(sold(row)?),
        Happening::Repair => What::Repair(place(row)?),
        Happening::Recoat => What::Recoat(place(row)?),
        Happening::Breach => {
            row.needed(Column::Breach);
            let key = row.text_of(Column::Breach, 60);
            let surfaces: BTreeSet<Surface> = list(row, Column::Surfaces, &word_of).into_iter().collect();
            What::Breach { key: key?, surfaces: Some(surfaces).filter(|named| !named.is_empty()) }
        }
        Happening::Close => What::Close { reason: reason(row)? },
        Happening::Waive => What::Waive(Granted::read(row)?),
        Happening::Extend => {
            let granted = Granted::read(row);
            row.needed(Column::ExtendedTo);
            let to = row.day(Column::ExtendedTo);
            What::Extend { granted: granted?, to: to? }
        }
    })
}

fn sold(row: &mut Row<'_, '_>) -> Option<Sold> {
    row.needed(Column::NewOwner);
    let to = row.text_of(Column::NewOwner, LONGEST_REF);
    if row.cell(Column::ToldOn).is_none() {
        let detail = "when was your shop told of the sale? `told_on` is a day, or no where it was not";
        row.fault(Column::ToldOn, "missing", detail);
    }
    let told = row.day_or_no(Column::ToldOn);
    Some(Sold { to: to?, told: told? })
}

fn place(row: &mut Row<'_, '_>) -> Option<Place> {
    row.needed(Column::Surfaces);
    let surfaces: Vec<Surface> = list(row, Column::Surfaces, &word_of);
    if surfaces.len() > 1 {
        row.fault(Column::Surfaces, "several_surfaces", "write a row for each surface");
    }
    let panel = row.needed(Column::Panel).and_then(|text| {
        let parts = split(&text, BETWEEN).into_iter().filter(|part| !part.trim().is_empty());
        if !text.starts_with(Panel::OTHER_PREFIX) && parts.count() > 1 {
            row.fault(Column::Panel, "several_panels", "write a row for each panel");
            return None;
        }
        let panel = panel_of(&text).parse::<Panel>();
        panel.map_err(|fault| row.fault(Column::Panel, fault.code, fault.detail)).ok()
    });
    match surfaces.as_slice() {
        [surface] => Some(Place { surface: *surface, panel: panel? }),
        _ => None,
    }
}

fn reason(row: &mut Row<'_, '_>) -> Option<String> {
    row.needed(Column::Reason);
    row.text_of(Column::Reason, 2_000)
}
