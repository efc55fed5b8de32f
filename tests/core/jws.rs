//! Signed documents against the examples of RFC 8037 (tests/reference/ed25519.json).

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use ed25519_dalek::{Signer as _, SigningKey};
use lustrum::core::jws::keys;
use serde_json::{Value, json};

use crate::support::calc::{ask, refused};

#[test]
fn signatures_are_judged_as_the_standard_says() {
    let table: Value = serde_json::from_str(include_str!("../reference/ed25519.json")).unwrap();
    let mut judged = 0;
    for case in table["cases"].as_array().unwrap().iter().filter(|case| case["kind"] == "verify") {
        let question =
            json!({"calc": "jws_verify", "jws": case["compact"], "jwks": {"keys": [case["public_jwk"]]}});
        let answer = ask(question);
        assert_eq!(answer["valid"], case["expected"], "{}: {}, {}", case["id"], case["note"], case["source"]);
        let payload = case["payload"].as_str().filter(|_| case["expected"] == true);
        assert_eq!(answer.get("payload").and_then(Value::as_str), payload, "{}", case["id"]);
        judged += 1;
    }
    assert!(judged >= 6, "{judged} cases");
}

/// A document with any header, signed by a key of our own.
fn signed(header: &Value, payload: &[u8]) -> (String, Value) {
    let key = SigningKey::from_bytes(&[7; 32]);
    let part = |bytes: &[u8]| BASE64_URL_SAFE_NO_PAD.encode(bytes);
    let signed = format!("{}.{}", part(header.to_string().as_bytes()), part(payload));
    let signature = part(&key.sign(signed.as_bytes()).to_bytes());
    let jwk =
        json!({"kty": "OKP", "crv": "Ed25519", "kid": "2026-1", "x": part(key.verifying_key().as_bytes())});
    (format!("{signed}.{signature}"), jwk)
}

#[test]
fn the_header_decides_which_key_counts() {
    let judged = |header: Value, change: &dyn Fn(&mut Value)| {
        let (jws, mut jwk) = signed(&header, b"{}");
        change(&mut jwk);
        ask(json!({"calc": "jws_verify", "jws": jws, "jwks": {"keys": [{"kty": "RSA", "n": "x"}, jwk]}}))["valid"].clone()
    };
    let as_it_is = |_: &mut Value| {};
    for good in [
        json!({"alg": "EdDSA"}),
        json!({"alg": "Ed25519", "kid": "2026-1"}),
        json!({"alg": "EdDSA", "typ": "x"}),
    ] {
        assert_eq!(judged(good.clone(), &as_it_is), true, "{good}");
    }
    for bad in [
        json!({"alg": "none"}),
        json!({"alg": "HS256"}),
        json!({}),
        json!([]),
        json!({"alg": "EdDSA", "kid": "2025-1"}),
        json!({"alg": "EdDSA", "crit": ["b64"], "b64": false}),
    ] {
        assert_eq!(judged(bad.clone(), &as_it_is), false, "{bad}");
    }
    // A key without a name may be any.
    let nameless = |jwk: &mut Value| drop(jwk.as_object_mut().unwrap().remove("kid"));
    assert_eq!(judged(json!({"alg": "EdDSA", "kid": "2025-1"}), &nameless), true);
    // What is signed but no text is valid, and not repeated.
    let (jws, jwk) = signed(&json!({"alg": "EdDSA"}), &[0xff]);
    let answer = ask(json!({"calc": "jws_verify", "jws": jws, "jwks": {"keys": [jwk]}}));
    assert_eq!(answer, json!({"valid": true}));
}

#[test]
fn what_is_no_key_set_is_refused() {
    let of = |jwks: Value| refused(json!({"calc": "jws_verify", "jws": "a.b.c", "jwks": jwks}));
    assert_eq!(of(json!({})), [("/jwks/keys".to_owned(), "not_a_key_set")]);
    let short = json!({"keys": [{"kty": "OKP", "crv": "Ed25519", "x": "AAAA"}]});
    assert_eq!(of(short), [("/jwks/keys/0/x".to_owned(), "not_a_key_set")]);
    assert!(keys(&json!({"keys": []})).unwrap().is_empty());
}
