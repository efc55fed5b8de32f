//! Laws that hold for all terms and facts, tried on invented ones.
//!
//! Not every law that one expects holds. Waiving a due can cost a later one: on a rolling clock it moves the next
//! base, and it takes from a rota the due that a service would have met, so that the service meets another. A service
//! more can make a rolling due fall earlier, so that the next one is missed. A reading more can show that a distance
//! was passed, and can save a due by moving `base_km` with a miss. What holds is below.

use lustrum::core::assess::{Assessment, Cause, DueStatus, State, Verdict, assess};
use lustrum::core::calendar::{Day, instant};
use lustrum::core::facts::Facts;
use lustrum::core::terms::Rules;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::invented::{START, case, ready};

fn verdict(rules: &Rules, facts: &Facts, as_of: Day) -> Verdict {
    let mut verdict = Verdict::default();
    assess(rules, facts, as_of, None, &mut verdict);
    verdict
}

fn answer(terms: &Value, facts: &Value, as_of: Day) -> Value {
    let (rules, facts) = ready(terms, facts);
    serde_json::to_value(Assessment::of(&rules, &facts, &verdict(&rules, &facts, as_of))).unwrap()
}

fn start() -> Day {
    START.parse().unwrap()
}

fn same(one: &Verdict, other: &Verdict) -> bool {
    one.cover == other.cover && one.dues == other.dues && one.panels == other.panels
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    /// Unchanged facts give the same answer until the day before `next_change`, and another one on it: compared day
    /// by day with verdicts that are worked out alone.
    #[test]
    fn the_next_change_is_the_first_day_that_differs(seed: u64) {
        let Some((terms, facts)) = case(seed) else { return Ok(()) };
        let (rules, facts) = ready(&terms, &facts);
        let first = start().plus_days(-45);
        let mut now = verdict(&rules, &facts, first);
        for day in (1..1_000).map(|n| first.plus_days(n)) {
            let then = verdict(&rules, &facts, day);
            let said = now.next_change == Some(day);
            prop_assert_eq!(!same(&now, &then), said, "on {}, asked on {}: {:?}\n{}",
                day, now.as_of, now.next_change, terms);
            if said {
                now = then;
            }
        }
        prop_assert_eq!(now.next_change, None);
    }

    /// What is recorded after an instant changes nothing that was known at it.
    #[test]
    fn what_is_entered_later_was_not_known(seed: u64, day in 0..700_i32) {
        let Some((terms, mut facts)) = case(seed) else { return Ok(()) };
        let as_of = start().plus_days(day);
        let known_at = instant("2026-08-01T12:00:00Z").unwrap();
        let judged = |facts: &Value| {
            let (rules, facts) = ready(&terms, facts);
            let mut verdict = Verdict::default();
            assess(&rules, &facts, as_of, Some(known_at), &mut verdict);
            Assessment::of(&rules, &facts, &verdict)
        };
        let before = judged(&facts);
        let late = "2026-08-01T12:00:00.000001Z";
        let events = facts["events"].as_array_mut().unwrap();
        if let Some(id) = events.iter().find(|event| event["kind"] != "retract").map(|event| event["id"].clone()) {
            events.push(json!({"id": "late-1", "kind": "retract", "on": START, "event": id, "recorded": late}));
        }
        events.push(json!({"id": "late-2", "kind": "close", "on": START, "recorded": late}));
        prop_assert_eq!(judged(&facts), before);
    }

    /// What was entered and retracted is as if it had never been.
    #[test]
    fn what_is_retracted_has_not_been(seed: u64, day in 0..700_i32, on in 0..700_i32) {
        let Some((terms, mut facts)) = case(seed) else { return Ok(()) };
        let as_of = start().plus_days(day);
        let before = answer(&terms, &facts, as_of);
        let events = facts["events"].as_array_mut().unwrap();
        let on = start().plus_days(on);
        events.push(json!({"id": "x", "kind": "service", "on": on, "service": "inspection", "by": "accredited",
                           "km": 9_000_000}));
        events.push(json!({"id": "y", "kind": "retract", "on": "2999-01-01", "event": "x"}));
        prop_assert_eq!(answer(&terms, &facts, as_of), before);
    }

    /// A breach or a close more never makes cover last longer; neither does a reading, unless a rolling clock counts
    /// kilometres (a miss moves its base).
    #[test]
    fn bad_news_never_lengthen_cover(seed: u64, day in 0..900_i32, on in 0..700_i32, kind in 0..3_u8) {
        let Some((terms, mut facts)) = case(seed) else { return Ok(()) };
        let counts_km = terms["upkeep"].as_array().unwrap().iter().any(|rule| rule.get("every_km").is_some());
        if kind == 2 && counts_km {
            return Ok(());
        }
        // A breach that shortens or holds can be followed by another that then falls after the end: the first end
        // stands all the same. One that is made good ends nothing.
        let as_of = start().plus_days(day);
        let last = |answer: &Value, surface: &str| answer["cover"][surface]["last_day"].as_str().unwrap().to_owned();
        let before = answer(&terms, &facts, as_of);
        let on = start().plus_days(on);
        let mut event = match kind {
            0 => json!({"kind": "breach", "key": "abrasive wash"}),
            1 => json!({"kind": "close"}),
            _ => json!({"kind": "reading", "km": 90_000}),
        };
        event["id"] = json!("x");
        event["on"] = json!(on);
        facts["events"].as_array_mut().unwrap().push(event);
        let after = answer(&terms, &facts, as_of);
        for surface in ["paint", "glass"] {
            prop_assert!(last(&after, surface) <= last(&before, surface), "{}\n{}", before, after);
        }
    }

    /// On a rota alone, a qualifying service more never leaves more dues missed.
    #[test]
    fn on_a_rota_a_service_more_never_costs_a_due(seed: u64, day in 0..900_i32, on in 0..700_i32) {
        let Some((mut terms, mut facts)) = case(seed) else { return Ok(()) };
        let upkeep = terms["upkeep"].as_array_mut().unwrap();
        upkeep.retain(|rule| rule["counted_from"] == "start");
        if upkeep.is_empty() {
            return Ok(());
        }
        // Where a service can prolong cover, it can bring dues into sight that were moot.
        upkeep.iter_mut().for_each(|rule| rule["if_missed"] = json!({"effect": "note"}));
        let keys: Vec<Value> = upkeep.iter().map(|rule| rule["key"].clone()).collect();
        terms["breaches"] = json!([]);
        terms["transfer"] = Value::Null;
        let named = |event: &Value| event.get("upkeep").is_none() || keys.contains(&event["upkeep"]);
        let events = facts["events"].as_array_mut().unwrap();
        let gone: Vec<Value> =
            events.iter().filter(|event| !named(event)).map(|event| event["id"].clone()).collect();
        events.retain(|event| named(event) && !gone.contains(&event["event"]));
        let as_of = start().plus_days(day);
        let missed = |answer: &Value| {
            let dues = answer["dues"].as_array().unwrap();
            dues.iter().filter(|due| due["status"] == "missed").count()
        };
        let before = answer(&terms, &facts, as_of);
        let service = terms["upkeep"][0]["service"].clone();
        facts["events"].as_array_mut().unwrap().push(json!({"id": "x", "kind": "service",
            "on": start().plus_days(on), "service": service, "by": "accredited"}));
        let after = answer(&terms, &facts, as_of);
        prop_assert!(missed(&after) <= missed(&before), "{}\n{}", before, after);
    }

    /// Whatever the facts: what is listed hangs together.
    #[test]
    fn verdicts_hang_together(seed: u64, day in -40..900_i32) {
        let Some((terms, facts)) = case(seed) else { return Ok(()) };
        let (rules, facts) = ready(&terms, &facts);
        let as_of = start().plus_days(day);
        let verdict = verdict(&rules, &facts, as_of);
        for one in &verdict.cover {
            prop_assert_eq!(one.state == State::NotBegun, as_of < start());
            prop_assert_eq!(one.state == State::Ended, as_of >= one.out && as_of >= start());
            prop_assert_eq!(one.cause.is_some(), one.state == State::Ended);
            prop_assert_eq!(one.because.is_none(), one.cause.is_none_or(|cause| cause == Cause::Expired));
            for held in &one.suspended {
                prop_assert!(held.since < one.out && held.until.is_none_or(|until| held.since < until && until <= one.out));
                prop_assert!(held.until.is_some() || one.state == State::Suspended);
            }
        }
        for due in &verdict.dues {
            prop_assert_eq!(due.met.is_some(), due.status == DueStatus::Met);
            prop_assert_eq!(due.missed_from.is_some(), due.status == DueStatus::Missed);
            prop_assert!(due.due <= due.closes);
            match due.status {
                DueStatus::Ahead => prop_assert!(as_of < due.opens),
                DueStatus::Open => prop_assert!(due.opens <= as_of && as_of <= due.due),
                DueStatus::Late => prop_assert!(due.due < as_of && as_of <= due.closes),
                DueStatus::Missed => prop_assert!(due.missed_from.is_some_and(|from| from <= as_of)),
                DueStatus::Met => prop_assert!(due.met.is_some_and(|(_, on)| on <= due.closes && on <= as_of)),
                DueStatus::Waived => {}
            }
        }
        let places: Vec<_> = verdict.dues.iter().map(|due| (due.rule, due.number)).collect();
        prop_assert!(places.is_sorted());
    }
}
