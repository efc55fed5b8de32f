//! E-mail addresses in the practical shape of RFC 5321.

use lustrum::core::email::Email;

#[test]
fn usual_addresses_are_taken() {
    let label = "a".repeat(63);
    let local = "b".repeat(64);
    for right in [
        "a@b.example",
        "first.last+tag@mail.example.org",
        "o'neill_{1}@example.org",
        "x@xn--bcher-kva.example",
        "1@2.3.example",
        &format!("{local}@example.org"),
        &format!("a@{label}.example"),
    ] {
        assert_eq!(right.parse::<Email>().unwrap().as_str(), right);
    }
}

#[test]
fn what_no_mail_server_would_take_is_refused() {
    for wrong in [
        "",
        "a",
        "@example.org",
        "a@",
        "a@@example.org",
        "a b@example.org",
        "a@example",
        "a@example..org",
        "a@.example.org",
        "a@example.org.",
        ".a@example.org",
        "a.@example.org",
        "a..b@example.org",
        "a@-example.org",
        "a@example-.org",
        "a@exam_ple.org",
        "a@[192.0.2.1]",
        "a@192.0.2.1",
        "\"a b\"@example.org",
        "a@example.org\r\nBcc: b@example.org",
        "Ada <a@example.org>",
        "ä@example.org",
        "a@bücher.example",
        &format!("{}@example.org", "b".repeat(65)),
        &format!("a@{}.example", "a".repeat(64)),
        &format!("a@{}org", "abcdefghi.".repeat(25)),
    ] {
        assert_eq!(wrong.parse::<Email>().unwrap_err().code, "not_an_email", "{wrong:?}");
    }
}

#[test]
fn the_longest_address_has_254_characters() {
    // RFC 5321 §4.5.3.1.3: a path of 256 with its angle brackets.
    let of = |length: usize| {
        let rest = length - "a@.org".len();
        let domain: String = "abcdefghi.".chars().cycle().take(rest - 1).chain(['x']).collect();
        format!("a@{domain}.org")
    };
    assert_eq!(of(254).len(), 254);
    assert!(of(254).parse::<Email>().is_ok());
    assert!(of(255).parse::<Email>().is_err());
}

#[test]
fn logs_do_not_show_whose_it_is() {
    let email: Email = "ada.ferro@example.org".parse().unwrap();
    assert!(!format!("{email:?} {}", email.masked()).contains("ferro"));
    assert_eq!("ADA.ferro@EXAMPLE.org".parse::<Email>().unwrap().folded(), email.folded());
}
