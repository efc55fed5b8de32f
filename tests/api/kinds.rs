//! What owners are told besides dues: care, booked days, seasons, cover that ends or changes; and what the shop sees of it
//! ahead. All names are invented.

use lustrum::core::ids::Digest;
use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    care_is_told_at_handover_and_when_the_first_wash_is_safe,
    what_takes_water_by_now_is_not_to_be_kept_dry,
    a_first_look_is_asked_for_where_the_shop_offers_it,
    a_booked_day_is_confirmed_and_reminded_of,
    the_season_is_told_once,
    a_season_that_the_shop_stopped_is_not_ahead_any_more,
    cover_that_ends_is_told_of_sixty_days_before,
    what_changes_cover_is_told_with_its_reason,
    a_recalled_batch_is_told_to_each_owner,
    the_shop_sees_reads_stops_and_repeats_what_is_ahead,
    a_season_has_a_month_of_its_own,
);

impl TestShop {
    /// What was planned by now of these kinds, as `kind state`, oldest first.
    fn told(&self, kinds: &[&str]) -> Vec<String> {
        let page = self.desk.get("/v1/notices?limit=200").ok();
        let all = page["items"].as_array().unwrap().iter().rev();
        let fitting = all.filter(|notice| kinds.contains(&notice["kind"].as_str().unwrap()));
        fitting
            .map(|notice| {
                format!("{} {}", notice["kind"].as_str().unwrap(), notice["state"].as_str().unwrap())
            })
            .collect()
    }

    fn now_it_is(&mut self, at: &str) {
        self.it_is(at);
        self.ticks();
    }

    /// The text of the last mail.
    fn last_said(&self) -> String {
        let mail = self.app.mailer.kept().pop().expect("a mail");
        let parsed = mail_parser::MessageParser::default().parse(&mail.bytes).expect("a mail");
        format!("{}\n{}", parsed.subject().unwrap(), parsed.body_text(0).unwrap())
    }

    /// Ada's vehicle, coated with what cures and handed over; answers vehicle, job and warranty.
    fn hands_over_what_cures(&self) -> (String, String, String) {
        let held = json!({"effect": "suspend", "with": "reconditioning", "make_good_within": {"days": 30}});
        self.hands_over_where_a_miss(&held)
    }

    /// The same, with what a missed inspection does.
    fn hands_over_where_a_miss(&self, does: &Value) -> (String, String, String) {
        let cure = json!({
            "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
            "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168},
                           {"name": "full cure", "h": 336}],
        });
        let product = json!({"code": "base-30", "title": "Base 30", "role": "coating",
                             "sheet": {"surfaces": ["paint"], "cure": cure}});
        self.manager.post("/v1/products", &product).created();
        self.technician.post("/v1/batches", &json!({"product": "base-30", "number": "0417"})).created();
        let more = json!({"repair": {"restores": true, "recoat_within": {"days": 90}},
                          "transfer": {"allowed": true, "tell_within": {"days": 30}, "owners": 2},
                          "breaches": [{"key": "brush-wash", "effect": "suspend", "with": "reconditioning",
                                        "make_good_within": {"days": 30}}]});
        self.publishes("five-years", &json!([annual(does)]), &more);
        let owner = self.adds_customer("Ada Ferro", "ada@example.org");
        let vehicle = self.adds_vehicle("QC-417");
        self.desk.change(&format!("/v1/vehicles/{vehicle}"), &json!({"customer_id": owner})).ok();
        let job = json!({"vehicle_id": vehicle, "odometer": {"value": 12, "unit": "km"},
                         "terms": {"code": "five-years"}, "started_at": "2026-03-10T04:00:00Z"});
        let job = format!("/v1/jobs/{}", id(&self.technician.post("/v1/jobs", &job).created()));
        let coat = json!({"surface": "paint", "panels": ["bonnet", "roof"], "product": "base-30", "batch": "0417",
                          "started_at": "2026-03-10T06:00:00Z", "ended_at": "2026-03-10T06:30:00Z"});
        self.technician.post(&format!("{job}/coats"), &coat).created();
        let reading =
            json!({"at": "2026-03-10T06:00:00Z", "air_c": 20, "rh_pct": 50, "surface_c": 20, "place": "bay"});
        self.technician.post(&format!("{job}/climate"), &reading).created();
        for check in self.technician.get(&format!("{job}/checks")).ok()["items"].as_array().unwrap() {
            if check["severity"] == "stops" {
                let pass = json!({"code": check["code"], "subject": check["subject"], "reason": "An invented story."});
                self.manager.post(&format!("{job}/passes"), &pass).created();
            }
        }
        self.technician.post(&format!("{job}/sign-off"), &json!({})).ok();
        let handover = json!({"on": "2026-03-10", "odometer": {"value": 12, "unit": "km"}});
        let handed = self.desk.post(&format!("{job}/handover"), &handover).created();
        let warranty = handed["warranty"]["id"].as_str().unwrap().to_owned();
        (vehicle, job, warranty)
    }
}

