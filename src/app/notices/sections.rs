//! What notices say that are not about a due, and whether they still hold.

use chrono::{DateTime, NaiveDateTime, Utc};
use chrono_tz::Tz;

use super::letters;
use super::occasions::panels_out;
use super::plan::zone_of;
use crate::app::assessments::{Case, cases};
use crate::app::{App, Error, shops};
use crate::core::assess::{Assessment, State};
use crate::core::calendar::{Day, local_day};
use crate::core::ids::{AppointmentId, JobId, VehicleId, WarrantyId};
use crate::core::notices::{About, Because, Change};
use crate::core::vehicle_events::Happened;
use crate::core::words::{AppointmentState, Season, Surface};
use crate::db::customers::CustomerRow;
use crate::db::{self, Conn, Shop, appointments, jobs, vehicle_events, vehicles, visits, warranties};
use crate::mail::said::{
    AftercareText, BookedText, ChangedText, EndingText, FirstLookText, SeasonText, Section, WashFromText,
};

/// After so many days "you may wash" is no news.
const WASH_NEWS: i64 = 21;
/// After so many days from a handover nobody comes for a first look.
const FIRST_LOOK_LAST: i64 = 60;
/// After so many days a season has begun.
const SEASON_NEWS: i64 = 30;

/// What a notice says now, or why it is not said.
pub(super) enum Said {
    /// This.
    Holds(Section),
    /// It is no longer so.
    Stale(&'static str),
}

const OTHER_OWNER: Said = Said::Stale("the vehicle has another owner now");
const GONE: Said = Said::Stale("the warranty no longer stands");

/// Somebody who is told something about a vehicle at an instant.
struct Telling<'a> {
    app: &'a App,
    shop: &'a Shop,
    vehicle: VehicleId,
    title: String,
    zone: Tz,
    at: DateTime<Utc>,
}

impl Telling<'_> {
    fn today(&self) -> Day {
        local_day(self.at, self.zone)
    }

    fn local(&self, at: DateTime<Utc>) -> NaiveDateTime {
        at.with_timezone(&self.zone).naive_local()
    }
}

/// What a notice to a vehicle's owner says as of an instant. Dues and records are told by their own functions.
pub(super) fn said(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    vehicle: VehicleId,
    about: &About,
    at: DateTime<Utc>,
) -> Result<Said, Error> {
    if vehicles::owner(conn, shop, vehicle)? != Some(customer.id) {
        return Ok(OTHER_OWNER);
    }
    let title = letters::vehicle_title(conn, shop, vehicle)?;
    let zone = zone_of(&customer.time_zone, Tz::UTC);
    let telling = Telling { app, shop, vehicle, title, zone, at };
    match about {
        About::Due(_) | About::Record(_) | About::Link(_) => {
            Err(db::Error::Other("dues, records and links are told otherwise".into()).into())
        }
        About::Aftercare { job, first_water, first_wash, full_cure } => {
            aftercare(conn, telling, *job, [*first_water, *first_wash, *full_cure])
        }
        About::WashFrom { job, from } => wash_from(conn, telling, *job, *from),
        About::FirstLook(job) => first_look(conn, telling, *job),
        About::Booked { appointment, at, again } => booked(conn, telling, *appointment, *at, *again),
        About::Season { season, begins } => season_of(conn, telling, *season, *begins),
        About::Ending { warranty, last_day } => ending(conn, telling, *warranty, *last_day),
        About::Changed { warranty, because, on, change } => {
            changed(conn, telling, *warranty, *because, *on, change)
        }
    }
}

fn handed_over_on(conn: &mut Conn, shop: &Shop, job: JobId) -> Result<Day, Error> {
    let row = jobs::find(conn, shop, job)?;
    Ok(row.handed_over.map(|(on, _)| on).ok_or(db::Error::NotFound)?.into())
}

fn aftercare(
    conn: &mut Conn,
    telling: Telling<'_>,
    job: JobId,
    [first_water, first_wash, full_cure]: [Option<DateTime<Utc>>; 3],
) -> Result<Said, Error> {
    let on = handed_over_on(conn, telling.shop, job)?;
    if full_cure.is_some_and(|cured| cured <= telling.at) {
        return Ok(Said::Stale("what it asks to wait for is over"));
    }
    let products = letters::products_of(conn, telling.shop, job)?;
    // A day is said from whose beginning on it is safe.
    let whole_day = |at: DateTime<Utc>| {
        let day = local_day(at, telling.zone);
        if telling.local(at).time() == chrono::NaiveTime::MIN { day } else { day.plus_days(1) }
    };
    Ok(Said::Holds(Section::Aftercare(AftercareText {
        keep_dry_until: first_water.map(|at| telling.local(at)),
        takes_water: first_water.is_some_and(|at| at <= telling.at),
        first_wash: first_wash.map(whole_day),
        full_cure: full_cure.map(whole_day),
        vehicle: telling.title,
        on,
        products,
    })))
}

