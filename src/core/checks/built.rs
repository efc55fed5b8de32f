//! Checks on each panel: the coats that the terms ask for, their order, and the steps that must come before them.

use chrono::{DateTime, Utc};

use super::{AgedPanel, Checker, CoatSeen, Said, StepSeen, said};
use crate::core::calendar::Moment;
use crate::core::error::Fault;
use crate::core::sheet::{Onto, Sheet};
use crate::core::terms::Build;
use crate::core::words::{Panel, Severity, StepKind, Surface};

impl Checker<'_> {
    /// The coats on a panel of a surface, each with the instant at which it was begun there, by that instant.
    pub(super) fn on(&self, surface: Surface, panel: &Panel) -> Vec<(DateTime<Utc>, &CoatSeen)> {
        let coats = self.job.coats.iter();
        let mut coats: Vec<_> = coats
            .filter(|seen| seen.coat.surface == surface && seen.coat.panels.contains(panel))
            .map(|seen| (seen.coat.begins_on(panel).0, seen))
            .collect();
        coats.sort_by_key(|(begun, _)| *begun);
        coats
    }

    /// The panels of a surface that coats name, less those left out.
    pub(super) fn coated(&self, surface: Surface) -> Vec<Panel> {
        let mut panels: Vec<Panel> = Vec::new();
        let coats = self.job.coats.iter().filter(|seen| seen.coat.surface == surface);
        for panel in coats.flat_map(|seen| &seen.coat.panels) {
            if !panels.contains(panel) && !self.job.excluded.contains(panel) {
                panels.push(panel.clone());
            }
        }
        panels
    }

    /// The panels of a surface that are asked about: as the job lists them, else as its coats name them.
    pub(super) fn panels(&self, surface: Surface) -> Vec<Panel> {
        match self.job.panels.get(&surface).filter(|panels| !panels.is_empty()) {
            Some(listed) => {
                listed.iter().filter(|panel| !self.job.excluded.contains(panel)).cloned().collect()
            }
            None => self.coated(surface),
        }
    }

    /// Whether the coats that the terms ask for are there, on each panel and in their order.
    pub(super) fn built(&mut self) -> Result<(), Fault> {
        for (name, coats) in asked(&self.job.build) {
            // No coat can lie on a surface that is no word of the trade: what is asked for there is missing.
            let surface: Option<Surface> = name.parse().ok();
            let Some(surface) =
                surface.filter(|surface| self.job.coats.iter().any(|seen| seen.coat.surface == *surface))
            else {
                let wanted: Vec<_> =
                    coats.iter().map(|(product, min)| format!("{min} of {product}")).collect();
                let said = Said {
                    code: "coats_missing",
                    severity: Severity::Stops,
                    subject: name.clone(),
                    measured: Some("no coat".into()),
                    allowed: Some(wanted.join(", ")),
                    clause: format!("build.{name}.coats"),
                    detail: format!(
                        "the terms ask for coats on {name}, and there is none: coat it, or choose other terms"
                    ),
                    of_terms: true,
                };
                self.find(said, &[(); 0])?;
                continue;
            };
            for panel in self.panels(surface) {
                self.built_on(surface, &panel, &coats)?;
            }
        }
        Ok(())
    }

    fn built_on(&mut self, surface: Surface, panel: &Panel, asked: &[(String, u64)]) -> Result<(), Fault> {
        let coats = self.on(surface, panel);
        let found_on: Vec<CoatSeen> = coats.iter().map(|(_, seen)| (*seen).clone()).collect();
        let clause = format!("build.{surface}.coats");
        let mut found = Vec::new();
        let mut firsts: Vec<(&str, DateTime<Utc>)> = Vec::new();
        for (product, min) in asked {
            let laid: Vec<_> = coats.iter().filter(|(_, seen)| seen.coat.product == *product).collect();
            firsts.extend(laid.first().map(|(begun, _)| (product.as_str(), *begun)));
            let count = laid.len();
            if (count as u64) < *min {
                found.push(Said {
                    code: "coats_missing",
                    severity: Severity::Stops,
                    subject: format!("{surface}/{panel}/{product}"),
                    measured: Some(count.to_string()),
                    allowed: Some(format!("at least {min}")),
                    clause: clause.clone(),
                    detail: format!(
                        "{panel} ({surface}) has {count} of {min} coats of {product}: coat it, or leave the panel out"
                    ),
                    of_terms: true,
                });
            }
        }
        for pair in firsts.windows(2) {
            if let [(below, first), (above, second)] = pair
                && second < first
            {
                found.push(Said {
                    code: "coat_order",
                    severity: Severity::Warns,
                    subject: format!("{surface}/{panel}/{above}"),
                    measured: Some(format!("{above} at {}, {below} at {}", said(*second), said(*first))),
                    allowed: Some(format!("{below} before {above}")),
                    clause: clause.clone(),
                    detail: format!(
                        "on {panel} ({surface}) {above} was begun before {below}: correct the times, or tell the manager"
                    ),
                    of_terms: false,
                });
            }
        }
        found.into_iter().try_for_each(|said| self.find(said, &found_on))
    }

    /// Whether the steps came that the terms, or the sheet of the first coat, ask for before that coat, and how fresh
    /// the wipe among them was.
    pub(super) fn prepared(&mut self) -> Result<(), Fault> {
        for surface in Surface::ALL.iter().copied() {
            for panel in self.coated(surface) {
                let Some((begun, first)) =
                    self.on(surface, &panel).first().map(|(at, seen)| (*at, (*seen).clone()))
                else {
                    continue;
                };
                let by_terms = prep_of(&self.job.build, surface);
                let clause = format!("build.{surface}.prep");
                let subject = format!("{surface}/{panel}");
                let before = Before { surface, panel: &panel, first: &first, begun, after: None };
                self.prep(&before, &by_terms, clause, subject.clone(), true)?;
                let by_sheet = first.sheet.as_ref().and_then(|sheet| self.sheet_prep(sheet, &before));
                let wipe = StepKind::PanelWipe;
                let of_terms = by_terms.contains(&wipe);
                let of_sheet = by_sheet.as_ref().map(|(_, steps)| steps.contains(&wipe));
                self.wiped(
                    &before,
                    of_terms || of_sheet == Some(true),
                    !of_terms && of_sheet == Some(false),
                )?;
                let Some((onto, by_sheet)) = by_sheet else { continue };
                let by_sheet: Vec<StepKind> =
                    by_sheet.into_iter().filter(|kind| !by_terms.contains(kind)).collect();
                let product = &first.coat.product;
                let clause = format!("sheet.{product}.recoat.{onto}.prep");
                self.prep(&before, &by_sheet, clause, format!("{subject}/{product}"), false)?;
            }
        }
        Ok(())
    }

    /// One finding for all steps of one clause that are missing on a panel: a pass names it by check and subject.
    fn prep(
        &mut self,
        before: &Before<'_>,
        asked: &[StepKind],
        clause: String,
        subject: String,
        of_terms: bool,
    ) -> Result<(), Fault> {
        let missing: Vec<StepKind> = asked
            .iter()
            .copied()
            .filter(|kind| !self.job.steps.iter().any(|seen| before.is_served_by(seen, *kind)))
            .collect();
        if missing.is_empty() {
            return Ok(());
        }
        let names = missing.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let measured = missing.iter().map(|kind| before.measured(&self.job.steps, *kind)).collect::<Vec<_>>();
        let Before { surface, panel, begun, .. } = before;
        let found = Said {
            code: "prep_missing",
            severity: Severity::Warns,
            subject,
            measured: Some(measured.join(", ")),
            allowed: Some(format!("{names} begun by {}", said(*begun))),
            clause,
            detail: format!(
                "on {panel} ({surface}) {names} should come before the first coat: note it if it was done; if it was \
                 not, the coat may not hold there"
            ),
            of_terms,
        };
        self.find(found, before.first)
    }

    /// What the sheet of the first coat asks for: on the bare surface, or on a coating in service, unless a machine
    /// polish took that off (common practice).
    fn sheet_prep(&self, sheet: &Sheet, before: &Before<'_>) -> Option<(&'static str, Vec<StepKind>)> {
        let of = |onto: Onto, word| sheet.prep(&onto, before.surface).map(|steps| (word, steps.to_vec()));
        let aged = self.aged(before).is_some();
        // A sheet that says nothing of coatings in service is taken by what it says of the bare surface.
        let on_aged = if aged { of(Onto::Aged, "aged") } else { None };
        on_aged.or_else(|| of(Onto::Bare, "bare"))
    }

    /// Since when a panel carries a coating in service, as far as that is known; none where it carries none, or a
    /// machine polish took it off.
    #[expect(clippy::option_option, reason = "no coating; one of which nobody knows since when; since then")]
    pub(super) fn aged(&self, before: &Before<'_>) -> Option<Option<DateTime<Utc>>> {
        let carries = |one: &&AgedPanel| one.surface == before.surface && one.panel == *before.panel;
        let since = self.job.aged.iter().filter(carries).map(|one| one.since).max()?;
        let polished = self.job.steps.iter().any(|seen| before.is_served_by(seen, StepKind::MachinePolish));
        (!polished).then_some(since)
    }
}

