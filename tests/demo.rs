//! The demo: the story is told out of answers, in a folder of its own, and its mails can be read.

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::app::App;
use lustrum::app::notices::foreseen;
use lustrum::clock::Clock;
use lustrum::commands::demo::{Scenario, tell};
use serde_json::json;

fn told(scenario: &Scenario) -> (String, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let mut out = Vec::new();
    tell(folder.path(), scenario, &mut out).unwrap();
    (String::from_utf8(out).unwrap(), folder)
}

fn scenario() -> Scenario {
    Scenario::invented("2026-11-26T12:00:00Z".parse().unwrap())
}

#[test]
fn the_story_tells_the_main_job_and_leaves_its_mails() {
    let (story, folder) = told(&scenario());
    for words in [
        "The winter delivery: Aurel Vento, new, 12 km",
        "film removal (paint)",
        "65 min after the coat below",
        "check batch_unknown (stops)",
        "the desk books the bottle in: base-30 batch B30-0417",
        "checks: nothing to say against it",
        // 20.1 °C at 44 %: by the formula of WMO-No. 8, worked out with another program.
        "panel 18.6 °C, 11.1 °C over the dew point of 7.5 °C",
        "may it leave tonight? no",
        "glass-8 is not water-safe before",
        "in the bay at 20 °C and 50 % relative humidity",
        "humidify",
        "first wash: ",
        "paint: 9 panels, from 21 January 2025 to 21 January 2030, or 120000 km",
        "first wash",
        "meets wash number 1",
        "meets annual number 1",
        "missed, since",
        "reinstates annual number 1",
        "was sold on",
        "ended on paint",
        "front left wing refinished",
    ] {
        assert!(story.contains(words), "the story lacks {words:?}:\n{story}");
    }
    let verdicts = story.split("Today all four return").nth(1).unwrap();
    assert_eq!(verdicts.matches("As of 2026-11-26").count(), 4, "{verdicts}");
    // Each mail stands in the folder and can be read by another library.
    let mut subjects = Vec::new();
    for file in folder.path().join("mail").read_dir().unwrap() {
        let bytes = std::fs::read(file.unwrap().path()).unwrap();
        let mail = mail_parser::MessageParser::default().parse(&bytes).unwrap();
        assert!(mail.body_text(0).unwrap().contains("part of a drill"));
        subjects.push(mail.subject().unwrap().to_owned());
    }
    for subject in &subjects {
        let alone = subject.trim_start_matches("[Drill] ").split(" (and").next().unwrap();
        assert!(story.contains(alone), "the story does not tell of {subject:?}");
    }
    assert!(subjects.iter().any(|subject| subject.contains("last call")), "{subjects:?}");
}

#[test]
fn other_terms_make_another_story() {
    let mut other = scenario();
    other.terms["cover"][0] = json!({"surface": "paint", "lasts": {"years": 7}, "up_to_km": 90_000});
    other.terms["upkeep"][0]["late"] = json!({"days": 10});
    other.terms["transfer"] = json!({"allowed": true});
    let (story, _folder) = told(&other);
    let (usual, _usual_folder) = told(&scenario());
    for (words, usually) in [
        ("or 90000 km", "or 120000 km"),
        ("to 21 January 2032", "to 21 January 2030"),
        // The window of the first inspection closes ten days after it is due, not thirty.
        (
            "counts from 22 November 2025 to 31 January 2026",
            "counts from 22 November 2025 to 20 February 2026",
        ),
    ] {
        assert!(story.contains(words) && !usual.contains(words), "{words:?}:\n{story}");
        assert!(usual.contains(usually) && !story.contains(usually), "{usually:?}:\n{usual}");
    }
    // Terms that ask for no telling do not end by a sale that nobody told.
    let untold = "the sale was not told by";
    assert!(usual.contains(untold) && !story.contains(untold), "{story}");
}

#[test]
fn whenever_it_is_told_a_mail_is_still_to_come() {
    // In the week in which clocks go forward, in summer after the shop's midnight and before that of UTC, on a leap day.
    for now in ["2027-03-28T00:30:00Z", "2027-07-01T23:30:00Z", "2028-02-29T12:00:00Z"] {
        let now: DateTime<Utc> = now.parse().unwrap();
        let folder = tempfile::tempdir().unwrap();
        let told = tell(folder.path(), &Scenario::invented(now), &mut Vec::new()).unwrap();
        let app = App::open(told.config, Clock::fixed(now)).unwrap();
        let coming = foreseen::coming(&app).unwrap();
        let soonest = coming.first().map(|notice| notice.planned_for);
        assert!(soonest.is_some_and(|at| at < now + TimeDelta::days(30)), "{now}: {coming:?}");
    }
}
