//! Checks on what a coat went onto, how long after it, and how fresh the wipe was.

use chrono::{DateTime, TimeDelta, Utc};

use super::built::Before;
use super::{Checker, CoatSeen, Said, StepSeen, each_once};
use crate::core::error::Fault;
use crate::core::sheet::{Onto, Sheet, Window};
use crate::core::words::{Panel, Severity, StepKind};

/// For how long a panel stays as bare as the wipe left it (common practice).
const WIPE_LASTS: TimeDelta = TimeDelta::hours(2);

/// What a coat lies on, on one panel.
struct Below {
    onto: Onto,
    /// As it is told.
    name: String,
    /// When that was done, where it is known; nothing is known of a bare surface.
    done: Option<DateTime<Utc>>,
}

/// Panels of one coat about which the same is to be said.
#[derive(Default)]
struct Same(Vec<(String, Vec<String>)>);

impl Same {
    fn push(&mut self, what: String, panel: &Panel) {
        match self.0.iter_mut().find(|(said, _)| *said == what) {
            Some((_, panels)) => panels.push(panel.to_string()),
            None => self.0.push((what, vec![panel.to_string()])),
        }
    }

    /// "12 min after base-30 on bonnet, roof; …"; none where nothing is to be said.
    fn told(&self) -> Option<String> {
        let told: Vec<String> =
            self.0.iter().map(|(what, panels)| format!("{what} on {}", panels.join(", "))).collect();
        (!told.is_empty()).then(|| told.join("; "))
    }
}

fn windows(of: &[Window]) -> String {
    let window = |one: &Window| match one.within_min {
        Some(within) => format!("{} to {within} min", one.after_min),
        None => format!("{} min or more", one.after_min),
    };
    of.iter().map(window).collect::<Vec<_>>().join(", or ")
}

