//! Owners are told in time: planned once, checked again before it goes, one mail a day. All names are invented.

use lustrum::app::notices::foreseen;
use lustrum::app::ticks::Did;
use lustrum::core::words::NoticeKind;
use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    the_owner_hears_of_an_inspection_four_times_and_no_more,
    what_was_done_stops_what_was_planned,
    after_an_outage_only_what_is_true_today_is_told,
    a_new_owner_hears_of_it_and_the_old_one_no_more,
    what_falls_together_goes_in_one_mail,
    who_wants_no_mails_gets_none,
    an_extension_is_told_of_anew,
    a_day_can_be_looked_at_ahead,
    nobody_is_written_to_at_night,
    what_matters_less_is_dropped_when_there_are_too_many,
    a_shop_sets_when_it_writes,
    each_owner_is_written_to_in_their_language,
    what_was_done_is_told_to_nobody_whose_vehicle_it_is_no_more,
    what_cannot_be_written_holds_up_no_other_owner,
);

const ADA: &str = "ada@example.org";

impl TestShop {
    /// What was said by now, as `kind state`, oldest first; how to care for what was just coated is told elsewhere.
    fn notices(&self) -> Vec<String> {
        let page = self.desk.get("/v1/notices").ok();
        let said = |notice: &Value| {
            format!("{} {}", notice["kind"].as_str().unwrap(), notice["state"].as_str().unwrap())
        };
        let all = page["items"].as_array().unwrap().iter().rev();
        all.filter(|notice| !["aftercare", "wash-from"].contains(&notice["kind"].as_str().unwrap()))
            .map(said)
            .collect()
    }

    fn subjects(&self) -> Vec<String> {
        self.mails().into_iter().map(|(subject, _)| subject).collect()
    }
}

fn the_owner_hears_of_an_inspection_four_times_and_no_more(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    // Each at nine in Lisbon, which is summer time in the end; a minute before, nothing goes.
    for (before, at) in [
        ("2026-03-10T08:01:00Z", "2026-03-10T08:02:00Z"),
        // 45 days before is a Sunday, on which nobody is written to.
        ("2027-01-24T08:59:00Z", "2027-01-24T18:00:00Z"),
        ("2027-01-25T08:59:00Z", "2027-01-25T09:00:00Z"),
        ("2027-02-24T08:59:00Z", "2027-02-24T09:00:00Z"),
        ("2027-03-26T08:59:00Z", "2027-03-26T09:00:00Z"),
        ("2027-04-10T07:59:00Z", "2027-04-10T08:00:00Z"),
        ("2027-04-10T08:01:00Z", "2027-04-10T09:00:00Z"),
    ] {
        for instant in [before, at] {
            shop.it_is(instant);
            shop.ticks();
        }
    }
    assert_eq!(
        shop.subjects(),
        [
            "Corvina Estate, QC-417: care for the first days, from 10 March 2026 (and 1 more)",
            "Corvina Estate, QC-417: inspection or reconditioning due on 10 March 2027",
            "Corvina Estate, QC-417: inspection or reconditioning due on 10 March 2027",
            "Corvina Estate, QC-417: last call for inspection or reconditioning, by 9 April 2027",
            "Corvina Estate, QC-417: inspection or reconditioning missed, since 10 April 2027",
        ]
    );
    assert!(shop.mails().iter().all(|(_, to)| to == ADA));
    let sent = shop.desk.get("/v1/notices?state=sent&limit=1").ok();
    let missed = &sent["items"][0];
    assert_eq!((&missed["kind"], &missed["attempts"]), (&json!("missed"), &json!(1)));
    assert_eq!(
        (&missed["planned_for"], &missed["sent_at"]),
        (&json!("2027-04-10T08:00:00Z"), &json!("2027-04-10T08:00:00Z"))
    );
    assert_eq!(
        (&missed["customer"]["name"], &missed["vehicle"]["id"]),
        (&json!("Ada Ferro"), &json!(vehicle))
    );
    let text = String::from_utf8(shop.app.mailer.kept()[4].bytes.clone()).unwrap();
    assert!(text.contains("on hold"), "the terms' own consequence: {text}");
    assert_eq!(shop.desk.get("/v1/notices?state=planned&state=queued").ok()["items"], json!([]));
    let faults = shop.desk.get("/v1/notices?state=posted").faults(400, "malformed");
    assert_eq!(faults[0].0, "state");
    assert_eq!(shop.neighbour().get("/v1/notices").ok()["items"], json!([]));
}

