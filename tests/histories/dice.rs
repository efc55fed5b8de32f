//! What happens to a vehicle, thrown with dice that always fall alike; and the terms that it happens under.

use chrono::{Days, NaiveDate};
use serde_json::{Value, json};

/// One random number after the other (SplitMix64), the same on each run.
#[derive(Debug, Clone)]
pub(super) struct Dice(pub(super) u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to `below` - 1.
    pub(super) fn below(&mut self, below: u64) -> u64 {
        self.roll() % below
    }

    pub(super) fn one_of<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[usize::try_from(self.below(of.len() as u64)).unwrap()]
    }
}

/// Something to be entered, `late` days after it happened.
#[derive(Debug, Clone)]
pub(super) enum Happening {
    Visit { late: u64, service: &'static str, carried_out: bool, with_odometer: bool, elsewhere: bool },
    Reading,
    Event { late: u64, body: Value },
    Sale { told: bool },
    TakeBack,
    Countersign,
    Told { late: u64 },
    ReadAgain,
    Waive { upkeep: &'static str, number: u32 },
    Extend { upkeep: &'static str, number: u32, by: u64 },
}

pub(super) fn long_terms() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "quarter", "edition": 1, "title": "A quarter",
        "cover": [{"surface": "paint", "lasts": {"days": 90}, "up_to_km": 6000}, {"surface": "glass", "lasts": {"months": 2}}],
        "upkeep": [
            {"key": "look", "service": ["inspection", "reconditioning"], "by": "accredited", "counted_from": "start",
             "every": {"weeks": 3}, "early": {"days": 5}, "late": {"days": 4},
             "if_missed": [{"effect": "note"}, {"effect": "suspend", "make_good_within": {"days": 9}, "with": "reconditioning"}, {"effect": "end"}]},
            {"key": "wash", "service": "maintenance wash", "counted_from": "last", "first_after": {"days": 6}, "not_before": {"days": 2},
             "every": {"days": 10}, "late": {"days": 3}, "every_km": 900, "late_km": 150, "surfaces": ["paint"],
             "if_missed": {"effect": "shorten", "take_off": {"days": 2}}}
        ],
        "breaches": [{"key": "brush", "effect": "suspend", "with": ["reconditioning", "topper"], "make_good_within": {"days": 8}},
                     {"key": "polish", "effect": "end", "surfaces": ["glass"]}],
        "transfer": {"allowed": true, "tell_within": {"days": 6}, "inspect_within": {"days": 12}, "owners": 2},
        "repair": {"restores": true, "recoat_within": {"days": 10}},
        "entry_within": {"days": 4},
        "working_days": ["mon", "tue", "wed", "thu", "fri", "sat"], "holidays": ["2026-04-06", "2026-05-01"]
    })
}

pub(super) fn short_terms() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "six-weeks", "edition": 1, "title": "Six weeks",
        "cover": [{"surface": "paint", "lasts": {"weeks": 6}}],
        "upkeep": [{"key": "top", "service": "topper", "by": "shop", "counted_from": "last", "every": {"days": 12}, "late": {"days": 2},
                    "if_missed": [{"effect": "suspend", "with": "topper"}, {"effect": "end"}]}],
        "begins": {"on": "handover", "after": {"days": 3}}
    })
}

/// Five to twelve things in the days after the first.
pub(super) fn plan(dice: &mut Dice, first: NaiveDate) -> Vec<(NaiveDate, Happening)> {
    let many = 5 + dice.below(8);
    let mut plan: Vec<_> = (0..many).map(|_| (first + Days::new(dice.below(100)), happening(dice))).collect();
    plan.sort_by_key(|(on, _)| *on);
    plan
}

fn happening(dice: &mut Dice) -> Happening {
    // Half of all is entered on the day on which it happened; the rest up to nine days later.
    let late = if dice.below(2) == 0 { 0 } else { dice.below(10) };
    let surface = *dice.one_of(&["paint", "glass"]);
    let panel = if surface == "glass" { "windscreen" } else { "bonnet" };
    match dice.below(20) {
        0..=6 => Happening::Visit {
            late,
            service: dice.one_of::<&str>(&["inspection", "maintenance wash", "reconditioning", "topper"]),
            carried_out: dice.below(8) > 0,
            with_odometer: dice.below(2) == 0,
            elsewhere: dice.below(5) == 0,
        },
        7 => Happening::Reading,
        8 => Happening::Event { late, body: json!({"kind": "repair", "surface": surface, "panel": panel}) },
        9 => Happening::Event { late, body: json!({"kind": "recoat", "surface": surface, "panel": panel}) },
        10 => Happening::Event {
            late,
            body: json!({"kind": "breach", "key": dice.one_of(&["brush", "polish"])}),
        },
        11 if dice.below(4) == 0 => {
            Happening::Event { late: 0, body: json!({"kind": "close", "reason": "exported"}) }
        }
        12 => Happening::Sale { told: dice.below(2) == 0 },
        13 => Happening::Waive {
            upkeep: dice.one_of::<&str>(&["look", "wash"]),
            number: 1 + u32::try_from(dice.below(4)).unwrap(),
        },
        14 => Happening::Extend {
            upkeep: dice.one_of::<&str>(&["look", "wash"]),
            number: 1 + u32::try_from(dice.below(4)).unwrap(),
            by: 1 + dice.below(20),
        },
        15 | 16 => Happening::Countersign,
        17 => Happening::Told { late },
        18 => Happening::ReadAgain,
        _ => Happening::TakeBack,
    }
}
