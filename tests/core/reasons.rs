//! Reasons are true: what a deciding line names is what decides, and what another line names changes nothing. Each is
//! tried by taking it away and judging again, on worked cases and invented ones.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use lustrum::core::assess::{Assessment, Reason, Verdict, assess, explain};
use lustrum::core::calendar::{Day, instant};
use lustrum::core::facts::Facts;
use lustrum::core::terms::{Rules, Terms};
use proptest::prelude::*;
use serde_json::{Value, json};

use super::invented::{START, case};

/// A case that is asked about, with only what was known and had happened on its day.
#[derive(Clone)]
struct Case {
    terms: Value,
    facts: Value,
    as_of: Day,
}

impl Case {
    fn new(terms: &Value, facts: &Value, as_of: Day, known_at: Option<&str>) -> Self {
        let known_at = known_at.map(|text| instant(text).unwrap());
        let known = |event: &Value| {
            let recorded = event["recorded"].as_str().map(|text| instant(text).unwrap());
            known_at.is_none_or(|known_at| recorded.is_none_or(|recorded| recorded <= known_at))
        };
        let day = |value: &Value| value.as_str().and_then(|text| text.parse::<Day>().ok());
        let (terms, mut facts) = (terms.clone(), facts.clone());
        if let Some(events) = facts.get_mut("events").and_then(Value::as_array_mut) {
            events.retain(|event| {
                known(event) && (event["kind"] == "retract" || day(&event["on"]).unwrap() <= as_of)
            });
            let there: Vec<Value> = events.iter().map(|event| event["id"].clone()).collect();
            events.retain(|event| event["kind"] != "retract" || there.contains(&event["event"]));
            let retracted: Vec<Value> = events.iter().map(|event| event["event"].clone()).collect();
            for event in events {
                if day(&event["told"]).is_some_and(|told| told > as_of) {
                    event["told"] = Value::Null;
                }
                if !retracted.contains(&event["instead_of"]) {
                    event["instead_of"] = Value::Null;
                }
            }
        }
        Self { terms, facts, as_of }
    }

    fn judged(&self, as_of: Day) -> Option<(Rules, Facts, Verdict)> {
        let rules = Rules::compile(&Terms::read(&self.terms).ok()?);
        let facts = Facts::read(&self.facts, &rules).ok()?;
        let mut verdict = Verdict::default();
        assess(&rules, &facts, as_of, None, &mut verdict);
        Some((rules, facts, verdict))
    }

    /// Cover, dues and panels on a day; none where terms or facts are refused.
    fn outcome(&self, as_of: Day) -> Option<Value> {
        let (rules, facts, verdict) = self.judged(as_of)?;
        let all = Assessment::of(&rules, &facts, &verdict);
        Some(json!([all.cover, all.dues, all.panels]))
    }

    fn reasons(&self) -> Vec<Reason> {
        let (rules, facts, verdict) = self.judged(self.as_of).expect("the case is sound");
        explain(&rules, &facts, &verdict).reasons
    }

    fn events(&self) -> &[Value] {
        self.facts["events"].as_array().map_or(&[], Vec::as_slice)
    }

    fn event(&self, id: &str) -> &Value {
        self.events().iter().find(|event| event["id"] == id).expect("a reason names an event that there is")
    }

    /// Without some events, what takes them back and what stands instead of them; the distances that they show are
    /// kept, unless those are what it is about.
    fn without(&self, shown: bool, gone: impl Fn(&Value) -> bool) -> Self {
        let mut case = self.clone();
        let Some(events) = case.facts.get_mut("events").and_then(Value::as_array_mut) else { return case };
        for event in events.iter_mut().filter(|event| event["kind"] != "retract" && gone(event)) {
            let mut emptied = json!({"id": event["id"], "kind": "reading", "on": event["on"]});
            if event["kind"] == "service" {
                // Services come first on a day.
                emptied["kind"] = json!("service");
                emptied["service"] = json!("nothing of the kind");
                emptied["by"] = event["by"].clone();
            }
            if shown {
                emptied["km"] = event["km"].clone();
            }
            *event = emptied;
        }
        case
    }

