//! Three days without power: nothing that was to be said is lost, and each mail is true on the day on which it goes.
//! All names are invented.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(after_three_days_in_the_dark_each_mail_is_true_today);

/// Terms with an inspection a year after the start, a month on either side.
fn terms() -> Value {
    json!([{"key": "annual", "service": "inspection", "by": "shop", "counted_from": "start", "every": {"years": 1},
            "early": {"days": 60}, "late": {"days": 30},
            "if_missed": {"effect": "suspend", "with": "reconditioning", "make_good_within": {"days": 30}}}])
}

impl TestShop {
    /// Somebody's vehicle, with a warranty that begins on this day; answers vehicle and warranty.
    fn protects(&mut self, name: &str, plate: &str, on: &str) -> (String, String) {
        self.it_is(&format!("{on}T10:00:00Z"));
        let email = format!("{}@owners.example", name.to_lowercase());
        let owner = self.adds_customer(name, &email);
        let vehicle =
            id(&self.desk.post("/v1/vehicles", &json!({"plate": plate, "customer_id": owner})).created());
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 12, "unit": "km"}, "terms": {"code": "dark-days"},
                         "panels": {"paint": ["bonnet"]}, "started_at": format!("{on}T06:00:00Z")});
        let job = format!("/v1/jobs/{}", id(&self.technician.post("/v1/jobs", &job).created()));
        let coat = json!({"surface": "paint", "panels": ["bonnet"], "product": "base-30", "batch": "0417",
                          "started_at": format!("{on}T07:00:00Z"), "ended_at": format!("{on}T07:30:00Z")});
        self.technician.post(&format!("{job}/coats"), &coat).created();
        let climate = json!({"at": format!("{on}T07:00:00Z"), "air_c": 20, "rh_pct": 50, "surface_c": 20, "place": "bay"});
        self.technician.post(&format!("{job}/climate"), &climate).created();
        for check in self.technician.get(&format!("{job}/checks")).ok()["items"].as_array().unwrap() {
            if check["severity"] == "stops" {
                let pass = json!({"code": check["code"], "subject": check["subject"], "reason": "An invented story."});
                self.manager.post(&format!("{job}/passes"), &pass).created();
            }
        }
        self.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
        let handover = json!({"on": on, "odometer": {"value": 12, "unit": "km"}});
        let handed = self.desk.post(&format!("{job}/handover"), &handover).created();
        self.ticks();
        (vehicle, handed["warranty"]["id"].as_str().unwrap().to_owned())
    }

    fn books_in(&self, vehicle: &str, at: &str) {
        self.desk.post("/v1/appointments", &json!({"vehicle_id": vehicle, "at": at})).created();
    }
}

/// Whom each mail went to, with its subject and what it says, of those after the first `before`.
fn told(shop: &TestShop, before: usize) -> Vec<(String, String)> {
    let mails = shop.app.mailer.kept();
    let mut told: Vec<(String, String)> = mails[before..]
        .iter()
        .map(|mail| {
            let read = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
            let text = read.body_text(0).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
            (mail.recipient.clone(), format!("{} | {text}", read.subject().unwrap()))
        })
        .collect();
    told.sort();
    told
}

fn after_three_days_in_the_dark_each_mail_is_true_today(mut shop: TestShop) {
    let cure = json!({
        "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
        "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168}, {"name": "full cure", "h": 336}],
    });
    let sheet = json!({"surfaces": ["paint"], "cure": cure});
    let product = json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": sheet});
    shop.manager.post("/v1/products", &product).created();
    shop.technician.post("/v1/batches", &json!({"product": "base-30", "number": "0417"})).created();
    shop.publishes("dark-days", &terms(), &json!({}));

    // Dark from Tuesday 16 March 2027 at six in the evening to Friday 19 March at six. In these days
    // the window of Cid closed, on the 17th, and nobody came;
    let (_, cid) = shop.protects("Cid", "QC-3", "2026-02-15");
    // Bea was to be called for the last time, on the 18th: her window closes on 1 April;
    shop.protects("Bea", "QC-2", "2026-03-02");
    // the inspection of Ada, due on the 31st, came within fourteen days, on the 17th;
    shop.protects("Ada", "QC-1", "2026-03-31");
    // Dov was to come on the 18th, and to be reminded the day before; Eva comes on Saturday the 20th;
    let (dov, _) = shop.protects("Dov", "QC-4", "2026-04-02");
    let (eva, _) = shop.protects("Eva", "QC-5", "2026-04-03");
    // and the first wash of Fay became safe on the 17th.
    shop.it_is("2027-03-08T10:00:00Z");
    shop.ticks();
    shop.books_in(&dov, "2027-03-18T10:00:00Z");
    shop.books_in(&eva, "2027-03-20T10:00:00Z");
    shop.ticks();
    shop.protects("Fay", "QC-6", "2027-03-10");
    for day in 11..=16 {
        shop.it_is(&format!("2027-03-{day}T17:59:00Z"));
        shop.ticks();
    }
    let before = shop.app.mailer.kept().len();

    shop.it_is("2027-03-19T18:00:00Z");
    shop.ticks();
    let told = told(&shop, before);
    let subjects: Vec<(&str, &str)> =
        told.iter().map(|(to, text)| (to.as_str(), text.split(" | ").next().unwrap())).collect();
    let expected = [
        ("ada@owners.example", "QC-1: inspection due on 31 March 2027"),
        ("bea@owners.example", "QC-2: last call for inspection, by 1 April 2027"),
        ("cid@owners.example", "QC-3: inspection missed, since 18 March 2027"),
        ("dov@owners.example", "QC-4: inspection due on 2 April 2027"),
        ("eva@owners.example", "QC-5: we expect you on 20 March 2027"),
        ("fay@owners.example", "QC-6: you can wash it from 17 March 2027"),
    ];
    assert_eq!(subjects, expected);
    let said = |to: &str| &told.iter().find(|(recipient, _)| recipient.starts_with(to)).unwrap().1;
    // What is true tonight: the last day of Bea is ahead, that of Cid was two days ago and holds up cover since; Dov was to
    // come yesterday, of which nothing is to be reminded; Eva comes tomorrow.
    assert!(said("bea").contains("The last day on which it counts is 1 April 2027."));
    assert!(said("cid").contains("Cover on paint is on hold from 18 March 2027."));
    assert!(said("cid").contains("The last day for that is 17 April 2027"));
    let cid = shop.manager.get(&format!("/v1/warranties/{cid}/assessment")).ok();
    assert_eq!(cid["cover"]["paint"]["state"], "suspended", "{cid}");
    assert!(!said("dov").contains("appointment") && !said("dov").contains("18 March"), "{}", said("dov"));
    assert!(said("eva").contains("Day: 20 March 2027 at 10:00"));
    assert!(said("fay").contains("you can wash your vehicle from 17 March 2027 on"));
    // No mail counts days from one on which it did not go.
    assert!(told.iter().all(|(_, text)| !text.contains("in 14 days") && !text.contains("tomorrow")));

    // Told once: that night and the morning after bring nothing of it again.
    let before = shop.app.mailer.kept().len();
    for hour in ["19T18:01", "19T20:30", "20T09:00"] {
        shop.it_is(&format!("2027-03-{hour}:00Z"));
        shop.ticks();
    }
    let again = self::told(&shop, before);
    assert_eq!(again, [], "nothing is told again");
}
