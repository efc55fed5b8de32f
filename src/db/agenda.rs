//! What is to be done by itself, in all shops: warranties on which a day turns, and those whose notices are to be
//! planned.

use chrono::{DateTime, NaiveDate, Utc};
use diesel::prelude::*;

use super::backend::AT_A_TIME;
use super::error::Error;
use super::schema::{dues, ownerships, shops, verdicts, warranties};
use super::scope::{Installation, Shop, of_shop};
use super::types::{At, Uid};
use super::{Conn, Tx};
use crate::core::assess::State;
use crate::core::calendar::Day;
use crate::core::ids::{CustomerId, VehicleId, WarrantyId};
use crate::core::notices::Lookout;

/// A warranty on the agenda.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Whose it is.
    pub shop: Shop,
    /// Its vehicle, to be locked before it is touched.
    pub vehicle: VehicleId,
    /// The warranty.
    pub warranty: WarrantyId,
}

type Found = (Uid, Uid, Uid);

const FOUND: (warranties::shop_id, warranties::vehicle_id, warranties::id) =
    (warranties::shop_id, warranties::vehicle_id, warranties::id);

fn items(rows: Vec<Found>) -> Vec<Item> {
    let item = |(shop, vehicle, warranty): Found| Item {
        shop: Shop::seen(shop.id()),
        vehicle: vehicle.id(),
        warranty: warranty.id(),
    };
    rows.into_iter().map(item).collect()
}

/// The warranties whose `next_change` has come by `until`, at most `limit`, the longest overdue first.
pub fn overdue(
    conn: &mut Conn,
    _: &Installation,
    until: DateTime<Utc>,
    limit: i64,
) -> Result<Vec<Item>, Error> {
    let rows = warranties::table
        .filter(warranties::next_change.le(Some(At(until))))
        .order((warranties::next_change, warranties::id))
        .limit(limit)
        .select(FOUND)
        .load::<Found>(conn.multi())?;
    Ok(items(rows))
}

/// The warranties whose notices are to be planned anew, at most `limit`, by vehicle.
pub fn to_plan(conn: &mut Conn, _: &Installation, limit: i64) -> Result<Vec<Item>, Error> {
    let rows = warranties::table
        .filter(warranties::plan_again.eq(true))
        .order((warranties::vehicle_id, warranties::id))
        .limit(limit)
        .select(FOUND)
        .load::<Found>(conn.multi())?;
    Ok(items(rows))
}

/// The warranties that are not void and have a due that is asked for, or closes, on one of the days of a lookout, be it
/// by the calendar or by the distance that is expected; or whose cover ends on one.
pub fn with_dues(conn: &mut Conn, _: &Installation, lookout: &Lookout) -> Result<Vec<Item>, Error> {
    let mut found = std::collections::BTreeMap::new();
    let asked = lookout.due.iter().map(|run| (true, run));
    let closing = lookout.closes.iter().map(|run| (false, run));
    let runs: Vec<(bool, &(Day, Day))> = asked.chain(closing).collect();
    let shops = shops::table.select(shops::id).order(shops::id).load::<Uid>(conn.multi())?;
    // One condition each, so that each is found by its index.
    for (by_km, (by_due, (first, last))) in
        [false, true].into_iter().flat_map(|by_km| runs.iter().map(move |run| (by_km, *run)))
    {
        let (first, last): (NaiveDate, NaiveDate) = (first.date(), last.date());
        let query = dues::table
            .inner_join(warranties::table.on(warranties::id.eq(dues::warranty_id)))
            .filter(warranties::voided_at.is_null())
            .select(FOUND)
            .distinct();
        let rows = match (by_due, by_km) {
            (true, false) => query.filter(dues::due.between(first, last)).load::<Found>(conn.multi())?,
            (true, true) => query.filter(dues::due_by_km.between(first, last)).load(conn.multi())?,
            (false, true) => query.filter(dues::closes_by_km.between(first, last)).load(conn.multi())?,
            // By the work lists' index, which has the days shop by shop.
            (false, false) => {
                let mut rows = Vec::new();
                for some in shops.chunks(AT_A_TIME) {
                    let theirs =
                        query.filter(dues::shop_id.eq_any(some)).filter(dues::closes.between(first, last));
                    rows.extend(theirs.load::<Found>(conn.multi())?);
                }
                rows
            }
        };
        found.extend(rows.into_iter().map(|row| ((row.1, row.2), row)));
    }
    for (first, last) in &lookout.ends {
        let ending = verdicts::table
            .inner_join(warranties::table.on(warranties::id.eq(verdicts::warranty_id)))
            .filter(warranties::voided_at.is_null())
            .filter(verdicts::state.ne(State::Ended.to_string()))
            .filter(verdicts::last_day.between(first.date(), last.date()))
            .select(FOUND)
            .distinct();
        for row in ending.load::<Found>(conn.multi())? {
            found.insert((row.1, row.2), row);
        }
    }
    Ok(items(found.into_values().collect()))
}

