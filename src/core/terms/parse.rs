//! Reading terms: wrong shapes, names, sizes, and what goes with what.

mod upkeep;

use std::collections::BTreeSet;

use chrono::Weekday;
use serde_json::Value;

use self::upkeep::{consequence, upkeep};
use super::{Begins, Breach, Build, Consequence, Cover, Limit, Rank, Repair, Terms, Transfer, sanity};
use crate::core::calendar::{Day, Period, WorkingDays};
use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::ids::Code;
use crate::core::words::StepKind;

const RANKS: &[(&str, Rank)] =
    &[("owner", Rank::Owner), ("shop", Rank::Shop), ("accredited", Rank::Accredited)];
const WEEKDAYS: &[(&str, Weekday)] = &[
    ("mon", Weekday::Mon),
    ("tue", Weekday::Tue),
    ("wed", Weekday::Wed),
    ("thu", Weekday::Thu),
    ("fri", Weekday::Fri),
    ("sat", Weekday::Sat),
    ("sun", Weekday::Sun),
];
const MOST_RULES: usize = 100;
const MOST_SURFACES: usize = 50;
const MOST_HOLIDAYS: usize = 1_000;

type Faults = Vec<Fault>;

/// Reads a document, or answers everything that is wrong with it.
pub(super) fn terms(value: &Value) -> Result<Terms, Vec<Fault>> {
    let faults = &mut Vec::new();
    let Some(mut members) = Place::root(value).members(faults) else { return Err(std::mem::take(faults)) };
    if let Some(place) = members.need("terms", faults) {
        place.word(&[("lustrum-terms/1", ())], faults);
    }
    let code = members.need("code", faults).and_then(|place| code(&place, faults));
    let edition = members.need("edition", faults).and_then(|place| place.whole(1, 1_000_000, faults));
    let title = members.need("title", faults).and_then(|place| said(&place, faults));
    let issuer = members.get("issuer").and_then(|place| said(&place, faults));
    let cover = members.need("cover", faults).and_then(|place| cover(&place, faults)).unwrap_or_default();
    let upkeep = list(members.get("upkeep"), MOST_RULES, faults, upkeep);
    let breaches = list(members.get("breaches"), MOST_RULES, faults, breach);
    let transfer = members.get("transfer").and_then(|place| transfer(&place, faults));
    let repair = members.get("repair").and_then(|place| repair(&place, faults));
    let entry_within = members.get("entry_within").and_then(|place| place.period(faults));
    let working_days = working_days(&mut members, faults);
    let begins = members.get("begins").and_then(|place| begins(&place, faults));
    let build = list(members.get("build"), MOST_SURFACES, faults, build);
    let report_within = members.get("claims").and_then(|place| claims(&place, faults));
    let limits = members.get("limits").map(|place| limits(&place, faults)).unwrap_or_default();
    let upcoming_days = members.get("notices").and_then(|place| notices(&place, faults));
    let wording = members.get("wording").map(|place| {
        wording(&place, faults);
        place.value.clone()
    });
    members.finish(faults);
    let terms = Terms {
        code: code.unwrap_or_default(),
        edition: edition.and_then(|n| u32::try_from(n).ok()).unwrap_or(1),
        title: title.unwrap_or_default(),
        issuer,
        cover,
        upkeep: upkeep.iter().map(|(_, rule)| rule.clone()).collect(),
        breaches: breaches.iter().map(|(_, breach)| breach.clone()).collect(),
        transfer,
        repair: repair.unwrap_or(Repair { restores: true, recoat_within: None }),
        entry_within,
        working_days,
        begins: begins.unwrap_or(Begins { on_completion: false, after: Period::default() }),
        build: build.iter().map(|(_, build)| build.clone()).collect(),
        report_within,
        limits,
        upcoming_days,
        wording,
    };
    let places = sanity::Places {
        upkeep: upkeep.into_iter().map(|(pointer, _)| pointer).collect(),
        breaches: breaches.into_iter().map(|(pointer, _)| pointer).collect(),
        build: build.into_iter().map(|(pointer, _)| pointer).collect(),
    };
    sanity::check(&terms, &places, faults);
    if faults.is_empty() { Ok(terms) } else { Err(std::mem::take(faults)) }
}

