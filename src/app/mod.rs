//! The one middle: what can be done, each function one transaction. The interface, the pages, the jobs and the
//! commands all call these.
//!
//! A use case loads what it needs, asks `core`, and writes facts, what follows from them and the outbox in one
//! transaction that looks again at what it relied on.

mod error;

pub mod accreditations;
pub mod addenda;
pub mod answers;
pub mod appointments;
pub mod assessments;
mod authors;
pub mod batches;
pub mod bounces;
pub mod calc;
pub mod calendars;
pub mod certificates;
pub mod checks;
pub mod climate;
pub mod coats;
pub mod corrections;
pub mod cure;
pub mod customers;
pub mod documents;
pub mod door_links;
pub mod door_page;
pub mod drawings;
pub mod dues;
pub mod eligibility;
pub mod events;
pub mod exports;
pub mod facts;
pub mod handover;
pub mod idempotency;
pub mod imports;
pub(crate) mod inspections;
mod job_sheet;
pub mod jobs;
mod keys;
mod links;
pub mod mail_choices;
pub mod marks;
pub mod members;
pub mod notices;
pub mod odometer;
pub mod owner_links;
pub mod owner_page;
pub mod owner_reports;
pub mod packages;
pub mod page;
pub mod paint_readings;
pub mod parts;
pub mod passes;
mod photo_files;
pub mod photos;
pub mod plans;
pub mod products;
pub mod records;
pub mod reports;
pub mod sessions;
pub mod setup;
pub mod shops;
mod side_by_side;
pub mod signatures;
pub mod steps;
pub mod surroundings;
pub mod tasks;
pub mod terms;
pub mod ticks;
pub mod turn;
pub mod vehicles;
pub mod verification;
pub mod visit_photos;
pub mod visits;
pub mod warranties;

pub use error::{Database, Error};

use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;

use crate::clock::Clock;
use crate::config::Config;
use crate::core::access::{Action, may};
use crate::core::error::Fault;
use crate::core::ids::MemberId;
use crate::core::json;
use crate::core::words::Role;
use crate::db::{Db, Shop};
use crate::documents::press::Press;
use crate::files::Files;
use crate::mail::Mailer;
use crate::mail::dkim::Dkim;
use crate::mail::transport::ATTEMPT_LIMIT;

/// What every use case works with.
#[derive(Clone)]
pub struct App {
    /// The open database.
    pub db: Db,
    /// What time it is.
    pub clock: Clock,
    /// The folder of files.
    pub files: Files,
    /// What was set from outside.
    pub config: Arc<Config>,
    /// Where mails go.
    pub mailer: Mailer,
    /// Whether everything here is a drill.
    pub drill: bool,
    /// What signs and checks access tokens.
    tokens: Arc<sessions::Tokens>,
    /// What signs the links in mails, and tells those that were signed here.
    links: Arc<links::Links>,
    /// What signs mails for the domain that they come from, if anything does.
    dkim: Option<Arc<Dkim>>,
    /// What prints documents.
    press: Arc<Press>,
}

impl App {
    /// Opens a database that has been migrated and set up (see [`setup::init`]). The mails of a drill must not leave
    /// this machine.
    pub fn open(config: Config, clock: Clock) -> Result<Self, Error> {
        use crate::core::error::Error as Rule;
        let mailer = Mailer::read(&config.mail, ATTEMPT_LIMIT)
            .map_err(|fault| Rule::rule("LUSTRUM_MAIL", fault.code, fault.detail))?;
        let db = Db::open(&config.database)?;
        let drill = setup::drill(&db)?;
        if drill && !mailer.is_local() {
            let detail = "the database is a drill: its mails go to a folder or to a server on this machine";
            return Err(Rule::rule("LUSTRUM_MAIL", "not_local", detail.to_owned()).into());
        }
        let tokens = Arc::new(sessions::Tokens::load(&db)?);
        let links = Arc::new(links::Links::load(&db, clock.now())?);
        certificates::prepare(&db, clock.now())?;
        let dkim = config.dkim.as_ref().map(surroundings::dkim).transpose();
        let dkim = dkim.map_err(|fault| Rule::rule("LUSTRUM_DKIM_KEY_FILE", fault.code, fault.detail))?;
        let press = documents::press(config.fonts.as_deref())
            .map_err(|fault| Rule::rule("LUSTRUM_FONTS", fault.code, fault.detail))?;
        let files = Files::new(&config.files);
        Ok(Self {
            db,
            clock,
            files,
            config: Arc::new(config),
            mailer,
            drill,
            tokens,
            links,
            dkim: dkim.map(Arc::new),
            press: Arc::new(press),
        })
    }

