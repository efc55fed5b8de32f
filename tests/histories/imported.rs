//! What was imported comes back from records alone like all else, and is judged by its facts.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use lustrum::app::imports::{Asked, Imported, take};
use lustrum::app::{Who, exports, records};
use lustrum::core::assess::{Assessment, Verdict, assess};
use lustrum::core::calendar::{Day, day_begins};
use lustrum::core::facts::{Facts, FactsInput};
use lustrum::core::ids::EventId;
use lustrum::core::imports::{Format, Kind};
use lustrum::core::terms::{Rules, Terms};
use lustrum::db;
use serde_json::{Value, json};

use super::dice::Dice;
use super::rebuild;
use super::town::{Town, stored_due, stored_form};
use crate::support::database::{TestDatabase, on_both};

on_both!(
    what_was_imported_comes_back_from_records_and_is_judged_by_its_facts,
    shops_that_move_keep_every_verdict,
);

const VEHICLES: u64 = 60;

fn imports(town: &Town, who: &Who, kind: Kind, table: &str) -> Imported {
    take(&town.app, who, table.as_bytes(), Asked { kind, days: None }, false).unwrap().unwrap()
}

fn what_was_imported_comes_back_from_records_and_is_judged_by_its_facts(database: TestDatabase) {
    // Besides what the shop has logged itself: imported jobs and services stand beside and after it.
    let town = Town::found(&database, super::first(), 12);
    let who = town.members().next().unwrap().clone();
    let mut dice = Dice(417);
    let customers: String = (0..20).map(|n| format!("K-{n},Owner {n}\n")).collect();
    imports(&town, &who, Kind::Customers, &format!("ref,name\n{customers}"));
    let vehicles: String = (0..VEHICLES).map(|n| format!("V-{n},I-{n},K-{}\n", n % 20)).collect();
    imports(&town, &who, Kind::Vehicles, &format!("ref,plate,owner\n{vehicles}"));
    let day = |ago: u64| super::first() - chrono::Days::new(2 + ago);
    let (mut jobs, mut services, mut events) = (String::new(), String::new(), String::new());
    for n in 0..VEHICLES {
        let mut promised = Vec::new();
        for round in 0..=dice.below(2) {
            let code = dice.one_of(&["quarter", "six-weeks", ""]);
            let edition = if code.is_empty() { "" } else { "1" };
            let surfaces = dice.one_of(&["paint", "paint; glass"]);
            let coats = dice.one_of(&["paint: coat-1 / C1-1", "paint (bonnet): coat-1", ""]);
            let ago = 200 - 90 * round + dice.below(20);
            jobs.push_str(&format!(
                "J-{n}-{round},V-{n},{},{},\"{surfaces}\",roof,{coats},{code},{edition}\n",
                day(ago),
                1_000 + 20_000 * round
            ));
            promised.extend((!code.is_empty()).then_some((*code, format!("J-{n}-{round}"))));
        }
        for k in 0..dice.below(9) {
            let on = day(dice.below(210));
            events.extend(
                happening(&mut dice, &promised, on).map(|what| format!("E-{n}-{k},V-{n},{on},{what}\n")),
            );
        }
        for k in 0..dice.below(7) {
            let service = dice.one_of(&["inspection", "maintenance wash", "reconditioning"]);
            let by = dice.one_of(&["own", "elsewhere", "owner"]);
            let done = dice.one_of(&["yes", "yes", "no"]);
            services
                .push_str(&format!("S-{n}-{k},V-{n},{},{service},{by},{done},fine\n", day(dice.below(210))));
        }
    }
    let head = "ref,vehicle,handed over,km,surfaces,excluded,coats,terms,edition\n";
    let half = jobs.lines().count() / 2;
    let some: String = jobs.lines().take(half).map(|line| format!("{line}\n")).collect();
    imports(&town, &who, Kind::Jobs, &format!("{head}{some}"));
    // Services before and after the jobs whose warranties they count for.
    let head_of_services = "ref,vehicle,on,service,by,carried out,finding\n";
    imports(&town, &who, Kind::Services, &format!("{head_of_services}{services}"));
    let rest = imports(&town, &who, Kind::Jobs, &format!("{head}{jobs}"));
    assert_eq!((rest.added, rest.unchanged), (jobs.lines().count() - half, half));
    let head_of_events = "ref,vehicle,on,kind,odometer,distance km,surfaces,panel,breach,new owner,told on,job,upkeep,due number,\
         extended to,reason\n";
    // Some of them first, the rest behind them.
    let half = events.lines().count() / 2;
    let some: String = events.lines().skip(half).map(|line| format!("{line}\n")).collect();
    imports(&town, &who, Kind::Events, &format!("{head_of_events}{some}"));
    let rest = imports(&town, &who, Kind::Events, &format!("{head_of_events}{events}"));
    assert_eq!((rest.added, rest.added + rest.unchanged), (half, events.lines().count()));
    for kind in ["reading", "sale", "repair", "recoat", "breach", "close", "waive", "extend"] {
        assert!(
            events.lines().filter(|line| line.split(',').nth(3) == Some(kind)).count() >= 3,
            "{kind}: {events}"
        );
    }

    let rebuilt = rebuild::from_records_alone(&town);
    assert!(rebuilt.jobs >= jobs.lines().count() && rebuilt.facts > 100, "{rebuilt:?}");
    assert_eq!(
        judged_by_facts(&town, &who),
        town.reads(|c| { Ok(db::warranties::list(c, &who.shop, None, None, i64::MAX)?.len()) })
    );
    // Findings and reasons are personal texts: no record's body has them.
    town.reads(|c| {
        let kept = db::records::list(c, &who.shop, 0, i64::MAX)?;
        let imported: Vec<_> = kept.iter().filter(|record| record.kind == "import").collect();
        assert!(imported.len() > 100, "{}", imported.len());
        assert!(
            imported.iter().all(|record| !record.body.contains("fine") && !record.body.contains("agreed"))
        );
        for record in imported {
            records::read_back(c, &who.shop, record)?;
        }
        Ok(())
    });
}

