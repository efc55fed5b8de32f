//! The words of the story. Every figure in them comes out of an answer.

use chrono::{DateTime, NaiveDate, Utc};
use serde_json::Value;

use super::Failure;
use super::story::Story;
use crate::app::appointments::AppointmentView;
use crate::app::batches::BatchView;
use crate::app::checks::{Findings, SignedOffView};
use crate::app::cure::CureView;
use crate::app::eligibility::Eligibility;
use crate::app::handover::HandedOver;
use crate::app::page::Wanted;
use crate::app::terms::TermsView;
use crate::app::ticks::Did;
use crate::app::visits::EnteredVisit;
use crate::app::{jobs, notices, parts, shops, tasks};
use crate::core::assess::DueStatus;
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::humidity::{dew_point, vapour_pressure};
use crate::core::ids::{JobId, NoticeId};
use crate::core::steps::MixedStep;
use crate::core::units::{Celsius, RelativeHumidity};

impl Story<'_> {
    fn line(&mut self, text: &str) -> Result<(), Failure> {
        writeln!(self.out, "{text}")?;
        Ok(())
    }

    /// A heading with the day in the story.
    fn heading(&mut self, text: &str) -> Result<(), Failure> {
        let day = self.day();
        self.line(&format!("\n{}  {text}", date(day)))
    }

    fn clock_time(&self, at: DateTime<Utc>) -> String {
        at.with_timezone(&self.zone).format("%H:%M").to_string()
    }

    pub(super) fn tell_shop(&mut self, terms: &TermsView) -> Result<(), Failure> {
        let shop = shops::find(&self.app, &self.desk)?;
        self.line("Lustrum, told on an invented shop: nobody and nothing in this story exists.")?;
        self.line(&format!("The shop: {}, {}", shop.settings.name, shop.settings.time_zone))?;
        let document = &terms.document;
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        self.line(&format!(
            "Its terms: \"{}\", {} edition {}, {}",
            text(&document["title"]),
            terms.code,
            terms.edition,
            terms.state
        ))?;
        for cover in document["cover"].as_array().into_iter().flatten() {
            let km = cover["up_to_km"].as_u64().map(|km| format!(" or {km} km")).unwrap_or_default();
            self.line(&format!("  cover of {}: {}{km}", text(&cover["surface"]), period(&cover["lasts"])))?;
        }
        for rule in document["upkeep"].as_array().into_iter().flatten() {
            let service = match &rule["service"] {
                Value::Array(some) => some.iter().map(text).collect::<Vec<_>>().join(" or "),
                one => text(one),
            };
            let times = match rule["times"].as_u64() {
                Some(1) => format!("once, after {}", period(&rule["first_after"])),
                _ => format!("every {}", period(&rule["every"])),
            };
            self.line(&format!("  upkeep: {service} {times}"))?;
        }
        Ok(())
    }

    /// What a job consists of, in the order in which it was entered.
    fn parts<P: parts::Kind>(&self, job: JobId) -> Result<Vec<P>, Failure> {
        let page = parts::list::<P>(&self.app, &self.desk, job, &Wanted::first(200))?;
        Ok(page.items.into_iter().rev().map(|entered| entered.part).collect())
    }

    pub(super) fn tell_work(&mut self, job: JobId, vehicle: &Value) -> Result<(), Failure> {
        let view = jobs::find(&self.app, &self.desk, &job.to_string())?;
        let name = |member: &str| vehicle[member].as_str().unwrap_or_default().to_owned();
        self.heading(&format!(
            "The winter delivery: {} {}, new, {} {}; job {}",
            name("make"),
            name("model"),
            view.odometer.value,
            view.odometer.unit,
            view.number
        ))?;
        for MixedStep { step, .. } in self.parts(job)? {
            let times = step.started_at.zip(step.ended_at);
            let times =
                times.map(|(from, to)| format!("{}–{}", self.clock_time(from.0), self.clock_time(to.0)));
            let with = step.product.map(|code| match &step.dilution {
                Some(dilution) => format!(", {code} {dilution}"),
                None => format!(", {code}"),
            });
            let surfaces =
                step.surfaces.iter().map(|one| spoken(one.as_str())).collect::<Vec<_>>().join(", ");
            self.line(&format!(
                "  {}  {} ({surfaces}{})",
                times.unwrap_or_default(),
                spoken(step.kind.as_str()),
                with.unwrap_or_default()
            ))?;
        }
        for reading in self.parts::<ClimateReading>(job)? {
            let over = dew_of(&reading)
                .zip(reading.surface_c)
                .map(|(dew, panel)| format!(", {:.1} °C over the dew point of {dew:.1} °C", panel - dew));
            let surface = reading.surface_c.map(|c| format!(", panel {c} °C")).unwrap_or_default()
                + &over.unwrap_or_default();
            let at = self.clock_time(reading.at.0);
            self.line(&format!(
                "  {at}        climate, {}: air {} °C, {} % relative humidity{surface}",
                reading.place.unwrap_or_default(),
                reading.air_c,
                reading.rh_pct
            ))?;
        }
        let mut last_on_paint: Option<DateTime<Utc>> = None;
        for coat in self.parts::<LaidCoat>(job)?.into_iter().map(|laid| laid.coat) {
            let paint = coat.surface == crate::core::words::Surface::Paint;
            let after = last_on_paint.filter(|_| paint).map(|last| {
                format!(", {} min after the coat below", (coat.started_at.0 - last).num_minutes())
            });
            if paint {
                last_on_paint = Some(coat.ended_at.0);
            }
            self.line(&format!(
                "  {}–{}  coat of {} on {} panels of {}, batch {}{}",
                self.clock_time(coat.started_at.0),
                self.clock_time(coat.ended_at.0),
                coat.product,
                coat.panels.len(),
                spoken(coat.surface.as_str()),
                coat.batch,
                after.unwrap_or_default()
            ))?;
        }
        let left_out: Vec<String> =
            view.excluded_panels.iter().map(|panel| spoken(&panel.to_string())).collect();
        if !left_out.is_empty() {
            self.line(&format!("  left out: {}", left_out.join(", ")))?;
        }
        Ok(())
    }

    pub(super) fn tell_checks(&mut self, findings: &Findings) -> Result<(), Failure> {
        if findings.items.is_empty() {
            return self.line("  checks: nothing to say against it");
        }
        for finding in &findings.items {
            self.line(&format!("  check {} ({}): {}", finding.code, finding.severity, finding.detail))?;
        }
        Ok(())
    }

    /// Whether it may leave tonight, and when its coats will be where.
    pub(super) fn tell_cure(&mut self, cure: &CureView) -> Result<(), Failure> {
        for coat in &cure.coats {
            if let Some(panel) = coat.panels.first() {
                let hours = panel.equivalent_h;
                self.line(&format!("  {} has cured for {hours:.1} h at 20 °C's worth", coat.product))?;
            }
        }
        for one in cure.milestones.iter().filter(|one| one.panel.is_none()) {
            let when = match (one.reached_at, one.expected_at) {
                (Some(at), _) => format!("reached on {}", self.hour(at.0)),
                (None, Some(at)) => format!("expected by {}, an estimate", self.hour(at.0)),
                (None, None) => "not with what is known".to_owned(),
            };
            self.line(&format!("  {}: {when}", one.name))?;
        }
        self.line(&format!("  may it leave tonight? {}", if cure.leave.may { "yes" } else { "no" }))?;
        for because in &cure.leave.because {
            self.line(&format!("    because {} ({})", because.text, because.surface))?;
        }
        for help in &cure.leave.helps {
            self.line(&format!("    would help: {}", help.text))?;
        }
        cure.hints.iter().try_for_each(|hint| self.line(&format!("    besides: {hint}")))
    }

    /// An instant in the shop's zone, rounded up to the hour.
    fn hour(&self, at: DateTime<Utc>) -> String {
        let up = chrono::TimeDelta::seconds((-at.timestamp()).rem_euclid(3_600));
        (at + up).with_timezone(&self.zone).format("%-d %B %Y, %H:%M").to_string()
    }

    pub(super) fn tell_booked_in(&mut self, batch: &BatchView) -> Result<(), Failure> {
        self.line(&format!(
            "  the desk books the bottle in: {} batch {}",
            batch.batch.product, batch.batch.number
        ))
    }

    pub(super) fn tell_sign_off(&mut self, signed: &SignedOffView) -> Result<(), Failure> {
        let digest = signed.record.digest.to_string();
        self.line(&format!(
            "  signed off: {} is record {} of the shop, sealed as {}…",
            signed.number,
            signed.record.seq,
            &digest[..12]
        ))
    }

    pub(super) fn tell_handover(
        &mut self,
        name: &str,
        handed: &HandedOver,
        seen: &Eligibility,
        whole: bool,
    ) -> Result<(), Failure> {
        let Some(warranty) = &handed.warranty else {
            return self.heading(&format!("{name} is handed over without a warranty"));
        };
        self.heading(&format!("{name} is handed over; warranty {}", warranty.number))?;
        for cover in &warranty.cover {
            let km = cover.up_to_km.map(|km| format!(", or {km} km")).unwrap_or_default();
            self.line(&format!(
                "  {}: {} panels, from {} to {}{km}",
                spoken(cover.surface.as_str()),
                cover.panels.len(),
                date(cover.from),
                date(cover.last_day)
            ))?;
        }
        if !whole {
            return Ok(());
        }
        if let Some(care) = &handed.care {
            let told = [
                ("may meet water", care.first_water),
                ("first wash", care.first_wash),
                ("full cure", care.full_cure),
            ];
            for (what, from) in told {
                let from = from.map_or("not with what is known".to_owned(), |from| self.hour(from.0));
                self.line(&format!("  {what}: {from}, an estimate"))?;
            }
        }
        self.tell_next(seen)
    }

    /// What falls due next by each rule.
    fn tell_next(&mut self, seen: &Eligibility) -> Result<(), Failure> {
        let mut told: Vec<&str> = Vec::new();
        for due in seen.warranties.iter().flat_map(|warranty| &warranty.assessment.assessment.dues) {
            let waiting = matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late);
            if waiting && !told.contains(&due.upkeep.as_str()) {
                told.push(&due.upkeep);
                let text = format!(
                    "  next: {} number {} due on {}, counts from {} to {}",
                    due.upkeep,
                    due.number,
                    date(due.due.date()),
                    date(due.opens.date()),
                    date(due.closes.date())
                );
                writeln!(self.out, "{text}")?;
            }
        }
        Ok(())
    }

    pub(super) fn tell_visit(
        &mut self,
        name: &str,
        what: &str,
        entered: &EnteredVisit,
        seen: &Eligibility,
    ) -> Result<(), Failure> {
        self.heading(&format!("{name}: {what}"))?;
        for one in &entered.effects {
            let effect = &one.effect;
            let of = effect.upkeep.clone().or(effect.breach.clone()).unwrap_or_default();
            let number = effect.number.map(|number| format!(" number {number}")).unwrap_or_default();
            let because =
                effect.because.map(|why| format!(", because {}", spoken(&word(&why)))).unwrap_or_default();
            self.line(&format!("  {}: {} {of}{number}{because}", one.warranty.number, word(&effect.effect)))?;
        }
        self.line(&format!("  {}", seen.headline))?;
        self.tell_next(seen)
    }

    pub(super) fn tell_event(&mut self, name: &str, what: &str, seen: &Eligibility) -> Result<(), Failure> {
        self.heading(&format!("{name} {what}"))?;
        self.line(&format!("  {}", seen.headline))
    }

    pub(super) fn tell_booked(&mut self, name: &str, booked: &AppointmentView) -> Result<(), Failure> {
        let on = date(booked.at.with_timezone(&self.zone).date_naive());
        self.heading(&format!("{name}: the owner books in for {on}"))
    }

    /// What became of a booking; one that was missed is now a task of the desk.
    pub(super) fn tell_waiting(&mut self, name: &str, booked: &AppointmentView) -> Result<(), Failure> {
        self.heading(&format!("{name}: the appointment was {}", booked.state))?;
        for task in tasks::list(&self.app, &self.desk, false, &Wanted::first(10))?.items {
            self.line(&format!("  a task of the desk: {}", spoken(task.kind.as_str())))?;
        }
        Ok(())
    }

    /// The mails that have just gone out.
    pub(super) fn tell_mails(&mut self, did: &[Did]) -> Result<(), Failure> {
        let sent: Vec<NoticeId> = did
            .iter()
            .filter_map(|did| match did {
                Did::Sent(outcome) => Some(outcome.notice),
                _ => None,
            })
            .collect();
        if sent.is_empty() {
            return Ok(());
        }
        let page = notices::list(&self.app, &self.desk, &[], &Wanted::first(200))?;
        for notice in page.items.into_iter().rev().filter(|notice| sent.contains(&notice.id)) {
            let day = self.day();
            self.line(&format!(
                "{}  mail ({}) to {}: {}",
                date(day),
                notice.kind,
                notice.customer.name,
                notice.subject
            ))?;
        }
        Ok(())
    }

    pub(super) fn tell_today(&mut self) -> Result<(), Failure> {
        self.heading("Today all four return. Each verdict, and why:")
    }

    pub(super) fn tell_verdict(&mut self, name: &str, seen: &Eligibility) -> Result<(), Failure> {
        self.line(&format!("\n  {name}. {}", seen.headline))?;
        for warranty in &seen.warranties {
            for reason in &warranty.assessment.explanation.reasons {
                let clause = reason.clause.as_ref().map(|clause| format!(" [{clause}]")).unwrap_or_default();
                self.line(&format!("    {}{clause}", reason.text))?;
            }
        }
        for today in &seen.today {
            let from =
                today.outcome.from.map(|from| format!(" (from {})", date(from.date()))).unwrap_or_default();
            self.line(&format!(
                "    {} today: {}{from}",
                today.outcome.services.join(" or "),
                spoken(&word(&today.outcome.outcome))
            ))?;
        }
        Ok(())
    }

    pub(super) fn tell_folder(&mut self) -> Result<(), Failure> {
        let page = notices::list(&self.app, &self.desk, &[], &Wanted::first(200))?;
        let mails = page.items.iter().filter(|notice| notice.sent_at.is_some()).count();
        let folder = self.app.config.mail.trim_start_matches("file:").to_owned();
        self.line(&format!("\n{mails} notices went out; the mails are in {folder}"))
    }
}

/// The dew point of the air that was read, °C; none of air without water.
fn dew_of(reading: &ClimateReading) -> Option<f64> {
    let (air, rh) = (Celsius::new(reading.air_c).ok()?, RelativeHumidity::new(reading.rh_pct).ok()?);
    vapour_pressure(air, rh).and_then(dew_point).ok().map(Celsius::get)
}

/// "20 January 2026".
fn date(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

/// A word of the wire as people say it.
fn spoken(word: &str) -> String {
    word.strip_prefix("other:").unwrap_or(word).replace('_', " ")
}

/// A word as it stands on the wire.
fn word(value: &impl serde::Serialize) -> String {
    serde_json::to_value(value).ok().and_then(|value| value.as_str().map(str::to_owned)).unwrap_or_default()
}

/// A period of terms in words: "1 year", "8 weeks".
fn period(value: &Value) -> String {
    let parts = value.as_object().into_iter().flatten().filter_map(|(unit, count)| {
        let count = count.as_u64()?;
        let unit = if count == 1 { unit.trim_end_matches('s') } else { unit };
        Some(format!("{count} {unit}"))
    });
    parts.collect::<Vec<_>>().join(" and ")
}
