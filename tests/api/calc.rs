//! Every calculation through its door: over HTTP, and as the command.

use std::io::Write as _;
use std::process::{Command, Stdio};

use lustrum::app::calc::Question;
use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::TestShop;

on_both!(each_calculation_answers, what_cannot_be_worked_out_is_refused);

/// One question for each calculation, in the order of the design page.
fn questions() -> Vec<Value> {
    let bay = json!([{"at": "2026-01-10T08:00:00Z", "c": 20, "rh_pct": 50}]);
    let lamp =
        json!([{"from": "2026-01-10T09:00:00Z", "until": "2026-01-10T09:15:00Z", "c": 60, "rh_pct": 40}]);
    let sheet = json!({"reference": {"c": 20}, "temperature": {"q10": 2}, "lamp": {"panel_c": 60, "min": 15, "then": "water-safe"},
        "milestones": [{"name": "water-safe", "h": 12}, {"name": "full cure", "h": 336}]});
    let jwk = json!({"kty": "OKP", "crv": "Ed25519", "x": "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"});
    vec![
        json!({"calc": "dew_point", "air_c": 20, "rh_pct": 60, "surface_c": 18}),
        json!({"calc": "heated_air", "out_c": -4, "out_rh_pct": 80, "in_c": 20}),
        json!({"calc": "cure", "sheet": sheet, "applied_at": "2026-01-10T08:00:00Z", "readings": bay, "planned": lamp,
            "at": "2026-01-10T12:00:00Z"}),
        json!({"calc": "add_period", "date": "2026-01-31", "period": {"months": 1}, "times": 2}),
        json!({"calc": "vin", "vin": "1G4AH59H45G118341"}),
        json!({"calc": "vin", "vin": "1G4AH59H"}),
        json!({"calc": "thickness", "readings_um": [112, 118, 109], "after_um": [110, 115, 108], "nominal_um": 100}),
        json!({"calc": "grubbs", "values": [101, 99, 100, 102, 98, 100, 180], "alpha": 0.05}),
        json!({"calc": "contact_angle", "drops": [{"height_mm": 1.3, "width_mm": 2}, {"height_mm": 1.4, "width_mm": 2.1}]}),
        json!({"calc": "delta_e", "lab1": [50, 2.6772, -79.7751], "lab2": [50, 0, -82.7485]}),
        json!({"calc": "dilution", "ratio": "1:5", "total_ml": 600}),
        json!({"calc": "forecast", "readings": [{"on": "2026-01-01", "km": 1000}, {"on": "2026-03-02", "km": 4000}], "limit_km": 10_000}),
        json!({"calc": "survival", "durations": [6, 7, 10], "events": [true, false, true]}),
        json!({"calc": "survival", "durations": [6, 7, 10], "events": [true, false, true], "groups": ["a", "b", "b"]}),
        json!({"calc": "fisher", "table": [[3, 1], [1, 3]]}),
        json!({"calc": "local_send", "on": "2026-03-29", "at": "02:30", "time_zone": "Europe/Berlin"}),
        json!({"calc": "jws_verify", "jws": "a.b.c", "jwks": {"keys": [jwk]}}),
        json!({"calc": "merkle_root", "leaves_hex": ["", "00ff"]}),
    ]
}

/// What the design names, and nothing else; each with a question above.
#[test]
fn all_calculations_are_there() {
    let named = [
        "dew_point",
        "heated_air",
        "cure",
        "add_period",
        "vin",
        "thickness",
        "grubbs",
        "contact_angle",
        "delta_e",
        "dilution",
        "forecast",
        "survival",
        "fisher",
        "local_send",
        "jws_verify",
        "merkle_root",
    ];
    assert_eq!(Question::NAMES, named);
    let mut asked: Vec<String> = questions().iter().map(|q| q["calc"].as_str().unwrap().to_owned()).collect();
    asked.dedup();
    assert_eq!(asked, named);
}

