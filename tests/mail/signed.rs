//! Mails are signed for their domain, as dkimpy, which others wrote, sees it.

use std::io::Write as _;
use std::process::{Command, Stdio};

use lustrum::core::words::NoticeKind;
use lustrum::mail::dkim::Dkim;
use lustrum::mail::message::seal;
use lustrum::mail::said::Section;
use lustrum::mail::texts::write;

use super::{inspection, mail, posting};

/// Made for this test by `openssl genpkey`, RSA of 2048 bits in PKCS #8.
pub(super) const RSA: &str = include_str!("keys/rsa-pkcs8.pem");
/// The same key in PKCS #1.
const RSA_1: &str = include_str!("keys/rsa-pkcs1.pem");
/// Made for this test by `openssl genpkey -algorithm ed25519`.
pub(super) const ED25519: &str = include_str!("keys/ed25519.pem");
/// RSA of 1024 bits.
const SHORT: &str = include_str!("keys/rsa-1024.pem");

/// The headers that the signature of a message covers, if dkimpy finds that it holds.
pub(super) fn covered(message: &[u8], record: (&str, &str)) -> Option<String> {
    let python = std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
    let mut child = Command::new(python)
        .args(["tests/support/verify_mail.py", record.0, record.1])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(message).unwrap();
    let ran = child.wait_with_output().unwrap();
    let refused = String::from_utf8_lossy(&ran.stderr).contains("the signature does not hold");
    assert!(ran.status.success() || refused, "{}", String::from_utf8_lossy(&ran.stderr));
    ran.status.success().then(|| String::from_utf8(ran.stdout).unwrap().trim().to_owned())
}

#[test]
fn a_real_server_can_tell_that_a_mail_is_ours() {
    let letter = write(&mail(vec![Section::Upcoming(inspection())])).unwrap();
    for pem in [RSA, RSA_1, ED25519] {
        let dkim = Dkim::of("shop.example.org", "lustrum", pem).unwrap();
        assert_eq!(dkim.record().0, "lustrum._domainkey.shop.example.org");
        let sealed = seal(&letter, &posting(NoticeKind::Upcoming), Some(&dkim)).unwrap();
        let covered_by = covered(&sealed.bytes, dkim.record()).expect("it holds");
        // RFC 8058 §4: the signature covers both headers of one-click unsubscription.
        for header in
            ["from", "to", "subject", "date", "message-id", "list-unsubscribe", "list-unsubscribe-post"]
        {
            assert!(
                covered_by.split(' ').any(|name| name == header),
                "{header} is not covered: {covered_by}"
            );
        }
        // Whatever is changed on the way is seen: what it says, where it can be ended, and what is added.
        let text = String::from_utf8(sealed.bytes.clone()).unwrap();
        for (was, is) in
            [("due on", "due by"), ("/my/3f/no-upkeep>", "/my/4f/no-upkeep>"), ("Subject: ", "Subject: Re: ")]
        {
            assert!(text.contains(was), "{was}");
            let forged = text.replace(was, is);
            assert_eq!(covered(forged.as_bytes(), dkim.record()), None, "{was} became {is}");
        }
        let (name, other) = (dkim.record().0, Dkim::of("shop.example.org", "lustrum", ANOTHER).unwrap());
        assert_eq!(covered(&sealed.bytes, (name, other.record().1)), None);
    }
}

/// Another Ed25519 key.
const ANOTHER: &str = include_str!("keys/ed25519-another.pem");

#[test]
fn what_is_no_key_is_told_with_what_would_be_one() {
    let fault = |pem: &str| Dkim::of("shop.example.org", "lustrum", pem).err().unwrap().detail;
    assert!(fault("no key").contains("openssl genpkey"));
    assert!(fault(SHORT).contains("1024 bits"), "{}", fault(SHORT));
}
