//! Checks on steps: what cuts where nothing may cut, polish over a coat, wheels, high spots.

use super::{Checker, Said, StepSeen, each_once};
use crate::core::error::Fault;
use crate::core::words::{Finish, Panel, ProductRole, Severity, StepKind, Surface};

/// A finding on a step.
fn on_step(seen: &StepSeen, code: &'static str, severity: Severity, clause: &str, detail: &str) -> Said {
    Said {
        code,
        severity,
        subject: format!("step:{}", seen.id),
        measured: None,
        allowed: None,
        clause: clause.to_owned(),
        detail: detail.to_owned(),
        of_terms: false,
    }
}

impl Checker<'_> {
    /// What each step did that it should not have.
    pub(super) fn worked(&mut self) -> Result<(), Fault> {
        for seen in &self.job.steps {
            match seen.step.kind {
                StepKind::MachinePolish => {
                    self.cuts(seen)?;
                    self.polished(seen)?;
                }
                StepKind::GlassPolish => self.polished(seen)?,
                StepKind::Clay => self.cuts(seen)?,
                _ => {}
            }
            self.wheels(seen)?;
        }
        Ok(())
    }

    /// The panels of paint and film of a step on which nothing may cut, each with its finish; the vehicle as a whole
    /// where no panel is known.
    fn delicate(&self, seen: &StepSeen) -> Vec<String> {
        let delicate = |finish: Finish| matches!(finish, Finish::Matte | Finish::Film);
        let mut found = Vec::new();
        for surface in seen.step.surfaces.iter().copied() {
            let film = surface == Surface::Film;
            if !film && surface != Surface::Paint {
                continue;
            }
            let panels = seen.step.panels.clone().unwrap_or_else(|| self.panels(surface));
            if panels.is_empty() && (film || delicate(self.job.finish)) {
                let finish = if film { Finish::Film } else { self.job.finish };
                found.push(format!("the vehicle ({finish})"));
            }
            for panel in &panels {
                let finish = if film {
                    Finish::Film
                } else {
                    self.job.finishes.get(panel).copied().unwrap_or(self.job.finish)
                };
                if delicate(finish) {
                    found.push(format!("{panel} ({finish})"));
                }
            }
        }
        each_once(found)
    }

    /// Machine polish, or clay that cuts, on matte paint or film.
    fn cuts(&mut self, seen: &StepSeen) -> Result<(), Fault> {
        let clay = seen.step.kind == StepKind::Clay;
        if clay && seen.step.abrasive == Some(false) {
            return Ok(());
        }
        let where_to = self.delicate(seen);
        if where_to.is_empty() {
            return Ok(());
        }
        let said = if clay && seen.step.abrasive.is_none() {
            on_step(
                seen,
                "clay_not_described",
                Severity::Warns,
                "finish",
                "say on the step whether the clay was abrasive: on matte paint and film only clay that does not cut, with \
                 plenty of lubricant, leaves no shine; better still, dissolve what is on it",
            )
        } else {
            on_step(
                seen,
                "abrasive_on_finish",
                Severity::Stops,
                "finish",
                "stop: what is cut off matte paint or film shines for good. If it was done, photograph it and tell the \
                 manager and the owner; if not, correct the step or the panels' finish",
            )
        };
        let measured = Some(format!("{} on {}", seen.step.kind, where_to.join(", ")));
        self.find(Said { measured, allowed: Some("clear_coat, single_stage".into()), ..said }, seen)
    }

    /// A polish that began on a panel after a coat had.
    fn polished(&mut self, seen: &StepSeen) -> Result<(), Fault> {
        let Some(at) = seen.step.counts_from() else { return Ok(()) };
        let mut found = Vec::new();
        for surface in seen.step.surfaces.iter().copied() {
            for panel in self.coated(surface).iter().filter(|panel| seen.step.is_on(surface, panel)) {
                let first = self.on(surface, panel).first().map(|(begun, _)| *begun);
                if let Some(begun) = first.filter(|begun| at.0 > *begun) {
                    found.push(format!("{panel} ({surface}) coated at {}", self.clock(begun)));
                }
            }
        }
        if found.is_empty() {
            return Ok(());
        }
        let detail = "polish takes a fresh coat off: if it was done, wipe those panels and lay the coat again, within what \
                      its data sheet says; if not, correct the times or the panels of the step";
        let said = Said {
            measured: Some(format!("{} at {}; {}", seen.step.kind, self.clock(at.0), found.join(", "))),
            allowed: Some("before the first coat on the panel".into()),
            ..on_step(seen, "polish_after_coat", Severity::Warns, "order", detail)
        };
        self.find(said, seen)
    }

    /// Wheels that were taken off, and bolts of which nobody noted that they were tightened to torque.
    fn wheels(&mut self, seen: &StepSeen) -> Result<(), Fault> {
        if seen.step.wheels_off != Some(true) {
            return Ok(());
        }
        let off = seen.step.counts_from();
        let tightened =
            self.job.steps.iter().filter(|other| other.step.kind == StepKind::Torque).any(|other| {
                let at = other.step.ended_at.or(other.step.started_at);
                off.zip(at).is_none_or(|(off, at)| at >= off)
            });
        if tightened {
            return Ok(());
        }
        let detail = "tighten every wheel bolt to the torque that the vehicle's maker states, crosswise with a wrench that \
                      was tested, and enter it as a step; have it checked again after the first 50 to 100 km (common practice)";
        let said = Said {
            measured: Some("no torque after the wheels came off".into()),
            allowed: Some("a step torque".into()),
            ..on_step(seen, "torque_missing", Severity::Warns, "wheels", detail)
        };
        self.find(said, seen)
    }

    /// Whether somebody looked for high spots on paint and film after the last coating (not topper) there.
    pub(super) fn high_spots(&mut self) -> Result<(), Fault> {
        for surface in [Surface::Paint, Surface::Film] {
            let (mut unseen, mut on) = (Vec::new(), Vec::new());
            for panel in self.coated(surface) {
                let coats = self.on(surface, &panel);
                let Some((begun, seen)) =
                    coats.into_iter().rfind(|(_, seen)| seen.role == ProductRole::Coating)
                else {
                    continue;
                };
                if !self.looked_at(surface, &panel, begun) {
                    unseen.push(panel.to_string());
                    on.push(seen.id);
                }
            }
            if unseen.is_empty() {
                continue;
            }
            let said = Said {
                code: "high_spots_not_checked",
                severity: Severity::Warns,
                subject: surface.to_string(),
                measured: Some(format!("{} not looked at after the last coating", unseen.join(", "))),
                allowed: Some("a step high_spot_check".into()),
                clause: "high_spot_check".into(),
                detail: "look along each panel under a strong light from two sides before the coat sets, rework what was \
                         left, and enter the step: later only polishing takes it off"
                    .into(),
                of_terms: false,
            };
            self.find(said, &on)?;
        }
        Ok(())
    }

    /// Whether high spots were looked for on a panel from this instant on; a step without times is taken by its word.
    fn looked_at(&self, surface: Surface, panel: &Panel, from: chrono::DateTime<chrono::Utc>) -> bool {
        let looks = self.job.steps.iter().filter(|seen| seen.step.kind == StepKind::HighSpotCheck);
        looks.filter(|seen| seen.step.is_on(surface, panel)).any(|seen| {
            let until = seen.step.ended_at.or(seen.step.started_at);
            until.is_none_or(|at| at.0 >= from)
        })
    }
}
