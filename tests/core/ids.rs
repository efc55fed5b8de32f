//! Identities in their one spelling.

use lustrum::core::ids::{Code, Digest, JobId, Numbered, RunningNumber};

#[test]
fn an_id_has_one_spelling() {
    let text = "01890a5d-ac96-774b-bcce-b302099a8057";
    let id: JobId = text.parse().unwrap();
    assert_eq!(id.to_string(), text);
    assert_eq!(serde_json::to_value(id).unwrap(), text);
    for wrong in [
        "",
        "01890a5dac96774bbcceb302099a8057",
        "{01890a5d-ac96-774b-bcce-b302099a8057}",
        "urn:uuid:01890a5d-ac96-774b-bcce-b302099a8057",
        "01890a5d-ac96-774b-bcce-b302099a805",
        "01890a5d-ac96-774b-bcce-b302099a805g",
    ] {
        assert_eq!(wrong.parse::<JobId>().unwrap_err().code, "not_an_id", "{wrong:?}");
    }
}

#[test]
fn codes_are_short_and_plain() {
    for right in ["a", "base-30", "7", "-", &"x".repeat(64)] {
        assert_eq!(right.parse::<Code>().unwrap().as_str(), right);
    }
    for wrong in ["", "Base", "base 30", "base_30", "bäse", &"x".repeat(65)] {
        assert_eq!(wrong.parse::<Code>().unwrap_err().code, "not_a_code", "{wrong:?}");
    }
}

#[test]
fn running_numbers_have_four_digits_or_more() {
    for (text, of, count) in [
        ("J-2026-0001", Numbered::Job, 1),
        ("W-2026-9999", Numbered::Warranty, 9999),
        ("J-2026-10000", Numbered::Job, 10_000),
    ] {
        assert_eq!(text.parse(), Ok(RunningNumber { of, year: 2026, count }));
        assert_eq!(RunningNumber { of, year: 2026, count }.to_string(), text);
    }
    for wrong in [
        "J-2026-42",
        "J-2026-00042",
        "J-2026-0000",
        "j-2026-0042",
        "X-2026-0042",
        "J-26-0042",
        "J-2026-+042",
        "J-2026-0042 ",
        "J-2026",
    ] {
        assert_eq!(wrong.parse::<RunningNumber>().unwrap_err().code, "not_a_number", "{wrong:?}");
    }
}

#[test]
fn digests_are_written_in_small_hexadecimal_digits() {
    // FIPS 180-4, example B.2: a message of two blocks.
    let message = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    let text = "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1";
    assert_eq!(Digest::of(message).to_string(), text);
    assert_eq!(Digest::of_parts(&[&message[..20], b"", &message[20..]]).to_string(), text);
    assert_eq!(text.parse(), Ok(Digest::of(message)));
    for wrong in ["", &text[1..], &text.to_uppercase(), &format!("{text}0"), &text.replace('2', "g")] {
        assert_eq!(wrong.parse::<Digest>().unwrap_err().code, "not_a_digest", "{wrong:?}");
    }
}
