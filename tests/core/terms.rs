//! Terms documents that are refused: every fault at its place, and none besides.

use lustrum::core::terms::{Terms, cautions};
use serde_json::{Value, json};

/// Sound terms that use every member; each faulty document is these with one thing or more changed.
pub(crate) fn sound() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "two-coat-five", "edition": 2, "title": "Five years, two coats",
        "issuer": "north-coast",
        "cover": [{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 120_000},
                  {"surface": "glass", "lasts": {"months": 18}}],
        "upkeep": [
            {"key": "annual", "service": ["inspection", "reconditioning"], "by": "accredited",
             "counted_from": "start", "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
             "if_missed": [{"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"},
                           {"effect": "end"}]},
            {"key": "wash", "service": "maintenance wash", "by": "owner", "counted_from": "last",
             "first_after": {"days": 14}, "not_before": {"days": 7}, "every": {"weeks": 6}, "late": {"weeks": 2},
             "every_km": 3_000, "late_km": 500, "surfaces": ["paint"], "if_missed": {"effect": "note"}}],
        "breaches": [{"key": "abrasive-wash", "effect": "suspend", "with": "reconditioning",
                      "make_good_within": {"days": 30}},
                     {"key": "polished-elsewhere", "surfaces": ["paint"], "effect": "note"}],
        "transfer": {"allowed": true, "tell_within": {"days": 30}, "inspect_within": {"days": 45}, "owners": 2},
        "repair": {"restores": true, "recoat_within": {"days": 90}},
        "entry_within": {"days": 7},
        "working_days": ["mon", "tue", "wed", "thu", "fri", "sat"], "holidays": ["2027-01-01"],
        "begins": {"on": "handover", "after": {"days": 0}},
        "build": [{"surface": "paint", "coats": [{"product": "base-30", "min": 1}, {"product": "top-10"}],
                   "prep": ["panel_wipe"]}],
        "claims": {"report_within": {"days": 30}},
        "limits": {"contact_angle_deg": {"min": 80}},
        "notices": {"upcoming_days": [45, 14]},
        "wording": {"en": {"excludes": ["stone chips"], "care": ["two buckets"], "remedy": "we coat again",
                           "how_to_claim": "call us", "law": "yours"}}
    })
}

/// Sound terms with members changed, by JSON pointer; null takes a member out, `/-` adds to a list.
fn with(changes: &[(&str, Value)]) -> Value {
    let mut terms = sound();
    for (pointer, value) in changes {
        let (parent, member) = pointer.rsplit_once('/').unwrap();
        match terms.pointer_mut(parent).unwrap_or_else(|| panic!("no {parent}")) {
            Value::Object(members) => {
                members.insert(member.to_owned(), value.clone());
            }
            Value::Array(items) if member == "-" => items.push(value.clone()),
            Value::Array(items) => items[member.parse::<usize>().unwrap()] = value.clone(),
            other => panic!("{parent} is {other}"),
        }
    }
    terms
}

fn places(terms: &Value) -> Vec<(String, &'static str)> {
    let faults = Terms::read(terms).err().unwrap_or_default();
    let mut places: Vec<_> = faults.into_iter().map(|fault| (fault.pointer, fault.code)).collect();
    places.sort();
    places
}

