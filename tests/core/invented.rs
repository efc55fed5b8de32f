//! Terms and facts invented from a number: sound, and as odd as terms and facts may be.

use lustrum::core::calendar::Day;
use lustrum::core::facts::Facts;
use lustrum::core::terms::{Rules, Terms};
use serde_json::{Value, json};

/// The same number gives the same numbers.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `most` (splitmix64).
    pub(crate) fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % most
    }

    pub(crate) fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    fn pick<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[usize::try_from(self.below(words.len() as u64)).unwrap()]
    }
}

pub(crate) const START: &str = "2026-01-31";
const SERVICES: [&str; 3] = ["inspection", "maintenance wash", "reconditioning"];
const RANKS: [&str; 3] = ["owner", "shop", "accredited"];

fn consequence(dice: &mut Dice, breach: bool) -> Value {
    match dice.below(6) {
        0 => json!({"effect": "end"}),
        1 => json!({"effect": "shorten", "take_off": {"days": 1 + dice.below(200)}}),
        2 | 3 => {
            let mut one = json!({"effect": "suspend"});
            if breach || dice.one_in(2) {
                one["with"] = json!(dice.pick(&SERVICES));
            }
            if !dice.one_in(3) {
                one["make_good_within"] = json!({"days": 1 + dice.below(60)});
            }
            if dice.one_in(2) {
                one["by"] = json!(dice.pick(&RANKS));
            }
            one
        }
        _ => json!({"effect": "note"}),
    }
}

fn rule(dice: &mut Dice, n: u64) -> Value {
    let every = 20 + dice.below(160);
    let mut rule = json!({"key": format!("rule {n}"), "service": dice.pick(&SERVICES),
                          "by": dice.pick(&RANKS), "every": {"days": every}});
    if dice.one_in(3) {
        rule["every"] = json!({"months": 1 + dice.below(8)});
    }
    let late = dice.below(12);
    rule["late"] = json!({"days": late});
    if dice.one_in(2) {
        rule["counted_from"] = json!("start");
        rule["early"] = json!({"days": dice.below(8)});
    } else {
        rule["counted_from"] = json!("last");
        if dice.one_in(2) {
            rule["every_km"] = json!(500 + dice.below(8_000));
            rule["late_km"] = json!(dice.below(900));
        }
    }
    if dice.one_in(3) {
        rule["first_after"] = json!({"days": dice.below(90)});
    }
    if dice.one_in(4) {
        rule["not_before"] = json!({"days": dice.below(15)});
    }
    if dice.one_in(4) {
        rule["times"] = json!(1 + dice.below(4));
    }
    if dice.one_in(3) {
        rule["surfaces"] = json!([dice.pick(&["paint", "glass"])]);
    }
    let mut ladder = Vec::new();
    for _ in 0..=dice.below(3) {
        let one = consequence(dice, false);
        let end = one["effect"] == "end";
        ladder.push(one);
        if end {
            break;
        }
    }
    rule["if_missed"] = if ladder.len() == 1 { ladder.remove(0) } else { json!(ladder) };
    rule
}

pub(crate) fn terms(dice: &mut Dice) -> Value {
    let mut paint = json!({"surface": "paint", "lasts": {"days": 200 + dice.below(500)}});
    if dice.one_in(3) {
        paint["up_to_km"] = json!(4_000 + dice.below(30_000));
    }
    let upkeep: Vec<Value> = (0..=dice.below(3)).map(|n| rule(dice, n)).collect();
    let mut terms = json!({
        "terms": "lustrum-terms/1", "code": "invented", "edition": 1, "title": "Invented",
        "cover": [paint, {"surface": "glass", "lasts": {"months": 7 + dice.below(9)}}],
        "upkeep": upkeep,
        "breaches": [consequence(dice, true), consequence(dice, true)],
    });
    terms["breaches"][0]["key"] = json!("abrasive wash");
    terms["breaches"][1]["key"] = json!("polished elsewhere");
    if dice.one_in(2) {
        terms["breaches"][1]["surfaces"] = json!(["paint"]);
    }
    if dice.one_in(2) {
        terms["transfer"] = json!({"allowed": true, "tell_within": {"days": dice.below(30)},
                                   "owners": 1 + dice.below(3)});
        if dice.one_in(2) {
            terms["transfer"]["inspect_within"] = json!({"days": dice.below(40)});
        }
    } else if dice.one_in(6) {
        terms["transfer"] = json!({"allowed": false});
    }
    if dice.one_in(2) {
        terms["repair"] = if dice.one_in(4) {
            json!({"restores": false})
        } else {
            json!({"recoat_within": {"days": dice.below(40)}})
        };
    }
    if dice.one_in(2) {
        terms["entry_within"] = json!({"days": dice.below(8)});
    }
    if dice.one_in(2) {
        terms["working_days"] = json!(["mon", "wed", "fri"]);
        terms["holidays"] = json!(["2026-03-02", "2026-03-04", "2026-05-01"]);
    }
    terms
}

