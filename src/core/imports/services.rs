//! A past service as a file tells of it.

use serde::Serialize;

use super::cells::word_of;
use super::{Column, Kept, Kind, OdometerSaid, Row, VehicleSaid};
use crate::core::calendar::Day;
use crate::core::json;
use crate::core::vehicle_events::Figures;
use crate::core::words::DoneBy;

/// A past service as a file tells of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Service {
    /// On which vehicle.
    pub vehicle: VehicleSaid,
    /// The day.
    pub on: Day,
    /// Which, in the words of the terms.
    pub service: String,
    /// What the odometer showed.
    pub odometer: Option<OdometerSaid>,
    /// Who did it; the own shop unless said.
    pub done_by: DoneBy,
    /// Whether it was done as the terms ask; yes unless said.
    pub carried_out: bool,
    /// Whether it was entered in time; yes unless said.
    #[serde(skip_serializing_if = "is_usual")]
    pub in_time: bool,
    /// What it found, for people.
    pub finding: Option<String>,
    /// What it measured, by panel.
    pub figures: Figures,
}

impl Kept for Service {
    const KIND: Kind = Kind::Services;

    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let vehicle = VehicleSaid::read(row);
        row.needed(Column::On);
        let on = row.day(Column::On);
        row.needed(Column::Service);
        let service = row.text_of(Column::Service, 60);
        let odometer = OdometerSaid::read(row);
        let done_by = done_by(row).unwrap_or(DoneBy::Shop);
        let carried_out = row.yes_or_no(Column::CarriedOut).unwrap_or(true);
        let in_time = row.yes_or_no(Column::InTime).unwrap_or(true);
        let finding = row.text_of(Column::Finding, 5_000);
        let figures = figures(row);
        if row.faults() > before {
            return None;
        }
        Some(Self {
            vehicle: vehicle?,
            on: on?,
            service: service?,
            odometer,
            done_by,
            carried_out,
            in_time,
            finding,
            figures: figures.unwrap_or_default(),
        })
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let mut cells = self.vehicle.cells();
        cells.push((Column::On, self.on.to_string()));
        cells.push((Column::Service, self.service.clone()));
        cells.extend(self.odometer.iter().flat_map(OdometerSaid::cells));
        cells.push((Column::DoneBy, self.done_by.to_string()));
        let yes_or_no = |yes| if yes { "yes" } else { "no" }.to_owned();
        cells.push((Column::CarriedOut, yes_or_no(self.carried_out)));
        cells.push((Column::InTime, yes_or_no(self.in_time)));
        cells.extend(self.finding.clone().map(|text| (Column::Finding, text)));
        if !self.figures.is_empty() {
            let text = serde_json::to_string(&self.figures).unwrap_or_default();
            cells.push((Column::Figures, text));
        }
        cells
    }
}

/// What says nothing new is not written, so that a row says the same with the column and without.
fn is_usual(in_time: &bool) -> bool {
    *in_time
}

/// Reads who did it: the own shop, another one, or the owner.
fn done_by(row: &mut Row<'_, '_>) -> Option<DoneBy> {
    match word_of(&row.cell(Column::DoneBy)?).as_str() {
        "own" => Some(DoneBy::Shop),
        "elsewhere" => Some(DoneBy::OtherShop),
        _ => row.word(Column::DoneBy),
    }
}

/// Reads what was measured: `{"bonnet": {"contact_angle_deg": 98}}`.
fn figures(row: &mut Row<'_, '_>) -> Option<Figures> {
    let text = row.cell(Column::Figures)?;
    match json::read(text.as_bytes()).and_then(json::typed::<Figures>) {
        Ok(figures) => Some(figures),
        Err(fault) => {
            let detail =
                format!("{}; allowed is as {{\"bonnet\": {{\"contact_angle_deg\": 98}}}}", fault.detail);
            row.fault(Column::Figures, "not_figures", detail);
            None
        }
    }
}
