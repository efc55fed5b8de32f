//! The one-look answer when a vehicle returns: whether cover is in force, on what, why, and what today would do.

use std::fmt;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde::Serialize;
use serde_json::{Map, json};

use super::assessments::{Case, WarrantyName, cases};
use super::cure::{Care, care_since};
use super::vehicles::{VehicleView, view as vehicle_view};
use super::{App, Error, Who};
use crate::core::assess::{ExplainedAssessment, State, TodayOutcome, Verdict};
use crate::core::error::Error as Rule;
use crate::core::ids::{RunningNumber, WarrantyId};
use crate::core::plate::plate_key;
use crate::core::vin::Vin;
use crate::core::words::JobState;
use crate::db::vehicles::{self, VehicleRow};
use crate::db::warranties::CoverItem;
use crate::db::{Conn, jobs};

/// What a vehicle is found by.
#[derive(Debug, Clone)]
pub enum By {
    /// Its identification number.
    Vin(Vin),
    /// Its number plate.
    Plate(String),
}

/// The terms of a warranty.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct TermsName {
    /// Their code.
    pub code: String,
    /// Their edition.
    pub edition: u32,
    /// Their title.
    pub title: String,
}

/// A warranty of the vehicle, as of the day.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct EligibleWarranty {
    /// The warranty.
    pub id: WarrantyId,
    /// `W-…`
    pub number: RunningNumber,
    /// The terms that it stands on.
    pub terms: TermsName,
    /// What it covers, as at handover.
    pub cover: Vec<CoverItem>,
    /// The verdict.
    pub assessment: ExplainedAssessment,
}

/// What a service would do today, for one warranty and rule.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct TodayFor {
    /// The warranty.
    pub warranty: WarrantyName,
    /// What it would do.
    #[serde(flatten)]
    pub outcome: TodayOutcome,
}

/// The one-look answer.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct Eligibility {
    /// The vehicle.
    pub vehicle: VehicleView,
    /// The day.
    pub on: NaiveDate,
    /// All its warranties, ended ones too, void ones not; newest first.
    pub warranties: Vec<EligibleWarranty>,
    /// Whether any surface is covered.
    pub in_force: bool,
    /// The answer in one sentence.
    pub headline: String,
    /// What services would do on that day, as far as the terms go.
    pub today: Vec<TodayFor>,
    /// From when on the vehicle may meet water and be washed after its latest job, where that was handed over within sixty
    /// days before the day; null otherwise, and where no coat of it cures.
    pub care: Option<Care>,
}

/// How long after a handover the care of a new coating is told: coatings cure within weeks (common practice).
const CURING: TimeDelta = TimeDelta::days(60);

/// The care of a vehicle's latest job, if its coating may still be curing on a day.
fn care_on(
    conn: &mut Conn,
    who: &Who,
    row: &VehicleRow,
    on: NaiveDate,
    now: DateTime<Utc>,
) -> Result<Option<Care>, Error> {
    let latest = jobs::list(conn, &who.shop, Some(JobState::HandedOver), Some(row.id), None, 1)?;
    for job in latest {
        let Some((handed_over_on, _)) = job.handed_over else { continue };
        if handed_over_on <= on && on - handed_over_on <= CURING {
            return care_since(conn, &who.shop, who.zone, &job, handed_over_on, now);
        }
    }
    Ok(None)
}

impl fmt::Display for By {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Vin(vin) => write!(out, "the VIN {}", vin.as_str()),
            Self::Plate(plate) => write!(out, "the plate {plate:?}"),
        }
    }
}

/// Looks a vehicle up, as of a day (the shop's today unless given).
pub fn look_up(app: &App, who: &Who, by: &By, on: Option<NaiveDate>) -> Result<Eligibility, Error> {
    let on = on.unwrap_or_else(|| who.day(app.now()));
    app.db.read(|c| {
        let row = match by {
            By::Vin(vin) => vehicles::by_vin(c, &who.shop, vin.as_str())?.ok_or(Rule::NotFound)?,
            By::Plate(plate) => one_of(vehicles::by_plate(c, &who.shop, &plate_key(plate))?)?,
        };
        let mut known = cases(c, &who.shop, row.id)?;
        known.reverse();
        let mut warranties = Vec::new();
        let mut today = Vec::new();
        let mut verdicts = Vec::new();
        for case in &known {
            let verdict = case.verdict(on, None);
            let outcome = |outcome| TodayFor { warranty: (&case.row).into(), outcome };
            today.extend(case.today(&verdict).into_iter().map(outcome));
            warranties.push(EligibleWarranty {
                id: case.row.id,
                number: case.row.number,
                terms: TermsName {
                    code: case.terms.code.clone(),
                    edition: case.terms.edition,
                    title: case.terms.title.clone(),
                },
                cover: case.row.cover.clone(),
                assessment: case.answer(&verdict).assessment,
            });
            verdicts.push(verdict);
        }
        let in_force =
            verdicts.iter().flat_map(|verdict| &verdict.cover).any(|one| one.state == State::InForce);
        Ok(Eligibility {
            on,
            headline: headline(&known, &verdicts, on),
            care: care_on(c, who, &row, on, app.now())?,
            warranties,
            in_force,
            today,
            vehicle: vehicle_view(c, &who.shop, row)?,
        })
    })
}

/// The one vehicle with a plate; none is 404, several are told.
fn one_of(mut rows: Vec<VehicleRow>) -> Result<VehicleRow, Rule> {
    match (rows.pop(), rows.len()) {
        (None, _) => Err(Rule::NotFound),
        (Some(row), 0) => Ok(row),
        (Some(row), _) => {
            rows.push(row);
            let candidates: Vec<_> = rows
                .iter()
                .map(|row| json!({"id": row.id, "vin": row.vin, "plate": row.plate, "title": super::vehicles::title(row)}))
                .collect();
            let more = Map::from_iter([("candidates".to_owned(), json!(candidates))]);
            let detail = format!("{} vehicles have this plate: say which by its VIN", rows.len());
            Err(Rule::State { code: "several_vehicles", detail, errors: Vec::new(), more })
        }
    }
}

/// The answer in one sentence: what is in force, what is on hold, what has ended.
fn headline(cases: &[Case], verdicts: &[Verdict], on: NaiveDate) -> String {
    if cases.is_empty() {
        return "No warranty is on record for this vehicle.".into();
    }
    let named = |state: State| {
        let mut surfaces: Vec<String> = Vec::new();
        for (case, verdict) in cases.iter().zip(verdicts) {
            for one in verdict.cover.iter().filter(|one| one.state == state) {
                let surface = case.terms.cover[one.surface].surface.clone();
                if !surfaces.contains(&surface) {
                    surfaces.push(surface);
                }
            }
        }
        surfaces.join(", ")
    };
    let parts = [
        (named(State::InForce), "in force on"),
        (named(State::Suspended), "on hold on"),
        (named(State::NotBegun), "not yet begun on"),
        (named(State::Ended), "ended on"),
    ];
    let said: Vec<String> = parts
        .iter()
        .filter(|(names, _)| !names.is_empty())
        .map(|(names, what)| format!("{what} {names}"))
        .collect();
    format!("As of {on}, cover is {}.", said.join("; "))
}