fn wash_from(conn: &mut Conn, telling: Telling<'_>, job: JobId, from: Day) -> Result<Said, Error> {
    if (telling.today().date() - from.date()).num_days() > WASH_NEWS {
        return Ok(Said::Stale("it is no news any more"));
    }
    let handed_over = handed_over_on(conn, telling.shop, job)?;
    Ok(Said::Holds(Section::WashFrom(WashFromText { vehicle: telling.title, from, handed_over })))
}

fn first_look(conn: &mut Conn, telling: Telling<'_>, job: JobId) -> Result<Said, Error> {
    let handed_over = handed_over_on(conn, telling.shop, job)?;
    if !shops::settings(conn, telling.app, telling.shop)?.first_look {
        return Ok(Said::Stale("the shop does not offer it any more"));
    }
    if (telling.today().date() - handed_over.date()).num_days() > FIRST_LOOK_LAST {
        return Ok(Said::Stale("it is too late for a first look"));
    }
    let seen = visits::list(conn, telling.shop, Some(telling.vehicle), None, 50)?;
    if seen.iter().any(|visit| visit.done_by.is_none() && visit.on > handed_over.date()) {
        return Ok(Said::Stale("the vehicle has been here since"));
    }
    if appointments::coming(conn, telling.shop, telling.vehicle, telling.at)? {
        return Ok(Said::Stale("the owner has booked"));
    }
    Ok(Said::Holds(Section::FirstLook(FirstLookText { vehicle: telling.title, handed_over })))
}

fn booked(
    conn: &mut Conn,
    telling: Telling<'_>,
    appointment: AppointmentId,
    at: DateTime<Utc>,
    again: bool,
) -> Result<Said, Error> {
    let row = appointments::find(conn, telling.shop, appointment)?;
    if row.state != AppointmentState::Booked {
        return Ok(Said::Stale("the appointment no longer stands"));
    }
    if row.at != at {
        return Ok(Said::Stale("the appointment was moved"));
    }
    if row.at <= telling.at {
        return Ok(Said::Stale("the booked day is over"));
    }
    let mut services: Vec<String> = Vec::new();
    for served in appointments::dues(conn, telling.shop, row.id)? {
        let warranty = warranties::find(conn, telling.shop, served.warranty)?;
        let terms = Case::load(conn, telling.shop, warranty)?.terms;
        // Of several services that meet a due, the first is the usual one.
        let rule = terms.upkeep.iter().find(|rule| rule.key == served.upkeep);
        services.extend(rule.and_then(|rule| rule.services.first().cloned()));
    }
    services.sort_unstable();
    services.dedup();
    let settings = shops::settings(conn, telling.app, telling.shop)?;
    // A booked hour is the shop's: there the vehicle is to be.
    let there = row.at.with_timezone(&shops::zone(conn, telling.app, telling.shop)?).naive_local();
    Ok(Said::Holds(Section::Booked(BookedText {
        vehicle: telling.title,
        on: there.date().into(),
        at: Some(there.time()),
        services,
        place: settings.address,
        again,
    })))
}

fn season_of(conn: &mut Conn, telling: Telling<'_>, season: Season, begins: Day) -> Result<Said, Error> {
    if (telling.today().date() - begins.date()).num_days() > SEASON_NEWS {
        return Ok(Said::Stale("the season has begun"));
    }
    let standing = standing(conn, &telling)?;
    if standing.is_empty() {
        return Ok(Said::Stale("nothing of the vehicle is covered any more"));
    }
    let next = standing.iter().flat_map(|(case, assessment)| letters::next(case, assessment)).collect();
    Ok(Said::Holds(Section::Season(SeasonText { vehicle: telling.title, season, on: begins, next })))
}

/// The warranties of the vehicle under which something is covered, with their verdicts as of today.
fn standing(conn: &mut Conn, telling: &Telling<'_>) -> Result<Vec<(Case, Assessment)>, Error> {
    let judged = |case: Case| {
        let assessment =
            case.assessment(&case.verdict(local_day(telling.at, case.row.time_zone).date(), None));
        (case, assessment)
    };
    let all = cases(conn, telling.shop, telling.vehicle)?.into_iter().map(judged);
    Ok(all.filter(|(_, assessment)| assessment.cover.values().any(|one| one.state != State::Ended)).collect())
}

