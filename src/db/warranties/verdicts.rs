//! The stored verdict of a warranty, surface by surface.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use diesel::prelude::*;
use serde_json::Value;

use super::find;
use crate::core::ids::WarrantyId;
use crate::core::words::Surface;
use crate::db::error::Error;
use crate::db::schema::verdicts;
use crate::db::scope::Shop;
use crate::db::types::{Json, Uid, Word};
use crate::db::{Conn, Tx};

/// What is stored of the verdict on one surface.
#[derive(Debug, Clone, PartialEq)]
pub struct VerdictRow {
    /// The surface.
    pub surface: Surface,
    /// `in_force`, `not_begun`, `suspended` or `ended`.
    pub state: String,
    /// The last day of cover, as it stands.
    pub last_day: NaiveDate,
    /// The surface's cover and its panels out of cover, as assessed.
    pub body: Value,
}

type Verdict = (String, NaiveDate, Json<Value>);

fn verdict_rows(conn: &mut Conn, warranty: Uid) -> Result<BTreeMap<Surface, Verdict>, Error> {
    let rows = verdicts::table
        .filter(verdicts::warranty_id.eq(warranty))
        .select((verdicts::surface, (verdicts::state, verdicts::last_day, verdicts::body)))
        .load::<(Word<Surface>, Verdict)>(conn.multi())?;
    Ok(rows.into_iter().map(|(surface, row)| (surface.0, row)).collect())
}

/// The stored verdict of a warranty of the shop.
pub fn verdict(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<Vec<VerdictRow>, Error> {
    let warranty = find(conn, scope, warranty)?;
    let rows = verdict_rows(conn, Uid::of(warranty.id))?;
    Ok(rows
        .into_iter()
        .map(|(surface, (state, last_day, body))| VerdictRow { surface, state, last_day, body: body.0 })
        .collect())
}

/// Stores the verdict of a warranty of the shop; only rows that say something else are written. Answers how many.
pub fn store_verdict(
    tx: &mut Tx<'_>,
    _: &Shop,
    warranty: WarrantyId,
    new: &[VerdictRow],
) -> Result<usize, Error> {
    let id = Uid::of(warranty);
    let mut held = verdict_rows(tx, id)?;
    let mut written = 0;
    for row in new {
        let values = (row.state.clone(), row.last_day, Json(row.body.clone()));
        let was = held.remove(&row.surface);
        if was.as_ref() == Some(&values) {
            continue;
        }
        if was.is_some() {
            diesel::delete(verdicts::table.find((id, Word(row.surface)))).execute(tx.multi())?;
        }
        diesel::insert_into(verdicts::table)
            .values((
                verdicts::warranty_id.eq(id),
                verdicts::surface.eq(Word(row.surface)),
                verdicts::state.eq(values.0),
                verdicts::last_day.eq(values.1),
                verdicts::body.eq(values.2),
            ))
            .execute(tx.multi())?;
        written += 1;
    }
    for surface in held.into_keys() {
        written += diesel::delete(verdicts::table.find((id, Word(surface)))).execute(tx.multi())?;
    }
    Ok(written)
}