impl Checker<'_> {
    /// What a coat lies on, on one of its panels.
    fn below(&self, seen: &CoatSeen, panel: &Panel) -> Below {
        let surface = seen.coat.surface;
        let coats = self.on(surface, panel);
        let place = coats.iter().position(|(_, one)| one.id == seen.id).unwrap_or_default();
        if let Some((_, below)) = place.checked_sub(1).and_then(|before| coats.get(before)) {
            let product = below.coat.product.clone();
            let done = Some(below.coat.ends_on(panel).0);
            return Below { name: product.clone(), onto: Onto::Product(product), done };
        }
        let begun = seen.coat.begins_on(panel).0;
        match self.aged(&Before { surface, panel, first: seen, begun, after: None }) {
            Some(since) => Below { onto: Onto::Aged, name: "the coating in service".into(), done: since },
            None => Below { onto: Onto::Bare, name: "the bare surface".into(), done: None },
        }
    }

    /// Whether a coat went onto what its data sheet names, when it says, and after the steps that it asks for.
    pub(super) fn recoated(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let Some(sheet) = seen.sheet.as_ref().filter(|sheet| !sheet.recoat.is_empty()) else { return Ok(()) };
        let (mut outside, mut allowed, mut unsaid) = (Same::default(), Vec::new(), Same::default());
        let (mut unprepared, mut asked, mut stale) = (Same::default(), Vec::new(), Same::default());
        for panel in seen.coat.panels.iter().filter(|panel| !self.job.excluded.contains(panel)) {
            let below = self.below(seen, panel);
            let begun = seen.coat.begins_on(panel).0;
            let Some(recoat) = sheet.recoat(&below.onto) else {
                if says_of_such(sheet, &below.onto) {
                    unsaid.push(format!("onto {}", below.name), panel);
                }
                continue;
            };
            if let Some(done) = below.done.filter(|_| !recoat.windows.is_empty()) {
                let minutes = (begun - done).max(TimeDelta::zero()).as_seconds_f64() / 60.0;
                if !recoat.windows.iter().any(|window| window.holds(minutes)) {
                    outside.push(format!("{} min after {}", told(minutes), below.name), panel);
                    allowed.push(format!("{} after {}", windows(&recoat.windows), below.name));
                }
            }
            // What comes before the first coat on a panel is looked at panel by panel, with what the terms ask.
            let Onto::Product(_) = below.onto else { continue };
            let surface = seen.coat.surface;
            let before = Before { surface, panel, first: seen, begun, after: below.done };
            for kind in sheet.prep(&below.onto, surface).unwrap_or_default() {
                if !self.job.steps.iter().any(|step| before.is_served_by(step, *kind)) {
                    unprepared.push(before.measured(&self.job.steps, *kind), panel);
                    asked.push(format!("{kind} between {} and this coat", below.name));
                } else if *kind == StepKind::PanelWipe
                    && let Some(at) = stale_wipe(&self.job.steps, &before)
                {
                    stale.push(format!("panel_wipe at {}", self.clock(at)), panel);
                }
            }
        }
        let product = &seen.coat.product;
        let warns = |code, clause: &str, measured, allowed: Vec<String>, detail: &str| Said {
            code,
            severity: Severity::Warns,
            subject: format!("coat:{}", seen.id),
            measured: Some(measured),
            allowed: Some(each_once(allowed).join("; ")),
            clause: format!("sheet.{product}.recoat{clause}"),
            detail: detail.to_owned(),
            of_terms: false,
        };
        if let Some(measured) = outside.told() {
            let detail = "outside its window a coat may not key to the one below, or draw it off: test on one panel \
                          whether it holds; too early, wait and lay it again; too late, prepare the panel as the data \
                          sheet says of a coating in service";
            self.find(warns("recoat_window", ".windows", measured, allowed, detail), seen)?;
        }
        if let Some(measured) = unsaid.told() {
            let named: Vec<String> = sheet.recoat.iter().map(|recoat| onto(&recoat.onto)).collect();
            let detail = format!(
                "the data sheet of {product} does not say that it goes onto this: ask whoever makes it before the next job"
            );
            let said = warns("recoat_not_said", "", measured, named, &detail);
            self.find(Said { severity: Severity::Tells, ..said }, seen)?;
        }
        if let Some(measured) = unprepared.told() {
            let detail = "the data sheet asks for it between the two coats: enter it if it was done; if it was not, the \
                          upper coat may not hold there";
            self.find(warns("prep_missing", ".prep", measured, asked, detail), seen)?;
        }
        if let Some(measured) = stale.told() {
            let allowed = vec!["at most 2 h before the coat".to_owned()];
            self.find(warns("wipe_stale", ".prep", measured, allowed, WIPE_AGAIN), seen)?;
        }
        Ok(())
    }

    /// What is to be said of the wipe before the first coat on a panel: that it was too long ago, or that the data
    /// sheet has none there.
    pub(super) fn wiped(&mut self, before: &Before<'_>, asked: bool, unwanted: bool) -> Result<(), Fault> {
        let product = &before.first.coat.product;
        let Before { surface, panel, begun, .. } = before;
        let wipe = |seen: &&StepSeen| before.is_served_by(seen, StepKind::PanelWipe);
        let warns = |code, subject: String, measured, allowed: String, detail: String| Said {
            code,
            severity: Severity::Warns,
            subject,
            measured: Some(measured),
            allowed: Some(allowed),
            clause: "panel_wipe".into(),
            detail,
            of_terms: false,
        };
        if asked && let Some(at) = stale_wipe(&self.job.steps, before) {
            let measured = format!("panel_wipe at {}, coat at {}", self.clock(at), self.clock(*begun));
            let subject = format!("{surface}/{panel}");
            let allowed = "at most 2 h before the coat".to_owned();
            self.find(warns("wipe_stale", subject, measured, allowed, WIPE_AGAIN.into()), before.first)?;
        }
        if unwanted && self.job.steps.iter().any(|seen| wipe(&seen)) {
            let detail = format!(
                "the data sheet of {product} has no wipe on {surface}: solvent can stain or swell it. Let it dry out, look \
                 at it under light, and leave the wipe out next time"
            );
            let subject = format!("{surface}/{panel}/{product}");
            let said = warns("wipe_unwanted", subject, "panel_wipe".into(), "no panel_wipe".into(), detail);
            self.find(Said { clause: format!("sheet.{product}.recoat.prep"), ..said }, before.first)?;
        }
        Ok(())
    }
}

const WIPE_AGAIN: &str = "wipe again before you coat: dust and oil settle on a bare panel. Gloves, air that moves, no ignition \
                          source; the wipe's safety data sheet decides. If it is coated already, watch whether it holds there";

/// Minutes as they are told.
fn told(minutes: f64) -> String {
    let text = format!("{minutes:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

fn onto(onto: &Onto) -> String {
    match onto {
        Onto::Bare => "bare".into(),
        Onto::Aged => "aged".into(),
        Onto::Product(code) => code.clone(),
    }
}

/// Whether a sheet that is silent on this says something of its kind, so that its silence tells. A coating in service is
/// taken by what it says of the bare surface, and a sheet that names no product leaves open which.
fn says_of_such(sheet: &Sheet, below: &Onto) -> bool {
    let products = sheet.recoat.iter().any(|recoat| matches!(recoat.onto, Onto::Product(_)));
    match below {
        Onto::Product(_) => products,
        Onto::Bare => products && sheet.recoat(&Onto::Aged).is_none(),
        Onto::Aged => products && sheet.recoat(&Onto::Bare).is_none(),
    }
}

/// The end of the last wipe on a panel before its coat, where that was too long ago. A wipe without times is taken by
/// the word of whoever entered it.
fn stale_wipe(steps: &[StepSeen], before: &Before<'_>) -> Option<DateTime<Utc>> {
    let wipes = steps.iter().filter(|seen| before.is_served_by(seen, StepKind::PanelWipe));
    let ends: Option<Vec<DateTime<Utc>>> =
        wipes.map(|seen| seen.step.ended_at.or(seen.step.started_at).map(|at| at.0)).collect();
    let last = ends?.into_iter().max()?;
    (before.begun - last > WIPE_LASTS).then_some(last)
}
