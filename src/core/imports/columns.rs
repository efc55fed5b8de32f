//! The columns of each kind, and how a header is found to be one of them.

use serde::Serialize;

use super::Kind;
use super::spellings::SPELLINGS;
use crate::core::error::Fault;
use crate::core::fold;
use crate::core::words::words;

words! {
    /// What a column says.
    Column, "column" {
        /// The row's own key.
        Ref = "ref",
        Name = "name",
        FirstName = "first_name",
        LastName = "last_name",
        /// Of a customer: an owner, or a dealer's stock; of an event what happened.
        Kind = "kind",
        Email = "email",
        Phone = "phone",
        Language = "language",
        TimeZone = "time_zone",
        MailUpkeep = "mail_upkeep",
        MailHistory = "mail_history",
        Vin = "vin",
        Plate = "plate",
        Make = "make",
        Model = "model",
        ModelYear = "model_year",
        Colour = "colour",
        Finish = "finish",
        Size = "size",
        /// A vehicle, by its own key.
        Vehicle = "vehicle",
        /// A customer, by their own key, e-mail address or name.
        Owner = "owner",
        OwnedSince = "owned_since",
        HandedOverOn = "handed_over_on",
        /// The day of the last coat.
        CompletedOn = "completed_on",
        On = "on",
        Odometer = "odometer",
        OdometerUnit = "odometer_unit",
        /// The odometer where the header itself says km.
        OdometerKm = "odometer_km",
        /// The odometer where the header itself says miles.
        OdometerMi = "odometer_mi",
        /// Distance driven in km, summed over replaced odometers.
        DistanceKm = "distance_km",
        Surfaces = "surfaces",
        Panels = "panels",
        ExcludedPanels = "excluded_panels",
        Coats = "coats",
        /// Code of the terms.
        Terms = "terms",
        Edition = "edition",
        WarrantyStart = "warranty_start",
        WarrantyStartKm = "warranty_start_km",
        Service = "service",
        DoneBy = "done_by",
        CarriedOut = "carried_out",
        /// Whether a service was entered in time.
        InTime = "in_time",
        Finding = "finding",
        Figures = "figures",
        /// The one panel that an event was about.
        Panel = "panel",
        /// Key of something that affects cover, in the words of the terms.
        Breach = "breach",
        /// A customer who bought the vehicle, by their own key, e-mail address or name.
        NewOwner = "new_owner",
        /// The day on which the shop was told of a sale, or `no`.
        ToldOn = "told_on",
        /// A job, by its own key: the one whose warranty is meant.
        Job = "job",
        /// Key of a rule of upkeep, in the words of the terms.
        Upkeep = "upkeep",
        DueNumber = "due_number",
        /// The new last day of a due.
        ExtendedTo = "extended_to",
        Reason = "reason",
    }
}

