//! What happened to a vehicle, as terms judge it: read with every fault at its place, then made ready for judging.

mod input;
mod read;

pub(crate) use input::Object;
pub use input::{EventInput, FactsInput};

use std::collections::{BTreeSet, HashMap};

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::core::calendar::{Day, local_day};
use crate::core::error::Fault;
use crate::core::terms::Rank;
use crate::core::terms::{Mask, Rules, bit};
use crate::core::words::{EventKind, Surface};

/// The largest reading that is taken, in km.
pub(crate) const MAX_KM: u32 = 10_000_000;

/// No such name in these terms: a service, a breach or a surface that nothing asks about.
pub(crate) const NONE: u16 = u16::MAX;

/// One event, ready for judging.
#[derive(Debug, Clone)]
pub(crate) struct Event {
    pub(crate) id: String,
    pub(crate) kind: EventKind,
    pub(crate) on: Day,
    /// Microseconds since 1970; none: known from the beginning.
    pub(crate) recorded: Option<i64>,
    pub(crate) km: Option<u32>,
    /// A service's name, a breach's or rule's place, a surface's place; [`NONE`] where terms do not name it.
    pub(crate) name: u16,
    pub(crate) by: Rank,
    pub(crate) carried_out: bool,
    pub(crate) entered_late: bool,
    pub(crate) told: Option<Day>,
    pub(crate) surfaces: Mask,
    pub(crate) panel: u16,
    pub(crate) number: u32,
    pub(crate) to: Day,
    /// The place of the event that a retraction takes back.
    pub(crate) retracts: usize,
}

/// Facts, free of faults and ready for judging.
#[derive(Debug, Clone)]
pub struct Facts {
    pub(crate) start: Day,
    pub(crate) start_km: u32,
    pub(crate) zone: Tz,
    /// The surfaces that have cover.
    pub(crate) surfaces: Mask,
    pub(crate) events: Vec<Event>,
    /// Places of all events but retractions: by day, on one day services first, else as listed.
    pub(crate) order: Vec<usize>,
    pub(crate) panels: Vec<String>,
}

impl Facts {
    /// Checks what was read against the terms, or says everything that is wrong with it.
    pub fn check(input: &FactsInput, rules: &Rules) -> Result<Self, Vec<Fault>> {
        let ids = ids(input);
        let faults = faults(input, rules, &ids);
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut panels = Vec::new();
        let events: Vec<Event> =
            input.events.iter().map(|event| ready(event, rules, &ids, &mut panels)).collect();
        let covered = input.surfaces.iter().filter_map(|surface| rules.surface(surface));
        let mut facts = Self {
            start: input.start,
            start_km: input.start_km.unwrap_or(0),
            zone: input.time_zone,
            surfaces: covered.fold(0, |mask, place| mask | bit(place)),
            order: order(&events),
            events,
            panels,
        };
        if rules.entry_within.is_some() {
            for i in 0..facts.events.len() {
                facts.events[i].entered_late = entered_late(input, &ids, rules, i);
            }
        }
        Ok(facts)
    }

    /// Reads a JSON document and checks it, or says everything that is wrong with it.
    pub fn parse(document: &[u8], rules: &Rules) -> Result<Self, Vec<Fault>> {
        if let Some(input) = read::at_once(document) {
            return Self::check(&input, rules);
        }
        let value = crate::core::json::read(document).map_err(|fault| vec![fault])?;
        Self::read(&value, rules)
    }

    /// Reads a JSON object and checks it, or says everything that is wrong with it.
    pub fn read(value: &serde_json::Value, rules: &Rules) -> Result<Self, Vec<Fault>> {
        let (input, mut found) = read::facts(value);
        if found.is_empty() {
            return Self::check(&input, rules);
        }
        // What stands in for something that could not be read is no fault of its own.
        let broken = faults(&input, rules, &ids(&input));
        let fresh = |fault: &Fault| !found.iter().any(|one| fault.is_within(&one.pointer));
        let broken: Vec<Fault> = broken.into_iter().filter(fresh).collect();
        found.extend(broken);
        Err(found)
    }

    /// Everything that is wrong with the shape of facts, where no terms can be held against them.
    pub(crate) fn faults_of_shape(value: &serde_json::Value) -> Vec<Fault> {
        read::facts(value).1
    }

    /// The first day of cover.
    pub fn start(&self) -> Day {
        self.start
    }

    /// The zone in which it is judged whether something was entered in time.
    pub fn zone(&self) -> Tz {
        self.zone
    }

