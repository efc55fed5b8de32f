//! Reading rules of upkeep, and what follows when one is missed or broken.

use super::{Faults, RANKS, count, name, names, some_time, surfaces};
use crate::core::collect::{Members, Place};
use crate::core::error::Fault;
use crate::core::terms::{Consequence, CountedFrom, Rank, Upkeep};

/// One rule of upkeep. Where something could not be read, something else stands in its place, so that the rest can be
/// looked at all the same.
pub(super) fn upkeep(place: &Place<'_>, faults: &mut Faults) -> Option<Upkeep> {
    let mut members = place.members(faults)?;
    let key = members.need("key", faults).and_then(|place| name(&place, faults));
    let services = members.need("service", faults).and_then(|place| names(&place, faults));
    let by = members.get("by").and_then(|place| place.word(RANKS, faults)).unwrap_or(Rank::Owner);
    let words = [("start", CountedFrom::Start), ("last", CountedFrom::Last)];
    let counted_from = members.need("counted_from", faults).and_then(|place| place.word(&words, faults));
    let mut period = |name, faults: &mut Faults| members.get(name).and_then(|place| place.period(faults));
    let first_after = period("first_after", faults);
    let late = period("late", faults).unwrap_or_default();
    let not_before = period("not_before", faults).unwrap_or_default();
    let early_given = members.get("early");
    let early = early_given.as_ref().and_then(|place| place.period(faults)).unwrap_or_default();
    let every_given = members.get("every");
    let every = every_given.as_ref().and_then(|place| some_time(place, faults));
    let every_km_given = members.get("every_km");
    let every_km = every_km_given.as_ref().and_then(|place| count(place, 100, faults));
    let late_km_given = members.get("late_km");
    let late_km = late_km_given.as_ref().and_then(|place| count(place, 0, faults)).unwrap_or_default();
    let surfaces = surfaces(&mut members, faults);
    let times_given = members.get("times");
    let times = times_given.as_ref().and_then(|place| count(place, 1, faults));
    let default = (services.clone().unwrap_or_default(), by);
    let if_missed = members.need("if_missed", faults).and_then(|place| ladder(&place, &default, faults));

    let mut only = |wrong: bool, place: Option<&Place<'_>>, detail: &str| {
        if let (true, Some(place)) = (wrong, place) {
            faults.push(place.fault("does_not_go_with", detail));
        }
    };
    let on_a_rota = counted_from == Some(CountedFrom::Start);
    only(
        on_a_rota,
        every_km_given.as_ref(),
        "distance counts from the last time only: not with counted_from start",
    );
    only(
        on_a_rota,
        late_km_given.as_ref(),
        "distance counts from the last time only: not with counted_from start",
    );
    only(
        counted_from == Some(CountedFrom::Last),
        early_given.as_ref(),
        "a rolling clock has no early: not with counted_from last",
    );
    only(every_km_given.is_none(), late_km_given.as_ref(), "late_km needs every_km");
    if every_given.is_none() && !(times == Some(1) && first_after.is_some()) {
        faults.push(Fault::new(
            members.at("every"),
            "missing",
            "`every` is needed, unless `times` is 1 and `first_after` is given",
        ));
    }
    members.finish(faults);
    Some(Upkeep {
        key: key.unwrap_or_default(),
        services: services.unwrap_or_default(),
        by,
        counted_from: counted_from.unwrap_or(CountedFrom::Last),
        every,
        first_after,
        early,
        late,
        not_before,
        every_km,
        late_km,
        surfaces,
        times,
        if_missed: if_missed.unwrap_or_default(),
    })
}

/// One consequence, or a list that misses climb.
fn ladder(place: &Place<'_>, default: &(Vec<String>, Rank), faults: &mut Faults) -> Option<Vec<Consequence>> {
    let rule = |item: &Place<'_>, faults: &mut Faults| -> Option<Consequence> {
        let mut members = item.members(faults)?;
        let read = consequence(&mut members, Some(default), faults);
        members.finish(faults);
        read
    };
    if !place.value.is_array() {
        return Some(vec![rule(place, faults)?]);
    }
    let items = place.items(faults)?;
    if items.is_empty() {
        faults.push(place.fault("empty", "a list of at least one consequence is needed"));
        return None;
    }
    let mut read = Vec::new();
    let mut ended = false;
    for item in &items {
        if ended {
            faults.push(item.fault("after_end", "nothing can follow once cover has ended"));
        }
        let one = rule(item, faults);
        ended |= one == Some(Consequence::End);
        read.push(one);
    }
    read.into_iter().collect()
}

/// The members of a consequence; `default` is what a rule's own services and rank are, a breach has none.
pub(super) fn consequence(
    members: &mut Members<'_>,
    default: Option<&(Vec<String>, Rank)>,
    faults: &mut Faults,
) -> Option<Consequence> {
    let words = [("note", 'n'), ("end", 'e'), ("shorten", 's'), ("suspend", 'h')];
    let effect = members.need("effect", faults).and_then(|place| place.word(&words, faults));
    let take_off_given = members.get("take_off");
    let take_off = take_off_given.as_ref().and_then(|place| some_time(place, faults));
    let within_given = members.get("make_good_within");
    let make_good_within = within_given.as_ref().and_then(|place| some_time(place, faults));
    let with_given = members.get("with");
    let with = with_given.as_ref().and_then(|place| names(place, faults));
    let by_given = members.get("by");
    let by = by_given.as_ref().and_then(|place| place.word(RANKS, faults));
    let effect = effect?;
    let mut foreign = |place: Option<&Place<'_>>, of: &str| {
        if let Some(place) = place {
            faults.push(place.fault("does_not_go_with", format!("this goes with the effect {of} only")));
        }
    };
    if effect != 's' {
        foreign(take_off_given.as_ref(), "shorten");
    }
    if effect != 'h' {
        foreign(within_given.as_ref(), "suspend");
        foreign(with_given.as_ref(), "suspend");
        foreign(by_given.as_ref(), "suspend");
    }
    match effect {
        'n' => Some(Consequence::Note),
        'e' => Some(Consequence::End),
        's' if take_off_given.is_none() => {
            faults.push(Fault::new(members.at("take_off"), "missing", "`take_off` is needed to shorten"));
            None
        }
        's' => take_off.map(Consequence::Shorten),
        _ => {
            let with = match (with_given, with, default) {
                (Some(_), with, _) => with?,
                (None, _, Some((services, _))) => services.clone(),
                (None, _, None) => {
                    faults.push(Fault::new(
                        members.at("with"),
                        "missing",
                        "`with` is needed: what makes a breach good",
                    ));
                    return None;
                }
            };
            let by = by.unwrap_or(default.map_or(Rank::Shop, |(_, by)| *by));
            Some(Consequence::Suspend { make_good_within, with, by })
        }
    }
}
