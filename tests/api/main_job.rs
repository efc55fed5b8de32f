//! The main job, call by call: a coating is logged, the warranty issued, dues worked out, and the vehicle returns.
//! All names are invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_winter_delivery_from_taking_in_to_the_verdict,
    what_stops_a_job_is_told_and_a_manager_passes_it,
    a_missed_inspection_is_made_good,
    a_panel_leaves_cover_and_comes_back,
    a_sale_is_told_or_not,
    only_the_desk_and_the_manager_hand_over_and_correct,
    days_turn_by_themselves_once,
);

pub(crate) const VIN: &str = "1M8GDM9AXKP042788"; // worked example of 49 CFR 565.15, no real vehicle

fn sheet(surfaces: &[&str]) -> Value {
    json!({
        "surfaces": surfaces,
                "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                 "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168, "latest_days": 30}]},
    })
}

pub(crate) fn terms() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "two-coat-five", "edition": 1, "title": "Five years, two coats",
        "cover": [{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 120_000}, {"surface": "glass", "lasts": {"months": 18}}],
        "upkeep": [
            {"key": "annual", "service": ["inspection", "reconditioning"], "by": "accredited", "counted_from": "start",
             "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
             "if_missed": [{"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"}, {"effect": "end"}]},
            {"key": "wash", "service": "maintenance wash", "counted_from": "last", "first_after": {"days": 14},
             "every": {"weeks": 6}, "late": {"weeks": 2}, "surfaces": ["paint"], "if_missed": {"effect": "note"}},
        ],
        "breaches": [{"key": "abrasive-wash", "effect": "suspend", "with": "reconditioning", "make_good_within": {"days": 30}}],
        "transfer": {"allowed": true, "tell_within": {"days": 30}, "owners": 2},
        "repair": {"restores": true, "recoat_within": {"days": 90}},
        "build": [{"surface": "paint", "coats": [{"product": "base-30"}, {"product": "top-10"}], "prep": ["panel_wipe"]}],
    })
}

impl TestShop {
    /// Products, batches and published terms.
    pub(crate) fn stocks_up(&self) {
        for (code, surfaces) in
            [("base-30", &["paint", "trim"][..]), ("top-10", &["paint"]), ("clear-view", &["glass"])]
        {
            let product = json!({"code": code, "title": code, "role": "coating", "sheet": sheet(surfaces)});
            let made = self.manager.post("/v1/products", &product).created();
            assert_eq!((&made["code"], &made["edition"]), (&json!(code), &json!(1)));
            let batch = json!({"product": code, "number": format!("{code}-0417"), "expires_on": "2028-04-30", "ml": 50});
            assert_eq!(self.technician.post("/v1/batches", &batch).created()["state"], "usable");
        }
        let draft = self.manager.post("/v1/terms", &terms()).created();
        assert_eq!((&draft["state"], &draft["faults"]), (&json!("draft"), &json!([])));
        let published = self.manager.post("/v1/terms/two-coat-five/editions/1/publish", &json!({})).ok();
        assert_eq!(published["state"], "published");
    }

    /// A vehicle with its owner; answers its id.
    pub(crate) fn takes_in(&self, owner: &str) -> String {
        let body = json!({"vin": VIN, "plate": "QC-417", "make": "Corvina", "model": "Estate", "customer_id": owner});
        id(&self.desk.post("/v1/vehicles", &body).created())
    }