/// The vehicles of a shop of which something is covered, each with one warranty under which it is, in the order of
/// their ids, after `after`; at most `limit`.
pub fn covered(
    conn: &mut Conn,
    scope: &Shop,
    after: Option<VehicleId>,
    limit: i64,
) -> Result<Vec<Item>, Error> {
    let live = verdicts::table
        .filter(verdicts::state.ne(State::Ended.to_string()))
        .filter(verdicts::warranty_id.eq(warranties::id));
    let mut query = warranties::table
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .filter(warranties::voided_at.is_null())
        .filter(diesel::dsl::exists(live))
        .select(FOUND)
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(warranties::vehicle_id.gt(Uid::of(after)));
    }
    let rows =
        query.order((warranties::vehicle_id, warranties::id)).limit(limit).load::<Found>(conn.multi())?;
    let mut items = items(rows);
    items.dedup_by_key(|item| item.vehicle);
    Ok(items)
}

/// The warranties that are not void, after the one at `after`, by id; at most `limit`.
pub fn every(
    conn: &mut Conn,
    _: &Installation,
    after: Option<WarrantyId>,
    limit: i64,
) -> Result<Vec<Item>, Error> {
    let mut query = warranties::table.filter(warranties::voided_at.is_null()).select(FOUND).into_boxed();
    if let Some(after) = after {
        query = query.filter(warranties::id.gt(Uid::of(after)));
    }
    Ok(items(query.order(warranties::id).limit(limit).load::<Found>(conn.multi())?))
}

/// A warranty's notices have been planned as it stands now.
pub fn planned(tx: &mut Tx<'_>, scope: &Shop, warranty: WarrantyId) -> Result<(), Error> {
    diesel::update(
        warranties::table.find(Uid::of(warranty)).filter(warranties::shop_id.eq(Uid::of(scope.id()))),
    )
    .set(warranties::plan_again.eq(false))
    .execute(tx.multi())?;
    Ok(())
}

/// Notices about vehicles are to be planned anew: they have other owners.
pub fn plan_vehicles(tx: &mut Tx<'_>, scope: &Shop, of: &[VehicleId]) -> Result<(), Error> {
    for some in of.chunks(AT_A_TIME) {
        let ids = some.iter().map(|id| Uid::of(*id));
        diesel::update(
            warranties::table
                .filter(warranties::vehicle_id.eq_any(ids))
                .filter(of_shop!(warranties::shop_id, scope)),
        )
        .set(warranties::plan_again.eq(true))
        .execute(tx.multi())?;
    }
    Ok(())
}

/// Notices to a customer are to be planned anew: they are reached otherwise, or want other mails.
pub fn plan_customer(tx: &mut Tx<'_>, scope: &Shop, customer: CustomerId) -> Result<(), Error> {
    let theirs = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::customer_id.eq(Uid::of(customer)))
        .filter(ownerships::until_on.is_null())
        .select(ownerships::vehicle_id)
        .load::<Uid>(tx.multi())?;
    let theirs: Vec<VehicleId> = theirs.into_iter().map(Uid::id).collect();
    plan_vehicles(tx, scope, &theirs)
}

/// All notices of a shop are to be planned anew: it mails at other times.
pub fn plan_shop(tx: &mut Tx<'_>, scope: &Shop) -> Result<(), Error> {
    diesel::update(warranties::table.filter(warranties::shop_id.eq(Uid::of(scope.id()))))
        .set(warranties::plan_again.eq(true))
        .execute(tx.multi())?;
    Ok(())
}