/// The elements of a list that are objects, each with its place.
fn list<T>(
    place: Option<Place<'_>>,
    most: usize,
    faults: &mut Faults,
    read: impl Fn(&Place<'_>, &mut Faults) -> Option<T>,
) -> Vec<(String, T)> {
    let Some(place) = place else { return Vec::new() };
    let items = place.items(faults).unwrap_or_default();
    if items.len() > most {
        faults.push(place.fault("too_many", format!("{} are more than {most}", items.len())));
    }
    items.iter().filter_map(|item| Some((item.pointer.clone(), read(item, faults)?))).collect()
}

fn said(place: &Place<'_>, faults: &mut Faults) -> Option<String> {
    let text = place.text(faults)?;
    if text.trim().is_empty() {
        faults.push(place.fault("empty", "a text is needed here"));
        return None;
    }
    Some(text.to_owned())
}

fn code(place: &Place<'_>, faults: &mut Faults) -> Option<String> {
    let text = place.text(faults)?;
    match text.parse::<Code>() {
        Ok(code) => Some(code.as_str().to_owned()),
        Err(fault) => {
            faults.push(fault.within(&place.pointer));
            None
        }
    }
}

/// A key or a service: 1–60 lower-case letters, digits, blanks and hyphens, trimmed.
fn name(place: &Place<'_>, faults: &mut Faults) -> Option<String> {
    let text = place.text(faults)?;
    let allowed =
        |c: char| c.is_ascii_digit() || c == ' ' || c == '-' || (c.is_alphabetic() && c.is_lowercase());
    if (1..=60).contains(&text.chars().count()) && text.chars().all(allowed) && text.trim() == text {
        return Some(text.to_owned());
    }
    let allowed = "1 to 60 lower-case letters, digits, blanks and hyphens, without a blank at either end";
    faults.push(place.fault("bad_name", format!("{text:?}: allowed are {allowed}")));
    None
}

/// One name, or a list of at least one.
fn names(place: &Place<'_>, faults: &mut Faults) -> Option<Vec<String>> {
    if !place.value.is_array() {
        return Some(vec![name(place, faults)?]);
    }
    let items = place.items(faults)?;
    if items.is_empty() {
        faults.push(place.fault("empty", "a list of at least one is needed"));
        return None;
    }
    Some(items.iter().filter_map(|item| name(item, faults)).collect())
}

fn surfaces(members: &mut Members<'_>, faults: &mut Faults) -> Option<Vec<String>> {
    let items = members.get("surfaces")?.items(faults)?;
    Some(items.iter().map(|item| item.text(faults).unwrap_or_default().to_owned()).collect())
}

/// A period that is some time.
fn some_time(place: &Place<'_>, faults: &mut Faults) -> Option<Period> {
    let period = place.period(faults)?;
    if period.is_none() {
        faults.push(place.fault("period_zero", "a period of no time is no answer here"));
        return None;
    }
    Some(period)
}

fn count(place: &Place<'_>, from: i64, faults: &mut Faults) -> Option<u32> {
    place.whole(from, i64::from(u32::MAX), faults).and_then(|n| u32::try_from(n).ok())
}

fn cover(place: &Place<'_>, faults: &mut Faults) -> Option<Vec<Cover>> {
    let items = place.items(faults)?;
    if items.is_empty() {
        faults.push(place.fault("empty", "terms cover at least one surface"));
    }
    if items.len() > MOST_SURFACES {
        faults.push(place.fault("too_many", format!("{} are more than {MOST_SURFACES}", items.len())));
    }
    let mut seen = BTreeSet::new();
    let mut read = Vec::new();
    for item in items {
        let Some(mut members) = item.members(faults) else {
            read.push(Cover { surface: String::new(), lasts: Period::default(), up_to_km: None });
            continue;
        };
        let surface = members.need("surface", faults);
        let named = surface.as_ref().and_then(|place| said(place, faults));
        let lasts = members.need("lasts", faults).and_then(|place| some_time(&place, faults));
        let up_to_km = members.get("up_to_km").and_then(|place| count(&place, 1, faults));
        members.finish(faults);
        if let (Some(place), Some(surface)) = (surface, &named)
            && !seen.insert(surface.clone())
        {
            faults.push(place.fault("surface_twice", format!("{surface:?} is covered above already")));
        }
        let (surface, lasts) = (named.unwrap_or_default(), lasts.unwrap_or_default());
        read.push(Cover { surface, lasts, up_to_km });
    }
    Some(read)
}

fn breach(place: &Place<'_>, faults: &mut Faults) -> Option<Breach> {
    let mut members = place.members(faults)?;
    let key = members.need("key", faults).and_then(|place| name(&place, faults));
    let surfaces = surfaces(&mut members, faults);
    let consequence = consequence(&mut members, None, faults);
    members.finish(faults);
    Some(Breach {
        key: key.unwrap_or_default(),
        surfaces,
        consequence: consequence.unwrap_or(Consequence::Note),
    })
}

fn transfer(place: &Place<'_>, faults: &mut Faults) -> Option<Transfer> {
    let mut members = place.members(faults)?;
    let allowed = members.need("allowed", faults).and_then(|place| place.boolean(faults));
    let given = [members.get("tell_within"), members.get("inspect_within"), members.get("owners")];
    if allowed == Some(false) {
        for place in given.iter().flatten() {
            faults.push(place.fault("does_not_go_with", "cover does not go over: nothing else can be asked"));
        }
    }
    let [tell, inspect, owners] = given;
    let tell_within = tell.and_then(|place| place.period(faults));
    let inspect_within = inspect.and_then(|place| place.period(faults));
    let owners = owners.and_then(|place| count(&place, 1, faults));
    members.finish(faults);
    Some(Transfer { allowed: allowed?, tell_within, inspect_within, owners })
}

fn repair(place: &Place<'_>, faults: &mut Faults) -> Option<Repair> {
    let mut members = place.members(faults)?;
    let restores = members.get("restores").and_then(|place| place.boolean(faults)).unwrap_or(true);
    let within = members.get("recoat_within");
    let recoat_within = within.as_ref().and_then(|place| place.period(faults));
    if let (false, Some(place)) = (restores, within) {
        faults.push(place.fault("does_not_go_with", "a recoat restores nothing: no time can be set for it"));
    }
    members.finish(faults);
    Some(Repair { restores, recoat_within })
}

fn working_days(members: &mut Members<'_>, faults: &mut Faults) -> WorkingDays {
    let given = members.get("working_days");
    let mut weekdays = Vec::new();
    if let Some(place) = &given {
        let items = place.items(faults).unwrap_or_default();
        if items.is_empty() && place.value.is_array() {
            faults.push(place.fault("empty", "at least one day of the week has to be a working day"));
        }
        weekdays.extend(items.iter().filter_map(|item| item.word(WEEKDAYS, faults)));
    }
    let mut holidays: Vec<Day> = Vec::new();
    let place = members.get("holidays");
    if let Some(place) = &place {
        if given.is_none() {
            faults.push(place.fault("does_not_go_with", "holidays need working_days"));
        }
        let items = place.items(faults).unwrap_or_default();
        if items.len() > MOST_HOLIDAYS {
            faults.push(place.fault("too_many", format!("{} are more than {MOST_HOLIDAYS}", items.len())));
        }
        holidays.extend(items.iter().take(MOST_HOLIDAYS).filter_map(|item| item.day(faults)));
    }
    let days = WorkingDays::new(&weekdays, holidays);
    if let Some(place) = place.filter(|_| days.longest_rest() > 31) {
        faults.push(place.fault("no_working_day", "more than 31 days on end without a working day"));
    }
    days
}

fn begins(place: &Place<'_>, faults: &mut Faults) -> Option<Begins> {
    let mut members = place.members(faults)?;
    let on =
        members.get("on").and_then(|place| place.word(&[("handover", false), ("completion", true)], faults));
    let after = members.get("after").and_then(|place| place.period(faults)).unwrap_or_default();
    members.finish(faults);
    Some(Begins { on_completion: on.unwrap_or(false), after })
}

fn build(place: &Place<'_>, faults: &mut Faults) -> Option<Build> {
    let mut members = place.members(faults)?;
    let surface = members.need("surface", faults).and_then(|place| said(&place, faults));
    let coats = members.need("coats", faults).and_then(|place| {
        let items = place.items(faults)?;
        let coat = |item: &Place<'_>| {
            let mut members = item.members(faults)?;
            let product = members.need("product", faults).and_then(|place| code(&place, faults));
            let min = members.get("min").and_then(|place| count(&place, 1, faults)).unwrap_or(1);
            members.finish(faults);
            Some((product?, min))
        };
        items.iter().map(coat).collect::<Option<Vec<_>>>()
    });
    let steps: Vec<(&str, StepKind)> = StepKind::ALL.iter().map(|kind| (kind.as_str(), *kind)).collect();
    let prep = members.get("prep").and_then(|place| place.items(faults)).unwrap_or_default();
    let prep = prep.iter().filter_map(|item| item.word(&steps, faults)).collect();
    members.finish(faults);
    Some(Build { surface: surface.unwrap_or_default(), coats: coats.unwrap_or_default(), prep })
}

