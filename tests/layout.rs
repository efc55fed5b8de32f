//! Holds the tree together: what lies at the top of the repository, and how long a source file may be.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

/// What lies at the top, besides dotfiles: what the project is made of, and what tools demand.
const TOP: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "diesel.toml",
    "migrations",
    "openapi",
    "src",
    "tests",
];

/// A file is about one thing, and one thing is said in fewer lines than this.
const MOST_LINES: usize = 500;

/// Files that are one long table, and no code.
const TABLES: &[&str] = &["src/db/schema.rs"];

/// Every file that the repository keeps.
fn kept() -> Vec<String> {
    let listed = Command::new("git")
        // Whoever owns the clone: a build machine often checks out as one user and tests as another.
        .args(["-c", "safe.directory=*", "ls-files", "-z"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("git lists the files of the repository");
    assert!(listed.status.success(), "git ls-files: {}", String::from_utf8_lossy(&listed.stderr));
    String::from_utf8(listed.stdout).unwrap().split_terminator('\0').map(str::to_owned).collect()
}

/// What lies at the top and is not on the list.
fn astray(files: &[String]) -> BTreeSet<&str> {
    let top = files.iter().map(|file| file.split('/').next().unwrap_or(file));
    top.filter(|name| !name.starts_with('.') && !TOP.contains(name)).collect()
}

/// Whether a source file is longer than a person reads in one go.
fn too_long(file: &str, text: &str) -> bool {
    let source = Path::new(file).extension().is_some_and(|end| end == "rs");
    source && !TABLES.contains(&file) && text.lines().count() > MOST_LINES
}

#[test]
fn only_what_belongs_there_lies_at_the_top() {
    let files = kept();
    assert!(files.iter().any(|file| file == "Cargo.toml"), "git lists no Cargo.toml: {files:?}");
    assert_eq!(astray(&files), BTreeSet::new());
}

#[test]
fn source_files_are_short() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let long: Vec<String> = kept()
        .into_iter()
        // What was removed and not yet committed has no length.
        .filter(|file| fs::read_to_string(root.join(file)).is_ok_and(|text| too_long(file, &text)))
        .collect();
    assert!(long.is_empty(), "longer than {MOST_LINES} lines: {long:?}");
}

#[test]
fn these_checks_can_fail() {
    let files = ["Cargo.toml", ".ci/run", "src/lib.rs", "docs/guide.md", "notes.txt"].map(str::to_owned);
    assert_eq!(astray(&files), BTreeSet::from(["docs", "notes.txt"]));

    let long = "//\n".repeat(MOST_LINES + 1);
    assert!(too_long("src/core/dues.rs", &long));
    assert!(!too_long("src/core/dues.rs", &long[3..]));
    assert!(!too_long("tests/reference/cases.csv", &long));
    assert!(!too_long("src/db/schema.rs", &long));
}
