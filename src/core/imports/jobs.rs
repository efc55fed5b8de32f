//! A past job as a file tells of it, with the warranty that came with it.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::cells::word_of;
use super::lists::{BETWEEN, cut, escaped, list, panel_of, plain, split};
use super::odometer::distance;
use super::{Column, Kept, Kind, LONGEST_REF, OdometerSaid, Row, VehicleSaid};
use crate::core::calendar::Day;
use crate::core::error::Fault;
use crate::core::ids::Code;
use crate::core::words::{Panel, Surface};

/// Every mark that means something in lists and coats.
const MARKS: &[char] = &[',', ';', '\n', ':', '/', '(', ')'];

/// What stands for a batch number that nobody knows any more.
pub const UNKNOWN_BATCH: &str = "unknown";

/// What stands for an owner where nobody had the vehicle.
pub const NOBODY: &str = "nobody";

/// A past job as a file tells of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Job {
    /// The vehicle.
    pub vehicle: VehicleSaid,
    /// Whose it was: a customer's own key, e-mail address or name, or [`NOBODY`]; whoever has it now unless said.
    pub owner: Option<String>,
    /// The day of handover.
    pub handed_over_on: Day,
    /// The day of the last coat; that of handover unless said.
    pub completed_on: Option<Day>,
    /// The odometer at handover.
    pub odometer: OdometerSaid,
    /// The surfaces that were coated, each with its panels.
    pub surfaces: BTreeMap<Surface, BTreeSet<Panel>>,
    /// Panels that were left out.
    pub excluded_panels: BTreeSet<Panel>,
    /// The coats, as far as they are known.
    pub coats: Vec<CoatSaid>,
    /// Code and edition of the terms that the warranty was issued on; none: no warranty.
    pub terms: Option<(String, u32)>,
    /// The first day of cover; what the terms say of it unless said.
    pub warranty_start: Option<Day>,
    /// The distance driven by then, in km; that at handover unless said.
    pub warranty_start_km: Option<u32>,
}

/// A coat as a file tells of it: `SURFACE (PANEL, PANEL): PRODUCT / BATCH`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct CoatSaid {
    /// On which surface.
    pub surface: Surface,
    /// On which panels; all that the job names of the surface unless said.
    pub panels: BTreeSet<Panel>,
    /// Code of the product.
    pub product: String,
    /// The batch number; none: nobody knows it any more.
    pub batch: Option<String>,
}

impl Kept for Job {
    const KIND: Kind = Kind::Jobs;

    fn read(row: &mut Row<'_, '_>) -> Option<Self> {
        let before = row.faults();
        let vehicle = VehicleSaid::read(row);
        let owner = row.text_of(Column::Owner, LONGEST_REF);
        row.needed(Column::HandedOverOn);
        let handed_over_on = row.day(Column::HandedOverOn);
        let completed_on = row.day(Column::CompletedOn);
        if let (Some(last), Some(on)) = (completed_on, handed_over_on)
            && last > on
        {
            row.fault(
                Column::CompletedOn,
                "after_handover",
                format!("{last} lies after the handover on {on}"),
            );
        }
        let told = row.faults();
        let odometer = OdometerSaid::read(row);
        if odometer.is_none() && row.faults() == told {
            row.fault(Column::Odometer, "missing", "`odometer` is needed here: what it showed at handover");
        }
        let told = row.faults();
        let named = list::<Surface>(row, Column::Surfaces, &word_of);
        // Of surfaces that are not clear nothing more can be said.
        let panels = if row.faults() == told { panels(row, &named) } else { BTreeMap::new() };
        let coats = if row.faults() == told { coats(row, &panels) } else { Vec::new() };
        let excluded = list::<Panel>(row, Column::ExcludedPanels, &panel_of);
        let (terms, edition) = (row.parsed::<Code>(Column::Terms), edition(row));
        match (&terms, edition) {
            (Some(terms), None) if row.cell(Column::Edition).is_none() => {
                let detail = format!("which edition of {terms} was it? a warranty stands on one for good");
                row.fault(Column::Edition, "missing", detail);
            }
            (None, Some(_)) if row.cell(Column::Terms).is_none() => {
                row.fault(Column::Edition, "terms_missing", "an edition of which terms? `terms` is empty");
            }
            _ => {}
        }
        if terms.is_some() && panels.is_empty() && row.faults() == before {
            row.fault(
                Column::Surfaces,
                "missing",
                "`surfaces` is needed here: what a warranty covers was coated",
            );
        }
        let warranty_start = row.day(Column::WarrantyStart);
        let warranty_start_km = distance(row, Column::WarrantyStartKm);
        for (column, given) in [
            (Column::WarrantyStart, warranty_start.is_some()),
            (Column::WarrantyStartKm, warranty_start_km.is_some()),
        ] {
            if given && row.cell(Column::Terms).is_none() {
                row.fault(column, "terms_missing", "a warranty stands on terms: `terms` is empty");
            }
        }
        if let (Some(start), Some(on)) = (warranty_start, completed_on.or(handed_over_on))
            && start < on
        {
            row.fault(
                Column::WarrantyStart,
                "before_completion",
                format!("{start} lies before {on}, when it was coated"),
            );
        }
        if row.faults() > before {
            return None;
        }
        Some(Self {
            vehicle: vehicle?,
            owner,
            handed_over_on: handed_over_on?,
            completed_on,
            odometer: odometer?,
            surfaces: panels,
            excluded_panels: excluded.into_iter().collect(),
            coats,
            terms: terms.map(|code| code.to_string()).zip(edition),
            warranty_start,
            warranty_start_km,
        })
    }