fn claims(place: &Place<'_>, faults: &mut Faults) -> Option<Period> {
    let mut members = place.members(faults)?;
    let within = members.get("report_within").and_then(|place| place.period(faults));
    members.finish(faults);
    within
}

fn limits(place: &Place<'_>, faults: &mut Faults) -> Vec<(String, Limit)> {
    let Some(mut members) = place.members(faults) else { return Vec::new() };
    let mut read = Vec::new();
    for name in ["contact_angle_deg", "roll_off_deg", "gloss_gu", "delta_e_00"] {
        let Some(place) = members.get(name) else { continue };
        let Some(mut inner) = place.members(faults) else { continue };
        let mut number = |name| inner.get(name).and_then(|place| place.number(faults));
        let limit = Limit {
            min: number("min"),
            max: number("max"),
            min_pct_of_baseline: number("min_pct_of_baseline"),
        };
        inner.finish(faults);
        if limit.min.zip(limit.max).is_some_and(|(min, max)| min > max) {
            faults.push(place.fault("upside_down", "min lies above max"));
        }
        read.push((name.to_owned(), limit));
    }
    members.finish(faults);
    read
}

fn notices(place: &Place<'_>, faults: &mut Faults) -> Option<Vec<u32>> {
    let mut members = place.members(faults)?;
    let days = members.get("upcoming_days").and_then(|place| {
        let items = place.items(faults)?;
        Some(items.iter().filter_map(|item| count(item, 0, faults)).collect())
    });
    members.finish(faults);
    days
}

