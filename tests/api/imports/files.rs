//! Files as spreadsheets write them; imported again, in another order, after half of them failed.

use serde_json::{Value, json};

use super::{counts, faults, import, listed};
use crate::support::database::{Backend, on_both};
use crate::support::shop::TestShop;

on_both!(
    files_are_read_as_spreadsheets_write_them,
    a_file_imported_again_adds_nothing_twice,
    what_fails_half_way_leaves_nothing,
    what_is_in_the_shop_already_is_told,
    days_are_what_the_file_as_a_whole_says,
);

fn mapped(done: &Value) -> Vec<(String, String)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let pairs = done["read_as"]["mapping"].as_array().unwrap().iter();
    pairs.map(|pair| (text(&pair["header"]), text(&pair["column"]))).collect()
}

fn files_are_read_as_spreadsheets_write_them(shop: TestShop) {
    let manager = &shop.manager;
    // Semicolons and Windows-1252, German headers, a column of which nobody knows anything, a blank line.
    let table = "Kundennr.;Name;E-Mail;Telefon;Erinnerungen;Bemerkung\r\n\
                 K-1;J\u{f6}rg Ma\u{df};joerg@mail.example;+49 30 5550101;nein;\u{84}Stammkunde\u{93}\r\n\
                 ;;;;;\r\n\
                 K-2;\"Ferro; Ada\";ada@mail.example;;ja;\r\n";
    let bytes: Vec<u8> = table.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let done = manager.file("/v1/imports?kind=customers", &bytes).created();
    assert_eq!(counts(&done), (2, 2, 0));
    let read_as = &done["read_as"];
    assert_eq!(
        json!([read_as["encoding"], read_as["delimiter"], read_as["format"]]),
        json!(["windows-1252", ";", "csv"])
    );
    assert_eq!(read_as["unused"], json!(["Bemerkung"]));
    let pair = |header: &str, column: &str| (header.to_owned(), column.to_owned());
    assert_eq!(
        mapped(&done),
        [
            pair("Kundennr.", "ref"),
            pair("Name", "name"),
            pair("E-Mail", "email"),
            pair("Telefon", "phone"),
            pair("Erinnerungen", "mail_upkeep"),
        ]
    );
    let jorg = manager.get("/v1/customers?q=jorg").ok()["items"][0].clone();
    assert_eq!((&jorg["name"], &jorg["phone"]), (&json!("J\u{f6}rg Ma\u{df}"), &json!("+49 30 5550101")));
    assert_eq!(jorg["mail"], json!({"upkeep": false, "history": true}));
    assert_eq!(jorg["time_zone"], "Europe/Lisbon", "the shop's unless said");

    // UTF-16 with its mark, tabs, Portuguese headers, first and last name apart, owners by what they are called.
    let table = "Ref\tPrimeiro nome\tApelido\tCorreio\tIdioma\r\nK-3\tIn\u{ea}s\tBrand\u{e3}o\t\tpt\r\n";
    let mut bytes = vec![0xFF, 0xFE];
    bytes.extend(table.encode_utf16().flat_map(u16::to_le_bytes));
    let done = manager.file("/v1/imports?kind=customers", &bytes).created();
    assert_eq!((counts(&done), &done["read_as"]["encoding"]), ((1, 1, 0), &json!("utf-16le")));
    assert_eq!(done["read_as"]["unused"], json!(["Correio"]));
    assert_eq!(manager.get("/v1/customers?q=brandao").ok()["items"][0]["name"], "In\u{ea}s Brand\u{e3}o");

    // UTF-8 with its mark, bars, a line that says what stands between cells, French headers.
    let table = "\u{feff}sep=|\nImmatriculation|N\u{b0} de ch\u{e2}ssis|Marque|Mod\u{e8}le|Ann\u{e9}e|Couleur|\
                 Propri\u{e9}taire|Propri\u{e9}taire depuis\n\
                 QC 22-095||Corvina|Estate|2021|gris|K-3|14.02.2024\n\
                 QC-417|1M8GDM9AXKP042788|||||ada@mail.example|\n\
                 QC-9||||||jorg MASS|2023-12-01\n";
    let done = manager.file("/v1/imports?kind=vehicles", table.as_bytes()).created();
    assert_eq!(counts(&done), (3, 3, 0));
    let vehicle = manager.get("/v1/vehicles?q=QC22095").ok()["items"][0].clone();
    let ines = manager.get("/v1/customers?q=ines").ok()["items"][0]["id"].clone();
    assert_eq!(
        json!([vehicle["make"], vehicle["model_year"], vehicle["colour"], vehicle["customer_id"]]),
        json!(["Corvina", 2021, "gris", ines])
    );
    assert_eq!(
        manager.get("/v1/vehicles?q=brandao").ok()["items"][0]["id"],
        vehicle["id"],
        "found by its owner"
    );

    // JSON Lines, with the names of the columns.
    let lines =
        "{\"ref\": \"K-4\", \"name\": \"Otto Lind\", \"mail_history\": false}\n\n{\"name\": \"Uma Reis\"}\n";
    let sent = [("Content-Type", "application/jsonl")];
    let done = manager.send("POST", "/v1/imports?kind=customers", &sent, Some(lines.as_bytes())).created();
    assert_eq!((counts(&done), &done["read_as"]["format"]), ((2, 2, 0), &json!("jsonl")));
    assert_eq!(manager.get("/v1/customers?q=lind").ok()["items"][0]["mail"]["history"], false);
}

