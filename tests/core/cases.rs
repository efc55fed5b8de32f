//! `lustrum assess --cases`: lines in, answers out, in order and as soon as they have come.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use lustrum::core::assess::{Assessment, Judge, Verdict, judge};
use lustrum::core::calendar::Day;
use proptest::prelude::*;
use serde_json::{Value, json};

use super::invented::{START, case, ready};

const CASES: &str = include_str!("scenarios/random.jsonl");
const EXPECTED: &str = include_str!("scenarios/random.expected.jsonl");

/// The command, reading from a pipe and answering into one.
struct Asked {
    child: Child,
    input: Option<ChildStdin>,
    answers: Receiver<String>,
}

impl Asked {
    fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_lustrum"))
            .args(["assess", "--cases", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let (to, answers) = channel();
        let out = BufReader::new(child.stdout.take().unwrap());
        std::thread::spawn(move || out.lines().map_while(Result::ok).try_for_each(|line| to.send(line)));
        let input = child.stdin.take();
        Self { child, input, answers }
    }

    fn say(&mut self, text: &str) {
        let input = self.input.as_mut().unwrap();
        input.write_all(text.as_bytes()).unwrap();
        input.flush().unwrap();
    }

    fn answer(&self) -> Value {
        // Only so that a hanging command fails the test.
        let line = self.answers.recv_timeout(Duration::from_mins(2)).expect("an answer");
        serde_json::from_str(&line).unwrap()
    }

    /// Ends the input, after which one answer more comes: that of the last line, which has no line break.
    fn end_with(mut self, last: Value) -> Option<i32> {
        drop(self.input.take());
        assert_eq!(self.answer(), last);
        self.end()
    }

    fn end(mut self) -> Option<i32> {
        drop(self.input.take());
        assert_eq!(self.answers.iter().count(), 0, "no line is answered twice");
        self.child.wait().unwrap().code()
    }
}

fn expected(line: usize) -> Value {
    serde_json::from_str(EXPECTED.lines().nth(line).unwrap()).unwrap()
}

/// A program that writes a case and waits for its answer gets it, whatever has been begun after it.
#[test]
fn what_has_come_is_answered_at_once() {
    let lines: Vec<&str> = CASES.lines().take(4).collect();
    let mut command = Asked::start();
    command.say(lines[0]);
    command.say("\n");
    assert_eq!(command.answer(), expected(0));
    let (begin, rest) = lines[3].split_at(lines[3].len() / 2);
    command.say(&format!("{}\n{}\n{begin}", lines[1], lines[2]));
    assert_eq!(command.answer(), expected(1));
    assert_eq!(command.answer(), expected(2));
    command.say(rest);
    command.say("\n{\"terms\": 1}\n");
    assert_eq!(command.answer(), expected(3));
    assert_eq!(command.answer()["error"]["code"], "malformed");
    command.say(lines[0]);
    assert_eq!(command.end_with(expected(0)), Some(1), "a faulty line is told by the exit status");
}

/// Answers come in the order of the lines, however these fall into batches and to which core.
#[test]
fn answers_keep_the_order_of_the_lines() {
    let mut command = Asked::start();
    let mut input = command.input.take().unwrap();
    let writer = std::thread::spawn(move || (0..5).try_for_each(|_| input.write_all(CASES.as_bytes())));
    for _ in 0..5 {
        for line in EXPECTED.lines() {
            assert_eq!(command.answer(), serde_json::from_str::<Value>(line).unwrap());
        }
    }
    writer.join().unwrap().unwrap();
    assert_eq!(command.end(), Some(0));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// A line's answer is what the interface answers, but for `next_change`.
    #[test]
    fn lines_are_answered_as_elsewhere(seed: u64, day in -20..900_i32) {
        let Some((terms, facts)) = case(seed) else { return Ok(()) };
        let as_of = START.parse::<Day>().unwrap().plus_days(day);
        let line = json!({"terms": terms, "facts": facts, "as_of": as_of, "known_at": null}).to_string();
        let mut out = Vec::new();
        prop_assert!(Judge::default().line(line.as_bytes(), false, &mut out));
        let (rules, facts) = ready(&terms, &facts);
        let mut verdict = Verdict::default();
        judge(&rules, &facts, as_of, None, &mut verdict);
        let mut whole = serde_json::to_value(Assessment::of(&rules, &facts, &verdict)).unwrap();
        whole.as_object_mut().unwrap().remove("next_change");
        prop_assert_eq!(serde_json::from_slice::<Value>(&out).unwrap(), whole);
    }
}
