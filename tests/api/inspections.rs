//! Inspections on a visit: water, figures against limits and the panel's own first ones, what it comes to, and what the
//! inspector makes of it. The rules of water and gloss are common practice.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    water_after_decontamination_decides,
    figures_are_held_against_limits_and_first_figures,
    an_inspector_overrules_with_a_reason,
    what_is_wrong_with_an_inspection_is_told_at_its_place,
);

/// A vehicle (plate `QC-1`) whose bonnet was coated on 10 March 2026, on terms that limit figures; answers its id.
fn delivered(shop: &TestShop) -> String {
    shop.stocks_one_coating();
    let rules = json!([{"key": "annual", "service": "inspection", "by": "accredited", "counted_from": "last",
                        "every": {"years": 1}, "if_missed": {"effect": "end"}}]);
    let limits = json!({"contact_angle_deg": {"min": 80, "min_pct_of_baseline": 75}, "roll_off_deg": {"max": 30},
                        "gloss_gu": {"min_pct_of_baseline": 90}, "delta_e_00": {"max": 2}});
    shop.publishes("measured", &rules, &json!({"limits": limits}));
    let vehicle = shop.adds_vehicle("QC-1");
    shop.hands_over(&vehicle, "measured");
    vehicle
}

fn visit(vehicle: &str, on: &str, inspection: Value) -> Value {
    json!({"vehicle_id": vehicle, "on": on, "services": [{"service": "inspection", "inspection": inspection}]})
}

/// The service of a visit that is entered.
fn inspects(shop: &TestShop, visit: &Value) -> Value {
    let entered = shop.technician.post("/v1/visits", visit).created();
    let path = format!("/v1/visits/{}", id(&entered));
    assert_eq!(shop.desk.get(&path).ok()["services"], entered["services"], "it reads back as it was");
    entered["services"][0].clone()
}

fn seen(panel: &str, as_arrived: Option<&str>, decontaminated: Option<&str>) -> Value {
    json!({"panel": panel, "as_arrived": as_arrived, "decontaminated": decontaminated})
}

/// Drops of 2 mm width whose contact angles are these, in degrees: `2 atan(2h/w)` the other way round.
fn drops(angles: &[f64]) -> Value {
    let height = |angle: &f64| ((angle.to_radians() / 2.0).tan() * 1e6).round() / 1e6;
    angles.iter().map(|angle| json!({"height_mm": height(angle), "width_mm": 2})).collect()
}

fn water_after_decontamination_decides(shop: TestShop) {
    let vehicle = delivered(&shop);
    let comes_to = |panels: Value| {
        let service = inspects(&shop, &visit(&vehicle, "2026-03-10", json!({"panels": panels})));
        assert_eq!(
            service["inspection"]["panels"].as_array().unwrap().len(),
            panels.as_array().unwrap().len()
        );
        let inspection = &service["inspection"];
        (inspection["outcome"].clone(), inspection["remedy"].clone(), inspection["because"].clone())
    };
    let clean = comes_to(json!([
        seen("bonnet", Some("flat"), Some("beading")),
        seen("roof", None, Some("sheeting"))
    ]));
    assert_eq!(clean, (json!("in_order"), json!(null), json!([])), "as it arrived it was only dirty");
    let slow = comes_to(json!([seen("bonnet", Some("slow"), Some("slow"))]));
    assert_eq!((slow.0, slow.1), (json!("in_order_with_advice"), json!(null)));
    let dirty = comes_to(json!([seen("bonnet", Some("flat"), None)]));
    assert_eq!(dirty.0, "in_order_with_advice");
    assert!(dirty.2[0].as_str().unwrap().contains("look again when clean"), "{}", dirty.2);
    assert_eq!(shop.desk.get("/v1/tasks").ok()["items"], json!([]));

    let flat = comes_to(json!([seen("bonnet", None, Some("beading")), seen("roof", None, Some("flat"))]));
    assert_eq!((flat.0, flat.1), (json!("finding"), json!("recoat_panel")));
    let tasks = shop.desk.get("/v1/tasks").ok();
    let tasks = tasks["items"].as_array().unwrap();
    assert_eq!((tasks.len(), &tasks[0]["kind"]), (1, &json!("remedy")));
    assert_eq!(tasks[0]["text"], "recoat panel: roof: water lies flat after decontamination");

    // The owner came in time: the first inspection met the due, whatever a later one found.
    let verdict = shop.desk.get("/v1/eligibility?plate=QC-1").ok();
    assert_eq!(verdict["warranties"][0]["assessment"]["dues"][0]["status"], "met");
    assert_eq!(verdict["in_force"], true);
}

/// `{panel, figure, value, baseline, standing}` of each line that a warranty's terms limit.
fn lines(service: &Value) -> Vec<(String, String, f64, Option<f64>, String)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let of = |line: &Value| {
        (
            text(&line["panel"]),
            text(&line["figure"]),
            line["value"].as_f64().unwrap(),
            line["baseline"].as_f64(),
            text(&line["standing"]),
        )
    };
    let measured = service["inspection"]["measured"].as_array().unwrap();
    measured.iter().filter(|line| line["warranty"].is_string()).map(of).collect()
}