    fn cells(&self) -> Vec<(Column, String)> {
        let mut cells = self.vehicle.cells();
        cells.push((Column::HandedOverOn, self.handed_over_on.to_string()));
        cells.extend(self.odometer.cells());
        let surfaces: Vec<String> = self.surfaces.keys().map(ToString::to_string).collect();
        let panels = self.surfaces.iter().flat_map(|(surface, panels)| {
            panels.iter().map(move |panel| format!("{surface}/{}", escaped(&panel.to_string(), MARKS)))
        });
        let excluded = self.excluded_panels.iter().map(|panel| escaped(&panel.to_string(), MARKS));
        let coats: Vec<String> = self.coats.iter().map(CoatSaid::written).collect();
        let joined = |parts: Vec<String>| parts.join(", ");
        for (column, text) in [
            (Column::Surfaces, joined(surfaces)),
            (Column::Panels, joined(panels.collect())),
            (Column::ExcludedPanels, joined(excluded.collect())),
            (Column::Coats, coats.join("; ")),
            (Column::Owner, self.owner.clone().unwrap_or_default()),
        ] {
            cells.extend((!text.is_empty()).then_some((column, text)));
        }
        for (column, text) in [
            (Column::CompletedOn, self.completed_on.map(|day| day.to_string())),
            (Column::Terms, self.terms.as_ref().map(|(code, _)| code.clone())),
            (Column::Edition, self.terms.as_ref().map(|(_, edition)| edition.to_string())),
            (Column::WarrantyStart, self.warranty_start.map(|day| day.to_string())),
            (Column::WarrantyStartKm, self.warranty_start_km.map(|km| km.to_string())),
        ] {
            cells.extend(text.map(|text| (column, text)));
        }
        cells
    }
}

impl CoatSaid {
    fn written(&self) -> String {
        let mut text = self.surface.to_string();
        if !self.panels.is_empty() {
            let panels: Vec<String> =
                self.panels.iter().map(|panel| escaped(&panel.to_string(), MARKS)).collect();
            text = format!("{text} ({})", panels.join(", "));
        }
        let batch = self.batch.as_ref().map(|batch| format!(" / {}", escaped(batch, MARKS)));
        format!("{text}: {}{}", self.product, batch.unwrap_or_default())
    }

    fn read(text: &str) -> Result<Self, Fault> {
        let malformed = || {
            let detail = format!(
                "{:?} is no coat; allowed is `paint: base-30 / B30-0417` or `paint (bonnet, roof): base-30`",
                text.trim()
            );
            Fault::new("", "not_a_coat", detail)
        };
        let (surface, mark, mut rest) = cut(text, &['(', ':']).ok_or_else(malformed)?;
        let mut panels = BTreeSet::new();
        if mark == '(' {
            let (inside, _, after) = cut(rest, &[')']).ok_or_else(malformed)?;
            for panel in split(inside, BETWEEN) {
                panels.insert(panel_of(&plain(panel)).parse()?);
            }
            rest = after.trim_start().strip_prefix(':').ok_or_else(malformed)?;
        }
        let (product, batch) = match cut(rest, &['/']) {
            Some((product, _, batch)) => (product, Some(plain(batch)).filter(|batch| !batch.is_empty())),
            None => (rest, None),
        };
        if batch.as_ref().is_some_and(|batch| batch.chars().count() > 60 || batch.contains(char::is_control))
        {
            return Err(Fault::new("", "not_a_batch", "a batch number has 1 to 60 characters, all visible"));
        }
        let product: Code = plain(product).parse()?;
        Ok(Self { surface: word_of(&plain(surface)).parse()?, panels, product: product.to_string(), batch })
    }
}

