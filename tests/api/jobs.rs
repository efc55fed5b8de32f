//! A job from taking in to its end: what may be changed when, by whom, and what its odometer means.

use serde_json::{Value, json};

use super::main_job::VIN;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_job_is_cancelled_only_while_it_is_open,
    the_odometer_at_intake_is_a_reading_like_any_other,
    an_intake_entered_wrong_is_entered_anew,
    a_reading_at_intake_counts_for_the_warranties_there_are,
    everything_that_is_wrong_is_told_at_once_and_before_the_state,
    a_neighbour_reaches_nothing_of_a_job,
);

pub(super) fn km(value: u32) -> Value {
    json!({"value": value, "unit": "km"})
}

impl TestShop {
    /// A vehicle by its plate; answers its id.
    pub(super) fn knows(&self, plate: &str) -> String {
        id(&self.desk.post("/v1/vehicles", &json!({"plate": plate})).created())
    }

    /// Takes a vehicle in for a job on the shop's terms; answers the path of the job.
    pub(super) fn takes_on(&self, vehicle: &str, shown: u32) -> String {
        let job = json!({"vehicle_id": vehicle, "odometer": km(shown), "terms": {"code": "two-coat-five"}});
        format!("/v1/jobs/{}", id(&self.technician.post("/v1/jobs", &job).created()))
    }

    /// Lays what the terms ask for on the bonnet, on 9 March 2026.
    pub(super) fn coats_the_bonnet(&self, path: &str) {
        let wipe = json!({"kind": "panel_wipe", "surfaces": ["paint"], "ended_at": "2026-03-09T08:50:00Z"});
        self.technician.post(&format!("{path}/steps"), &wipe).created();
        for (product, from, to) in [("base-30", "09:00", "09:40"), ("top-10", "10:40", "11:10")] {
            let coat = json!({"surface": "paint", "panels": ["bonnet"], "product": product, "batch": format!("{product}-0417"),
                              "started_at": format!("2026-03-09T{from}:00Z"), "ended_at": format!("2026-03-09T{to}:00Z")});
            self.technician.post(&format!("{path}/coats"), &coat).created();
        }
    }

    /// A job that is ready to be handed over; answers its path.
    pub(super) fn finishes(&self, vehicle: &str, shown: u32) -> String {
        let path = self.takes_on(vehicle, shown);
        self.coats_the_bonnet(&path);
        self.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
        path
    }

    /// The readings of a vehicle that count, in km.
    fn counted(&self, vehicle: &str) -> Vec<u64> {
        let readings = self.desk.get(&format!("/v1/vehicles/{vehicle}/readings")).ok();
        let items = readings["items"].as_array().unwrap();
        items.iter().filter(|one| one["retracted"] == false).map(|one| one["km"].as_u64().unwrap()).collect()
    }
}

fn a_job_is_cancelled_only_while_it_is_open(shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let path = shop.takes_on(&vehicle, 412);
    let cancel = format!("{path}/cancel");
    let because = json!({"reason": "The owner changed her mind."});
    shop.technician.post(&cancel, &because).refused(403, "forbidden");
    let nothing = json!({"reason": " "});
    assert_eq!(
        shop.desk.post(&cancel, &nothing).faults(422, "rule_broken"),
        [("/reason".into(), "empty".into())]
    );
    // The number names the job as well as the id does.
    let cancelled = shop.desk.post("/v1/jobs/J-2026-0001/cancel", &because).ok();
    assert_eq!(
        (&cancelled["state"], &cancelled["cancelled_because"]),
        (&json!("cancelled"), &because["reason"])
    );

    shop.desk.post(&cancel, &because).refused(409, "job_not_open");
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).refused(409, "job_not_open");
    shop.technician.change(&path, &json!({"excluded_panels": ["roof"]})).refused(409, "job_not_open");
    shop.desk.change(&path, &json!({"terms": null})).refused(409, "job_not_open");
    let step = json!({"kind": "dry", "surfaces": ["paint"]});
    shop.technician.post(&format!("{path}/steps"), &step).refused(409, "job_not_open");
    let handover = json!({"on": "2026-03-10", "odometer": km(412)});
    shop.desk.post(&format!("{path}/handover"), &handover).refused(409, "job_not_signed_off");
    shop.desk.post(&format!("{path}/warranty"), &json!({})).refused(409, "job_not_signed_off");
    assert_eq!(shop.desk.get("/v1/jobs?state=cancelled").ok()["items"][0]["number"], "J-2026-0001");

    // The vehicle is free for another job, and the number is not given again.
    let next = shop.finishes(&vehicle, 412);
    assert_eq!(shop.desk.get(&next).ok()["number"], "J-2026-0002");
    shop.desk.post(&format!("{next}/cancel"), &because).refused(409, "job_not_open");
}

