//! What an owner does on their page: choices, a wish to come, an own wash, a problem, and that the vehicle is sold.

use serde::{Deserialize, Serialize};

use super::authors::Author;
use super::odometer::OdometerInput;
use super::owner_links::{Held, held, make_binding};
use super::owner_page::services_of;
use super::reports::{take, take_with_photos, text_fault};
use super::visits::{self, ServiceInput, VisitInput};
use super::{App, Error, assessments, notices, vehicles as vehicle_cases, wanted_text};
use crate::core::assess::EffectKind;
use crate::core::calendar::{Day, local_day};
use crate::core::email::Email;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{EventId, VehicleId};
use crate::core::pictures::Picture;
use crate::core::reports::{Booking, LONGEST_TEXT, MOST_PHOTOS, ReportedProblem, Sold, Told};
use crate::core::vehicle_events::{Elsewhere, Happened};
use crate::core::words::{DoneBy, LinkPurpose};
use crate::db::{Conn, Shop, agenda, customers, links, vehicle_events, vehicles};

/// The most days that can be wished for at once.
pub const MOST_DAYS: usize = 3;

/// So many links that bind a customer can have made within an hour: each is a mail.
const MOST_BINDING: i64 = 5;

/// Which language and which mails an owner wants.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnersChoices {
    /// BCP 47 language of mails and pages.
    pub language: String,
    /// Mails about what falls due.
    pub upkeep: bool,
    /// The history after handover and each visit.
    pub history: bool,
}

/// An owner wants to come.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BookingWish {
    /// The days that would suit, best first; up to three.
    pub days: Vec<Day>,
    /// For what.
    #[serde(default)]
    pub services: Vec<String>,
    /// What else there is to say.
    #[serde(default)]
    pub text: Option<String>,
}

/// An owner washed the vehicle.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnWash {
    /// The day; not after today.
    pub on: Day,
    /// Which service of the terms it was; a maintenance wash unless given.
    #[serde(default)]
    pub service: Option<String>,
    /// What the odometer shows.
    #[serde(default)]
    pub odometer: Option<OdometerInput>,
}

/// What an own wash came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WashCounts {
    /// It meets what was due, or makes good what was missed.
    Counts,
    /// It is on record; nothing that is due asks for it, or not from an owner.
    Noted,
}

/// An owner says that the vehicle is sold.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SoldWish {
    /// The day of the sale; not after today.
    pub on: Day,
    /// Who bought it.
    #[serde(default)]
    pub buyer: Option<String>,
    /// How the buyer is reached.
    #[serde(default)]
    pub buyer_email: Option<String>,
}

/// What is wrong with a day of an owner's telling on which the vehicle was not theirs yet.
fn before_theirs(conn: &mut Conn, shop: &Shop, vehicle: VehicleId, on: Day) -> Result<Option<Fault>, Error> {
    let owned = vehicles::owned(conn, shop, vehicle)?.filter(|owned| on.date() < owned.from);
    Ok(owned.map(|owned| {
        let detail = format!("{on} is before {}, from when the vehicle is yours", owned.from);
        Fault::new("/on", "before_yours", detail)
    }))
}

/// Keeps which language and which mails an owner wants.
pub fn choose(app: &App, token: &str, choices: OwnersChoices) -> Result<(), Error> {
    let (app_in, token) = (app.clone(), token.to_owned());
    app.db.write(move |tx| {
        let Held { shop, mut customer, .. } = held(tx, &app_in, &token, LinkPurpose::Owner)?;
        all_clear(wanted_text("/language", &choices.language, 35).into_iter().collect())?;
        (customer.mail_upkeep, customer.mail_history) = (choices.upkeep, choices.history);
        customer.language = choices.language;
        if !customers::change(tx, &shop, &customer)? {
            return Err(Rule::Stale.into());
        }
        Ok(agenda::plan_customer(tx, &shop, customer.id)?)
    })
}

