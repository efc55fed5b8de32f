//! What happens to a vehicle, as a shop enters it, and what of it the terms of a warranty are judged by.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::core::calendar::Day;
use crate::core::facts::EventInput;
use crate::core::ids::{CustomerId, EventId, WarrantyId};
use crate::core::inspections::Inspection;
use crate::core::terms::Rank;
use crate::core::words::{DoneBy, EventKind, Panel, Surface};

/// Values measured at an inspection: panel, then the name of the value (as `contact_angle_deg`).
pub type Figures = BTreeMap<Panel, BTreeMap<String, f64>>;

/// Who did what was done elsewhere, and what the shop that enters it has seen of it. It counts as any shop's, or as the
/// owner's: whether the other shop is accredited is not for this one to say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Elsewhere {
    /// Who did it: `other_shop` or `owner`.
    pub kind: DoneBy,
    /// The other shop's name; up to 200 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What was seen of it, as the number of an invoice; up to 2,000 characters.
    pub proof: String,
}

/// What happened to a vehicle. Written as the JSON object that records and rows hold; `kind` names the variant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Happened {
    /// A service was done.
    Service {
        /// Which, in the words of the terms.
        service: String,
        /// Whether it was done as the terms ask.
        carried_out: bool,
        /// What it found, for people.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<String>,
        /// What it measured.
        #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
        figures: Figures,
        /// What was looked at, and what it came to.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        inspection: Option<Box<Inspection>>,
        /// Whether a manager lets it in although it was entered late.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        countersigned: Option<bool>,
        /// Who did it; the shop that enters it unless said.
        #[serde(default = "own_shop", skip_serializing_if = "is_own_shop")]
        done_by: DoneBy,
        /// Whether it was taken from what the shop kept before.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        imported: bool,
    },
    /// The odometer was read.
    Reading {},
    /// The vehicle went to a new owner.
    Transfer {
        /// The day on which the shop was told; none as long as it was not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        told: Option<NaiveDate>,
        /// The new owner.
        customer: CustomerId,
    },
    /// A panel was repaired or refinished.
    Repair {
        /// What the coating lay on.
        surface: Surface,
        /// Which panel.
        panel: Panel,
    },
    /// A repaired panel was coated again.
    Recoat {
        /// What the coating lies on.
        surface: Surface,
        /// Which panel.
        panel: Panel,
    },
    /// Something happened that the terms list as affecting cover.
    Breach {
        /// The terms' key of it.
        key: String,
        /// Where; everywhere unless said.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        surfaces: Option<Vec<Surface>>,
    },
    /// A due of one warranty was waived.
    Waive {
        /// The warranty.
        warranty: WarrantyId,
        /// The key of the rule.
        upkeep: String,
        /// Which of its dues.
        number: u32,
        /// Why.
        reason: String,
    },
    /// A due of one warranty closes later.
    Extend {
        /// The warranty.
        warranty: WarrantyId,
        /// The key of the rule.
        upkeep: String,
        /// Which of its dues.
        number: u32,
        /// The new last day.
        to: NaiveDate,
        /// Why.
        reason: String,
    },
    /// The vehicle left for good.
    Close {
        /// Why.
        reason: String,
    },
    /// An event was entered by mistake, or is entered anew.
    Retract {
        /// The event that no longer counts.
        event: EventId,
        /// Why.
        reason: String,
    },
}

fn own_shop() -> DoneBy {
    DoneBy::Shop
}

fn is_own_shop(done_by: &DoneBy) -> bool {
    *done_by == DoneBy::Shop
}

impl Happened {
    /// The word for it.
    pub fn kind(&self) -> EventKind {
        match self {
            Self::Service { .. } => EventKind::Service,
            Self::Reading {} => EventKind::Reading,
            Self::Transfer { .. } => EventKind::Transfer,
            Self::Repair { .. } => EventKind::Repair,
            Self::Recoat { .. } => EventKind::Recoat,
            Self::Breach { .. } => EventKind::Breach,
            Self::Waive { .. } => EventKind::Waive,
            Self::Extend { .. } => EventKind::Extend,
            Self::Close { .. } => EventKind::Close,
            Self::Retract { .. } => EventKind::Retract,
        }
    }

    /// The only warranty that it concerns, where it does not concern all of the vehicle.
    pub fn only_warranty(&self) -> Option<WarrantyId> {
        match self {
            Self::Waive { warranty, .. } | Self::Extend { warranty, .. } => Some(*warranty),
            _ => None,
        }
    }

    /// The event that no longer counts because of it.
    pub fn retracts(&self) -> Option<EventId> {
        match self {
            Self::Retract { event, .. } => Some(*event),
            _ => None,
        }
    }
}

/// Something that happened to a vehicle, as it was entered.
#[derive(Debug, Clone, PartialEq)]
pub struct VehicleEvent {
    /// The event.
    pub id: EventId,
    /// The day on which it happened.
    pub on: NaiveDate,
    /// When it was entered.
    pub recorded: DateTime<Utc>,
    /// Distance driven by then in km, summed over replaced odometers.
    pub km: Option<u32>,
    /// The retracted event in whose place it stands.
    pub instead_of: Option<EventId>,
    /// What happened.
    pub happened: Happened,
}

impl VehicleEvent {
    /// The event as a fact of one warranty; `by` is how the shop that enters it stands to the warranty's terms. Of
    /// another shop it is not known how it does: its services count as any shop's.
    ///
    /// What people wrote (findings, reasons) decides nothing and is left out.
    pub fn fact(&self, by: Rank) -> EventInput {
        let mut fact = EventInput::new(self.id.to_string(), self.happened.kind(), self.on.into());
        fact.recorded = Some(self.recorded);
        fact.km = self.km;
        fact.instead_of = self.instead_of.map(|old| old.to_string());
        match &self.happened {
            Happened::Service { service, carried_out, countersigned, done_by, .. } => {
                fact.service = Some(service.clone());
                fact.by = Some(match done_by {
                    DoneBy::Shop => by,
                    DoneBy::OtherShop => Rank::Shop,
                    DoneBy::Owner => Rank::Owner,
                });
                fact.carried_out = Some(*carried_out);
                fact.countersigned = *countersigned;
            }
            Happened::Reading {} | Happened::Close { .. } => {}
            Happened::Transfer { told, .. } => fact.told = told.map(Day::from),
            Happened::Repair { surface, panel } | Happened::Recoat { surface, panel } => {
                fact.surface = Some(surface.to_string());
                fact.panel = Some(panel.to_string());
            }
            Happened::Breach { key, surfaces } => {
                fact.key = Some(key.clone());
                fact.surfaces =
                    surfaces.as_ref().map(|named| named.iter().map(ToString::to_string).collect());
            }
            Happened::Waive { upkeep, number, .. } => {
                fact.upkeep = Some(upkeep.clone());
                fact.number = Some(*number);
            }
            Happened::Extend { upkeep, number, to, .. } => {
                fact.upkeep = Some(upkeep.clone());
                fact.number = Some(*number);
                fact.to = Some((*to).into());
            }
            Happened::Retract { event, .. } => fact.event = Some(event.to_string()),
        }
        fact
    }
}
