//! Reading a data sheet: every fault at its place.

use serde_json::Value;

use super::{
    Apply, Cure, Lamp, Level, Milestone, Onto, Recoat, Reference, Sheet, Span, Table, Temperature, Window,
};
use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::ids::Code;
use crate::core::words::{ProductRole, StepKind, Surface};

type Faults = Vec<Fault>;

/// What a temperature in °C may be: colder and hotter than any shop or lamp.
const CELSIUS: Span = Span { from: -60.0, to: 200.0 };
/// Relative humidity in %.
const PERCENT: Span = Span { from: 0.0, to: 100.0 };
/// Any amount that cannot be negative: times, factors, yields.
const AMOUNT: Span = Span { from: 0.0, to: 1.0e6 };

/// The most entries of one list.
const MOST: usize = 200;

/// Reads a data sheet.
pub(super) fn sheet(value: &Value) -> Result<Sheet, Faults> {
    let mut faults = Vec::new();
    let f = &mut faults;
    let Some(mut members) = Place::root(value).members(f) else { return Err(faults) };
    let code = members.need("code", f).and_then(|place| code(&place, f));
    let edition = members
        .get("edition")
        .and_then(|place| place.whole(1, i64::from(i32::MAX), f))
        .and_then(|n| u32::try_from(n).ok());
    let title = members.need("title", f).and_then(|place| said(&place, 200, f));
    let role = members.need("role", f).and_then(|place| word(&place, ProductRole::ALL, f));
    let surfaces = members.need("surfaces", f).and_then(|place| surfaces(&place, f));
    let apply = members.get("apply").and_then(|place| apply(&place, f)).unwrap_or_default();
    let level = members.get("level").and_then(|place| level(&place, f));
    let recoat = members
        .get("recoat")
        .map(|place| list(&place, f, |place, f| recoat(place, surfaces.as_deref(), f)))
        .unwrap_or_default();
    let coating = role == Some(ProductRole::Coating);
    let cure = members.get("cure");
    if coating && cure.is_none() {
        f.push(Fault::new(members.at("cure"), "missing", "a coating's sheet says how it cures"));
    }
    let cure = cure.and_then(|place| self::cure(&place, coating, f));
    let yield_m2_per_ml = members.get("yield_m2_per_ml").and_then(|place| above_zero(&place, f));
    let mut keeps = (None, None);
    if let Some(mut inner) = members.get("keeps").and_then(|place| place.members(f)) {
        keeps = (
            inner.get("unopened").and_then(|place| place.period(f)),
            inner.get("opened").and_then(|place| place.period(f)),
        );
        inner.finish(f);
    }
    let cautions = members
        .get("cautions")
        .map(|place| list(&place, f, |place, f| said(place, 500, f)))
        .unwrap_or_default();
    members.finish(f);
    match (code, title, role, surfaces) {
        (Some(code), Some(title), Some(role), Some(surfaces)) if faults.is_empty() => Ok(Sheet {
            code,
            edition,
            title,
            role,
            surfaces,
            apply,
            level,
            recoat,
            cure,
            yield_m2_per_ml,
            keeps_unopened: keeps.0,
            keeps_opened: keeps.1,
            cautions,
        }),
        _ => Err(faults),
    }
}