pub(crate) fn facts(dice: &mut Dice, terms: &Value) -> Value {
    let start: Day = START.parse().unwrap();
    let keys: Vec<String> = terms["upkeep"]
        .as_array()
        .unwrap()
        .iter()
        .map(|rule| rule["key"].as_str().unwrap().to_owned())
        .collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    let mut events = Vec::new();
    for n in 0..dice.below(22) {
        let away = i32::try_from(dice.below(780)).unwrap() - 20;
        let on = start.plus_days(away);
        let later = |dice: &mut Dice| on.plus_days(i32::try_from(dice.below(60)).unwrap());
        let mut event = match dice.below(16) {
            0 => json!({"kind": "reading"}),
            1 if dice.one_in(2) => json!({"kind": "transfer", "told": later(dice)}),
            1 => json!({"kind": "transfer"}),
            2 => json!({"kind": "repair", "surface": "paint", "panel": dice.pick(&["bonnet", "roof"])}),
            3 => json!({"kind": "recoat", "surface": "paint", "panel": dice.pick(&["bonnet", "roof"])}),
            4 => json!({"kind": "breach", "key": dice.pick(&["abrasive wash", "polished elsewhere"])}),
            5 => json!({"kind": "waive", "upkeep": dice.pick(&keys), "number": 1 + dice.below(6)}),
            6 => json!({"kind": "extend", "upkeep": dice.pick(&keys), "number": 1 + dice.below(6),
                        "to": later(dice)}),
            7 if dice.one_in(4) => json!({"kind": "close"}),
            8 if n > 0 => {
                let event = format!("e{}", dice.below(n));
                json!({"kind": "retract", "event": event})
            }
            _ => json!({"kind": "service", "service": dice.pick(&SERVICES), "by": dice.pick(&RANKS)}),
        };
        if event["kind"] == "service" && dice.one_in(8) {
            event["carried_out"] = json!(false);
        }
        event["id"] = json!(format!("e{n}"));
        event["on"] = json!(on);
        if dice.one_in(2) {
            event["km"] = json!(i64::from(away.max(0)) * 30 + i64::try_from(dice.below(2_000)).unwrap());
        }
        if dice.one_in(3) {
            let entered = on.plus_days(i32::try_from(dice.below(20)).unwrap());
            event["recorded"] = json!(format!("{entered}T{:02}:30:00Z", dice.below(24)));
        }
        events.push(event);
    }
    // A retraction of a retraction is refused: the later one goes.
    let kind_of = |id: &Value, events: &[Value]| {
        events.iter().find(|event| event["id"] == *id).map(|event| event["kind"].clone())
    };
    let events: Vec<Value> = events
        .iter()
        .filter(|event| {
            event["kind"] != "retract" || kind_of(&event["event"], &events) != Some(json!("retract"))
        })
        .cloned()
        .collect();
    json!({"start": START, "start_km": 100, "time_zone": "Pacific/Auckland", "surfaces": ["paint", "glass"],
           "events": events})
}

/// Rules and facts of a number; none where the terms that came out are refused (nobody could keep them).
pub(crate) fn case(seed: u64) -> Option<(Value, Value)> {
    let mut dice = Dice::new(seed);
    let terms = terms(&mut dice);
    Terms::read(&terms).ok()?;
    let facts = facts(&mut dice, &terms);
    Some((terms, facts))
}

pub(crate) fn ready(terms: &Value, facts: &Value) -> (Rules, Facts) {
    let rules = Rules::compile(&Terms::read(terms).unwrap_or_else(|faults| panic!("{faults:?}")));
    let facts = Facts::read(facts, &rules).unwrap_or_else(|faults| panic!("{faults:?}\n{facts}"));
    (rules, facts)
}
