//! What an export writes, an import reads back: into another shop, to the same bytes.

use serde_json::{Value, json};

use super::{counts, faults, import, listed};
use crate::support::database::{Backend, on_both};
use crate::support::shop::TestShop;

on_both!(an_export_reads_back_to_the_same_bytes, no_cell_is_a_formula);

pub(super) const KINDS: [&str; 5] = ["customers", "vehicles", "jobs", "services", "events"];

pub(super) fn exported(shop: &TestShop, kind: &str, format: &str) -> String {
    let answer = shop.manager.get(&format!("/v1/exports/{kind}?format={format}"));
    assert_eq!(answer.status, 200, "{:#}", answer.body);
    let digest = lustrum::core::ids::Digest::of(answer.text.as_bytes());
    assert_eq!(answer.header("etag"), Some(format!("\"{digest}\"").as_str()));
    answer.text
}

/// A shop with what it imported and what it did itself since: two jobs, one with a sale after it, visits, corrections.
fn busy(shop: &TestShop) {
    shop.delivers();
    import(&shop.manager, "customers", "ref,name,phone\nK-1,\"Lind, Otto \"\"the elder\"\"\",+351 1\n")
        .created();
    import(&shop.manager, "vehicles", "ref,plate,owner,owned_since\nV-1,QC 2-9,K-1,2024-01-05\n").created();
    let jobs = "ref,plate,handed over,completed,odometer,surfaces,panels,coats,terms,edition,warranty start,warranty start km\n\
                A-1,QC 29,2024-02-10,2024-02-09,\"8,000 mi\",paint; trim,\"paint/other:side step\\, left; trim/other:rail\",\
                \"paint: base-30 / B\\/7; trim (other:rail): base-30\",two-coat-five,1,2024-02-20,12900\n\
                A-2,QC 29,2024-03-10,,\"9,000 mi\",wheels,,,,,,\n";
    import(&shop.manager, "jobs", jobs).created();
    import(
        &shop.manager,
        "services",
        "plate,on,service,km,remarks\nQC29,2025-02-11,inspection,30000,=clear\n",
    )
    .created();
    let vehicle = |q: &str| {
        let found = shop.manager.get(&format!("/v1/vehicles?q={q}")).ok();
        found["items"][0]["id"].as_str().unwrap().to_owned()
    };
    let (new, old) = (vehicle("QC417"), vehicle("QC29"));
    let visit = json!({"vehicle_id": old, "on": "2026-03-10", "odometer": {"value": 31, "unit": "mi", "replaced": true},
                       "services": [{"service": "inspection", "finding": "clear\nall over", "carried_out": false,
                                     "figures": {"bonnet": {"contact_angle_deg": 98.5}}}, {"service": "topper"}]});
    let visit = shop.manager.post("/v1/visits", &visit).created();
    let retract = json!({"kind": "retract", "event": visit["services"][1]["event_id"], "reason": "a slip"});
    shop.manager.post(&format!("/v1/vehicles/{old}/events"), &retract).created();
    let sale = json!({"on": "2026-03-10", "customer": {"name": "Uma Reis", "language": "pt"}});
    shop.manager.post(&format!("/v1/vehicles/{new}/transfers"), &sale).created();
    // A job without terms, and one that is still open.
    let job = json!({"vehicle_id": old, "odometer": {"value": 40, "unit": "mi"}, "panels": {"glass": ["windscreen"]}});
    let job = shop.manager.post("/v1/jobs", &job).created();
    let path = format!("/v1/jobs/{}", job["id"].as_str().unwrap());
    shop.manager.post(&format!("{path}/sign-off"), &json!({})).ok();
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 41, "unit": "mi"}});
    shop.manager.post(&format!("{path}/handover"), &handover).created();
    let open = json!({"vehicle_id": old, "odometer": {"value": 42, "unit": "mi"}});
    shop.manager.post("/v1/jobs", &open).created();
}

fn an_export_reads_back_to_the_same_bytes(backend: Backend) {
    let shop = TestShop::open(backend);
    busy(&shop);
    for format in ["csv", "jsonl"] {
        let other = TestShop::open(backend);
        other.stocks_up();
        for kind in KINDS {
            let file = exported(&shop, kind, format);
            let rows = file.lines().count() - usize::from(format == "csv");
            assert!(rows > 0, "{kind}: {file}");
            // Into its own shop nothing of it is new.
            let again = import(&shop.manager, kind, &file).created();
            let (all, added, unchanged) = counts(&again);
            assert_eq!((added, unchanged), (0, all), "{kind}: {again:#}");
            let done = import(&other.manager, kind, &file).created();
            assert_eq!(counts(&done), (all, all, 0), "{kind}");
            assert_eq!(exported(&other, kind, format), file, "{kind}.{format}");
        }
        assert_eq!(listed(&other.manager, "/v1/warranties"), 2);
        let verdict = |shop: &TestShop| {
            let found = shop.manager.get("/v1/eligibility?plate=QC29").ok();
            let assessment = &found["warranties"][0]["assessment"];
            let dues: Vec<Value> = assessment["dues"]
                .as_array()
                .unwrap()
                .iter()
                .map(|due| json!([due["upkeep"], due["number"], due["status"], due["due"], due["closes"]]))
                .collect();
            let states = ["paint"].map(|surface| {
                let cover = &assessment["cover"][surface];
                json!([cover["state"], cover["last_day"]])
            });
            json!([dues, states])
        };
        assert_eq!(verdict(&other), verdict(&shop));
    }
}

fn no_cell_is_a_formula(shop: TestShop) {
    let names = ["=HYPERLINK(1)", "+351 21", "-1", "@sum", "'=quoted", "''-twice", "'twas", "a=b"];
    for name in names {
        shop.adds_customer(name, "ada@mail.example");
    }
    let file = exported(&shop, "customers", "csv");
    for line in file.lines().skip(1) {
        for cell in line.split(',') {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t']), "{line}");
        }
    }
    let neighbour = shop.neighbour();
    import(&neighbour, "customers", &file).created();
    let read = neighbour.get("/v1/customers?limit=200").ok();
    let mut read: Vec<&str> =
        read["items"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect();
    let mut names = names.to_vec();
    read.sort_unstable();
    names.sort_unstable();
    assert_eq!(read, names);

    // Roles: the manager alone; and a row of an export that was changed is told.
    shop.desk.file("/v1/imports?kind=customers", b"name\nRex\n").refused(403, "forbidden");
    shop.technician.get("/v1/exports/customers").refused(403, "forbidden");
    let changed = file.replace("a=b", "a=c");
    assert_eq!(faults(import(&shop.manager, "customers", &changed))[0].2, "changed");
}
