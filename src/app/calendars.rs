//! Calendars: what falls due and what is booked, as files that calendars read.

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;
use uuid::Uuid;

use super::assessments::Case;
use super::{App, Error, Who, owner_links, shops, warranties as warranty_cases};
use crate::core::assess::{DueAnswer, DueStatus};
use crate::core::calendar::local_day;
use crate::core::error::Error as Rule;
use crate::core::ids::{Digest, ShopId, VehicleId, WarrantyId};
use crate::core::notices::{About, Step, consequence_of};
use crate::core::terms::Consequence;
use crate::core::words::{AppointmentState, LinkPurpose};
use crate::db::appointments::{AppointmentRow, Filter};
use crate::db::notices::NoticeRow;
use crate::db::warranties::WarrantyRow;
use crate::db::{self, Conn, Shop, appointments, installation, people, vehicle_events, vehicles, warranties};
use crate::documents::calendar::{Calendar, Entry, When};
use crate::language::{Language, said};

/// What was settled is shown as cancelled for so many days after its window, so that calendars take it out.
const SETTLED: i64 = 366;

/// Whose calendar it is, and in which language.
pub(crate) struct Reader<'a> {
    pub(crate) shop: &'a Shop,
    pub(crate) language: Language,
    pub(crate) now: DateTime<Utc>,
}

/// The dues of a warranty, named by id or number, in the shop's language.
pub fn of_warranty(app: &App, who: &Who, name: &str) -> Result<String, Error> {
    app.db.read(|c| {
        let row = warranty_cases::standing(c, &who.shop, name)?;
        let language = shops::language(c, app, &who.shop)?;
        let reader = Reader { shop: &who.shop, language, now: app.now() };
        let title = super::notices::vehicle_title(c, &who.shop, row.vehicle)?;
        let name = language.say("calendar-name", &said!["vehicle" => &title]);
        let entries = dues(c, &reader, &title, row)?;
        Ok(Calendar { name, language: language.to_string(), entries }.file())
    })
}

/// What falls due of a shop's warranties and what is booked, for the shop.
pub fn of_shop(app: &App, who: &Who) -> Result<String, Error> {
    app.db.read(|c| shop_calendar(c, app, &who.shop, app.now()))
}

/// Where a shop's calendar can be subscribed to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct CalendarLink {
    /// The address; told once.
    pub url: String,
}

/// What the digest of a shop's calendar address is kept under.
fn kept_under(shop: ShopId) -> String {
    format!("calendar/{shop}")
}

/// Makes the address of a shop's calendar; the one before reads nothing any more.
pub fn make_link(app: &App, who: &Who) -> Result<CalendarLink, Error> {
    let mut drawn = [0; 32];
    getrandom::fill(&mut drawn).map_err(|e| db::Error::Other(format!("no randomness: {e}")))?;
    let shop = who.shop.id();
    // The shop's id says where to look, the rest opens.
    let token = BASE64_URL_SAFE_NO_PAD.encode([shop.uuid().as_bytes().as_slice(), &drawn].concat());
    let digest = Digest::of(token.as_bytes()).to_string();
    let (scope, url) = (app.db.installation(), format!("{}/calendar/{token}", app.config.public_url));
    app.db.write(move |tx| {
        installation::set_setting(tx, &scope, &kept_under(shop), &digest)?;
        Ok(CalendarLink { url })
    })
}

/// Ends the address of a shop's calendar.
pub fn end_link(app: &App, who: &Who) -> Result<(), Error> {
    let (scope, shop) = (app.db.installation(), who.shop.id());
    app.db.write(move |tx| Ok(installation::set_setting(tx, &scope, &kept_under(shop), "")?))
}

