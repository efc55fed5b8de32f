//! A client that is generated from the document at test time drives the main job: what others get when they do the same.

use std::process::{Command, Output};

use crate::fuzz::{program, unlimited};
use crate::support::database::on_both;
use crate::support::shop::{PASSWORD, TestShop};

on_both!(a_generated_client_drives_the_main_job);

fn went_well(what: &str, ran: &Output) -> String {
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    assert!(ran.status.success(), "{what}:\n{said}\n{}", String::from_utf8_lossy(&ran.stderr));
    said
}

fn a_generated_client_drives_the_main_job(shop: TestShop) {
    let folder = tempfile::tempdir().unwrap();
    let made = program("openapi-python-client")
        .args(["generate", "--path", "openapi/lustrum.json", "--meta", "none", "--output-path"])
        .arg(folder.path().join("lustrum_client"))
        .output()
        .unwrap();
    let said = went_well("openapi-python-client", &made);
    // It leaves out what it cannot make sense of, and says so.
    assert!(!said.contains("Unable to") && !said.contains("WARNING"), "{said}");

    let server = unlimited(&shop);
    let python = std::env::var("LUSTRUM_TEST_PYTHON").unwrap();
    let driven = Command::new(python)
        .arg("tests/generated/main_job.py")
        .args([&server.url, "ines@quayside.example", PASSWORD])
        .env("PYTHONPATH", folder.path())
        .output()
        .unwrap();
    let said = went_well("main_job.py", &driven);
    assert!(said.contains("W-2026-0001: in force on paint"), "{said}");
}
