//! `lustrum assess`: verdicts from files, without a database.

use std::fs::File;
use std::io::{BufWriter, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::mpsc::{Receiver, SyncSender, TryRecvError, sync_channel};

use chrono::{DateTime, Utc};

use super::Failure;
use crate::core::assess::{Assessment, ExplainedAssessment, Judge, Verdict, assess};
use crate::core::calendar::{Day, instant};
use crate::core::error::Fault;
use crate::core::facts::Facts;
use crate::core::json;
use crate::core::terms::{Rules, Terms};

/// The most that is read at a time: enough to make the handing over cheap.
const BATCH_BYTES: usize = 256 * 1024;

/// Batches that may wait for each worker; what bounds the memory.
const WAITING: usize = 4;

/// Example: lustrum assess --terms terms.json --facts facts.json --as-of 2027-05-01 --explain
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub struct Args {
    /// A terms document.
    #[arg(long, value_name = "FILE", requires = "facts", required_unless_present = "cases")]
    terms: Option<PathBuf>,
    /// A facts document.
    #[arg(long, value_name = "FILE", requires = "as_of")]
    facts: Option<PathBuf>,
    /// The day of which the verdict is asked.
    #[arg(long, value_name = "DATE", value_parser = day)]
    as_of: Option<Day>,
    /// Count only what was entered at this instant or before.
    #[arg(long, value_name = "INSTANT", value_parser = at)]
    known_at: Option<DateTime<Utc>>,
    /// JSON Lines of {"terms", "facts", "as_of", "known_at"?}, or - for standard input; a verdict a line comes out.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["terms", "facts", "as_of", "known_at"])]
    cases: Option<PathBuf>,
    /// Also say why, what a service would do today, and what lies ahead.
    #[arg(long)]
    explain: bool,
}

fn day(text: &str) -> Result<Day, String> {
    text.parse().map_err(|fault: Fault| fault.detail)
}

fn at(text: &str) -> Result<DateTime<Utc>, String> {
    instant(text).map_err(|fault| fault.detail)
}

/// Runs the command.
pub fn run(args: &Args) -> ExitCode {
    let done = match &args.cases {
        Some(file) => cases(file, args.explain),
        None => single(args),
    };
    match done {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(failure) => {
            eprintln!("lustrum: {failure}");
            ExitCode::FAILURE
        }
    }
}

fn single(args: &Args) -> Result<bool, Failure> {
    let (Some(terms), Some(facts), Some(as_of)) = (&args.terms, &args.facts, args.as_of) else {
        return Err("--terms, --facts and --as-of go together".into());
    };
    let load =
        |path: &Path| std::fs::read(path).map_err(|e| Failure::from(format!("{}: {e}", path.display())));
    let list = |path: &Path, faults: Vec<Fault>| {
        let lines = faults.iter().map(|f| format!("\n  {}: {} ({})", f.pointer, f.detail, f.code));
        Failure::from(format!("{} has {} faults:{}", path.display(), faults.len(), lines.collect::<String>()))
    };
    let rules = Rules::compile(&Terms::parse(&load(terms)?).map_err(|faults| list(terms, faults))?);
    let value = json::read(&load(facts)?).map_err(|fault| list(facts, vec![fault]))?;
    let checked = Facts::read(&value, &rules).map_err(|faults| list(facts, faults))?;
    let mut verdict = Verdict::default();
    assess(&rules, &checked, as_of, args.known_at, &mut verdict);
    let text = if args.explain {
        serde_json::to_string_pretty(&ExplainedAssessment::of(&rules, &checked, &verdict))?
    } else {
        serde_json::to_string_pretty(&Assessment::of(&rules, &checked, &verdict))?
    };
    println!("{text}");
    Ok(true)
}

fn cases(file: &Path, explain: bool) -> Result<bool, Failure> {
    let input: Box<dyn Read + Send> = if file == Path::new("-") {
        Box::new(std::io::stdin())
    } else {
        Box::new(File::open(file).map_err(|e| format!("{}: {e}", file.display()))?)
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        let mut to: Vec<SyncSender<Vec<u8>>> = Vec::new();
        let mut from: Vec<Receiver<(Vec<u8>, bool)>> = Vec::new();
        for _ in 0..workers {
            let (send_batch, batches) = sync_channel::<Vec<u8>>(WAITING);
            let (send_answers, answers) = sync_channel(WAITING);
            scope.spawn(move || {
                let mut judge = Judge::default();
                for batch in batches {
                    if send_answers.send(answer(&mut judge, &batch, explain)).is_err() {
                        break;
                    }
                }
            });
            to.push(send_batch);
            from.push(answers);
        }
        let reader = scope.spawn(move || hand_out(input, &to));
        let written = collect(&from);
        drop(from);
        reader.join().map_err(|_| "reading failed")?.map_err(|e| format!("{}: {e}", file.display()))?;
        Ok(written?)
    })
}

/// The answers to whole lines, and whether all of these were sound.
fn answer(judge: &mut Judge, lines: &[u8], explain: bool) -> (Vec<u8>, bool) {
    let mut out = Vec::with_capacity(lines.len());
    let mut clean = true;
    for line in lines.split(|b| *b == b'\n').filter(|line| !line.trim_ascii().is_empty()) {
        clean &= judge.line(line, explain, &mut out);
        out.push(b'\n');
    }
    (out, clean)
}

/// Cuts the input into batches of whole lines and hands them out in turn. What has come is handed out at once, so that
/// a program which waits for the answer to its line gets it.
fn hand_out(mut input: impl Read, to: &[SyncSender<Vec<u8>>]) -> std::io::Result<()> {
    let mut begun = Vec::new();
    for turn in (0..to.len()).cycle() {
        let Some(lines) = whole_lines(&mut input, &mut begun)? else { break };
        if to[turn].send(lines).is_err() {
            break;
        }
    }
    Ok(())
}

/// Reads until there is at least one whole line. What follows the last line break is begun, and left for the next time;
/// the last line of all needs no break.
fn whole_lines(input: &mut impl Read, begun: &mut Vec<u8>) -> std::io::Result<Option<Vec<u8>>> {
    let mut lines = std::mem::take(begun);
    loop {
        let before = lines.len();
        lines.resize(before + BATCH_BYTES, 0);
        let count = read(input, &mut lines[before..])?;
        lines.truncate(before + count);
        if count == 0 {
            return Ok(Some(lines).filter(|lines| !lines.is_empty()));
        }
        if let Some(last) = lines[before..].iter().rposition(|b| *b == b'\n') {
            *begun = lines.split_off(before + last + 1);
            return Ok(Some(lines));
        }
    }
}

/// Reads once; what a signal has interrupted is begun again.
fn read(input: &mut impl Read, room: &mut [u8]) -> std::io::Result<usize> {
    loop {
        match input.read(room) {
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            done => return done,
        }
    }
}

/// Writes the answers in the order of the input: the workers take turns. Whenever there is nothing more to write, all
/// of it has been.
fn collect(from: &[Receiver<(Vec<u8>, bool)>]) -> std::io::Result<bool> {
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut clean = true;
    for answers in from.iter().cycle() {
        let next = match answers.try_recv() {
            Err(TryRecvError::Empty) => {
                out.flush()?;
                answers.recv().ok()
            }
            now => now.ok(),
        };
        let Some((answers, ok)) = next else { break };
        clean &= ok;
        out.write_all(&answers)?;
    }
    out.flush()?;
    Ok(clean)
}
