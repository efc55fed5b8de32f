//! Files of climate loggers over HTTP: tried, taken whole or not at all, and not twice. All invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_file_is_tried_and_then_taken,
    a_faulty_file_is_refused_whole,
    what_a_file_leaves_open_is_asked_for
);

fn open_job(shop: &TestShop) -> String {
    let vehicle = shop.adds_vehicle("QC-1");
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 400, "unit": "km"}});
    format!("/v1/jobs/{}/climate", id(&shop.technician.post("/v1/jobs", &job).created()))
}

fn count(shop: &TestShop, path: &str) -> usize {
    shop.desk.get(path).ok()["items"].as_array().unwrap().len()
}

fn a_file_is_tried_and_then_taken(shop: TestShop) {
    let path = open_job(&shop);
    let file: &[u8] = include_bytes!("../data/loggers/semicolon_de_local.csv");
    let tried = shop.technician.file(&format!("{path}?validate_only=true"), file).ok();
    assert_eq!((&tried["valid"], &tried["readings"]), (&json!(true), &json!(3)));
    // The shop is in Lisbon, and its winter is UTC.
    assert_eq!(
        (&tried["first_at"], &tried["last_at"]),
        (&json!("2026-03-09T09:30:00Z"), &json!("2026-03-09T09:50:00Z"))
    );
    let read_as = &tried["read_as"];
    assert_eq!(
        (&read_as["delimiter"], &read_as["decimal_comma"], &read_as["zone"]),
        (&json!(";"), &json!(true), &json!("Europe/Lisbon"))
    );
    assert_eq!(
        read_as["columns"][2],
        json!({"header": "Lufttemperatur", "column": "air_c", "unit": "celsius"})
    );
    assert_eq!(count(&shop, &path), 0, "nothing is written");

    let taken = shop.technician.file(&format!("{path}?zone=Europe/Berlin&place=bay"), file).created();
    assert_eq!((&taken["taken"], &taken["unchanged"]), (&json!(3), &json!(0)));
    let items = shop.desk.get(&path).ok()["items"].clone();
    let newest = items.as_array().unwrap().iter().map(|one| one["at"].as_str().unwrap()).max().unwrap();
    assert_eq!(newest, "2026-03-09T08:50:00Z");
    let cold = items.as_array().unwrap().iter().find(|one| one["at"] == "2026-03-09T08:40:00Z").unwrap();
    assert_eq!(
        (&cold["air_c"], &cold["rh_pct"], &cold["place"]),
        (&json!(20.25), &json!(48.5), &json!("bay"))
    );
    assert_eq!(cold.get("surface_c"), None);
    // The logger went on writing: what is there already is not added again.
    let longer = [file, b"09.03.2026;10:00;19,5;50;18\r\n"].concat();
    let again = shop.technician.file(&format!("{path}?zone=Europe/Berlin&place=bay"), &longer).created();
    assert_eq!((&again["taken"], &again["unchanged"]), (&json!(1), &json!(3)));
    assert_eq!(count(&shop, &path), 4);

    let job = path.trim_end_matches("/climate");
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    for path in [path.clone(), format!("{path}?validate_only=true")] {
        shop.technician.file(&path, file).refused(409, "job_not_open");
    }
}

fn a_faulty_file_is_refused_whole(shop: TestShop) {
    let path = open_job(&shop);
    let file: &[u8] = include_bytes!("../data/loggers/faulty.csv");
    let refused = shop.technician.file(&path, file).refused(422, "rule_broken");
    let errors = refused["errors"].as_array().unwrap();
    assert_eq!(
        errors[0],
        json!({"pointer": "/rows/1/time", "code": "not_a_stamp", "line": 3, "column": "Time", "value": "2026-03-09 25:40",
               "detail": "\"2026-03-09 25:40\" is no date and time such as 2026-03-09 09:30"})
    );
    let lines: Vec<&Value> = errors.iter().map(|error| &error["line"]).collect();
    assert_eq!(lines.len(), 12, "every faulty row: {lines:?}");
    assert_eq!(
        shop.technician.file(&format!("{path}?validate_only=true"), file).refused(422, "rule_broken")["errors"],
        refused["errors"]
    );
    assert_eq!(count(&shop, &path), 0, "nothing is taken");
    shop.neighbour().file(&path, file).refused(404, "not_found");
}

fn what_a_file_leaves_open_is_asked_for(shop: TestShop) {
    let path = open_job(&shop);
    let file = b"Time,Temp,RH\n03/02/2026 09:30,20,50\n";
    let unclear = shop.technician.file(&path, file).faults(422, "rule_broken");
    assert_eq!(unclear, [(String::new(), "days_ambiguous".to_owned())]);
    for (days, at) in [("day_first", "2026-02-03T09:30:00Z"), ("month_first", "2026-03-02T09:30:00Z")] {
        let tried = shop.technician.file(&format!("{path}?days={days}&validate_only=true"), file).ok();
        assert_eq!(tried["first_at"], at);
    }
    for query in ["days=either", "kind=climate"] {
        shop.technician.file(&format!("{path}?{query}"), file).refused(400, "malformed");
    }
    let empty = shop.technician.file(&path, b"Time,Temp,RH\n").faults(422, "rule_broken");
    assert_eq!(empty, [(String::new(), "no_rows".to_owned())]);
    // A single reading goes on as it did, and knows nothing of files.
    let one = json!({"at": "2026-03-09T09:30:00Z", "air_c": 20.0, "rh_pct": 50});
    shop.technician.post(&path, &one).created();
    // What is said of files cannot be said of one reading.
    let told = shop.technician.post(&format!("{path}?zone=UTC"), &one).faults(422, "rule_broken");
    assert_eq!(told, [("zone".to_owned(), "only_of_files".to_owned())]);
    let told = shop.technician.file(&format!("{path}?zone=Europe/Atlantis"), file).faults(422, "rule_broken");
    assert_eq!(told, [("zone".to_owned(), "unknown_zone".to_owned())]);
}