    /// Adds an event behind the others, as if it had just been entered.
    pub(crate) fn add(&mut self, event: Event) {
        self.events.push(event);
        self.order = order(&self.events);
    }

    /// The same facts where some events are nothing but a look at the odometer; places and order stay what they are.
    pub(crate) fn emptied(&self, is_gone: impl Fn(&Event) -> bool) -> Self {
        let mut facts = self.clone();
        for event in facts.events.iter_mut().filter(|event| is_gone(event)) {
            // Services stay services of no name, since they come first on their day.
            if event.kind != EventKind::Service {
                event.kind = EventKind::Reading;
            }
            event.name = NONE;
        }
        facts
    }

    /// The place of the event with this id.
    pub(crate) fn place(&self, id: &str) -> Option<usize> {
        self.events.iter().position(|event| event.id == id)
    }
}

type Ids<'i> = HashMap<&'i str, usize>;

fn at(i: usize, member: &str) -> String {
    format!("/events/{i}/{member}")
}

/// A surface that terms or the trade know.
fn is_known(rules: &Rules, surface: &str) -> bool {
    rules.surface(surface).is_some() || surface.parse::<Surface>().is_ok()
}

/// Everything that terms have against facts.
fn faults(input: &FactsInput, rules: &Rules, ids: &Ids<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    surfaces("/surfaces", &input.surfaces, rules, &mut faults);
    let covered = |mask: Mask| {
        input.surfaces.iter().filter_map(|name| rules.surface(name)).any(|place| mask & bit(place) != 0)
    };
    let judged = rules.upkeep.iter().any(|rule| rule.every_km.is_some() && covered(rule.surfaces));
    let limited =
        (0..).zip(&rules.cover).any(|(place, cover)| cover.up_to_km.is_some() && covered(bit(place)));
    if input.start_km.is_none() && (judged || limited) {
        faults.push(Fault::new("/start_km", "missing", "`start_km` is needed: these terms count kilometres"));
    }
    for (i, event) in input.events.iter().enumerate() {
        if event.id.contains('#') {
            faults.push(Fault::new(at(i, "id"), "bad_id", format!("{:?}: an id has no #", event.id)));
        }
        if ids.get(event.id.as_str()) != Some(&i) {
            let detail = format!("{:?} is the id of another event", event.id);
            faults.push(Fault::new(at(i, "id"), "id_twice", detail));
        }
    }
    references(input, rules, ids, &mut faults);
    faults
}

/// A list of surfaces: known ones, at least one, none twice.
fn surfaces(pointer: &str, named: &[String], rules: &Rules, faults: &mut Vec<Fault>) {
    if named.is_empty() {
        faults.push(Fault::new(pointer, "empty", "at least one surface is needed"));
    }
    for (i, surface) in named.iter().enumerate() {
        let mut fault =
            |code, detail: String| faults.push(Fault::new(format!("{pointer}/{i}"), code, detail));
        if !is_known(rules, surface) {
            fault("unknown_surface", format!("{surface:?} is no surface"));
        } else if named[..i].contains(surface) {
            fault("surface_twice", format!("{surface:?} is named above already"));
        }
    }
}

/// Where each id stands first.
fn ids(input: &FactsInput) -> Ids<'_> {
    let mut ids = Ids::with_capacity(input.events.len());
    for (i, event) in input.events.iter().enumerate() {
        ids.entry(&event.id).or_insert(i);
    }
    ids
}

/// What events name must be there: rules, events, surfaces.
fn references(input: &FactsInput, rules: &Rules, ids: &Ids<'_>, faults: &mut Vec<Fault>) {
    let retracted: BTreeSet<&str> = input
        .events
        .iter()
        .filter(|event| event.kind == EventKind::Retract)
        .filter_map(|event| event.event.as_deref())
        .collect();
    for (i, event) in input.events.iter().enumerate() {
        let mut fault =
            |member: &str, code, detail: String| faults.push(Fault::new(at(i, member), code, detail));
        match event.kind {
            EventKind::Retract => {
                let target = event.event.as_deref().unwrap_or_default();
                match ids.get(target).map(|place| input.events[*place].kind) {
                    None => fault("event", "unknown_event", format!("there is no event {target:?}")),
                    Some(EventKind::Retract) => {
                        fault("event", "retracts_retraction", format!("{target:?} is itself a retraction"));
                    }
                    Some(_) => {}
                }
            }
            EventKind::Waive | EventKind::Extend => {
                let key = event.upkeep.as_deref().unwrap_or_default();
                if !rules.upkeep.iter().any(|rule| rule.key == key) {
                    fault("upkeep", "unknown_rule", format!("these terms have no rule {key:?}"));
                }
            }
            EventKind::Repair | EventKind::Recoat => {
                let surface = event.surface.as_deref().unwrap_or_default();
                if !is_known(rules, surface) {
                    fault("surface", "unknown_surface", format!("{surface:?} is no surface"));
                }
            }
            _ => {}
        }
        if let Some(target) = &event.instead_of {
            match ids.get(target.as_str()) {
                None => fault("instead_of", "unknown_event", format!("there is no event {target:?}")),
                Some(_) if !retracted.contains(target.as_str()) => {
                    fault("instead_of", "not_retracted", format!("{target:?} has not been retracted"));
                }
                Some(_) => {}
            }
        }
        if let Some(named) = &event.surfaces {
            surfaces(&at(i, "surfaces"), named, rules, faults);
        }
    }
}

