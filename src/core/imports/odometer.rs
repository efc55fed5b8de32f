//! What jobs, services and events say alike: which vehicle, and what its odometer showed.

use serde::Serialize;

use super::{Column, LONGEST_REF, Row};
use crate::core::fold::folded;
use crate::core::odometer::{MAX_KM, Odometer};
use crate::core::plate::plate_key;
use crate::core::vin::Vin;
use crate::core::words::OdometerUnit;

/// Which vehicle a row is about: by its own key, its VIN or its plate, at least one.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct VehicleSaid {
    /// The vehicle's own key, or its id.
    pub key: Option<String>,
    /// Its VIN.
    pub vin: Option<String>,
    /// Its plate, as written.
    pub plate: Option<String>,
}

impl VehicleSaid {
    /// Reads the columns `vehicle`, `vin` and `plate`.
    pub(super) fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let said = Self {
            key: row.text_of(Column::Vehicle, LONGEST_REF),
            vin: row.parsed::<Vin>(Column::Vin).map(|vin| vin.as_str().to_owned()),
            plate: row.text_of(Column::Plate, 20),
        };
        if row.faults() > before {
            return None;
        }
        if said == Self::default() {
            row.fault(Column::Vin, "missing", "`vehicle`, `vin` or `plate` is needed here");
            return None;
        }
        if said.plate.as_deref().is_some_and(|plate| plate_key(plate).is_empty()) {
            row.fault(Column::Plate, "empty", "a plate has a letter or a digit");
            return None;
        }
        Some(said)
    }

    /// The columns that say it.
    pub(super) fn cells(&self) -> Vec<(Column, String)> {
        let said = [(Column::Vehicle, &self.key), (Column::Vin, &self.vin), (Column::Plate, &self.plate)];
        said.into_iter().filter_map(|(column, text)| Some((column, text.clone()?))).collect()
    }
}

/// What an odometer showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct OdometerSaid {
    /// The number, whole; tenths are left off.
    pub value: u32,
    /// The unit; the vehicle's unless said.
    pub unit: Option<OdometerUnit>,
    /// Distance driven in km, summed over replaced odometers, where the file says it: taken as it is said.
    pub distance_km: Option<u32>,
}

impl OdometerSaid {
    /// Reads the columns of an odometer; nothing where none of them says anything.
    pub(super) fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let given: Vec<Column> = [Column::Odometer, Column::OdometerKm, Column::OdometerMi]
            .into_iter()
            .filter(|column| row.cell(*column).is_some())
            .collect();
        let unit = row.word::<OdometerUnit>(Column::OdometerUnit);
        let distance = distance(row, Column::DistanceKm);
        let column = match given.as_slice() {
            [] if distance.is_some() => {
                row.fault(
                    Column::DistanceKm,
                    "odometer_missing",
                    "a distance stands beside what the odometer showed",
                );
                return None;
            }
            [] => return None,
            [column] => *column,
            [_, second, ..] => {
                row.fault(
                    *second,
                    "odometer_twice",
                    "the odometer stands in another column of this row already",
                );
                return None;
            }
        };
        let text = row.cell(column)?;
        let (value, in_text) = match number(&text) {
            Ok(read) => read,
            Err(detail) => {
                row.fault(column, "not_an_odometer", detail);
                return None;
            }
        };
        let by_header = match column {
            Column::OdometerKm => Some(OdometerUnit::Km),
            Column::OdometerMi => Some(OdometerUnit::Mi),
            _ => None,
        };
        let units: Vec<OdometerUnit> = [in_text, by_header, unit].into_iter().flatten().collect();
        if let [one, rest @ ..] = units.as_slice()
            && let Some(other) = rest.iter().find(|other| *other != one)
        {
            row.fault(column, "unit_contradicts", format!("{text:?} is said to be in {one} and in {other}"));
            return None;
        }
        let unit = units.first().copied();
        // In whichever unit: miles are the longer ones.
        if let Err(fault) = Odometer::new(value, unit.unwrap_or(OdometerUnit::Km)) {
            row.fault(column, fault.code, fault.detail);
            return None;
        }
        Some(Self { value, unit, distance_km: distance })
    }

    /// The columns that say it.
    pub(super) fn cells(&self) -> Vec<(Column, String)> {
        let mut cells = vec![(Column::Odometer, self.value.to_string())];
        cells.extend(self.unit.map(|unit| (Column::OdometerUnit, unit.to_string())));
        cells.extend(self.distance_km.map(|km| (Column::DistanceKm, km.to_string())));
        cells
    }
}

