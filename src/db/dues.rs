//! Dues of warranties: what is settled or open, and of each rule the next one ahead.

use std::collections::HashMap;

use chrono::NaiveDate;
use diesel::prelude::*;
use diesel::sql_types::{Array, Integer};
use serde::{Deserialize, Serialize};

use super::backend::{AT_A_TIME, insert_all};
use super::error::Error;
use super::schema::{answers, customers, dues, ownerships, shop_vehicles, vehicles, warranties};
use super::scope::{Shop, of_shop};
use super::types::{On, Uid, Word, sql};
use super::{Conn, Tx};
use crate::core::ids::{CustomerId, RunningNumber, VehicleId, WarrantyId};

/// A due as it is stored.
#[derive(Debug, Clone, PartialEq)]
pub struct DueRow {
    /// The place of its rule among the terms' rules, from 0 on.
    pub rule: i32,
    /// The key of the rule.
    pub upkeep: String,
    /// From 1 on.
    pub number: i32,
    /// The first day on which it can be met.
    pub opens: NaiveDate,
    /// The day by which it should be.
    pub due: NaiveDate,
    /// The last day on which it can be.
    pub closes: NaiveDate,
    /// The day on which the vehicle is expected to have run as far as it asks for.
    pub due_by_km: Option<NaiveDate>,
    /// The same of the distance at which it closes.
    pub closes_by_km: Option<NaiveDate>,
    /// `ahead`, `open`, `late`, `missed`, `met` or `waived`.
    pub status: String,
}

type Stored =
    (i32, String, i32, NaiveDate, NaiveDate, NaiveDate, Option<NaiveDate>, Option<NaiveDate>, String);

const STORED: (
    dues::rule,
    dues::upkeep,
    dues::number,
    dues::opens,
    dues::due,
    dues::closes,
    dues::due_by_km,
    dues::closes_by_km,
    dues::status,
) = (
    dues::rule,
    dues::upkeep,
    dues::number,
    dues::opens,
    dues::due,
    dues::closes,
    dues::due_by_km,
    dues::closes_by_km,
    dues::status,
);

impl From<Stored> for DueRow {
    fn from((rule, upkeep, number, opens, due, closes, due_by_km, closes_by_km, status): Stored) -> Self {
        Self { rule, upkeep, number, opens, due, closes, due_by_km, closes_by_km, status }
    }
}

/// The stored dues of a warranty of the shop, by rule and number.
pub fn of_warranty(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<Vec<DueRow>, Error> {
    let rows = dues::table
        .filter(dues::warranty_id.eq(Uid::of(warranty)))
        .filter(dues::shop_id.eq(Uid::of(scope.id())))
        .order((dues::rule, dues::number))
        .select(STORED)
        .load::<Stored>(conn.multi())?;
    Ok(rows.into_iter().map(DueRow::from).collect())
}

/// A due of a warranty: by the place of its rule, and its number.
type Key = (Uid, i32, i32);

/// Stores the dues of warranties of the shop, each on its vehicle, in place of what was stored of them; only rows that say
/// something else are written. `held` are the warranties of which something may be stored. Answers how many rows.
pub fn store(
    tx: &mut Tx<'_>,
    scope: &Shop,
    held: &[WarrantyId],
    new: Vec<(WarrantyId, VehicleId, DueRow)>,
) -> Result<usize, Error> {
    let shop = Uid::of(scope.id());
    let mut before: HashMap<Key, DueRow> = HashMap::new();
    for some in held.chunks(AT_A_TIME) {
        let ids = some.iter().map(|id| Uid::of(*id));
        let rows = dues::table
            .filter(dues::warranty_id.eq_any(ids))
            .filter(of_shop!(dues::shop_id, scope))
            .select((dues::warranty_id, STORED))
            .load::<(Uid, Stored)>(tx.multi())?;
        before.extend(rows.into_iter().map(|(warranty, row)| ((warranty, row.0, row.2), row.into())));
    }
    let (mut gone, mut added): (Vec<Key>, Vec<_>) = (Vec::new(), Vec::new());
    for (warranty, vehicle, row) in new {
        let key = (Uid::of(warranty), row.rule, row.number);
        match before.remove(&key) {
            Some(was) if was == row => continue,
            Some(_) => gone.push(key),
            None => {}
        }
        added.push((warranty, vehicle, row));
    }
    let written = added.len() + before.len();
    gone.extend(before.into_keys());
    remove(tx, &gone)?;
    let values = added.into_iter().map(|(warranty, vehicle, row)| {
        (
            dues::warranty_id.eq(Uid::of(warranty)),
            dues::shop_id.eq(shop),
            dues::vehicle_id.eq(Uid::of(vehicle)),
            dues::rule.eq(row.rule),
            dues::upkeep.eq(row.upkeep),
            dues::number.eq(row.number),
            dues::opens.eq(On(row.opens)),
            dues::due.eq(On(row.due)),
            dues::closes.eq(On(row.closes)),
            dues::due_by_km.eq(row.due_by_km.map(On)),
            dues::closes_by_km.eq(row.closes_by_km.map(On)),
            dues::status.eq(row.status),
        )
    });
    insert_all!(tx, dues::table, values)?;
    Ok(written)
}

fn remove(tx: &mut Tx<'_>, gone: &[Key]) -> Result<(), Error> {
    tx.by_either(
        |sqlite| {
            gone.iter()
                .try_for_each(|key| diesel::delete(dues::table.find(*key)).execute(sqlite).map(drop))
        },
        |postgres| {
            gone.chunks(AT_A_TIME).try_for_each(|some| {
                let ids: Vec<Uid> = some.iter().map(|(id, _, _)| *id).collect();
                let (rules, numbers): (Vec<i32>, Vec<i32>) = some.iter().map(|key| (key.1, key.2)).unzip();
                let sql = "DELETE FROM dues USING unnest($1, $2, $3) AS gone (id, rule, number) \
                           WHERE dues.warranty_id = gone.id AND dues.rule = gone.rule AND dues.number = gone.number";
                diesel::sql_query(sql)
                    .bind::<Array<sql::Uid>, _>(ids)
                    .bind::<Array<Integer>, _>(rules)
                    .bind::<Array<Integer>, _>(numbers)
                    .execute(postgres)
                    .map(drop)
            })
        },
    )?;
    Ok(())
}

/// Where a due stands in the work list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Place {
    /// The last day on which it can be met.
    pub closes: NaiveDate,
    /// Its warranty.
    pub warranty: WarrantyId,
    /// The place of its rule among the terms' rules.
    pub rule: i32,
    /// From 1 on.
    pub number: i32,
}

