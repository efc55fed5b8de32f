//! How long a verdict takes: `cargo bench --bench assess`.
//!
//! Five-year terms with three rules and forty events. Printed are the median time of one verdict with the day of its
//! next change on one core, from compiled terms and checked facts, and how many cases a second `lustrum assess
//! --cases` judges on all cores, reading and writing of JSON included.

use std::fmt::Write as _;
use std::fs::File;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use lustrum::core::assess::{Verdict, assess};
use lustrum::core::calendar::Day;
use lustrum::core::facts::Facts;
use lustrum::core::terms::{Rules, Terms};
use serde_json::{Value, json};

/// Different histories, so that no branch is learnt by heart.
const HISTORIES: u32 = 2_000;
/// Lines given to the command.
const LINES: u32 = 200_000;
/// Verdicts that are timed together: a single one is too short for the clock.
const TOGETHER: u32 = 20;

fn terms() -> Value {
    let holidays: Vec<String> = (2026..2032)
        .flat_map(|year| {
            ["01-01", "05-01", "06-10", "08-15", "12-08", "12-25"].map(|day| format!("{year}-{day}"))
        })
        .collect();
    json!({
        "terms": "lustrum-terms/1", "code": "two-coat-five", "edition": 1, "title": "Five years, two coats",
        "cover": [{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 150_000},
                  {"surface": "glass", "lasts": {"months": 18}}],
        "upkeep": [
            {"key": "annual", "service": ["inspection", "reconditioning"], "by": "accredited",
             "counted_from": "start", "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
             "if_missed": [{"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"},
                           {"effect": "end"}]},
            {"key": "topper", "service": "topper", "by": "shop", "counted_from": "start",
             "every": {"months": 6}, "early": {"days": 45}, "late": {"days": 45}, "surfaces": ["paint"],
             "if_missed": {"effect": "shorten", "take_off": {"months": 1}}},
            {"key": "wash", "service": "maintenance wash", "by": "owner", "counted_from": "last",
             "first_after": {"days": 14}, "not_before": {"days": 7}, "every": {"weeks": 10}, "late": {"weeks": 2},
             "every_km": 5_000, "late_km": 500, "surfaces": ["paint"], "if_missed": {"effect": "note"}}],
        "breaches": [{"key": "abrasive-wash", "effect": "suspend", "with": "reconditioning",
                      "make_good_within": {"days": 30}}],
        "transfer": {"allowed": true, "tell_within": {"days": 30}, "owners": 3},
        "repair": {"restores": true, "recoat_within": {"days": 90}},
        "entry_within": {"days": 7},
        "working_days": ["mon", "tue", "wed", "thu", "fri", "sat"], "holidays": holidays
    })
}

/// Forty events over five years, some services in time and some not; `seed` makes each history its own.
fn facts(seed: u32) -> Value {
    let start = Day::new(20_500 + i32::try_from(seed % 400).unwrap_or(0));
    let mut events = Vec::new();
    let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(12_345);
    let mut chance = |below: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) % below
    };
    for n in 0..40_u32 {
        let away = i32::try_from(n * 45 + chance(30)).unwrap_or(0);
        let (on, entered) = (start.plus_days(away), start.plus_days(away + 1));
        let km = 412 + n * 2_000 + chance(900);
        let mut event = match n % 10 {
            3 => json!({"kind": "service", "service": "topper", "by": "shop"}),
            7 => json!({"kind": "service", "service": "inspection", "by": "accredited",
                        "finding": "light swirls on the bonnet, beading sound"}),
            9 => json!({"kind": "reading"}),
            5 if n == 15 => json!({"kind": "transfer", "told": on}),
            5 if n == 25 => json!({"kind": "repair", "surface": "paint", "panel": "bonnet"}),
            5 if n == 35 => json!({"kind": "waive", "upkeep": "topper", "number": 9, "reason": "laid up"}),
            _ => json!({"kind": "service", "service": "maintenance wash", "by": "owner"}),
        };
        event["id"] = json!(format!("e{n}"));
        event["on"] = json!(on);
        event["recorded"] = json!(format!("{entered}T15:02:11Z"));
        event["km"] = json!(km);
        events.push(event);
    }
    json!({"start": start, "start_km": 412, "time_zone": "Europe/Lisbon", "surfaces": ["paint", "glass"],
           "events": events})
}

/// Five years and a bit from the start on.
fn day_of(start: Day, seed: u32) -> Day {
    start.plus_days(i32::try_from(seed.wrapping_mul(97) % 1_900).unwrap_or(0))
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

fn verdicts() {
    let rules = Rules::compile(&Terms::read(&terms()).expect("the terms are sound"));
    let histories: Vec<Facts> =
        (0..HISTORIES).map(|seed| Facts::read(&facts(seed), &rules).expect("the facts are sound")).collect();
    let mut verdict = Verdict::default();
    let mut times = Vec::new();
    let mut changes = 0_u64;
    for (seed, facts) in (0..).zip(histories.iter()).cycle().take(30_000) {
        let as_of = day_of(facts.start(), seed);
        let before = Instant::now();
        for _ in 0..TOGETHER {
            assess(&rules, facts, as_of, None, &mut verdict);
        }
        times.push(before.elapsed() / TOGETHER);
        changes += u64::from(verdict.next_change.is_some());
    }
    assert!(changes > 0, "verdicts that never change are not what is measured here");
    println!("one verdict with its next change, median: {:?}", median(times));
}

fn cases() -> std::io::Result<()> {
    let terms = terms();
    let path = std::env::temp_dir().join(format!("lustrum-cases-{}.jsonl", std::process::id()));
    let mut file = std::io::BufWriter::new(File::create(&path)?);
    let lines: Vec<String> = (0..HISTORIES)
        .map(|seed| {
            let facts = facts(seed);
            let start = Day::new(20_500 + i32::try_from(seed % 400).unwrap_or(0));
            json!({"terms": terms, "facts": facts, "as_of": day_of(start, seed)}).to_string()
        })
        .collect();
    for line in lines.iter().cycle().take(LINES as usize) {
        writeln!(file, "{line}")?;
    }
    file.flush()?;
    drop(file);
    let mut rates = String::new();
    for _ in 0..3 {
        let before = Instant::now();
        let done = Command::new(env!("CARGO_BIN_EXE_lustrum"))
            .args(["assess", "--cases"])
            .arg(&path)
            .stdout(Stdio::null())
            .status()?;
        assert!(done.success(), "every case is sound");
        let _ = write!(rates, " {:.0}", f64::from(LINES) / before.elapsed().as_secs_f64());
    }
    let size = std::fs::metadata(&path)?.len() / u64::from(LINES);
    std::fs::remove_file(&path)?;
    println!("lustrum assess --cases, lines of {size} bytes, cases a second in three runs:{rates}");
    Ok(())
}

fn main() -> std::io::Result<()> {
    verdicts();
    cases()
}