/// A coat on a panel, and when it was begun there.
pub(super) struct Before<'a> {
    pub(super) surface: Surface,
    pub(super) panel: &'a Panel,
    /// The coat: the first on the panel, unless `after` says that another lies below.
    pub(super) first: &'a CoatSeen,
    pub(super) begun: DateTime<Utc>,
    /// When the coat below it was done: steps count from then on.
    pub(super) after: Option<DateTime<Utc>>,
}

impl Before<'_> {
    /// Whether a step is of this kind and on this panel. Decontamination is met by any of the steps that do it.
    fn concerns(&self, seen: &StepSeen, kind: StepKind) -> bool {
        use StepKind as K;
        let is = seen.step.kind == kind
            || (kind == K::Decontamination
                && matches!(seen.step.kind, K::FalloutRemoval | K::TarRemoval | K::Clay));
        is && seen.step.is_on(self.surface, self.panel)
    }

    /// Whether a step of this kind came before the coat. Where no time was noted, the word of whoever entered it is
    /// taken.
    pub(super) fn is_served_by(&self, seen: &StepSeen, kind: StepKind) -> bool {
        let in_time = |at: Moment| at.0 <= self.begun && self.after.is_none_or(|after| at.0 >= after);
        self.concerns(seen, kind) && seen.step.counts_from().is_none_or(in_time)
    }

    /// What was noted of a step that is missing: nothing, or one that came too late.
    pub(super) fn measured(&self, steps: &[StepSeen], kind: StepKind) -> String {
        let noted = steps.iter().filter(|seen| self.concerns(seen, kind));
        let late = noted.filter_map(|seen| seen.step.counts_from()).min();
        late.map_or_else(|| format!("{kind} not noted"), |at| format!("{kind} at {}", said(at.0)))
    }
}

