//! Days turn: what changes by itself is stored on the day on which it does.

use chrono::{DateTime, Utc};

use super::assessments::Case;
use super::{App, Error};
use crate::core::calendar::local_day;
use crate::core::ids::WarrantyId;
use crate::db::vehicle_events;
use crate::db::{agenda, warranties};

/// Warranties that are turned in one transaction.
const AT_A_TIME: i64 = 200;

/// A warranty whose stored verdict has changed by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Turned {
    /// The warranty.
    pub warranty: WarrantyId,
    /// How many rows were written.
    pub rows: usize,
}

/// Assesses anew each warranty whose `next_change` has come by `now`, and nothing else.
pub fn days(app: &App, now: DateTime<Utc>) -> Result<Vec<Turned>, Error> {
    let mut turned = Vec::new();
    loop {
        let scope = app.db.installation();
        let batch = app.db.write::<_, Error>(move |tx| {
            let mut batch = Vec::new();
            let mut overdue = agenda::overdue(tx, &scope, now, AT_A_TIME)?;
            // Vehicles are locked in the order of their ids, so that two turns at once cannot hold each other up.
            overdue.sort_by_key(|due| (due.vehicle, due.warranty));
            for due in overdue {
                match vehicle_events::lock(tx, &due.shop, due.vehicle) {
                    // It has another identity since the list was read: the next turn finds it there.
                    Err(crate::db::Error::NotFound) => continue,
                    locked => drop(locked?),
                }
                // Somebody else may have been here before the lock was had.
                let row = warranties::find(tx, &due.shop, due.warranty)?;
                let settled = row.assessed_on == local_day(now, row.time_zone).date();
                if row.voided.is_some() || settled || row.next_change.is_none_or(|at| at > now) {
                    continue;
                }
                let rows = Case::load(tx, &due.shop, row)?.store(tx, &due.shop, now)?;
                batch.push(Turned { warranty: due.warranty, rows });
            }
            Ok(batch)
        })?;
        if batch.is_empty() {
            return Ok(turned);
        }
        turned.extend(batch);
    }
}