    /// Whether another case comes out otherwise, on the day asked about or the day after a later one.
    fn differs(&self, other: &Self, later: Day) -> bool {
        [self.as_of, later.plus_days(1)].into_iter().filter(|day| *day >= self.as_of).any(|day| {
            let outcome = other.outcome(day);
            outcome.is_some() && outcome != self.outcome(day)
        })
    }
}

/// The same documents without what a path names, or with something harmless in its place where it cannot be left out.
fn without_clause(case: &Case, clause: &str) -> Vec<Case> {
    let path: Vec<&str> = clause.split('.').collect();
    let mut left_out = case.clone();
    let parent =
        resolve(&mut left_out.terms, &path[..path.len() - 1]).expect("the clause stands in the terms");
    let name = *path.last().unwrap();
    let was = member(parent, name).expect("the clause stands in the terms").clone();
    match parent {
        Value::Object(members) => _ = members.remove(name),
        Value::Array(items) => items.retain(|item| item["key"] != name),
        _ => unreachable!(),
    }
    match path[..] {
        ["working_days"] => _ = left_out.terms.as_object_mut().unwrap().remove("holidays"),
        ["transfer", "allowed"] => _ = left_out.terms.as_object_mut().unwrap().remove("transfer"),
        ["upkeep", key] => left_out = left_out.without(true, |event| event["upkeep"] == key),
        _ => {}
    }
    let harmless = match name {
        "service" | "with" => vec![json!("nothing of the kind")],
        "lasts" | "every" | "first_after" | "late" => [1, 5].iter().map(|n| longer(&was, *n)).collect(),
        _ if clause.contains(".if_missed") => vec![json!({"effect": "note"})],
        _ => Vec::new(),
    };
    let instead = harmless.into_iter().map(|harmless| {
        let mut case = case.clone();
        *resolve(&mut case.terms, &path).expect("the clause stands in the terms") = harmless;
        case
    });
    std::iter::once(left_out).chain(instead).collect()
}

fn longer(period: &Value, days: u64) -> Value {
    let mut period = period.clone();
    period["days"] = json!(period["days"].as_u64().unwrap_or(0) + days);
    period
}

/// A member by its name, an item of a list by its key, its surface or its number. The only item of a list stands for
/// the list.
fn member<'v>(value: &'v mut Value, name: &str) -> Option<&'v mut Value> {
    match value {
        Value::Object(members) => members.get_mut(name),
        Value::Array(items) => {
            if let Some(i) = items.iter().position(|item| item["key"] == name || item["surface"] == name) {
                return items.get_mut(i);
            }
            match name.parse::<usize>() {
                Ok(i) => items.get_mut(i),
                Err(_) if items.len() == 1 => member(&mut items[0], name),
                Err(_) => None,
            }
        }
        _ => None,
    }
}

fn resolve<'v>(value: &'v mut Value, path: &[&str]) -> Option<&'v mut Value> {
    path.iter().try_fold(value, |value, name| member(value, name))
}

/// What else would have led to the same: it has to go as well for the outcome to be another.
fn twin(one: &Value, other: &Value, of_distance: bool) -> bool {
    let same = |members: &[&str]| members.iter().all(|name| one[*name] == other[*name]);
    match one["kind"].as_str() {
        // Several events of one day that all show the distance as passed.
        _ if of_distance => same(&["on"]),
        Some("waive") => same(&["kind", "upkeep", "number"]),
        Some("extend") => same(&["kind", "upkeep", "number", "to"]),
        _ => false,
    }
}

