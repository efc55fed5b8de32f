//! What happened to a vehicle, as terms judge it: read with every fault at its place, then made ready for judging.

mod input;
mod read;

pub use input::{EventInput, FactsInput};
pub(crate) use input::{Object, Text};
pub(crate) use read::{is_whole, may_hold_zero};

use std::collections::BTreeSet;

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
    pub fn check<T: AsRef<str>>(input: &FactsInput<T>, rules: &Rules) -> Result<Self, Vec<Fault>> {
        let ids = Ids::of(input);
        let faults = faults(input, rules, &ids);
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut panels = Vec::new();
        let events: Vec<Event> =
            input.events.iter().map(|event| ready(event, rules, &ids, &mut panels)).collect();
        let covered = input.surfaces.iter().filter_map(|surface| rules.surface(surface.as_ref()));
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
        let broken = faults(&input, rules, &Ids::of(&input));
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

    /// The places in the list of the services that were entered too late to count.
    pub fn entered_late(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.events.len()).filter(|place| self.events[*place].entered_late)
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

/// Where each id stands: in the order of ids, and of places where one stands twice.
struct Ids<'i>(Vec<(&'i str, usize)>);

impl<'i> Ids<'i> {
    fn of<T: AsRef<str>>(input: &'i FactsInput<T>) -> Self {
        let mut ids: Vec<_> = (0..).zip(&input.events).map(|(i, event)| (event.id.as_ref(), i)).collect();
        ids.sort_unstable();
        Self(ids)
    }

    /// Where an id stands first.
    fn get(&self, id: &str) -> Option<usize> {
        let first = self.0.partition_point(|(other, _)| *other < id);
        self.0.get(first).filter(|(other, _)| *other == id).map(|(_, i)| *i)
    }

    /// The places of those that stand above already, in order.
    fn again(&self) -> Vec<usize> {
        let mut places: Vec<usize> =
            self.0.windows(2).filter(|pair| pair[0].0 == pair[1].0).map(|pair| pair[1].1).collect();
        places.sort_unstable();
        places
    }
}

fn at(i: usize, member: &str) -> String {
    format!("/events/{i}/{member}")
}

/// A surface that terms or the trade know.
fn is_known(rules: &Rules, surface: &str) -> bool {
    rules.surface(surface).is_some() || surface.parse::<Surface>().is_ok()
}

/// Everything that terms have against facts.
fn faults<T: AsRef<str>>(input: &FactsInput<T>, rules: &Rules, ids: &Ids<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    surfaces("/surfaces", &input.surfaces, rules, &mut faults);
    let covered = |mask: Mask| {
        input
            .surfaces
            .iter()
            .filter_map(|name| rules.surface(name.as_ref()))
            .any(|place| mask & bit(place) != 0)
    };
    let judged = rules.upkeep.iter().any(|rule| rule.every_km.is_some() && covered(rule.surfaces));
    let limited =
        (0..).zip(&rules.cover).any(|(place, cover)| cover.up_to_km.is_some() && covered(bit(place)));
    if input.start_km.is_none() && (judged || limited) {
        faults.push(Fault::new("/start_km", "missing", "`start_km` is needed: these terms count kilometres"));
    }
    let again = ids.again();
    for (i, event) in input.events.iter().enumerate() {
        let id = event.id.as_ref();
        if id.contains('#') {
            faults.push(Fault::new(at(i, "id"), "bad_id", format!("{id:?}: an id has no #")));
        }
        if again.binary_search(&i).is_ok() {
            faults.push(Fault::new(at(i, "id"), "id_twice", format!("{id:?} is the id of another event")));
        }
    }
    references(input, rules, ids, &mut faults);
    faults
}

/// A list of surfaces: known ones, at least one, none twice.
fn surfaces<T: AsRef<str>>(pointer: &str, named: &[T], rules: &Rules, faults: &mut Vec<Fault>) {
    if named.is_empty() {
        faults.push(Fault::new(pointer, "empty", "at least one surface is needed"));
    }
    for (i, surface) in named.iter().map(AsRef::as_ref).enumerate() {
        let mut fault =
            |code, detail: String| faults.push(Fault::new(format!("{pointer}/{i}"), code, detail));
        if !is_known(rules, surface) {
            fault("unknown_surface", format!("{surface:?} is no surface"));
        } else if named[..i].iter().any(|other| other.as_ref() == surface) {
            fault("surface_twice", format!("{surface:?} is named above already"));
        }
    }
}

/// A text that may be absent, which is as empty.
fn text<T: AsRef<str>>(text: Option<&T>) -> &str {
    text.map_or("", AsRef::as_ref)
}

