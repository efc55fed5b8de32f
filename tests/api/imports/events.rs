//! What else happened to vehicles: sales, repairs, breaches, readings, the end, and what was granted of dues.

use serde_json::{Value, json};

use super::jobs::before;
use super::{counts, faults, import};
use crate::api::main_job::VIN;
use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(
    what_happened_since_is_judged_with_the_warranty,
    headers_and_kinds_are_read_in_the_words_of_the_trade,
    a_sale_puts_its_buyer_where_it_belongs,
    out_of_stock_a_sale_is_the_first_owners_handover,
    a_due_is_found_by_its_job_or_by_its_rule,
    whatever_is_wrong_with_events_is_told,
    a_service_entered_late_stays_so,
);

/// Two vehicles with past jobs: one under warranty since last March, one without.
fn delivered(shop: &TestShop) {
    before(shop);
    let jobs = format!(
        "ref,vin,plate,handed over,odometer,surfaces,panels,terms,edition\n\
         A-1,{VIN},,2025-03-10,12345,\"paint, glass\",\"bonnet, roof, windscreen\",two-coat-five,1\n\
         A-2,,QC-2,2025-03-12,800,wheels,,,\n"
    );
    import(&shop.manager, "jobs", &jobs).created();
}

fn assessment(shop: &TestShop) -> Value {
    shop.verdict("2026-03-10")["warranties"][0]["assessment"].clone()
}

fn what_happened_since_is_judged_with_the_warranty(shop: TestShop) {
    delivered(&shop);
    let head = "ref,vin,on,kind,surfaces,panel,breach,new_owner,told_on,upkeep,due_number,extended_to,odometer,reason\n";
    let table = format!(
        "{head}\
         E-1,{VIN},2025-05-01,repair,paint,bonnet,,,,,,,,\n\
         E-2,{VIN},2025-06-01,recoat,paint,bonnet,,,,,,,,\n\
         E-3,{VIN},2025-07-01,repair,paint,roof,,,,,,,,\n\
         E-4,{VIN},2025-09-01,sale,,,,K-2,2025-09-20,,,,31000,\n\
         E-5,{VIN},2026-02-20,breach,paint,,abrasive-wash,,,,,,,\n\
         E-6,{VIN},2026-01-05,extend,,,,,,annual,1,2026-06-30,,laid up for winter\n\
         E-7,{VIN},2026-01-05,waive,,,,,,wash,1,,,the car wash stood still\n\
         E-8,{VIN},2025-10-01,reading,,,,,,,,,33000,\n"
    );
    // Tried first: nothing is written.
    let path = "/v1/imports?kind=events&validate_only=true";
    assert_eq!(shop.manager.file(path, table.as_bytes()).ok(), json!({"valid": true}));
    assert_eq!(assessment(&shop)["panels"], json!([]));
    assert_eq!(counts(&import(&shop.manager, "events", &table).created()), (8, 8, 0));
    assert_eq!(counts(&import(&shop.manager, "events", &table).created()), (8, 0, 8));

    let after = assessment(&shop);
    // Repaired, and coated again within the 90 days of the terms; the roof was not.
    let panels: Vec<Value> = after["panels"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| json!([one["panel"], one["since"], one["until"]]))
        .collect();
    assert_eq!(panels, [json!(["bonnet", "2025-05-01", "2025-06-01"]), json!(["roof", "2025-07-01", null])]);
    // Told within 30 days: cover went with the vehicle. The breach holds it since; glass has lasted (18 months from
    // 10 March 2025 end on 10 September 2026) and is not concerned.
    let cover = &after["cover"];
    assert_eq!(
        json!([cover["paint"]["state"], cover["paint"]["suspended"][0]["since"], cover["glass"]["state"]]),
        json!(["suspended", "2026-02-20", "in_force"])
    );
    let due = |key: &str| {
        let mut of = after["dues"].as_array().unwrap().iter();
        of.find(|due| due["upkeep"] == key && due["number"] == 1).unwrap()
    };
    assert_eq!(json!([due("annual")["status"], due("annual")["closes"]]), json!(["open", "2026-06-30"]));
    assert_eq!(due("wash")["status"], "waived");

    // The buyer has it, and is who is found; readings are held against those of the file from now on.
    let vehicle = shop.manager.get("/v1/vehicles?q=lind").ok()["items"][0].clone();
    let otto = shop.manager.get("/v1/customers?q=lind").ok()["items"][0]["id"].clone();
    assert_eq!((&vehicle["vin"], &vehicle["customer_id"]), (&json!(VIN), &otto));
    let id = vehicle["id"].as_str().unwrap();
    let low = json!({"on": "2026-03-10", "odometer": {"value": 32_999, "unit": "km"}});
    shop.manager.post(&format!("/v1/vehicles/{id}/readings"), &low).refused(422, "odometer_implausible");
    // A sale that was entered by mistake is taken back like any other.
    let sales = shop.manager.get(&format!("/v1/vehicles/{id}/transfers")).ok();
    assert_eq!(sales["items"][0]["told"], "2025-09-20");
    let retract = json!({"kind": "retract", "event": sales["items"][0]["id"], "reason": "never sold"});
    shop.manager.post(&format!("/v1/vehicles/{id}/events"), &retract).created();
    let ada = shop.manager.get("/v1/customers?q=ferro").ok()["items"][0]["id"].clone();
    assert_eq!(shop.manager.get(&format!("/v1/vehicles/{id}")).ok()["customer_id"], ada);
    shop.ticks();
    assert_eq!(shop.mails(), [], "nobody is mailed about the past");
}