/// Which dues of a shop are wanted.
#[derive(Debug, Clone, Default)]
pub struct Filter {
    /// Only these states.
    pub statuses: Vec<String>,
    /// Closing on this day or later.
    pub from: Option<NaiveDate>,
    /// Closing on this day or before.
    pub to: Option<NaiveDate>,
    /// Only of rules with this key.
    pub upkeep: Option<String>,
    /// Only those about which the owner has answered, or has not.
    pub answered: Option<bool>,
}

/// A due in the work list, with whom it concerns.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedDue {
    /// Its warranty.
    pub warranty: WarrantyId,
    /// Its warranty's number.
    pub number: RunningNumber,
    /// The vehicle.
    pub vehicle: VehicleId,
    /// The vehicle's identification number.
    pub vin: Option<String>,
    /// Its plate, in the shop's view.
    pub plate: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// Whose it is now, and their name.
    pub customer: Option<(CustomerId, String)>,
    /// The due.
    pub due: DueRow,
}

type Listed = (
    (Uid, Word<RunningNumber>),
    (Uid, Option<String>),
    (Option<String>, Option<String>, Option<String>),
    Option<(Uid, String)>,
    Stored,
);

/// The work list of a shop: by closing day, then warranty, rule and number, after the one at `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    filter: &Filter,
    after: Option<&Place>,
    limit: i64,
) -> Result<Vec<ListedDue>, Error> {
    let shop = Uid::of(scope.id());
    let mut query = dues::table
        .inner_join(warranties::table.on(warranties::id.eq(dues::warranty_id)))
        .inner_join(vehicles::table.on(vehicles::id.eq(dues::vehicle_id)))
        .inner_join(
            shop_vehicles::table
                .on(shop_vehicles::vehicle_id.eq(dues::vehicle_id).and(shop_vehicles::shop_id.eq(shop))),
        )
        .left_join(
            ownerships::table.on(ownerships::vehicle_id
                .eq(dues::vehicle_id)
                .and(ownerships::shop_id.eq(shop))
                .and(ownerships::until_on.is_null())),
        )
        .left_join(customers::table.on(customers::id.eq(ownerships::customer_id)))
        .filter(dues::shop_id.eq(shop))
        .filter(dues::status.eq_any(filter.statuses.clone()))
        .select((
            (warranties::id, warranties::number),
            (vehicles::id, vehicles::vin),
            (shop_vehicles::plate, shop_vehicles::make, shop_vehicles::model),
            (customers::id, customers::name).nullable(),
            STORED,
        ))
        .into_boxed();
    if let Some(from) = filter.from {
        query = query.filter(dues::closes.ge(from));
    }
    if let Some(to) = filter.to {
        query = query.filter(dues::closes.le(to));
    }
    if let Some(upkeep) = &filter.upkeep {
        query = query.filter(dues::upkeep.eq(upkeep.clone()));
    }
    if let Some(answered) = filter.answered {
        let about = answers::table
            .filter(answers::warranty_id.eq(dues::warranty_id))
            .filter(answers::upkeep.eq(dues::upkeep))
            .filter(answers::number.eq(dues::number));
        let has = diesel::dsl::exists(about);
        query = if answered { query.filter(has) } else { query.filter(diesel::dsl::not(has)) };
    }
    if let Some(after) = after {
        let warranty = Uid::of(after.warranty);
        query = query.filter(dues::closes.gt(after.closes).or(dues::closes.eq(after.closes).and(
            dues::warranty_id.gt(warranty).or(dues::warranty_id.eq(warranty).and(
                dues::rule.gt(after.rule).or(dues::rule.eq(after.rule).and(dues::number.gt(after.number))),
            )),
        )));
    }
    let rows = query
        .order((dues::closes, dues::warranty_id, dues::rule, dues::number))
        .limit(limit)
        .load::<Listed>(conn.multi())?;
    Ok(rows
        .into_iter()
        .map(|((warranty, number), (vehicle, vin), (plate, make, model), customer, due)| ListedDue {
            warranty: warranty.id(),
            number: number.0,
            vehicle: vehicle.id(),
            vin,
            plate,
            make,
            model,
            customer: customer.map(|(id, name)| (id.id(), name)),
            due: due.into(),
        })
        .collect())
}
