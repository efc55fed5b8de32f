//! A sale that an owner tells of, by a link that binds and works once.

use std::sync::Barrier;
use std::thread;

use serde_json::{Value, json};

use crate::migrations::contents;
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    a_sale_is_told_once_by_a_link_that_binds,
    a_link_that_binds_runs_out,
    of_two_who_follow_a_link_that_binds_one_is_first,
    a_sale_that_the_desk_entered_itself_is_not_entered_again,
    a_stopped_link_is_kept_no_longer_and_sent_no_more,
);

fn a_sale_is_told_once_by_a_link_that_binds(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let ada = shop.who_owns(&vehicle);
    let holder = shop.gives_link(&ada);
    shop.it_is("2026-05-04T09:00:00Z");
    let to = format!("/vehicles/{vehicle}/sold");
    let slip = holder.sends(&to, "on=2026-05-05&buyer=Liv&buyer_email=nowhere");
    assert_eq!(slip.status, 422);
    assert!(
        slip.text.contains("still to come")
            && slip.text.contains("not an e-mail address")
            && slip.text.contains("value=\"Liv\"")
    );
    // Whoever wants no mails gets this one all the same.
    holder.sends("/choices", "language=en");
    shop.ticks();
    let before = shop.app.mailer.kept().len();
    let sent = holder.sends(&to, "on=2026-05-02&buyer=Liv+Torsheim&buyer_email=liv@owners.example");
    assert_eq!(sent.status, 200, "{}", sent.text);
    assert!(sent.text.contains("A link is on its way"));
    assert_eq!(shop.tasks_of("sold_reported"), Vec::<Value>::new(), "nothing is told yet");
    shop.it_is("2026-05-04T09:01:00Z");
    shop.ticks();
    assert_eq!(shop.app.mailer.kept().len(), before + 1);
    let mail = String::from_utf8(shop.app.mailer.kept().pop().unwrap().bytes).unwrap();
    assert!(mail.contains("ada@example.org") && !mail.contains("List-Unsubscribe"), "{mail}");
    let binding = shop.mailed_link("/confirm/");
    let rows: Vec<String> = contents(&shop.database);
    let clear = rows.iter().filter(|row| row.contains(binding.token()) && !row.starts_with("messages:"));
    assert_eq!(clear.count(), 0, "nothing but the mail itself holds what opens it");

    let page = binding.page();
    assert!(page.contains("Corvina, QC-417") || page.contains("Corvina Estate, QC-417"), "{page}");
    assert!(
        page.contains("sold on 2 May 2026") && page.contains("Liv Torsheim, liv@owners.example"),
        "{page}"
    );
    binding.page();
    assert_eq!(shop.tasks_of("sold_reported"), Vec::<Value>::new(), "looking does nothing");
    let done = binding.sends("", "");
    assert_eq!(done.status, 200, "{}", done.text);
    assert!(done.text.contains("The shop has been told"));
    let used = binding.sends("", "");
    assert_eq!(used.status, 410);
    assert!(used.text.contains("This link has been used"), "{}", used.text);
    binding.nobody.get(&binding.path).refused(410, "link_used");
    assert!(holder.page().contains("QC-417"), "it is theirs until the shop has entered the sale");

    let [task] = &shop.tasks_of("sold_reported")[..] else { panic!("one task") };
    assert_eq!(task["report"]["buyer"], "Liv Torsheim");
    shop.it_is("2026-05-20T09:00:00Z");
    let confirm = format!("/v1/tasks/{}/confirm", id(task));
    shop.technician.post(&confirm, &json!({})).refused(403, "forbidden");
    let confirmed = shop.desk.post(&confirm, &json!({})).ok();
    assert!(confirmed["task"]["done_at"].is_string());
    assert_eq!(confirmed["assessments"][0]["assessment"]["cover"]["paint"]["state"], "in_force");
    shop.desk.post(&confirm, &json!({})).refused(409, "task_done");
    let sales = shop.desk.get(&format!("/v1/vehicles/{vehicle}/transfers")).ok();
    assert_eq!(
        (&sales["items"][0]["on"], &sales["items"][0]["told"]),
        (&json!("2026-05-02"), &json!("2026-05-04"))
    );
    assert_eq!(holder.reads()["vehicles"], json!([]));
    let liv = shop.desk.get(&format!("/v1/customers/{}", shop.who_owns(&vehicle))).ok();
    assert_eq!((&liv["name"], &liv["email"]), (&json!("Liv Torsheim"), &json!("liv@owners.example")));
}

