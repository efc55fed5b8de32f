//! Past services count as entered in time, are noted as imported, and nobody is mailed about them.

use serde_json::{Value, json};

use super::jobs::before;
use super::{counts, faults, import};
use crate::api::main_job::{VIN, terms};
use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(past_services_meet_the_dues_of_their_time, what_is_no_service_of_the_vehicle_is_told);

fn dues(shop: &TestShop) -> Vec<Value> {
    let warranty = &shop.verdict("2026-03-10")["warranties"][0];
    let dues = warranty["assessment"]["dues"].as_array().unwrap().iter();
    dues.filter(|due| due["upkeep"] == "annual").cloned().collect()
}

fn past_services_meet_the_dues_of_their_time(shop: TestShop) {
    let manager = &shop.manager;
    before(&shop);
    // Whatever is entered later than a week after it was done would not count.
    let mut strict = terms();
    strict["code"] = json!("strict");
    strict["entry_within"] = json!({"days": 7});
    manager.post("/v1/terms", &strict).created();
    manager.post("/v1/terms/strict/editions/1/publish", &json!({})).ok();
    let job = format!(
        "ref,vin,handed over,odometer,surfaces,terms,edition\nA-1,{VIN},2023-03-10,12345,paint,strict,1\n"
    );
    import(manager, "jobs", &job).created();
    assert_eq!(dues(&shop)[0]["status"], "missed");

    let table = format!(
        "Nr;VIN;Datum;Leistung;km;Durch;Durchgef\u{fc}hrt;Bemerkung\n\
         S-3;{VIN};01.03.2026;inspection;61000;own;ja;\n\
         S-2;{VIN};12.03.2025;reconditioning;44.000;;;\"kleine Kratzer; poliert\"\n\
         S-1;{VIN};20.02.2024;inspection;27 300 km;;yes;\n\
         S-4;{VIN};02.08.2024;inspection;;elsewhere;;\n\
         S-5;{VIN};03.08.2024;maintenance wash;;owner;no;\n"
    );
    assert_eq!(counts(&import(manager, "services", &table).created()), (5, 5, 0));
    assert_eq!(counts(&import(manager, "services", &table).created()), (5, 0, 5));
    let annual = dues(&shop);
    let status: Vec<&str> = annual.iter().take(3).map(|due| due["status"].as_str().unwrap()).collect();
    assert_eq!(status, ["met", "met", "met"], "{annual:#?}");
    assert_eq!(annual[1]["met_on"], "2025-03-12");
    assert_eq!(shop.verdict("2026-03-10")["in_force"], true);
    // A shop elsewhere is not accredited under these terms: what it did in between met nothing.
    assert!(annual.iter().all(|due| due["met_on"] != "2024-08-02"));

    let vehicle = shop.manager.get(&format!("/v1/vehicles?q={VIN}")).ok()["items"][0]["id"].clone();
    let events = manager.get(&format!("/v1/vehicles/{}/history", vehicle.as_str().unwrap())).ok();
    let services: Vec<&Value> =
        events["items"].as_array().unwrap().iter().filter(|event| event["kind"] == "service").collect();
    assert_eq!(services.len(), 5, "{events:#}");
    assert!(services.iter().all(|one| one["imported"] == true && one["countersigned"] == true), "{events:#}");
    let of = |done_by: &str| services.iter().filter(|one| one["done_by"] == done_by).count();
    assert_eq!((of("other_shop"), of("owner")), (1, 1), "{events:#}");
    shop.ticks();
    assert_eq!(shop.mails(), [], "no history is mailed for what was imported");
}

fn what_is_no_service_of_the_vehicle_is_told(shop: TestShop) {
    before(&shop);
    let fault = |line: u64, column: &str, code: &str, value: &str| {
        (line, column.to_owned(), code.to_owned(), value.to_owned())
    };
    let table = "ref,plate,on,service,done by,figures\n\
                 S-1,QC-2,2026-03-11,inspection,,\n\
                 S-2,QC-2,2026-03-01,inspektion,,\n\
                 S-3,QC-3,2026-03-01,inspection,,\n\
                 S-4,QC-2,2026-03-01,topper,somebody,98\n\
                 S-5,QC-2,2026-03-01,inspection,owner,\"{\"\"bonnet\"\": {\"\"contact_angle_deg\"\": 98.5}}\"\n\
                 S-5,QC-2,2026-03-02,inspection,,\n\
                 ,QC-2,2026-03-03,topper,,\n,QC-2,2026-03-03,topper,,\n";
    assert_eq!(
        faults(import(&shop.manager, "services", table)),
        [
            fault(2, "on", "in_the_future", "2026-03-11"),
            fault(3, "service", "unknown_service", "inspektion"),
            fault(4, "plate", "unknown_vehicle", "QC-3"),
            fault(5, "done by", "unknown_word", "somebody"),
            fault(5, "figures", "not_figures", "98"),
            fault(7, "ref", "ref_twice", "S-5"),
            fault(9, "", "row_twice", ""),
        ]
    );

    // One that terms of the shop name, although none of this vehicle do: its warranty may have been made void since.
    let table = "ref,plate,on,service\nS-9,QC-2,2026-03-01,under-body rinse\n";
    assert_eq!(
        faults(import(&shop.manager, "services", table)),
        [fault(2, "service", "unknown_service", "under-body rinse")]
    );
    let mut other = terms();
    other["code"] = json!("salt-road");
    other["upkeep"][1]["service"] = json!("under-body rinse");
    shop.manager.post("/v1/terms", &other).created();
    assert_eq!(
        faults(import(&shop.manager, "services", table)),
        [fault(2, "service", "unknown_service", "under-body rinse")],
        "a draft says nothing yet"
    );
    shop.manager.post("/v1/terms/salt-road/editions/1/publish", &json!({})).ok();
    import(&shop.manager, "services", table).created();
}