fn annual(if_missed: &Value) -> Value {
    json!({"key": "annual", "service": "inspection", "by": "shop", "counted_from": "start", "every": {"years": 1},
           "early": {"days": 60}, "late": {"days": 30}, "if_missed": if_missed})
}

fn care_is_told_at_handover_and_when_the_first_wash_is_safe(mut shop: TestShop) {
    shop.hands_over_what_cures();
    shop.now_it_is("2026-03-10T08:05:00Z");
    assert_eq!(shop.told(&["record", "aftercare"]), ["record sent", "aftercare sent"]);
    assert_eq!(shop.mails().len(), 1, "in one mail");
    let said = shop.last_said();
    // Coated at six, twelve hours at the reference: until six in the evening, by Lisbon's clock in winter.
    assert!(said.contains("10 March 2026") && said.contains("18:00"), "{said}");
    assert!(said.contains("Keep it dry until"), "{said}");
    assert_eq!(said.matches("Safety data sheets of what was used (Base 30)").count(), 1, "said once: {said}");
    // A week at the reference from six in the morning of 10 March: safe on the 17th at six, told at nine.
    assert_eq!(shop.told(&["wash-from"]), ["wash-from planned"]);
    shop.now_it_is("2026-03-17T08:59:00Z");
    assert_eq!(shop.told(&["wash-from"]), ["wash-from planned"]);
    shop.now_it_is("2026-03-17T09:00:00Z");
    assert_eq!(shop.told(&["wash-from"]), ["wash-from sent"]);
    assert!(shop.last_said().contains("17 March 2026"), "{}", shop.last_said());
    assert_eq!(shop.told(&["first-look"]), [""; 0], "the shop does not offer it");
}

fn what_takes_water_by_now_is_not_to_be_kept_dry(mut shop: TestShop) {
    shop.hands_over_what_cures();
    // The tick comes late: twelve hours at the reference are over.
    shop.now_it_is("2026-03-10T19:00:00Z");
    let said = shop.last_said();
    assert!(said.contains("First wash from") && !said.contains("Keep it dry"), "{said}");
}

fn a_first_look_is_asked_for_where_the_shop_offers_it(mut shop: TestShop) {
    shop.manager.change("/v1/shop", &json!({"first_look": true})).ok();
    let (vehicle, ..) = shop.hands_over_what_cures();
    shop.now_it_is("2026-03-10T08:05:00Z");
    let planned = shop.desk.get("/v1/notices?state=planned").ok();
    let look = planned["items"].as_array().unwrap().iter().find(|one| one["kind"] == "first-look").unwrap();
    // Three weeks later; Lisbon is on summer time by then.
    assert_eq!(look["planned_for"], "2026-03-31T08:00:00Z");
    // Here before: nobody is asked to come.
    shop.now_it_is("2026-03-20T10:00:00Z");
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-20", "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.now_it_is("2026-03-31T08:00:00Z");
    assert_eq!(shop.told(&["first-look"]), ["first-look stale"]);
}

