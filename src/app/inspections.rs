//! Inspections on a visit: held against what the vehicle's warranties ask, and what was measured before.

use chrono::NaiveDate;

use super::assessments::Case;
use super::tasks::{self, NewTask};
use super::visits::ServiceInput;
use super::{Error, wanted_text};
use crate::core::assess::State;
use crate::core::error::{Fault, escape};
use crate::core::ids::EventId;
use crate::core::inspections::{self, Asked, Figure, Inspection, InspectionOutcome, Past};
use crate::core::vehicle_events::{Figures, Happened};
use crate::core::words::{Panel, TaskKind};
use crate::db::vehicle_events::EventRow;
use crate::db::visits::VisitRow;
use crate::db::{Shop, Tx, vehicles};

/// What a service of a visit measured, and what was made of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Inspected {
    /// Every figure, by panel.
    pub(crate) figures: Figures,
    /// The inspection; none where nothing was looked at that anybody judges.
    pub(crate) inspection: Option<Inspection>,
}

/// What the inspection of a service comes to, or everything that is wrong with it, below the service.
pub(crate) fn of(
    service: &ServiceInput,
    asked: &[Asked<'_>],
    past: &[Past],
) -> Result<Inspected, Vec<Fault>> {
    let mut figures = service.figures.clone();
    let known = |name: &String| Figure::WORDS.contains(&name.as_str());
    let Some(given) = &service.inspection else {
        let judges = figures.values().flat_map(|values| values.keys()).any(known);
        let inspection = judges.then(|| inspections::judged(Vec::new(), &figures, asked, past));
        let inspection = inspection.map(|judged| judged.decided(None, None)).transpose();
        return inspection.map(|inspection| Inspected { figures, inspection }).map_err(|fault| vec![fault]);
    };
    let mut faults: Vec<Fault> = inspections::faults(&given.panels)
        .into_iter()
        .map(|fault| fault.within("/inspection/panels"))
        .collect();
    if let Some(overruled) = &given.overruled {
        faults.extend(wanted_text("/inspection/overruled/reason", &overruled.reason, 2_000));
    }
    for one in &given.panels {
        let values = figures.entry(one.panel.clone()).or_default();
        for (name, value) in one.figures() {
            let place = format!("/figures/{}/{name}", escape(&one.panel.to_string()));
            if values.insert(name, value).is_some() {
                let detail = "the inspection says this figure too: leave one of them out";
                faults.push(Fault::new(place, "given_twice", detail));
            }
        }
    }
    figures.retain(|_, values| !values.is_empty());
    if !faults.is_empty() {
        return Err(faults);
    }
    let judged = inspections::judged(given.panels.clone(), &figures, asked, past);
    let decided = judged.decided(given.overruled.clone(), given.remedy);
    let inspection = decided.map_err(|fault| vec![fault.within("/inspection")])?;
    Ok(Inspected { figures, inspection: Some(inspection) })
}

/// What warranties ask of figures on a day: those that have begun and not ended, and beside them nobody, so that figures
/// are compared with the first ones all the same.
pub(crate) fn asked(cases: &[Case], on: NaiveDate) -> Vec<Asked<'_>> {
    let standing = |case: &&Case| {
        let verdict = case.verdict(on, None);
        case.row.start <= on && verdict.cover.iter().any(|cover| cover.state != State::Ended)
    };
    let none = Asked { warranty: None, limits: &[], since: None, panels: Vec::new() };
    let warranties = cases.iter().filter(standing).map(|case| {
        let cover = &case.row.cover;
        let whole = cover.iter().any(|item| item.panels.is_empty());
        let panels = cover.iter().filter(|_| !whole).flat_map(|item| item.panels.iter().cloned()).collect();
        let (id, since) = (Some(case.row.id), Some(case.row.start.into()));
        Asked { warranty: id, limits: &case.terms.limits, since, panels }
    });
    [none].into_iter().chain(warranties).collect()
}

/// What was measured on each panel by a day, in order of time, since the panel was last repaired or coated again.
pub(crate) fn past(events: &[EventRow], on: NaiveDate) -> Vec<Past> {
    let retracted: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let mut counted: Vec<&EventRow> =
        events.iter().filter(|row| row.event.on <= on && !retracted.contains(&row.event.id)).collect();
    counted.sort_by_key(|row| row.event.on);
    let anew = |of: &Panel| {
        counted.iter().rposition(|row| match &row.event.happened {
            Happened::Repair { panel, .. } | Happened::Recoat { panel, .. } => panel == of,
            _ => false,
        })
    };
    let mut past = Vec::new();
    for (place, row) in counted.iter().enumerate() {
        let Happened::Service { figures, inspection, .. } = &row.event.happened else { continue };
        let seen = inspection.iter().flat_map(|inspection| &inspection.panels);
        let seen: Vec<_> = seen.collect();
        let mut panels: Vec<&Panel> = figures.keys().chain(seen.iter().map(|one| &one.panel)).collect();
        panels.sort_unstable();
        panels.dedup();
        for panel in panels.into_iter().filter(|panel| anew(panel) < Some(place)) {
            let of_panel = seen.iter().find(|one| one.panel == *panel);
            past.push(Past {
                on: row.event.on.into(),
                panel: panel.clone(),
                figures: figures.get(panel).cloned().unwrap_or_default(),
                gloss_at_deg: of_panel.map_or(60, |one| one.gloss_at()),
                lab: of_panel.and_then(|one| one.lab),
            });
        }
    }
    past
}

/// Opens the remedy of a finding: a task of the shop.
pub(crate) fn open_remedy(
    tx: &mut Tx<'_>,
    shop: &Shop,
    visit: &VisitRow,
    place: usize,
    inspection: &Inspection,
) -> Result<(), Error> {
    let Some(remedy) = inspection.remedy.filter(|_| inspection.outcome == InspectionOutcome::Finding) else {
        return Ok(());
    };
    let why = match &inspection.overruled {
        Some(overruled) => overruled.reason.clone(),
        None => inspection.because.join("; "),
    };
    let text = format!("{}: {why}", remedy.to_string().replace('_', " "));
    let new = NewTask {
        key: format!("visit/{}/{place}/remedy", visit.id),
        kind: TaskKind::Remedy,
        customer: vehicles::owner(tx, shop, visit.vehicle)?,
        vehicle: visit.vehicle,
        text,
    };
    tasks::add(tx, shop, new, visit.entered_at).map(drop)
}
