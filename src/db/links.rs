//! Links that owners were given. Of a link its SHA-256 is kept, never what stands in it.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::links;
use super::scope::{Installation, Shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{CustomerId, Digest, LinkId, VehicleId};
use crate::core::reports::Sold;
use crate::core::words::LinkPurpose;

/// A link as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkRow {
    /// The link.
    pub id: LinkId,
    /// Whom it was given to.
    pub customer: CustomerId,
    /// What it is for.
    pub purpose: LinkPurpose,
    /// SHA-256 of what stands in it.
    pub hash: Digest,
    /// The vehicle that it is about, where it is about one.
    pub vehicle: Option<VehicleId>,
    /// What it binds to once it is followed; goes when it has been.
    pub says: Option<Sold>,
    /// When it was made.
    pub made_at: DateTime<Utc>,
    /// When it ends by itself.
    pub expires_at: DateTime<Utc>,
    /// When it was last followed.
    pub last_used_at: Option<DateTime<Utc>>,
    /// When it was used, where that can be done once.
    pub used_at: Option<DateTime<Utc>>,
    /// When the shop took it back.
    pub revoked_at: Option<DateTime<Utc>>,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = links, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    customer_id: Uid,
    purpose: Word<LinkPurpose>,
    hash: Vec<u8>,
    vehicle_id: Option<Uid>,
    says: Option<Json<Sold>>,
    made_at: At,
    expires_at: At,
    last_used_at: Option<At>,
    used_at: Option<At>,
    revoked_at: Option<At>,
}

impl TryFrom<Row> for LinkRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            customer: row.customer_id.id(),
            purpose: row.purpose.0,
            hash: super::digest(&row.hash)?,
            vehicle: row.vehicle_id.map(Uid::id),
            says: row.says.map(|says| says.0),
            made_at: row.made_at.0,
            expires_at: row.expires_at.0,
            last_used_at: row.last_used_at.map(|at| at.0),
            used_at: row.used_at.map(|at| at.0),
            revoked_at: row.revoked_at.map(|at| at.0),
        })
    }
}

/// Adds a link.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, link: &LinkRow) -> Result<(), Error> {
    let row = Row {
        id: Uid::of(link.id),
        shop_id: Uid::of(scope.id()),
        customer_id: Uid::of(link.customer),
        purpose: Word(link.purpose),
        hash: link.hash.as_bytes().to_vec(),
        vehicle_id: link.vehicle.map(Uid::of),
        says: link.says.clone().map(Json),
        made_at: At(link.made_at),
        expires_at: At(link.expires_at),
        last_used_at: link.last_used_at.map(At),
        used_at: link.used_at.map(At),
        revoked_at: link.revoked_at.map(At),
    };
    diesel::insert_into(links::table).values(row).execute(tx.multi())?;
    Ok(())
}

/// The link with this SHA-256, and whose customer it was given to.
pub fn find(conn: &mut Conn, _: &Installation, hash: Digest) -> Result<(Shop, LinkRow), Error> {
    let row = links::table
        .filter(links::hash.eq(hash.as_bytes().as_slice()))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?;
    Ok((Shop::seen(row.shop_id.id()), row.try_into()?))
}

/// A link was followed, and lives on from then.
pub fn followed(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: LinkId,
    at: DateTime<Utc>,
    expires_at: DateTime<Utc>,
) -> Result<(), Error> {
    diesel::update(links::table.find(Uid::of(id)).filter(links::shop_id.eq(Uid::of(scope.id()))))
        .set((links::last_used_at.eq(Some(At(at))), links::expires_at.eq(At(expires_at))))
        .execute(tx.multi())?;
    Ok(())
}

/// Uses a link that can be used once; false when somebody was first. What it said goes.
pub fn use_up(tx: &mut Tx<'_>, scope: &Shop, id: LinkId, at: DateTime<Utc>) -> Result<bool, Error> {
    let unused = links::table
        .find(Uid::of(id))
        .filter(links::shop_id.eq(Uid::of(scope.id())))
        .filter(links::used_at.is_null());
    let used = diesel::update(unused)
        .set((links::used_at.eq(Some(At(at))), links::says.eq(None::<Json<Sold>>)))
        .execute(tx.multi())?;
    Ok(used == 1)
}

/// Takes back every link that a customer was given; answers how many worked until then.
pub fn revoke(
    tx: &mut Tx<'_>,
    scope: &Shop,
    customer: CustomerId,
    at: DateTime<Utc>,
) -> Result<usize, Error> {
    let given = links::table
        .filter(links::shop_id.eq(Uid::of(scope.id())))
        .filter(links::customer_id.eq(Uid::of(customer)))
        .filter(links::revoked_at.is_null())
        .filter(links::used_at.is_null())
        .filter(links::expires_at.gt(At(at)));
    Ok(diesel::update(given)
        .set((links::revoked_at.eq(Some(At(at))), links::says.eq(None::<Json<Sold>>)))
        .execute(tx.multi())?)
}

/// Forgets a customer's links that ended by themselves before an instant.
pub fn forget(
    tx: &mut Tx<'_>,
    scope: &Shop,
    customer: CustomerId,
    before: DateTime<Utc>,
) -> Result<(), Error> {
    let ended = links::table
        .filter(links::shop_id.eq(Uid::of(scope.id())))
        .filter(links::customer_id.eq(Uid::of(customer)))
        .filter(links::expires_at.lt(At(before)));
    diesel::delete(ended).execute(tx.multi())?;
    Ok(())
}

/// How many links of a customer were made for a purpose since an instant.
pub fn made_since(
    conn: &mut Conn,
    scope: &Shop,
    customer: CustomerId,
    purpose: LinkPurpose,
    since: DateTime<Utc>,
) -> Result<i64, Error> {
    Ok(links::table
        .filter(links::shop_id.eq(Uid::of(scope.id())))
        .filter(links::customer_id.eq(Uid::of(customer)))
        .filter(links::purpose.eq(Word(purpose)))
        .filter(links::made_at.ge(At(since)))
        .count()
        .get_result(conn.multi())?)
}
