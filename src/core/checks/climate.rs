//! Checks of what air and panel were like while a coat was laid, and of when it was levelled.
//!
//! Of each quantity the last reading of up to two hours before the coat speaks for its beginning, and each one until it
//! was level for itself: so a reading that is inside never makes a finding worse.

use chrono::{DateTime, TimeDelta, Utc};

use super::{Checker, CoatSeen, Said, each_once};
use crate::core::climate::ClimateReading;
use crate::core::error::Fault;
use crate::core::humidity::{LEAST_OVER_DEW_K, dew_point, over_dew, vapour_pressure};
use crate::core::sheet::{Apply, Span};
use crate::core::units::{Celsius, RelativeHumidity};
use crate::core::words::Severity;

/// For how long a reading speaks for a coat that begins after it (common practice: read before you begin, and again
/// when the door was open).
const SPEAKS_FOR: TimeDelta = TimeDelta::hours(2);

/// What rounding may take off a difference of two temperatures.
const ROUNDING_K: f64 = 1e-9;

/// A quantity of the climate in which a product may be laid.
struct Quantity {
    /// As it is told.
    name: &'static str,
    unit: &'static str,
    read: fn(&ClimateReading) -> Option<f64>,
    allowed: fn(&Apply) -> Option<Span>,
    /// What to do where it is below, and above.
    raise: &'static str,
    lower: &'static str,
}

const QUANTITIES: [Quantity; 3] = [
    Quantity {
        name: "air",
        unit: "°C",
        read: |reading| Some(reading.air_c),
        allowed: |apply| apply.air_c,
        raise: "heat the bay",
        lower: "let the bay cool",
    },
    Quantity {
        name: "relative humidity",
        unit: "%",
        read: |reading| Some(reading.rh_pct),
        allowed: |apply| apply.rh_pct,
        raise: "humidify the bay (heated winter air is dry)",
        lower: "dry the bay's air or ventilate",
    },
    Quantity {
        name: "panel",
        unit: "°C",
        read: |reading| reading.surface_c,
        allowed: |apply| apply.surface_c,
        raise: "let the panels warm through (a cold-soaked vehicle needs a night inside)",
        lower: "let the panels cool, out of the sun and away from lamps",
    },
];

/// A warning about the climate of a coat.
fn warns(seen: &CoatSeen, code: &'static str, clause: &str, detail: String) -> Said {
    Said {
        code,
        severity: Severity::Warns,
        subject: format!("coat:{}", seen.id),
        measured: None,
        allowed: None,
        clause: format!("sheet.{}.{clause}", seen.coat.product),
        detail,
        of_terms: false,
    }
}

/// A number as people read it: two decimals at most.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn told(span: Span, unit: &str) -> String {
    format!("{} to {} {unit}", short(span.from), short(span.to))
}