fn headers_and_kinds_are_read_in_the_words_of_the_trade(shop: TestShop) {
    delivered(&shop);
    let files = [
        // German, Spanish, French, Portuguese; each as a spreadsheet there writes it.
        format!(
            "Nr;FIN;Datum;Ereignis;Fl\u{e4}chen;Bauteil;K\u{e4}ufer;Gemeldet am;Kilometerstand;Bemerkung\n\
             D-1;{VIN};01.05.2025;Reparatur;paint;bonnet;;;;in der Werkstatt\n\
             D-2;{VIN};02.09.2025;Verkauf;;;Otto Lind;nein;31.000 km;\n"
        ),
        format!(
            "Referencia;Bastidor;Fecha;Evento;Superficie;Pieza;Cuentakil\u{f3}metros\n\
             ES-1;{VIN};01/06/2025;Nueva capa;paint;bonnet;\nES-2;{VIN};13/10/2025;Kilometraje;;;33.000\n"
        ),
        format!(
            "R\u{e9}f\u{e9}rence;N\u{b0} de ch\u{e2}ssis;Jour;\u{c9}v\u{e9}nement;R\u{e8}gle;\u{c9}ch\u{e9}ance;Jusqu'au;Raison\n\
             F-1;{VIN};2026-01-05;Prolongation;annual;1;2026-06-30;hiver\n"
        ),
        format!(
            "Processo;Quadro;Data;Ocorr\u{ea}ncia;Regra;Vencimento;Raz\u{e3}o\n\
             P-1;{VIN};2026-01-05;Dispensa;wash;1;lavagem fechada\n\
             P-2;{VIN};2026-01-06;Abate;;;acidente\n"
        ),
    ];
    for file in &files {
        let done = import(&shop.manager, "events", file).created();
        let (rows, added, _) = counts(&done);
        assert_eq!(rows, added, "{done:#}");
        let unused = if file.contains("Bemerkung") { json!(["Bemerkung"]) } else { json!([]) };
        assert_eq!(done["read_as"]["unused"], unused, "{done:#}");
    }
    let vehicle = shop.manager.get(&format!("/v1/vehicles?q={VIN}")).ok()["items"][0]["id"].clone();
    let history = shop.manager.get(&format!("/v1/vehicles/{}/history", vehicle.as_str().unwrap())).ok();
    let mut kinds: Vec<&str> =
        history["items"].as_array().unwrap().iter().map(|event| event["kind"].as_str().unwrap()).collect();
    kinds.sort_unstable();
    assert_eq!(
        kinds,
        ["close", "extend", "reading", "reading", "recoat", "repair", "transfer", "waive"],
        "one reading is that of the handover"
    );
}

fn owner(shop: &TestShop) -> String {
    let vehicle = shop.manager.get("/v1/vehicles?q=QC2").ok()["items"][0].clone();
    let customer = vehicle["customer_id"].as_str().unwrap();
    shop.manager.get(&format!("/v1/customers/{customer}")).ok()["name"].as_str().unwrap().to_owned()
}