/// The texts once for all, or by language code.
fn wording(place: &Place<'_>, faults: &mut Faults) {
    const TEXTS: [&str; 5] = ["excludes", "care", "remedy", "how_to_claim", "law"];
    let Some(members) = place.members(faults) else { return };
    let each = members.each();
    let language = |name: &str| {
        let mut parts = name.split('-');
        let first = parts.next().unwrap_or_default();
        (2..=3).contains(&first.len())
            && first.bytes().all(|b| b.is_ascii_lowercase())
            && parts
                .all(|part| (1..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric()))
    };
    let by_language = !each.is_empty()
        && each
            .iter()
            .all(|(name, inner)| language(name) && !TEXTS.contains(name) && inner.value.is_object());
    if by_language {
        each.iter().for_each(|(_, inner)| texts(inner, faults));
    } else {
        texts(place, faults);
    }
}

fn texts(place: &Place<'_>, faults: &mut Faults) {
    let Some(mut members) = place.members(faults) else { return };
    for name in ["excludes", "care"] {
        let items = members.get(name).and_then(|place| place.items(faults)).unwrap_or_default();
        items.iter().for_each(|item| {
            item.text(faults);
        });
    }
    for name in ["remedy", "how_to_claim", "law"] {
        if let Some(place) = members.get(name) {
            place.text(faults);
        }
    }
    members.finish(faults);
}
