//! The verdict on a warranty: from its terms and facts, and as it is stored.

use chrono::{DateTime, NaiveDate, Utc};
use serde::Serialize;

use super::{Error, Who};
use crate::core::assess::{
    Assessment, DueStatus, ExplainedAssessment, ServiceEffect, TodayOutcome, Verdict, assess, effects_of,
    pace_of, today,
};
use crate::core::calendar::{Day, day_begins, local_day};
use crate::core::distance::Pace;
use crate::core::facts::{EventInput, Facts, FactsInput};
use crate::core::ids::{RunningNumber, WarrantyId};
use crate::core::notices::expected;
use crate::core::terms::{Rules, Terms};
use crate::core::words::Surface;
use crate::db::dues::{self, DueRow};
use crate::db::warranties::{self, Assessed, VerdictRow, WarrantyRow};
use crate::db::{Conn, Shop, Tx};

/// How answers name a warranty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct WarrantyName {
    /// The warranty.
    pub id: WarrantyId,
    /// `W-…`
    pub number: RunningNumber,
}

impl From<&WarrantyRow> for WarrantyName {
    fn from(row: &WarrantyRow) -> Self {
        Self { id: row.id, number: row.number }
    }
}

/// The assessment of one warranty.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct WarrantyAssessment {
    /// Which.
    pub warranty: WarrantyName,
    /// The assessment.
    pub assessment: ExplainedAssessment,
}

/// A warranty with its terms and facts, ready to be judged.
pub(crate) struct Case {
    /// The warranty.
    pub(crate) row: WarrantyRow,
    /// Its terms.
    pub(crate) terms: Terms,
    rules: Rules,
    facts: Facts,
}

impl Case {
    /// Loads what a warranty is judged by.
    pub(crate) fn load(conn: &mut Conn, shop: &Shop, row: WarrantyRow) -> Result<Self, Error> {
        let terms = parsed(&warranties::terms_of(conn, shop, row.id)?.document)?;
        let rules = Rules::compile(&terms);
        let events = warranties::facts(conn, shop, row.id)?.into_iter().map(|fact| fact.body).collect();
        let facts = checked_facts(&row, &rules, events)?;
        Ok(Self { row, terms, rules, facts })
    }

    /// The verdict as of a day; by what was known at an instant, or by all that is known.
    pub(crate) fn verdict(&self, as_of: NaiveDate, known_at: Option<DateTime<Utc>>) -> Verdict {
        let mut verdict = Verdict::default();
        assess(&self.rules, &self.facts, as_of.into(), known_at, &mut verdict);
        verdict
    }

    /// The verdict as it is answered.
    pub(crate) fn answer(&self, verdict: &Verdict) -> WarrantyAssessment {
        WarrantyAssessment {
            warranty: (&self.row).into(),
            assessment: ExplainedAssessment::of(&self.rules, &self.facts, verdict),
        }
    }

    /// The verdict with the names that terms and facts give, unexplained.
    pub(crate) fn assessment(&self, verdict: &Verdict) -> Assessment {
        Assessment::of(&self.rules, &self.facts, verdict)
    }

    /// How far the vehicle is driven a day, as far as that is known.
    pub(crate) fn pace(&self, verdict: &Verdict) -> Option<Pace> {
        pace_of(&self.facts, verdict)
    }

    /// What the service event with this id did.
    pub(crate) fn effects(&self, verdict: &Verdict, event: &str) -> Vec<ServiceEffect> {
        effects_of(&self.rules, &self.facts, verdict, event)
    }

    /// What each rule's service would do on the day of the verdict.
    pub(crate) fn today(&self, verdict: &Verdict) -> Vec<TodayOutcome> {
        today(&self.rules, &self.facts, verdict)
    }

    /// What is stored of the verdict as of the warranty's local day at `now`.
    fn judged(&self, now: DateTime<Utc>) -> Result<Judged, Error> {
        judged(&self.row, &self.rules, &self.facts, now)
    }

    /// Assesses as of the warranty's local day at `now` and stores what differs from what is stored: the verdict by
    /// surface, the dues, and the instant of the next change. Answers how many rows were written.
    pub(crate) fn store(&mut self, tx: &mut Tx<'_>, shop: &Shop, now: DateTime<Utc>) -> Result<usize, Error> {
        let judged = self.judged(now)?;
        let dues = judged.dues.into_iter().map(|due| (self.row.id, self.row.vehicle, due)).collect();
        let written = warranties::store_verdict(tx, shop, self.row.id, &judged.verdict)?
            + dues::store(tx, shop, &[self.row.id], dues)?;
        let assessed = Assessed { id: self.row.id, on: judged.on, next_change: judged.next_change };
        warranties::many::assessed(tx, shop, &[assessed])?;
        self.row.assessed_on = judged.on;
        self.row.next_change = judged.next_change;
        self.row.version += 1;
        Ok(written)
    }
}

