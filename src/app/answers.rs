//! What owners answered when they were asked to come: for the work list, so that nobody is asked twice, or forgotten.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use super::assessments::Case;
use super::facts::day_fault;
use super::warranties::named;
use super::{App, Error, Who, new_id, wanted_text};
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{AnswerId, MemberId};
use crate::core::words::OwnerAnswer;
use crate::db::answers::{self, AnswerRow};
use crate::db::warranties;

/// What an owner answered.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AnswerInput {
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    #[schema(minimum = 1)]
    pub number: u32,
    /// What they answered.
    pub answer: OwnerAnswer,
    /// The day; today unless given.
    #[serde(default)]
    pub on: Option<Day>,
    /// What there is to say of it; up to 2,000 characters.
    #[serde(default)]
    #[schema(min_length = 1, max_length = 2000)]
    pub note: Option<String>,
}

/// An answer as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AnswerView {
    /// The answer.
    pub id: AnswerId,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: i32,
    /// What the owner answered.
    pub answer: OwnerAnswer,
    /// The day.
    pub on: NaiveDate,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Who entered it.
    pub entered_by: MemberId,
}

impl From<AnswerRow> for AnswerView {
    fn from(row: AnswerRow) -> Self {
        Self {
            id: row.id,
            upkeep: row.upkeep,
            number: row.number,
            answer: row.answer,
            on: row.on,
            note: row.note,
            entered_at: row.entered_at,
            entered_by: row.entered_by,
        }
    }
}

/// The answers about a warranty's dues.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct AnswerList {
    /// The last first.
    pub items: Vec<AnswerView>,
    /// Always null: a warranty's answers come on one page.
    pub next: Option<String>,
}

/// Enters what an owner answered about a due that is there.
pub fn add(app: &App, who: &Who, name: &str, input: AnswerInput) -> Result<AnswerView, Error> {
    let (who, now, name) = (who.clone(), app.now(), name.to_owned());
    app.db.write(move |tx| {
        let shop = who.shop;
        let id = named(tx, &shop, &name)?;
        let row = warranties::find(tx, &shop, id)?;
        let (today, vehicle, number) = (who.day(now), row.vehicle, row.number);
        let on = input.on.map_or(today, Day::date);
        let mut faults: Vec<Fault> = day_fault("/on", on, today).into_iter().collect();
        faults.extend(input.note.as_deref().and_then(|note| wanted_text("/note", note, 2_000)));
        let void = row.voided.is_some();
        let case = Case::load(tx, &shop, row)?;
        let known = |due: &crate::core::assess::Due| {
            case.terms.upkeep[due.rule].key == input.upkeep && due.number == input.number
        };
        let rules: Vec<&str> = case.terms.upkeep.iter().map(|rule| rule.key.as_str()).collect();
        if !rules.contains(&input.upkeep.as_str()) {
            let detail = format!("the terms have no rule {:?}; they have {}", input.upkeep, rules.join(", "));
            faults.push(Fault::new("/upkeep", "unknown_rule", detail));
        } else if !case.verdict(today, None).dues.iter().any(known) {
            let detail = format!("{number} has no due {} number {}", input.upkeep, input.number);
            faults.push(Fault::new("/number", "unknown_due", detail));
        }
        all_clear(faults)?;
        if void {
            return Err(Rule::state("warranty_void", format!("{number} is void")).into());
        }
        let row = AnswerRow {
            id: new_id(),
            vehicle,
            warranty: id,
            upkeep: input.upkeep,
            number: i32::try_from(input.number).unwrap_or(i32::MAX),
            answer: input.answer,
            on,
            note: input.note,
            entered_at: now,
            entered_by: who.member,
        };
        answers::add(tx, &shop, &row)?;
        Ok(row.into())
    })
}

/// What was answered about a warranty's dues.
pub fn list(app: &App, who: &Who, name: &str) -> Result<AnswerList, Error> {
    app.db.read(|c| {
        let id = named(c, &who.shop, name)?;
        let items = answers::of_warranty(c, &who.shop, id)?.into_iter().map(AnswerView::from).collect();
        Ok(AnswerList { items, next: None })
    })
}
