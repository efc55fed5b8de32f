//! One box for everything: vehicle, plate, owner, job and warranty numbers, however they are written.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_vehicle_is_found_by_whatever_is_known_of_it,
    what_changes_is_found_as_it_is_now,
    a_shop_finds_its_own_and_turns_pages,
    what_no_newest_vehicle_has_is_found_in_the_index,
);

fn plates(shop: &TestShop, q: &str) -> Vec<String> {
    let path = format!("/v1/vehicles?q={}", encoded(q));
    let page = shop.desk.get(&path).ok();
    let plate = |vehicle: &Value| vehicle["plate"].as_str().unwrap().to_owned();
    page["items"].as_array().unwrap().iter().map(plate).collect()
}

fn encoded(q: &str) -> String {
    percent_encoding::utf8_percent_encode(q, percent_encoding::NON_ALPHANUMERIC).to_string()
}

fn a_vehicle_is_found_by_whatever_is_known_of_it(shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let zoe = shop.adds_customer("Zoë Müller-Łodz", "zoe@example.org");
    let body = json!({"plate": "ŠK 22-095", "make": "Aurel", "model": "Vento GT", "customer_id": zoe});
    let other = id(&shop.desk.post("/v1/vehicles", &body).created());
    let job = json!({"vehicle_id": other, "odometer": {"value": 12, "unit": "km"}});
    let job = shop.desk.post("/v1/jobs", &job).created()["number"].as_str().unwrap().to_owned();
    let found = ["ŠK 22-095"];
    for q in [
        "sk22095",
        "SK 22 095",
        "22-095",
        "2209",
        "zoe",
        "MÜLLER",
        "muller",
        "lodz",
        "ller",
        "vento zoe",
        "ve gt",
        "Zo",
        "z",
        &job,
        &job[2..],
        &job.to_lowercase(),
    ] {
        assert_eq!(plates(&shop, q), found, "{q}");
    }
    for q in ["ller ferro", "oe", "95", "ento g x", "%", "_", "\"", "zoe\\", "* OR", "22 096"] {
        assert_eq!(plates(&shop, q), [""; 0], "{q}");
    }
    let number = warranty["number"].as_str().unwrap();
    assert_eq!(plates(&shop, number).len(), 1);
    assert_ne!(plates(&shop, number), found);
    assert_eq!(plates(&shop, " ").len(), 2, "nothing is sought: all of them");
    let names = |q: &str| {
        let page = shop.desk.get(&format!("/v1/customers?q={}", encoded(q))).ok();
        page["items"].as_array().unwrap().iter().map(|c| c["name"].clone()).collect::<Vec<_>>()
    };
    for q in ["zoe@", "example.org lodz", "mü", "uller"] {
        assert_eq!(names(q), ["Zoë Müller-Łodz"], "{q}");
    }
    assert_eq!(names("example").len(), 2);
    assert_eq!(names("xample.net").len(), 0);
}

fn what_changes_is_found_as_it_is_now(shop: TestShop) {
    let ada = shop.adds_customer("Ada Ferro", "ada@example.org");
    let body = json!({"plate": "QC-1", "customer_id": ada});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &body).created());
    let (car, owner) = (format!("/v1/vehicles/{vehicle}"), format!("/v1/customers/{ada}"));
    assert_eq!(plates(&shop, "ferro"), ["QC-1"]);

    shop.desk.patch(&owner, &shop.desk.etag(&owner), &json!({"name": "Ada Lira"})).ok();
    assert_eq!(plates(&shop, "ferro"), [""; 0]);
    assert_eq!(plates(&shop, "lira"), ["QC-1"]);
    shop.desk.patch(&car, &shop.desk.etag(&car), &json!({"plate": "QC-9 X"})).ok();
    assert_eq!(plates(&shop, "qc-1"), [""; 0]);
    assert_eq!(plates(&shop, "qc9x"), ["QC-9 X"]);

    let sale = json!({"on": "2026-03-10", "customer": {"name": "Bruno Nunes"}});
    let sold = shop.desk.post(&format!("{car}/transfers"), &sale).created();
    assert_eq!((plates(&shop, "lira").len(), plates(&shop, "nunes").len()), (0, 1));
    let back = json!({"kind": "retract", "event": sold["id"], "reason": "It was not sold."});
    shop.desk.post(&format!("{car}/events"), &back).created();
    assert_eq!((plates(&shop, "lira").len(), plates(&shop, "nunes").len()), (1, 0));
}

fn a_shop_finds_its_own_and_turns_pages(shop: TestShop) {
    for n in 0..5 {
        shop.desk.post("/v1/vehicles", &json!({"plate": format!("QC-{n}"), "make": "Corvina"})).created();
    }
    let neighbour = shop.neighbour();
    neighbour.post("/v1/vehicles", &json!({"plate": "HD-1", "make": "Corvina"})).created();
    let first = shop.desk.get("/v1/vehicles?q=corvina&limit=3").ok();
    let next = first["next"].as_str().unwrap();
    let second = shop.desk.get(&format!("/v1/vehicles?q=corvina&limit=3&cursor={next}")).ok();
    let plate = |page: &Value| -> Vec<String> {
        page["items"].as_array().unwrap().iter().map(|v| v["plate"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(
        (plate(&first), plate(&second)),
        (vec!["QC-4".into(), "QC-3".into(), "QC-2".into()], vec!["QC-1".into(), "QC-0".into()])
    );
    assert_eq!(second["next"], Value::Null);
    assert_eq!(neighbour.get("/v1/vehicles?q=corvina").ok()["items"].as_array().unwrap().len(), 1);
}

/// More than are read through without the index (a thousand), in one transaction.
fn what_no_newest_vehicle_has_is_found_in_the_index(shop: TestShop) {
    let old = shop.desk.post("/v1/vehicles", &json!({"plate": "OLD 1", "make": "Zephyrine"})).created();
    let who = lustrum::app::sessions::act_for(&shop.app, "ines@quayside.example").unwrap();
    let (app, old_id) = (shop.app.clone(), id(&old).parse().unwrap());
    let added = app.db.clone().write(move |tx| {
        let pattern = lustrum::db::vehicles::find(tx, &who.shop, old_id)?;
        for n in 0..1_100 {
            let id = lustrum::db::vehicles::identify(
                tx,
                &app.db.installation(),
                None,
                uuid::Uuid::now_v7().into(),
            )?;
            let mut row = pattern.clone();
            (row.id, row.search_key) = (id, lustrum::core::fold::search_key([format!("QC{n:04}").as_str()]));
            lustrum::db::vehicles::add(tx, &who.shop, &row, uuid::Uuid::now_v7().as_bytes())?;
        }
        Ok::<_, lustrum::app::Error>(())
    });
    added.unwrap();
    for q in ["zephyrine", "phyr", "OLD-1", "old 1 zeph", "ze", "z"] {
        let found = shop.desk.get(&format!("/v1/vehicles?q={}", encoded(q))).ok();
        let ids: Vec<&Value> = found["items"].as_array().unwrap().iter().map(|v| &v["id"]).collect();
        assert_eq!(ids, [&old["id"]], "{q}");
    }
    let car = format!("/v1/vehicles/{}", id(&old));
    shop.desk.patch(&car, &shop.desk.etag(&car), &json!({"make": "Halcyon"})).ok();
    assert_eq!(plates(&shop, "zephyrine"), [""; 0], "the index forgets");
    assert_eq!(plates(&shop, "halcyon"), ["OLD 1"]);
    assert_eq!(plates(&shop, "qc0007").len(), 1);
    assert_eq!(plates(&shop, "qc00*").len(), 0);
}
