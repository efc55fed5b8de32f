//! Shops, the people who sign in, and their sessions: rows of the installation.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{members, people, sessions, shops};
use super::scope::{Installation, Shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{MemberId, PersonId, SessionId, ShopId};
use crate::core::words::Role;

/// A shop's own settings beyond name and zone: address, language, units, mail cadence; open for more.
pub type ShopDetails = serde_json::Map<String, serde_json::Value>;

/// A shop as its row says.
#[derive(Debug, Clone)]
pub struct ShopRow {
    /// Whose rows are meant.
    pub shop: Shop,
    /// Its name, as owners read it.
    pub name: String,
    /// IANA time zone, in which its days begin and end.
    pub time_zone: String,
    /// Further settings.
    pub details: ShopDetails,
    /// Counts up with each change.
    pub version: i64,
}

/// A member of a shop as the row says.
#[derive(Debug, Clone)]
pub struct MemberRow {
    /// The member.
    pub id: MemberId,
    /// The person behind it.
    pub person: PersonId,
    /// The shop.
    pub shop: ShopId,
    /// Name as it stands in records.
    pub name: String,
    /// Where they sign in.
    pub email: String,
    /// What they may do.
    pub role: Role,
    /// Since when they may do nothing any more.
    pub disabled_at: Option<DateTime<Utc>>,
    /// When they were added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

type Member = (Uid, Uid, Uid, String, String, Word<Role>, Option<At>, At, i64);

fn member((id, person, shop, name, email, role, disabled_at, created_at, version): Member) -> MemberRow {
    MemberRow {
        id: id.id(),
        person: person.id(),
        shop: shop.id(),
        name,
        email,
        role: role.0,
        disabled_at: disabled_at.map(|at| at.0),
        created_at: created_at.0,
        version,
    }
}

const MEMBER: (
    members::id,
    members::person_id,
    members::shop_id,
    members::name,
    members::email,
    members::role,
    members::disabled_at,
    members::created_at,
    members::version,
) = (
    members::id,
    members::person_id,
    members::shop_id,
    members::name,
    members::email,
    members::role,
    members::disabled_at,
    members::created_at,
    members::version,
);

/// Adds a shop.
pub fn add_shop(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: ShopId,
    name: &str,
    time_zone: &str,
    details: &ShopDetails,
    at: DateTime<Utc>,
) -> Result<Shop, Error> {
    diesel::insert_into(shops::table)
        .values((
            shops::id.eq(Uid::of(id)),
            shops::name.eq(name),
            shops::time_zone.eq(time_zone),
            shops::details.eq(Json(details.clone())),
            shops::created_at.eq(At(at)),
            shops::version.eq(1_i64),
        ))
        .execute(tx.multi())?;
    Ok(Shop::seen(id))
}

/// The shop with this id.
pub fn shop(conn: &mut Conn, _: &Installation, id: ShopId) -> Result<ShopRow, Error> {
    let (name, time_zone, details, version) = shops::table
        .find(Uid::of(id))
        .select((shops::name, shops::time_zone, shops::details, shops::version))
        .first::<(String, String, Json<ShopDetails>, i64)>(conn.multi())?;
    Ok(ShopRow { shop: Shop::seen(id), name, time_zone, details: details.0, version })
}

/// All shops, oldest first.
pub fn shops(conn: &mut Conn, installation: &Installation) -> Result<Vec<ShopRow>, Error> {
    let ids = shops::table.select(shops::id).order(shops::id).load::<Uid>(conn.multi())?;
    ids.into_iter().map(|id| shop(conn, installation, id.id())).collect()
}

/// Changes a shop's row when it is still of `version`; false when somebody else was there first.
pub fn change_shop(
    tx: &mut Tx<'_>,
    scope: &Shop,
    version: i64,
    name: &str,
    time_zone: &str,
    details: &ShopDetails,
) -> Result<bool, Error> {
    let changed = diesel::update(shops::table.find(Uid::of(scope.id())).filter(shops::version.eq(version)))
        .set((
            shops::name.eq(name),
            shops::time_zone.eq(time_zone),
            shops::details.eq(Json(details.clone())),
            shops::version.eq(version + 1),
        ))
        .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Adds someone who can sign in.
pub fn add_person(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: PersonId,
    email_folded: &str,
    password_hash: &str,
    at: DateTime<Utc>,
) -> Result<(), Error> {
    diesel::insert_into(people::table)
        .values((
            people::id.eq(Uid::of(id)),
            people::email.eq(email_folded),
            people::password.eq(password_hash),
            people::created_at.eq(At(at)),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The person with this address (folded) and their password hash.
pub fn person_by_email(
    conn: &mut Conn,
    _: &Installation,
    email_folded: &str,
) -> Result<Option<(PersonId, String)>, Error> {
    Ok(people::table
        .filter(people::email.eq(email_folded))
        .select((people::id, people::password))
        .first::<(Uid, String)>(conn.multi())
        .optional()?
        .map(|(id, hash)| (id.id(), hash)))
}

/// Sets a person's password hash.
pub fn set_password(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: PersonId,
    password_hash: &str,
) -> Result<(), Error> {
    diesel::update(people::table.find(Uid::of(id)))
        .set(people::password.eq(password_hash))
        .execute(tx.multi())?;
    Ok(())
}

/// Makes a person a member of the shop.
pub fn add_member(tx: &mut Tx<'_>, scope: &Shop, row: &MemberRow) -> Result<(), Error> {
    diesel::insert_into(members::table)
        .values((
            members::id.eq(Uid::of(row.id)),
            members::shop_id.eq(Uid::of(scope.id())),
            members::person_id.eq(Uid::of(row.person)),
            members::name.eq(&row.name),
            members::email.eq(&row.email),
            members::role.eq(Word(row.role)),
            members::created_at.eq(At(row.created_at)),
            members::version.eq(row.version),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// A member of this shop.
pub fn member_of(conn: &mut Conn, scope: &Shop, id: MemberId) -> Result<MemberRow, Error> {
    Ok(members::table
        .find(Uid::of(id))
        .filter(members::shop_id.eq(Uid::of(scope.id())))
        .select(MEMBER)
        .first::<Member>(conn.multi())
        .map(member)?)
}

/// A member by id alone, as an access token names one.
pub fn member_anywhere(conn: &mut Conn, _: &Installation, id: MemberId) -> Result<Option<MemberRow>, Error> {
    Ok(members::table.find(Uid::of(id)).select(MEMBER).first::<Member>(conn.multi()).optional()?.map(member))
}

/// The memberships of a person that are not disabled, oldest first.
pub fn memberships(conn: &mut Conn, _: &Installation, person: PersonId) -> Result<Vec<MemberRow>, Error> {
    Ok(members::table
        .filter(members::person_id.eq(Uid::of(person)))
        .filter(members::disabled_at.is_null())
        .order(members::id)
        .select(MEMBER)
        .load::<Member>(conn.multi())?
        .into_iter()
        .map(member)
        .collect())
}

/// The shop's members, newest first, after the one with id `after`.
pub fn list_members(
    conn: &mut Conn,
    scope: &Shop,
    after: Option<MemberId>,
    limit: i64,
) -> Result<Vec<MemberRow>, Error> {
    let mut query =
        members::table.filter(members::shop_id.eq(Uid::of(scope.id()))).select(MEMBER).into_boxed();
    if let Some(after) = after {
        query = query.filter(members::id.lt(Uid::of(after)));
    }
    Ok(query
        .order(members::id.desc())
        .limit(limit)
        .load::<Member>(conn.multi())?
        .into_iter()
        .map(member)
        .collect())
}

/// Changes name, role and whether the member is disabled when the row is still of its version; false when
/// somebody else was there first.
pub fn change_member(tx: &mut Tx<'_>, scope: &Shop, row: &MemberRow) -> Result<bool, Error> {
    let changed = diesel::update(
        members::table
            .find(Uid::of(row.id))
            .filter(members::shop_id.eq(Uid::of(scope.id())))
            .filter(members::version.eq(row.version)),
    )
    .set((
        members::name.eq(&row.name),
        members::role.eq(Word(row.role)),
        members::disabled_at.eq(row.disabled_at.map(At)),
        members::version.eq(row.version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// A signed-in session: the family of one refresh token.
#[derive(Debug, Clone)]
pub struct SessionRow {
    /// The family.
    pub id: SessionId,
    /// Who signed in.
    pub member: MemberId,
    /// How often its token was exchanged.
    pub generation: i64,
    /// When it was last exchanged.
    pub rotated_at: DateTime<Utc>,
    /// After this it is over.
    pub expires_at: DateTime<Utc>,
    /// Ended by signing out or by reuse of an old token.
    pub ended_at: Option<DateTime<Utc>>,
}

/// Keeps a new session.
pub fn add_session(tx: &mut Tx<'_>, _: &Installation, row: &SessionRow) -> Result<(), Error> {
    diesel::insert_into(sessions::table)
        .values((
            sessions::id.eq(Uid::of(row.id)),
            sessions::member_id.eq(Uid::of(row.member)),
            sessions::generation.eq(row.generation),
            sessions::rotated_at.eq(At(row.rotated_at)),
            sessions::expires_at.eq(At(row.expires_at)),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The session with this id.
pub fn session(conn: &mut Conn, _: &Installation, id: SessionId) -> Result<Option<SessionRow>, Error> {
    Ok(sessions::table
        .find(Uid::of(id))
        .select((
            sessions::member_id,
            sessions::generation,
            sessions::rotated_at,
            sessions::expires_at,
            sessions::ended_at,
        ))
        .first::<(Uid, i64, At, At, Option<At>)>(conn.multi())
        .optional()?
        .map(|(member, generation, rotated_at, expires_at, ended_at)| SessionRow {
            id,
            member: member.id(),
            generation,
            rotated_at: rotated_at.0,
            expires_at: expires_at.0,
            ended_at: ended_at.map(|at| at.0),
        }))
}

/// Counts a session's token up when it is still of `generation`; false when another request was there first.
pub fn rotate_session(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: SessionId,
    generation: i64,
    at: DateTime<Utc>,
) -> Result<bool, Error> {
    let changed =
        diesel::update(sessions::table.find(Uid::of(id)).filter(sessions::generation.eq(generation)))
            .set((sessions::generation.eq(generation + 1), sessions::rotated_at.eq(At(at))))
            .execute(tx.multi())?;
    Ok(changed == 1)
}

/// Ends a session, if it has not ended yet.
pub fn end_session(tx: &mut Tx<'_>, _: &Installation, id: SessionId, at: DateTime<Utc>) -> Result<(), Error> {
    diesel::update(sessions::table.find(Uid::of(id)).filter(sessions::ended_at.is_null()))
        .set(sessions::ended_at.eq(Some(At(at))))
        .execute(tx.multi())?;
    Ok(())
}