fn each_calculation_answers(shop: TestShop) {
    let (answers, status) = command(&lines(&questions()));
    assert_eq!(status, 0);
    for (question, by_command) in questions().iter().zip(&answers) {
        let by_service = shop.technician.post("/v1/calc", question).ok();
        assert_eq!(by_service, *by_command, "{question}");
    }
    let answer = |name: &str| {
        let place = questions().iter().position(|question| question["calc"] == name).unwrap();
        answers[place].clone()
    };
    assert_eq!(answer("add_period"), json!({"date": "2026-03-31"}));
    assert_eq!(answer("vin")["check_digit"], json!({"expected": "4", "found": "4", "ok": true}));
    assert_eq!(answer("local_send"), json!({"instant": "2026-03-29T01:30:00Z"}));
    assert_eq!(answer("jws_verify"), json!({"valid": false}));
    // 3¾ hours in the bay and a quarter under the lamp, 16 times as fast; the lamp makes it safe from water.
    assert_eq!(answer("cure")["equivalent_h"], 7.75);
    assert_eq!(answer("cure")["milestones"][0]["reached_at"], "2026-01-10T09:15:00Z");
    assert_eq!(answer("grubbs")["index"], 6);
    assert_eq!(answer("forecast")["expected"], "2026-06-30");
}

fn what_cannot_be_worked_out_is_refused(shop: TestShop) {
    let faults = shop
        .desk
        .post("/v1/calc", &json!({"calc": "dew_point", "air_c": 20, "rh_pct": 101, "surface_c": 999}))
        .faults(422, "rule_broken");
    assert_eq!(
        faults,
        [("/rh_pct".into(), "out_of_range".into()), ("/surface_c".into(), "out_of_range".into())]
    );
    for (question, place, code) in [
        (json!({"calc": "dew_point", "air_c": 20}), "/rh_pct", "missing"),
        (json!({"calc": "dew_point", "air_c": 20, "rh_pct": "60"}), "/rh_pct", "wrong_type"),
        (json!({"calc": "dew_point", "air_c": 20, "rh_pct": 60, "wind": 1}), "/wind", "unknown_member"),
        (json!({"calc": "tea_leaves"}), "/calc", "unknown_word"),
        (json!({"calc": 1}), "/calc", "wrong_type"),
        (json!({}), "/calc", "missing"),
    ] {
        assert_eq!(
            shop.desk.post("/v1/calc", &question).faults(400, "malformed"),
            [(place.into(), code.into())]
        );
    }
    shop.desk.anonymous().post("/v1/calc", &json!({})).refused(401, "not_signed_in");
}

/// A line that fails does not keep the others from being answered.
#[test]
fn the_command_answers_line_by_line() {
    let (answers, status) = command(
        b"{\"calc\": \"heated_air\", \"out_c\": 0, \"out_rh_pct\": 50, \"in_c\": 0}\n\n{\"calc\": \"vin\"}\nnonsense\n\
          {\"calc\": \"heated_air\", \"out_c\": 0, \"out_rh_pct\": 150, \"in_c\": 0}",
    );
    assert_eq!(status, 1);
    assert_eq!(answers[0], json!({"rh_pct": 50.0}));
    let errors: Vec<(&Value, &Value)> =
        answers[1..].iter().map(|a| (&a["error"]["code"], &a["error"]["pointer"])).collect();
    assert_eq!(
        errors,
        [
            (&json!("missing"), &json!("/vin")),
            (&json!("not_json"), &json!("")),
            (&json!("out_of_range"), &json!("/out_rh_pct"))
        ]
    );
    assert!(answers[3]["error"]["detail"].as_str().unwrap().contains("150"));
}

#[test]
fn the_command_without_a_file_is_told_its_usage() {
    let done = Command::new(env!("CARGO_BIN_EXE_lustrum")).arg("calc").output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    let done = Command::new(env!("CARGO_BIN_EXE_lustrum")).args(["calc", "is-not-there"]).output().unwrap();
    assert_eq!(done.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&done.stderr).contains("is-not-there"));
}

fn lines(questions: &[Value]) -> Vec<u8> {
    questions.iter().flat_map(|question| format!("{question}\n").into_bytes()).collect()
}

/// What `lustrum calc -` answers, and its exit status.
fn command(input: &[u8]) -> (Vec<Value>, i32) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lustrum"))
        .args(["calc", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    command.stdin.take().unwrap().write_all(input).unwrap();
    let done = command.wait_with_output().unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    let answers = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    (answers, done.status.code().unwrap())
}
