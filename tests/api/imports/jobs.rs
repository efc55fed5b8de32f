//! Past jobs: each comes with its warranty, on the edition that it was issued on, and is judged like any other.

use serde_json::{Value, json};

use super::{counts, faults, import, listed};
use crate::api::main_job::{VIN, terms};
use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(
    a_past_job_brings_its_warranty_on_the_edition_of_that_time,
    nobody_is_mailed_about_the_past,
    an_odometer_runs_forwards_through_a_file,
);

/// Owners and vehicles that past jobs and services are about.
pub(super) fn before(shop: &TestShop) {
    shop.stocks_up();
    let customers = "ref,name,email\nK-1,Ada Ferro,ada@mail.example\nK-2,Otto Lind,otto@mail.example\n";
    import(&shop.manager, "customers", customers).created();
    let vehicles = format!("ref,vin,plate,owner,owned since\nV-1,{VIN},QC-417,K-1,2023-05-02\nV-2,,QC-2,,\n");
    import(&shop.manager, "vehicles", &vehicles).created();
}

fn a_past_job_brings_its_warranty_on_the_edition_of_that_time(shop: TestShop) {
    let manager = &shop.manager;
    before(&shop);
    // The terms have changed since, and the old edition is issued no more.
    let mut second = terms();
    second["edition"] = json!(2);
    second["cover"][0]["lasts"] = json!({"years": 3});
    manager.post("/v1/terms", &second).created();
    manager.post("/v1/terms/two-coat-five/editions/2/publish", &json!({})).ok();
    manager.post("/v1/terms/two-coat-five/editions/1/retire", &json!({})).ok();

    let table = format!(
        "Auftragsnr;FIN;Kennzeichen;Kunde;\u{dc}bergabe;Fertiggestellt;Tachostand;Surfaces;Panels;Excluded;Coats;Terms;Edition\n\
         A-1;{VIN};;;10.05.2023;08.05.2023;12.345;paint, glass;\"bonnet, roof, windscreen\";roof;\
         \"paint (bonnet): base-30 / B30-0417; paint: top-10; glass: clear-view / CV-9\";two-coat-five;1\n\
         A-2;;QC 2;Otto Lind;01.03.2025;;800;wheels;;;;;\n\
         A-3;;qc-2;K-2;02.03.2026;;9.100 mi;paint;;;;two-coat-five;2\n"
    );
    let done = import(manager, "jobs", &table).created();
    assert_eq!(counts(&done), (3, 3, 0));
    assert_eq!(counts(&import(manager, "jobs", &table).created()), (3, 0, 3));
    assert_eq!((listed(manager, "/v1/jobs"), listed(manager, "/v1/warranties")), (3, 2));

    // On that day's edition, from that day on, on what was coated and not left out.
    let verdict = shop.verdict("2026-03-10");
    let warranty = &verdict["warranties"][0];
    assert_eq!(warranty["terms"]["edition"], 1);
    assert_eq!(warranty["cover"][0]["from"], "2023-05-10");
    assert_eq!(warranty["cover"][0]["last_day"], "2028-05-10");
    assert_eq!(warranty["cover"][0]["panels"], json!(["bonnet"]));
    assert_eq!(warranty["cover"][1]["panels"], json!(["windscreen"]));
    let of = manager.get(&format!("/v1/warranties/{}", warranty["id"].as_str().unwrap())).ok();
    let ada = manager.get("/v1/customers?q=ferro").ok()["items"][0]["id"].clone();
    assert_eq!(
        json!([of["start"], of["start_km"], of["customer_id"], of["entered_at"]]),
        json!(["2023-05-10", 12_345, ada, "2026-03-10T08:00:00Z"])
    );
    // No inspection is known since: the first was due on 10 May 2024, could be late until 9 June, and be made good for
    // 60 days more (the terms' own figures; Regulation 1182/71 counts days so). So cover ended on 10 June 2024.
    let paint = &warranty["assessment"]["cover"]["paint"];
    assert_eq!(json!([paint["state"], paint["because"]]), json!(["ended", "annual#1"]));
    assert_eq!(paint["last_day"], "2024-06-09");

    // The job is one that was handed over and never signed off here; who looks for a batch finds its vehicle.
    let job = manager.get(&format!("/v1/jobs/{}", of["job_id"].as_str().unwrap())).ok();
    assert_eq!(
        json!([job["state"], job["handed_over_on"], job["signed_off_at"], job["record"]]),
        json!(["handed_over", "2023-05-10", null, null])
    );
    assert_eq!(job["odometer"], json!({"value": 12_345, "unit": "km"}));
    assert_eq!(job["panels"]["paint"], json!(["bonnet", "roof"]));
    let coats = manager.get(&format!("/v1/jobs/{}/coats", of["job_id"].as_str().unwrap())).ok();
    let batches: Vec<&Value> = coats["items"].as_array().unwrap().iter().map(|coat| &coat["batch"]).collect();
    assert_eq!(batches, ["CV-9", "unknown", "B30-0417"]);
    assert_eq!(coats["items"][0]["started_at"], "2023-05-07T23:00:00Z", "the beginning of 8 May in Lisbon");
    let batch = json!({"product": "base-30", "number": "B30-0417"});
    let batch = manager.post("/v1/batches", &batch).created();
    let found = manager.get(&format!("/v1/batches/{}/vehicles", batch["id"].as_str().unwrap())).ok();
    assert_eq!(found["items"].as_array().unwrap().len(), 1, "{found:#}");

    // A vehicle that nobody had goes to whoever had it then; a surface without panels was coated whole.
    let other = manager.get("/v1/vehicles?q=QC2").ok()["items"][0].clone();
    let otto = manager.get("/v1/customers?q=lind").ok()["items"][0]["id"].clone();
    assert_eq!(other["customer_id"], otto);
    let newer = manager.get("/v1/eligibility?plate=QC-2").ok();
    assert_eq!(newer["in_force"], true);
    assert_eq!(newer["warranties"][0]["cover"][0]["last_day"], "2029-03-02");
    assert!(newer["warranties"][0]["cover"][0]["panels"].as_array().unwrap().len() > 10);

    // The vehicle goes on as usual: an inspection is entered, and its warranty is judged by it.
    let visit = json!({"vehicle_id": other["id"], "on": "2026-03-10", "odometer": {"value": 9_200, "unit": "mi"},
                       "services": [{"service": "maintenance wash"}]});
    let effects = manager.post("/v1/visits", &visit).created()["effects"].clone();
    assert_eq!(effects[0]["effect"], "meets", "{effects:#}");
}

