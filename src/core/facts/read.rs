//! Reading facts from JSON: every fault of shape with its place.

use serde_json::Value;

use super::input::{Object, Text};
use super::{EventInput, FactsInput, MAX_KM};
use crate::core::calendar::{Day, instant};
use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::terms::Rank;
use crate::core::words::EventKind;

type Faults = Vec<Fault>;

/// Reads facts that are as they should be in one go; none where anything has to be looked at more closely.
pub(super) fn at_once(document: &[u8]) -> Option<FactsInput<Text<'_>>> {
    let Object(facts) = serde_json::from_slice::<Object<FactsInput<Text<'_>>>>(document).ok()?;
    (is_whole(&facts) && !may_hold_zero(document)).then_some(facts)
}

/// Whether a document may hold the character U+0000, which is not taken.
pub(crate) fn may_hold_zero(document: &[u8]) -> bool {
    document.contains(&b'\\') && document.windows(6).any(|bytes| bytes == br"\u0000")
}

/// Whether every event has the members that its kind needs, and all numbers and days are of the usual size.
pub(crate) fn is_whole<T>(facts: &FactsInput<T>) -> bool {
    let usual = |day: Option<Day>| day.is_none_or(Day::is_usual);
    let whole = |event: &EventInput<T>| {
        use EventKind as K;
        let there = match event.kind {
            K::Service => event.service.is_some() && event.by.is_some(),
            K::Repair | K::Recoat => event.surface.is_some() && event.panel.is_some(),
            K::Breach => event.key.is_some(),
            K::Waive => event.upkeep.is_some() && event.number.is_some(),
            K::Extend => event.upkeep.is_some() && event.number.is_some() && event.to.is_some(),
            K::Retract => event.event.is_some(),
            K::Reading | K::Transfer | K::Close => true,
        };
        there
            && event.on.is_usual()
            && usual(event.told)
            && usual(event.to)
            && event.km.is_none_or(|km| km <= MAX_KM)
            && event.number != Some(0)
    };
    let sound = facts.start.is_usual() && facts.start_km.is_none_or(|km| km <= MAX_KM);
    sound && facts.events.iter().all(whole)
}

/// Reads facts and everything that is wrong with their shape; with faults, something stands in the place of what
/// could not be read, so that the rest can be looked at all the same.
pub(super) fn facts(value: &Value) -> (FactsInput, Vec<Fault>) {
    let mut faults = Vec::new();
    let mut input = FactsInput {
        start: Day::default(),
        start_km: None,
        time_zone: chrono_tz::UTC,
        surfaces: Vec::new(),
        events: Vec::new(),
    };
    let Some(mut members) = Place::root(value).members(&mut faults) else { return (input, faults) };
    let found = &mut faults;
    if let Some(start) = members.need("start", found).and_then(|place| place.day(found)) {
        input.start = start;
    }
    input.start_km = members.get("start_km").and_then(|place| km(&place, found));
    if let Some(place) = members.get("time_zone")
        && let Some(name) = place.text(found)
    {
        match name.parse() {
            Ok(zone) => input.time_zone = zone,
            Err(_) => found.push(
                place.fault("unknown_zone", format!("{name:?} is no IANA time zone such as Europe/Lisbon")),
            ),
        }
    }
    input.surfaces = members.need("surfaces", found).map(|place| texts(&place, found)).unwrap_or_default();
    let events = members.get("events").and_then(|place| place.items(found)).unwrap_or_default();
    input.events = events.iter().map(|place| event(place, found)).collect();
    members.finish(found);
    (input, faults)
}

fn km(place: &Place<'_>, faults: &mut Faults) -> Option<u32> {
    place.whole(0, i64::from(MAX_KM), faults).and_then(|n| u32::try_from(n).ok())
}

fn texts(place: &Place<'_>, faults: &mut Faults) -> Vec<String> {
    let items = place.items(faults).unwrap_or_default();
    items.iter().map(|item| item.text(faults).map(str::to_owned).unwrap_or_default()).collect()
}

fn event(place: &Place<'_>, faults: &mut Faults) -> EventInput {
    let Some(mut members) = place.members(faults) else {
        return EventInput::new("", EventKind::Reading, Day::default());
    };
    let id = members.need("id", faults).and_then(|place| place.text(faults).map(str::to_owned));
    let kinds: Vec<(&str, EventKind)> = EventKind::ALL.iter().map(|kind| (kind.as_str(), *kind)).collect();
    let kind = members.need("kind", faults).and_then(|place| place.word(&kinds, faults));
    let on = members.need("on", faults).and_then(|place| place.day(faults));
    let (id, kind, on) = match (id, kind, on) {
        (Some(id), Some(kind), Some(on)) => (id, kind, on),
        // Faulty already: the other members are looked at all the same, as of whatever kind.
        (id, kind, on) => {
            (id.unwrap_or_default(), kind.unwrap_or(EventKind::Reading), on.unwrap_or_default())
        }
    };
    let mut event = EventInput::new(id, kind, on);
    common(&mut event, &mut members, faults);
    particular(&mut event, &mut members, faults);
    members.finish(faults);
    event
}

/// What any event may carry.
fn common(event: &mut EventInput, members: &mut Members<'_>, faults: &mut Faults) {
    event.recorded = members.get("recorded").and_then(|place| match instant(place.text(faults)?) {
        Ok(at) => Some(at),
        Err(fault) => {
            faults.push(fault.within(&place.pointer));
            None
        }
    });
    event.km = members.get("km").and_then(|place| km(&place, faults));
    event.countersigned = members.get("countersigned").and_then(|place| place.boolean(faults));
    event.carried_out = members.get("carried_out").and_then(|place| place.boolean(faults));
    event.surfaces = members.get("surfaces").map(|place| texts(&place, faults));
    event.told = members.get("told").and_then(|place| place.day(faults));
    for (name, slot) in [
        ("note", &mut event.note),
        ("finding", &mut event.finding),
        ("reason", &mut event.reason),
        ("instead_of", &mut event.instead_of),
    ] {
        *slot = members.get(name).and_then(|place| place.text(faults).map(str::to_owned));
    }
}

/// What events of one kind need, and others may carry without meaning.
fn particular(event: &mut EventInput, members: &mut Members<'_>, faults: &mut Faults) {
    let kind = event.kind;
    let needed = |kinds: &[EventKind]| kinds.contains(&kind);
    let mut find = |name: &'static str, needed: bool, faults: &mut Faults| {
        if needed { members.need(name, faults) } else { members.get(name) }
    };
    use EventKind as K;
    for (name, slot, kinds) in [
        ("service", &mut event.service, &[K::Service][..]),
        ("surface", &mut event.surface, &[K::Repair, K::Recoat]),
        ("panel", &mut event.panel, &[K::Repair, K::Recoat]),
        ("key", &mut event.key, &[K::Breach]),
        ("upkeep", &mut event.upkeep, &[K::Waive, K::Extend]),
        ("event", &mut event.event, &[K::Retract]),
    ] {
        *slot = find(name, needed(kinds), faults).and_then(|place| place.text(faults).map(str::to_owned));
    }
    let ranks: Vec<(&str, Rank)> = Rank::ALL.iter().map(|rank| (rank.as_str(), *rank)).collect();
    event.by = find("by", needed(&[K::Service]), faults).and_then(|place| place.word(&ranks, faults));
    event.number = find("number", needed(&[K::Waive, K::Extend]), faults)
        .and_then(|place| place.whole(1, i64::from(u32::MAX), faults))
        .and_then(|n| u32::try_from(n).ok());
    event.to = find("to", needed(&[K::Extend]), faults).and_then(|place| place.day(faults));
}
