//! Readers that others wrote, in Python.

use std::io::Write as _;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a script of ours says, as JSON, of bytes that it reads with somebody else's library.
pub(crate) fn read_by(script: &str, bytes: &[u8]) -> Value {
    let python = std::env::var("LUSTRUM_TEST_PYTHON").expect("LUSTRUM_TEST_PYTHON is not set: run tests/run");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Where it gives up before it has read all, it says why.
    let written = child.stdin.take().unwrap().write_all(bytes);
    let ran = child.wait_with_output().unwrap();
    let (said, text) = (String::from_utf8_lossy(&ran.stderr), std::str::from_utf8(bytes).unwrap_or_default());
    assert!(ran.status.success(), "{written:?} {}: {said}\n{text}", ran.status);
    serde_json::from_slice(&ran.stdout).unwrap()
}