/// What events name must be there: rules, events, surfaces.
fn references<T: AsRef<str>>(input: &FactsInput<T>, rules: &Rules, ids: &Ids<'_>, faults: &mut Vec<Fault>) {
    let retracted: BTreeSet<&str> = input
        .events
        .iter()
        .filter(|event| event.kind == EventKind::Retract)
        .filter_map(|event| event.event.as_ref().map(AsRef::as_ref))
        .collect();
    for (i, event) in input.events.iter().enumerate() {
        let mut fault =
            |member: &str, code, detail: String| faults.push(Fault::new(at(i, member), code, detail));
        match event.kind {
            EventKind::Retract => {
                let target = text(event.event.as_ref());
                match ids.get(target).map(|place| input.events[place].kind) {
                    None => fault("event", "unknown_event", format!("there is no event {target:?}")),
                    Some(EventKind::Retract) => {
                        fault("event", "retracts_retraction", format!("{target:?} is itself a retraction"));
                    }
                    Some(_) => {}
                }
            }
            EventKind::Waive | EventKind::Extend => {
                let key = text(event.upkeep.as_ref());
                if !rules.upkeep.iter().any(|rule| rule.key == key) {
                    fault("upkeep", "unknown_rule", format!("these terms have no rule {key:?}"));
                }
            }
            EventKind::Repair | EventKind::Recoat => {
                let surface = text(event.surface.as_ref());
                if !is_known(rules, surface) {
                    fault("surface", "unknown_surface", format!("{surface:?} is no surface"));
                }
            }
            _ => {}
        }
        if let Some(target) = event.instead_of.as_ref().map(AsRef::as_ref) {
            match ids.get(target) {
                None => fault("instead_of", "unknown_event", format!("there is no event {target:?}")),
                Some(_) if !retracted.contains(target) => {
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

fn ready<T: AsRef<str>>(
    event: &EventInput<T>,
    rules: &Rules,
    ids: &Ids<'_>,
    panels: &mut Vec<String>,
) -> Event {
    let place = |i: Option<usize>| i.and_then(|i| u16::try_from(i).ok()).unwrap_or(NONE);
    let name = match event.kind {
        EventKind::Service => rules.service(text(event.service.as_ref())).unwrap_or(NONE),
        EventKind::Breach => {
            let key = text(event.key.as_ref());
            place(rules.breaches.iter().position(|breach| breach.key == key))
        }
        EventKind::Repair | EventKind::Recoat => place(rules.surface(text(event.surface.as_ref()))),
        EventKind::Waive | EventKind::Extend => {
            let key = text(event.upkeep.as_ref());
            place(rules.upkeep.iter().position(|rule| rule.key == key))
        }
        _ => NONE,
    };
    let surfaces = event.surfaces.as_ref().map_or(Mask::MAX, |named| {
        named.iter().filter_map(|surface| rules.surface(surface.as_ref())).fold(0, |mask, i| mask | bit(i))
    });
    let panel = if matches!(event.kind, EventKind::Repair | EventKind::Recoat) {
        let named = text(event.panel.as_ref());
        let known = panels.iter().position(|panel| panel == named);
        place(Some(known.unwrap_or_else(|| {
            panels.push(named.to_owned());
            panels.len() - 1
        })))
    } else {
        NONE
    };
    Event {
        id: event.id.as_ref().to_owned(),
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
        retracts: event.event.as_ref().and_then(|id| ids.get(id.as_ref())).unwrap_or(usize::MAX),
    }
}

fn order(events: &[Event]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..events.len()).filter(|i| events[*i].kind != EventKind::Retract).collect();
    order.sort_by_key(|i| (events[*i].on, events[*i].kind != EventKind::Service));
    order
}

/// Whether a service was entered too late to count. What stands instead of the same service counts from when that
/// one was entered, and so on back.
fn entered_late<T: AsRef<str>>(input: &FactsInput<T>, ids: &Ids<'_>, rules: &Rules, i: usize) -> bool {
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
        let before = one.instead_of.as_ref().and_then(|id| ids.get(id.as_ref()));
        let Some(before) = before.map(|i| &input.events[i]) else { break };
        let same = before.kind == EventKind::Service
            && before.on == one.on
            && text(before.service.as_ref()) == text(one.service.as_ref())
            && before.by == one.by
            && before.carried_out.unwrap_or(true) == one.carried_out.unwrap_or(true);
        if !same {
            break;
        }
        recorded = earlier(recorded, before.recorded);
        one = before;
    }
    let Some(recorded) = recorded else { return false };
    let last = rules.working_days.roll(within.after(event.on));
    // No zone is a whole day away from UTC: most often there is no need to ask which it is.
    let day_in_utc = Day::from(recorded.date_naive());
    day_in_utc.plus_days(1) > last && local_day(recorded, input.time_zone) > last
}

/// The earlier of two instants, where none is from the beginning.
fn earlier(a: Option<DateTime<Utc>>, b: Option<DateTime<Utc>>) -> Option<DateTime<Utc>> {
    a.zip(b).map(|(a, b)| a.min(b))
}