/// Puts down that an owner wants to come: a task for the desk.
pub fn wish_booking(app: &App, token: &str, vehicle: VehicleId, wish: BookingWish) -> Result<(), Error> {
    let (app_in, token, now) = (app.clone(), token.to_owned(), app.now());
    app.db.write(move |tx| {
        let held = held(tx, &app_in, &token, LinkPurpose::Owner)?;
        let vehicle = held.vehicle(tx, vehicle)?;
        let author = held.author(tx, &app_in)?;
        let today: Day = author.day(now).into();
        let mut faults: Vec<Fault> = text_fault(wish.text.as_deref()).into_iter().collect();
        if wish.days.is_empty() {
            faults.push(Fault::new("/days/0", "required", "at least one day is needed"));
        }
        if wish.days.len() > MOST_DAYS {
            let detail = format!("{} days; allowed are 1 to {MOST_DAYS}", wish.days.len());
            faults.push(Fault::new("/days", "too_many", detail));
        }
        for (i, day) in wish.days.iter().enumerate() {
            let place = format!("/days/{i}");
            if *day < today {
                faults.push(Fault::new(place, "in_the_past", format!("{day} is over; today is {today}")));
            } else if *day > today.plus_days(366) {
                faults.push(Fault::new(place, "too_far_ahead", format!("{day} is more than a year ahead")));
            }
        }
        let (known, _) = services_of(&assessments::cases(tx, &held.shop, vehicle)?);
        for (i, service) in wish.services.iter().enumerate().filter(|(_, named)| !known.contains(named)) {
            let detail = format!("{service:?} cannot be asked for; known are {}", known.join(", "));
            faults.push(Fault::new(format!("/services/{i}"), "unknown_service", detail));
        }
        all_clear(faults)?;
        let told = Told::Booking(Booking { days: wish.days, services: wish.services, text: wish.text });
        take(tx, &author, vehicle, told, &[], now)
    })
}

/// Enters what an owner did themselves, as a service by the owner: it counts where the terms let owners do it.
pub fn wash(app: &App, token: &str, vehicle: VehicleId, wash: OwnWash) -> Result<WashCounts, Error> {
    let (app_in, token, now) = (app.clone(), token.to_owned(), app.now());
    app.db.write(move |tx| {
        let held = held(tx, &app_in, &token, LinkPurpose::Owner)?;
        let (shop, vehicle) = (held.shop, held.vehicle(tx, vehicle)?);
        vehicle_events::lock(tx, &shop, vehicle)?;
        let author = held.author(tx, &app_in)?;
        let service = wash.service.clone().unwrap_or_else(|| "maintenance wash".into());
        let (_, own) = services_of(&assessments::cases(tx, &shop, vehicle)?);
        let mut faults = Vec::new();
        if service != "maintenance wash" && !own.contains(&service) {
            let detail = format!("{service:?} is nothing that the terms let owners do themselves");
            faults.push(Fault::new("/service", "unknown_service", detail));
        }
        faults.extend(before_theirs(tx, &shop, vehicle, wash.on)?);
        let events = vehicle_events::of_vehicle(tx, &shop, vehicle)?;
        let gone: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
        let same = events.iter().any(|row| {
            let by_owner = matches!(&row.event.happened, Happened::Service { service: done, done_by: DoneBy::Owner, .. } if *done == service);
            by_owner && row.event.on == wash.on.date() && !gone.contains(&row.event.id)
        });
        if same {
            let detail = format!("a {service} on {} is on record already", wash.on);
            faults.push(Fault::new("/on", "already_noted", detail));
        }
        all_clear(faults)?;
        let proof = "Told by the owner, by their link.".to_owned();
        let input = VisitInput {
            vehicle_id: vehicle,
            on: wash.on,
            odometer: wash.odometer,
            services: vec![ServiceInput::of(service)],
            note: None,
            done_by: Some(Elsewhere { kind: DoneBy::Owner, name: None, proof }),
        };
        let (_, entered) = visits::enter(tx, &app_in, &author, input, now)?;
        let counts = entered.cases.iter().any(|case| {
            let verdict = case.verdict(local_day(now, case.row.time_zone).date(), None);
            let effects = entered.events.iter().flat_map(|row| case.effects(&verdict, &row.event.id.to_string()));
            effects.into_iter().any(|effect| effect.effect != EffectKind::None)
        });
        Ok(if counts { WashCounts::Counts } else { WashCounts::Noted })
    })
}

/// Puts down that something is wrong, with photos: a task for the desk.
pub fn report_problem(
    app: &App,
    token: &str,
    vehicle: VehicleId,
    text: String,
    pictures: &[Picture],
) -> Result<(), Error> {
    app.db.read(|c| held(c, app, token, LinkPurpose::Owner)?.vehicle(c, vehicle))?;
    let mut faults: Vec<Fault> = wanted_text("/text", &text, LONGEST_TEXT).into_iter().collect();
    if pictures.len() > MOST_PHOTOS {
        let detail = format!("{} photos; allowed are up to {MOST_PHOTOS}", pictures.len());
        faults.push(Fault::new("/photos", "too_many", detail));
    }
    all_clear(faults)?;
    let (app_in, token) = (app.clone(), token.to_owned());
    let told = Told::Problem(ReportedProblem { text });
    take_with_photos(app, vehicle, &told, pictures, move |tx| -> Result<Author, Error> {
        let held = held(tx, &app_in, &token, LinkPurpose::Owner)?;
        held.vehicle(tx, vehicle)?;
        held.author(tx, &app_in)
    })
}

