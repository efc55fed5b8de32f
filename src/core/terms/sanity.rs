//! What can only be seen when the parts of terms are held against one another: names, and what nobody could keep.

use std::collections::BTreeSet;

use super::{CountedFrom, Terms, Upkeep};
use crate::core::error::Fault;

/// Where the parts stand that could be read: JSON pointers, in the same order.
pub(super) struct Places {
    pub(super) upkeep: Vec<String>,
    pub(super) breaches: Vec<String>,
    pub(super) build: Vec<String>,
}

/// Windows longer than this could never be listed.
const MOST_DUES: i64 = 2_000;

/// Adds the faults of these terms as a whole. What could not be read is left out: its own fault says so already.
pub(super) fn check(terms: &Terms, places: &Places, found: &mut Vec<Fault>) {
    let mut faults = Vec::new();
    let faults = &mut faults;
    let sound = |pointer: &str| !found.iter().any(|fault| fault.is_within(pointer));
    let mut keys = BTreeSet::new();
    let rules = terms.upkeep.iter().map(|rule| &rule.key).zip(&places.upkeep);
    let breaches = terms.breaches.iter().map(|breach| &breach.key).zip(&places.breaches);
    for (key, place) in rules.chain(breaches) {
        if sound(&format!("{place}/key")) && !keys.insert(key) {
            faults.push(Fault::new(
                format!("{place}/key"),
                "key_twice",
                format!("{key:?} is the key of another rule or breach"),
            ));
        }
    }
    let covered = |surface: &String| terms.cover.iter().any(|cover| cover.surface == *surface);
    // Without a sound list of surfaces nobody knows which have cover.
    let unnamed = |fault: &Fault| {
        let place =
            |i| fault.is_within(&format!("/cover/{i}/surface")) || fault.pointer == format!("/cover/{i}");
        fault.pointer == "/cover" || (fault.code != "surface_twice" && (0..terms.cover.len()).any(place))
    };
    let names_are_sound = !found.iter().any(unnamed);
    let mut named = |surfaces: &[String], place: &str, list: bool| {
        for (i, surface) in surfaces.iter().enumerate() {
            let pointer = if list { format!("{place}/surfaces/{i}") } else { format!("{place}/surface") };
            if !sound(&pointer) {
                continue;
            }
            if surfaces[..i].contains(surface) {
                let detail = format!("{surface:?} is named above already");
                faults.push(Fault::new(pointer, "surface_twice", detail));
            } else if names_are_sound && !covered(surface) {
                let detail = format!("{surface:?} has no cover in these terms");
                faults.push(Fault::new(pointer, "surface_without_cover", detail));
            }
        }
    };
    for (rule, place) in terms.upkeep.iter().zip(&places.upkeep) {
        named(rule.surfaces.as_deref().unwrap_or_default(), place, true);
    }
    for (breach, place) in terms.breaches.iter().zip(&places.breaches) {
        named(breach.surfaces.as_deref().unwrap_or_default(), place, true);
    }
    for (build, place) in terms.build.iter().zip(&places.build) {
        named(std::slice::from_ref(&build.surface), place, false);
    }
    for (rule, place) in terms.upkeep.iter().zip(&places.upkeep) {
        let of_rule = |members: &[&str]| members.iter().all(|member| sound(&format!("{place}/{member}")));
        let lasts_are_sound =
            names_are_sound && (0..terms.cover.len()).all(|i| sound(&format!("/cover/{i}/lasts")));
        keepable(terms, rule, place, &of_rule, lasts_are_sound, faults);
    }
    found.append(faults);
}

/// What nobody could keep, and what would never end; lengths as certain as they can be said. Only members that are
/// `sound` are held against one another.
fn keepable(
    terms: &Terms,
    rule: &Upkeep,
    place: &str,
    sound: &dyn Fn(&[&str]) -> bool,
    lasts_are_sound: bool,
    faults: &mut Vec<Fault>,
) {
    let mut fault = |member: &str, code, detail: &str| {
        faults.push(Fault::new(format!("{place}/{member}"), code, detail));
    };
    let about = |surface: &String| rule.surfaces.as_ref().is_none_or(|surfaces| surfaces.contains(surface));
    let lasts = terms.cover.iter().filter(|c| about(&c.surface)).map(|c| c.lasts.longest());
    let longest_cover = lasts.max().filter(|_| lasts_are_sound && sound(&["surfaces"]));
    if let (Some(every), Some(lasts)) = (rule.every, longest_cover)
        && sound(&["every"])
        && lasts > MOST_DUES * every.shortest()
    {
        fault("every", "too_many_dues", "cover lasts more than 2,000 times as long");
    }
    if let Some(every) = rule.every
        && rule.counted_from == CountedFrom::Start
        && rule.times != Some(1)
        && sound(&["every", "early", "late", "times", "counted_from"])
        && rule.early.longest() + rule.late.longest() >= every.shortest()
    {
        fault(
            "every",
            "windows_overlap",
            "early and late together can be as long as every: two windows would overlap",
        );
    }
    let way = rule.first_after.or(rule.every);
    if let Some(way) = way {
        if sound(&["first_after", "every", "not_before", "late"])
            && rule.not_before.shortest() > way.longest() + rule.late.longest()
        {
            fault(
                "not_before",
                "never_in_time",
                "not before the first window has closed: nobody could keep it",
            );
        }
        if sound(&["first_after", "every"]) && longest_cover.is_some_and(|lasts| way.shortest() >= lasts) {
            let member = if rule.first_after.is_some() { "first_after" } else { "every" };
            fault(member, "after_cover", "as long as cover lasts, or longer: it would never fall due");
        }
    }
}
