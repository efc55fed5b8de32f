//! Cure of a job over HTTP: can it leave tonight, and what would help? All invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_winter_delivery_that_wants_to_leave_tonight,
    a_plan_is_kept_with_the_job_and_checked,
    care_is_told_at_handover,
    what_is_wrong_with_a_plan_is_told_at_its_place,
);

/// A coating that knows a lamp, and a topper that takes water at once.
fn stocked(shop: &TestShop) {
    let cure = json!({
        "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
        "lamp": {"panel_c": 60, "min": 15, "then": "water-safe"},
        "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168, "latest_days": 30},
                       {"name": "full cure", "h": 336}],
    });
    let product = json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": {"surfaces": ["paint"], "cure": cure}});
    shop.manager.post("/v1/products", &product).created();
    let topper = json!({"code": "storm-1", "title": "Storm 1", "role": "weather_topper"});
    shop.manager.post("/v1/products", &topper).created();
    for code in ["base-30", "storm-1"] {
        shop.technician.post("/v1/batches", &json!({"product": code, "number": "0417"})).created();
    }
}

fn coat(shop: &TestShop, job: &str, product: &str, on: Value, at: &str) {
    let body = json!({"surface": "paint", "panels": on, "product": product, "batch": "0417", "started_at": at, "ended_at": at});
    shop.technician.post(&format!("{job}/coats"), &body).created();
}

/// Coated at four in the morning on 10 March 2026; it is eight now, the bay reads 20 °C, and outside it freezes.
fn coated(shop: &TestShop) -> String {
    stocked(shop);
    let vehicle = shop.adds_vehicle("QC-1");
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 12, "unit": "km"}});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    coat(shop, &job, "base-30", json!(["bonnet", "roof"]), "2026-03-10T04:00:00Z");
    for (at, air_c, rh_pct, place) in [("04:00", 20.0, 50.0, "bay"), ("07:30", -4.0, 80.0, "outside")] {
        let reading =
            json!({"at": format!("2026-03-10T{at}:00Z"), "air_c": air_c, "rh_pct": rh_pct, "place": place});
        shop.technician.post(&format!("{job}/climate"), &reading).created();
    }
    job
}