/// A distance in whole km.
pub(super) fn distance(row: &mut Row<'_, '_>, column: Column) -> Option<u32> {
    let text = row.cell(column)?;
    match number(&text) {
        Ok((km, None | Some(OdometerUnit::Km))) if km <= MAX_KM => Some(km),
        _ => {
            row.fault(
                column,
                "not_a_distance",
                format!("{text:?} is no distance; allowed are 0 to {MAX_KM} km"),
            );
            None
        }
    }
}

/// Reads `31000`, `31.000 km`, `31,000`, `31 000`, `31'000 mi` or `31000,7`: a mark before exactly three digits groups
/// them, any other begins the tenths, which are left off.
fn number(text: &str) -> Result<(u32, Option<OdometerUnit>), String> {
    let refuse =
        || format!("{text:?} is no odometer; allowed are whole numbers, as 31000, 31.000 km or 31,000 mi");
    let end = text.rfind(|c: char| c.is_ascii_digit()).map_or(0, |place| place + 1);
    let (digits, unit) = text.split_at(end);
    // Abbreviated with a point, or not.
    let unit = unit.trim();
    let unit = unit.strip_suffix('.').filter(|letters| !letters.is_empty()).unwrap_or(unit);
    let unit = match folded(unit).as_str() {
        "" => None,
        "km" | "kms" => Some(OdometerUnit::Km),
        "mi" | "mile" | "miles" => Some(OdometerUnit::Mi),
        _ => return Err(refuse()),
    };
    let mut parts: Vec<&str> = digits.split(['.', ',', ' ', '\'', '\u{a0}', '\u{202f}', '’']).collect();
    // Tenths: a last part that groups nothing.
    if parts.len() > 1 && parts.last().is_some_and(|last| last.len() != 3 && !last.is_empty()) {
        let mark = digits[..digits.len() - parts.last().map_or(0, |last| last.len())].chars().next_back();
        if !matches!(mark, Some('.' | ',')) {
            return Err(refuse());
        }
        let tenths = parts.pop().unwrap_or_default();
        if tenths.len() > 2 || !tenths.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(refuse());
        }
    }
    let grouped = parts.len() > 1;
    let right = parts.iter().enumerate().all(|(i, part)| {
        let length = if grouped && i > 0 {
            part.len() == 3
        } else {
            (1..=if grouped { 3 } else { 9 }).contains(&part.len())
        };
        length && part.bytes().all(|byte| byte.is_ascii_digit())
    });
    match parts.concat().parse() {
        Ok(value) if right => Ok((value, unit)),
        _ => Err(refuse()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odometers_as_people_write_them() {
        for (text, value, unit) in [
            ("31000", 31_000, None),
            ("31.000 km", 31_000, Some(OdometerUnit::Km)),
            ("31,000", 31_000, None),
            ("31 000", 31_000, None),
            ("1'031'000 mi", 1_031_000, Some(OdometerUnit::Mi)),
            ("31000,7", 31_000, None),
            ("31.000,75 KM", 31_000, Some(OdometerUnit::Km)),
            ("0", 0, None),
        ] {
            assert_eq!(number(text), Ok((value, unit)), "{text}");
        }
        for text in ["", "km", "-5", "31000 versts", "3.1.000", "31,0000", "31 00", "1e5", "31000.", ".5"] {
            assert!(number(text).is_err(), "{text:?}: {:?}", number(text));
        }
    }
}
