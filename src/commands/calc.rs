//! `lustrum calc`: every calculation, a line each, without a database.

use std::fs::File;
use std::io::{BufRead, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::Failure;
use crate::app::calc::{Answer, Question};
use crate::core::error::{Error as Rule, Fault};
use crate::core::json;

/// Example: echo '{"calc": "dew_point", "air_c": 20, "rh_pct": 60, "surface_c": 18}' | lustrum calc -
#[derive(Debug, clap::Args)]
#[command(verbatim_doc_comment)]
pub(super) struct Args {
    /// JSON Lines of {"calc": NAME, …input…}, or - for standard input; an answer a line comes out, in order.
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

/// Runs the command.
pub(super) fn run(args: &Args) -> ExitCode {
    match lines(&args.file) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(failure) => {
            eprintln!("lustrum: {failure}");
            ExitCode::FAILURE
        }
    }
}

/// Answers line by line; false when any could not be.
fn lines(file: &Path) -> Result<bool, Failure> {
    let named = |e: std::io::Error| format!("{}: {e}", file.display());
    let input: Box<dyn Read> = if file == Path::new("-") {
        Box::new(std::io::stdin())
    } else {
        Box::new(File::open(file).map_err(named)?)
    };
    let mut input = BufReader::new(input);
    let mut out = BufWriter::new(std::io::stdout().lock());
    let (mut line, mut clean) = (Vec::new(), true);
    while input.read_until(b'\n', &mut line).map_err(named)? > 0 {
        if !line.trim_ascii().is_empty() {
            match answer(&line) {
                Ok(answer) => serde_json::to_writer(&mut out, &answer)?,
                Err(error) => {
                    clean = false;
                    serde_json::to_writer(&mut out, &error)?;
                }
            }
            out.write_all(b"\n")?;
        }
        line.clear();
    }
    out.flush()?;
    Ok(clean)
}

fn answer(line: &[u8]) -> Result<Answer, Value> {
    let question = json::read(line).and_then(Question::read).map_err(|fault| broken(&fault))?;
    question.answer().map_err(|rule| match rule {
        Rule::Refused { faults, .. } if !faults.is_empty() => broken(&faults[0]),
        other => broken(&Fault::new("", "internal", format!("{other:?}"))),
    })
}

/// The first thing that is wrong with a line.
fn broken(fault: &Fault) -> Value {
    json!({"error": fault})
}
