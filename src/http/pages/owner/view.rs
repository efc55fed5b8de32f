//! The owner's page as its template shows it: every value in words of the owner's language.

use std::collections::BTreeMap;

use askama::Template;
use serde_json::Value;

use crate::app::owner_page::{
    Done, OwnerPage, OwnersBooking, OwnersCover, OwnersDue, OwnersVehicle, OwnersWarranty, What,
};
use crate::core::assess::{DueStatus, State};
use crate::core::calendar::Day;
use crate::core::ids::VehicleId;
use crate::core::reports::MOST_PHOTOS;
use crate::core::terms::Rank;
use crate::core::words::{DoneBy, OdometerUnit, Panel};
use crate::http::error::Problem;
use crate::http::pages::forms::Form;
use crate::language::{Language, said};

/// The page.
#[derive(Template)]
#[template(path = "owner.html", config = "src/http/pages/askama.toml")]
pub(super) struct Sheet {
    l: Language,
    drill: bool,
    base: String,
    shop: String,
    contact: Vec<(&'static str, String, Option<String>)>,
    title: String,
    heading: String,
    for_whom: String,
    /// What was just done.
    said: Option<String>,
    vehicles: Vec<Vehicle>,
    none: String,
    has_email: bool,
    /// Which mails there are, and whether each is wanted.
    mails: [(&'static str, String, bool); 2],
    languages: Vec<(&'static str, &'static str, bool)>,
    choices_fault: Option<String>,
}

struct Vehicle {
    place: usize,
    action: String,
    title: String,
    plate: Option<String>,
    warranties: Vec<Warranty>,
    next: Vec<Next>,
    bookings: Vec<String>,
    history: Vec<(String, String)>,
    services: Vec<(String, String)>,
    own_services: Vec<(String, String)>,
    wash_about: String,
    unit: String,
    last_reading: Option<String>,
    photos_label: String,
    booking: Filled,
    wash: Filled,
    problem: Filled,
    sold: Filled,
    today: String,
}

struct Warranty {
    heading: String,
    certificate: String,
    verify: String,
    cover: Vec<Cover>,
}

struct Cover {
    surface: String,
    class: &'static str,
    state: String,
    until: String,
    lines: Vec<String>,
}

struct Next {
    what: String,
    class: &'static str,
    lines: Vec<String>,
}

/// A form with what was entered in it, and what is wrong with that.
#[derive(Default)]
pub(super) struct Filled {
    open: bool,
    form: Form,
    faults: BTreeMap<String, String>,
}

impl Filled {
    /// What was entered in a field.
    fn value(&self, name: &str) -> String {
        self.form.text(name).unwrap_or_default()
    }

    /// The same, or else.
    fn value_or(&self, name: &str, usual: &str) -> String {
        self.form.text(name).unwrap_or_else(|| usual.to_owned())
    }

    /// Whether a box with this value is ticked.
    fn has(&self, name: &str, value: &str) -> bool {
        self.form.all(name).iter().any(|one| one == value)
    }

    /// What is wrong with a field.
    fn fault(&self, pointer: &str) -> Option<&str> {
        self.faults.get(pointer).map(String::as_str)
    }
}

/// A form that came back: which, what was entered, and what is wrong.
pub(super) struct Entered {
    vehicle: Option<VehicleId>,
    of: Option<&'static str>,
    form: std::cell::RefCell<Form>,
    errors: Vec<Value>,
    previous: Option<Value>,
}

impl Entered {
    /// What was sent, and why it was not taken.
    pub(super) fn of(
        vehicle: Option<VehicleId>,
        of: Option<&'static str>,
        form: Form,
        problem: &Problem,
    ) -> Self {
        let previous = problem.more.get("previous").cloned();
        Self { vehicle, of, form: form.into(), errors: problem.errors.clone(), previous }
    }

    fn faults(&self, l: Language) -> BTreeMap<String, String> {
        let mut faults = BTreeMap::new();
        for error in &self.errors {
            let pointer = error["pointer"].as_str().unwrap_or_default();
            let pointer = pointer.strip_suffix("/value").unwrap_or(pointer);
            // A list is told of where it stands.
            let place = if pointer.starts_with("/services") { "/services" } else { pointer };
            let told = in_words(l, error, self.previous.as_ref());
            faults.entry(place.to_owned()).or_insert(told);
        }
        faults
    }
}

/// What is wrong with a field, in the owner's language.
pub(in crate::http::pages) fn in_words(l: Language, error: &Value, previous: Option<&Value>) -> String {
    let code = error["code"].as_str().unwrap_or_default();
    let before = previous.and_then(|previous| {
        let day: Day = previous["on"].as_str()?.parse().ok()?;
        let read = &previous["odometer"];
        let unit: OdometerUnit = read["unit"].as_str()?.parse().ok()?;
        Some((l.date(day), l.distance(u32::try_from(read["value"].as_u64()?).ok()?, unit)))
    });
    match (code, before) {
        ("odometer_implausible", Some((day, reading))) => {
            l.say("page-fault-odometer-implausible", &said!["day" => day, "reading" => reading])
        }
        (
            "required" | "empty" | "in_the_future" | "in_the_past" | "too_long_ago" | "too_far_ahead"
            | "not_a_day" | "not_a_number" | "before_yours" | "already_noted" | "odometer_too_large"
            | "too_long" | "no_email" | "too_many" | "too_large" | "not_a_picture" | "heic"
            | "too_many_notes" | "unknown_service",
            _,
        ) => l.word(&format!("page-fault-{}", code.replace('_', "-"))),
        _ if error["pointer"].as_str().is_some_and(|at| at.ends_with("email")) => l.word("page-fault-email"),
        (_, Some((day, reading))) => {
            l.say("page-fault-odometer-implausible", &said!["day" => day, "reading" => reading])
        }
        _ => l.word("page-fault-other"),
    }
}

/// The page as its template shows it.
pub(super) fn sheet(
    l: Language,
    drill: bool,
    token: &str,
    page: &OwnerPage,
    done: Option<&str>,
    entered: Option<&Entered>,
) -> Sheet {
    let base = format!("/my/{token}");
    let shop = page.shop.name.clone();
    let vehicles: Vec<Vehicle> = page
        .vehicles
        .iter()
        .enumerate()
        .map(|(i, one)| vehicle(l, &base, page, i + 1, one, entered))
        .collect();
    let title = match vehicles.as_slice() {
        [one] => one.title.clone(),
        _ => l.word("page-my-title"),
    };
    let telephone = |number: &String| {
        let digits: String = number.chars().filter(|sign| sign.is_ascii_digit() || *sign == '+').collect();
        ("phone", number.clone(), Some(format!("tel:{digits}")))
    };
    let mut contact: Vec<_> = page.shop.phone.iter().map(telephone).collect();
    let mail = |email: &String| ("email", email.clone(), Some(format!("mailto:{email}")));
    contact.extend(page.shop.email.iter().map(mail));
    contact.extend(page.shop.address.iter().map(|address| ("address", address.clone(), None)));
    let chosen = Language::best([page.language.as_str(), page.shop.language.as_str()]);
    let of_choices = entered.filter(|entered| entered.vehicle.is_none());
    Sheet {
        said: done.map(|done| l.say(&format!("page-said-{done}"), &said!["shop" => &shop])),
        for_whom: l.say("page-my-for", &said!["name" => &page.name]),
        none: l.say("page-my-none", &said!["shop" => &shop]),
        choices_fault: of_choices.and_then(|entered| entered.faults(l).into_values().next()),
        heading: l.word(if page.vehicles.len() == 1 { "page-my-one" } else { "page-my-title" }),
        languages: Language::ALL.iter().map(|one| (one.as_str(), own_name(*one), *one == chosen)).collect(),
        has_email: page.has_email,
        mails: [
            ("upkeep", l.word("page-field-upkeep"), page.wants_upkeep),
            ("history", l.word("page-field-history"), page.wants_history),
        ],
        l,
        drill,
        base,
        shop,
        contact,
        title,
        vehicles,
    }
}

/// What a language calls itself.
const fn own_name(language: Language) -> &'static str {
    match language {
        Language::English => "English",
        Language::German => "Deutsch",
        Language::Spanish => "Español",
        Language::French => "Français",
        Language::Portuguese => "Português",
    }
}

fn vehicle(
    l: Language,
    base: &str,
    page: &OwnerPage,
    place: usize,
    one: &OwnersVehicle,
    entered: Option<&Entered>,
) -> Vehicle {
    let filled = |of: &str| match entered {
        Some(entered) if entered.vehicle == Some(one.id) && entered.of == Some(of) => {
            Filled { open: true, faults: entered.faults(l), form: entered.form.take() }
        }
        _ => Filled::default(),
    };
    let named = |services: &[String]| {
        services.iter().map(|service| (service.clone(), l.capital(&l.service(service)))).collect()
    };
    let own: Vec<String> = one.own_services.iter().map(|service| l.service(service)).collect();
    let wash_about = if own.is_empty() {
        l.word("page-wash-noted-about")
    } else {
        l.say("page-wash-counts-about", &said!["services" => l.all_of(&own)])
    };
    let mut own_services = one.own_services.clone();
    if !own_services.iter().any(|service| service == "maintenance wash") {
        own_services.insert(0, "maintenance wash".into());
    }
    let last_reading = one.last_reading.map(|(day, read)| {
        let reading = l.distance(read.value, read.unit);
        l.say("page-last-reading", &said!["reading" => reading, "day" => l.date(day)])
    });
    let next = one.warranties.iter().flat_map(|warranty| &warranty.next).map(|due| next(l, due));
    Vehicle {
        place,
        action: format!("{base}/vehicles/{}", one.id),
        title: one.title.clone(),
        plate: one.plate.clone().filter(|plate| *plate != one.title),
        warranties: one.warranties.iter().map(|one| warranty(l, base, one)).collect(),
        next: next.collect(),
        bookings: one.bookings.iter().map(|booking| booked(l, page, booking)).collect(),
        history: one.history.iter().map(|done| (l.date(done.on), what(l, done))).collect(),
        services: named(&one.services),
        own_services: named(&own_services),
        wash_about,
        unit: match one.odometer_unit {
            OdometerUnit::Km => l.word("page-field-odometer-km"),
            OdometerUnit::Mi => l.word("page-field-odometer-mi"),
        },
        last_reading,
        photos_label: l.say("page-field-photos", &said!["count" => MOST_PHOTOS]),
        booking: filled("booking"),
        wash: filled("wash"),
        problem: filled("problem"),
        sold: filled("sold"),
        today: page.today.to_string(),
    }
}

fn booked(l: Language, page: &OwnerPage, booking: &OwnersBooking) -> String {
    l.say("page-booked-at", &said!["when" => l.moment(booking.at), "shop" => &page.shop.name])
}

fn warranty(l: Language, base: &str, one: &OwnersWarranty) -> Warranty {
    let said = said!["number" => &one.number, "terms" => &one.terms];
    Warranty {
        heading: l.say("page-warranty", &said),
        certificate: format!("{base}/warranties/{}/certificate.pdf", one.number),
        verify: format!("/verify/{}", one.verify_code),
        cover: one.cover.iter().map(|one| cover(l, one)).collect(),
    }
}

fn cover(l: Language, one: &OwnersCover) -> Cover {
    let (class, state) = match one.state {
        State::InForce => ("good", "page-in-force"),
        State::NotBegun => ("wait", "page-not-begun"),
        State::Suspended => ("hold", "page-on-hold"),
        State::Ended => ("over", "page-ended"),
    };
    let (from, last) = (l.date(one.from), l.date(one.last_day));
    let until = match (one.state, one.up_to_km) {
        (State::Ended, _) => l.say("page-last-day", &said!["day" => last]),
        (State::NotBegun, _) => l.say("page-from-until", &said!["from" => from, "day" => last]),
        (_, Some(limit)) => {
            l.say("page-until-km", &said!["day" => last, "km" => l.distance(limit, OdometerUnit::Km)])
        }
        (_, None) => l.say("page-until", &said!["day" => last]),
    };
    let mut lines: Vec<String> = one.why.iter().flat_map(|why| l.why(why)).collect();
    if !one.panels.is_empty() {
        lines.push(l.capital(&l.panels(&one.panels)));
    }
    if !one.out.is_empty() {
        let out = one
            .out
            .iter()
            .map(|panel| panel.parse::<Panel>().map_or_else(|_| panel.clone(), |panel| l.panel(&panel)));
        lines.push(l.say("page-out", &said!["panels" => l.all_of(&out.collect::<Vec<_>>())]));
    }
    Cover { surface: l.capital(&l.surface(&one.surface)), class, state: l.word(state), until, lines }
}

fn next(l: Language, due: &OwnersDue) -> Next {
    let services = l.capital(&l.any_service(&due.services));
    let what = l.say("page-due", &said!["services" => services, "day" => l.date(due.due)]);
    let (opens, closes) = (l.date(due.opens), l.date(due.closes));
    let (class, window) = match due.status {
        DueStatus::Open => ("open", l.say("page-due-open", &said!["closes" => closes])),
        DueStatus::Late => ("late", l.say("page-due-late", &said!["closes" => closes])),
        _ => ("ahead", l.say("page-due-ahead", &said!["opens" => opens, "closes" => closes])),
    };
    let mut lines = vec![window];
    lines.extend(
        due.due_km.map(|limit| l.say("page-due-km", &said!["km" => l.distance(limit, OdometerUnit::Km)])),
    );
    lines.push(l.word(match due.by {
        Rank::Owner => "page-by-owner",
        Rank::Shop => "page-by-shop",
        Rank::Accredited => "page-by-accredited",
    }));
    Next { what, class, lines }
}

fn what(l: Language, done: &Done) -> String {
    match &done.what {
        What::Job { number, surfaces } if surfaces.is_empty() => {
            l.say("page-done-job", &said!["number" => number])
        }
        What::Job { number, surfaces } => {
            l.say("page-done-coated", &said!["surfaces" => l.surfaces(surfaces), "number" => number])
        }
        What::Services { services, undone, by } => {
            let all = |services: &[String]| {
                l.all_of(&services.iter().map(|service| l.service(service)).collect::<Vec<_>>())
            };
            if services.is_empty() {
                return l.say("page-done-not", &said!["services" => l.capital(&all(undone))]);
            }
            let services = l.capital(&all(services));
            match by {
                DoneBy::Shop => services,
                DoneBy::OtherShop => l.say("page-done-elsewhere", &said!["services" => services]),
                DoneBy::Owner => l.say("page-done-yourself", &said!["services" => services]),
            }
        }
        What::Repair { panel } => l.say("page-done-repair", &said!["panel" => l.panel(panel)]),
        What::Recoat { panel } => l.say("page-done-recoat", &said!["panel" => l.panel(panel)]),
    }
}
