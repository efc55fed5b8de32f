//! A vehicle as a file tells of it.

use serde::Serialize;

use super::{Column, Kept, Kind, LONGEST_REF, Row};
use crate::core::calendar::Day;
use crate::core::plate::plate_key;
use crate::core::vin::Vin;
use crate::core::words::{Finish, OdometerUnit, VehicleSize};

/// A vehicle as a file tells of it; a VIN or a plate is needed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Vehicle {
    /// Vehicle identification number.
    pub vin: Option<String>,
    /// Number plate, as written.
    pub plate: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// Model year, 1900–2999.
    pub model_year: Option<i32>,
    /// Colour.
    pub colour: Option<String>,
    /// Finish of most of its panels; clear coat unless said.
    pub finish: Finish,
    /// Rough size; medium unless said.
    pub size: VehicleSize,
    /// What its odometer shows; the shop's unit unless said.
    pub odometer_unit: Option<OdometerUnit>,
    /// Who has it: a customer's own key, e-mail address or name.
    pub owner: Option<String>,
    /// Since when; since it is imported unless said.
    pub owned_since: Option<Day>,
}

impl Kept for Vehicle {
    const KIND: Kind = Kind::Vehicles;

    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let vin = row.parsed::<Vin>(Column::Vin).map(|vin| vin.as_str().to_owned());
        let plate = row.text_of(Column::Plate, 20);
        if vin.is_none() && plate.is_none() && row.faults() == before {
            row.fault(Column::Vin, "vin_or_plate", "a VIN or a plate is needed");
        }
        if plate.as_deref().is_some_and(|plate| plate_key(plate).is_empty()) {
            row.fault(Column::Plate, "empty", "a plate has a letter or a digit");
        }
        let model_year = row.cell(Column::ModelYear).and_then(|text| {
            let year = text.parse().ok().filter(|year| (1900..=2999).contains(year));
            if year.is_none() {
                row.fault(
                    Column::ModelYear,
                    "out_of_range",
                    format!("{text:?} is no year from 1900 to 2999"),
                );
            }
            year
        });
        let owner = row.text_of(Column::Owner, LONGEST_REF);
        let owned_since = row.day(Column::OwnedSince);
        if owned_since.is_some() && owner.is_none() {
            row.fault(Column::OwnedSince, "owner_missing", "since when stands beside who: `owner` is empty");
        }
        let said = Self {
            vin,
            plate,
            make: row.text_of(Column::Make, 100),
            model: row.text_of(Column::Model, 100),
            model_year,
            colour: row.text_of(Column::Colour, 100),
            finish: row.word(Column::Finish).unwrap_or(Finish::ClearCoat),
            size: row.word(Column::Size).unwrap_or(VehicleSize::Medium),
            odometer_unit: row.word(Column::OdometerUnit),
            owner,
            owned_since,
        };
        (row.faults() == before).then_some(said)
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let mut cells =
            vec![(Column::Finish, self.finish.to_string()), (Column::Size, self.size.to_string())];
        for (column, text) in [
            (Column::Vin, self.vin.clone()),
            (Column::Plate, self.plate.clone()),
            (Column::Make, self.make.clone()),
            (Column::Model, self.model.clone()),
            (Column::ModelYear, self.model_year.map(|year| year.to_string())),
            (Column::Colour, self.colour.clone()),
            (Column::OdometerUnit, self.odometer_unit.map(|unit| unit.to_string())),
            (Column::Owner, self.owner.clone()),
            (Column::OwnedSince, self.owned_since.map(|day| day.to_string())),
        ] {
            cells.extend(text.map(|text| (column, text)));
        }
        cells
    }
}