    /// The present instant.
    pub fn now(&self) -> DateTime<Utc> {
        self.clock.now()
    }
}

/// A new id, rising with time (UUID version 7, RFC 9562), of whichever type is asked for.
pub fn new_id<T: From<uuid::Uuid>>() -> T {
    T::from(uuid::Uuid::now_v7())
}

/// A member of a shop who is doing something: whoever is signed in, or for whom a command acts.
#[derive(Debug, Clone)]
pub struct Who {
    /// The member.
    pub member: MemberId,
    /// Their name, as it stands in records.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Their shop, the only one whose rows they reach.
    pub shop: Shop,
    /// The shop's time zone, in which its days begin and end.
    pub zone: Tz,
}

impl Who {
    /// Whether their role may do `action`.
    pub fn must(&self, action: Action) -> Result<(), Error> {
        if may(self.role, action) {
            Ok(())
        } else {
            let who: Vec<&str> =
                Role::ALL.iter().filter(|role| may(**role, action)).map(|role| role.as_str()).collect();
            let detail = format!("a {} may not do this; allowed to: {}", self.role, who.join(", "));
            Err(crate::core::error::Error::Forbidden(detail).into())
        }
    }

    /// The shop's local day at `at`.
    pub fn day(&self, at: DateTime<Utc>) -> NaiveDate {
        at.with_timezone(&self.zone).date_naive()
    }
}

/// `current` with a merge patch applied and read as strictly as any input; a null clears.
pub(crate) fn patched<T: serde::Serialize + serde::de::DeserializeOwned>(
    current: &T,
    patch: &serde_json::Value,
) -> Result<T, Error> {
    use crate::core::error::Error as Rule;
    if !patch.is_object() {
        return Err(
            Rule::Malformed(vec![Fault::new("", "wrong_type", "a merge patch is a JSON object")]).into()
        );
    }
    let current = serde_json::to_value(current).map_err(|e| crate::db::Error::Other(e.to_string()))?;
    json::typed(json::merged(current, patch)).map_err(|fault| Rule::Malformed(vec![fault]).into())
}

/// A text that must say something: the fault when it is empty, longer than `most` characters, or has a control
/// character.
pub(crate) fn wanted_text(pointer: &str, text: &str, most: usize) -> Option<Fault> {
    let length = text.chars().count();
    if text.trim().is_empty() {
        Some(Fault::new(pointer, "empty", format!("a text of 1 to {most} characters is needed")))
    } else if length > most {
        Some(Fault::new(pointer, "too_long", format!("{length} characters; allowed are 1 to {most}")))
    } else if text.contains(|c: char| c.is_control() && c != '\n' && c != '\t') {
        Some(Fault::new(pointer, "control_character", "control characters are not taken"))
    } else {
        None
    }
}

/// A code that people choose: the fault when it is none.
pub(crate) fn code(pointer: &str, text: &str) -> Option<Fault> {
    text.parse::<crate::core::ids::Code>().err().map(|fault| fault.within(pointer))
}

/// A day within the years that this service knows: the fault when it is another.
pub(crate) fn usual_day(pointer: &str, day: crate::core::calendar::Day) -> Option<Fault> {
    (!day.is_usual())
        .then(|| Fault::new(pointer, "out_of_range", format!("{day} is not within the years 1900 to 2999")))
}

/// Reads an IANA time zone.
pub(crate) fn zone(pointer: &str, name: &str) -> Result<Tz, Fault> {
    name.parse().map_err(|_| {
        Fault::new(pointer, "unknown_zone", format!("{name:?} is no IANA time zone such as Europe/Lisbon"))
    })
}