/// Something that can happen to a vehicle with these warranties, by code and job; nothing where it has none for it.
fn happening(dice: &mut Dice, promised: &[(&str, String)], on: NaiveDate) -> Option<String> {
    let (code, job) = &promised.get(usize::try_from(dice.below(promised.len().max(1) as u64)).ok()?)?;
    let upkeep = if *code == "quarter" { dice.one_of(&["look", "wash"]) } else { &"top" };
    let number = 1 + dice.below(4);
    Some(match dice.below(12) {
        0 | 1 => {
            let km = 1_000 + dice.below(9_000);
            format!("reading,{km},{km},,,,,,,,,,")
        }
        2 => format!("sale,,,,,,K-{},{},,,,,", dice.below(20), dice.one_of(&["no", &on.to_string()])),
        3 | 4 => "repair,,,paint,bonnet,,,,,,,,".to_owned(),
        5 | 6 => "recoat,,,paint,bonnet,,,,,,,,".to_owned(),
        7 => {
            promised.iter().find(|(code, _)| *code == "quarter")?;
            format!("breach,,,{},,{},,,,,,,", dice.one_of(&["paint", ""]), dice.one_of(&["brush", "polish"]))
        }
        8 if dice.below(3) == 0 => "close,,,,,,,,,,,,as agreed".to_owned(),
        8 | 9 => format!("waive,,,,,,,,{job},{upkeep},{number},,as agreed"),
        _ => {
            let to = on + chrono::Days::new(dice.below(30));
            format!("extend,,,,,,,,{job},{upkeep},{number},{to},as agreed")
        }
    })
}

/// Everything of a kind as a file.
fn exported(town: &Town, who: &Who, kind: Kind) -> String {
    let mut file = Vec::new();
    exports::write(&town.app, who, kind, Format::Csv, &mut file).unwrap();
    String::from_utf8(file).unwrap()
}

/// The verdict of each warranty of a shop on some days, by plate and terms, without the names of events.
fn verdicts(town: &Town, who: &Who, days: &[NaiveDate]) -> BTreeMap<(String, String), Vec<Value>> {
    town.reads(|c| {
        let mut verdicts = BTreeMap::new();
        for warranty in db::warranties::list(c, &who.shop, None, None, i64::MAX)? {
            let vehicle = db::vehicles::find(c, &who.shop, warranty.vehicle)?;
            let (rules, facts) = facts(c, who, &warranty)?;
            let on = |day: &NaiveDate| {
                let mut verdict = Verdict::default();
                assess(&rules, &facts, (*day).into(), None, &mut verdict);
                let mut said = stored_form(&Assessment::of(&rules, &facts, &verdict));
                nameless(&mut said);
                said
            };
            let code = db::warranties::terms_of(c, &who.shop, warranty.id)?.code;
            verdicts.insert((vehicle.plate.unwrap(), code), days.iter().map(on).collect());
        }
        Ok(verdicts)
    })
}

