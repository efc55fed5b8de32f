//! Ten thousand invented past jobs with every kind of fault planted among them: exactly those are told.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};
use serde_json::json;

use super::{counts, import, listed};
use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(every_planted_fault_is_told_and_no_other);

const VEHICLES: usize = 2_000;
const JOBS_EACH: usize = 5;

/// How often each kind of fault is planted.
const TIMES: usize = 8;

const HEADER: [&str; 18] = [
    "Job no",
    "Vehicle ref",
    "VIN",
    "Plate",
    "Customer",
    "Delivered",
    "Completed",
    "Mileage",
    "Unit",
    "Total km",
    "Surfaces",
    "Panels",
    "Excluded",
    "Coats",
    "Plan",
    "Edition",
    "Warranty from",
    "Remarks",
];

/// Columns by their place in the header.
#[derive(Clone, Copy)]
enum At {
    Ref,
    Vehicle,
    Vin,
    Plate,
    Owner,
    On,
    Done,
    Km,
    Unit,
    Total,
    Surfaces,
    Panels,
    Excluded,
    Coats,
    Terms,
    Edition,
    Start,
}
use At::*;

/// A kind of fault: what is written where, and where it is told as what.
type Planted = (&'static [(At, &'static str)], Option<At>, &'static str);

const LONG: &str = "this key is longer than any key of a row that people keep in a table, which is the reason why it is not \
    taken, and to be sure of it these words go on for a while until there are more than two hundred characters in all of it";

const KINDS: &[Planted] = &[
    (&[(Ref, LONG)], Some(Ref), "too_long"),
    (&[(Vin, ""), (Plate, "")], Some(Vin), "missing"),
    (&[(Vin, "1M8GDM9AXKP04278")], Some(Vin), "not_a_vin"),
    (&[(Vin, "1M8GDM9AXKPI42788")], Some(Vin), "not_a_vin"),
    (&[(Vin, "1M8GDM9AXKP042788")], Some(Vin), "unknown_vehicle"),
    (&[(Vin, ""), (Plate, "NO-417")], Some(Plate), "unknown_vehicle"),
    (&[(Vin, ""), (Plate, "SHARED")], Some(Plate), "several_vehicles"),
    (&[(Vin, ""), (Plate, "- -")], Some(Plate), "empty"),
    (&[(Plate, "a plate of far more than twenty characters")], Some(Plate), "too_long"),
    (&[(Vehicle, "V-none")], Some(Vehicle), "unknown_vehicle"),
    (&[(Vehicle, "V-shared")], Some(Vin), "vehicle_contradicts"),
    (&[(Owner, "K-none")], Some(Owner), "unknown_customer"),
    (&[(Owner, "Twin Reis")], Some(Owner), "several_customers"),
    (&[(Owner, "K\u{7}1")], Some(Owner), "control_character"),
    (&[(On, "")], Some(On), "missing"),
    (&[(On, "31.02.2024")], Some(On), "not_a_day"),
    (&[(On, "last spring")], Some(On), "not_a_day"),
    (&[(On, "2024-3")], Some(On), "not_a_day"),
    (&[(On, "1850-01-01")], Some(On), "not_a_day"),
    (&[(On, "2026-03-11")], Some(On), "in_the_future"),
    (&[(Done, "2026-03-09")], Some(Done), "after_handover"),
    (&[(Done, "2020-13-01")], Some(Done), "not_a_day"),
    (&[(Km, "")], Some(Km), "missing"),
    (&[(Km, "twelve thousand")], Some(Km), "not_an_odometer"),
    (&[(Km, "-12")], Some(Km), "not_an_odometer"),
    (&[(Km, "20000000")], Some(Km), "odometer_too_large"),
    (&[(Km, "7 mi"), (Unit, "km")], Some(Km), "unit_contradicts"),
    (&[(Km, "5")], Some(Km), "odometer_implausible"),
    (&[(Km, "9.900.000")], Some(Km), "odometer_implausible"),
    (&[(Unit, "versts")], Some(Unit), "unknown_word"),
    (&[(Total, "far")], Some(Total), "not_a_distance"),
    (&[(Total, "3")], Some(Total), "distance_too_small"),
    (&[(Km, ""), (Total, "90000")], Some(Total), "odometer_missing"),
    (&[(Surfaces, "bodywork")], Some(Surfaces), "unknown_word"),
    (&[(Surfaces, "paint, Paint")], Some(Surfaces), "named_twice"),
    (&[(Surfaces, ""), (Panels, ""), (Coats, "")], Some(Surfaces), "missing"),
    (&[(Surfaces, "wheels"), (Panels, ""), (Coats, "")], Some(Surfaces), "nothing_covered"),
    (&[(Panels, "hood")], Some(Panels), "unknown_word"),
    (&[(Panels, "roof, Roof")], Some(Panels), "named_twice"),
    (&[(Panels, "glass/windscreen")], Some(Panels), "surface_missing"),
    (&[(Surfaces, "paint, glass"), (Panels, "other:rail")], Some(Panels), "surface_unclear"),
    (&[(Surfaces, "trim"), (Panels, ""), (Coats, "")], Some(Panels), "panels_missing"),
    (&[(Excluded, "sunroof")], Some(Excluded), "unknown_word"),
    (&[(Coats, "base-30")], Some(Coats), "not_a_coat"),
    (&[(Coats, "paint: Base 30")], Some(Coats), "not_a_code"),
    (&[(Coats, "paint: base-31 / B-1")], Some(Coats), "unknown_product"),
    (&[(Coats, "glass: clear-view")], Some(Coats), "surface_missing"),
    (&[(Coats, "paint (windscreen): base-30")], Some(Coats), "panel_missing"),
    (
        &[(Coats, "paint: base-30 / a batch number of more than sixty characters, as no bottle has one")],
        Some(Coats),
        "not_a_batch",
    ),
    (&[(Terms, "Two Coats")], Some(Terms), "not_a_code"),
    (&[(Terms, "two-coat-six")], Some(Terms), "unknown_terms"),
    (&[(Terms, "")], Some(Edition), "terms_missing"),
    (&[(Edition, "")], Some(Edition), "missing"),
    (&[(Edition, "first")], Some(Edition), "not_an_edition"),
    (&[(Edition, "2")], Some(Edition), "terms_not_published"),
    (&[(Start, "2019-12-31")], Some(Start), "before_completion"),
];

