//! How long a verdict takes: `cargo bench --bench assess`.
//!
//! Five-year terms with three rules and forty events. Printed are the median time of one verdict on one core, from
//! compiled terms and checked facts, with the day of its next change and without; the same for more events; and how
//! many cases a second `lustrum assess --cases` judges on all cores, reading and writing of JSON included. With
//! `-- stream`: two gigabytes of cases through a pipe, and the most memory that the command held.

use std::fmt::Write as _;
use std::fs::File;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use lustrum::core::assess::{Verdict, assess, judge};
use lustrum::core::calendar::Day;
use lustrum::core::facts::Facts;
use lustrum::core::terms::{Rules, Terms};
use serde_json::{Value, json};

/// Different histories, so that no branch is learnt by heart.
const HISTORIES: u32 = 2_000;
/// How often the command is timed.
const RUNS: u32 = 5;
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

/// So many events over five years, some services in time and some not; `seed` makes each history its own.
fn facts(seed: u32, count: u32) -> Value {
    let start = Day::new(20_500 + i32::try_from(seed % 400).unwrap_or(0));
    let mut events = Vec::new();
    let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(12_345);
    let mut chance = |below: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) % below
    };
    for n in 0..count {
        let away = i32::try_from(n * 1_800 / count + chance(30)).unwrap_or(0);
        let (on, entered) = (start.plus_days(away), start.plus_days(away + 1));
        let km = 412 + n * 80_000 / count + chance(900);
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

fn histories(rules: &Rules, count: u32, events: u32) -> Vec<Facts> {
    (0..count).map(|seed| Facts::read(&facts(seed, events), rules).expect("the facts are sound")).collect()
}

/// The median time of one verdict, of so many.
fn verdict(
    count: usize,
    histories: &[Facts],
    mut work_out: impl FnMut(&Facts, Day, &mut Verdict),
) -> Duration {
    let mut verdict = Verdict::default();
    let mut times = Vec::new();
    for (seed, facts) in (0..).zip(histories.iter()).cycle().take(count) {
        let as_of = day_of(facts.start(), seed);
        let before = Instant::now();
        for _ in 0..TOGETHER {
            work_out(facts, as_of, &mut verdict);
        }
        times.push(before.elapsed() / TOGETHER);
        assert!(!verdict.cover.is_empty() && !verdict.dues.is_empty());
    }
    median(times)
}

fn verdicts() {
    let rules = Rules::compile(&Terms::read(&terms()).expect("the terms are sound"));
    let usual = histories(&rules, HISTORIES, 40);
    let with = verdict(30_000, &usual, |facts, as_of, verdict| assess(&rules, facts, as_of, None, verdict));
    let without = verdict(30_000, &usual, |facts, as_of, verdict| judge(&rules, facts, as_of, None, verdict));
    println!("one verdict of 40 events, median: {with:?} with its next change, {without:?} without");
    for events in [160, 640, 2_560] {
        let many = histories(&rules, 50, events);
        let time = verdict(500, &many, |facts, as_of, verdict| assess(&rules, facts, as_of, None, verdict));
        println!("one verdict of {events} events, median: {time:?} with its next change");
    }
}

fn lines() -> Vec<String> {
    let terms = terms();
    let line = |seed| {
        let facts = facts(seed, 40);
        let start = Day::new(20_500 + i32::try_from(seed % 400).unwrap_or(0));
        json!({"terms": terms, "facts": facts, "as_of": day_of(start, seed)}).to_string() + "\n"
    };
    (0..HISTORIES).map(line).collect()
}

fn cases() -> std::io::Result<()> {
    let path = std::env::temp_dir().join(format!("lustrum-cases-{}.jsonl", std::process::id()));
    let mut file = std::io::BufWriter::new(File::create(&path)?);
    for line in lines().iter().cycle().take(LINES as usize) {
        file.write_all(line.as_bytes())?;
    }
    file.flush()?;
    drop(file);
    let mut rates = String::new();
    for _ in 0..RUNS {
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
    println!("lustrum assess --cases, lines of {size} bytes, cases a second in {RUNS} runs:{rates}");
    Ok(())
}

/// Two gigabytes through a pipe; the kernel keeps the most memory that a process ever held (Linux).
fn stream() -> std::io::Result<()> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lustrum"))
        .args(["assess", "--cases", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()?;
    let mut to = child.stdin.take().expect("a pipe");
    let mut written = 0;
    for line in lines().iter().cycle() {
        to.write_all(line.as_bytes())?;
        written += line.len();
        if written > 2_000_000_000 {
            break;
        }
    }
    let status = std::fs::read_to_string(format!("/proc/{}/status", child.id()))?;
    drop(to);
    assert!(child.wait()?.success(), "every case is sound");
    let most = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("VmHWM unknown");
    println!("lustrum assess --cases, {written} bytes through a pipe: {most}");
    Ok(())
}

fn main() -> std::io::Result<()> {
    if std::env::args().any(|arg| arg == "stream") {
        return stream();
    }
    verdicts();
    cases()
}