fn a_sale_puts_its_buyer_where_it_belongs(shop: TestShop) {
    shop.stocks_up();
    let names = "ref,name\nK-1,Ada Ferro\nK-2,Otto Lind\nK-3,Uma Reis\nK-4,Bruno Lira\n";
    import(&shop.manager, "customers", names).created();
    import(&shop.manager, "vehicles", "ref,plate,owner,owned since\nV-2,QC-2,K-3,2024-06-01\n").created();
    let sale = |key: &str, on: &str, to: &str| {
        let table = format!("ref,vehicle,on,kind,new owner,told on\n{key},V-2,{on},sale,{to},{on}\n");
        import(&shop.manager, "events", &table).created();
        let exported = shop.manager.get("/v1/exports/vehicles").text;
        let told = exported.lines().nth(1).unwrap().split(',').rev().take(2).collect::<Vec<_>>().join(" ");
        (owner(&shop), told)
    };
    let uma = ("Uma Reis".to_owned(), "2024-06-01 K-3".to_owned());
    // Older than what is known, and the very one by which she has it: she has it still.
    assert_eq!(sale("E-1", "2022-04-01", "K-1"), uma);
    assert_eq!(sale("E-2", "2023-04-01", "K-2"), uma);
    assert_eq!(sale("E-3", "2024-06-01", "K-3"), uma);
    // A newer one.
    assert_eq!(sale("E-4", "2025-07-01", "K-4"), ("Bruno Lira".to_owned(), "2025-07-01 K-4".to_owned()));
    // Each can be taken back, and whoever had it before has it again.
    let id = shop.manager.get("/v1/vehicles?q=QC2").ok()["items"][0]["id"].as_str().unwrap().to_owned();
    for (on, before) in [("2025-07-01", "Uma Reis"), ("2023-04-01", "Uma Reis"), ("2024-06-01", "Ada Ferro")]
    {
        let sales = shop.manager.get(&format!("/v1/vehicles/{id}/transfers")).ok();
        let event =
            sales["items"].as_array().unwrap().iter().find(|sale| sale["on"] == on).unwrap()["id"].clone();
        let retract = json!({"kind": "retract", "event": event, "reason": "a slip"});
        shop.manager.post(&format!("/v1/vehicles/{id}/events"), &retract).created();
        assert_eq!(owner(&shop), before, "without the sale of {on}");
    }
    // Where nobody said since when, the sale does.
    import(&shop.manager, "vehicles", "ref,plate,owner\nV-5,QC-5,K-4\n").created();
    let table = "vehicle,on,kind,new owner,told on\nV-5,2025-07-01,sale,K-4,2025-07-01\n";
    import(&shop.manager, "events", table).created();
    let exported = shop.manager.get("/v1/exports/vehicles").text;
    assert!(
        exported.lines().any(|line| line.starts_with("V-5") && line.ends_with("K-4,2025-07-01")),
        "{exported}"
    );
}

fn out_of_stock_a_sale_is_the_first_owners_handover(shop: TestShop) {
    shop.stocks_up();
    import(
        &shop.manager,
        "customers",
        "ref,name,kind\nK-1,Harbour Cars,stock\nK-2,Otto Lind,\nK-3,Uma Reis,\n",
    )
    .created();
    import(&shop.manager, "vehicles", "ref,plate,owner,owned since\nV-2,QC-2,K-1,2025-01-01\n").created();
    let job = "ref,plate,handed over,odometer,surfaces,terms,edition\nA-1,QC-2,2025-03-10,12,paint,two-coat-five,1\n";
    import(&shop.manager, "jobs", job).created();
    let table = "ref,plate,on,kind,new owner,told on\nE-1,QC-2,2025-04-01,sale,K-2,2025-04-01\n\
                 E-2,QC-2,2025-09-01,Sold,K-3,2025-09-01\n";
    import(&shop.manager, "events", table).created();
    assert_eq!(owner(&shop), "Uma Reis");
    let id = shop.manager.get("/v1/vehicles?q=QC2").ok()["items"][0]["id"].as_str().unwrap().to_owned();
    let sales = shop.manager.get(&format!("/v1/vehicles/{id}/transfers")).ok();
    assert_eq!(
        sales["items"].as_array().unwrap().len(),
        1,
        "the first was no transfer of the terms: {sales:#}"
    );
    // What is said to be a transfer is one, whoever had it.
    let table = "ref,plate,on,kind,new owner,told on\nE-3,QC-2,2025-10-01,sale,K-1,2025-10-01\n\
                 E-4,QC-2,2025-11-01,transfer,K-2,no\n";
    import(&shop.manager, "events", table).created();
    let sales = shop.manager.get(&format!("/v1/vehicles/{id}/transfers")).ok();
    assert_eq!(sales["items"].as_array().unwrap().len(), 3, "{sales:#}");
}