/// SplitMix64 (Steele, Lea and Flood 2014): the same file each time.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % n as u64).unwrap()
    }
}

/// 17 characters that no other vehicle has.
fn vin(n: usize) -> String {
    format!("LSTRMTESTNR{n:06}")
}

/// The job `k` of vehicle `n`, as one of several people would have written it down.
fn job(chance: &mut Chance, n: usize, k: usize) -> Vec<String> {
    let first: NaiveDate = "2020-02-01".parse().unwrap();
    let on = first + Days::new((400 * k + chance.below(300)) as u64);
    let km = 1_000 + 9_000 * k + chance.below(4_000);
    let day = if chance.below(2) == 0 { on.to_string() } else { on.format("%d.%m.%Y").to_string() };
    let km = if chance.below(2) == 0 { km.to_string() } else { format!("{}.{:03} km", km / 1000, km % 1000) };
    let coats = ["paint: base-30 / B30-0417", "paint: base-30\npaint: top-10 / T-9", ""];
    let mut row = vec![String::new(); HEADER.len()];
    for (at, text) in [
        (Ref, format!("A-{n}-{k}")),
        (Vin, vin(n)),
        (Plate, format!("LS {n}")),
        (Owner, if chance.below(2) == 0 { "K-1".into() } else { String::new() }),
        (On, day),
        (Km, km),
        (Surfaces, "paint".into()),
        (Panels, if chance.below(2) == 0 { "bonnet; Roof".into() } else { String::new() }),
        (Coats, coats[chance.below(3)].into()),
        (Terms, "two-coat-five".into()),
        (Edition, "1".into()),
    ] {
        row[at as usize] = text;
    }
    if chance.below(3) == 0 {
        row[HEADER.len() - 1] = "said \"hello\", twice".into();
    }
    row
}