fn nameless(value: &mut Value) {
    match value {
        Value::String(text) if text.parse::<EventId>().is_ok() => *value = json!("an event"),
        Value::Object(members) => members.values_mut().for_each(nameless),
        Value::Array(items) => items.iter_mut().for_each(nameless),
        _ => {}
    }
}

fn shops_that_move_keep_every_verdict(database: TestDatabase) {
    let mut town = Town::found(&database, super::first(), super::histories());
    for day in super::FOUNDED..super::DAYS {
        let day = super::first() + chrono::Days::new(day);
        for shop in town.shops_by_day_begin(day) {
            town.clock_shows(day_begins(Day::from(day), town.zone(shop)) + chrono::TimeDelta::minutes(30));
            town.turn();
            town.enter_what_happens(shop, day);
        }
    }
    let elsewhere = TestDatabase::new(database.backend);
    let other = Town::found(&elsewhere, super::first(), 0);
    other.clock_shows(town.app.now());
    let days: Vec<NaiveDate> =
        (0..super::DAYS + 30).step_by(3).map(|day| super::first() + chrono::Days::new(day)).collect();
    let (mut compared, mut changed) = (0, 0);
    for (here, there) in town.members().zip(other.members()) {
        let files: Vec<(Kind, String)> =
            Kind::ALL.iter().map(|kind| (*kind, exported(&town, here, *kind))).collect();
        for (kind, file) in &files {
            assert_eq!(imports(&town, here, *kind, file).added, 0, "{kind}");
            let done = imports(&other, there, *kind, file);
            assert_eq!(done.added, done.rows, "{kind}");
        }
        for (kind, file) in &files {
            assert_eq!(&exported(&other, there, *kind), file, "{kind}");
        }
        let (old, new) = (verdicts(&town, here, &days), verdicts(&other, there, &days));
        assert_eq!(old.keys().collect::<Vec<_>>(), new.keys().collect::<Vec<_>>());
        for (warranty, verdicts) in old {
            for ((day, was), is) in days.iter().zip(&verdicts).zip(&new[&warranty]) {
                assert_eq!(is, was, "{warranty:?} on {day}");
            }
            changed += verdicts.windows(2).filter(|two| two[0] != two[1]).count();
            compared += 1;
        }
    }
    assert!(compared >= super::histories() && changed > 5 * compared, "{compared} with {changed} changes");
    rebuild::from_records_alone(&other);
}

/// The terms and the facts of a warranty, ready to be judged.
fn facts(
    c: &mut db::Conn,
    who: &Who,
    warranty: &db::warranties::WarrantyRow,
) -> Result<(Rules, Facts), lustrum::app::Error> {
    let terms = db::warranties::terms_of(c, &who.shop, warranty.id)?;
    let rules = Rules::compile(&Terms::parse(terms.document.as_bytes()).unwrap());
    let events = db::warranties::facts(c, &who.shop, warranty.id)?;
    let input = FactsInput {
        start: warranty.start.into(),
        start_km: Some(warranty.start_km),
        time_zone: warranty.time_zone,
        surfaces: warranty.cover.iter().map(|item| item.surface.to_string()).collect(),
        events: events.into_iter().map(|fact| fact.body).collect(),
    };
    let facts = Facts::check(&input, &rules).unwrap();
    Ok((rules, facts))
}

/// Compares what is stored of every warranty of a shop with what its facts say today; answers how many there are.
fn judged_by_facts(town: &Town, who: &Who) -> usize {
    let today = who.day(town.app.now());
    town.reads(|c| {
        let all = db::warranties::list(c, &who.shop, None, None, i64::MAX)?;
        for warranty in &all {
            let (rules, facts) = facts(c, who, warranty)?;
            let mut verdict = Verdict::default();
            assess(&rules, &facts, today.into(), None, &mut verdict);
            let said = stored_form(&Assessment::of(&rules, &facts, &verdict));
            let surfaces: serde_json::Map<String, serde_json::Value> =
                db::warranties::verdict(c, &who.shop, warranty.id)?
                    .iter()
                    .map(|row| (row.surface.to_string(), json!([row.state, row.last_day, row.body])))
                    .collect();
            let dues: Vec<_> =
                db::dues::of_warranty(c, &who.shop, warranty.id)?.iter().map(stored_due).collect();
            assert_eq!(json!({"cover": surfaces, "dues": dues}), said, "{}", warranty.number);
        }
        Ok(all.len())
    })
}
