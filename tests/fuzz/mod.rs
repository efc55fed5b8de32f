//! Requests that nobody thought of: made up by Schemathesis from the OpenAPI document, right ones and wrong ones, each
//! answer held against the document; and the document held against OpenAPI itself.

use std::path::PathBuf;
use std::process::Command;

use lustrum::app::App;
use serde_json::json;

use crate::support::database::on_both;
use crate::support::server::{Client, Server};
use crate::support::shop::{PASSWORD, TestShop, id};

on_both!(no_request_from_the_document_finds_a_fault);

/// Requests that are made up for each operation, besides those that go through its limits one by one; more at home, by
/// `LUSTRUM_TEST_REQUESTS`.
const REQUESTS: &str = "4";

/// A program of the environment that tests/run makes.
pub(crate) fn program(name: &str) -> Command {
    let python = std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
    Command::new(PathBuf::from(python).with_file_name(name))
}

/// The same shop, served without limits on how often one may ask.
pub(crate) fn unlimited(shop: &TestShop) -> Server {
    let mut config = (*shop.app.config).clone();
    for limit in [&mut config.limit_address, &mut config.limit_account, &mut config.limit_sign_in] {
        *limit = "off".parse().unwrap();
    }
    Server::start(App::open(config, shop.clock.clone()).unwrap())
}

fn no_request_from_the_document_finds_a_fault(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let job = id(&shop.technician.post("/v1/jobs", &job).created());
    let server = unlimited(&shop);
    let token = || {
        let body = json!({"email": "ines@quayside.example", "password": PASSWORD});
        let session = Client::new(&server.url, None).post("/v1/sessions", &body).created();
        session["access_token"].as_str().unwrap().to_owned()
    };
    let folder = tempfile::tempdir().unwrap();
    let root = std::env::current_dir().unwrap();
    let mut run = program("schemathesis");
    run.current_dir(folder.path()).arg("--config-file").arg(root.join("tests/fuzz/schemathesis.toml"));
    run.args(["--no-color", "run"]).arg(format!("{}/openapi.json", server.url));
    run.args(["--mode", "all", "--checks", "all", "--continue-on-failure"]);
    match std::env::var("LUSTRUM_TEST_REQUESTS") {
        // At home: other requests each time. The seed is printed, for another run like it.
        Ok(requests) => run.args(["--max-examples", &requests]),
        Err(_) => run.args(["--seed", "417", "--generation-deterministic", "--max-examples", REQUESTS]),
    };
    let ran = run
        .env("PYTHONPATH", root.join("tests/fuzz"))
        .env("SCHEMATHESIS_HOOKS", "serializers")
        .env("LUSTRUM_FUZZ_TOKEN", token())
        .env("LUSTRUM_FUZZ_OTHER_TOKEN", token())
        .env("LUSTRUM_FUZZ_JOB", job)
        .env("LUSTRUM_FUZZ_VEHICLE", &vehicle)
        .env("LUSTRUM_FUZZ_WARRANTY", id(&warranty))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stdout);
    assert!(ran.status.success(), "{said}\n{}", String::from_utf8_lossy(&ran.stderr));
    // Nothing at all, tried, finds no fault either.
    assert!(said.contains("No issues found"), "{said}");
}

#[test]
fn the_document_is_an_openapi_document() {
    let ran = program("openapi-spec-validator").arg("openapi/lustrum.json").output().unwrap();
    let said = String::from_utf8_lossy(&ran.stdout);
    assert!(ran.status.success(), "{said}{}", String::from_utf8_lossy(&ran.stderr));
}
