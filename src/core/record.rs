//! Records: the canonical form of a document, its digest, its place in a Merkle tree, and personal texts kept apart.

use serde::Serialize;

use crate::core::error::Fault;
use crate::core::ids::Digest;

/// The one way to write a value as bytes: the JSON Canonicalization Scheme of RFC 8785.
///
/// Refused: what JSON cannot say (numbers that are not finite, map keys that are no texts).
///
/// ```
/// let value = serde_json::json!({ "b": 1.50, "a": "ü" });
/// assert_eq!(lustrum::core::record::canonical(&value).unwrap(), r#"{"a":"ü","b":1.5}"#.as_bytes());
/// ```
pub fn canonical<T: Serialize>(value: &T) -> Result<Vec<u8>, Fault> {
    serde_json_canonicalizer::to_vec(value)
        .map_err(|error| Fault::new("", "not_json", format!("this cannot be written as JSON: {error}")))
}

/// Hash of a leaf: SHA-256 of 0x00 and the entry (RFC 9162 §2.1.1).
pub fn leaf_hash(entry: &[u8]) -> Digest {
    Digest::of_parts(&[&[0], entry])
}

/// Head of the Merkle tree over leaves that are already hashed, in order (RFC 9162 §2.1.1); of no leaves, the
/// SHA-256 of nothing.
pub fn merkle_root(leaves: &[Digest]) -> Digest {
    match leaves {
        [] => Digest::of(&[]),
        [leaf] => *leaf,
        _ => {
            // The largest power of two smaller than the number of leaves.
            let left = 1 << (leaves.len() - 1).ilog2();
            node_hash(merkle_root(&leaves[..left]), merkle_root(&leaves[left..]))
        }
    }
}

fn node_hash(left: Digest, right: Digest) -> Digest {
    Digest::of_parts(&[&[1], left.as_bytes(), right.as_bytes()])
}

/// Random bytes that stand before a personal text when it is digested, so that nobody can guess the text from
/// the digest; erased together with the text.
pub type Salt = [u8; 16];

/// What a record's body holds in place of a text that names a person: SHA-256 of salt and text.
///
/// The salt has a fixed length, so that no other pair of salt and text gives the same bytes.
///
/// ```
/// use lustrum::core::record::{is_personal_text, personal_digest};
/// let held = personal_digest(&[7; 16], "Ada Ferro");
/// assert!(is_personal_text(held, &[7; 16], "Ada Ferro"));
/// assert!(!is_personal_text(held, &[7; 16], "Ada Ferra"));
/// ```
pub fn personal_digest(salt: &Salt, text: &str) -> Digest {
    Digest::of_parts(&[salt, text.as_bytes()])
}

/// Whether this is the text, with the salt, that a record's body holds the digest of.
pub fn is_personal_text(held: Digest, salt: &Salt, text: &str) -> bool {
    personal_digest(salt, text) == held
}