    /// A job with two coats on bonnet and roof and one on the windscreen, not signed off; answers its id.
    pub(crate) fn coats(&self, vehicle: &str) -> String {
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}, "terms": {"code": "two-coat-five"},
                         "panels": {"paint": ["bonnet", "roof"], "glass": ["windscreen"]}});
        let job = self.technician.post("/v1/jobs", &job).created();
        assert_eq!(job["state"], "open");
        let path = format!("/v1/jobs/{}", id(&job));
        let look =
            json!({"kind": "high_spot_check", "surfaces": ["paint"], "ended_at": "2026-03-09T11:40:00Z"});
        self.technician.post(&format!("{path}/steps"), &look).created();
        let wipe =
            json!({"kind": "panel_wipe", "surfaces": ["paint", "glass"], "ended_at": "2026-03-09T08:50:00Z"});
        self.technician.post(&format!("{path}/steps"), &wipe).created();
        let climate = json!({"at": "2026-03-09T08:55:00Z", "air_c": 20.5, "rh_pct": 48.0, "surface_c": 19.0});
        self.technician.post(&format!("{path}/climate"), &climate).created();
        for (surface, panels, product, from, to) in [
            ("paint", json!(["bonnet", "roof"]), "base-30", "09:00", "09:40"),
            ("paint", json!(["bonnet", "roof"]), "top-10", "10:40", "11:10"),
            ("glass", json!(["windscreen"]), "clear-view", "11:20", "11:30"),
        ] {
            let coat = json!({"surface": surface, "panels": panels, "product": product, "batch": format!("{product}-0417"),
                              "started_at": format!("2026-03-09T{from}:00Z"), "ended_at": format!("2026-03-09T{to}:00Z")});
            self.technician.post(&format!("{path}/coats"), &coat).created();
        }
        id(&job)
    }

    /// The whole job up to handover on 10 March 2026; answers vehicle and warranty.
    pub(crate) fn delivers(&self) -> (String, Value) {
        self.stocks_up();
        let owner = self.adds_customer("Ada Ferro", "ada@example.org");
        let vehicle = self.takes_in(&owner);
        let job = self.coats(&vehicle);
        assert_eq!(self.technician.get(&format!("/v1/jobs/{job}/checks")).ok()["items"], json!([]));
        let signed = self.technician.post(&format!("/v1/jobs/{job}/sign-off"), &json!({})).ok();
        assert_eq!(signed["state"], "signed_off");
        let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
        let answer = self.desk.post(&format!("/v1/jobs/{job}/handover"), &handover).created();
        assert_eq!(answer["job"]["state"], "handed_over");
        (vehicle, answer["warranty"].clone())
    }

    /// One more vehicle of an owner, with the same work; answers its id.
    pub(crate) fn delivers_another(&self, owner: &str, plate: &str) -> String {
        let body = json!({"plate": plate, "make": "Aurel", "model": "Vento", "customer_id": owner});
        let vehicle = id(&self.desk.post("/v1/vehicles", &body).created());
        let job = self.coats(&vehicle);
        self.technician.post(&format!("/v1/jobs/{job}/sign-off"), &json!({})).ok();
        let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}, "mail": false});
        self.desk.post(&format!("/v1/jobs/{job}/handover"), &handover).created();
        vehicle
    }

    pub(crate) fn verdict(&self, on: &str) -> Value {
        self.desk.get(&format!("/v1/eligibility?vin={VIN}&on={on}")).ok()
    }
}

fn a_winter_delivery_from_taking_in_to_the_verdict(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    assert_eq!((&warranty["number"], &warranty["start"]), (&json!("W-2026-0001"), &json!("2026-03-10")));
    assert_eq!(warranty["terms"], json!({"code": "two-coat-five", "edition": 1}));
    assert_eq!(shop.desk.get("/v1/jobs/J-2026-0001").ok()["state"], "handed_over");
    assert_eq!(warranty["cover"][0]["last_day"], "2031-03-10");
    assert_eq!(warranty["cover"][1]["panels"], json!(["windscreen"]));

    let verdict = shop.verdict("2026-03-10");
    assert_eq!(verdict["in_force"], true);
    assert!(
        verdict["headline"].as_str().unwrap().contains("in force on paint, glass"),
        "{}",
        verdict["headline"]
    );

    shop.it_is("2026-04-20T09:00:00Z");
    let visit = json!({"vehicle_id": vehicle, "on": "2026-04-06", "odometer": {"value": 2210, "unit": "km"},
                       "services": [{"service": "maintenance wash"}], "note": "No marks."});
    let entered = shop.technician.post("/v1/visits", &visit).created();
    assert_eq!(entered["effects"][0]["effect"], "meets");
    assert_eq!(
        (&entered["effects"][0]["upkeep"], &entered["effects"][0]["number"]),
        (&json!("wash"), &json!(1))
    );
    let slip = json!({"vehicle_id": vehicle, "on": "2026-04-06", "services": [{"service": "inspektion"}]});
    let faults = shop.technician.post("/v1/visits", &slip).faults(422, "rule_broken");
    assert_eq!(faults, [("/services/0/service".into(), "unknown_service".into())]);

    let dues = shop.desk.get("/v1/dues").ok();
    let list = dues["items"].as_array().unwrap();
    assert_eq!((&list[0]["upkeep"], &list[0]["number"]), (&json!("wash"), &json!(2)));
    assert_eq!(
        (&list[0]["vehicle"]["title"], &list[0]["customer"]["name"]),
        (&json!("Corvina Estate"), &json!("Ada Ferro"))
    );
    let dues = shop.desk.get("/v1/dues?status=ahead&upkeep=annual").ok();
    assert_eq!(dues["items"][0]["closes"], "2027-04-09");

    let reading = |km: u32| json!({"on": "2026-04-20", "odometer": {"value": km, "unit": "km"}});
    let path = format!("/v1/vehicles/{vehicle}/readings");
    let refused = shop.technician.post(&path, &reading(2_000)).refused(422, "odometer_implausible");
    assert_eq!(refused["previous"]["odometer"]["value"], 2210);
    shop.technician.post(&path, &reading(3_100)).created();
}