/// The same case where a service is as the lines that refuse it for a rule would have it; none where they name
/// nothing that could be put right: it came before the start, after the end, a second time or for nothing.
fn put_right(case: &Case, lines: &[&Reason]) -> Option<Case> {
    let before = case.outcome(case.as_of)?;
    let met_on = |due: &str| {
        let named = |one: &&Value| format!("{}#{}", one["upkeep"].as_str().unwrap(), one["number"]) == due;
        before[1].as_array().unwrap().iter().find(named).map(|due| due["met_on"].clone())
    };
    let mut case = case.clone();
    for line in lines {
        let id = line.event.as_ref()?;
        let clause = line.clause.as_deref()?;
        if clause.ends_with(".not_before") {
            case = without_clause(&case, clause).remove(0);
        }
        let events = case.facts["events"].as_array_mut()?;
        let event = events.iter_mut().find(|event| event["id"] == **id)?;
        match (clause.rsplit('.').next()?, line.dates.as_slice()) {
            ("entry_within", _) => event["countersigned"] = json!(true),
            ("by", _) => event["by"] = json!("accredited"),
            ("not_before", _) => {}
            ("service", _) if event["carried_out"] == false => event["carried_out"] = json!(true),
            // Another service of that day may come first.
            (_, [_, counts]) if met_on(line.due.as_ref()?) != Some(json!(counts)) => {
                event["on"] = json!(counts);
                event["countersigned"] = json!(true);
                case.as_of = case.as_of.max(*counts);
            }
            _ => return None,
        }
    }
    Some(case)
}

/// Services that were refused: what is named, put right, makes them count.
fn check_refused(case: &Case, reasons: &[Reason]) -> Result<(), String> {
    let rule = |reason: &Reason| {
        let of_due = reason.due.as_ref().and_then(|due| Some(due.split('#').next()?.to_owned()));
        let of_clause = reason.clause.as_ref().and_then(|clause| clause.strip_prefix("upkeep."));
        of_due.or(of_clause.and_then(|rest| Some(rest.split('.').next()?.to_owned())))
    };
    let refused = |reason: &&Reason| {
        !reason.decided && reason.event.as_ref().is_some_and(|id| case.event(id)["kind"] == "service")
    };
    let refused: Vec<&Reason> = reasons.iter().filter(refused).collect();
    let groups: BTreeSet<_> =
        refused.iter().filter_map(|one| Some((one.event.clone(), rule(one)?))).collect();
    for (event, key) in groups {
        let mine = |one: &&&Reason| one.event == event && rule(one).is_none_or(|rule| rule == key);
        let lines: Vec<&Reason> = refused.iter().filter(mine).copied().collect();
        if let Some(right) = put_right(case, &lines)
            && right.outcome(right.as_of) == case.outcome(right.as_of)
        {
            return Err(format!(
                "put right, it does not count: {lines:?}\non {}\nterms {}\nfacts {}\n{:#?}",
                case.as_of,
                case.terms,
                case.facts,
                case.outcome(case.as_of)
            ));
        }
    }
    Ok(())
}

fn check(case: &Case, seen: &mut BTreeSet<String>) -> Result<(), String> {
    let reasons = case.reasons();
    check_refused(case, &reasons)?;
    for reason in &reasons {
        let later = reason.dates.last().copied().unwrap_or(case.as_of);
        let tell = |what: &str| {
            format!(
                "{what} {reason:?}\non {}\nterms {}\nfacts {}\n{:#?}",
                case.as_of,
                case.terms,
                case.facts,
                case.outcome(case.as_of)
            )
        };
        if let Some(id) = &reason.event {
            let event = case.event(id);
            let told = reasons.iter().any(|other| other.decided && other.event.as_ref() == Some(id));
            if reason.decided {
                let of_distance = reason.clause.as_deref().is_some_and(|clause| clause.ends_with("_km"));
                let gone = |other: &Value| other["id"] == *id || twin(event, other, of_distance);
                if !case.differs(&case.without(!of_distance, gone), later) {
                    return Err(tell("without its event the outcome is the same:"));
                }
            } else if !told {
                let without = case.without(true, |other| other["id"] == *id);
                if case.outcome(case.as_of) != without.outcome(case.as_of) {
                    return Err(tell("it decides all the same:"));
                }
            }
        }
        if let (Some(clause), true) = (&reason.clause, reason.decided) {
            let alike = |other: &&Reason| other.event == reason.event && other.dates == reason.dates;
            let alike: BTreeSet<&str> =
                reasons.iter().filter(alike).filter_map(|other| other.clause.as_deref()).collect();
            // Terms can ask for two things by the same day after a sale; then both have to go.
            let both = clause.starts_with("transfer.").then(|| {
                alike
                    .into_iter()
                    .filter(|other| *other != clause)
                    .fold(case.clone(), |case, other| without_clause(&case, other).remove(0))
            });
            let from = both.unwrap_or_else(|| case.clone());
            if !without_clause(&from, clause).iter().any(|without| case.differs(without, later)) {
                return Err(tell("without its clause the outcome is the same:"));
            }
        }
        let kind = reason.clause.as_deref().map_or("", |clause| clause.rsplit('.').next().unwrap());
        seen.insert(format!("{kind} {}", reason.decided));
    }
    Ok(())
}

