//! Signed certificates: checked by a library that others wrote, and told apart from forged ones.

use std::io::Write as _;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_certificate_is_checked_by_anybody_and_says_what_was_promised,
    keys_rotate_and_old_certificates_stay_good
);

impl TestShop {
    fn certificate(&self, warranty: &str) -> String {
        let asked = [("Accept", "application/jose")];
        let answer =
            self.desk.call("GET", &format!("/v1/warranties/{warranty}/certificate.jws"), &asked, None);
        assert_eq!((answer.status, answer.header("content-type")), (200, Some("application/jose")));
        answer.text
    }

    /// The status of the page that a certificate leads to.
    fn verified(&self, certificate: &str) -> (u16, String) {
        let nobody = self.desk.anonymous();
        let answer = nobody.call("GET", &format!("/verify/{certificate}"), &[("Accept", "text/html")], None);
        (answer.status, answer.text)
    }

    /// What a certificate says, by PyJWT with the published keys; none of one that does not hold.
    fn read_by_others(&self, certificate: &str) -> Option<Value> {
        let python =
            std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
        let keys = self.desk.anonymous().get("/.well-known/jwks.json").ok();
        let mut child = Command::new(python)
            .args(["tests/support/verify_certificate.py", &keys.to_string()])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(certificate.as_bytes()).unwrap();
        let ran = child.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&ran.stderr);
        assert!(ran.status.success() || said.contains("it does not hold"), "{said}");
        ran.status.success().then(|| serde_json::from_slice(&ran.stdout).unwrap())
    }
}

fn a_certificate_is_checked_by_anybody_and_says_what_was_promised(shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let issued = shop.manager.get(&format!("/v1/warranties/{}", id(&warranty))).ok();
    let (number, code) = (issued["number"].as_str().unwrap(), issued["verify_code"].as_str().unwrap());
    let certificate = shop.certificate(number);
    assert_eq!(shop.certificate(&id(&warranty)), certificate, "byte by byte the same");

    let says = shop.read_by_others(&certificate).expect("it holds");
    assert_eq!((&says["sub"], &says["jti"]), (&json!(number), &json!(code)));
    let promised = &says["certificate"];
    assert_eq!(promised["cover"], issued["cover"]);
    assert_eq!((&promised["start"], &promised["start_km"]), (&issued["start"], &issued["start_km"]));
    assert_eq!(promised["terms"]["code"], "two-coat-five");
    let terms = shop.manager.get("/v1/terms/two-coat-five/editions/1").ok();
    let document = lustrum::core::record::canonical(&terms["document"]).unwrap();
    assert_eq!(promised["terms"]["digest"], json!(lustrum::core::ids::Digest::of(&document)));
    assert!(!says.to_string().contains("Ferro"), "nothing personal: {says}");

    // Forged ones, whatever was changed in them, are told apart from one that is good and one that is void.
    let (signed, signature) = certificate.rsplit_once('.').unwrap();
    let (header, payload) = signed.split_once('.').unwrap();
    let swapped = |text: &str| {
        let place = text.len() / 2;
        let other = if &text[place..=place] == "A" { "B" } else { "A" };
        format!("{}{other}{}", &text[..place], &text[place + 1..])
    };
    for forged in [
        format!("{header}.{}.{signature}", swapped(payload)),
        format!("{header}.{payload}.{}", swapped(signature)),
    ] {
        assert_eq!(shop.read_by_others(&forged), None);
        assert_eq!(shop.verified(&forged).0, 404);
    }
    let (status, page) = shop.verified(&certificate);
    assert!(status == 200 && page.contains("genuine, and in force"), "{page}");
    shop.manager.post(&format!("/v1/warranties/{number}/void"), &json!({"reason": "Issued in error."})).ok();
    let (status, page) = shop.verified(&certificate);
    assert!(status == 200 && page.contains("issued in error and is void"), "{page}");
    let path = format!("/v1/warranties/{number}/certificate.jws");
    shop.desk.get(&path).refused(409, "warranty_void");
    shop.neighbour().get(&path).refused(404, "not_found");
}

fn keys_rotate_and_old_certificates_stay_good(shop: TestShop) {
    let keys = |shop: &TestShop| {
        let set = shop.desk.anonymous().get("/.well-known/jwks.json").ok();
        set["keys"].as_array().unwrap().iter().map(|key| key["kid"].clone()).collect::<Vec<_>>()
    };
    let first = keys(&shop);
    assert_eq!(first.len(), 1);
    let (_, warranty) = shop.delivers();
    let before = shop.certificate(&id(&warranty));
    assert_eq!(keys(&shop), first);
    let rotated = lustrum::app::certificates::rotate_keys(&shop.app).unwrap();
    assert_eq!(rotated.iter().map(|key| key.retired_at.is_none()).collect::<Vec<_>>(), [true, false]);
    let after = shop.certificate(&id(&warranty));
    assert_ne!(after, before);
    assert_eq!((keys(&shop).len(), &keys(&shop)[1]), (2, &first[0]));
    for certificate in [&before, &after] {
        assert!(shop.read_by_others(certificate).is_some());
        assert_eq!(shop.verified(certificate).0, 200);
    }
}