fn nobody_is_mailed_about_the_past(mut shop: TestShop) {
    before(&shop);
    // The first inspection of this one could be late until 9 April, 30 days from today; the second job is long over.
    let table = format!(
        "ref,vin,handed over,odometer,surfaces,terms,edition\n\
         A-1,{VIN},2025-03-10,12345,paint,two-coat-five,1\nA-2,{VIN},2019-03-10,345,glass,two-coat-five,1\n"
    );
    import(&shop.manager, "jobs", &table).created();
    shop.ticks();
    assert_eq!(shop.mails(), []);
    // What lies ahead is mailed as ever: the last call, 14 days before the window closes.
    for day in ["2026-03-11", "2026-03-25"] {
        shop.it_is(&format!("{day}T09:30:00Z"));
        shop.ticks();
        assert_eq!(shop.mails(), [], "on {day}");
    }
    shop.it_is("2026-03-26T09:30:00Z");
    shop.ticks();
    let mails = shop.mails();
    assert_eq!(mails.len(), 1, "{mails:?}");
    assert_eq!(mails[0].1, "ada@mail.example");
}

fn an_odometer_runs_forwards_through_a_file(shop: TestShop) {
    before(&shop);
    let head = "ref,plate,handed over,odometer,odometer unit,distance km\n";
    let fault = |line: u64, column: &str, code: &str, value: &str| {
        (line, column.to_owned(), code.to_owned(), value.to_owned())
    };
    // Rows are held against one another by their days, whatever their order.
    let table = format!(
        "{head}A-3,QC-2,2024-03-10,9000,,\nA-2,QC-2,2023-03-10,10000,,\nA-1,QC-2,2022-03-10,8000,,\n\
         A-4,QC-2,2025-03-10,500,mi,700\n"
    );
    assert_eq!(
        faults(import(&shop.manager, "jobs", &table)),
        [
            fault(2, "odometer", "odometer_implausible", "9000"),
            fault(5, "distance km", "distance_too_small", "700"),
        ]
    );
    // Another odometer since: the row says how far the vehicle had been driven in all.
    let table = table.replace("9000,,", "200,,10200").replace("500,mi,700", "500,mi,11000");
    assert_eq!(counts(&import(&shop.manager, "jobs", &table).created()), (4, 4, 0));
    let vehicle = shop.manager.get("/v1/vehicles?q=QC2").ok()["items"][0]["id"].clone();
    let path = format!("/v1/vehicles/{}/readings", vehicle.as_str().unwrap());
    let readings = shop.manager.get(&path).ok();
    assert_eq!(readings["items"].as_array().unwrap().len(), 4, "{readings:#}");
    // The next reading is held against what was imported.
    let low = json!({"on": "2026-03-10", "odometer": {"value": 400, "unit": "mi"}});
    shop.manager.post(&path, &low).refused(422, "odometer_implausible");
}
