//! Signed documents: JWS in compact form, signed with Ed25519 (RFC 7515, RFC 8037).

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use serde_json::{Map, Value, json};

use crate::core::error::Fault;
use crate::core::json;
use crate::core::record::canonical;

/// A public key out of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    id: Option<String>,
    key: VerifyingKey,
}

/// The Ed25519 keys of a JWK set (RFC 7517); keys of other kinds and unknown members are passed over, as the standard
/// asks. Refused: what is no JWK set, and a key of this kind that is none.
///
/// ```
/// use lustrum::core::jws::{keys, payload};
/// use serde_json::json;
/// // RFC 8037, appendix A.
/// let keys = keys(&json!({"keys": [{"kty": "OKP", "crv": "Ed25519", "x": "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"}]}))?;
/// let signed = "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc.\
///     hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg";
/// assert_eq!(payload(signed, &keys).unwrap(), b"Example of Ed25519 signing");
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn keys(set: &Value) -> Result<Vec<Key>, Fault> {
    let wrong = |pointer: String, detail: &str| Fault::new(pointer, "not_a_key_set", detail);
    let list = set.get("keys").and_then(Value::as_array);
    let list = list.ok_or_else(|| wrong("/keys".into(), "a JWK set has a list `keys`"))?;
    let mut found = Vec::new();
    for (i, jwk) in list.iter().enumerate() {
        let text = |name: &str| jwk.get(name).and_then(Value::as_str);
        if (text("kty"), text("crv")) != (Some("OKP"), Some("Ed25519")) {
            continue;
        }
        let bytes = text("x").and_then(|x| BASE64_URL_SAFE_NO_PAD.decode(x).ok());
        let bytes = bytes.and_then(|bytes| <[u8; 32]>::try_from(bytes).ok());
        let key = bytes.and_then(|bytes| VerifyingKey::from_bytes(&bytes).ok());
        let key = key
            .ok_or_else(|| wrong(format!("/keys/{i}/x"), "`x` is no Ed25519 key of 32 bytes in base64url"))?;
        found.push(Key { id: text("kid").map(str::to_owned), key });
    }
    Ok(found)
}

/// The payload of a document that one of the keys signed; none of any other. Where its header names a key only keys
/// of that name (or without one) count. What the header asks to be understood (`crit`) is not.
pub fn payload(jws: &str, keys: &[Key]) -> Option<Vec<u8>> {
    let (signed, signature) = jws.rsplit_once('.')?;
    let (header, payload) = signed.split_once('.')?;
    let decoded = |part: &str| BASE64_URL_SAFE_NO_PAD.decode(part).ok();
    let header: Map<String, Value> = match json::read(&decoded(header)?).ok()? {
        Value::Object(members) => members,
        _ => return None,
    };
    // RFC 9864 gave the algorithm of RFC 8037 its full name.
    let by_name = matches!(header.get("alg").and_then(Value::as_str), Some("EdDSA" | "Ed25519"));
    if !by_name || header.contains_key("crit") {
        return None;
    }
    let named = header.get("kid").and_then(Value::as_str);
    let fits = |key: &&Key| named.is_none() || key.id.is_none() || key.id.as_deref() == named;
    let signature = Signature::from_slice(&decoded(signature)?).ok()?;
    let verifies = |key: &Key| key.key.verify_strict(signed.as_bytes(), &signature).is_ok();
    let payload = decoded(payload)?;
    keys.iter().filter(fits).any(verifies).then_some(payload)
}

/// A payload signed by the key of this name, in compact form. The same gives the same, byte by byte.
///
/// ```
/// use ed25519_dalek::SigningKey;
/// use lustrum::core::jws::{key_set, keys, payload, sign};
/// use serde_json::json;
/// let key = SigningKey::from_bytes(&[7; 32]);
/// let signed = sign(&json!({"sub": "W-2026-0042"}), "first", &key)?;
/// let published = keys(&key_set(&[("first", key.verifying_key())]))?;
/// assert_eq!(payload(&signed, &published).unwrap(), br#"{"sub":"W-2026-0042"}"#);
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn sign(payload: &Value, name: &str, key: &SigningKey) -> Result<String, Fault> {
    let part = |value: &Value| canonical(value).map(|bytes| BASE64_URL_SAFE_NO_PAD.encode(bytes));
    let header = json!({"alg": "EdDSA", "kid": name, "typ": "JWT"});
    let signed = format!("{}.{}", part(&header)?, part(payload)?);
    let signature = BASE64_URL_SAFE_NO_PAD.encode(key.sign(signed.as_bytes()).to_bytes());
    Ok(format!("{signed}.{signature}"))
}

/// Public keys with their names, as a JWK set.
pub fn key_set(keys: &[(&str, VerifyingKey)]) -> Value {
    let jwk = |(name, key): &(&str, VerifyingKey)| {
        json!({
            "kty": "OKP", "crv": "Ed25519", "use": "sig", "alg": "EdDSA", "kid": name,
            "x": BASE64_URL_SAFE_NO_PAD.encode(key.as_bytes()),
        })
    };
    json!({"keys": keys.iter().map(jwk).collect::<Vec<_>>()})
}