fn a_winter_delivery_that_wants_to_leave_tonight(shop: TestShop) {
    let job = coated(&shop);
    let path = format!("{job}/cure");
    let cure = shop.desk.get(&path).ok();
    assert_eq!(cure["at"], "2026-03-10T08:00:00Z");
    assert_eq!(cure["coats"][0]["panels"][0]["equivalent_h"], json!(4.0));
    assert_eq!(
        cure["milestones"][0],
        json!({"name": "water-safe", "reached_at": null, "expected_at": "2026-03-10T16:00:00Z"}),
        "of the vehicle first"
    );
    assert_eq!(cure["milestones"][3]["panel"], "bonnet");
    assert_eq!(cure["leave"]["may"], false);
    assert_eq!(cure["leave"]["because"][0]["panels"], json!(["bonnet", "roof"]));
    let said = cure["hints"].to_string();
    assert!(said.contains("16 %") && said.contains("a night inside"), "{said}");

    // Each help, taken as it is told, lets it go.
    let helps = cure["leave"]["helps"].as_array().unwrap();
    let kinds: Vec<&str> = helps.iter().map(|help| help["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["bay", "lamp", "cover"]);
    assert_eq!((&helps[0]["hours"], &helps[0]["at"]), (&json!(8.0), &json!("2026-03-10T16:00:00Z")));
    for help in &helps[..2] {
        let tried = shop.desk.post(&path, &json!({"at": help["at"], "stages": help["stages"]})).ok();
        assert_eq!(tried["leave"]["may"], true, "{help:#}");
    }
    // Asked what if, it stays outside: then only the calendar lets it be washed.
    let outside =
        json!([{"from": "2026-03-10T08:00:00Z", "until": "2026-03-11T08:00:00Z", "c": -4, "rh_pct": 80}]);
    let cold = shop.desk.post(&path, &json!({"stages": outside})).ok();
    assert_eq!(cold["milestones"][0]["expected_at"], Value::Null);
    assert_eq!(cold["milestones"][1]["expected_at"], "2026-04-09T04:00:00Z");
    assert_eq!(shop.desk.get(&path).ok(), cure, "nothing is kept of it");

    // The picture says what the figures say, in the shop's own time.
    let asked = [("Accept", "image/svg+xml")];
    let picture = shop.desk.call("GET", &format!("{job}/cure.svg"), &asked, None);
    assert_eq!((picture.status, picture.header("content-type")), (200, Some("image/svg+xml")));
    assert!(picture.text.contains("Water-safe at 12 h, on 10 Mar, 16:00"), "{}", picture.text);

    coat(&shop, &job, "storm-1", json!(["bonnet"]), "2026-03-10T08:00:00Z");
    let half = shop.desk.get(&path).ok();
    assert_eq!(
        (&half["leave"]["may"], &half["leave"]["because"][0]["panels"]),
        (&json!(false), &json!(["roof"]))
    );
    coat(&shop, &job, "storm-1", json!(["roof"]), "2026-03-10T08:00:00Z");
    let covered = shop.desk.get(&path).ok()["leave"].clone();
    assert_eq!((&covered["may"], &covered["helps"]), (&json!(true), &json!([])));
    assert_eq!(covered["because"][0]["cover"], "storm-1");

    let later = shop.desk.get(&format!("{path}?at=2026-03-10T16:00:00Z")).ok();
    assert_eq!(later["milestones"][0]["reached_at"], "2026-03-10T16:00:00Z");
    shop.desk.get(&format!("{path}?at=tonight")).refused(400, "malformed");
}

fn a_plan_is_kept_with_the_job_and_checked(shop: TestShop) {
    let job = coated(&shop);
    let wet = |from: &str| json!({"stages": [{"from": from, "until": "2026-03-10T18:00:00Z", "c": 4, "rh_pct": 90, "weather": "snow"}]});
    let found = || {
        let list = shop.desk.get(&format!("{job}/checks")).ok();
        let items = list["items"].as_array().unwrap().clone();
        items.into_iter().filter(|one| one["code"] == "wet_before_safe").collect::<Vec<_>>()
    };
    let planned = shop.technician.change(&job, &wet("2026-03-10T15:59:59Z")).ok();
    assert_eq!(planned["stages"][0]["weather"], "snow");
    assert_eq!((found().len(), &found()[0]["subject"]), (1, &json!("paint")));
    shop.technician.change(&job, &wet("2026-03-10T16:00:00Z")).ok();
    assert_eq!(found(), [] as [Value; 0]);
    // The plan moves the clocks when nothing else is asked.
    let cold = json!({"stages": [{"from": "2026-03-10T08:00:00Z", "until": "2026-03-10T09:00:00Z", "c": -4, "rh_pct": 80}]});
    shop.technician.change(&job, &cold).ok();
    assert_eq!(shop.desk.get(&format!("{job}/cure")).ok()["milestones"][0]["expected_at"], Value::Null);
    let cleared = shop.technician.change(&job, &json!({"stages": null})).ok();
    assert_eq!(cleared["stages"], json!([]));
    shop.technician.change(&job, &cold).ok();
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    shop.technician.change(&job, &json!({"stages": null})).refused(409, "job_not_open");
    shop.desk.post(&format!("{job}/cure"), &json!({"stages": []})).ok();
}

/// It leaves into the cold that was read outside: water and full cure come with what is known, or not at all.
fn care_is_told_at_handover(mut shop: TestShop) {
    let job = coated(&shop);
    shop.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
    shop.it_is("2026-03-10T17:00:00Z");
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 12, "unit": "km"}, "mail": false});
    let handed = shop.desk.post(&format!("{job}/handover"), &handover).created();
    assert_eq!(
        handed["care"],
        json!({"leaves_at": "2026-03-10T17:00:00Z", "first_water": "2026-03-10T16:00:00Z",
               "first_wash": "2026-04-09T04:00:00Z", "full_cure": null})
    );
    // Whoever asks for the verdict hears it with what services would count for.
    let looked_up =
        |on: &str| shop.desk.get(&format!("/v1/eligibility?plate=QC-1&on={on}")).ok()["care"].clone();
    assert_eq!(
        (looked_up("2026-03-10"), looked_up("2026-05-09")),
        (handed["care"].clone(), handed["care"].clone())
    );
    assert_eq!((looked_up("2026-03-09"), looked_up("2026-05-10")), (Value::Null, Value::Null), "sixty days");
}

fn what_is_wrong_with_a_plan_is_told_at_its_place(shop: TestShop) {
    let job = coated(&shop);
    let stages = json!([{"from": "2026-03-10T09:00:00Z", "until": "2026-03-10T08:59:59Z", "c": 201, "rh_pct": 100.5, "panels": []}]);
    let wanted = [
        ("/stages/0/c", "out_of_range"),
        ("/stages/0/rh_pct", "out_of_range"),
        ("/stages/0/until", "upside_down"),
        ("/stages/0/panels", "empty"),
    ]
    .map(|(at, code)| (at.to_owned(), code.to_owned()));
    let body = json!({"stages": stages});
    assert_eq!(shop.desk.post(&format!("{job}/cure"), &body).faults(422, "rule_broken"), wanted);
    assert_eq!(shop.technician.change(&job, &body).faults(422, "rule_broken"), wanted);
    let one = json!({"from": "2026-03-10T09:00:00Z", "until": "2026-03-10T10:00:00Z", "c": 20, "rh_pct": 50});
    let many = json!({"stages": vec![one; 51]});
    let too_many = [("/stages".to_owned(), "too_many".to_owned())];
    assert_eq!(shop.desk.post(&format!("{job}/cure"), &many).faults(422, "rule_broken"), too_many);
}
