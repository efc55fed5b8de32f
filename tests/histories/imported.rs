//! What was imported comes back from records alone like all else, and is judged by its facts.

use lustrum::app::imports::{Asked, Imported, take};
use lustrum::app::{Who, records};
use lustrum::core::assess::{Assessment, Verdict, assess};
use lustrum::core::facts::{Facts, FactsInput};
use lustrum::core::imports::Kind;
use lustrum::core::terms::{Rules, Terms};
use lustrum::db;
use serde_json::json;

use super::dice::Dice;
use super::rebuild;
use super::town::{Town, stored_form};
use crate::support::database::{TestDatabase, on_both};

on_both!(what_was_imported_comes_back_from_records_and_is_judged_by_its_facts);

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
    let (mut jobs, mut services) = (String::new(), String::new());
    for n in 0..VEHICLES {
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

    let rebuilt = rebuild::from_records_alone(&town);
    assert!(rebuilt.jobs >= jobs.lines().count() && rebuilt.facts > 100, "{rebuilt:?}");
    assert_eq!(
        judged_by_facts(&town, &who),
        town.reads(|c| { Ok(db::warranties::list(c, &who.shop, None, None, i64::MAX)?.len()) })
    );
    // Findings are personal texts: no record's body has them.
    town.reads(|c| {
        let kept = db::records::list(c, &who.shop, 0, i64::MAX)?;
        let imported: Vec<_> = kept.iter().filter(|record| record.kind == "import").collect();
        assert!(imported.len() > 100, "{}", imported.len());
        assert!(imported.iter().all(|record| !record.body.contains("fine")));
        for record in imported {
            records::read_back(c, &who.shop, record)?;
        }
        Ok(())
    });
}

/// Compares what is stored of every warranty of a shop with what its facts say today; answers how many there are.
fn judged_by_facts(town: &Town, who: &Who) -> usize {
    let today = who.day(town.app.now());
    town.reads(|c| {
        let all = db::warranties::list(c, &who.shop, None, None, i64::MAX)?;
        for warranty in &all {
            let terms = db::warranties::terms_of(c, &who.shop, warranty.id)?;
            let rules = Rules::compile(&Terms::parse(terms.document.as_bytes()).unwrap());
            let facts = db::warranties::facts(c, &who.shop, warranty.id)?;
            let input = FactsInput {
                start: warranty.start.into(),
                start_km: Some(warranty.start_km),
                time_zone: warranty.time_zone,
                surfaces: warranty.cover.iter().map(|item| item.surface.to_string()).collect(),
                events: facts.into_iter().map(|fact| fact.body).collect(),
            };
            let facts = Facts::check(&input, &rules).unwrap();
            let mut verdict = Verdict::default();
            assess(&rules, &facts, today.into(), None, &mut verdict);
            let said = stored_form(&Assessment::of(&rules, &facts, &verdict));
            let surfaces: serde_json::Map<String, serde_json::Value> =
                db::warranties::verdict(c, &who.shop, warranty.id)?
                    .iter()
                    .map(|row| (row.surface.to_string(), json!([row.state, row.last_day, row.body])))
                    .collect();
            let dues: Vec<_> = db::dues::of_warranty(c, &who.shop, warranty.id)?
                .iter()
                .map(|row| json!([row.status, row.closes, row.body]))
                .collect();
            assert_eq!(json!({"cover": surfaces, "dues": dues}), said, "{}", warranty.number);
        }
        Ok(all.len())
    })
}
