//! Facts that are refused: every fault at its place.

use lustrum::core::assess::Judge;
use lustrum::core::facts::{Facts, FactsInput};
use lustrum::core::terms::{Rules, Terms};
use serde_json::{Value, json};

use super::terms::sound;

fn facts() -> Value {
    json!({"start": "2026-03-10", "start_km": 412, "time_zone": "Europe/Lisbon", "surfaces": ["paint", "glass"],
        "events": [
            {"id": "e1", "kind": "service", "on": "2026-04-20", "recorded": "2026-04-20T15:02:11Z",
             "service": "maintenance wash", "by": "owner", "km": 2210},
            {"id": "e2", "kind": "reading", "on": "2026-05-01", "km": 3100, "note": "odômetro", "told": null},
            {"id": "e3", "kind": "transfer", "on": "2026-06-01", "told": "2026-06-02"},
            {"id": "e4", "kind": "repair", "on": "2026-07-01", "surface": "paint", "panel": "bonnet"},
            {"id": "e5", "kind": "recoat", "on": "2026-07-05", "surface": "paint", "panel": "bonnet"},
            {"id": "e6", "kind": "breach", "on": "2026-08-01", "key": "abrasive-wash", "surfaces": ["paint"]},
            {"id": "e7", "kind": "waive", "on": "2026-08-02", "upkeep": "annual", "number": 2},
            {"id": "e8", "kind": "extend", "on": "2026-08-03", "upkeep": "annual", "number": 1, "to": "2027-06-30"},
            {"id": "e9", "kind": "close", "on": "2026-09-01", "reason": "written off"},
            {"id": "e10", "kind": "retract", "on": "2026-09-02", "event": "e9"},
            {"id": "e11", "kind": "close", "on": "2026-09-03", "instead_of": "e9"}]})
}

fn rules() -> Rules {
    Rules::compile(&Terms::read(&sound()).unwrap())
}

fn places(facts: &Value) -> Vec<(String, &'static str)> {
    let rules = rules();
    let closely = Facts::read(facts, &rules).err().unwrap_or_default();
    let at_once = Facts::parse(facts.to_string().as_bytes(), &rules).err().unwrap_or_default();
    assert_eq!(closely, at_once, "one reader, whichever way it goes");
    let mut places: Vec<_> = closely.into_iter().map(|fault| (fault.pointer, fault.code)).collect();
    places.sort();
    places
}

#[test]
fn sound_facts_are_taken_and_written_back() {
    assert_eq!(places(&facts()), []);
    let input: FactsInput = serde_json::from_value(facts()).unwrap();
    let again = serde_json::to_value(&input).unwrap();
    assert_eq!(serde_json::from_value::<FactsInput>(again).unwrap(), input);
    assert_eq!(places(&json!({"start": "2026-03-10", "surfaces": ["leather"]})), []);
    assert_eq!(
        places(&json!({"start": "2026-03-10", "start_km": 412.0, "surfaces": ["glass"], "events": null})),
        []
    );
}