fn a_link_that_binds_runs_out(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    shop.ticks();
    let to = format!("/vehicles/{vehicle}/sold");
    assert_eq!(holder.sends(&to, "on=2026-03-10").status, 200);
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let binding = shop.mailed_link("/confirm/");
    binding.page();
    shop.it_is("2026-03-10T23:30:00Z");
    assert_eq!(binding.sees().status, 410);
    let late = binding.sends("", "");
    assert!(late.status == 410 && late.text.contains("This link has run out"), "{}", late.text);
    assert_eq!(shop.tasks_of("sold_reported"), Vec::<Value>::new());

    // One that was never written into a mail in time is not sent at all.
    assert_eq!(holder.sends(&to, "on=2026-03-10").status, 200);
    let before = shop.app.mailer.kept().len();
    shop.it_is("2026-03-11T00:31:00Z");
    shop.ticks();
    assert_eq!(shop.app.mailer.kept().len(), before);
    // Each is a mail: not too many within an hour.
    for _ in 0..5 {
        assert_eq!(holder.sends(&to, "on=2026-03-10").status, 200);
    }
    let many = holder.sends(&to, "on=2026-03-10");
    assert!(many.status == 422 && many.text.contains("try again in an hour"), "{}", many.text);
}

fn of_two_who_follow_a_link_that_binds_one_is_first(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    holder.sends(&format!("/vehicles/{vehicle}/sold"), "on=2026-03-10&buyer=Liv");
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let binding = shop.mailed_link("/confirm/");
    let start = Barrier::new(6);
    let mut statuses: Vec<u16> = thread::scope(|scope| {
        let follow = || {
            start.wait();
            binding.sends("", "").status
        };
        let all: Vec<_> = (0..6).map(|_| scope.spawn(follow)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    statuses.sort_unstable();
    assert_eq!(statuses, [200, 410, 410, 410, 410, 410]);
    assert_eq!(shop.tasks_of("sold_reported").len(), 1);
}

fn a_sale_that_the_desk_entered_itself_is_not_entered_again(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    holder.sends(&format!("/vehicles/{vehicle}/sold"), "on=2026-03-10&buyer=Liv+Torsheim");
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    assert_eq!(shop.mailed_link("/confirm/").sends("", "").status, 200);
    // The buyer rang first.
    let sale = json!({"on": "2026-03-10", "customer": {"name": "Liv Torsheim"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    let owner = shop.who_owns(&vehicle);
    let [task] = &shop.tasks_of("sold_reported")[..] else { panic!("one task") };
    let path = format!("/v1/tasks/{}", id(task));
    shop.desk.post(&format!("{path}/confirm"), &json!({})).refused(409, "nothing_to_confirm");
    assert_eq!(shop.who_owns(&vehicle), owner, "she has it still, and once");
    let sales = shop.desk.get(&format!("/v1/vehicles/{vehicle}/transfers")).ok();
    assert_eq!(sales["items"].as_array().unwrap().len(), 1);
    shop.desk.post(&format!("{path}/done"), &json!({})).ok();
}

fn a_stopped_link_is_kept_no_longer_and_sent_no_more(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    shop.ticks();
    holder.sends(&format!("/vehicles/{vehicle}/sold"), "on=2026-03-10");
    let planned = shop.desk.get("/v1/notices?state=planned").ok();
    let link = planned["items"].as_array().unwrap().iter().find(|one| one["kind"] == "link").unwrap();
    let path = format!("/v1/notices/{}", id(link));
    shop.desk.get(&format!("{path}/preview")).refused(409, "notice_private");
    let kept = |shop: &TestShop| contents(&shop.database).concat().contains("/confirm/");
    assert!(kept(&shop), "until it is written");
    shop.desk.post(&format!("{path}/cancel"), &json!({})).ok();
    assert!(!kept(&shop));
    let again = shop.desk.post(&format!("{path}/resend"), &json!({})).created();
    let before = shop.app.mailer.kept().len();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    assert_eq!(shop.desk.get(&format!("/v1/notices/{}", id(&again))).ok()["state"], "stale");
    assert_eq!(shop.app.mailer.kept().len(), before);
}