/// The panels of each surface: `bonnet` or, where it is not clear on which surface, `paint/bonnet`. A surface of which
/// no panel is named was coated whole.
fn panels(row: &mut Row<'_, '_>, surfaces: &[Surface]) -> BTreeMap<Surface, BTreeSet<Panel>> {
    let mut of: BTreeMap<Surface, BTreeSet<Panel>> =
        surfaces.iter().map(|surface| (*surface, BTreeSet::new())).collect();
    for part in row.cell(Column::Panels).iter().flat_map(|text| split(text, BETWEEN)) {
        let (surface, panel) = match cut(part, &['/']) {
            Some((surface, _, panel)) => (Some(word_of(&plain(surface)).parse::<Surface>()), plain(panel)),
            None => (None, plain(part)),
        };
        if panel.is_empty() {
            continue;
        }
        let panel = match panel_of(&panel).parse::<Panel>() {
            Ok(panel) => panel,
            Err(fault) => {
                row.fault(Column::Panels, fault.code, fault.detail);
                continue;
            }
        };
        let surface = match surface {
            Some(Ok(surface)) if of.contains_key(&surface) => surface,
            Some(Ok(surface)) => {
                row.fault(Column::Panels, "surface_missing", format!("{surface} is not among `surfaces`"));
                continue;
            }
            Some(Err(fault)) => {
                row.fault(Column::Panels, fault.code, fault.detail);
                continue;
            }
            None => match lies_on(&panel, surfaces) {
                Some(surface) => surface,
                None => {
                    let detail = format!("on which of the surfaces is {panel}? write it as paint/{panel}");
                    row.fault(Column::Panels, "surface_unclear", detail);
                    continue;
                }
            },
        };
        if !of.entry(surface).or_default().insert(panel.clone()) {
            row.fault(Column::Panels, "named_twice", format!("{panel} stands there twice"));
        }
    }
    for (surface, panels) in &mut of {
        if panels.is_empty() {
            panels.extend(surface.whole().iter().map(|panel| Panel::from(*panel)));
        }
        if panels.is_empty() {
            let detail = format!("which panels of {surface}? it has none that every vehicle has");
            row.fault(Column::Panels, "panels_missing", detail);
        }
    }
    of
}

/// The one of these surfaces that a panel lies on, where only one can be meant.
fn lies_on(panel: &Panel, surfaces: &[Surface]) -> Option<Surface> {
    if let [only] = surfaces {
        return Some(*only);
    }
    let Panel::Named(named) = panel else { return None };
    let mut on = surfaces.iter().filter(|surface| surface.whole().contains(named));
    on.next().filter(|_| on.next().is_none()).copied()
}

fn coats(row: &mut Row<'_, '_>, surfaces: &BTreeMap<Surface, BTreeSet<Panel>>) -> Vec<CoatSaid> {
    let mut coats = Vec::new();
    let Some(text) = row.cell(Column::Coats) else { return coats };
    for part in split(&text, &[';', '\n']).into_iter().filter(|part| !part.trim().is_empty()) {
        match CoatSaid::read(part) {
            Ok(coat) if !surfaces.contains_key(&coat.surface) => {
                let detail = format!("{} is not among `surfaces`", coat.surface);
                row.fault(Column::Coats, "surface_missing", detail);
            }
            Ok(coat) => {
                if let Some(panel) =
                    coat.panels.iter().find(|panel| !surfaces[&coat.surface].contains(*panel))
                {
                    let detail = format!("{panel} is not among the panels of {}", coat.surface);
                    row.fault(Column::Coats, "panel_missing", detail);
                }
                coats.push(coat);
            }
            Err(fault) => row.fault(Column::Coats, fault.code, fault.detail),
        }
    }
    coats
}

fn edition(row: &mut Row<'_, '_>) -> Option<u32> {
    let text = row.cell(Column::Edition)?;
    let edition = text.parse().ok().filter(|edition| (1..=1_000_000).contains(edition));
    if edition.is_none() {
        row.fault(
            Column::Edition,
            "not_an_edition",
            format!("{text:?} is no edition; allowed are 1, 2, 3, …"),
        );
    }
    edition
}