#[test]
fn sound_terms_are_taken() {
    assert_eq!(places(&sound()), []);
    // A null is as absent, an unknown member that is null among them.
    let nulls =
        with(&[("/issuer", Value::Null), ("/upkeep/0/early", Value::Null), ("/nothing", Value::Null)]);
    assert_eq!(places(&nulls), []);
    // Once and never again: no `every` is needed.
    let once = json!({"key": "first", "service": "inspection", "counted_from": "start", "times": 1,
                      "first_after": {"days": 30}, "early": {"days": 30}, "if_missed": {"effect": "end"}});
    assert_eq!(places(&with(&[("/upkeep/-", once)])), []);
    // Texts once for all languages.
    assert_eq!(places(&with(&[("/wording", json!({"law": "yours", "care": []}))])), []);
    assert!(Terms::parse(b"{").is_err() && Terms::parse(br#"{"terms": 1, "terms": 2}"#).is_err());
}

/// Each line: what is changed, and every fault that follows.
#[test]
fn faulty_terms_are_refused_with_every_fault_at_its_place() {
    let days = |n: u32| json!({"days": n});
    let rule = |members: Value| {
        let mut rule = json!({"key": "more", "service": "topper", "counted_from": "last",
                              "every": {"months": 6}, "if_missed": {"effect": "note"}});
        rule.as_object_mut().unwrap().extend(members.as_object().unwrap().clone());
        ("/upkeep/-", rule)
    };
    let null = Value::Null;
    let holidays: Vec<String> = (1..=31).map(|day| format!("2027-01-{day:02}")).collect();
    let rest: Vec<String> = holidays.iter().cloned().chain(["2027-02-01".to_owned()]).collect();
    let many: Vec<Value> = (0..101)
        .map(|n| {
            json!({"key": format!("rule {n}"), "service": "topper", "counted_from": "last",
                        "every": {"months": 6}, "if_missed": {"effect": "note"}})
        })
        .collect();
    let cover: Vec<Value> =
        (0..51).map(|n| json!({"surface": format!("part-{n}"), "lasts": {"years": 1}})).collect();
    type Line<'a> = (Vec<(&'a str, Value)>, Vec<(&'a str, &'a str)>);
    let lines: Vec<Line<'_>> = vec![
        // Wrong shape.
        (vec![("/title", null.clone())], vec![("/title", "missing")]),
        (vec![("/terms", json!("lustrum-terms/2"))], vec![("/terms", "unknown_word")]),
        (vec![("/edition", json!(0))], vec![("/edition", "out_of_range")]),
        (vec![("/edition", json!("2"))], vec![("/edition", "wrong_type")]),
        (vec![("/colour", json!("red"))], vec![("/colour", "unknown_member")]),
        (vec![("/upkeep/0/a~1b", json!(1))], vec![("/upkeep/0/a~01b", "unknown_member")]),
        (vec![("/cover/0/surface", null.clone())], vec![("/cover/0/surface", "missing")]),
        (vec![("/cover/0/lasts", null.clone())], vec![("/cover/0/lasts", "missing")]),
        (vec![("/cover/1", json!("glass"))], vec![("/cover/1", "wrong_type")]),
        (vec![("/upkeep/0/service", json!([]))], vec![("/upkeep/0/service", "empty")]),
        (vec![("/upkeep/0/if_missed", json!([]))], vec![("/upkeep/0/if_missed", "empty")]),
        (vec![("/breaches/0/with", json!([]))], vec![("/breaches/0/with", "empty")]),
        (vec![("/upkeep/0/by", json!("dealer"))], vec![("/upkeep/0/by", "unknown_word")]),
        (vec![("/upkeep/0/counted_from", json!("first"))], vec![("/upkeep/0/counted_from", "unknown_word")]),
        (
            vec![("/upkeep/1/if_missed/effect", json!("void"))],
            vec![("/upkeep/1/if_missed/effect", "unknown_word")],
        ),
        (vec![("/working_days", json!([]))], vec![("/working_days", "empty")]),
        (vec![("/working_days/0", json!("monday"))], vec![("/working_days/0", "unknown_word")]),
        (vec![("/holidays/0", json!("2027-02-29"))], vec![("/holidays/0", "not_a_day")]),
        (vec![("/transfer/allowed", null.clone())], vec![("/transfer/allowed", "missing")]),
        (vec![("/wording/en/joke", json!("x"))], vec![("/wording/en/joke", "unknown_member")]),
        (vec![("/begins/on", json!("sale"))], vec![("/begins/on", "unknown_word")]),
        (vec![("/build/0/prep/0", json!("prayer"))], vec![("/build/0/prep/0", "unknown_word")]),
        // Names.
        (vec![("/cover/1/surface", json!("paint"))], vec![("/cover/1/surface", "surface_twice")]),
        (vec![("/upkeep/1/key", json!("annual"))], vec![("/upkeep/1/key", "key_twice")]),
        (vec![("/breaches/1/key", json!("wash"))], vec![("/breaches/1/key", "key_twice")]),
        (
            vec![("/upkeep/1/surfaces/0", json!("film"))],
            vec![("/upkeep/1/surfaces/0", "surface_without_cover")],
        ),
        (
            vec![("/breaches/1/surfaces/0", json!("film"))],
            vec![("/breaches/1/surfaces/0", "surface_without_cover")],
        ),
        (vec![("/build/0/surface", json!("film"))], vec![("/build/0/surface", "surface_without_cover")]),
        (vec![("/upkeep/0/key", json!("Annual"))], vec![("/upkeep/0/key", "bad_name")]),
        (vec![("/upkeep/0/key", json!(" annual"))], vec![("/upkeep/0/key", "bad_name")]),
        (vec![("/upkeep/0/key", json!("a".repeat(61)))], vec![("/upkeep/0/key", "bad_name")]),
        (vec![("/upkeep/0/service/1", json!("wash_down"))], vec![("/upkeep/0/service/1", "bad_name")]),
        // Sizes.
        (vec![("/upkeep/0/every", json!({}))], vec![("/upkeep/0/every", "period_empty")]),
        (vec![("/upkeep/0/every", days(0))], vec![("/upkeep/0/every", "period_zero")]),
        (vec![("/cover/0/lasts", days(0))], vec![("/cover/0/lasts", "period_zero")]),
        (vec![("/upkeep/0/late/days", json!(-1))], vec![("/upkeep/0/late/days", "out_of_range")]),
        (vec![("/upkeep/0/late/days", json!(1.5))], vec![("/upkeep/0/late/days", "wrong_type")]),
        (vec![("/upkeep/0/late/hours", json!(1))], vec![("/upkeep/0/late/hours", "unknown_member")]),
        (
            vec![("/cover/0/lasts", json!({"years": 100, "days": 1}))],
            vec![("/cover/0/lasts", "period_too_long")],
        ),
        (
            vec![("/cover/0/lasts", json!({"years": 6})), rule(json!({"every": {"days": 1}}))],
            vec![("/upkeep/2/every", "too_many_dues")],
        ),
        (vec![("/cover/0/up_to_km", json!(0))], vec![("/cover/0/up_to_km", "out_of_range")]),
        (vec![("/upkeep/1/every_km", json!(99))], vec![("/upkeep/1/every_km", "out_of_range")]),
        (vec![("/upkeep/1/late_km", json!(-1))], vec![("/upkeep/1/late_km", "out_of_range")]),
        (vec![("/upkeep/1/times", json!(0))], vec![("/upkeep/1/times", "out_of_range")]),
        (vec![("/transfer/owners", json!(0))], vec![("/transfer/owners", "out_of_range")]),
        (vec![("/build/0/coats/0/min", json!(0))], vec![("/build/0/coats/0/min", "out_of_range")]),
        (
            vec![("/limits/contact_angle_deg/max", json!(70))],
            vec![("/limits/contact_angle_deg", "upside_down")],
        ),
        (vec![("/upkeep", json!(many))], vec![("/upkeep", "too_many")]),
        (
            vec![
                ("/cover", json!(cover)),
                ("/upkeep", json!([])),
                ("/breaches", json!([])),
                ("/build", json!([])),
            ],
            vec![("/cover", "too_many")],
        ),
        (vec![("/cover", json!([]))], vec![("/cover", "empty")]),
        // What goes with what.
        (vec![("/upkeep/0/every_km", json!(3000))], vec![("/upkeep/0/every_km", "does_not_go_with")]),
        (vec![("/upkeep/1/early", days(0))], vec![("/upkeep/1/early", "does_not_go_with")]),
        (vec![("/upkeep/1/every_km", null.clone())], vec![("/upkeep/1/late_km", "does_not_go_with")]),
        (
            vec![("/upkeep/1/if_missed/with", json!("topper"))],
            vec![("/upkeep/1/if_missed/with", "does_not_go_with")],
        ),
        (
            vec![("/upkeep/1/if_missed/effect", json!("shorten"))],
            vec![("/upkeep/1/if_missed/take_off", "missing")],
        ),
        (vec![("/breaches/0/with", null.clone())], vec![("/breaches/0/with", "missing")]),
        (vec![("/upkeep/0/every", null.clone())], vec![("/upkeep/0/every", "missing")]),
        (vec![("/working_days", null.clone())], vec![("/holidays", "does_not_go_with")]),
        (
            vec![("/transfer/allowed", json!(false))],
            vec![
                ("/transfer/inspect_within", "does_not_go_with"),
                ("/transfer/owners", "does_not_go_with"),
                ("/transfer/tell_within", "does_not_go_with"),
            ],
        ),
        (vec![("/repair/restores", json!(false))], vec![("/repair/recoat_within", "does_not_go_with")]),
        (
            vec![("/upkeep/0/if_missed/0/make_good_within", days(0))],
            vec![("/upkeep/0/if_missed/0/make_good_within", "period_zero")],
        ),
        (
            vec![("/upkeep/0/if_missed/-", json!({"effect": "note"}))],
            vec![("/upkeep/0/if_missed/2", "after_end")],
        ),
        (
            vec![
                ("/working_days", json!(["mon", "tue", "wed", "thu", "fri", "sat", "sun"])),
                ("/holidays", json!(rest)),
            ],
            vec![("/holidays", "no_working_day")],
        ),
        // What nobody could keep.
        (vec![("/upkeep/0/early/days", json!(335))], vec![("/upkeep/0/every", "windows_overlap")]),
        (vec![rule(json!({"not_before": {"months": 8}}))], vec![("/upkeep/2/not_before", "never_in_time")]),
        (vec![rule(json!({"first_after": {"years": 6}}))], vec![("/upkeep/2/first_after", "after_cover")]),
        (
            vec![rule(json!({"surfaces": ["glass"], "every": {"years": 2}}))],
            vec![("/upkeep/2/every", "after_cover")],
        ),
        // Several at once: a fault in one member hides none in another.
        (
            vec![
                ("/upkeep/0/by", json!("dealer")),
                ("/upkeep/0/early/days", json!(335)),
                ("/upkeep/1/surfaces/0", json!("film")),
                ("/upkeep/1/key", json!("annual")),
                ("/cover/1/surface", json!("paint")),
                ("/title", json!(7)),
                ("/colour", json!(1)),
            ],
            vec![
                ("/colour", "unknown_member"),
                ("/cover/1/surface", "surface_twice"),
                ("/title", "wrong_type"),
                ("/upkeep/0/by", "unknown_word"),
                ("/upkeep/0/every", "windows_overlap"),
                ("/upkeep/1/key", "key_twice"),
                ("/upkeep/1/surfaces/0", "surface_without_cover"),
            ],
        ),
        // A surface whose cover cannot be read is covered all the same.
        (
            vec![("/cover/0/lasts", json!("long")), ("/upkeep/1/if_missed", null)],
            vec![("/cover/0/lasts", "wrong_type"), ("/upkeep/1/if_missed", "missing")],
        ),
    ];
    assert!(lines.len() >= 24);
    for (changes, expected) in lines {
        let expected: Vec<_> =
            expected.into_iter().map(|(pointer, code)| (pointer.to_owned(), code)).collect();
        assert_eq!(places(&with(&changes)), expected, "{changes:?}");
    }
    // The bounds themselves are taken.
    let taken = with(&[
        ("/upkeep/0/early/days", json!(334)),
        ("/working_days", json!(["mon", "tue", "wed", "thu", "fri", "sat", "sun"])),
        ("/holidays", json!(holidays)),
        ("/upkeep/1/every_km", json!(100)),
        rule(json!({"every": {"months": 12}, "first_after": {"years": 4}})),
    ]);
    assert_eq!(places(&taken), []);
}