fn a_booked_day_is_confirmed_and_reminded_of(mut shop: TestShop) {
    let (vehicle, ..) = shop.hands_over_what_cures();
    shop.manager.change("/v1/shop", &json!({"address": "Cais 4, Porto Novo (invented)"})).ok();
    shop.now_it_is("2026-03-12T10:00:00Z");
    let booked = json!({"vehicle_id": vehicle, "at": "2026-04-15T09:30:00Z"});
    let booked = format!("/v1/appointments/{}", id(&shop.desk.post("/v1/appointments", &booked).created()));
    shop.now_it_is("2026-03-12T10:01:00Z");
    assert_eq!(shop.told(&["booked"]), ["booked sent", "booked planned"]);
    let said = shop.last_said();
    assert!(said.contains("15 April 2026") && said.contains("10:30") && said.contains("Cais 4"), "{said}");
    // Moved: said anew, and the reminder of the day before falls away.
    shop.desk.change(&booked, &json!({"at": "2026-04-22T09:30:00Z"})).ok();
    shop.now_it_is("2026-04-13T08:00:00Z");
    assert_eq!(shop.told(&["booked"]), ["booked sent", "booked stale", "booked sent", "booked planned"]);
    shop.now_it_is("2026-04-20T08:00:00Z");
    assert_eq!(shop.told(&["booked"])[3], "booked sent");
    // Booked for tomorrow: confirmed, not reminded of as well.
    shop.desk.change(&booked, &json!({"at": "2026-04-21T09:30:00Z"})).ok();
    shop.now_it_is("2026-04-20T08:01:00Z");
    assert_eq!(shop.told(&["booked"]).len(), 5);
    shop.desk.change(&booked, &json!({"state": "cancelled"})).ok();
    shop.now_it_is("2026-04-20T08:02:00Z");
    assert_eq!(shop.told(&["booked"]).len(), 5);
}

fn the_season_is_told_once(mut shop: TestShop) {
    shop.hands_over_where_a_miss(&json!({"effect": "note"}));
    shop.manager.change("/v1/shop", &json!({"winter_month": 10})).ok();
    shop.now_it_is("2026-09-30T20:00:00Z");
    assert_eq!(shop.told(&["season"]), [""; 0]);
    for at in ["2026-10-01T00:00:00Z", "2026-10-01T08:00:00Z", "2026-10-01T08:15:00Z", "2026-10-02T08:00:00Z"]
    {
        shop.now_it_is(at);
    }
    assert_eq!(shop.told(&["season"]), ["season sent"]);
    shop.now_it_is("2027-10-01T08:00:00Z");
    assert_eq!(shop.told(&["season"]).len(), 2);
}

fn a_season_that_the_shop_stopped_is_not_ahead_any_more(mut shop: TestShop) {
    shop.hands_over_where_a_miss(&json!({"effect": "note"}));
    shop.manager.change("/v1/shop", &json!({"winter_month": 10})).ok();
    shop.now_it_is("2026-09-10T10:00:00Z");
    let ahead = || shop.desk.get("/v1/notices?state=planned").ok()["items"].as_array().unwrap().clone();
    let [season] = &ahead()[..] else { panic!("{:?}", ahead()) };
    assert_eq!((&season["kind"], &season["planned_for"]), (&json!("season"), &json!("2026-10-01T08:00:00Z")));
    let stopped = shop.desk.post(&format!("/v1/notices/{}/cancel", id(season)), &json!({})).ok();
    assert_eq!(ahead(), [Value::Null; 0], "it is stopped, and lies ahead no more");
    // Sent again after all: not at once, but on its day.
    let again = shop.desk.post(&format!("/v1/notices/{}/resend", id(&stopped)), &json!({})).created();
    assert_eq!((&again["state"], &again["planned_for"]), (&json!("planned"), &json!("2026-10-01T08:00:00Z")));
    shop.now_it_is("2026-09-10T10:01:00Z");
    assert_eq!(shop.told(&["season"]), ["season cancelled", "season planned"]);
    for at in ["2026-10-01T08:00:00Z", "2026-10-02T08:00:00Z"] {
        shop.now_it_is(at);
    }
    assert_eq!(shop.told(&["season"]), ["season cancelled", "season sent"]);
}

fn cover_that_ends_is_told_of_sixty_days_before(mut shop: TestShop) {
    let (_, _, warranty) = shop.hands_over_where_a_miss(&json!({"effect": "note"}));
    let assessment = shop.desk.get(&format!("/v1/warranties/{warranty}/assessment")).ok();
    let last: chrono::NaiveDate = assessment["cover"]["paint"]["last_day"].as_str().unwrap().parse().unwrap();
    for at in [last - chrono::Days::new(61), last - chrono::Days::new(60), last - chrono::Days::new(59)] {
        shop.now_it_is(&format!("{at}T12:00:00Z"));
        let ending = shop.told(&["ending"]);
        assert_eq!(ending.len(), usize::from(at + chrono::Days::new(60) >= last), "{at}: {ending:?}");
    }
}