/// The calendar of the shop whose address this is.
pub fn feed(app: &App, token: &str) -> Result<String, Error> {
    let bytes = BASE64_URL_SAFE_NO_PAD.decode(token).map_err(|_| Rule::NotFound)?;
    let id = bytes.get(..16).and_then(|id| Uuid::from_slice(id).ok()).ok_or(Rule::NotFound)?;
    let scope = app.db.installation();
    app.db.read(|c| {
        let kept = installation::setting(c, &scope, &kept_under(ShopId::from(id)))?;
        if kept.as_deref() != Some(Digest::of(token.as_bytes()).to_string().as_str()) {
            return Err(Rule::NotFound.into());
        }
        let shop = people::shop(c, &scope, ShopId::from(id))?.shop;
        shop_calendar(c, app, &shop, app.now())
    })
}

/// What is booked at a shop from a month ago on, in its language.
fn shop_calendar(conn: &mut Conn, app: &App, shop: &Shop, now: DateTime<Utc>) -> Result<String, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let language = Language::best([settings.language.as_str()]);
    let reader = Reader { shop, language, now };
    let from = now.date_naive() - TimeDelta::days(31);
    let mut entries = Vec::new();
    let mut after = None;
    loop {
        let rows =
            appointments::list(conn, shop, &Filter { from: Some(from), ..Filter::default() }, after, 200)?;
        let Some(last) = rows.last() else { break };
        after = Some(last.id);
        for row in rows {
            let title = super::notices::vehicle_title(conn, shop, row.vehicle)?;
            entries.push(booking(&reader, &title, &row, settings.address.clone()));
        }
    }
    let name = settings.name.clone();
    Ok(Calendar { name, language: language.to_string(), entries }.file())
}

/// What falls due and what is booked of the vehicles that are theirs now, for whoever holds the link to an owner's page. A
/// calendar that is subscribed to follows the link, as its owner would.
pub fn of_owner(app: &App, token: &str) -> Result<String, Error> {
    let (held, file) = app.db.read(|c| {
        let held = owner_links::held(c, app, token, LinkPurpose::Owner)?;
        let settings = shops::settings(c, app, &held.shop)?;
        let language = Language::best([held.customer.language.as_str(), settings.language.as_str()]);
        let reader = Reader { shop: &held.shop, language, now: app.now() };
        let theirs = vehicles::of_customer(c, &held.shop, held.customer.id)?;
        let file = of_vehicles(c, app, &reader, &theirs)?;
        Ok::<_, Error>((held, file))
    })?;
    owner_links::follow(app, &held)?;
    Ok(file)
}

/// What falls due and what is booked of these vehicles, for their owner.
fn of_vehicles(conn: &mut Conn, app: &App, reader: &Reader<'_>, of: &[VehicleId]) -> Result<String, Error> {
    let settings = shops::settings(conn, app, reader.shop)?;
    let mut entries = Vec::new();
    for vehicle in of {
        entries.extend(of_vehicle(conn, reader, *vehicle, settings.address.as_deref())?);
    }
    let name = settings.name.clone();
    Ok(Calendar { name, language: reader.language.to_string(), entries }.file())
}

fn of_vehicle(
    conn: &mut Conn,
    reader: &Reader<'_>,
    vehicle: VehicleId,
    place: Option<&str>,
) -> Result<Vec<Entry>, Error> {
    let title = super::notices::vehicle_title(conn, reader.shop, vehicle)?;
    let mut entries = Vec::new();
    for row in warranties::of_vehicle(conn, reader.shop, vehicle)? {
        if row.voided.is_none() {
            entries.extend(dues(conn, reader, &title, row)?);
        }
    }
    let filter = Filter { vehicle: Some(vehicle), ..Filter::default() };
    let booked = appointments::list(conn, reader.shop, &filter, None, 50)?;
    entries.extend(booked.iter().map(|row| booking(reader, &title, row, place.map(str::to_owned))));
    Ok(entries)
}

