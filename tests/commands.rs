//! Commands, as they are called: what they print, what they refuse, and how they end.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn lustrum(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lustrum"))
        .args(args)
        .current_dir(folder)
        .env("LUSTRUM_DATABASE", "sqlite:demo/lustrum.db")
        .env("LUSTRUM_MAIL", "file:demo/mail")
        .env("LUSTRUM_PASSWORD", "long enough for you")
        .output()
        .unwrap()
}

/// What it printed, when it went well.
fn told(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// What it said was wrong, with exit status 1.
fn refused(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stdout));
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn lines(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn mails(folder: &Path) -> usize {
    folder.join("demo/mail").read_dir().unwrap().count()
}

#[test]
fn the_demo_is_made_anew_and_ticks_ahead_of_its_clock() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let story = told(&lustrum(folder, &["demo", "--dir", "demo", "--no-serve"]));
    let log_ins: Vec<Vec<&str>> = story
        .lines()
        .filter_map(|line| line.strip_prefix("log-in "))
        .map(|line| line.split(' ').collect())
        .collect();
    assert_eq!(log_ins.iter().map(|words| words[0]).collect::<Vec<_>>(), ["manager", "technician", "desk"]);
    assert!(log_ins.iter().all(|words| words.len() == 3 && words[1].contains('@')), "{log_ins:?}");
    let there = mails(folder);
    assert!(there >= 12, "{there} mails");

    // The story's owners are told of their next inspections: looked at ahead, then done.
    let (day, foreseen) = (0..200)
        .map(|days| (chrono::Utc::now() + chrono::TimeDelta::days(days)).date_naive())
        .find_map(|day| {
            let plan = told(&lustrum(folder, &["plan", "--on", &day.to_string(), "--json"]));
            let foreseen = lines(&plan);
            (!foreseen.is_empty()).then_some((day, foreseen))
        })
        .unwrap();
    assert!(foreseen[0]["kind"].is_string() && foreseen[0]["because"].is_string(), "{foreseen:?}");
    assert_eq!(mails(folder), there, "looking sends nothing");
    let at = format!("{day}T10:00:00Z");
    let did = lines(&told(&lustrum(folder, &["tick", "--at", &at])));
    let of = |what: &str| did.iter().filter(|one| one["did"] == what).count();
    assert!(of("planned") >= 1 && of("sent") >= 1, "{did:?}");
    assert!(did.iter().all(|one| one["notice"].is_string() || one["warranty"].is_string()), "{did:?}");
    assert_eq!(mails(folder), there + 1, "what falls together is one mail");
    let behind = refused(&lustrum(folder, &["tick", "--at", "2026-01-01T00:00:00Z"]));
    assert!(behind.contains("does not lie after the last tick"), "{behind}");

    // Its own folder is made anew; somebody else's is left alone.
    told(&lustrum(folder, &["demo", "--dir", "demo", "--no-serve"]));
    assert_eq!(mails(folder), there);
    std::fs::create_dir(folder.join("papers")).unwrap();
    std::fs::write(folder.join("papers/letter.txt"), "dear").unwrap();
    let alien = refused(&lustrum(folder, &["demo", "--dir", "papers", "--no-serve"]));
    assert!(alien.contains("did not make"), "{alien}");
    assert_eq!(std::fs::read_to_string(folder.join("papers/letter.txt")).unwrap(), "dear");
}

#[test]
fn only_a_drill_goes_ahead_and_its_mails_stay_here() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let init = ["init", "--shop", "Quayside", "--email", "ines@quayside.example", "--zone", "Europe/Lisbon"];
    assert!(told(&lustrum(folder, &init)).contains("ines@quayside.example signs in as its manager"));
    let ahead = refused(&lustrum(folder, &["tick", "--at", "2199-01-01T00:00:00Z"]));
    assert!(ahead.contains("only a drill may go there"), "{ahead}");
    let listed = told(&lustrum(folder, &["member", "list"]));
    assert!(listed.contains("ines@quayside.example"), "{listed}");
    let usage = lustrum(folder, &["plan", "--on", "tomorrow"]);
    assert_eq!(usage.status.code(), Some(2), "wrong usage");

    let drill = tempfile::tempdir().unwrap();
    let drilled: Vec<&str> = init.iter().copied().chain(["--drill"]).collect();
    told(&lustrum(drill.path(), &drilled));
    let away = Command::new(env!("CARGO_BIN_EXE_lustrum"))
        .args(["plan", "--on", "2027-01-01"])
        .current_dir(drill.path())
        .env("LUSTRUM_DATABASE", "sqlite:demo/lustrum.db")
        .env("LUSTRUM_MAIL", "smtp://mail.example.org:25")
        .output()
        .unwrap();
    assert!(refused(&away).contains("a server on this machine"));
}