fn line(row: &[String]) -> String {
    let cell = |cell: &String| {
        if cell.contains([',', ';', '"', '\n']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    row.iter().map(cell).collect::<Vec<_>>().join(";") + "\r\n"
}

/// The shop that the jobs are of.
fn prepared(shop: &TestShop) {
    shop.stocks_up();
    let mut draft = crate::api::main_job::terms();
    draft["edition"] = json!(2);
    shop.manager.post("/v1/terms", &draft).created();
    let customers = "ref,name\nK-1,Ada Ferro\nK-2,Twin Reis\nK-3,Twin Reis\n";
    import(&shop.manager, "customers", customers).created();
    let mut vehicles = "ref,vin,plate\nV-shared,,SHARED\nV-other,,SHARED\n".to_owned();
    for n in 0..VEHICLES {
        vehicles.push_str(&format!("V-{n},{},LS {n}\n", vin(n)));
    }
    import(&shop.manager, "vehicles", &vehicles).created();
}

fn every_planted_fault_is_told_and_no_other(shop: TestShop) {
    prepared(&shop);
    let mut chance = Chance(20_260_310);
    let mut rows: Vec<Vec<String>> = Vec::new();
    for k in 0..JOBS_EACH {
        rows.extend((0..VEHICLES).map(|n| job(&mut chance, n, k)));
    }
    // One fault a vehicle, and not on its first job, so that readings can be held against one before.
    let mut free: Vec<usize> = (0..VEHICLES).collect();
    let mut planted: Vec<(usize, String, String)> = Vec::new();
    let mut plant = |rows: &mut Vec<Vec<String>>, free: &mut Vec<usize>, kind: &Planted| {
        let vehicle = free.swap_remove(chance.below(free.len()));
        let place = (1 + chance.below(JOBS_EACH - 1)) * VEHICLES + vehicle;
        for (at, text) in kind.0 {
            (*text).clone_into(&mut rows[place][*at as usize]);
        }
        planted.push((place, kind.1.map_or("", |at| HEADER[at as usize]).to_owned(), kind.2.to_owned()));
        place
    };
    for kind in KINDS {
        for _ in 0..TIMES {
            plant(&mut rows, &mut free, kind);
        }
    }
    for n in 0..TIMES {
        let place = plant(&mut rows, &mut free, &(&[], None, "cell_count"));
        rows[place].push("one cell more".into());
        // The row of that key stands on the first lines, and has no fault.
        let place = plant(&mut rows, &mut free, &(&[], Some(Ref), "ref_twice"));
        rows[place][Ref as usize] = format!("A-{n}-0");
    }
    let header: Vec<String> = HEADER.iter().map(|&name| name.to_owned()).collect();
    let (mut table, mut lines, mut at) = (line(&header), Vec::new(), 2_u64);
    for row in &rows {
        let text = line(row);
        // Here and there a line with nothing in it.
        if chance.below(50) == 0 {
            table.push_str("\r\n");
            at += 1;
        }
        lines.push(at);
        at += text.matches('\n').count() as u64;
        table.push_str(&text);
    }
    let kinds: BTreeSet<(&str, &str)> =
        planted.iter().map(|(_, at, code)| (at.as_str(), code.as_str())).collect();
    assert!(rows.len() == 10_000 && kinds.len() >= 40, "{} kinds: {kinds:?}", kinds.len());
    let mut wanted: Vec<(u64, String, String)> =
        planted.iter().map(|(place, at, code)| (lines[*place], at.clone(), code.clone())).collect();
    wanted.sort();

    for query in ["&validate_only=true", ""] {
        let path = format!("/v1/imports?kind=jobs{query}");
        let body = shop.manager.file(&path, table.as_bytes()).refused(422, "rule_broken");
        let errors = body["errors"].as_array().unwrap();
        let mut told: Vec<(u64, String, String)> = errors
            .iter()
            .map(|fault| {
                let text = |name: &str| fault[name].as_str().unwrap_or_default().to_owned();
                (fault["line"].as_u64().unwrap(), text("column"), text("code"))
            })
            .collect();
        told.sort();
        assert_eq!(told, wanted);
        // Each names its value, and says what is allowed.
        for fault in errors.iter().filter(|fault| fault["column"].is_string()) {
            let index = fault["pointer"].as_str().unwrap().split('/').nth(2).unwrap();
            let row = &rows[index.parse::<usize>().unwrap()];
            let place = HEADER.iter().position(|name| fault["column"] == *name).unwrap();
            if fault["code"] != "vehicle_contradicts" && fault["code"] != "odometer_implausible" {
                assert_eq!(fault["value"], json!(row[place].trim()), "{fault:#}");
            }
            assert!(fault["detail"].as_str().unwrap().len() > 10, "{fault:#}");
        }
        assert_eq!(listed(&shop.manager, "/v1/jobs"), 0, "nothing was taken");
    }
    // Without the faulty rows all of it is taken.
    let faulty: BTreeSet<usize> = planted.iter().map(|(place, ..)| *place).collect();
    let good = rows.iter().enumerate().filter(|(place, _)| !faulty.contains(place));
    let table: String = std::iter::once(line(&header)).chain(good.map(|(_, row)| line(row))).collect();
    let whole = (10_000 - faulty.len()) as u64;
    assert_eq!(counts(&import(&shop.manager, "jobs", &table).created()), (whole, whole, 0));
}
