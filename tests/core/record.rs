//! Records: canonical bytes, tree hashes, personal texts kept apart.

use lustrum::core::ids::Digest;
use lustrum::core::record::{canonical, is_personal_text, leaf_hash, merkle_root, personal_digest};
use serde_json::Value;

/// RFC 8785 §3.2, checked with two other implementations: reference/jcs_structures.json.
#[test]
fn structures_are_written_in_their_one_form() {
    let cases: Value = serde_json::from_str(include_str!("../reference/jcs_structures.json")).unwrap();
    let cases = cases["cases"].as_array().unwrap();
    assert!(!cases.is_empty());
    for case in cases {
        let input: Value = serde_json::from_str(case["input_json"].as_str().unwrap()).unwrap();
        let bytes = canonical(&input).unwrap();
        assert_eq!(std::str::from_utf8(&bytes).unwrap(), case["expected_canonical_utf8"], "{}", case["id"]);
        assert_eq!(Digest::of(&bytes).to_string(), case["sha256_hex"], "{}", case["id"]);
    }
}

/// RFC 8785, appendix B: reference/jcs_numbers.csv.
#[test]
fn numbers_are_written_in_their_one_form() {
    let mut rows = 0;
    for row in include_str!("../reference/jcs_numbers.csv").lines().skip(1) {
        let mut cells = row.split(',');
        let (id, bits, expected) = (cells.next().unwrap(), cells.next().unwrap(), cells.next().unwrap());
        let number = f64::from_bits(u64::from_str_radix(bits, 16).unwrap());
        match canonical(&number) {
            Ok(bytes) => assert_eq!(std::str::from_utf8(&bytes).unwrap(), expected, "{id}"),
            Err(fault) => assert!(expected.starts_with("ERROR"), "{id}: {fault}"),
        }
        rows += 1;
    }
    assert!(rows > 20, "{rows} rows");
}

/// RFC 9162 §2.1.1 over the leaves customary in tests of logs: reference/merkle.json, the cases of kind `root`.
#[test]
fn tree_heads_are_those_of_the_standard() {
    let cases: Value = serde_json::from_str(include_str!("../reference/merkle.json")).unwrap();
    let mut sizes = Vec::new();
    for case in cases["cases"].as_array().unwrap().iter().filter(|case| case["kind"] == "root") {
        let bytes = |hex: &Value| -> Vec<u8> {
            let hex = hex.as_str().unwrap();
            (0..hex.len()).step_by(2).map(|i| u8::from_str_radix(&hex[i..i + 2], 16).unwrap()).collect()
        };
        let leaves: Vec<Digest> =
            case["leaves_hex"].as_array().unwrap().iter().map(|hex| leaf_hash(&bytes(hex))).collect();
        assert_eq!(merkle_root(&leaves).to_string(), case["expected_root"], "{}", case["id"]);
        sizes.push(leaves.len());
    }
    assert_eq!(sizes, [0, 1, 2, 3, 4, 5, 6, 7, 8]);
}

#[test]
fn a_personal_text_is_bound_by_its_salt() {
    let (salt, other) = ([1; 16], [2; 16]);
    let held = personal_digest(&salt, "Ida Brandt");
    assert!(is_personal_text(held, &salt, "Ida Brandt"));
    assert!(!is_personal_text(held, &other, "Ida Brandt"), "another salt");
    assert!(!is_personal_text(held, &salt, "Ida Brandt "), "another text");
    assert_ne!(held, Digest::of(b"Ida Brandt"), "without the salt anybody could guess");
}