fn a_due_is_found_by_its_job_or_by_its_rule(shop: TestShop) {
    delivered(&shop);
    let second = format!(
        "ref,vin,handed over,odometer,surfaces,terms,edition\nA-3,{VIN},2025-06-01,14000,paint,two-coat-five,1\n"
    );
    import(&shop.manager, "jobs", &second).created();
    let row = |job: &str| {
        format!(
            "ref,vin,on,kind,job,upkeep,due number,reason\nE-1,{VIN},2026-01-05,waive,{job},annual,1,laid up\n"
        )
    };
    let fault = |column: &str, code: &str, value: &str| {
        vec![(2, column.to_owned(), code.to_owned(), value.to_owned())]
    };
    // Two warranties have the rule.
    assert_eq!(faults(import(&shop.manager, "events", &row(""))), fault("job", "several_warranties", ""));
    assert_eq!(faults(import(&shop.manager, "events", &row("A-2"))), fault("job", "no_warranty", "A-2"));
    import(&shop.manager, "events", &row("A-3")).created();
    let verdict = shop.verdict("2026-03-10");
    let mut waived: Vec<Value> = verdict["warranties"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let dues = one["assessment"]["dues"].as_array().unwrap();
            json!([one["cover"][0]["from"], dues.iter().any(|due| due["status"] == "waived")])
        })
        .collect();
    waived.sort_by_key(Value::to_string);
    assert_eq!(waived, [json!(["2025-03-10", false]), json!(["2025-06-01", true])]);
}

fn whatever_is_wrong_with_events_is_told(shop: TestShop) {
    delivered(&shop);
    let fault = |line: u64, column: &str, code: &str, value: &str| {
        (line, column.to_owned(), code.to_owned(), value.to_owned())
    };
    let head = "ref,plate,on,kind,odometer,surfaces,panel,breach,new_owner,told_on,job,upkeep,due_number,extended_to,reason\n";
    // What no row can be, whatever the shop has.
    let table = format!(
        "{head}\
         E-1,QC-417,2025-05-01,service,,,,,,,,,,,\n\
         E-2,QC-417,,repair,,paint,roof,,,,,,,,\n\
         E-3,QC-417,2025-05-01,,,,,,,,,,,,\n\
         E-4,QC-417,2025-05-01,reading,,,,,,,,,,,\n\
         E-5,QC-417,2025-05-01,repair,,,,,,,,,,,\n\
         E-6,QC-417,2025-05-01,repair,,\"paint, glass\",\"bonnet, roof\",,,,,,,,\n\
         E-7,QC-417,2025-05-01,repair,,paint,hood,brush,,,,,,,scratched\n\
         E-8,QC-417,2025-05-01,sale,,,,,,,,,,,\n\
         E-9,QC-417,2025-05-01,sale,,,,,K-2,perhaps,,,,,\n\
         E-10,QC-417,2025-05-01,breach,,\"paint, Paint\",,,,,,,,,\n\
         E-11,QC-417,2025-05-01,close,,,,,,,,,,,\n\
         E-12,QC-417,2025-05-01,waive,,,,,,,,,0,2026-01-01,\n\
         E-13,QC-417,2025-05-01,extend,,,,,,,,annual,first,2026-13-01,shop full\n"
    );
    assert_eq!(
        faults(import(&shop.manager, "events", &table)),
        [
            fault(2, "kind", "unknown_word", "service"),
            fault(3, "on", "missing", ""),
            fault(4, "kind", "missing", ""),
            fault(5, "odometer", "missing", ""),
            fault(6, "surfaces", "missing", ""),
            fault(6, "panel", "missing", ""),
            fault(7, "surfaces", "several_surfaces", "paint, glass"),
            fault(7, "panel", "several_panels", "bonnet, roof"),
            fault(8, "breach", "not_of_kind", "brush"),
            fault(8, "reason", "not_of_kind", "scratched"),
            fault(8, "panel", "unknown_word", "hood"),
            fault(9, "new_owner", "missing", ""),
            fault(9, "told_on", "missing", ""),
            fault(10, "told_on", "not_a_day", "perhaps"),
            fault(11, "breach", "missing", ""),
            fault(11, "surfaces", "named_twice", "paint, Paint"),
            fault(12, "reason", "missing", ""),
            fault(13, "extended_to", "not_of_kind", "2026-01-01"),
            fault(13, "upkeep", "missing", ""),
            fault(13, "due_number", "out_of_range", "0"),
            fault(13, "reason", "missing", ""),
            fault(14, "due_number", "out_of_range", "first"),
            fault(14, "extended_to", "not_a_day", "2026-13-01"),
        ]
    );
    // What does not go with what the shop has: all of it is told, and nothing is taken.
    let table = format!(
        "{head}\
         E-1,QC-9,2025-05-01,repair,,paint,roof,,,,,,,,\n\
         E-2,QC-417,2026-03-11,repair,,paint,roof,,,,,,,,\n\
         E-3,QC-417,2025-05-01,sale,,,,,K-9,2026-03-11,,,,,\n\
         E-4,QC-417,2025-05-01,breach,,,,brush-wash,,,,,,,\n\
         E-5,QC-2,2025-05-01,breach,,,,abrasive-wash,,,,,,,\n\
         E-6,QC-417,2025-05-01,waive,,,,,,,A-1,yearly,1,,laid up\n\
         E-7,QC-417,2025-05-01,waive,,,,,,,A-9,annual,1,,laid up\n\
         E-8,QC-2,2025-05-01,extend,,,,,,,,annual,1,2026-04-30,shop full\n\
         E-9,QC-417,2025-06-01,reading,12000,,,,,,,,,,\n\
         E-10,QC-417,2025-06-01,close,,,,,,,,,,,exported\n\
         E-10,QC-417,2025-06-02,close,,,,,,,,,,,exported\n"
    );
    let wanted = [
        fault(2, "plate", "unknown_vehicle", "QC-9"),
        fault(3, "on", "in_the_future", "2026-03-11"),
        fault(4, "told_on", "in_the_future", "2026-03-11"),
        fault(4, "new_owner", "unknown_customer", "K-9"),
        fault(5, "breach", "unknown_breach", "brush-wash"),
        fault(6, "breach", "unknown_breach", "abrasive-wash"),
        fault(7, "upkeep", "unknown_rule", "yearly"),
        fault(8, "job", "no_warranty", "A-9"),
        fault(9, "upkeep", "no_warranty", "annual"),
        fault(10, "odometer", "odometer_implausible", "12000"),
        fault(12, "ref", "ref_twice", "E-10"),
    ];
    assert_eq!(faults(import(&shop.manager, "events", &table)), wanted);
    let path = "/v1/imports?kind=events&validate_only=true";
    assert_eq!(faults(shop.manager.file(path, table.as_bytes())), wanted);
    assert_eq!(shop.manager.get("/v1/exports/events").text.lines().count(), 1, "nothing was taken");
    // A file without a column that each row needs, and one in another's words.
    let codes = |table: &str| -> Vec<String> {
        faults(import(&shop.manager, "events", table)).into_iter().map(|(_, _, code, _)| code).collect()
    };
    assert_eq!(codes("ref,plate,on\nE-1,QC-2,2025-05-01\n"), ["column_missing"]);
    let lines = "{\"plate\": \"QC-2\", \"on\": \"2025-05-01\", \"kind\": \"repair\", \"panels\": \"roof\"}\n";
    assert_eq!(codes(lines), ["unknown_member"]);
}