fn ready(event: &EventInput, rules: &Rules, ids: &Ids<'_>, panels: &mut Vec<String>) -> Event {
    let place = |i: Option<usize>| i.and_then(|i| u16::try_from(i).ok()).unwrap_or(NONE);
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let surface = || place(rules.surface(event.surface.as_deref().unwrap_or_default()));
    let rule = || place(rules.upkeep.iter().position(|rule| Some(&rule.key) == event.upkeep.as_ref()));
    let name = match event.kind {
        EventKind::Service => rules.service(event.service.as_deref().unwrap_or_default()).unwrap_or(NONE),
        EventKind::Breach => {
            place(rules.breaches.iter().position(|breach| Some(&breach.key) == event.key.as_ref()))
        }
        EventKind::Repair | EventKind::Recoat => surface(),
        EventKind::Waive | EventKind::Extend => rule(),
        _ => NONE,
    };
    let all = Mask::MAX;
    let surfaces = event.surfaces.as_ref().map_or(all, |named| {
        named.iter().filter_map(|surface| rules.surface(surface)).fold(0, |mask, i| mask | bit(i))
    });
    let panel = if matches!(event.kind, EventKind::Repair | EventKind::Recoat) {
        let named = text(&event.panel);
        let known = panels.iter().position(|panel| *panel == named);
        place(Some(known.unwrap_or_else(|| {
            panels.push(named);
            panels.len() - 1
        })))
    } else {
        NONE
    };
    Event {
        id: event.id.clone(),
        kind: event.kind,
        on: event.on,
        recorded: event.recorded.map(|at| at.timestamp_micros()),
        km: event.km,
        name,
        by: event.by.unwrap_or(Rank::Owner),
        carried_out: event.carried_out.unwrap_or(true),
        entered_late: false,
        told: event.told,
        surfaces,
        panel,
        number: event.number.unwrap_or(0),
        to: event.to.unwrap_or(event.on),
        retracts: event.event.as_deref().and_then(|id| ids.get(id)).copied().unwrap_or(usize::MAX),
    }
}

fn order(events: &[Event]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..events.len()).filter(|i| events[*i].kind != EventKind::Retract).collect();
    order.sort_by_key(|i| (events[*i].on, events[*i].kind != EventKind::Service));
    order
}

/// Whether a service was entered too late to count. What stands instead of the same service counts from when that
/// one was entered, and so on back.
fn entered_late(input: &FactsInput, ids: &Ids<'_>, rules: &Rules, i: usize) -> bool {
    let (Some(within), event) = (rules.entry_within, &input.events[i]) else { return false };
    if event.kind != EventKind::Service {
        return false;
    }
    let mut one = event;
    let mut recorded = one.recorded;
    // A chain is no longer than the list; one that bites its tail ends here too.
    for _ in 0..=input.events.len() {
        if one.countersigned == Some(true) {
            return false;
        }
        let Some(before) = one.instead_of.as_deref().and_then(|id| ids.get(id)).map(|i| &input.events[*i])
        else {
            break;
        };
        let same = before.kind == EventKind::Service
            && before.on == one.on
            && before.service == one.service
            && before.by == one.by
            && before.carried_out.unwrap_or(true) == one.carried_out.unwrap_or(true);
        if !same {
            break;
        }
        recorded = earlier(recorded, before.recorded);
        one = before;
    }
    let Some(recorded) = recorded else { return false };
    local_day(recorded, input.time_zone) > rules.working_days.roll(within.after(event.on))
}

/// The earlier of two instants, where none is from the beginning.
fn earlier(a: Option<DateTime<Utc>>, b: Option<DateTime<Utc>>) -> Option<DateTime<Utc>> {
    a.zip(b).map(|(a, b)| a.min(b))
}