/// The coats that the terms ask for, surface by surface in their order: of a product that is named twice, both
/// numbers together.
fn asked(build: &[Build]) -> Vec<(String, Vec<(String, u64)>)> {
    let mut surfaces: Vec<(String, Vec<(String, u64)>)> = Vec::new();
    for one in build.iter().filter(|one| !one.coats.is_empty()) {
        let known = surfaces.iter().position(|(surface, _)| *surface == one.surface);
        let place = known.unwrap_or_else(|| {
            surfaces.push((one.surface.clone(), Vec::new()));
            surfaces.len() - 1
        });
        let coats = &mut surfaces[place].1;
        for (product, min) in &one.coats {
            match coats.iter_mut().find(|(known, _)| known == product) {
                Some((_, sum)) => *sum += u64::from(*min),
                None => coats.push((product.clone(), u64::from(*min))),
            }
        }
    }
    surfaces
}

/// The steps that the terms ask for on a surface, each once.
fn prep_of(build: &[Build], surface: Surface) -> Vec<StepKind> {
    let mut kinds: Vec<StepKind> = Vec::new();
    for kind in build.iter().filter(|one| one.surface == surface.as_str()).flat_map(|one| &one.prep) {
        if !kinds.contains(kind) {
            kinds.push(*kind);
        }
    }
    kinds
}
