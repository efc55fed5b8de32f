//! Warranties, their facts and verdicts, many in a statement.

use chrono::NaiveDate;
use diesel::prelude::*;
use diesel::sql_types::{Array, Date, Nullable, Text};

use super::{Assessed, FactRow, Row, VerdictRow, WarrantyRow, rows};
use crate::core::facts::EventInput;
use crate::core::ids::{JobId, VehicleId, WarrantyId};
use crate::db::backend::{AT_A_TIME, insert_all};
use crate::db::error::Error;
use crate::db::schema::{facts, terms, verdicts, warranties};
use crate::db::scope::{Shop, of_shop};
use crate::db::types::{At, Json, Uid, Word, sql};
use crate::db::{Conn, Tx, count_of};

/// Adds warranties as they are, with the day of which they were assessed.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, rows: &[WarrantyRow]) -> Result<(), Error> {
    insert_all!(tx, warranties::table, rows.iter().map(|row| Row::of(scope, row)))
}

/// The warranties of these vehicles that are not void, by vehicle, oldest first.
pub fn of_vehicles(conn: &mut Conn, scope: &Shop, of: &[VehicleId]) -> Result<Vec<WarrantyRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let found = warranties::table
        .filter(warranties::vehicle_id.eq_any(ids))
        .filter(of_shop!(warranties::shop_id, scope))
        .filter(warranties::voided_at.is_null())
        .order((warranties::vehicle_id, warranties::id))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    rows(found)
}

/// The warranties of these jobs that are not void, oldest first, each with code and edition of its terms.
pub fn of_jobs(
    conn: &mut Conn,
    scope: &Shop,
    of: &[JobId],
) -> Result<Vec<(WarrantyRow, String, u32)>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    warranties::table
        .inner_join(terms::table.on(terms::id.eq(warranties::terms_id)))
        .filter(warranties::job_id.eq_any(ids))
        .filter(of_shop!(warranties::shop_id, scope))
        .filter(warranties::voided_at.is_null())
        .order(warranties::id)
        .select((Row::as_select(), terms::code, terms::edition))
        .load::<(Row, String, i32)>(conn.multi())?
        .into_iter()
        .map(|(row, code, edition)| Ok((row.try_into()?, code, count_of(edition)?)))
        .collect()
}

/// Adds facts to warranties of the shop.
pub fn add_facts(tx: &mut Tx<'_>, _: &Shop, new: &[(WarrantyId, FactRow)]) -> Result<(), Error> {
    let values = new.iter().map(|(warranty, fact)| {
        (
            facts::warranty_id.eq(Uid::of(*warranty)),
            facts::position.eq(fact.position),
            facts::event_id.eq(Uid::of(fact.event)),
            facts::body.eq(Json(fact.body.clone())),
        )
    });
    insert_all!(tx, facts::table, values)
}

/// The facts of these warranties of the shop, each in the order of the list.
pub fn facts_of(
    conn: &mut Conn,
    scope: &Shop,
    of: &[WarrantyId],
) -> Result<Vec<(WarrantyId, FactRow)>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = facts::table
        .inner_join(warranties::table.on(warranties::id.eq(facts::warranty_id)))
        .filter(facts::warranty_id.eq_any(ids))
        .filter(of_shop!(warranties::shop_id, scope))
        .order((facts::warranty_id, facts::position))
        .select((facts::warranty_id, facts::position, facts::event_id, facts::body))
        .load::<(Uid, i64, Uid, Json<EventInput>)>(conn.multi())?;
    let row = |(warranty, position, event, body): (Uid, i64, Uid, Json<EventInput>)| {
        (warranty.id(), FactRow { position, event: event.id(), body: body.0 })
    };
    Ok(rows.into_iter().map(row).collect())
}

/// Stores the verdicts of warranties of the shop in place of what was stored of them. `held` are the warranties of which
/// something may be stored.
pub fn store_verdicts(
    tx: &mut Tx<'_>,
    _: &Shop,
    held: &[WarrantyId],
    new: Vec<(WarrantyId, VerdictRow)>,
) -> Result<(), Error> {
    for some in held.chunks(AT_A_TIME) {
        let ids: Vec<Uid> = some.iter().map(|id| Uid::of(*id)).collect();
        diesel::delete(verdicts::table.filter(verdicts::warranty_id.eq_any(ids))).execute(tx.multi())?;
    }
    let values = new.into_iter().map(|(warranty, row)| {
        (
            verdicts::warranty_id.eq(Uid::of(warranty)),
            verdicts::surface.eq(Word(row.surface)),
            verdicts::state.eq(row.state),
            verdicts::last_day.eq(row.last_day),
            verdicts::body.eq(Json(row.body)),
        )
    });
    insert_all!(tx, verdicts::table, values)
}

/// Remembers what warranties of the shop were assessed of; their notices are to be planned anew.
pub fn assessed(tx: &mut Tx<'_>, scope: &Shop, of: &[Assessed]) -> Result<(), Error> {
    let shop = Uid::of(scope.id());
    tx.by_either(
        |sqlite| {
            of.iter().try_for_each(|one| {
                diesel::update(warranties::table.find(Uid::of(one.id)).filter(warranties::shop_id.eq(shop)))
                    .set((
                        warranties::assessed_on.eq(one.on),
                        warranties::next_change.eq(one.next_change.map(At)),
                        warranties::plan_again.eq(true),
                        warranties::version.eq(warranties::version + 1),
                    ))
                    .execute(sqlite)
                    .map(drop)
            })
        },
        |postgres| {
            let (ids, days): (Vec<Uid>, Vec<NaiveDate>) =
                of.iter().map(|one| (Uid::of(one.id), one.on)).unzip();
            let changes: Vec<Option<At>> = of.iter().map(|one| one.next_change.map(At)).collect();
            let sql = "UPDATE warranties SET assessed_on = new.day, next_change = new.change, plan_again = true, \
                       version = version + 1 FROM unnest($2, $3, $4) AS new (id, day, change) \
                       WHERE warranties.id = new.id AND shop_id = $1";
            let update = diesel::sql_query(sql).bind::<sql::Uid, _>(shop).bind::<Array<sql::Uid>, _>(ids);
            let update = update.bind::<Array<Date>, _>(days).bind::<Array<Nullable<Text>>, _>(changes);
            update.execute(postgres).map(drop)
        },
    )?;
    Ok(())
}
