//! What owners answered when they were asked to come.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::answers;
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{AnswerId, MemberId, VehicleId, WarrantyId};
use crate::core::words::OwnerAnswer;

/// An answer as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct AnswerRow {
    /// The answer.
    pub id: AnswerId,
    /// The vehicle.
    pub vehicle: VehicleId,
    /// The warranty.
    pub warranty: WarrantyId,
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due.
    pub number: i32,
    /// What was answered.
    pub answer: OwnerAnswer,
    /// The day on which.
    pub on: NaiveDate,
    /// What there is to say of it.
    pub note: Option<String>,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// Who entered it.
    pub entered_by: MemberId,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = answers, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    vehicle_id: Uid,
    warranty_id: Uid,
    upkeep: String,
    number: i32,
    answer: Word<OwnerAnswer>,
    on_day: NaiveDate,
    note: Option<String>,
    entered_at: At,
    entered_by: Uid,
}

impl From<Row> for AnswerRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            vehicle: row.vehicle_id.id(),
            warranty: row.warranty_id.id(),
            upkeep: row.upkeep,
            number: row.number,
            answer: row.answer.0,
            on: row.on_day,
            note: row.note,
            entered_at: row.entered_at.0,
            entered_by: row.entered_by.id(),
        }
    }
}

/// Adds an answer.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &AnswerRow) -> Result<(), Error> {
    let values = Row {
        id: Uid::of(row.id),
        shop_id: Uid::of(scope.id()),
        vehicle_id: Uid::of(row.vehicle),
        warranty_id: Uid::of(row.warranty),
        upkeep: row.upkeep.clone(),
        number: row.number,
        answer: Word(row.answer),
        on_day: row.on,
        note: row.note.clone(),
        entered_at: At(row.entered_at),
        entered_by: Uid::of(row.entered_by),
    };
    diesel::insert_into(answers::table).values(values).execute(tx.multi())?;
    Ok(())
}

/// What was answered about a warranty's dues, the last first.
pub fn of_warranty(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<Vec<AnswerRow>, Error> {
    let rows = answers::table
        .filter(answers::shop_id.eq(Uid::of(scope.id())))
        .filter(answers::warranty_id.eq(Uid::of(warranty)))
        .order((answers::on_day.desc(), answers::id.desc()))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(AnswerRow::from).collect())
}
