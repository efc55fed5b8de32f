//! Members of a shop: who works there, and what they may do.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id, patched, wanted_text};
use crate::core::email::Email;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{MemberId, PersonId};
use crate::core::words::Role;
use crate::db::people::{self, MemberRow};
use crate::db::{self, Installation, Shop, Tx};

/// The fewest characters of a password.
pub const SHORTEST_PASSWORD: usize = 12;

/// Longer ones would only keep the machine busy.
const LONGEST_PASSWORD: usize = 1024;

/// What is said of a new member, beside the password.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MemberInput {
    /// Name, as it stands in records; 1–200 characters.
    pub name: String,
    /// Where they sign in; unique in the installation.
    pub email: String,
    /// What they may do.
    pub role: Role,
}

impl MemberInput {
    pub(crate) fn faults(&self) -> Vec<Fault> {
        let mut faults: Vec<Fault> = wanted_text("/name", &self.name, 200).into_iter().collect();
        faults.extend(self.email.parse::<Email>().err().map(|fault| fault.within("/email")));
        faults
    }
}

/// A new member with the password they begin with.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewMember {
    /// Name, as it stands in records; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// Where they sign in; unique in the installation.
    #[schema(min_length = 3, max_length = 254)]
    pub email: String,
    /// What they may do.
    pub role: Role,
    /// 12 characters or more.
    #[schema(min_length = 12, max_length = 1024)]
    pub password: String,
}

/// What can be changed of a member.
#[derive(Debug, Clone, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MemberChange {
    /// Name, as it stands in records.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Whether they may do nothing any more.
    #[serde(default)]
    pub disabled: bool,
}

/// A member as they are answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct MemberView {
    /// The member.
    pub id: MemberId,
    /// Name, as it stands in records.
    pub name: String,
    /// Where they sign in.
    pub email: String,
    /// What they may do.
    pub role: Role,
    /// Whether they may do nothing any more.
    pub disabled: bool,
    /// When they were added.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

impl From<MemberRow> for MemberView {
    fn from(row: MemberRow) -> Self {
        Self {
            id: row.id,
            name: row.name,
            email: row.email,
            role: row.role,
            disabled: row.disabled_at.is_some(),
            created_at: row.created_at,
            version: row.version,
        }
    }
}

/// The argon2id hash of a password (RFC 9106), as a PHC string. Takes its time: never inside a transaction.
pub(crate) fn hash(password: &str) -> Result<String, Error> {
    let length = password.chars().count();
    if !(SHORTEST_PASSWORD..=LONGEST_PASSWORD).contains(&length) {
        let detail = format!("{length} characters; a password has {SHORTEST_PASSWORD} to {LONGEST_PASSWORD}");
        return Err(Rule::rule("/password", "password_length", detail).into());
    }
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|e| db::Error::Other(format!("cannot hash a password: {e}")).into())
}

/// Whether this is the password behind the hash.
pub(crate) fn is_password(password: &str, hash: &str) -> bool {
    PasswordHash::new(hash)
        .is_ok_and(|hash| Argon2::default().verify_password(password.as_bytes(), &hash).is_ok())
}

/// Adds a member whose password has been hashed.
pub(crate) fn add_with_hash(
    tx: &mut Tx<'_>,
    scope: &Installation,
    shop: &Shop,
    input: &MemberInput,
    hash: &str,
    now: DateTime<Utc>,
) -> Result<MemberRow, Error> {
    let email: Email =
        input.email.parse().map_err(|fault: Fault| Rule::rules(vec![fault.within("/email")]))?;
    let person: PersonId = new_id();
    match people::add_person(tx, scope, person, &email.folded(), hash, now) {
        Err(db::Error::Conflict(_)) => {
            return Err(Rule::rule("/email", "email_taken", format!("{email} signs in here already")).into());
        }
        other => other?,
    }
    let row = MemberRow {
        id: new_id(),
        person,
        shop: shop.id(),
        name: input.name.clone(),
        email: email.as_str().to_owned(),
        role: input.role,
        disabled_at: None,
        created_at: now,
        version: 1,
    };
    people::add_member(tx, shop, &row)?;
    Ok(row)
}

/// Adds a member to the shop.
pub fn add(app: &App, who: &Who, input: &NewMember) -> Result<MemberView, Error> {
    let member = MemberInput { name: input.name.clone(), email: input.email.clone(), role: input.role };
    let mut faults = member.faults();
    let hash = match hash(&input.password) {
        Ok(hash) => hash,
        Err(Error::Rule(Rule::Refused { faults: more, .. })) => {
            faults.extend(more);
            String::new()
        }
        Err(other) => return Err(other),
    };
    all_clear(faults)?;
    let (shop, scope, now) = (who.shop, app.db.installation(), app.now());
    app.db.write(move |tx| Ok(add_with_hash(tx, &scope, &shop, &member, &hash, now)?.into()))
}

/// One member of the shop.
pub fn find(app: &App, who: &Who, id: MemberId) -> Result<MemberView, Error> {
    Ok(app.db.read(|c| people::member_of(c, &who.shop, id))?.into())
}

/// A page of members, newest first.
pub fn list(app: &App, who: &Who, wanted: &Wanted<MemberId>) -> Result<Page<MemberView>, Error> {
    let rows = app.db.read(|c| people::list_members(c, &who.shop, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(MemberView::from).collect(), |view| view.id))
}

/// Changes a member by a merge patch, if they are still of `version`. The last manager stays one.
pub fn change(app: &App, who: &Who, id: MemberId, version: i64, patch: &Value) -> Result<MemberView, Error> {
    let row = app.db.read(|c| people::member_of(c, &who.shop, id))?;
    let current =
        MemberChange { name: row.name.clone(), role: row.role, disabled: row.disabled_at.is_some() };
    let new: MemberChange = patched(&current, patch)?;
    all_clear(wanted_text("/name", &new.name, 200).into_iter().collect())?;
    let (shop, now) = (who.shop, app.now());
    app.db.write(move |tx| {
        let mut row = MemberRow { version, name: new.name, role: new.role, ..row };
        row.disabled_at = new.disabled.then(|| row.disabled_at.unwrap_or(now));
        if !people::change_member(tx, &shop, &row)? {
            return Err(Rule::Stale.into());
        }
        let managers = people::list_members(tx, &shop, None, i64::MAX)?;
        if !managers.iter().any(|m| m.role == Role::Manager && m.disabled_at.is_none()) {
            return Err(Rule::rule("/role", "last_manager", "a shop keeps at least one manager").into());
        }
        row.version += 1;
        Ok(row.into())
    })
}

/// Sets a member's password.
pub fn set_password(app: &App, who: &Who, id: MemberId, password: &str) -> Result<(), Error> {
    let hash = hash(password)?;
    let (shop, scope) = (who.shop, app.db.installation());
    app.db.write(move |tx| {
        let member = people::member_of(tx, &shop, id)?;
        Ok(people::set_password(tx, &scope, member.person, &hash)?)
    })
}