/// The items of a list that can be read.
fn list<T>(
    place: &Place<'_>,
    faults: &mut Faults,
    mut read: impl FnMut(&Place<'_>, &mut Faults) -> Option<T>,
) -> Vec<T> {
    let Some(items) = place.items(faults) else { return Vec::new() };
    if items.len() > MOST {
        faults.push(place.fault("too_many", format!("{} entries; allowed are {MOST}", items.len())));
        return Vec::new();
    }
    items.iter().filter_map(|item| read(item, faults)).collect()
}

fn code(place: &Place<'_>, faults: &mut Faults) -> Option<String> {
    let text = place.text(faults)?;
    match text.parse::<Code>() {
        Ok(_) => Some(text.to_owned()),
        Err(fault) => {
            faults.push(fault.within(&place.pointer));
            None
        }
    }
}

/// A text of 1 to `most` characters.
fn said(place: &Place<'_>, most: usize, faults: &mut Faults) -> Option<String> {
    let text = place.text(faults)?;
    let length = text.chars().count();
    if text.trim().is_empty() {
        faults.push(place.fault("empty", format!("a text of 1 to {most} characters is needed")));
        return None;
    }
    if length > most {
        faults.push(place.fault("too_long", format!("{length} characters; allowed are 1 to {most}")));
        return None;
    }
    Some(text.to_owned())
}

fn word<T: Copy + std::fmt::Display>(place: &Place<'_>, all: &[T], faults: &mut Faults) -> Option<T> {
    let words: Vec<(String, T)> = all.iter().map(|value| (value.to_string(), *value)).collect();
    let words: Vec<(&str, T)> = words.iter().map(|(word, value)| (word.as_str(), *value)).collect();
    place.word(&words, faults)
}

/// Surfaces, each once, at least one.
fn surfaces(place: &Place<'_>, faults: &mut Faults) -> Option<Vec<Surface>> {
    let before = faults.len();
    let items = place.items(faults)?;
    if items.is_empty() {
        faults.push(place.fault("empty", "a product goes onto one surface or more"));
    }
    let mut read = Vec::new();
    for item in &items {
        let Some(surface) = word(item, Surface::ALL, faults) else { continue };
        if read.contains(&surface) {
            faults.push(item.fault("surface_twice", format!("{surface} stands here already")));
        }
        read.push(surface);
    }
    // Of a list with faults nobody can say what it lacks.
    (faults.len() == before).then_some(read)
}

fn number(place: &Place<'_>, within: Span, faults: &mut Faults) -> Option<f64> {
    let value = place.number(faults)?;
    if (within.from..=within.to).contains(&value) {
        return Some(value);
    }
    let code = if within == AMOUNT && value < 0.0 { "negative" } else { "out_of_range" };
    faults.push(place.fault(code, format!("{value} is not from {} to {}", within.from, within.to)));
    None
}

fn above_zero(place: &Place<'_>, faults: &mut Faults) -> Option<f64> {
    let value = number(place, AMOUNT, faults)?;
    if value > 0.0 {
        return Some(value);
    }
    faults.push(place.fault("not_above_zero", format!("{value} is not above 0")));
    None
}

/// `[from, to]`.
fn span(place: &Place<'_>, within: Span, faults: &mut Faults) -> Option<Span> {
    let items = place.items(faults)?;
    let [from, to] = items.as_slice() else {
        faults.push(place.fault("wrong_length", "two numbers are asked for: from and to"));
        return None;
    };
    let (from, to) = (number(from, within, faults), number(to, within, faults));
    let span = Span { from: from?, to: to? };
    if span.from > span.to {
        faults.push(place.fault("upside_down", format!("{} lies above {}", span.from, span.to)));
        return None;
    }
    Some(span)
}

/// `[[at, value], …]`, rising in `at`.
fn table<T>(
    place: &Place<'_>,
    at_within: Span,
    faults: &mut Faults,
    mut value: impl FnMut(&Place<'_>, &mut Faults) -> Option<T>,
) -> Option<Table<T>> {
    let items = place.items(faults)?;
    if items.is_empty() {
        faults.push(place.fault("empty", "a table has one point or more"));
        return None;
    }
    let mut last: Option<f64> = None;
    let mut read = Vec::new();
    for item in &items {
        let Some(pair) = item.items(faults) else { continue };
        let [at, held] = pair.as_slice() else {
            faults.push(item.fault("wrong_length", "a point of a table is a pair"));
            continue;
        };
        let (at, held) = (number(at, at_within, faults), value(held, faults));
        let Some(at) = at else { continue };
        if let Some(last) = last.filter(|last| at <= *last) {
            faults.push(item.fault("not_rising", format!("{at} does not lie above {last} before it")));
        }
        last = Some(at);
        read.extend(held.map(|held| (at, held)));
    }
    Some(read)
}

fn apply(place: &Place<'_>, faults: &mut Faults) -> Option<Apply> {
    let mut members = place.members(faults)?;
    let apply = Apply {
        air_c: members.get("air_c").and_then(|place| span(&place, CELSIUS, faults)),
        rh_pct: members.get("rh_pct").and_then(|place| span(&place, PERCENT, faults)),
        surface_c: members.get("surface_c").and_then(|place| span(&place, CELSIUS, faults)),
        over_dew_c: members.get("over_dew_c").and_then(|place| number(&place, AMOUNT, faults)),
    };
    members.finish(faults);
    Some(apply)
}

fn level(place: &Place<'_>, faults: &mut Faults) -> Option<Level> {
    let mut members = place.members(faults)?;
    let level = Level {
        after_s: members.get("after_s").and_then(|place| span(&place, AMOUNT, faults)),
        table: members
            .get("table")
            .and_then(|place| table(&place, CELSIUS, faults, |place, faults| span(place, AMOUNT, faults)))
            .unwrap_or_default(),
    };
    members.finish(faults);
    Some(level)
}

fn recoat(place: &Place<'_>, known: Option<&[Surface]>, faults: &mut Faults) -> Option<Recoat> {
    let mut members = place.members(faults)?;
    let onto = members.need("onto", faults).and_then(|place| match place.text(faults)? {
        "bare" => Some(Onto::Bare),
        "aged" => Some(Onto::Aged),
        _ => code(&place, faults).map(Onto::Product),
    });
    let windows = members.get("windows").map(|place| list(&place, faults, window)).unwrap_or_default();
    let prep = members.get("prep").map(|place| prep(&place, known, faults)).unwrap_or_default();
    members.finish(faults);
    Some(Recoat { onto: onto?, windows, prep })
}

fn window(place: &Place<'_>, faults: &mut Faults) -> Option<Window> {
    let mut members = place.members(faults)?;
    let after = members.need("after_min", faults).and_then(|place| number(&place, AMOUNT, faults));
    let within_min = members.get("within_min").and_then(|place| number(&place, AMOUNT, faults));
    members.finish(faults);
    let after_min = after?;
    if let Some(within) = within_min.filter(|within| *within < after_min) {
        faults.push(place.fault("upside_down", format!("{after_min} lies above {within}")));
    }
    Some(Window { after_min, within_min })
}

fn prep(place: &Place<'_>, known: Option<&[Surface]>, faults: &mut Faults) -> Vec<(Surface, Vec<StepKind>)> {
    let Some(members) = place.members(faults) else { return Vec::new() };
    let mut read = Vec::new();
    for (name, place) in members.each() {
        let Ok(surface) = name.parse::<Surface>() else {
            let allowed = Surface::WORDS.join(", ");
            faults.push(place.fault("unknown_word", format!("{name:?} is not one of {allowed}")));
            continue;
        };
        if known.is_some_and(|known| !known.contains(&surface)) {
            faults.push(place.fault("surface_not_listed", format!("`surfaces` does not list {surface}")));
        }
        read.push((surface, list(&place, faults, |place, faults| word(place, StepKind::ALL, faults))));
    }
    read
}

/// Reads the member `cure` of a coating's sheet by itself.
pub(super) fn cure_of_coating(value: &Value) -> Result<Cure, Faults> {
    let mut faults = Vec::new();
    let cure = cure(&Place::root(value), true, &mut faults);
    cure.filter(|_| faults.is_empty()).ok_or(faults)
}

fn cure(place: &Place<'_>, coating: bool, faults: &mut Faults) -> Option<Cure> {
    let mut members = place.members(faults)?;
    let asked = |members: &mut Members<'_>, name: &'static str, faults: &mut Faults| {
        let found = members.get(name).is_some();
        if coating && !found {
            faults.push(Fault::new(members.at(name), "missing", format!("a coating's sheet says `{name}`")));
        }
    };
    for name in ["reference", "temperature", "milestones"] {
        asked(&mut members, name, faults);
    }
    let humidity = members.get("humidity").and_then(|place| {
        let mut inner = place.members(faults)?;
        let table = inner.need("table", faults).and_then(|place| table(&place, PERCENT, faults, factor));
        inner.finish(faults);
        table
    });
    let reference = members.get("reference").and_then(|place| reference(&place, humidity.is_some(), faults));
    let stops_below_c = members.get("stops_below_c").and_then(|place| number(&place, CELSIUS, faults));
    let temperature = members.get("temperature").and_then(|place| temperature(&place, faults));
    let milestones = members.get("milestones").map(|place| milestones(&place, faults)).unwrap_or_default();
    let lamp = members.get("lamp").and_then(|place| lamp(&place, &milestones, faults));
    let wet_at_once = members.get("wet_at_once").and_then(|place| place.boolean(faults)).unwrap_or(false);
    members.finish(faults);
    Some(Cure {
        reference,
        stops_below_c,
        temperature,
        humidity: humidity.unwrap_or_default(),
        lamp,
        milestones,
        wet_at_once,
    })
}

fn factor(place: &Place<'_>, faults: &mut Faults) -> Option<f64> {
    number(place, AMOUNT, faults)
}

/// The humidity of the reference is needed where humidity counts.
fn reference(place: &Place<'_>, humid: bool, faults: &mut Faults) -> Option<Reference> {
    let mut members = place.members(faults)?;
    let c = members.need("c", faults).and_then(|place| number(&place, CELSIUS, faults));
    let rh = if humid { members.need("rh_pct", faults) } else { members.get("rh_pct") };
    let rh_pct = rh.and_then(|place| number(&place, PERCENT, faults));
    members.finish(faults);
    Some(Reference { c: c?, rh_pct })
}

/// Exactly one of the three laws.
fn temperature(place: &Place<'_>, faults: &mut Faults) -> Option<Temperature> {
    let mut members = place.members(faults)?;
    let q10 = members.get("q10");
    let energy = members.get("activation_energy_j_mol");
    let points = members.get("table");
    members.finish(faults);
    match (q10, energy, points) {
        (Some(q10), None, None) => above_zero(&q10, faults).map(Temperature::Q10),
        (None, Some(energy), None) => above_zero(&energy, faults).map(Temperature::ActivationEnergy),
        (None, None, Some(points)) => table(&points, CELSIUS, faults, factor).map(Temperature::Table),
        _ => {
            faults.push(place.fault(
                "one_of",
                "exactly one of q10, activation_energy_j_mol and table says how temperature counts",
            ));
            None
        }
    }
}

fn milestones(place: &Place<'_>, faults: &mut Faults) -> Vec<Milestone> {
    if place.value.as_array().is_some_and(Vec::is_empty) {
        faults.push(place.fault("empty", "one milestone or more is needed"));
    }
    let mut last: Option<f64> = None;
    let mut names: Vec<String> = Vec::new();
    list(place, faults, |place, faults| {
        let mut members = place.members(faults)?;
        let name = members.need("name", faults).and_then(|place| said(&place, 60, faults));
        let h = members.need("h", faults).and_then(|place| number(&place, AMOUNT, faults));
        let latest_days = members
            .get("latest_days")
            .and_then(|place| place.whole(0, 36_525, faults))
            .and_then(|days| u32::try_from(days).ok());
        members.finish(faults);
        if let Some(h) = h {
            if let Some(last) = last.filter(|last| h <= *last) {
                faults
                    .push(place.fault("not_rising", format!("{h} h does not lie above {last} h before it")));
            }
            last = Some(h);
        }
        let name = name?;
        if names.contains(&name) {
            faults.push(place.fault("name_twice", format!("{name:?} is another milestone")));
        }
        names.push(name.clone());
        Some(Milestone { name, h: h?, latest_days })
    })
}

fn lamp(place: &Place<'_>, milestones: &[Milestone], faults: &mut Faults) -> Option<Lamp> {
    let mut members = place.members(faults)?;
    let panel = members.need("panel_c", faults).and_then(|place| number(&place, CELSIUS, faults));
    let min = members.need("min", faults).and_then(|place| number(&place, AMOUNT, faults));
    let then = members.need("then", faults).and_then(|place| {
        let name = said(&place, 60, faults)?;
        if !milestones.is_empty() && milestones.iter().all(|milestone| milestone.name != name) {
            faults.push(place.fault("unknown_milestone", format!("{name:?} is no milestone of this sheet")));
        }
        Some(name)
    });
    members.finish(faults);
    Some(Lamp { panel_c: panel?, min: min?, then: then? })
}
