//! A job as documents tell of it.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};

use super::Office;
use crate::app::checks::findings;
use crate::app::drawings::{climate_of, panels_of};
use crate::app::paint_readings;
use crate::app::{App, Error};
use crate::core::calendar::Moment;
use crate::core::checks::Finding;
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::ids::MemberId;
use crate::core::marks::Mark;
use crate::core::steps::{MixedStep, Step};
use crate::core::words::JobState;
use crate::db::jobs::JobRow;
use crate::db::parts::Part as _;
use crate::db::passes::PassRow;
use crate::db::{Conn, jobs, people};
use crate::documents::job::{
    ClimateOnPaper, CoatOnPaper, FindingOnPaper, JobOnPaper, MarkOnPaper, PaintOnPaper, SignedOnPaper,
    StepOnPaper,
};
use crate::language::Language;

/// The members of the shop by name.
pub(super) type Names = BTreeMap<MemberId, String>;

/// Everybody who is or was a member of the shop.
pub(super) fn names(conn: &mut Conn, office: &Office) -> Result<Names, Error> {
    let members = people::list_members(conn, &office.shop, None, i64::MAX)?;
    Ok(members.into_iter().map(|member| (member.id, member.name)).collect())
}

/// Everything that a document can tell of a job, its pictures in the language of the document.
pub(super) fn told(
    conn: &mut Conn,
    app: &App,
    office: &Office,
    row: &JobRow,
    names: &Names,
    language: Language,
) -> Result<JobOnPaper, Error> {
    let shop = &office.shop;
    let local = |at: DateTime<Utc>| office.local(at);
    let name = |id: MemberId| names.get(&id).cloned();
    let panels = jobs::panels(conn, shop, row.id)?;
    let marks = Mark::of_job(conn, shop, row.id)?.into_iter().map(|row| mark(row.part)).collect();
    let steps = MixedStep::of_job(conn, shop, row.id)?.into_iter();
    let steps = steps.map(|row| step(office, names, row.part.step, row.entered_by));
    let mut steps: Vec<StepOnPaper> = steps.collect();
    steps.sort_by_key(|step| step.times.0.or(step.times.1));
    let coats = LaidCoat::of_job(conn, shop, row.id)?.into_iter().map(|row| {
        let LaidCoat { coat, sheet_edition } = row.part;
        CoatOnPaper {
            surface: coat.surface,
            panels: coat.panels,
            product: coat.product,
            sheet: sheet_edition,
            batch: coat.batch,
            times: (local(coat.started_at.0), local(coat.ended_at.0)),
            ml: coat.ml,
            by: name(coat.by.unwrap_or(row.entered_by)),
        }
    });
    let coats = coats.collect();
    let climate = climate(conn, office, row)?;
    let paint = paint_readings::of_row(conn, app, shop, row)?.paint;
    Ok(JobOnPaper {
        number: row.number.to_string(),
        state: row.state,
        taken_in: local(row.started_at.unwrap_or(row.created_at)),
        odometer: row.odometer,
        panels: panels.listed.into_iter().collect(),
        excluded: panels.excluded,
        marks,
        steps,
        climate_drawing: (climate.len() > 1)
            .then(|| climate_of(conn, shop, office.zone, row, language))
            .transpose()?,
        climate,
        coats,
        paint: paint
            .panels
            .iter()
            .map(|one| PaintOnPaper {
                panel: one.panel.clone(),
                before: one.before.as_ref().map(|read| (read.mean_um, read.n)),
                after: one.after.as_ref().map(|read| (read.mean_um, read.n)),
            })
            .collect(),
        paint_drawing: (!paint.panels.is_empty()).then(|| panels_of(row.number, paint, language)),
        findings: if row.state == JobState::Cancelled {
            Vec::new()
        } else {
            let found = findings(conn, shop, office.zone, row)?.into_iter();
            found.map(|(finding, pass)| told_finding(office, names, finding, pass)).collect()
        },
        signed: row.signed_off.map(|signed| SignedOnPaper {
            at: local(signed.at),
            by: name(signed.by).unwrap_or_default(),
            seq: signed.seq,
            digest: signed.digest,
        }),
        handed_over: row.handed_over.map(|(on, _)| on),
    })
}

fn mark(mark: Mark) -> MarkOnPaper {
    let Mark { panel, surface, kind, size_mm, note, photo: _, seen_at: _ } = mark;
    MarkOnPaper { panel, surface, kind, size_mm, note }
}

/// A step, and who did it; whoever entered it unless said.
pub(super) fn step(office: &Office, names: &Names, step: Step, entered_by: MemberId) -> StepOnPaper {
    let local = |at: Moment| office.local(at.0);
    StepOnPaper {
        times: (step.started_at.map(local), step.ended_at.map(local)),
        kind: step.kind,
        surfaces: step.surfaces,
        panels: step.panels,
        product: step.product,
        dilution: step.dilution,
        by: names.get(&step.by.unwrap_or(entered_by)).cloned(),
    }
}

/// A climate reading.
pub(super) fn reading(office: &Office, reading: ClimateReading) -> ClimateOnPaper {
    ClimateOnPaper {
        at: office.local(reading.at.0),
        air_c: reading.air_c,
        rh_pct: reading.rh_pct,
        surface_c: reading.surface_c,
        place: reading.place,
    }
}

fn climate(conn: &mut Conn, office: &Office, row: &JobRow) -> Result<Vec<ClimateOnPaper>, Error> {
    let mut readings: Vec<ClimateReading> =
        ClimateReading::of_job(conn, &office.shop, row.id)?.into_iter().map(|row| row.part).collect();
    readings.sort_by_key(|reading| reading.at);
    Ok(readings.into_iter().map(|one| reading(office, one)).collect())
}

fn told_finding(office: &Office, names: &Names, finding: Finding, pass: Option<PassRow>) -> FindingOnPaper {
    let passed = |pass: PassRow| {
        let by = names.get(&pass.member).cloned().unwrap_or_default();
        (pass.reason, by, office.local(pass.passed_at))
    };
    FindingOnPaper {
        about: format!("{} {}", finding.code, finding.subject),
        severity: finding.severity,
        detail: finding.detail,
        passed: pass.map(passed),
    }
}
