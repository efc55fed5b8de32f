//! Checks on each coat and step by itself: batch, surface, times.

use chrono::{DateTime, Utc};

use super::{Checker, CoatSeen, Said};
use crate::core::calendar::local_day;
use crate::core::error::Fault;
use crate::core::words::{BatchState, Severity};

/// What most findings here say alike: they stop, and are no rule of the terms.
fn stops(code: &'static str, subject: String, clause: String, detail: String) -> Said {
    Said {
        code,
        severity: Severity::Stops,
        subject,
        measured: None,
        allowed: None,
        clause,
        detail,
        of_terms: false,
    }
}

impl Checker<'_> {
    /// Whether the batch is known, usable, and was not expired on the day of the coat.
    pub(super) fn batch(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let (batch, product) = (&seen.coat.batch, &seen.coat.product);
        let found = |code, measured: String, allowed: String, detail: String| Said {
            measured: Some(measured),
            allowed: Some(allowed),
            ..stops(code, format!("coat:{}", seen.id), "batch".into(), detail)
        };
        let Some(known) = seen.known else {
            let detail = format!("register batch {batch} of {product}, or correct the number on the coat");
            let said = found("batch_unknown", batch.clone(), "a registered batch".into(), detail);
            return self.find(said, seen);
        };
        if known.state != BatchState::Usable {
            let detail = format!("batch {batch} of {product} is {}: a manager decides", known.state);
            let (state, usable) = (known.state.to_string(), BatchState::Usable.to_string());
            self.find(found("batch_unusable", state, usable, detail), seen)?;
        }
        let day = seen.coat.started_at.0.with_timezone(&self.job.zone).date_naive();
        if let Some(last) = known.expires_on.filter(|last| day > *last) {
            let detail = format!("batch {batch} of {product} could be used until {last}: a manager decides");
            let said = found("batch_expired", day.to_string(), format!("until {last}"), detail);
            self.find(said, seen)?;
        }
        Ok(())
    }

    /// Whether the bottle was used within the time that its product keeps once opened.
    pub(super) fn opened(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let (batch, product) = (&seen.coat.batch, &seen.coat.product);
        let keeps = seen.sheet.as_ref().and_then(|sheet| sheet.keeps_opened);
        let opened = seen.known.and_then(|known| known.opened_on);
        let Some((keeps, opened)) = keeps.zip(opened) else { return Ok(()) };
        let (last, day) = (keeps.after(opened.into()), local_day(seen.coat.started_at.0, self.job.zone));
        if day <= last {
            return Ok(());
        }
        let detail = format!(
            "batch {batch} of {product} was opened on {opened} and keeps for {keeps}: take a fresh bottle; of what is laid, \
             watch whether it levels and cures as usual. If another bottle of the batch was used, correct the batch"
        );
        let said = Said {
            severity: Severity::Warns,
            measured: Some(format!("used on {day}")),
            allowed: Some(format!("until {last}")),
            ..stops(
                "bottle_open_too_long",
                format!("coat:{}", seen.id),
                format!("sheet.{product}.keeps.opened"),
                detail,
            )
        };
        self.find(said, seen)
    }

    /// Whether the amount used fits the area, from half to twice what the sheet's yield gives.
    pub(super) fn amount(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let product = &seen.coat.product;
        let goes = seen.sheet.as_ref().and_then(|sheet| sheet.yield_m2_per_ml);
        let Some(((ml, area), goes)) = seen.coat.ml.zip(seen.coat.area_m2).zip(goes) else { return Ok(()) };
        let usual = area / goes;
        let detail = if ml < usual / 2.0 {
            "little for that area: the film may be thin or parts uncoated. Look at the panels under light, and correct \
             millilitres or area if they were mistyped"
        } else if ml > usual * 2.0 {
            "much for that area: expect high spots and slow curing. Look at the panels under light, and correct \
             millilitres or area if they were mistyped"
        } else {
            return Ok(());
        };
        let said = Said {
            severity: Severity::Warns,
            measured: Some(format!("{ml} ml on {area} m²")),
            allowed: Some(format!("{:.1} to {:.1} ml", usual / 2.0, usual * 2.0)),
            ..stops(
                "amount_off_yield",
                format!("coat:{}", seen.id),
                format!("sheet.{product}.yield_m2_per_ml"),
                detail.into(),
            )
        };
        self.find(said, seen)
    }

    /// Whether the data sheet lists the surface; without a sheet nothing is said.
    pub(super) fn surface(&mut self, seen: &CoatSeen) -> Result<(), Fault> {
        let (product, surface) = (&seen.coat.product, seen.coat.surface);
        let Some(sheet) = seen.sheet.as_ref().filter(|sheet| !sheet.takes(surface)) else { return Ok(()) };
        let allowed = sheet.surfaces.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let detail = format!("the data sheet of {product} names {allowed}, not {surface}");
        let said = Said {
            measured: Some(surface.to_string()),
            allowed: Some(allowed),
            ..stops(
                "product_surface",
                format!("coat:{}", seen.id),
                format!("sheet.{product}.surfaces"),
                detail,
            )
        };
        self.find(said, seen)
    }

    /// Whether times run forwards and lie in the job: one finding at most for each step and each coat, since a pass
    /// names it by check and subject.
    pub(super) fn times(&mut self) -> Result<(), Fault> {
        let job = self.job;
        let before_job = |at: DateTime<Utc>| job.started_at.is_some_and(|began| at < began);
        let said = |subject: String, what: String| {
            stops("times_backwards", subject, "times".into(), format!("{what}: correct the times"))
        };
        for seen in &job.steps {
            let step = &seen.step;
            let what = if step.started_at.zip(step.ended_at).is_some_and(|(start, end)| end < start) {
                "ends before it starts"
            } else if [step.started_at, step.ended_at].into_iter().flatten().any(|at| before_job(at.0)) {
                "lies before the job began"
            } else {
                continue;
            };
            self.find(said(format!("step:{}", seen.id), format!("{} {what}", step.kind)), seen)?;
        }
        for seen in &job.coats {
            let coat = &seen.coat;
            let mut sections = coat.sections.iter();
            let what = if coat.ended_at < coat.started_at {
                "the coat ends before it starts"
            } else if sections
                .clone()
                .any(|section| section.levelled_at.is_some_and(|at| at < section.applied_at))
            {
                "a section was levelled before it was applied"
            } else if sections.any(|section| !(coat.started_at..=coat.ended_at).contains(&section.applied_at))
            {
                "a section was applied outside the coat's time"
            } else if before_job(coat.started_at.0) {
                "the coat lies before the job began"
            } else {
                continue;
            };
            self.find(said(format!("coat:{}", seen.id), what.into()), seen)?;
        }
        Ok(())
    }
}
