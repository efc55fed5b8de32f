//! The pages in a real Chromium: what it complains of, what it asks for, and whether everybody can use them.

use std::process::Command;

use serde_json::{Value, json};

use super::walked;
use crate::support::database::Backend;
use crate::support::shop::TestShop;

/// What Chromium finds wrong when a script of ours looks around in it.
fn looked(script: &str, arguments: &[String]) {
    let python = std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
    let ran = Command::new(python).arg(script).args(arguments).output().unwrap();
    let (out, err) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{out}{err}");
}

#[test]
fn pages_work_in_a_browser_for_everybody() {
    let shop = TestShop::open(Backend::Sqlite);
    let mut arguments = vec![shop.server.url.clone()];
    arguments.extend(walked(&shop.manager).into_iter().map(|(path, _)| path));
    looked("tests/pages/browser.py", &arguments);
}

#[test]
fn pages_behind_links_work_without_scripts_and_by_keyboard() {
    let mut shop = TestShop::open(Backend::Sqlite);
    let (vehicle, _) = shop.delivers();
    let ada = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let link =
        shop.desk.post(&format!("/v1/customers/{}/links", ada.as_str().unwrap()), &json!({})).created();
    let door = shop.desk.get(&format!("/v1/vehicles/{vehicle}/door-link")).ok();
    let path = |link: &Value| link["url"].as_str().unwrap().replace("http://127.0.0.1:8080", "");
    let booked = json!({"vehicle_id": vehicle, "at": "2027-03-02T09:00:00Z"});
    shop.desk.post("/v1/appointments", &booked).created();
    // In the second spring: the inspection of the first was missed, and cover is on hold.
    shop.it_is("2027-05-04T09:00:00Z");
    shop.ticks();
    let sold = format!("{}/vehicles/{vehicle}/sold", path(&link));
    let sale = json!({"on": "2027-05-02", "buyer": "Liv Torsheim", "buyer_email": "liv@owners.example"});
    shop.desk.anonymous().post(&sold, &sale).ok();
    shop.it_is("2027-05-04T09:01:00Z");
    shop.ticks();
    let confirm = shop.mailed_link("/confirm/").path;
    looked("tests/pages/forms.py", &[shop.server.url.clone(), path(&link), path(&door), confirm]);
}
