//! A shop brings what it already has: customers, vehicles, past jobs with their warranties, past services, and what else
//! happened to vehicles. All names are invented.

mod elsewhere;
mod events;
mod faults;
mod files;
mod jobs;
mod round;
mod services;

use serde_json::Value;

use crate::support::server::{Answer, Client};

/// Sends a table as UTF-8.
fn import(client: &Client, kind: &str, table: &str) -> Answer {
    client.file(&format!("/v1/imports?kind={kind}"), table.as_bytes())
}

/// Rows, new ones and unchanged ones of an import.
fn counts(done: &Value) -> (u64, u64, u64) {
    let count = |name: &str| done[name].as_u64().unwrap();
    (count("rows"), count("added"), count("unchanged"))
}

/// Line, column, code and value of each fault of a refused import.
fn faults(answer: Answer) -> Vec<(u64, String, String, String)> {
    let body = answer.refused(422, "rule_broken");
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let fault = |fault: &Value| {
        (
            fault["line"].as_u64().unwrap_or(0),
            text(&fault["column"]),
            text(&fault["code"]),
            text(&fault["value"]),
        )
    };
    body["errors"].as_array().unwrap().iter().map(fault).collect()
}

/// How many items a list has.
fn listed(client: &Client, path: &str) -> usize {
    let (mut all, mut cursor) = (0, String::new());
    loop {
        let page = client.get(&format!("{path}?limit=200{cursor}")).ok();
        all += page["items"].as_array().unwrap().len();
        match page["next"].as_str() {
            Some(next) => cursor = format!("&cursor={next}"),
            None => return all,
        }
    }
}