fn the_odometer_at_intake_is_a_reading_like_any_other(shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let readings = format!("/v1/vehicles/{vehicle}/readings");
    shop.technician.post(&readings, &json!({"on": "2026-03-01", "odometer": km(400)})).created();

    let job = |odometer: Value| json!({"vehicle_id": vehicle, "odometer": odometer});
    let refused = shop.technician.post("/v1/jobs", &job(km(390))).refused(422, "odometer_implausible");
    assert_eq!(refused["previous"], json!({"on": "2026-03-01", "odometer": km(400)}));
    assert_eq!(refused["errors"][0]["pointer"], "/odometer");
    // 9 days at 2,000 km a day.
    shop.technician.post("/v1/jobs", &job(km(18_401))).refused(422, "odometer_implausible");
    assert_eq!(shop.counted(&vehicle), [400], "what was refused left nothing behind");
    let replaced = json!({"value": 10, "unit": "km", "replaced": true});
    shop.technician.post("/v1/jobs", &job(replaced)).created();
    assert_eq!(shop.counted(&vehicle), [400, 410], "summed over both odometers");

    let path = shop.finishes(&vehicle, 50);
    assert_eq!(shop.counted(&vehicle), [400, 410, 450]);
    let handover = |odometer: Value| json!({"on": "2026-03-10", "odometer": odometer});
    let handover_path = format!("{path}/handover");
    let refused = shop.desk.post(&handover_path, &handover(km(49))).refused(422, "odometer_implausible");
    assert_eq!(refused["previous"], json!({"on": "2026-03-10", "odometer": km(50)}));
    let handed = shop.desk.post(&handover_path, &handover(km(51))).created();
    let warranty = shop.desk.get(&format!("/v1/warranties/{}", id(&handed["warranty"]))).ok();
    assert_eq!(warranty["start_km"], 451);
}

fn an_intake_entered_wrong_is_entered_anew(mut shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let path = shop.takes_on(&vehicle, 4_120);
    assert_eq!(shop.counted(&vehicle), [4_120]);
    shop.it_is("2026-03-11T09:00:00Z");
    // It is compared with all but what it corrects.
    let corrected = shop.technician.change(&path, &json!({"odometer": {"value": 412}})).ok();
    assert_eq!(corrected["odometer"], km(412));
    assert_eq!(shop.counted(&vehicle), [412]);
    let readings = shop.desk.get(&format!("/v1/vehicles/{vehicle}/readings")).ok();
    let (old, new) = (&readings["items"][0], &readings["items"][1]);
    assert_eq!((&old["retracted"], &new["instead_of"]), (&json!(true), &old["id"]));
    assert_eq!(
        (&old["on"], &new["on"]),
        (&json!("2026-03-10"), &json!("2026-03-10")),
        "of the day of intake"
    );
    // Other changes leave the reading alone.
    shop.technician.change(&path, &json!({"excluded_panels": ["roof"]})).ok();
    assert_eq!(shop.counted(&vehicle), [412]);
    // One that the desk has taken back is corrected all the same.
    let retract = json!({"kind": "retract", "event": new["id"], "reason": "Of another car."});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &retract).created();
    shop.technician.change(&path, &json!({"odometer": {"value": 398}})).ok();
    assert_eq!(shop.counted(&vehicle), [398]);
}

fn a_reading_at_intake_counts_for_the_warranties_there_are(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2027-03-01T09:00:00Z");
    let cause =
        || shop.verdict("2027-03-01")["warranties"][0]["assessment"]["cover"]["paint"]["cause"].clone();
    assert_eq!(cause(), Value::Null);
    // Cover ends 120,000 km after the 412 of the handover.
    let path = shop.takes_on(&vehicle, 120_413);
    assert_eq!(cause(), "distance");
    shop.technician.change(&path, &json!({"odometer": {"value": 120_412}})).ok();
    assert_eq!(cause(), Value::Null);
    // A cancelled job takes nothing back: the odometer was read.
    shop.technician.change(&path, &json!({"odometer": {"value": 120_413}})).ok();
    shop.desk.post(&format!("{path}/cancel"), &json!({"reason": "No time."})).ok();
    assert_eq!(cause(), "distance");
}