impl Column {
    /// The columns that files of a kind can have, in the order in which they are written; those that other columns
    /// say as well are read only.
    pub const fn of(kind: Kind) -> &'static [Self] {
        use Column as C;
        match kind {
            Kind::Customers => &[
                C::Ref,
                C::Name,
                C::Kind,
                C::Email,
                C::Phone,
                C::Language,
                C::TimeZone,
                C::MailUpkeep,
                C::MailHistory,
                C::FirstName,
                C::LastName,
            ],
            Kind::Vehicles => &[
                C::Ref,
                C::Vin,
                C::Plate,
                C::Make,
                C::Model,
                C::ModelYear,
                C::Colour,
                C::Finish,
                C::Size,
                C::OdometerUnit,
                C::Owner,
                C::OwnedSince,
            ],
            Kind::Jobs => &[
                C::Ref,
                C::Vehicle,
                C::Vin,
                C::Plate,
                C::Owner,
                C::HandedOverOn,
                C::CompletedOn,
                C::Odometer,
                C::OdometerUnit,
                C::DistanceKm,
                C::Surfaces,
                C::Panels,
                C::ExcludedPanels,
                C::Coats,
                C::Terms,
                C::Edition,
                C::WarrantyStart,
                C::WarrantyStartKm,
                C::OdometerKm,
                C::OdometerMi,
            ],
            Kind::Services => &[
                C::Ref,
                C::Vehicle,
                C::Vin,
                C::Plate,
                C::On,
                C::Service,
                C::Odometer,
                C::OdometerUnit,
                C::DistanceKm,
                C::DoneBy,
                C::CarriedOut,
                C::InTime,
                C::Finding,
                C::Figures,
                C::OdometerKm,
                C::OdometerMi,
            ],
            Kind::Events => &[
                C::Ref,
                C::Vehicle,
                C::Vin,
                C::Plate,
                C::On,
                C::Kind,
                C::Odometer,
                C::OdometerUnit,
                C::DistanceKm,
                C::Surfaces,
                C::Panel,
                C::Breach,
                C::NewOwner,
                C::ToldOn,
                C::Job,
                C::Upkeep,
                C::DueNumber,
                C::ExtendedTo,
                C::Reason,
                C::OdometerKm,
                C::OdometerMi,
            ],
        }
    }

    /// The columns that are written.
    pub fn written(kind: Kind) -> Vec<Self> {
        let read_only = [Self::FirstName, Self::LastName, Self::OdometerKm, Self::OdometerMi];
        Self::of(kind).iter().copied().filter(|column| !read_only.contains(column)).collect()
    }

    /// The columns without which no row can be read: of each list one.
    const fn needed(kind: Kind) -> &'static [&'static [Self]] {
        use Column as C;
        match kind {
            Kind::Customers => &[&[C::Name, C::FirstName, C::LastName]],
            Kind::Vehicles => &[&[C::Vin, C::Plate]],
            Kind::Jobs => &[
                &[C::Vehicle, C::Vin, C::Plate],
                &[C::HandedOverOn],
                &[C::Odometer, C::OdometerKm, C::OdometerMi],
            ],
            Kind::Services => &[&[C::Vehicle, C::Vin, C::Plate], &[C::On], &[C::Service]],
            Kind::Events => &[&[C::Vehicle, C::Vin, C::Plate], &[C::On], &[C::Kind]],
        }
    }

    /// Whether it holds a day.
    pub(super) const fn is_day(self) -> bool {
        matches!(
            self,
            Self::OwnedSince
                | Self::HandedOverOn
                | Self::CompletedOn
                | Self::WarrantyStart
                | Self::On
                | Self::ToldOn
                | Self::ExtendedTo
        )
    }

    /// The column that a header means in files of a kind.
    pub(super) fn meant(kind: Kind, header: &str) -> Option<Self> {
        let key = folded(header);
        let spelled = |column: &&Self| {
            folded(column.as_str()) == key
                || SPELLINGS
                    .iter()
                    .any(|(of, names)| of == *column && names.split(' ').any(|name| name == key))
        };
        // A key is looked for last: a number of the customer is a key among customers, and names an owner elsewhere.
        let (of_key, others) = Self::of(kind).split_first()?;
        others.iter().find(spelled).or_else(|| Some(of_key).filter(spelled)).copied()
    }
}

/// A header as spellings are compared: folded, letters and digits alone.
fn folded(header: &str) -> String {
    fold::folded(header).chars().filter(|c| c.is_alphanumeric()).collect()
}

/// A header, and what it was taken for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Mapped {
    /// The header, as the file has it.
    pub header: String,
    /// The column that it means.
    pub column: Column,
}

/// What of a header is meant, place by place.
pub(super) fn mapping(kind: Kind, header: &[String]) -> Vec<Option<Column>> {
    header.iter().map(|name| Column::meant(kind, name)).collect()
}

/// What is wrong with a header: a column twice, or one that is needed and not there.
pub(super) fn faults(kind: Kind, header: &[String], columns: &[Option<Column>]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (i, column) in columns.iter().enumerate() {
        let Some(column) = column else { continue };
        if let Some(first) = columns[..i].iter().position(|before| before.as_ref() == Some(column)) {
            let detail = format!("the headers {:?} and {:?} both mean {column}", header[first], header[i]);
            faults.push(super::of_file("column_twice", detail));
        }
    }
    for one_of in Column::needed(kind) {
        if !one_of.iter().any(|column| columns.contains(&Some(*column))) {
            let names = one_of.iter().map(|column| column.as_str()).collect::<Vec<_>>().join(" or ");
            let found = header.join(", ");
            let detail = format!("no column is {names}; the headers are {found}");
            faults.push(super::of_file("column_missing", detail));
        }
    }
    faults
}
