//! The pages in a real Chromium: what it complains of, what it asks for, and whether everybody can use them.

use std::process::Command;

use super::walked;
use crate::support::database::Backend;
use crate::support::shop::TestShop;

#[test]
fn pages_work_in_a_browser_for_everybody() {
    let python = std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
    let shop = TestShop::open(Backend::Sqlite);
    let paths = walked(&shop.manager).into_iter().map(|(path, _)| path);
    let ran = Command::new(python)
        .arg("tests/pages/browser.py")
        .arg(&shop.server.url)
        .args(paths)
        .output()
        .unwrap();
    assert!(
        ran.status.success(),
        "{}{}",
        String::from_utf8_lossy(&ran.stdout),
        String::from_utf8_lossy(&ran.stderr)
    );
}