fn what_was_done_stops_what_was_planned(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2027-01-25T08:30:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record sent", "upcoming planned"]);
    let visit = json!({"vehicle_id": vehicle, "on": "2027-01-25", "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record sent", "upcoming stale", "record sent"]);
    let stale = shop.desk.get("/v1/notices?state=stale").ok();
    assert_eq!(stale["items"][0]["because"], "the service was done or waived");
    for day in ["2027-02-24", "2027-03-26", "2027-04-10"] {
        shop.it_is(&format!("{day}T09:00:00Z"));
        shop.ticks();
    }
    assert_eq!(shop.subjects().len(), 2, "{:?}", shop.subjects());
    assert_eq!(shop.subjects()[1], "Corvina Estate, QC-417: what we did on your visit, 25 January 2027");
}

fn after_an_outage_only_what_is_true_today_is_told(mut shop: TestShop) {
    shop.delivers();
    shop.it_is("2026-03-10T08:05:00Z");
    shop.ticks();
    // Nobody ran from March 2026 to the end of March 2027: two mails of upcoming are over, the last call is true.
    shop.it_is("2027-03-30T16:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record sent", "last-call sent"]);
    shop.it_is("2027-03-31T16:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices().len(), 2);
}

fn a_new_owner_hears_of_it_and_the_old_one_no_more(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    let sale = json!({"on": "2027-01-25", "customer": {"name": "Bruno Lira", "email": "bruno@example.org"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    shop.it_is("2027-02-24T09:00:00Z");
    shop.ticks();
    let to: Vec<String> = shop.mails().into_iter().map(|(_, to)| to).collect();
    // What was true on the day of the sale is told to both: it is the new one's affair from then on.
    assert_eq!(to, [ADA, ADA, "bruno@example.org"], "{:?}", shop.mails());
}

fn what_falls_together_goes_in_one_mail(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    shop.delivers_another(owner.as_str().unwrap(), "QC-418");
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    assert_eq!(shop.subjects().len(), 1, "the second handover was to send none");
    shop.it_is("2027-02-24T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.subjects().len(), 2);
    assert!(shop.subjects()[1].ends_with("due on 10 March 2027 (and 1 more)"), "{}", shop.subjects()[1]);
    assert_eq!(shop.notices(), ["record sent", "upcoming sent", "upcoming sent"]);

    // One mail about upkeep a day: what comes up later on the same day goes on the next.
    shop.delivers_another(owner.as_str().unwrap(), "QC-419");
    shop.it_is("2027-02-24T10:00:00Z");
    let did = shop.ticks();
    assert!(did.iter().any(|did| matches!(did, Did::Unsent(_))), "{did:?}");
    assert_eq!(shop.subjects().len(), 2);
    shop.it_is("2027-02-25T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.subjects()[2], "Aurel Vento, QC-419: inspection or reconditioning due on 10 March 2027");
}

fn who_wants_no_mails_gets_none(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let path = format!("/v1/customers/{}", owner.as_str().unwrap());
    shop.desk.change(&path, &json!({"mail": {"upkeep": false, "history": false}})).ok();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record suppressed"]);
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record suppressed"]);
    // Changed their mind: what is true then is told.
    shop.desk.change(&path, &json!({"mail": {"upkeep": true, "history": true}})).ok();
    shop.it_is("2027-01-25T09:01:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record suppressed", "upcoming sent"]);
    // A dealer's stock is no owner.
    let stock = json!({"name": "Harbour Motors (stock)", "kind": "stock", "email": "yard@example.org"});
    let stock = id(&shop.desk.post("/v1/customers", &stock).created());
    let vehicle = json!({"plate": "ST-1", "customer_id": stock});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let visit =
        json!({"vehicle_id": vehicle, "on": "2027-01-25", "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &visit).created();
    assert_eq!(shop.notices().len(), 2);
}

fn an_extension_is_told_of_anew(mut shop: TestShop) {
    let (_, warranty) = shop.delivers();
    shop.it_is("2027-03-26T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record sent", "last-call sent"]);
    let extension =
        json!({"upkeep": "annual", "number": 1, "to": "2027-05-31", "reason": "The shop was full."});
    shop.manager.post(&format!("/v1/warranties/{}/extensions", id(&warranty)), &extension).created();
    shop.it_is("2027-05-17T09:00:00Z");
    shop.ticks();
    let last = shop.subjects().pop().unwrap();
    assert_eq!(last, "Corvina Estate, QC-417: last call for inspection or reconditioning, by 31 May 2027");
}

fn a_day_can_be_looked_at_ahead(shop: TestShop) {
    shop.delivers();
    let on = |day: &str| foreseen::on(&shop.app, day.parse().unwrap()).unwrap();
    let today = on("2026-03-10");
    assert_eq!(
        today.iter().map(|one| one.kind).collect::<Vec<_>>(),
        [NoticeKind::Aftercare, NoticeKind::Record]
    );
    let foreseen = on("2027-01-25");
    assert_eq!(foreseen.len(), 1, "{foreseen:?}");
    assert_eq!((foreseen[0].kind, foreseen[0].customer.as_str()), (NoticeKind::Upcoming, "Ada Ferro"));
    assert_eq!(foreseen[0].because, "annual number 1: 45 days before it is due");
    assert_eq!(foreseen[0].planned_for.to_rfc3339(), "2027-01-25T09:00:00+00:00");
    assert_eq!((on("2027-01-24"), on("2027-01-26")), (vec![], vec![]));
    assert_eq!(on("2027-04-10")[0].kind, NoticeKind::Missed);
    // Looking writes nothing.
    assert_eq!(shop.notices(), ["record planned"]);
}

fn nobody_is_written_to_at_night(mut shop: TestShop) {
    shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    // Back after an outage at ten in the evening of Lisbon.
    shop.it_is("2027-03-30T21:00:00Z");
    let did = shop.ticks();
    assert!(did.iter().any(|did| matches!(did, Did::Unsent(_))), "{did:?}");
    assert_eq!(shop.notices(), ["record sent", "last-call planned"]);
    let planned = shop.desk.get("/v1/notices?state=planned").ok();
    assert_eq!(planned["items"][0]["planned_for"], "2027-03-31T08:00:00Z");
    shop.it_is("2027-03-31T07:59:00Z");
    shop.ticks();
    assert_eq!(shop.subjects().len(), 1);
    shop.it_is("2027-03-31T08:00:00Z");
    shop.ticks();
    assert_eq!(shop.notices(), ["record sent", "last-call sent"]);
}

fn what_matters_less_is_dropped_when_there_are_too_many(mut shop: TestShop) {
    shop.manager.change("/v1/shop", &json!({"upkeep_mails_a_year": 2})).ok();
    shop.delivers();
    for day in ["2026-03-10", "2027-01-25", "2027-02-24", "2027-03-26", "2027-04-10"] {
        shop.it_is(&format!("{day}T09:00:00Z"));
        shop.ticks();
    }
    // The second mail of the year is kept for what comes if nobody comes.
    let told = ["record sent", "upcoming sent", "upcoming dropped", "last-call dropped", "missed sent"];
    assert_eq!(shop.notices(), told);
    let dropped = shop.desk.get("/v1/notices?state=dropped").ok();
    let because = dropped["items"][0]["because"].as_str().unwrap();
    assert!(
        because
            .starts_with("of the 2 mails about upkeep that there may be within a year the owner has had 1"),
        "{because}"
    );
    assert_eq!(shop.subjects().len(), 3);
}

fn a_shop_sets_when_it_writes(mut shop: TestShop) {
    let known = shop.manager.get("/v1/shop").ok();
    assert_eq!(
        (&known["quiet_from"], &known["quiet_until"], &known["quiet_days"], &known["upkeep_mails_a_year"]),
        (&json!("20:00"), &json!("08:00"), &json!(["sun"]), &json!(6))
    );
    let every_day = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    for (change, pointer, code) in [
        (json!({"quiet_from": "24:00"}), "/quiet_from", "not_a_time"),
        (json!({"quiet_until": "8:00"}), "/quiet_until", "not_a_time"),
        (json!({"quiet_days": every_day}), "/quiet_days", "out_of_range"),
        (json!({"quiet_days": ["sat", "sat"]}), "/quiet_days", "out_of_range"),
        (json!({"upkeep_mails_a_year": 0}), "/upkeep_mails_a_year", "out_of_range"),
    ] {
        let faults = shop.manager.change("/v1/shop", &change).faults(422, "rule_broken");
        assert_eq!(faults, [(pointer.to_owned(), code.to_owned())]);
    }
    // A shop that writes on Sundays, at seven in the morning.
    let change = json!({"quiet_days": [], "quiet_until": "06:00", "mail_at": "07:00"});
    shop.manager.change("/v1/shop", &change).ok();
    shop.delivers();
    for at in ["2026-03-10T08:01:00Z", "2027-01-24T07:00:00Z"] {
        shop.it_is(at);
        shop.ticks();
    }
    assert_eq!(shop.notices(), ["record sent", "upcoming sent"]);
}

fn each_owner_is_written_to_in_their_language(mut shop: TestShop) {
    // The shop writes French unless an owner says otherwise; what nobody here speaks falls back to it.
    shop.manager.change("/v1/shop", &json!({"language": "fr-BE"})).ok();
    let (vehicle, _) = shop.delivers();
    let owner = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let path = format!("/v1/customers/{}", owner.as_str().unwrap());
    shop.desk.change(&path, &json!({"language": "nl"})).ok();
    shop.it_is("2026-03-10T08:02:00Z");
    shop.ticks();
    let gone =
        "Corvina Estate, QC-417\u{a0}: soins des premiers jours, à partir du 10 mars 2026 (et un autre avis)";
    assert_eq!(shop.subjects(), [gone]);
    shop.desk.change(&path, &json!({"language": "de-AT"})).ok();
    for at in ["2027-01-25T09:00:00Z", "2027-04-12T08:00:00Z"] {
        shop.it_is(at);
        shop.ticks();
    }
    let subjects = [
        "Corvina Estate, QC-417: Inspektion oder Aufbereitung fällig am 10. März 2027",
        "Corvina Estate, QC-417: Inspektion oder Aufbereitung versäumt seit 10. April 2027",
    ];
    assert_eq!(shop.subjects()[1..], subjects);
    let mails = shop.app.mailer.kept();
    let read = mail_parser::MessageParser::default().parse(&mails[2].bytes).unwrap();
    assert_eq!(read.header_raw("Content-Language").map(str::trim), Some("de"));
    let text = read.body_text(0).unwrap();
    let cost = "Der Garantieschutz für Lack";
    assert!(text.contains(cost) && text.contains("ruht seit dem 10. April 2027"), "{text}");
    // The desk sees the subjects that the owner sees.
    let items = shop.desk.get("/v1/notices?state=sent").ok()["items"].clone();
    let listed: Vec<&str> =
        items.as_array().unwrap().iter().map(|it| it["subject"].as_str().unwrap()).collect();
    assert_eq!(listed[..2], [subjects[1], subjects[0]]);
    assert_eq!(mails[2].sender, "lustrum@localhost", "the return path is the address that mails come from");
}

fn what_was_done_is_told_to_nobody_whose_vehicle_it_is_no_more(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let record = shop.desk.get("/v1/notices").ok()["items"].as_array().unwrap().clone();
    let record = record.iter().find(|notice| notice["kind"] == "record").unwrap();
    shop.it_is("2027-01-11T10:00:00Z");
    let sale = json!({"on": "2027-01-11", "customer": {"name": "Bruno Lira", "email": "bruno@example.org"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    // A copy for who had it: it would say how the vehicle of somebody else is covered today.
    let again = shop.desk.post(&format!("/v1/notices/{}/resend", id(record)), &json!({})).created();
    shop.it_is("2027-01-11T10:01:00Z");
    shop.ticks();
    let again = shop.desk.get(&format!("/v1/notices/{}", id(&again))).ok();
    assert_eq!(
        (&again["state"], &again["because"]),
        (&json!("stale"), &json!("the vehicle has another owner now"))
    );
    assert_eq!(shop.mails().iter().filter(|(_, to)| to == ADA).count(), 1);
}

fn what_cannot_be_written_holds_up_no_other_owner(mut shop: TestShop) {
    shop.delivers();
    // Something that should not be: what the mail tells of is gone.
    let nothing = r#"{"record": {"handover": "00000000-0000-7000-8000-000000000000"}}"#;
    shop.database.execute(&format!("UPDATE notices SET about = '{nothing}' WHERE kind = 'record'"));
    let other = shop.adds_customer("Bruno Lira", "bruno@example.org");
    let vehicle =
        id(&shop.desk.post("/v1/vehicles", &json!({"plate": "BL-1", "customer_id": other})).created());
    let visit =
        json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let to: Vec<String> = shop.mails().into_iter().map(|(_, to)| to).collect();
    assert_eq!(to, ["bruno@example.org"]);
}