fn a_file_imported_again_adds_nothing_twice(shop: TestShop) {
    let manager = &shop.manager;
    let row = |n: u32| format!("K-{n},Owner {n},owner{n}@mail.example\n");
    let file = |rows: &mut dyn Iterator<Item = u32>| {
        format!("ref,name,email\n{}", rows.map(row).collect::<String>())
    };
    let half = import(manager, "customers", &file(&mut (1..=30))).created();
    assert_eq!(counts(&half), (30, 30, 0));
    let whole = import(manager, "customers", &file(&mut (1..=60).rev())).created();
    assert_eq!(counts(&whole), (60, 30, 30));
    assert!(whole["record"]["seq"].is_i64());
    let again = import(manager, "customers", &file(&mut (1..=60))).created();
    assert_eq!((counts(&again), &again["record"]), ((60, 0, 60), &json!(null)));
    assert_eq!(listed(manager, "/v1/customers"), 60);

    // Without keys a row is known by what it says.
    let unnamed = "plate,make\nQC-1,Aurel\nQC-2,Aurel\n";
    assert_eq!(counts(&import(manager, "vehicles", unnamed).created()), (2, 2, 0));
    assert_eq!(
        counts(&import(manager, "vehicles", "make;plate\nAurel;QC-2\nAurel;QC-1\n").created()),
        (2, 0, 2)
    );

    // A row that says something else is told, and nothing of its file is taken.
    let other = "ref,name,email\nK-61,Owner 61,\nK-7,Owner Seven,owner7@mail.example\n";
    assert_eq!(
        faults(import(manager, "customers", other)),
        [(3, "ref".to_owned(), "changed".to_owned(), "K-7".to_owned())]
    );
    assert_eq!(listed(manager, "/v1/customers"), 60);

    // The same file under the same key is answered the same.
    let keyed = |table: &str| {
        let headers = [("Content-Type", "text/csv"), ("Idempotency-Key", "once")];
        manager.send("POST", "/v1/imports?kind=customers", &headers, Some(table.as_bytes()))
    };
    let first = keyed("ref,name\nK-62,Uma Reis\n");
    assert_eq!((first.status, counts(&first.body)), (201, (1, 1, 0)));
    assert_eq!(keyed("ref,name\nK-62,Uma Reis\n").text, first.text);
    keyed("ref,name\nK-63,Uma Reis\n").refused(422, "idempotency_key_reused");
}

fn what_fails_half_way_leaves_nothing(shop: TestShop) {
    let manager = &shop.manager;
    let rows: String = (0..2_000).map(|n| format!("K-{n},Owner {n}\n")).collect();
    let table = format!("ref,name\n{rows}");
    let path = "/v1/imports?kind=customers";
    // One fault among many rows: nothing is taken.
    let faulty = table.replace("K-1999,Owner 1999", "K-1999,");
    assert_eq!(
        faults(manager.file(path, faulty.as_bytes())),
        [(2001, "name".to_owned(), "missing".to_owned(), String::new())]
    );
    assert_eq!(listed(manager, "/v1/customers"), 0);
    // The database gives up in the middle of writing: nothing is taken either.
    shop.database.execute(match shop.database.backend {
        Backend::Sqlite => {
            "CREATE TRIGGER full_disk BEFORE INSERT ON customers WHEN NEW.name = 'Owner 1300'
             BEGIN SELECT RAISE(ABORT, 'no room'); END"
        }
        Backend::Postgres => {
            "CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
                 IF NEW.name = 'Owner 1300' THEN RAISE EXCEPTION 'no room'; END IF; RETURN NEW; END $$;
             CREATE TRIGGER full_disk BEFORE INSERT ON customers FOR EACH ROW EXECUTE FUNCTION full_disk()"
        }
    });
    assert_eq!(manager.file(path, table.as_bytes()).status, 500);
    assert_eq!(listed(manager, "/v1/customers"), 0);
    shop.database.execute(match shop.database.backend {
        Backend::Sqlite => "DROP TRIGGER full_disk",
        Backend::Postgres => "DROP TRIGGER full_disk ON customers",
    });
    assert_eq!(counts(&manager.file(path, table.as_bytes()).created()), (2_000, 2_000, 0));
    assert_eq!(listed(manager, "/v1/customers"), 2_000);
}