fn figures_are_held_against_limits_and_first_figures(mut shop: TestShop) {
    let vehicle = delivered(&shop);
    let bonnet = |angles: &[f64], gloss: f64, lab: [f64; 3]| {
        json!({"panels": [{"panel": "bonnet", "decontaminated": "beading", "drops": drops(angles), "roll_off_deg": 12,
                           "gloss_gu": gloss, "gloss_at_deg": 20, "lab": lab}]})
    };
    let line = |figure: &str, value: f64, baseline: Option<f64>, standing: &str| {
        ("bonnet".to_owned(), figure.to_owned(), value, baseline, standing.to_owned())
    };
    // At handover there is nothing to compare with; Student's t(0.975, 2) = 4.302653 (printed tables).
    let colour = [50.0, 2.6772, -79.7751];
    let first = inspects(&shop, &visit(&vehicle, "2026-03-10", bonnet(&[108.0, 110.0, 112.0], 88.0, colour)));
    assert_eq!(
        lines(&first),
        [
            line("contact_angle_deg", 110.0, None, "no_baseline"),
            line("roll_off_deg", 12.0, None, "within"),
            line("gloss_gu", 88.0, None, "no_baseline"),
        ]
    );
    let angle = &first["inspection"]["measured"][0];
    let reach = 4.302_653 * 2.0 / 3.0_f64.sqrt();
    assert!((angle["low"].as_f64().unwrap() - (110.0 - reach)).abs() < 1e-3, "{angle}");
    assert_eq!(first["inspection"]["outcome"], "in_order");
    assert_eq!(
        first["figures"]["bonnet"],
        json!({"contact_angle_deg": 110.0, "gloss_gu": 88.0, "roll_off_deg": 12.0})
    );

    // A year on: 82 degrees are above 80, but below 75 % of 110 (82.5). The colours are pair 1 of Sharma, Wu and Dalal
    // 2005, table I: ΔE00 2.0425. Gloss of 79.1 is below 90 % of 88 (79.2), and advises.
    shop.it_is("2027-03-10T09:00:00Z");
    let later = inspects(
        &shop,
        &visit(&vehicle, "2027-03-10", bonnet(&[81.0, 82.0, 83.0], 79.1, [50.0, 0.0, -82.7485])),
    );
    let within_a_thousandth = lines(&later);
    assert_eq!(
        within_a_thousandth,
        [
            line("contact_angle_deg", 82.0, Some(110.0), "below_baseline"),
            line("roll_off_deg", 12.0, Some(12.0), "within"),
            line("gloss_gu", 79.1, Some(88.0), "below_baseline"),
            line("delta_e_00", 2.042, None, "too_high"),
        ]
    );
    let inspection = &later["inspection"];
    assert_eq!(
        (&inspection["outcome"], &inspection["remedy"]),
        (&json!("finding"), &json!("decontaminate_and_top_up"))
    );
    let why = inspection["because"].as_array().unwrap();
    assert!(
        why[0].as_str().unwrap().starts_with("bonnet: contact_angle_deg 82, allowed is 80 or more"),
        "{why:?}"
    );

    // Gloss at another angle is another figure; a panel outside the cover is compared, not judged.
    let other =
        json!({"panels": [{"panel": "bonnet", "gloss_gu": 60}, {"panel": "boot", "roll_off_deg": 45}]});
    let other = inspects(&shop, &visit(&vehicle, "2027-03-10", other));
    assert_eq!(lines(&other), [line("gloss_gu", 60.0, None, "no_baseline")]);
    assert_eq!(other["inspection"]["outcome"], "in_order");

    // A panel that was coated again begins anew.
    let anew = json!({"kind": "recoat", "on": "2027-03-10", "surface": "paint", "panel": "bonnet"});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &anew).created();
    shop.it_is("2027-04-10T09:00:00Z");
    let again = inspects(&shop, &visit(&vehicle, "2027-04-10", bonnet(&[99.0, 100.0, 101.0], 80.0, colour)));
    assert_eq!(lines(&again)[0], line("contact_angle_deg", 100.0, None, "no_baseline"));

    // Figures without an inspection are held against the limits too.
    let bare = json!({"vehicle_id": vehicle, "on": "2027-04-10",
                      "services": [{"service": "inspection", "figures": {"bonnet": {"roll_off_deg": 30.5, "ohm": 3}}}]});
    let bare = inspects(&shop, &bare);
    assert_eq!(lines(&bare), [line("roll_off_deg", 30.5, Some(12.0), "too_high")]);
    assert_eq!(bare["inspection"]["outcome"], "finding");
    let none = json!({"vehicle_id": vehicle, "on": "2027-04-10", "services": [{"service": "inspection", "finding": "Clear."}]});
    let none = inspects(&shop, &none);
    assert_eq!((&none["inspection"], &none["finding"]), (&json!(null), &json!("Clear.")));
}

