//! Setting up: a database, its keys, a shop and its first manager.

use chrono::{DateTime, Utc};

use super::members::{self, MemberInput};
use super::sessions::Tokens;
use super::shops::ShopSettings;
use super::{Error, new_id};
use crate::core::error::Error as Rule;
use crate::core::ids::ShopId;
use crate::core::words::Role;
use crate::db::{self, Db, installation, people};

/// Whether the database is a place for drills: its clock may be set, and mails stay on this machine.
const DRILL: &str = "drill";

/// When the first shop was set up; the first tick looks back to it.
const BEGAN: &str = "began_at";

/// The first shop or a further one, and who manages it.
#[derive(Debug, Clone)]
pub struct Founding {
    /// The shop.
    pub shop: ShopSettings,
    /// The manager's name.
    pub name: String,
    /// Where the manager signs in.
    pub email: String,
    /// The manager's password; 12 characters or more.
    pub password: String,
    /// Whether to make the database a place for drills; only when it is new.
    pub drill: bool,
}

/// Brings the database at `url` to the present shape; answers the versions that were run.
pub fn migrate(url: &str) -> Result<Vec<String>, Error> {
    Ok(db::migrate(url)?)
}

/// Brings the database at `url` to the present shape, makes its keys where there are none, and adds a shop with its
/// first manager. Answers the shop's id.
pub fn init(url: &str, founding: &Founding, now: DateTime<Utc>) -> Result<ShopId, Error> {
    founding.shop.check()?;
    let manager =
        MemberInput { name: founding.name.clone(), email: founding.email.clone(), role: Role::Manager };
    crate::core::error::all_clear(manager.faults())?;
    let hash = members::hash(&founding.password)?;
    db::migrate(url)?;
    let db = Db::open(url)?;
    let scope = db.installation();
    let founding = founding.clone();
    db.write(move |tx| {
        let began = installation::setting(tx, &scope, BEGAN)?;
        if founding.drill && began.is_some() && !is_drill(tx, &scope)? {
            return Err(Rule::state(
                "not_new",
                "the database is already in earnest use; only a new one can become a drill",
            )
            .into());
        }
        if began.is_none() {
            installation::set_setting(tx, &scope, BEGAN, &now.to_rfc3339())?;
            installation::set_setting(tx, &scope, DRILL, if founding.drill { "yes" } else { "no" })?;
            Tokens::make(tx, &scope, now)?;
        }
        let id = new_id();
        let settings = &founding.shop;
        let shop =
            people::add_shop(tx, &scope, id, &settings.name, &settings.time_zone, &settings.details(), now)?;
        members::add_with_hash(tx, &scope, &shop, &manager, &hash, now)?;
        Ok(id)
    })
}

fn is_drill(conn: &mut db::Conn, scope: &db::Installation) -> Result<bool, Error> {
    Ok(installation::setting(conn, scope, DRILL)?.as_deref() == Some("yes"))
}

/// Whether this database is a place for drills.
pub fn drill(db: &Db) -> Result<bool, Error> {
    db.read(|c| is_drill(c, &db.installation()))
}

/// Whether the database at `url`, which nobody has opened yet, is a place for drills.
pub fn drill_at(url: &str) -> Result<bool, Error> {
    drill(&Db::open(url)?)
}

/// When the first shop was set up.
pub fn began(db: &Db) -> Result<Option<DateTime<Utc>>, Error> {
    let text = db.read::<_, Error>(|c| Ok(installation::setting(c, &db.installation(), BEGAN)?))?;
    Ok(text.and_then(|text| DateTime::parse_from_rfc3339(&text).ok()).map(|at| at.to_utc()))
}