/// An owner says that the vehicle is sold. That binds: a link that works once, for ten minutes, goes to their own
/// address, and nothing is put down before it has been followed.
pub fn say_sold(app: &App, token: &str, vehicle: VehicleId, wish: SoldWish) -> Result<(), Error> {
    let (app_in, token, now) = (app.clone(), token.to_owned(), app.now());
    app.db.write(move |tx| {
        let held = held(tx, &app_in, &token, LinkPurpose::Owner)?;
        let (shop, vehicle) = (held.shop, held.vehicle(tx, vehicle)?);
        let today = held.author(tx, &app_in)?.day(now);
        let mut faults: Vec<Fault> =
            super::facts::day_fault("/on", wish.on.date(), today).into_iter().collect();
        faults.extend(before_theirs(tx, &shop, vehicle, wish.on)?);
        faults.extend(wish.buyer.as_deref().and_then(|name| wanted_text("/buyer", name, 200)));
        if let Some(Err(fault)) = wish.buyer_email.as_deref().map(str::parse::<Email>) {
            faults.push(fault.within("/buyer_email"));
        }
        if held.customer.email.is_none() {
            let detail = "no e-mail address of yours is known to send the link to";
            faults.push(Fault::new("", "no_email", detail));
        }
        let hour_ago = now - chrono::TimeDelta::hours(1);
        if links::made_since(tx, &shop, held.customer.id, LinkPurpose::Transfer, hour_ago)? >= MOST_BINDING {
            let detail = format!("{MOST_BINDING} such links were sent within the hour; wait for the next");
            faults.push(Fault::new("", "too_many", detail));
        }
        all_clear(faults)?;
        let says = Sold { on: wish.on, buyer: wish.buyer, buyer_email: wish.buyer_email };
        let url = make_binding(tx, &app_in, &shop, (held.customer.id, vehicle), says, now)?;
        notices::link(tx, &app_in, &shop, (held.customer.id, vehicle), LinkPurpose::Transfer, &url, now)
    })
}

/// What a link that binds is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Binding {
    /// The shop.
    pub shop: String,
    /// The language of whoever it was sent to, then the shop's.
    pub languages: [String; 2],
    /// The vehicle.
    pub vehicle: String,
    /// Its plate.
    pub plate: Option<String>,
    /// The day of the sale.
    pub on: Day,
    /// Who bought it.
    pub buyer: Option<String>,
    /// How the buyer is reached.
    pub buyer_email: Option<String>,
}

fn binding(conn: &mut Conn, app: &App, held: &Held) -> Result<(VehicleId, Sold, Binding), Error> {
    let vehicle = held.link.vehicle.ok_or(Rule::NotFound)?;
    let vehicle = held.vehicle(conn, vehicle)?;
    let says = held.link.says.clone().ok_or(Rule::NotFound)?;
    let row = vehicles::find(conn, &held.shop, vehicle)?;
    let settings = super::shops::settings(conn, app, &held.shop)?;
    let shown = Binding {
        shop: settings.name,
        languages: [held.customer.language.clone(), settings.language],
        vehicle: vehicle_cases::title(&row),
        plate: row.plate,
        on: says.on,
        buyer: says.buyer.clone(),
        buyer_email: says.buyer_email.clone(),
    };
    Ok((vehicle, says, shown))
}

/// What a link that binds would do. Nothing is done by looking.
pub fn find_binding(app: &App, token: &str) -> Result<Binding, Error> {
    app.db.read(|c| {
        let held = held(c, app, token, LinkPurpose::Transfer)?;
        binding(c, app, &held).map(|(.., shown)| shown)
    })
}

/// Does what a link binds to, once: the sale is told to the shop, on today. The desk confirms it.
pub fn bind(app: &App, token: &str) -> Result<Binding, Error> {
    let (app_in, token, now) = (app.clone(), token.to_owned(), app.now());
    app.db.write(move |tx| {
        let held = held(tx, &app_in, &token, LinkPurpose::Transfer)?;
        let (vehicle, says, shown) = binding(tx, &app_in, &held)?;
        // Of two who follow it at once one is first.
        if !links::use_up(tx, &held.shop, held.link.id, now)? {
            return Err(Rule::gone("link_used", "this link worked once, and has been used").into());
        }
        let author = held.author(tx, &app_in)?;
        take(tx, &author, vehicle, Told::Sold(says), &[], now)?;
        Ok(shown)
    })
}