#[test]
fn cautions_stand_at_their_places() {
    let found = |terms: &Value| {
        let terms = Terms::read(terms).unwrap_or_else(|faults| panic!("{faults:?}"));
        cautions(&terms).into_iter().map(|caution| caution.pointer).collect::<Vec<_>>()
    };
    assert_eq!(
        found(&sound()),
        ["/upkeep/0/by", "/upkeep/0/if_missed/0/by", "/transfer/inspect_within"],
        "16 CFR 700.10"
    );
    let free = with(&[("/upkeep/0/by", json!("shop")), ("/transfer/inspect_within", Value::Null)]);
    assert_eq!(found(&free), Vec::<String>::new());
    let harsh = with(&[
        ("/upkeep/0/by", json!("shop")),
        ("/transfer", Value::Null),
        ("/breaches/1/effect", json!("end")),
        ("/upkeep/0/if_missed/0/make_good_within", json!({"days": 500})),
        (
            "/upkeep/1/if_missed",
            json!([{"effect": "shorten", "take_off": {"months": 1}}, {"effect": "note"}]),
        ),
    ]);
    assert_eq!(
        found(&harsh),
        ["/upkeep/0/if_missed/0/make_good_within", "/upkeep/1/if_missed/1", "/breaches/1/effect"]
    );
}