fn what_is_in_the_shop_already_is_told(shop: TestShop) {
    let manager = &shop.manager;
    let fault = |line: u64, column: &str, code: &str, value: &str| {
        (line, column.to_owned(), code.to_owned(), value.to_owned())
    };
    let vin = "1M8GDM9AXKP042788";
    shop.takes_in(&shop.adds_customer("Ada Ferro", "ada@mail.example"));
    shop.adds_customer("Ada Ferro", "ferro@mail.example");
    let table = format!("Ref,VIN,Plate,Owner\nV-1,{vin},,\n,,qc 417,\nV-3,,QC-3,Ada Ferro\nV-4,,QC-4,K-99\n");
    assert_eq!(
        faults(import(manager, "vehicles", &table)),
        [
            fault(2, "VIN", "vehicle_exists", vin),
            fault(3, "Plate", "vehicle_exists", "qc 417"),
            fault(4, "Owner", "several_customers", "Ada Ferro"),
            fault(5, "Owner", "unknown_customer", "K-99"),
        ]
    );
    // Another shop's vehicle of the same VIN is the same vehicle, and says nothing of it.
    let neighbour = shop.neighbour();
    let done = import(&neighbour, "vehicles", &format!("ref,vin,make\nV-1,{vin},Aurel\n")).created();
    assert_eq!(counts(&done), (1, 1, 0));
    let ours = manager.get(&format!("/v1/vehicles?q={vin}")).ok()["items"][0].clone();
    let theirs = neighbour.get(&format!("/v1/vehicles?q={vin}")).ok()["items"][0].clone();
    assert_eq!(
        (&ours["id"], &ours["make"], &theirs["make"]),
        (&theirs["id"], &json!("Corvina"), &json!("Aurel"))
    );
    assert_eq!(theirs["plate"], json!(null));
}

fn days_are_what_the_file_as_a_whole_says(shop: TestShop) {
    let manager = &shop.manager;
    import(manager, "customers", "ref,name\nK-1,Ada Ferro\n").created();
    let table =
        |days: [&str; 2]| format!("plate,owner,owned since\nQC-1,K-1,{}\nQC-2,K-1,{}\n", days[0], days[1]);
    let tried = |days: [&str; 2], query: &str| {
        let path = format!("/v1/imports?kind=vehicles&validate_only=true{query}");
        manager.file(&path, table(days).as_bytes())
    };
    let code = |days: [&str; 2]| {
        tried(days, "").refused(422, "rule_broken")["errors"][0]["code"].as_str().unwrap().to_owned()
    };
    assert_eq!(code(["03/04/2024", "05/06/2024"]), "days_ambiguous");
    assert_eq!(code(["13/04/2024", "04/13/2024"]), "days_contradict");
    assert_eq!(code(["31.02.2024", "2024-02-29"]), "not_a_day");
    tried(["03/04/2024", "05/06/2024"], "&days=month_first").ok();
    tried(["2024-04-03", "5.6.2024"], "").ok();
    assert_eq!(
        tried(["03/04/2024", "05/06/2024"], "&days=perhaps").faults(400, "malformed"),
        [("days".to_owned(), "wrong_type".to_owned())]
    );
    let done = import(manager, "vehicles", &table(["03/04/2024", "05/13/2024"])).created();
    assert_eq!(done["read_as"]["days"], "month_first");
    let exported = manager.get("/v1/exports/vehicles").text;
    assert!(exported.contains("2024-03-04") && exported.contains("2024-05-13"), "{exported}");

    // Kinds and parameters are closed.
    let wrong = manager.file("/v1/imports?kind=dogs", b"name\nRex\n").faults(400, "malformed");
    assert_eq!(wrong, [("kind".to_owned(), "wrong_type".to_owned())]);
    assert_eq!(
        manager.file("/v1/imports", b"name\nRex\n").faults(400, "malformed"),
        [("kind".to_owned(), "missing".to_owned())]
    );
    manager.get("/v1/exports/dogs").refused(404, "not_found");
}