/// What goes with a mail that carries these notices: the dues and booked days that they are about; none where they are
/// about neither.
pub(crate) fn of_notices(
    conn: &mut Conn,
    app: &App,
    reader: &Reader<'_>,
    rows: &[NoticeRow],
) -> Result<Option<String>, Error> {
    let settings = shops::settings(conn, app, reader.shop)?;
    let mut entries = Vec::new();
    for row in rows {
        let title = super::notices::vehicle_title(conn, reader.shop, row.vehicle)?;
        match &row.about {
            About::Booked { appointment, .. } => {
                let booked = appointments::find(conn, reader.shop, *appointment)?;
                entries.push(booking(reader, &title, &booked, settings.address.clone()));
            }
            About::Due(notice) if notice.step != Step::Missed => {
                let key = due_key(notice.warranty, &notice.upkeep, notice.number);
                let warranty = warranties::find(conn, reader.shop, notice.warranty)?;
                let all = dues(conn, reader, &title, warranty)?;
                entries.extend(all.into_iter().filter(|entry| entry.key == key));
            }
            _ => {}
        }
    }
    let name = settings.name.clone();
    let language = reader.language.to_string();
    Ok((!entries.is_empty()).then(|| Calendar { name, language, entries }.file()))
}

fn due_key(warranty: WarrantyId, upkeep: &str, number: u32) -> String {
    format!("due/{warranty}/{upkeep}/{number}")
}

fn dues(conn: &mut Conn, reader: &Reader<'_>, title: &str, row: WarrantyRow) -> Result<Vec<Entry>, Error> {
    let last = vehicle_events::last_recorded(conn, reader.shop, &[row.vehicle])?;
    let stamp = last.map_or(row.entered_at, |last| last.max(row.entered_at));
    // It counts up whenever what is stored of the verdict is looked at anew: a due that moved comes with a higher one.
    let sequence = u32::try_from(row.version).unwrap_or(u32::MAX);
    let today = local_day(reader.now, row.time_zone).date();
    let case = Case::load(conn, reader.shop, row)?;
    let assessment = case.assessment(&case.verdict(today, None));
    let recent = |due: &&DueAnswer| (today - due.closes.date()).num_days() <= SETTLED;
    let entry = |due: &DueAnswer| {
        let rule = case.terms.upkeep.iter().find(|rule| rule.key == due.upkeep)?;
        let services: Vec<String> = rule.services.iter().map(|word| reader.language.service(word)).collect();
        let what = reader.language.any_of(&services);
        let summary = said!["what" => reader.language.capital(&what), "vehicle" => title];
        let cost = match consequence_of(rule, &assessment.dues, due.number) {
            Some(Consequence::Note) | None => "calendar-due-noted",
            Some(_) => "calendar-due-costs",
        };
        let description = said![
            "opens" => reader.language.date(due.opens),
            "due" => reader.language.date(due.due),
            "closes" => reader.language.date(due.closes),
            "warranty" => case.row.number.to_string(),
        ];
        Some(Entry {
            key: due_key(case.row.id, &due.upkeep, due.number),
            sequence,
            stamp,
            when: When::Day(due.due.date()),
            summary: reader.language.say("calendar-due", &summary),
            description: reader.language.say(cost, &description),
            place: None,
            cancelled: matches!(due.status, DueStatus::Met | DueStatus::Waived | DueStatus::Missed),
        })
    };
    Ok(assessment.dues.iter().filter(recent).filter_map(entry).collect())
}

fn booking(reader: &Reader<'_>, title: &str, row: &AppointmentRow, place: Option<String>) -> Entry {
    let summary = reader.language.say("calendar-booked", &said!["vehicle" => title]);
    Entry {
        key: format!("appointment/{}", row.id),
        sequence: u32::try_from(row.version).unwrap_or(u32::MAX),
        stamp: row.created_at,
        when: When::At(row.at),
        description: summary.clone(),
        summary,
        place,
        cancelled: row.state == AppointmentState::Cancelled,
    }
}
