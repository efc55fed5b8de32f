//! Customers of a shop.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::backend::insert_all;
use super::error::Error;
use super::schema::customers;
use super::scope::{Installation, Shop};
use super::search::{self, Among};
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::fold::Sought;
use crate::core::ids::CustomerId;
use crate::core::words::CustomerKind;

/// A customer as the row says.
#[derive(Debug, Clone)]
pub struct CustomerRow {
    /// The customer.
    pub id: CustomerId,
    /// Name, as mails address them.
    pub name: String,
    /// Owner, or a dealer's stock.
    pub kind: CustomerKind,
    /// Where mails go.
    pub email: Option<String>,
    /// Telephone.
    pub phone: Option<String>,
    /// BCP 47 language of mails.
    pub language: String,
    /// IANA zone in which mails go out at a decent hour.
    pub time_zone: String,
    /// Whether they want mails about upkeep.
    pub mail_upkeep: bool,
    /// Whether they want the history after each visit.
    pub mail_history: bool,
    /// Name, address and telephone folded, for searching.
    pub search_key: String,
    /// When they were added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = customers, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    name: String,
    kind: Word<CustomerKind>,
    email: Option<String>,
    phone: Option<String>,
    language: String,
    time_zone: String,
    mail_upkeep: bool,
    mail_history: bool,
    search_key: String,
    created_at: At,
    version: i64,
}

impl Row {
    fn of(scope: &Shop, row: &CustomerRow) -> Self {
        let row = row.clone();
        Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            name: row.name,
            kind: Word(row.kind),
            email: row.email,
            phone: row.phone,
            language: row.language,
            time_zone: row.time_zone,
            mail_upkeep: row.mail_upkeep,
            mail_history: row.mail_history,
            search_key: row.search_key,
            created_at: At(row.created_at),
            version: row.version,
        }
    }
}

impl From<Row> for CustomerRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            name: row.name,
            kind: row.kind.0,
            email: row.email,
            phone: row.phone,
            language: row.language,
            time_zone: row.time_zone,
            mail_upkeep: row.mail_upkeep,
            mail_history: row.mail_history,
            search_key: row.search_key,
            created_at: row.created_at.0,
            version: row.version,
        }
    }
}

/// Adds a customer.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &CustomerRow) -> Result<(), Error> {
    diesel::insert_into(customers::table).values(Row::of(scope, row)).execute(tx.multi())?;
    Ok(())
}

/// Adds customers.
pub fn add_all(tx: &mut Tx<'_>, scope: &Shop, rows: &[CustomerRow]) -> Result<(), Error> {
    insert_all!(tx, customers::table, rows.iter().map(|row| Row::of(scope, row)))
}

/// Whose customer this is.
pub fn shop_of(conn: &mut Conn, _: &Installation, id: CustomerId) -> Result<Shop, Error> {
    let shop: Uid = customers::table.find(Uid::of(id)).select(customers::shop_id).first(conn.multi())?;
    Ok(Shop::seen(shop.id()))
}

/// These customers of the shop.
pub fn of(conn: &mut Conn, scope: &Shop, of: &[CustomerId]) -> Result<Vec<CustomerRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = customers::table
        .filter(customers::id.eq_any(ids))
        .filter(customers::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(CustomerRow::from).collect())
}

/// What a customer is found by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The customer.
    pub id: CustomerId,
    /// Name.
    pub name: String,
    /// Where mails go.
    pub email: Option<String>,
    /// An owner, or a dealer's stock.
    pub kind: CustomerKind,
}

/// What each of the shop's customers is found by.
pub fn names(conn: &mut Conn, scope: &Shop) -> Result<Vec<Named>, Error> {
    let rows = customers::table
        .filter(customers::shop_id.eq(Uid::of(scope.id())))
        .select((customers::id, customers::name, customers::email, customers::kind))
        .load::<(Uid, String, Option<String>, Word<CustomerKind>)>(conn.multi())?;
    let named =
        |(id, name, email, kind): (Uid, _, _, Word<_>)| Named { id: id.id(), name, email, kind: kind.0 };
    Ok(rows.into_iter().map(named).collect())
}

/// The customer with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: CustomerId) -> Result<CustomerRow, Error> {
    Ok(customers::table
        .find(Uid::of(id))
        .filter(customers::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first(conn.multi())
        .map(CustomerRow::from)?)
}

/// The shop's customers, newest first, after the one with id `after`; those only whose key is what is sought.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    sought: Option<&Sought>,
    after: Option<CustomerId>,
    limit: i64,
) -> Result<Vec<CustomerRow>, Error> {
    let mut query = customers::table
        .filter(customers::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(customers::id.lt(Uid::of(after)));
    }
    if let Some(sought) = sought {
        let found = search::ids(conn, scope, Among::Customers, sought, after.map(Uid::of), limit)?;
        query = query.filter(customers::id.eq_any(found));
    }
    let rows = query.order(customers::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(CustomerRow::from).collect())
}

/// Changes a customer's row when it is still of its version; false when somebody else was there first.
pub fn change(tx: &mut Tx<'_>, scope: &Shop, row: &CustomerRow) -> Result<bool, Error> {
    let changed = diesel::update(
        customers::table
            .find(Uid::of(row.id))
            .filter(customers::shop_id.eq(Uid::of(scope.id())))
            .filter(customers::version.eq(row.version)),
    )
    .set((
        customers::name.eq(&row.name),
        customers::kind.eq(Word(row.kind)),
        customers::email.eq(&row.email),
        customers::phone.eq(&row.phone),
        customers::language.eq(&row.language),
        customers::time_zone.eq(&row.time_zone),
        customers::mail_upkeep.eq(row.mail_upkeep),
        customers::mail_history.eq(row.mail_history),
        customers::search_key.eq(&row.search_key),
        customers::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}