#[test]
fn faulty_facts_are_refused_with_every_fault_at_its_place() {
    type Line<'a> = (Vec<(&'a str, Value)>, Vec<(&'a str, &'a str)>);
    let lines: Vec<Line<'_>> = vec![
        (vec![("/start", json!(null))], vec![("/start", "missing")]),
        (vec![("/start", json!("1899-12-31"))], vec![("/start", "out_of_range")]),
        (vec![("/start_km", json!(null))], vec![("/start_km", "missing")]),
        (vec![("/start_km", json!(-1))], vec![("/start_km", "out_of_range")]),
        (vec![("/time_zone", json!("Europe/Nowhere"))], vec![("/time_zone", "unknown_zone")]),
        (vec![("/surfaces", json!([]))], vec![("/surfaces", "empty")]),
        (vec![("/surfaces/1", json!("paint"))], vec![("/surfaces/1", "surface_twice")]),
        (vec![("/surfaces/1", json!("moon"))], vec![("/surfaces/1", "unknown_surface")]),
        (vec![("/events/0", json!(["e1", "reading", "2026-04-20"]))], vec![("/events/0", "wrong_type")]),
        (vec![("/events/0/kind", json!("party"))], vec![("/events/0/kind", "unknown_word")]),
        (vec![("/events/0/by", json!("dealer"))], vec![("/events/0/by", "unknown_word")]),
        (vec![("/events/0/by", json!(null))], vec![("/events/0/by", "missing")]),
        (
            vec![("/events/0/recorded", json!("2026-04-20T15:02:11"))],
            vec![("/events/0/recorded", "not_an_instant")],
        ),
        (vec![("/events/0/km", json!(22.5))], vec![("/events/0/km", "wrong_type")]),
        (vec![("/events/0/km", json!(10_000_001))], vec![("/events/0/km", "out_of_range")]),
        (vec![("/events/0/on", json!("3000-01-01"))], vec![("/events/0/on", "out_of_range")]),
        (vec![("/events/1/id", json!("e1"))], vec![("/events/1/id", "id_twice")]),
        (vec![("/events/1/id", json!("e#2"))], vec![("/events/1/id", "bad_id")]),
        (vec![("/events/3/panel", json!(null))], vec![("/events/3/panel", "missing")]),
        (vec![("/events/4/surface", json!("moon"))], vec![("/events/4/surface", "unknown_surface")]),
        (vec![("/events/5/surfaces", json!([]))], vec![("/events/5/surfaces", "empty")]),
        (vec![("/events/6/upkeep", json!("weekly"))], vec![("/events/6/upkeep", "unknown_rule")]),
        (vec![("/events/6/number", json!(0))], vec![("/events/6/number", "out_of_range")]),
        (vec![("/events/7/to", json!(null))], vec![("/events/7/to", "missing")]),
        (
            vec![("/events/9/event", json!("e99"))],
            vec![("/events/10/instead_of", "not_retracted"), ("/events/9/event", "unknown_event")],
        ),
        (vec![("/events/10/instead_of", json!("e1"))], vec![("/events/10/instead_of", "not_retracted")]),
        (vec![("/events/10/instead_of", json!("e99"))], vec![("/events/10/instead_of", "unknown_event")]),
        (
            vec![("/events/10", json!({"id": "e11", "kind": "retract", "on": "2026-09-03", "event": "e10"}))],
            vec![("/events/10/event", "retracts_retraction")],
        ),
        // Several at once, of shape and of meaning.
        (
            vec![
                ("/start", json!("soon")),
                ("/start_km", json!(null)),
                ("/events/0/km", json!(-5)),
                ("/events/1", json!(1)),
                ("/events/6/upkeep", json!("weekly")),
            ],
            vec![
                ("/events/0/km", "out_of_range"),
                ("/events/1", "wrong_type"),
                ("/events/6/upkeep", "unknown_rule"),
                ("/start", "not_a_day"),
                ("/start_km", "missing"),
            ],
        ),
    ];
    for (changes, expected) in lines {
        let mut facts = facts();
        for (pointer, value) in &changes {
            let (parent, member) = pointer.rsplit_once('/').unwrap();
            match facts.pointer_mut(parent).unwrap() {
                Value::Array(items) => items[member.parse::<usize>().unwrap()] = value.clone(),
                parent => parent[member] = value.clone(),
            }
        }
        let expected: Vec<_> =
            expected.into_iter().map(|(pointer, code)| (pointer.to_owned(), code)).collect();
        assert_eq!(places(&facts), expected, "{changes:?}");
    }
}

/// A faulty line is answered on its line, with everything that is wrong with it, seen from the root of the line.
#[test]
fn faulty_lines_tell_everything() {
    let answer = |line: &str| {
        let mut out = Vec::new();
        let clean = Judge::default().line(line.as_bytes(), false, &mut out);
        (clean, serde_json::from_slice::<Value>(&out).unwrap())
    };
    let places = |answer: &Value| {
        let errors = answer["error"]["errors"].as_array().unwrap();
        errors.iter().map(|error| error["pointer"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    let sound_line = json!({"terms": sound(), "facts": facts(), "as_of": "2027-05-01", "known_at": null});
    let (clean, verdict) = answer(&sound_line.to_string());
    assert!(clean && verdict["cover"]["paint"]["state"].is_string());
    assert_eq!(verdict.as_object().unwrap().len(), 4, "as_of, cover, dues, panels");

    for (line, code, expected) in [
        ("{".to_owned(), "malformed", vec![""]),
        ("[1]".to_owned(), "malformed", vec![""]),
        (json!({"as_of": "2027-05-01"}).to_string(), "malformed", vec!["/terms", "/facts"]),
        (
            json!({"terms": sound(), "facts": facts(), "as_of": "2027-02-30", "known_at": "noon"}).to_string(),
            "malformed",
            vec!["/as_of", "/known_at"],
        ),
        (
            json!({"terms": {"terms": "lustrum-terms/1", "code": "a", "edition": 1, "title": "A",
                             "cover": [{"surface": "paint", "lasts": {}}]}, "facts": {"surfaces": ["paint"]},
                   "as_of": "2027-05-01"})
            .to_string(),
            "terms_faulty",
            vec!["/terms/cover/0/lasts", "/facts/start"],
        ),
        (
            json!({"terms": sound(), "facts": {"start": "2026-03-10", "surfaces": ["paint"]}, "as_of": "2027-05-01"})
                .to_string(),
            "facts_faulty",
            vec!["/facts/start_km"],
        ),
    ] {
        let (clean, answer) = answer(&line);
        assert!(!clean, "{line}");
        assert_eq!(answer["error"]["code"], code, "{line}");
        assert_eq!(places(&answer), expected, "{line}");
    }
}