fn an_inspector_overrules_with_a_reason(shop: TestShop) {
    let vehicle = delivered(&shop);
    let flat = json!([seen("bonnet", None, Some("flat"))]);
    let reason = "Shown again with clean water: it was soap of the last wash.";
    let overruled = json!({"panels": flat, "overruled": {"outcome": "in_order", "reason": reason}});
    let service = inspects(&shop, &visit(&vehicle, "2026-03-10", overruled));
    let inspection = &service["inspection"];
    assert_eq!((&inspection["worked_out"], &inspection["outcome"]), (&json!("finding"), &json!("in_order")));
    assert_eq!((&inspection["overruled"]["reason"], &inspection["remedy"]), (&json!(reason), &json!(null)));
    assert_eq!(shop.desk.get("/v1/tasks").ok()["items"], json!([]));

    let claimed = json!({"panels": [seen("bonnet", None, Some("beading"))], "remedy": "claim",
                         "overruled": {"outcome": "finding", "reason": "It peels at the edge."}});
    let service = inspects(&shop, &visit(&vehicle, "2026-03-10", claimed));
    assert_eq!(service["inspection"]["remedy"], "claim");
    assert_eq!(shop.desk.get("/v1/tasks").ok()["items"][0]["text"], "claim: It peels at the edge.");

    // Countersigned later, it stands as it was.
    let late = visit(&vehicle, "2026-03-10", json!({"panels": flat}));
    let late = shop.technician.post("/v1/visits", &late).created();
    let signed =
        shop.manager.post(&format!("/v1/visits/{}/countersign", id(&late)), &json!({"reason": "Seen."})).ok();
    assert_eq!(signed["services"][0]["inspection"], late["services"][0]["inspection"]);
    assert_eq!(shop.desk.get("/v1/tasks").ok()["items"].as_array().unwrap().len(), 2, "one task a finding");
}

fn what_is_wrong_with_an_inspection_is_told_at_its_place(shop: TestShop) {
    let vehicle = delivered(&shop);
    let faults = |inspection: Value, figures: Value| {
        let mut visit = visit(&vehicle, "2026-03-10", inspection);
        visit["services"][0]["figures"] = figures;
        let real = shop.technician.post("/v1/visits", &visit).faults(422, "rule_broken");
        let tried = shop.technician.post("/v1/visits?validate_only=true", &visit).faults(422, "rule_broken");
        assert_eq!(real, tried);
        real
    };
    let place = |rest: &str, code: &str| (format!("/services/0{rest}"), code.to_owned());
    assert_eq!(faults(json!({"panels": []}), json!({})), [place("/inspection/panels", "empty")]);
    let drop = |height: f64| json!({"height_mm": height, "width_mm": 2});
    let wrong = json!({"panels": [
        {"panel": "bonnet"},
        {"panel": "bonnet", "drops": [drop(1.0), drop(0.0)], "roll_off_deg": 90.5, "gloss_at_deg": 20},
        {"panel": "roof", "gloss_gu": 2000.5, "gloss_at_deg": 45, "lab": [101, 0, 0]}],
        "overruled": {"outcome": "in_order", "reason": " "}});
    assert_eq!(
        faults(wrong, json!({})),
        [
            place("/inspection/panels/0", "empty"),
            place("/inspection/panels/1/drops", "too_few"),
            place("/inspection/panels/1/drops/1/height_mm", "out_of_range"),
            place("/inspection/panels/1/roll_off_deg", "out_of_range"),
            place("/inspection/panels/1/gloss_at_deg", "without_gloss"),
            place("/inspection/panels/1/panel", "panel_twice"),
            place("/inspection/panels/2/gloss_gu", "out_of_range"),
            place("/inspection/panels/2/gloss_at_deg", "out_of_range"),
            place("/inspection/panels/2/lab/0", "out_of_range"),
            place("/inspection/overruled/reason", "empty"),
        ]
    );
    let beads = || json!([seen("bonnet", None, Some("beading"))]);
    let twice = json!({"panels": [{"panel": "other:roof/rails", "roll_off_deg": 10}]});
    assert_eq!(
        faults(twice, json!({"other:roof/rails": {"roll_off_deg": 11}})),
        [place("/figures/other:roof~1rails/roll_off_deg", "given_twice")]
    );
    let sound = json!({"panels": beads(), "remedy": "recoat_panel"});
    assert_eq!(faults(sound, json!({})), [place("/inspection/remedy", "no_finding")]);
    for odd in [
        json!({"panels": [{"panel": "bonnet", "decontaminated": "wet"}]}),
        json!({"panels": beads(), "outcome": "finding"}),
    ] {
        shop.technician.post("/v1/visits", &visit(&vehicle, "2026-03-10", odd)).refused(400, "malformed");
    }
}
