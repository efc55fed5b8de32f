//! Seals of records.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

use super::{Faults, each};
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::Digest;
use crate::core::jws;
use crate::core::record::{leaf_hash, merkle_root as root};

/// The leaves of a tree.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MerkleRootInput {
    /// The bytes of each leaf, not yet hashed, in hexadecimal digits.
    leaves_hex: Vec<String>,
}

/// The head of the tree.
#[derive(Debug, Serialize, ToSchema)]
pub struct MerkleRoot {
    /// By RFC 9162, in hexadecimal digits.
    root_hex: Digest,
}

pub(super) fn merkle_root(input: &MerkleRootInput) -> Result<MerkleRoot, Rule> {
    let mut faults = Faults::default();
    let texts: Vec<&str> = input.leaves_hex.iter().map(String::as_str).collect();
    let leaves = each("/leaves_hex", &texts, bytes, &mut faults);
    let leaves: Vec<Digest> = leaves.iter().map(|leaf| leaf_hash(leaf)).collect();
    faults.or(Some(MerkleRoot { root_hex: root(&leaves) }))
}

fn bytes(hex: &str) -> Result<Vec<u8>, Fault> {
    let digit = |c: &u8| char::from(*c).to_digit(16).and_then(|n| u8::try_from(n).ok());
    let pairs = hex.as_bytes().chunks(2);
    let bytes = pairs.map(|pair| match pair {
        [high, low] => Some(16 * digit(high)? + digit(low)?),
        _ => None,
    });
    bytes.collect::<Option<Vec<u8>>>().ok_or_else(|| {
        Fault::new("", "not_hex", format!("{hex:?} is not an even number of hexadecimal digits"))
    })
}

/// A signed document, and the keys that may have signed it.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JwsVerifyInput {
    /// In compact form.
    jws: String,
    /// A JWK set; its Ed25519 keys count.
    #[schema(value_type = Object)]
    jwks: Value,
}

/// Whether one of them did.
#[derive(Debug, Serialize, ToSchema)]
pub struct JwsVerified {
    /// Whether the signature is that of one of the keys.
    valid: bool,
    /// What was signed, where it is valid and a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    payload: Option<String>,
}

pub(super) fn jws_verify(input: &JwsVerifyInput) -> Result<JwsVerified, Rule> {
    let mut faults = Faults::default();
    let keys = faults.take("/jwks", jws::keys(&input.jwks));
    let answer = keys.map(|keys| {
        let payload = jws::payload(&input.jws, &keys);
        JwsVerified {
            valid: payload.is_some(),
            payload: payload.and_then(|bytes| String::from_utf8(bytes).ok()),
        }
    });
    faults.or(answer)
}
