//! Survival and exact tests against published data (tests/reference), and by their laws.
#![allow(clippy::cast_precision_loss, reason = "numbers of tests are small, and some are exact")]

use lustrum::core::fisher;
use lustrum::core::survival::{Observed, curve, log_rank};
use proptest::prelude::*;
use serde_json::{Value, json};

use super::table::rows;
use crate::support::calc::{ask, close, number, refused};

/// Remission in weeks (Freireich et al. 1963, Blood 21, 699–716): the data of reference/kaplan_meier.csv, whose rows
/// are checked against them below. `false`: still in remission.
fn freireich() -> [(&'static str, Vec<(f64, bool)>); 2] {
    let treated = [
        (6, true),
        (6, true),
        (6, true),
        (6, false),
        (7, true),
        (9, false),
        (10, true),
        (10, false),
        (11, false),
        (13, true),
        (16, true),
        (17, false),
        (19, false),
        (20, false),
        (22, true),
        (23, true),
        (25, false),
        (32, false),
        (32, false),
        (34, false),
        (35, false),
    ];
    let placebo = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23];
    [
        ("6-MP", treated.map(|(week, event)| (f64::from(week), event)).to_vec()),
        ("placebo", placebo.map(|week| (f64::from(week), true)).to_vec()),
    ]
}

fn asked() -> Value {
    let all: Vec<(&str, f64, bool)> = freireich()
        .iter()
        .flat_map(|(arm, those)| those.iter().map(|(week, event)| (*arm, *week, *event)).collect::<Vec<_>>())
        .collect();
    json!({"calc": "survival",
        "durations": all.iter().map(|one| one.1).collect::<Vec<_>>(),
        "events": all.iter().map(|one| one.2).collect::<Vec<_>>(),
        "groups": all.iter().map(|one| one.0).collect::<Vec<_>>()})
}

/// A fraction as written, `160/357`.
fn fraction(text: &str) -> f64 {
    let (above, below) = text.split_once('/').unwrap();
    above.parse::<f64>().unwrap() / below.parse::<f64>().unwrap()
}

#[test]
fn curves_are_those_of_the_trial() {
    let answer = ask(asked());
    let table = rows(include_str!("../reference/kaplan_meier.csv"));
    assert!(table.len() >= 19);
    for row in table {
        let week: f64 = row["week"].parse().unwrap();
        let steps = answer["curve"][&row["arm"]].as_array().unwrap();
        let step =
            steps.iter().find(|step| step["t"] == week).unwrap_or_else(|| panic!("{}: no week", row["id"]));
        assert_eq!(step["at_risk"].to_string(), row["at_risk"], "{}", row["id"]);
        assert_eq!(step["events"].to_string(), row["relapses"], "{}", row["id"]);
        let wanted = fraction(&row["survival_fraction"]);
        assert!(close(number(step, "survival"), wanted, 1e-12), "{}: {step}, {}", row["id"], row["source"]);
        assert!(
            close(number(step, "se"), row["greenwood_se"].parse().unwrap(), 1e-9),
            "{}: {step}",
            row["id"]
        );
    }
}

#[test]
fn arms_differ_as_published() {
    let table: Value = serde_json::from_str(include_str!("../reference/tests.json")).unwrap();
    let case = table["cases"].as_array().unwrap().iter().find(|case| case["kind"] == "log-rank").unwrap();
    let test = &ask(asked())["log_rank"];
    let (chi2, p) = (case["expected_chi2"].as_f64().unwrap(), case["p"].as_f64().unwrap());
    assert!(close(number(test, "chi2"), chi2, 1e-11), "{test}, {}", case["source"]);
    assert!(close(number(test, "p"), p, 1e-12), "{test}, {}", case["source"]);
}

/// statsmodels 0.15.0, survdiff, on invented data: chi-squared and p.
#[test]
fn three_groups_are_compared_at_once() {
    let question = json!({"calc": "survival",
        "durations": [5, 8, 12, 3, 9, 9, 15, 20, 2, 7, 7, 11, 18, 4, 6],
        "events": [true, true, false, true, true, true, false, true, true, true, false, true, true, true, true],
        "groups": ["a", "a", "a", "b", "b", "b", "b", "b", "c", "c", "c", "c", "c", "a", "c"]});
    let test = &ask(question)["log_rank"];
    assert!(close(number(test, "chi2"), 1.103524436555857, 1e-12), "{test}");
    assert!(close(number(test, "p"), 0.5759339941869959, 1e-12), "{test}");
}

#[test]
fn without_groups_there_is_one_curve_and_nothing_to_compare() {
    let answer = ask(json!({"calc": "survival", "durations": [3, 1, 2], "events": [true, false, true]}));
    assert_eq!(answer["curve"][0], json!({"t": 1.0, "at_risk": 3, "events": 0, "survival": 1.0, "se": 0.0}));
    assert_eq!(answer["curve"][2]["survival"], 0.0);
    assert_eq!(answer.get("log_rank"), None);
    // Groups can have numbers for names.
    let numbered =
        ask(json!({"calc": "survival", "durations": [3, 1], "events": [true, true], "groups": [2, 10]}));
    assert_eq!(numbered["curve"]["2"].as_array().map(Vec::len), Some(1));
    // One group, or none whose members were there when the first event came.
    for (events, groups) in
        [([true, true], ["a", "a"]), ([false, false], ["a", "b"]), ([false, true], ["a", "b"])]
    {
        let answer =
            ask(json!({"calc": "survival", "durations": [1, 2], "events": events, "groups": groups}));
        assert_eq!(answer.get("log_rank"), None, "{events:?} {groups:?}");
    }
}

