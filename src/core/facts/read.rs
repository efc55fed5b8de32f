//! Reading facts from JSON: every fault of shape with its place.

use serde_json::Value;

use super::{EventInput, FactsInput, MAX_KM};
use crate::core::calendar::instant;
use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::terms::Rank;
use crate::core::words::EventKind;

type Faults = Vec<Fault>;

/// Reads facts, or answers everything that is wrong with their shape.
pub(super) fn facts(value: &Value) -> Result<FactsInput, Vec<Fault>> {
    let faults = &mut Vec::new();
    let Some(mut members) = Place::root(value).members(faults) else { return Err(std::mem::take(faults)) };
    let start = members.need("start", faults).and_then(|place| place.day(faults));
    let start_km = members.get("start_km").and_then(|place| km(&place, faults));
    let time_zone = members.get("time_zone").and_then(|place| {
        let name = place.text(faults)?;
        let zone = name.parse().ok();
        if zone.is_none() {
            faults.push(
                place.fault("unknown_zone", format!("{name:?} is no IANA time zone such as Europe/Lisbon")),
            );
        }
        zone
    });
    let surfaces = members.need("surfaces", faults).map(|place| texts(&place, faults)).unwrap_or_default();
    let events = members.get("events").and_then(|place| place.items(faults)).unwrap_or_default();
    let events: Vec<_> = events.iter().filter_map(|place| event(place, faults)).collect();
    members.finish(faults);
    match (start, faults.is_empty()) {
        (Some(start), true) => Ok(FactsInput {
            start,
            start_km,
            time_zone: time_zone.unwrap_or(chrono_tz::UTC),
            surfaces,
            events,
        }),
        _ => Err(std::mem::take(faults)),
    }
}

fn km(place: &Place<'_>, faults: &mut Faults) -> Option<u32> {
    place.whole(0, i64::from(MAX_KM), faults).and_then(|n| u32::try_from(n).ok())
}

fn texts(place: &Place<'_>, faults: &mut Faults) -> Vec<String> {
    let items = place.items(faults).unwrap_or_default();
    items.iter().filter_map(|item| item.text(faults).map(str::to_owned)).collect()
}

fn event(place: &Place<'_>, faults: &mut Faults) -> Option<EventInput> {
    let mut members = place.members(faults)?;
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
    Some(event)
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
        .and_then(|place| place.whole(1, 1_000_000, faults))
        .and_then(|n| u32::try_from(n).ok());
    event.to = find("to", needed(&[K::Extend]), faults).and_then(|place| place.day(faults));
}
