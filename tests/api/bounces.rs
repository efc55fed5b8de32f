//! Mails that come back: the address is spared, the desk telephones.

use serde_json::{Value, json};

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};
use crate::support::smtp::report;

on_both!(
    a_mail_that_comes_back_is_told_and_its_address_spared,
    what_may_yet_arrive_and_what_is_ours_not_changes_nothing,
);

impl TestShop {
    fn owner_of(&self, vehicle: &str) -> String {
        let vehicle = self.desk.get(&format!("/v1/vehicles/{vehicle}")).ok();
        format!("/v1/customers/{}", vehicle["customer_id"].as_str().unwrap())
    }

    fn states(&self) -> Vec<Value> {
        let page = self.desk.get("/v1/notices").ok();
        let all = page["items"].as_array().unwrap().iter().rev();
        all.filter(|notice| !["aftercare", "wash-from"].contains(&notice["kind"].as_str().unwrap()))
            .map(|notice| notice["state"].clone())
            .collect()
    }
}

fn a_mail_that_comes_back_is_told_and_its_address_spared(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let owner = shop.owner_of(&vehicle);
    assert_eq!(shop.desk.get(&owner).ok()["email_refused"], Value::Null);
    let mail = shop.app.mailer.kept().pop().unwrap();
    let all = shop.desk.get("/v1/notices").ok()["items"].clone();
    let sent = all.as_array().unwrap().iter().find(|notice| notice["kind"] == "record").unwrap().clone();
    assert_eq!(sent["message_id"], mail.message_id.as_str());

    let of_mail = |notice: &&Value| notice["message_id"] == sent["message_id"];
    let ids: Vec<String> = all.as_array().unwrap().iter().rev().filter(of_mail).map(id).collect();
    assert_eq!(ids.len(), 2, "what was done, and how to care for it");

    let words = "550 5.1.1 <ada@example.org>: no such mailbox";
    let body = json!({"report": report(&mail, "failed", "5.1.1", words)});
    let told = format!("5.1.1 {words}");
    let wanted = json!({"message_id": mail.message_id, "failed": true, "words": told, "notices": ids});
    // A server that says it twice says it once.
    for _ in 0..2 {
        assert_eq!(shop.desk.post("/v1/notices/bounces", &body).ok(), wanted);
    }
    let failed = shop.desk.get(&format!("/v1/notices/{}", id(&sent))).ok();
    assert_eq!((&failed["state"], &failed["last_error"]), (&json!("failed"), &json!(told)));
    let refused = json!({"words": told, "at": "2026-03-10T08:01:00Z"});
    assert_eq!(shop.desk.get(&owner).ok()["email_refused"], refused);
    assert_eq!(shop.desk.get("/v1/customers").ok()["items"][0]["email_refused"], refused);
    let tasks = shop.desk.get("/v1/tasks").ok();
    let [task] = tasks["items"].as_array().unwrap().as_slice() else { panic!("one task: {tasks:#}") };
    assert_eq!((&task["kind"], &task["customer"]["name"]), (&json!("notice_failed"), &json!("Ada Ferro")));

    // What falls due is not mailed there, and says why; until somebody enters the address anew.
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.states(), ["failed", "suppressed"]);
    let because = shop.desk.get("/v1/notices?state=suppressed&limit=1").ok()["items"][0]["because"].clone();
    assert!(because.as_str().unwrap().contains("no such mailbox"), "{because}");
    let told = shop.desk.change(&owner, &json!({"email": "Ada@example.org"})).ok();
    assert_eq!(told["email_refused"], Value::Null);
    shop.it_is("2027-02-24T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.states(), ["failed", "suppressed", "sent"]);
}

fn what_may_yet_arrive_and_what_is_ours_not_changes_nothing(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let mail = shop.app.mailer.kept().pop().unwrap();
    let tells = |report: String| shop.desk.post("/v1/notices/bounces", &json!({"report": report}));
    for (action, status) in [("delayed", "4.4.1"), ("delivered", "2.0.0")] {
        assert_eq!(tells(report(&mail, action, status, "later")).ok()["failed"], false, "{action} {status}");
    }
    let mut of_another = mail.clone();
    of_another.recipient = "bruno@example.org".into();
    assert_eq!(tells(report(&of_another, "failed", "5.1.1", "unknown")).ok()["failed"], false);
    assert_eq!(shop.states(), ["sent"]);

    let fault = |report: String| tells(report).faults(422, "rule_broken").remove(0);
    let at = |code: &str| ("/report".to_owned(), code.to_owned());
    assert_eq!(fault("Subject: I am away\r\n\r\nUntil Monday.".into()), at("not_a_report"));
    let known = report(&mail, "failed", "5.1.1", "unknown");
    assert_eq!(fault(known.replace(&mail.message_id, "another@example.org")), at("unknown_message"));
    assert_eq!(fault(known.replace("Message-ID:", "X-Message:")), at("no_original"));
    let theirs = shop.neighbour().post("/v1/notices/bounces", &json!({"report": known}));
    assert_eq!(theirs.faults(422, "rule_broken"), [at("unknown_message")]);
    shop.technician.post("/v1/notices/bounces", &json!({"report": known})).refused(403, "forbidden");

    // A mail that is refused for what it says spares no address.
    let spam = report(&mail, "failed", "5.7.1", "554 5.7.1 looks like spam");
    assert_eq!(tells(spam).ok()["failed"], true);
    assert_eq!(shop.states(), ["failed"]);
    assert_eq!(shop.desk.get(&shop.owner_of(&vehicle)).ok()["email_refused"], Value::Null);
}