fn a_service_entered_late_stays_so(shop: TestShop) {
    before(&shop);
    let mut strict = crate::api::main_job::terms();
    strict["code"] = json!("strict");
    strict["entry_within"] = json!({"days": 7});
    shop.manager.post("/v1/terms", &strict).created();
    shop.manager.post("/v1/terms/strict/editions/1/publish", &json!({})).ok();
    let job = format!(
        "ref,vin,handed over,odometer,surfaces,terms,edition\nA-1,{VIN},2025-01-10,12345,paint,strict,1\n"
    );
    import(&shop.manager, "jobs", &job).created();
    let table = format!(
        "ref,vin,on,service,in time\nS-1,{VIN},2026-01-12,inspection,no\nS-2,{VIN},2025-01-30,maintenance wash,yes\n"
    );
    import(&shop.manager, "services", &table).created();
    // Due on 10 January 2026, done two days after: entered late, it does not count; the wash was entered in time.
    let status = |key: &str| {
        let dues = assessment(&shop)["dues"].as_array().unwrap().clone();
        dues.into_iter().find(|due| due["upkeep"] == key && due["number"] == 1).unwrap()["status"].clone()
    };
    assert_eq!((status("annual"), status("wash")), (json!("missed"), json!("met")));
    let exported = shop.manager.get("/v1/exports/services").text;
    assert!(exported.contains("inspection,,,,shop,yes,no,"), "{exported}");
    assert_eq!(counts(&import(&shop.manager, "services", &exported).created()), (2, 0, 2));
}