fn what_stops_a_job_is_told_and_a_manager_passes_it(shop: TestShop) {
    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let job = shop.coats(&vehicle);
    let path = format!("/v1/jobs/{job}");
    let coats = shop.technician.get(&format!("{path}/coats")).ok();
    let coat = id(&coats["items"][1]);
    shop.technician
        .change(&format!("{path}/coats/{coat}"), &json!({"batch": "unknown-1", "panels": ["bonnet"]}))
        .ok();
    let checks = shop.technician.get(&format!("{path}/checks")).ok();
    let found: Vec<(String, String)> = checks["items"]
        .as_array()
        .unwrap()
        .iter()
        .map(|item| (item["code"].as_str().unwrap().into(), item["subject"].as_str().unwrap().into()))
        .collect();
    assert_eq!(
        found,
        [
            ("batch_unknown".into(), format!("coat:{coat}")),
            ("coats_missing".into(), "paint/roof/top-10".into()),
        ]
    );
    let refused = shop.technician.post(&format!("{path}/sign-off"), &json!({})).refused(409, "job_has_stops");
    assert_eq!(refused["errors"].as_array().unwrap().len(), 2);
    let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
    shop.desk.post(&format!("{path}/handover"), &handover).refused(409, "job_not_signed_off");

    let pass = |code: &str, subject: &str| json!({"code": code, "subject": subject, "reason": "The bottle was seen."});
    shop.technician
        .post(&format!("{path}/passes"), &pass(&found[0].0, &found[0].1))
        .refused(403, "forbidden");
    shop.manager
        .post(&format!("{path}/passes"), &pass("coats_missing", "paint/boot"))
        .faults(422, "rule_broken");
    for (code, subject) in &found {
        shop.manager.post(&format!("{path}/passes"), &pass(code, subject)).created();
    }
    // A changed coat voids its pass: the finding is another one.
    shop.technician.change(&format!("{path}/coats/{coat}"), &json!({"ml": 12.0, "batch": "unknown-2"})).ok();
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).refused(409, "job_has_stops");
    for (code, subject) in &found {
        shop.manager.post(&format!("{path}/passes"), &pass(code, subject)).created();
    }
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let late = json!({"kind": "dry", "surfaces": ["paint"]});
    shop.technician.post(&format!("{path}/steps"), &late).refused(409, "job_not_open");
    // A coat that was passed is missing all the same.
    let refused = shop.desk.post(&format!("{path}/handover"), &handover).refused(409, "job_falls_short");
    assert_eq!(refused["errors"][0]["code"], "coats_missing");
    let without =
        json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}, "without_warranty": true});
    assert_eq!(shop.desk.post(&format!("{path}/handover"), &without).created()["warranty"], Value::Null);
    shop.desk.post(&format!("{path}/handover"), &without).refused(409, "job_handed_over");
}

