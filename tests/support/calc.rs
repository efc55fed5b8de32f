//! Questions to the one door of all calculations.

use lustrum::app::calc::Question;
use lustrum::core::error::Error;
use serde_json::Value;

/// The answer to a question that can be answered.
pub(crate) fn ask(question: Value) -> Value {
    let told = question.to_string();
    let answer = Question::read(question).unwrap_or_else(|fault| panic!("{told}: {fault}")).answer();
    serde_json::to_value(answer.unwrap_or_else(|error| panic!("{told}: {error:?}"))).unwrap()
}

/// Places and codes of what is wrong with a question of the right shape.
pub(crate) fn refused(question: Value) -> Vec<(String, &'static str)> {
    let told = question.to_string();
    match Question::read(question).unwrap_or_else(|fault| panic!("{told}: {fault}")).answer() {
        Err(Error::Refused { faults, .. }) => faults.into_iter().map(|f| (f.pointer, f.code)).collect(),
        other => panic!("{told}: {other:?}"),
    }
}

/// A member that is a number.
pub(crate) fn number(answer: &Value, name: &str) -> f64 {
    answer[name].as_f64().unwrap_or_else(|| panic!("no {name} in {answer}"))
}

/// Whether two numbers agree to `tolerance`, absolutely.
pub(crate) fn close(found: f64, wanted: f64, tolerance: f64) -> bool {
    (found - wanted).abs() <= tolerance
}
