//! What an owner sees by their link: the vehicles that are theirs now, how their cover stands and why, what is next, what
//! is booked, and what was done.

mod history;

use chrono::{DateTime, NaiveDateTime, Utc};
use serde::Serialize;

use super::assessments::{Case, cases};
use super::odometer::{OdometerView, readings};
use super::owner_links::{Held, follow, held};
use super::visits::USUAL_SERVICES;
use super::{App, Error, shops, vehicles as vehicle_cases};
use crate::core::assess::{Assessment, DueStatus, State, Why};
use crate::core::calendar::{Day, local_day};
use crate::core::ids::VehicleId;
use crate::core::terms::Rank;
use crate::core::words::{AppointmentState, LinkPurpose, OdometerUnit, Panel, Surface};
use crate::db::appointments::{self, Filter};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::warranties::CoverItem;
use crate::db::{Conn, vehicles};

use self::history::history;
pub use self::history::{Done, What};

/// An owner's page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnerPage {
    /// The shop.
    pub shop: OwnersShop,
    /// What the owner is called.
    pub name: String,
    /// The language that they are written to in, as it is kept.
    pub language: String,
    /// Whether they want mails about upkeep.
    pub wants_upkeep: bool,
    /// Whether they want the history after each visit.
    pub wants_history: bool,
    /// Whether there is an address to send mails to.
    pub has_email: bool,
    /// The shop's day of which all this is.
    pub today: Day,
    /// The vehicles that are theirs now.
    pub vehicles: Vec<OwnersVehicle>,
}

/// How the shop is reached.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OwnersShop {
    /// Its name.
    pub name: String,
    /// The language that it writes in where an owner's is not known.
    pub language: String,
    /// Where it is.
    pub address: Option<String>,
    /// Its telephone.
    pub phone: Option<String>,
    /// Its mail.
    pub email: Option<String>,
}

/// A vehicle as its owner sees it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnersVehicle {
    /// The vehicle.
    pub id: VehicleId,
    /// Make and model, else plate, else VIN.
    pub title: String,
    /// Its plate.
    pub plate: Option<String>,
    /// Since when it is theirs.
    pub since: Day,
    /// What its odometer shows.
    pub odometer_unit: OdometerUnit,
    /// What its odometer showed last, and when.
    pub last_reading: Option<(Day, OdometerView)>,
    /// Its warranties that are not void, oldest first.
    pub warranties: Vec<OwnersWarranty>,
    /// What is booked.
    pub bookings: Vec<OwnersBooking>,
    /// What was done, newest first.
    pub history: Vec<Done>,
    /// Services that can be asked for, those of the terms first.
    pub services: Vec<String>,
    /// Services that the owner may have done themselves, where the terms let them.
    pub own_services: Vec<String>,
}

/// A warranty as the owner sees it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnersWarranty {
    /// Its number.
    pub number: String,
    /// What its public page is found by.
    pub verify_code: String,
    /// The title of its terms.
    pub terms: String,
    /// Surface by surface, in the order of the terms.
    pub cover: Vec<OwnersCover>,
    /// What can still be met, the next of each rule, soonest first.
    pub next: Vec<OwnersDue>,
}

/// Cover of a surface.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnersCover {
    /// The surface.
    pub surface: Surface,
    /// The panels that are covered.
    pub panels: Vec<Panel>,
    /// Panels that a repair took out of cover.
    pub out: Vec<String>,
    /// How it stands.
    pub state: State,
    /// First day of cover.
    pub from: Day,
    /// Last day of cover, as far as is known.
    pub last_day: Day,
    /// How far the vehicle may run since the start, in km.
    pub up_to_km: Option<u32>,
    /// Why it is on hold or has ended.
    pub why: Option<Why>,
}

/// A due.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OwnersDue {
    /// What is asked for; any of them.
    pub services: Vec<String>,
    /// Whoever may do it at least.
    pub by: Rank,
    /// First day on which it counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// Last day on which it counts.
    pub closes: Day,
    /// By distance: the odometer at which it is asked, in km.
    pub due_km: Option<u32>,
    /// How it stands.
    pub status: DueStatus,
}

/// A day on which the vehicle is booked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OwnersBooking {
    /// When, by the shop's clock.
    pub at: NaiveDateTime,
}

/// The page behind an owner's link. Nothing is changed but when it was last followed.
pub fn find(app: &App, token: &str) -> Result<OwnerPage, Error> {
    let (held, page) = app.db.read(|c| {
        let held = held(c, app, token, LinkPurpose::Owner)?;
        let page = seen(c, app, &held, app.now())?;
        Ok::<_, Error>((held, page))
    })?;
    follow(app, &held)?;
    Ok(page)
}