fn a_missed_inspection_is_made_good(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2027-05-01T09:00:00Z");
    let cover =
        |verdict: &Value, surface: &str| verdict["warranties"][0]["assessment"]["cover"][surface].clone();
    let verdict = shop.verdict("2027-05-01");
    assert_eq!(cover(&verdict, "paint")["state"], "suspended");
    let today = verdict["today"].as_array().unwrap();
    assert!(
        today
            .iter()
            .any(|one| one["outcome"] == "reinstates" && one["services"] == json!(["reconditioning"])),
        "{today:?}"
    );
    let visit =
        json!({"vehicle_id": vehicle, "on": "2027-05-01", "services": [{"service": "reconditioning"}]});
    let entered = shop.technician.post("/v1/visits", &visit).created();
    assert_eq!(
        (&entered["effects"][0]["effect"], &entered["effects"][0]["number"]),
        (&json!("reinstates"), &json!(1))
    );
    assert_eq!(cover(&shop.verdict("2027-05-01"), "paint")["state"], "in_force");

    // As known before: the reconditioning had not been entered.
    let path = format!("/v1/warranties/{}/assessment", warranty["number"].as_str().unwrap());
    let before = shop.desk.get(&format!("{path}?as_of=2027-05-01&known_at=2027-05-01T08:00:00Z")).ok();
    assert_eq!(before["cover"]["paint"]["state"], "suspended");

    let waiver = json!({"upkeep": "annual", "number": 2, "on": "2027-05-01", "reason": "Laid up."});
    let path = format!("/v1/warranties/{}", id(&warranty));
    shop.desk.post(&format!("{path}/waivers"), &waiver).refused(403, "forbidden");
    let waived = shop.manager.post(&format!("{path}/waivers"), &waiver).created();
    let dues = waived["assessments"][0]["assessment"]["dues"].as_array().unwrap().clone();
    assert!(
        dues.iter().any(|due| due["upkeep"] == "annual" && due["number"] == 2 && due["status"] == "waived")
    );
    let extension =
        json!({"upkeep": "annual", "number": 3, "to": "2029-06-30", "reason": "The shop was full."});
    shop.manager.post(&format!("{path}/extensions"), &extension).created();
    shop.manager.post(&format!("{path}/void"), &json!({"reason": "Issued in error."})).ok();
    shop.manager.post(&format!("{path}/void"), &json!({"reason": "Again."})).refused(409, "warranty_void");
    assert_eq!(shop.verdict("2027-05-01")["warranties"], json!([]));
}

fn a_panel_leaves_cover_and_comes_back(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-06-01T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/events");
    let event = |kind: &str, on: &str| json!({"kind": kind, "on": on, "surface": "paint", "panel": "bonnet"});
    shop.technician.post(&path, &event("repair", "2026-05-01")).created();
    assert_eq!(shop.verdict("2026-05-10")["warranties"][0]["assessment"]["panels"][0]["until"], Value::Null);
    let after = shop.technician.post(&path, &event("recoat", "2026-05-20")).created();
    assert_eq!(after["assessments"][0]["assessment"]["panels"][0]["until"], "2026-05-20");
    let breach = json!({"kind": "breach", "on": "2026-05-25", "key": "abrasive-wash"});
    let entered = shop.technician.post(&path, &breach).created();
    assert_eq!(shop.verdict("2026-06-01")["in_force"], false);
    let unknown = json!({"kind": "breach", "on": "2026-05-25", "key": "brushed"});
    shop.technician.post(&path, &unknown).faults(422, "rule_broken");
    let retract = json!({"kind": "retract", "event": id(&entered), "reason": "Another vehicle."});
    shop.technician.post(&path, &retract).refused(403, "forbidden");
    shop.desk.post(&path, &retract).created();
    assert_eq!(shop.verdict("2026-06-01")["in_force"], true);
    shop.desk.post(&path, &retract).faults(422, "rule_broken");
    let tomorrow = event("repair", "2026-06-02");
    assert_eq!(
        shop.technician.post(&path, &tomorrow).faults(422, "rule_broken"),
        [("/on".into(), "in_the_future".into())]
    );
}

