//! The OpenAPI document is the one that is committed, and names every route.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use lustrum::http::ROUTES;
use serde_json::Value;

#[test]
fn the_committed_document_is_the_present_one() {
    let present = lustrum::http::openapi::text().unwrap();
    let committed = std::fs::read_to_string("openapi/lustrum.json").unwrap_or_default();
    assert!(
        present == committed,
        "it has drifted: run `cargo run -- openapi > openapi/lustrum.json` and look at the change"
    );
}

#[test]
fn every_route_is_in_the_document_and_nothing_else() {
    let document: Value = serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap();
    let paths = document["paths"].as_object().unwrap();
    let mut described: Vec<(String, String)> = Vec::new();
    for (path, item) in paths {
        for method in item.as_object().unwrap().keys() {
            described.push((path.clone(), method.to_uppercase()));
        }
    }
    let mut routed: Vec<(String, String)> =
        ROUTES.iter().map(|route| (route.path.to_owned(), route.method.to_owned())).collect();
    described.sort();
    routed.sort();
    assert_eq!(described, routed);
}

/// The name under which each type of the source stands in the document, with its file.
fn named_in(folder: &Path, names: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            named_in(&path, names);
            continue;
        }
        let (text, mut described, mut renamed) = (fs::read_to_string(&path).unwrap(), false, None);
        for line in text.lines() {
            if line.starts_with("#[derive(") {
                (described, renamed) = (line.contains("ToSchema"), None);
            }
            if let Some((_, name)) = line.split_once("schema(as = ") {
                renamed = name.split(')').next().map(str::to_owned);
            }
            let mut words =
                line.split_whitespace().skip_while(|word| *word == "pub" || *word == "pub(super)");
            let declared =
                matches!(words.next(), Some("struct" | "enum")) && described && !line.starts_with(' ');
            let name = words.next().unwrap_or_default().split(|c: char| !c.is_alphanumeric()).next();
            // `words!` describes the enum that it makes: its name, and what its words are called.
            let of_words = line.strip_prefix("    ").and_then(|line| line.split_once(", \""));
            let of_words = of_words.filter(|(name, rest)| {
                rest.ends_with("\" {")
                    && name.starts_with(char::is_uppercase)
                    && name.chars().all(char::is_alphanumeric)
            });
            let found = match (declared, of_words) {
                (true, _) => renamed.take().or_else(|| name.map(str::to_owned)),
                (false, Some((name, _))) => Some(name.to_owned()),
                (false, None) => None,
            };
            names.extend(found.map(|name| (name, path.display().to_string())));
            described = described && !declared;
        }
    }
}

/// Of two types of one name the document would hold one, and describe the other by it.
#[test]
fn no_two_types_have_one_name_in_the_document() {
    let mut names = Vec::new();
    named_in(Path::new("src"), &mut names);
    assert!(names.len() > 200, "only {} types were found", names.len());
    let document: Value = serde_json::from_str(&lustrum::http::openapi::text().unwrap()).unwrap();
    // The variants of these are named by the document itself.
    for several in ["CalcQuestion", "EventInput"] {
        for variant in document["components"]["schemas"][several]["oneOf"].as_array().unwrap() {
            let name = variant["$ref"].as_str().unwrap().rsplit('/').next().unwrap();
            names.push((name.to_owned(), format!("a variant of {several}")));
        }
    }
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    names.into_iter().for_each(|(name, place)| places.entry(name).or_default().push(place));
    places.retain(|_, places| places.len() > 1);
    assert!(places.is_empty(), "{places:#?}");
}