/// What is stored of a verdict.
pub(crate) struct Judged {
    /// The day of which it is.
    pub(crate) on: NaiveDate,
    /// By surface.
    pub(crate) verdict: Vec<VerdictRow>,
    /// What is settled or open, and of each rule the next one ahead.
    pub(crate) dues: Vec<DueRow>,
    /// Until when it holds by itself.
    pub(crate) next_change: Option<DateTime<Utc>>,
}

/// Judges a warranty as of its local day at `now`.
fn judged(row: &WarrantyRow, rules: &Rules, facts: &Facts, now: DateTime<Utc>) -> Result<Judged, Error> {
    let today = local_day(now, row.time_zone);
    let mut verdict = Verdict::default();
    assess(rules, facts, today, None, &mut verdict);
    let assessment = Assessment::of(rules, facts, &verdict);
    Ok(Judged {
        on: today.date(),
        verdict: verdict_rows(&assessment)?,
        dues: due_rows(&verdict, &assessment, pace_of(facts, &verdict).as_ref())?,
        next_change: verdict.next_change.map(|day| day_begins(day, row.time_zone)),
    })
}

/// Judges a warranty by these events, in the order of the list, under rules that were compiled before.
pub(crate) fn judge(
    row: &WarrantyRow,
    rules: &Rules,
    events: Vec<EventInput>,
    now: DateTime<Utc>,
) -> Result<Judged, Error> {
    judged(row, rules, &checked_facts(row, rules, events)?, now)
}

/// The facts of a warranty: free of faults, or something is broken.
pub(crate) fn checked_facts(
    row: &WarrantyRow,
    rules: &Rules,
    events: Vec<EventInput>,
) -> Result<Facts, Error> {
    let input = FactsInput {
        start: row.start.into(),
        start_km: Some(row.start_km),
        time_zone: row.time_zone,
        surfaces: row.cover.iter().map(|item| item.surface.to_string()).collect(),
        events,
    };
    let broken =
        |faults| crate::db::Error::Other(format!("facts of {} with faults: {faults:?}", row.number)).into();
    Facts::check(&input, rules).map_err(broken)
}

/// Terms as they were published: free of faults, or something is broken.
pub(crate) fn parsed(document: &str) -> Result<Terms, Error> {
    Terms::parse(document.as_bytes())
        .map_err(|faults| crate::db::Error::Other(format!("published terms with faults: {faults:?}")).into())
}

/// The cases of all warranties of a vehicle that are not void, oldest first.
pub(crate) fn cases(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: crate::core::ids::VehicleId,
) -> Result<Vec<Case>, Error> {
    warranties::of_vehicle(conn, shop, vehicle)?
        .into_iter()
        .filter(|row| row.voided.is_none())
        .map(|row| Case::load(conn, shop, row))
        .collect()
}

/// Assessments of these cases as of the shop's today, with all that is known.
pub(crate) fn answers(cases: &[Case], who: &Who, now: DateTime<Utc>) -> Vec<WarrantyAssessment> {
    let today = who.day(now);
    cases.iter().map(|case| case.answer(&case.verdict(today, None))).collect()
}

/// The verdict by surface, as it is stored; with each surface its panels out of cover.
fn verdict_rows(assessment: &Assessment) -> Result<Vec<VerdictRow>, Error> {
    let row = |(surface, cover): (&String, &crate::core::assess::CoverAnswer)| {
        let name: Surface =
            surface.parse().map_err(|_| crate::db::Error::Other(format!("cover of {surface:?}")))?;
        let panels: Vec<_> = assessment.panels.iter().filter(|panel| panel.surface == *surface).collect();
        Ok(VerdictRow {
            surface: name,
            state: cover.state.to_string(),
            last_day: cover.last_day.date(),
            body: serde_json::json!({ "cover": cover, "panels": panels }),
        })
    };
    assessment.cover.iter().map(row).collect()
}

/// The dues as they are stored: what is settled or open, and of each rule the next one ahead.
fn due_rows(verdict: &Verdict, assessment: &Assessment, pace: Option<&Pace>) -> Result<Vec<DueRow>, Error> {
    let mut rows = Vec::new();
    let mut ahead_of = None;
    for (due, answer) in verdict.dues.iter().zip(&assessment.dues) {
        if due.status == DueStatus::Ahead {
            if ahead_of == Some(due.rule) {
                continue;
            }
            ahead_of = Some(due.rule);
        }
        let other = |e: &dyn std::fmt::Display| crate::db::Error::Other(format!("a due: {e}"));
        rows.push(DueRow {
            rule: i32::try_from(due.rule).map_err(|e| other(&e))?,
            upkeep: answer.upkeep.clone(),
            number: i32::try_from(due.number).map_err(|e| other(&e))?,
            opens: due.opens.date(),
            due: due.due.date(),
            closes: due.closes.date(),
            due_by_km: expected(pace, answer.due_km).map(Day::date),
            closes_by_km: expected(pace, answer.closes_km).map(Day::date),
            status: due.status.to_string(),
        });
    }
    Ok(rows)
}