fn a_sale_is_told_or_not(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-07-01T09:00:00Z");
    let path = format!("/v1/vehicles/{vehicle}/transfers");
    let sale = json!({"on": "2026-05-01", "told": null, "customer": {"name": "Bruno Lira"}});
    let sold = shop.desk.post(&path, &sale).created();
    let paint = &sold["assessments"][0]["assessment"]["cover"]["paint"];
    assert_eq!((&paint["state"], &paint["cause"]), (&json!("ended"), &json!("transfer")));
    assert_eq!(paint["last_day"], "2026-05-31");
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    assert_eq!(
        shop.desk.get(&format!("/v1/customers/{}", owner.as_str().unwrap())).ok()["name"],
        "Bruno Lira"
    );
    let retract = json!({"kind": "retract", "event": id(&sold), "reason": "It was told in time."});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &retract).created();
    let told = json!({"on": "2026-05-01", "told": "2026-05-20", "customer_id": owner});
    let sold = shop.desk.post(&path, &told).created();
    assert_eq!(sold["assessments"][0]["assessment"]["cover"]["paint"]["state"], "in_force");
}

fn only_the_desk_and_the_manager_hand_over_and_correct(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let close = json!({"kind": "close", "on": "2026-03-10", "reason": "Written off."});
    shop.technician.post(&format!("/v1/vehicles/{vehicle}/events"), &close).refused(403, "forbidden");
    let neighbour = shop.neighbour();
    for path in [
        format!("/v1/vehicles/{vehicle}"),
        format!("/v1/vehicles/{vehicle}/history"),
        format!("/v1/warranties/{}", id(&warranty)),
        "/v1/warranties/W-2026-0001".into(),
        "/v1/jobs/J-2026-0001".into(),
        format!("/v1/eligibility?vin={VIN}"),
        "/v1/terms/two-coat-five/editions/1".into(),
        "/v1/products/base-30".into(),
    ] {
        neighbour.get(&path).refused(404, "not_found");
    }
    assert_eq!(neighbour.get("/v1/dues").ok()["items"], json!([]));
    // The same vehicle, seen anew by another shop, shows nothing of the first one's.
    let theirs = neighbour.post("/v1/vehicles", &json!({"vin": VIN})).created();
    assert_eq!(id(&theirs), vehicle, "one vehicle in the installation");
    assert_eq!(theirs.get("plate"), None);
    assert_eq!(neighbour.get(&format!("/v1/eligibility?vin={VIN}")).ok()["warranties"], json!([]));
}

fn days_turn_by_themselves_once(mut shop: TestShop) {
    use lustrum::app::ticks::{Did, tick, tick_at};
    shop.delivers();
    let turned = |shop: &TestShop| {
        let did = tick(&shop.app, shop.app.now()).unwrap()?;
        Some(did.iter().filter(|did| matches!(did, Did::Turned { .. })).count())
    };
    let status = |shop: &TestShop| {
        let dues = shop.desk.get("/v1/dues?upkeep=annual").ok();
        dues["items"]
            .as_array()
            .unwrap()
            .iter()
            .map(|due| due["status"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(status(&shop), ["ahead"]);
    // The window closes on 9 April 2027; the day after begins at 23:00 UTC in Lisbon's summer time.
    shop.it_is("2027-04-09T22:59:00Z");
    assert_eq!(turned(&shop), Some(1), "the due has become late since");
    assert_eq!(status(&shop), ["late", "ahead"]);
    shop.it_is("2027-04-09T23:00:00Z");
    assert_eq!(turned(&shop), Some(1));
    assert_eq!(status(&shop), ["missed", "ahead"]);
    assert_eq!(turned(&shop), None, "that minute has been done");
    shop.it_is("2027-04-09T23:01:00Z");
    assert_eq!(turned(&shop), Some(0), "nothing changes by itself any more that day");
    let behind = "2027-04-09T23:00:00Z".parse().unwrap();
    assert!(tick_at(&shop.app, behind).unwrap_err().to_string().contains("last tick"));
    let ahead = "2027-04-10T23:00:00Z".parse().unwrap();
    assert!(tick_at(&shop.app, ahead).unwrap_err().to_string().contains("drill"));
}