/// What whoever holds a link sees.
pub(super) fn seen(conn: &mut Conn, app: &App, held: &Held, now: DateTime<Utc>) -> Result<OwnerPage, Error> {
    let Held { shop, customer, .. } = held;
    let settings = shops::settings(conn, app, shop)?;
    let zone = shops::zone(conn, app, shop)?;
    let today = local_day(now, zone);
    let mut theirs = Vec::new();
    for id in vehicles::of_customer(conn, shop, customer.id)? {
        theirs.push(vehicle(conn, held, id, zone, now)?);
    }
    Ok(OwnerPage {
        shop: OwnersShop {
            name: settings.name,
            language: settings.language,
            address: settings.address,
            phone: settings.phone,
            email: settings.email,
        },
        name: customer.name.clone(),
        language: customer.language.clone(),
        wants_upkeep: customer.mail_upkeep,
        wants_history: customer.mail_history,
        has_email: customer.email.is_some(),
        today,
        vehicles: theirs,
    })
}

fn vehicle(
    conn: &mut Conn,
    held: &Held,
    id: VehicleId,
    zone: chrono_tz::Tz,
    now: DateTime<Utc>,
) -> Result<OwnersVehicle, Error> {
    let shop = &held.shop;
    let row = vehicles::find(conn, shop, id)?;
    let since =
        vehicles::owned(conn, shop, id)?.map_or_else(|| local_day(now, zone), |owned| owned.from.into());
    let events = vehicle_events::of_vehicle(conn, shop, id)?;
    let cases = cases(conn, shop, id)?;
    let last = readings(&events, &[]).pop();
    let booked = Filter {
        states: vec![AppointmentState::Booked],
        from: Some(local_day(now, zone).date()),
        vehicle: Some(id),
        ..Filter::default()
    };
    let mut bookings: Vec<OwnersBooking> = appointments::list(conn, shop, &booked, None, 20)?
        .into_iter()
        .map(|row| OwnersBooking { at: row.at.with_timezone(&zone).naive_local() })
        .collect();
    bookings.sort_by_key(|booking| booking.at);
    let (services, own_services) = services_of(&cases);
    Ok(OwnersVehicle {
        id,
        title: vehicle_cases::title(&row),
        plate: row.plate.clone(),
        since,
        odometer_unit: row.odometer_unit,
        last_reading: last.map(|known| (known.on.into(), known.odometer.into())),
        warranties: cases.iter().map(|case| warranty(case, &events, now)).collect(),
        bookings,
        history: history(conn, shop, id, &events)?,
        services,
        own_services,
    })
}

/// Services that an owner of a vehicle with these warranties can ask for, and those that they may do themselves.
pub(super) fn services_of(cases: &[Case]) -> (Vec<String>, Vec<String>) {
    let mut all: Vec<String> = Vec::new();
    let mut own: Vec<String> = Vec::new();
    let rules = cases.iter().flat_map(|case| &case.terms.upkeep);
    for rule in rules {
        for service in &rule.services {
            if !all.contains(service) {
                all.push(service.clone());
            }
            if rule.by == Rank::Owner && !own.contains(service) {
                own.push(service.clone());
            }
        }
    }
    for usual in USUAL_SERVICES {
        if !all.iter().any(|service| service == usual) {
            all.push(usual.to_owned());
        }
    }
    (all, own)
}

fn warranty(case: &Case, events: &[EventRow], now: DateTime<Utc>) -> OwnersWarranty {
    let today = local_day(now, case.row.time_zone);
    let assessment = case.assessment(&case.verdict(today.date(), None));
    let cover = case.row.cover.iter().filter_map(|item| cover(case, &assessment, events, item)).collect();
    OwnersWarranty {
        number: case.row.number.to_string(),
        verify_code: case.row.verify_code.clone(),
        terms: case.terms.title.clone(),
        cover,
        next: next(case, &assessment),
    }
}

fn cover(case: &Case, assessment: &Assessment, events: &[EventRow], item: &CoverItem) -> Option<OwnersCover> {
    let answer = assessment.cover.get(item.surface.as_str())?;
    let out = assessment.panels.iter().filter(|panel| {
        panel.surface == item.surface.as_str() && panel.until.is_none_or(|until| until > assessment.as_of)
    });
    Some(OwnersCover {
        surface: item.surface,
        panels: item.panels.clone(),
        out: out.map(|panel| panel.panel.clone()).collect(),
        state: answer.state,
        from: item.from.into(),
        last_day: answer.last_day,
        up_to_km: item.up_to_km,
        why: answer.why(&case.terms, &assessment.dues, events.iter().map(|row| &row.event)),
    })
}

/// What falls due next by each rule.
fn next(case: &Case, assessment: &Assessment) -> Vec<OwnersDue> {
    let of = |rule: &crate::core::terms::Upkeep| {
        let due = assessment.dues.iter().find(|due| {
            due.upkeep == rule.key
                && matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late)
        })?;
        Some(OwnersDue {
            services: rule.services.clone(),
            by: rule.by,
            opens: due.opens,
            due: due.due,
            closes: due.closes,
            due_km: due.due_km,
            status: due.status,
        })
    };
    let mut next: Vec<OwnersDue> = case.terms.upkeep.iter().filter_map(of).collect();
    next.sort_by_key(|due| (due.due, due.closes));
    next
}