#[test]
fn exact_tests_are_those_of_the_table() {
    let table: Value = serde_json::from_str(include_str!("../reference/tests.json")).unwrap();
    let mut judged = 0;
    for case in table["cases"].as_array().unwrap().iter().filter(|case| case["kind"] == "Fisher exact") {
        let answer = ask(json!({"calc": "fisher", "table": case["table"]}));
        for member in ["p_two_sided", "p_greater"] {
            let (found, wanted) = (number(&answer, member), case[member].as_f64().unwrap());
            assert!(close(found, wanted, 1e-12), "{} {member}: {found}, {}", case["id"], case["source"]);
        }
        match case["odds_ratio_sample"].as_f64() {
            Some(odds) => assert!(close(number(&answer, "odds_ratio"), odds, 1e-12), "{}", case["id"]),
            None => assert_eq!(answer["odds_ratio"], Value::Null, "{}", case["id"]),
        }
        judged += 1;
    }
    assert!(judged >= 7, "{judged} cases");
}

#[test]
fn what_cannot_be_tested_is_refused() {
    let fault = |place: &str, code| (place.to_owned(), code);
    assert_eq!(
        refused(json!({"calc": "survival", "durations": [1, -2], "events": [true], "groups": ["a"]})),
        [fault("/events", "wrong_length"), fault("/groups", "wrong_length")]
    );
    assert_eq!(
        refused(json!({"calc": "survival", "durations": [1, -2], "events": [true, true]})),
        [fault("/durations/1", "out_of_range")]
    );
    assert_eq!(
        refused(json!({"calc": "survival", "durations": [], "events": []})),
        [fault("/durations", "empty")]
    );
    assert_eq!(
        refused(json!({"calc": "fisher", "table": [[9_000_000, 1], [1, 9_000_000]]})),
        [fault("/table", "out_of_range")]
    );
}

proptest! {
    /// Without anything censored the curve is the share that is left.
    #[test]
    fn a_curve_of_events_alone_counts_what_is_left(weeks in proptest::collection::vec(0_u32..30, 1..60)) {
        let observed: Vec<Observed> =
            weeks.iter().map(|week| Observed::new(f64::from(*week), true).unwrap()).collect();
        for step in curve(&observed) {
            let left = weeks.iter().filter(|week| f64::from(**week) > step.t).count() as f64;
            let share = left / weeks.len() as f64;
            prop_assert!(close(step.survival, share, 1e-12));
            // Greenwood's error is then that of a share.
            prop_assert!(close(step.se, (share * (1.0 - share) / weeks.len() as f64).sqrt(), 1e-12));
        }
    }

    #[test]
    fn the_order_of_groups_does_not_matter(
        one in proptest::collection::vec((0_u32..30, any::<bool>()), 1..20),
        two in proptest::collection::vec((0_u32..30, any::<bool>()), 1..20),
        three in proptest::collection::vec((0_u32..30, any::<bool>()), 1..20),
    ) {
        let [one, two, three] = [one, two, three].map(|those| {
            those.into_iter().map(|(week, event)| Observed::new(f64::from(week), event).unwrap()).collect::<Vec<_>>()
        });
        let forth = log_rank(&[one.clone(), two.clone(), three.clone()]);
        let back = log_rank(&[three, one, two]);
        match (forth, back) {
            (Some(forth), Some(back)) => {
                prop_assert!(close(forth.chi2, back.chi2, 1e-8 * (1.0 + forth.chi2)));
                prop_assert!((0.0..=1.0).contains(&forth.p));
            }
            (forth, back) => prop_assert_eq!(forth, back),
        }
    }

    /// The sums over all tables with the same margins, and the symmetry of the two-sided test.
    #[test]
    fn exact_probabilities_go_together(a in 0_u32..40, b in 0_u32..40, c in 0_u32..40, d in 0_u32..40) {
        let test = fisher::test([[a, b], [c, d]]).unwrap();
        let turned = fisher::test([[b, a], [d, c]]).unwrap();
        prop_assert!(close(test.p_two_sided, turned.p_two_sided, 1e-9));
        // P(A ≥ a) + P(A ≤ a) counts the table itself twice.
        let both = test.p_greater + turned.p_greater;
        prop_assert!((1.0 - 1e-12..=2.0).contains(&both));
        prop_assert!(test.p_two_sided <= 1.0 && test.p_greater > 0.0);
    }
}

/// Holm 1979: the order stays, and nothing becomes likelier than it was.
#[test]
fn several_tests_are_judged_together() {
    assert_eq!(fisher::holm(&[]), Vec::<f64>::new());
    assert_eq!(fisher::holm(&[0.6, 0.5]), [1.0, 1.0]);
    let given = [0.2, 0.001, 0.05, 0.001];
    let found = fisher::holm(&given);
    assert!(given.iter().zip(&found).all(|(given, found)| given <= found));
    assert!(close(found[1], 0.004, 1e-12) && close(found[2], 0.1, 1e-12) && close(found[0], 0.2, 1e-12));
}