fn worked() -> Vec<(Value, Case)> {
    let cases: Vec<Value> = serde_json::from_str(include_str!("scenarios/worked.json")).unwrap();
    let case = |one: Value| {
        let as_of = one["as_of"].as_str().unwrap().parse().unwrap();
        let case = Case::new(&one["terms"], &one["facts"], as_of, one["known_at"].as_str());
        (one["name"].clone(), case)
    };
    cases.into_iter().map(case).collect()
}

#[test]
fn reasons_of_worked_cases_are_true() {
    let mut seen = BTreeSet::new();
    for (name, case) in worked() {
        if let Err(text) = check(&case, &mut seen) {
            panic!("{name}: {text}");
        }
    }
    let missing: Vec<_> = CLAUSES.iter().filter(|clause| !seen.contains(**clause)).collect();
    assert!(missing.is_empty(), "no worked case tries {missing:?}; tried are {seen:?}");
}

/// The last members of the clauses by which the worked cases give reasons, and whether those decide.
const CLAUSES: &[&str] = &[
    " true",
    " false",
    "abrasive-wash true",
    "annual true",
    "by false",
    "early false",
    "entry_within false",
    "if_missed true",
    "inspect_within true",
    "lasts true",
    "late true",
    "late_km true",
    "make_good_within true",
    "not_before false",
    "owners true",
    "recoat_within false",
    "service false",
    "service true",
    "tell_within true",
    "up_to_km true",
    "with true",
];

/// All reasons of the worked cases, with what a service would do and what lies ahead, to be read by people.
#[test]
fn worked_cases_explained() {
    let mut told = String::new();
    for (name, case) in worked() {
        let (rules, facts, verdict) = case.judged(case.as_of).unwrap();
        let explained = explain(&rules, &facts, &verdict);
        _ = writeln!(told, "{} on {}", name.as_str().unwrap(), case.as_of);
        for reason in &explained.reasons {
            let mark = if reason.decided { "-" } else { "o" };
            let by = [reason.clause.as_ref(), reason.event.as_ref(), reason.due.as_ref()];
            let by: Vec<&str> = by.into_iter().flatten().map(String::as_str).collect();
            _ = writeln!(told, "  {mark} {} ({})", reason.text, by.join(", "));
        }
        for one in &explained.today {
            let from = one.from.map_or_else(String::new, |from| format!(" until {from}"));
            let number = one.number.map_or_else(String::new, |number| format!(" number {number}"));
            _ = writeln!(
                told,
                "  today: {} by {}: {} for {}{number}{from}",
                one.services.join(" or "),
                one.by,
                one.outcome,
                one.upkeep
            );
        }
        for (name, next) in explained.ahead.cover.iter().chain(&explained.ahead.upkeep) {
            let km = next.km.map_or_else(String::new, |km| format!(", {km} km at the latest"));
            _ = writeln!(told, "  ahead: {name} {} {}{km}", next.what, next.on);
        }
    }
    insta::assert_snapshot!(told);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reasons_are_true(seed: u64, day in -20..900_i32) {
        let Some((terms, facts)) = case(seed) else { return Ok(()) };
        let as_of = START.parse::<Day>().unwrap().plus_days(day);
        let case = Case::new(&terms, &facts, as_of, None);
        let checked = check(&case, &mut BTreeSet::new());
        prop_assert!(checked.is_ok(), "{}", checked.unwrap_err());
    }
}