fn everything_that_is_wrong_is_told_at_once_and_before_the_state(shop: TestShop) {
    shop.stocks_up();
    let vehicle = shop.knows("QC-1");
    let faults = |answer: crate::support::server::Answer| -> Vec<String> {
        answer.faults(422, "rule_broken").into_iter().map(|(place, code)| format!("{place} {code}")).collect()
    };
    let wrong = json!({"vehicle_id": "0190a0a0-0000-7000-8000-000000000000", "odometer": km(10_000_001),
                       "terms": {"code": "unheard-of"}, "panels": {"paint": ["bonnet", "bonnet"]},
                       "started_at": "2026-03-10T08:00:01Z"});
    assert_eq!(
        faults(shop.technician.post("/v1/jobs", &wrong)),
        [
            "/panels/paint/1 panel_twice",
            "/started_at in_the_future",
            "/vehicle_id unknown_vehicle",
            "/terms unknown_terms",
            "/odometer/value odometer_too_large",
        ]
    );
    let reading = json!({"on": "2026-03-01", "odometer": km(400)});
    shop.technician.post(&format!("/v1/vehicles/{vehicle}/readings"), &reading).created();
    let path = shop.finishes(&vehicle, 412);
    // Implausible besides: the previous reading comes with all the rest.
    let wrong = json!({"terms": {"code": "unheard-of"}, "odometer": {"value": 3}, "excluded_panels": ["roof", "roof"]});
    let refused = shop.technician.change(&path, &wrong).refused(422, "odometer_implausible");
    assert_eq!(refused["errors"].as_array().unwrap().len(), 2 + 1, "{refused:#}");
    shop.technician.change(&path, &json!({"excluded_panels": ["roof"]})).refused(409, "job_not_open");
    assert_eq!(
        faults(shop.technician.change(&path, &json!({"terms": {"code": "unheard-of"}}))),
        ["/terms unknown_terms"]
    );
    let other = shop.knows("QC-2");
    assert_eq!(faults(shop.technician.change(&path, &json!({"vehicle_id": other}))), ["/vehicle_id fixed"]);

    let tomorrow = json!({"on": "2026-03-11", "odometer": km(10_000_001), "replaces": "W-2026-0009"});
    assert_eq!(
        faults(shop.desk.post(&format!("{path}/handover"), &tomorrow)),
        ["/on in_the_future", "/replaces unknown_warranty", "/odometer/value odometer_too_large"]
    );
    let today = json!({"on": "2026-03-10", "odometer": km(412)});
    shop.desk.post(&format!("{path}/handover"), &today).created();
    let lower = json!({"on": "2026-03-10", "odometer": km(411)});
    shop.desk.post(&format!("{path}/handover"), &lower).refused(422, "odometer_implausible");
    shop.desk.post(&format!("{path}/handover"), &today).refused(409, "job_handed_over");
    let later = json!({"on": "2026-03-09", "terms": {"code": "unheard-of"}});
    assert_eq!(
        faults(shop.desk.post(&format!("{path}/warranty"), &later)),
        ["/on before_handover", "/terms unknown_terms"]
    );
}

fn a_neighbour_reaches_nothing_of_a_job(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let neighbour = shop.neighbour();
    let job = "/v1/jobs/J-2026-0001";
    let warranty = format!("/v1/warranties/{}", id(&warranty));
    let mine = id(&shop.desk.get(job).ok());
    let of_job = |part: &str| format!("/v1/jobs/{mine}/{part}");
    let step = json!({"kind": "dry", "surfaces": ["paint"]});
    let pass = json!({"code": "batch_unknown", "subject": "paint", "reason": "Seen."});
    let because = json!({"reason": "A slip."});
    let handover = json!({"on": "2026-03-10", "odometer": km(412)});
    let reading = json!({"on": "2026-03-10", "odometer": km(500)});
    let close = json!({"kind": "close", "on": "2026-03-10", "reason": "Written off."});
    let sale = json!({"on": "2026-03-10", "customer": {"name": "Bruno Lira"}});
    let waiver = json!({"upkeep": "annual", "number": 1, "on": "2026-03-10", "reason": "Laid up."});
    let extension = json!({"upkeep": "annual", "number": 1, "to": "2027-06-30", "reason": "Laid up."});
    for (path, body) in [
        (of_job("steps"), &step),
        (of_job("passes"), &pass),
        (of_job("sign-off"), &json!({})),
        (of_job("cancel"), &because),
        (of_job("handover"), &handover),
        (of_job("warranty"), &json!({})),
        (format!("{job}/cancel"), &because),
        (format!("{warranty}/void"), &because),
        (format!("{warranty}/waivers"), &waiver),
        (format!("{warranty}/extensions"), &extension),
        (format!("/v1/vehicles/{vehicle}/readings"), &reading),
        (format!("/v1/vehicles/{vehicle}/events"), &close),
        (format!("/v1/vehicles/{vehicle}/transfers"), &sale),
    ] {
        neighbour.post(&path, body).refused(404, "not_found");
    }
    neighbour.patch(&format!("/v1/jobs/{mine}"), "\"1\"", &json!({})).refused(404, "not_found");
    // In a body, another shop's id is an unknown one.
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "inspection"}]});
    let unknown = [("/vehicle_id".to_owned(), "unknown_vehicle".to_owned())];
    assert_eq!(neighbour.post("/v1/visits", &visit).faults(422, "rule_broken"), unknown);
    let theirs = json!({"vehicle_id": vehicle, "odometer": km(500)});
    assert_eq!(neighbour.post("/v1/jobs", &theirs).faults(422, "rule_broken"), unknown);
    // Seeing the same vehicle gives sight of none of it.
    neighbour.post("/v1/vehicles", &json!({"vin": VIN})).created();
    assert_eq!(neighbour.get(&format!("/v1/vehicles/{vehicle}/history")).ok()["items"], json!([]));
    neighbour.get(&of_job("checks")).refused(404, "not_found");
    assert_eq!(shop.desk.get(job).ok()["state"], "handed_over");
}