fn what_changes_cover_is_told_with_its_reason(mut shop: TestShop) {
    let (vehicle, ..) = shop.hands_over_what_cures();
    shop.now_it_is("2026-06-10T10:00:00Z");
    let events = format!("/v1/vehicles/{vehicle}/events");
    let repair = json!({"kind": "repair", "on": "2026-06-09", "surface": "paint", "panel": "bonnet"});
    let repair = id(&shop.technician.post(&events, &repair).created());
    shop.now_it_is("2026-06-10T10:01:00Z");
    assert_eq!(shop.told(&["changed"]), ["changed sent"]);
    assert!(shop.last_said().contains("bonnet"), "{}", shop.last_said());
    // Entered by mistake, and taken back before anything goes out: nothing is told that is not so.
    let again = json!({"kind": "repair", "on": "2026-06-09", "surface": "paint", "panel": "roof"});
    let again = id(&shop.technician.post(&events, &again).created());
    let back = json!({"kind": "retract", "event": again, "reason": "Another vehicle."});
    shop.desk.post(&events, &back).created();
    shop.now_it_is("2026-06-10T10:02:00Z");
    let told = shop.told(&["changed"]);
    assert_eq!(told[1], "changed stale", "{told:?}");
    assert_ne!(repair, again);
    let recoat = json!({"kind": "recoat", "on": "2026-06-10", "surface": "paint", "panel": "bonnet"});
    shop.technician.post(&events, &recoat).created();
    shop.now_it_is("2026-06-10T10:03:00Z");
    assert!(shop.last_said().contains("bonnet"), "{}", shop.last_said());
    // On hold: for what, and what brings it back; back again: by what.
    let breach = json!({"kind": "breach", "on": "2026-06-10", "key": "brush-wash"});
    shop.technician.post(&events, &breach).created();
    let held = "Entered for 10 June 2026: brush wash.";
    shop.now_it_is("2026-06-10T10:04:00Z");
    let said = shop.last_said();
    assert!(said.contains(held) && said.contains("this is done: reconditioning."), "{said}");
    assert!(!said.contains("Ask us what"), "{said}");
    let visit =
        json!({"vehicle_id": vehicle, "on": "2026-06-10", "services": [{"service": "reconditioning"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.now_it_is("2026-06-10T10:05:00Z");
    let said = shop.last_said();
    assert!(said.contains("What brought it back: reconditioning."), "{said}");
    // Sold: the new owner hears what goes with the vehicle.
    let sale = json!({"on": "2026-06-10", "customer": {"name": "Bruno Lira", "email": "bruno@example.org"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    shop.now_it_is("2026-06-10T10:06:00Z");
    assert_eq!(shop.mails().last().unwrap().1, "bruno@example.org");
}

fn a_recalled_batch_is_told_to_each_owner(mut shop: TestShop) {
    shop.hands_over_what_cures();
    shop.now_it_is("2026-06-10T10:00:00Z");
    let batch = shop.desk.get("/v1/batches").ok()["items"][0]["id"].as_str().unwrap().to_owned();
    let path = format!("/v1/batches/{batch}");
    shop.manager.change(&path, &json!({"state": "recalled"})).ok();
    shop.now_it_is("2026-06-10T10:01:00Z");
    assert_eq!(shop.told(&["changed"]), ["changed sent"]);
    let said = shop.last_said();
    assert!(said.contains("0417") && said.contains("Base 30") && said.contains("roof"), "{said}");
    shop.manager.change(&path, &json!({"ml": 500})).ok();
    shop.now_it_is("2026-06-10T10:02:00Z");
    assert_eq!(shop.told(&["changed"]).len(), 1);
}

fn the_shop_sees_reads_stops_and_repeats_what_is_ahead(mut shop: TestShop) {
    shop.hands_over_what_cures();
    shop.now_it_is("2026-12-20T10:00:00Z");
    // Sixty days ahead lie the first of two mails of a due, and not the second.
    let ahead = shop.desk.get("/v1/notices?state=planned").ok();
    let all = ahead["items"].as_array().unwrap();
    assert_eq!(all.len(), 1, "{ahead:#}");
    let upcoming = &all[0];
    assert_eq!((&upcoming["kind"], &upcoming["foreseen"]), (&json!("upcoming"), &json!(true)));
    assert_eq!(upcoming["planned_for"], "2027-01-25T09:00:00Z");
    assert_eq!(upcoming["because"], "annual number 1: 45 days before it is due");
    let path = format!("/v1/notices/{}", id(upcoming));
    assert_eq!(shop.desk.get(&path).ok(), *upcoming);
    let preview = shop.desk.get(&format!("{path}/preview")).ok();
    assert_eq!((&preview["written"], &preview["because"]), (&json!(false), &Value::Null));
    assert!(preview["text"].as_str().unwrap().contains("10 March 2027"), "{preview:#}");
    assert!(preview["html"].as_str().unwrap().contains("<html"), "{preview:#}");
    for said in ["text", "html"] {
        let said = preview[said].as_str().unwrap();
        assert!(said.contains("/unsubscribe/…"), "what ends an owner's mails is the owner's alone: {said}");
    }

    let stopped = shop.desk.post(&format!("{path}/cancel"), &json!({})).ok();
    assert_eq!(
        (&stopped["state"], &stopped["because"]),
        (&json!("cancelled"), &json!("stopped by the shop"))
    );
    assert_eq!(shop.desk.get("/v1/notices?state=planned").ok()["items"], json!([]));
    shop.desk.get(&path).refused(404, "not_found");
    shop.now_it_is("2027-01-25T09:00:00Z");
    assert_eq!(shop.told(&["upcoming"]), ["upcoming cancelled"]);
    let stopped = format!("/v1/notices/{}", id(&stopped));
    assert_eq!(shop.desk.post(&format!("{stopped}/cancel"), &json!({})).ok()["state"], "cancelled");
    let read = shop.desk.get(&stopped).ok();
    assert_eq!(read["planned_for"], "2027-01-25T09:00:00Z");

    let again = shop.desk.post(&format!("{stopped}/resend"), &json!({})).created();
    assert_eq!((&again["state"], &again["foreseen"]), (&json!("planned"), &json!(false)));
    shop.desk
        .post(&format!("/v1/notices/{}/resend", id(&again)), &json!({}))
        .refused(409, "notice_on_its_way");
    shop.now_it_is("2027-01-25T09:01:00Z");
    assert_eq!(shop.told(&["upcoming"]), ["upcoming cancelled", "upcoming sent"]);
    let sent = format!("/v1/notices/{}", id(&again));
    let preview = shop.desk.get(&format!("{sent}/preview")).ok();
    assert_eq!(preview["written"], true);
    let (text, mail) = (preview["text"].as_str().unwrap(), shop.last_said());
    let opens = |text: &str| text.split("/my/").nth(1).unwrap().split_whitespace().next().unwrap().to_owned();
    assert_eq!(
        (opens(text).as_str(), opens(&mail).len()),
        ("…", 43),
        "the owner's link is the owner's alone"
    );
    shop.desk.post(&format!("{sent}/cancel"), &json!({})).refused(409, "notice_not_planned");
    // A page at a time shows the same.
    shop.now_it_is("2027-02-01T10:00:00Z");
    let whole = shop.desk.get("/v1/notices?state=planned").ok()["items"].clone();
    let mut pages = Vec::new();
    let mut next = shop.desk.get("/v1/notices?state=planned&limit=1").ok();
    loop {
        pages.extend(next["items"].as_array().unwrap().clone());
        let Some(cursor) = next["next"].as_str() else { break };
        next = shop.desk.get(&format!("/v1/notices?state=planned&limit=1&cursor={cursor}")).ok();
    }
    assert_eq!(Value::Array(pages), whole);
    assert!(whole.as_array().unwrap().len() > 1, "{whole:#}");
    let mut moments: Vec<&str> =
        whole.as_array().unwrap().iter().map(|one| one["planned_for"].as_str().unwrap()).collect();
    let seen = moments.clone();
    moments.sort_unstable();
    assert_eq!(seen, moments, "the soonest first");
    shop.neighbour().get(&sent).refused(404, "not_found");
}

fn a_season_has_a_month_of_its_own(shop: TestShop) {
    let version = |shop: &TestShop| shop.manager.get("/v1/shop").ok();
    let before = Digest::of(version(&shop).to_string().as_bytes());
    for (change, pointer) in [
        (json!({"winter_month": 13}), "/winter_month"),
        (json!({"spring_month": 0}), "/spring_month"),
        (json!({"winter_month": 4, "spring_month": 4}), "/spring_month"),
    ] {
        let faults = shop.manager.change("/v1/shop", &change).faults(422, "rule_broken");
        assert_eq!((faults[0].0.as_str(), faults[0].1.as_str()), (pointer, "out_of_range"), "{change}");
    }
    assert_eq!(Digest::of(version(&shop).to_string().as_bytes()), before, "nothing was kept of it");
}