impl Checker<'_> {
    /// The readings that speak for a coat, of those that say what is asked, by their instants.
    fn speaking<T>(
        &self,
        seen: &CoatSeen,
        read: impl Fn(&ClimateReading) -> Option<T>,
    ) -> Vec<(DateTime<Utc>, T)> {
        let (from, until) = (seen.coat.started_at.0, seen.coat.level_by().0);
        let at_the_vehicle = self.job.climate.iter().filter(|reading| !reading.is_outside());
        let mut said: Vec<(DateTime<Utc>, T)> =
            at_the_vehicle.filter_map(|reading| Some((reading.at.0, read(reading)?))).collect();
        said.retain(|(at, _)| *at >= from - SPEAKS_FOR && *at <= until);
        said.sort_by_key(|(at, _)| *at);
        // Of those before it, or of the instant at which it began, the last one speaks.
        let before = said.partition_point(|(at, _)| *at <= from);
        said.drain(..before.saturating_sub(1));
        said
    }

    /// Whether the climate was read while a coat was laid, and was as its data sheet asks.
    pub(super) fn climate(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        self.apply(seen)?;
        self.over_dew(seen)
    }

    fn apply(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let Some(apply) = seen.sheet.as_ref().map(|sheet| sheet.apply) else { return Ok(()) };
        let (mut measured, mut allowed, mut what) = (Vec::new(), Vec::new(), Vec::new());
        let (mut unread, mut of_unread) = (Vec::new(), Vec::new());
        for quantity in &QUANTITIES {
            let Some(span) = (quantity.allowed)(&apply) else { continue };
            let within = format!("{} {}", quantity.name, told(span, quantity.unit));
            let said = self.speaking(seen, quantity.read);
            if said.is_empty() {
                unread.push(quantity.name);
                of_unread.push(within);
                continue;
            }
            let Some((at, value)) = said.into_iter().find(|(_, value)| !span.holds(*value)) else { continue };
            let (do_this, edge) =
                if value < span.from { (quantity.raise, span.from) } else { (quantity.lower, span.to) };
            measured.push(format!(
                "{} {} {} at {}",
                quantity.name,
                short(value),
                quantity.unit,
                self.clock(at)
            ));
            allowed.push(within);
            what.push(format!("{do_this}, to {} {}", short(edge), quantity.unit));
        }
        if let Some(least) = apply.over_dew_c
            && self.speaking(seen, over_dew_of).is_empty()
        {
            unread.push("distance from the dew point");
            of_unread.push(format!("panel {} °C over the dew point", short(least)));
        }
        if !measured.is_empty() {
            let detail = format!(
                "{}; read again before you go on, and look at what is coated already: it may flash, streak or cure \
                 otherwise than the data sheet says",
                what.join("; ")
            );
            let said = Said {
                measured: Some(measured.join("; ")),
                allowed: Some(allowed.join("; ")),
                ..warns(seen, "climate_outside", "apply", detail)
            };
            self.find(said, seen)?;
        }
        if !unread.is_empty() {
            let detail =
                "read air, humidity and panel at the vehicle now and enter it, or enter what was read then (of the two \
                 hours before the coat, until it was level); nothing is taken for granted"
                    .to_owned();
            let said = Said {
                measured: Some(format!("{} not measured", unread.join(", "))),
                allowed: Some(of_unread.join("; ")),
                ..warns(seen, "climate_not_measured", "apply", detail)
            };
            self.find(said, seen)?;
        }
        Ok(())
    }

    /// Whether the panel was far enough above the dew point. A sheet that does not say how far is taken by the usual
    /// limit of coating practice, wherever the panel was read.
    fn over_dew(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let asked = seen.sheet.as_ref().and_then(|sheet| sheet.apply.over_dew_c);
        let least = asked.unwrap_or(LEAST_OVER_DEW_K);
        let close = self.speaking(seen, over_dew_of).into_iter().find(|(_, over)| *over < least - ROUNDING_K);
        let Some((at, over)) = close else { return Ok(()) };
        let detail = "water condenses on a panel near the dew point, seen or not: stop, warm the panels or dry the air, \
                      wipe again (gloves, air that moves; the wipe's safety data sheet decides) and read before you go on";
        let said = Said {
            measured: Some(format!("{} °C over the dew point at {}", short(over), self.clock(at))),
            allowed: Some(format!("{} °C or more", short(least))),
            ..warns(seen, "dew_point_close", "apply.over_dew_c", detail.to_owned())
        };
        let said = if asked.is_some() { said } else { Said { clause: "common practice".into(), ..said } };
        self.find(said, seen)
    }

    /// The temperature of the panel by which a section is levelled: the last that was read, else the next one.
    fn panel_at(&self, seen: &CoatSeen, at: DateTime<Utc>) -> Option<f64> {
        let said = self.speaking(seen, |reading| Some(reading.panel_c()));
        let before = said.iter().rev().find(|(read, _)| *read <= at);
        before.or(said.first()).map(|(_, c)| *c)
    }

    /// Whether sections were levelled in time, where they were timed; by eye is told and not judged.
    pub(super) fn levelled(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let Some(level) = seen.sheet.as_ref().and_then(|sheet| sheet.level.clone()) else { return Ok(()) };
        let (mut early, mut late) = (Timed::default(), Timed::default());
        let (mut by_eye, mut unknown) = (Vec::new(), Vec::new());
        for section in &seen.coat.sections {
            let names = section.panels.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
            let Some(levelled) = section.levelled_at else {
                by_eye.push(names);
                continue;
            };
            let c = self.panel_at(seen, section.applied_at.0);
            let Some(span) = level.at(c) else {
                unknown.extend((!level.table.is_empty()).then_some(names));
                continue;
            };
            let took = (levelled.0 - section.applied_at.0).as_seconds_f64();
            // Backwards: that is another check.
            if took < 0.0 || span.holds(took) {
                continue;
            }
            let at = c.map(|c| format!(" at {} °C", short(c))).unwrap_or_default();
            let side = if took < span.from { &mut early } else { &mut late };
            side.measured.push(format!("{names}: {} s", short(took)));
            side.allowed.push(format!("{}{at}", told(span, "s")));
        }
        let ways = [
            (
                "levelled_early",
                early,
                "the solvent was not gone and product may have been taken off again: look at it \
                                       under light, and lay it again within the recoat window if it is thin",
            ),
            (
                "levelled_late",
                late,
                "expect high spots: look under light now, and rework them while the coat still \
                                     lets itself be wiped; later only polishing takes them off",
            ),
        ];
        for (code, timed, detail) in ways {
            if timed.measured.is_empty() {
                continue;
            }
            let said = Said {
                measured: Some(timed.measured.join("; ")),
                allowed: Some(each_once(timed.allowed).join("; ")),
                ..warns(seen, code, "level", detail.to_owned())
            };
            self.find(said, seen)?;
        }
        if !unknown.is_empty() {
            let detail =
                "how long a coat takes to level depends on the panel's temperature: read it and enter it";
            let said = Said {
                measured: Some(format!("{}: temperature not measured", unknown.join("; "))),
                ..warns(seen, "level_not_judged", "level.table", detail.to_owned())
            };
            self.find(said, seen)?;
        }
        if !by_eye.is_empty() {
            let detail =
                "levelled by eye, and looks decide: look along each panel under light for what was left";
            let said = Said {
                severity: Severity::Tells,
                measured: Some(format!("{}: by eye", by_eye.join("; "))),
                allowed: level.after_s.map(|span| told(span, "s")),
                ..warns(seen, "levelled_by_eye", "level", detail.to_owned())
            };
            self.find(said, seen)?;
        }
        Ok(())
    }
}

/// Sections that were levelled on the same wrong side of their time.
#[derive(Default)]
struct Timed {
    measured: Vec<String>,
    allowed: Vec<String>,
}

/// How far the panel was above the dew point, in K; none where it was not read. Air without water has no dew point, and
/// nothing condenses from it.
fn over_dew_of(reading: &ClimateReading) -> Option<f64> {
    let (air, surface) = (Celsius::new(reading.air_c).ok()?, Celsius::new(reading.surface_c?).ok()?);
    let rh = RelativeHumidity::new(reading.rh_pct).ok()?;
    let dew = vapour_pressure(air, rh).and_then(dew_point);
    Some(dew.map_or(f64::INFINITY, |dew| over_dew(surface, dew).get()))
}