fn ending(conn: &mut Conn, telling: Telling<'_>, warranty: WarrantyId, last_day: Day) -> Result<Said, Error> {
    let standing = standing(conn, &telling)?;
    let Some((case, assessment)) = standing.iter().find(|(case, _)| case.row.id == warranty) else {
        return Ok(GONE);
    };
    Ok(match ending_section(case, assessment, &telling.title, last_day) {
        Some(section) => Said::Holds(section),
        None => Said::Stale("that cover ends on another day now"),
    })
}

/// What is said of cover that ends on a day; none where none does.
pub(super) fn ending_section(
    case: &Case,
    assessment: &Assessment,
    vehicle: &str,
    last_day: Day,
) -> Option<Section> {
    let (ending, still): (Vec<_>, Vec<_>) =
        letters::cover(case, assessment).into_iter().partition(|cover| cover.last_day == last_day);
    let warranty = case.row.number.to_string();
    let vehicle = vehicle.to_owned();
    (!ending.is_empty()).then_some(Section::Ending(EndingText { vehicle, warranty, ending, still }))
}

fn changed(
    conn: &mut Conn,
    telling: Telling<'_>,
    warranty: Option<WarrantyId>,
    because: Because,
    on: Day,
    change: &Change,
) -> Result<Said, Error> {
    let standing = standing(conn, &telling)?;
    let events = vehicle_events::of_vehicle(conn, telling.shop, telling.vehicle)?;
    let cause = match because {
        Because::Event(id) => events.iter().find(|row| row.event.id == id).map(|row| &row.event),
        Because::Batch(_) => None,
    };
    if events
        .iter()
        .filter_map(|row| row.event.happened.retracts())
        .any(|id| cause.is_some_and(|cause| cause.id == id))
    {
        return Ok(Said::Stale("what it tells of was entered by mistake"));
    }
    let named = match warranty {
        Some(id) => Some(warranties::find(conn, telling.shop, id)?),
        None => None,
    };
    if named.as_ref().is_some_and(|row| row.voided.is_some()) {
        return Ok(GONE);
    }
    let of = standing.iter().find(|(case, _)| warranty.is_none_or(|id| case.row.id == id));
    let mut why = None;
    if let (Some(row), false) = (&named, matches!(change, Change::Recalled { .. })) {
        let case = Case::load(conn, telling.shop, row.clone())?;
        let now = case.assessment(&case.verdict(local_day(telling.at, row.time_zone).date(), None));
        if !still_so(change, &now) {
            return Ok(Said::Stale("cover has changed since"));
        }
        if let Change::OnHold { surfaces } | Change::Ended { surfaces } = change {
            let answer = surfaces.first().and_then(|surface| now.cover.get(surface.as_str()));
            let events = events.iter().map(|row| &row.event);
            why = answer.and_then(|answer| answer.why(&case.terms, &now.dues, events));
        }
    }
    let brought_back_by = match (change, cause.map(|cause| &cause.happened)) {
        (Change::BackInForce { .. }, Some(Happened::Service { service, .. })) => Some(service.clone()),
        _ => None,
    };
    let number = named.map(|row| row.number.to_string());
    let number = number.or_else(|| of.map(|(case, _)| case.row.number.to_string()));
    Ok(Said::Holds(Section::Changed(ChangedText {
        vehicle: telling.title,
        warranty: number.unwrap_or_default(),
        on,
        change: change.clone(),
        why: why.map(Box::new),
        brought_back_by,
        cover: of.map(|(case, assessment)| letters::cover(case, assessment)).unwrap_or_default(),
    })))
}

/// Whether a change of cover is what a verdict says.
fn still_so(change: &Change, now: &Assessment) -> bool {
    let all = |surfaces: &[Surface], state: State| {
        surfaces.iter().all(|one| now.cover.get(&one.to_string()).is_some_and(|cover| cover.state == state))
    };
    let out = |surface: &Surface, panel| panels_out(now).contains(&(*surface, Clone::clone(panel)));
    match change {
        Change::OnHold { surfaces } => all(surfaces, State::Suspended),
        Change::BackInForce { surfaces } => all(surfaces, State::InForce),
        Change::Ended { surfaces } => all(surfaces, State::Ended),
        Change::PanelOut { surface, panel } => out(surface, panel),
        Change::PanelBack { surface, panel } => !out(surface, panel),
        Change::Transferred { .. } | Change::Recalled { .. } => true,
    }
}
