//! Worked and generated cases of the warranty engine. The expected answers of the generated ones come from an
//! independent implementation that does all calendar arithmetic with python-dateutil.

use lustrum::core::assess::{Assessment, Verdict, assess};
use lustrum::core::calendar::{Day, instant};
use lustrum::core::facts::Facts;
use lustrum::core::terms::{Rules, Terms};
use serde_json::{Value, json};

/// The verdict of a case, in the members that are compared.
pub(crate) fn verdict_of(case: &Value) -> Value {
    let terms = Terms::read(&case["terms"]).unwrap_or_else(|faults| panic!("terms: {faults:?}"));
    let rules = Rules::compile(&terms);
    let facts = Facts::read(&case["facts"], &rules).unwrap_or_else(|faults| panic!("facts: {faults:?}"));
    let as_of: Day = case["as_of"].as_str().unwrap().parse().unwrap();
    let known_at = case["known_at"].as_str().map(|text| instant(text).unwrap());
    let mut verdict = Verdict::default();
    assess(&rules, &facts, as_of, known_at, &mut verdict);
    let answer = serde_json::to_value(Assessment::of(&rules, &facts, &verdict)).unwrap();
    json!({"as_of": answer["as_of"], "cover": answer["cover"], "dues": answer["dues"], "panels": answer["panels"]})
}

#[test]
fn worked_cases() {
    let cases: Vec<Value> = serde_json::from_str(include_str!("scenarios/worked.json")).unwrap();
    assert!(cases.len() >= 57);
    for case in &cases {
        let (name, why) = (&case["name"], &case["why"]);
        assert_eq!(verdict_of(case), case["expect"], "{name}: {why}");
    }
}

#[test]
fn generated_cases() {
    let cases = include_str!("scenarios/random.jsonl").lines();
    let expected = include_str!("scenarios/random.expected.jsonl").lines();
    let mut count = 0;
    for (i, (case, expected)) in cases.zip(expected).enumerate() {
        let case: Value = serde_json::from_str(case).unwrap();
        let expected: Value = serde_json::from_str(expected).unwrap();
        assert_eq!(verdict_of(&case), expected, "line {}", i + 1);
        count += 1;
    }
    assert_eq!(count, 300);
}

/// "The first day after as_of on which cover, dues or panels differ": unchanged facts give the same answer until the
/// day before it, and another one on it.
#[test]
fn next_change_is_the_next_change() {
    for case in include_str!("scenarios/random.jsonl").lines().take(120) {
        let case: Value = serde_json::from_str(case).unwrap();
        let terms = Terms::read(&case["terms"]).unwrap();
        let rules = Rules::compile(&terms);
        let facts = Facts::read(&case["facts"], &rules).unwrap();
        let start: Day = case["facts"]["start"].as_str().unwrap().parse().unwrap();
        let known_at = case["known_at"].as_str().map(|text| instant(text).unwrap());
        let (mut now, mut then) = (Verdict::default(), Verdict::default());
        let mut day = start.plus_days(-40);
        let end = start.plus_days(900);
        assess(&rules, &facts, day, known_at, &mut now);
        while day < end {
            day = day.plus_days(1);
            assess(&rules, &facts, day, known_at, &mut then);
            let same = now.cover == then.cover && now.dues == then.dues && now.panels == then.panels;
            let said = now.next_change.is_none_or(|change| change > day);
            assert_eq!(
                same, said,
                "{} on {day}, after {}: {:?}",
                case["facts"]["start"], now.as_of, now.next_change
            );
            if !same {
                std::mem::swap(&mut now, &mut then);
            }
        }
    }
}
