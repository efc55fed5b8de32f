//! Mails at servers that refuse, stall and close in the middle of DATA: each arrives, none twice under another
//! Message-ID. All names are invented.

use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

use chrono::TimeDelta;
use lustrum::app::notices::outbox::{keep, outgoing, take};
use lustrum::app::ticks::Did;
use lustrum::core::words::NoticeState;
use lustrum::mail::{Accepted, Mailer};
use serde_json::json;

use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};
use crate::support::smtp::{Behaviour, SmtpServer};

on_both!(
    each_mail_arrives_whatever_the_server_does,
    a_mail_that_nobody_takes_fails_with_the_servers_words,
    a_courier_that_dies_leaves_its_mail_to_the_next_one,
    two_couriers_take_each_mail_once,
);

const OWNERS: usize = 6;

impl TestShop {
    /// As many owners, each of whose vehicles was here today: a mail for each.
    fn had_visits(&self) {
        for n in 0..OWNERS {
            let owner = self.adds_customer(&format!("Owner {n}"), &format!("owner{n}@example.org"));
            let vehicle =
                json!({"plate": format!("FT-{n}"), "make": "Aurel", "model": "Vento", "customer_id": owner});
            let vehicle = id(&self.desk.post("/v1/vehicles", &vehicle).created());
            let visit = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "maintenance wash"}]});
            self.technician.post("/v1/visits", &visit).created();
        }
    }

    /// The same shop, whose mails go to a server that is given up on soon.
    fn mails_by(mut self, server: &SmtpServer) -> Self {
        self.app.mailer = Mailer::read(&server.url(), Duration::from_millis(700)).unwrap();
        self
    }

    /// Lets hours pass, each with its tick, until nothing is under way; answers what was done.
    fn lets_hours_pass(&self, most: usize) -> Vec<Did> {
        let mut did = Vec::new();
        for _ in 0..most {
            did.extend(self.ticks());
            if self.waiting() == 0 {
                break;
            }
            self.clock.set(self.clock.now() + TimeDelta::hours(1));
        }
        did
    }

    fn waiting(&self) -> usize {
        let desk = lustrum::app::sessions::act_for(&self.app, "dora@quayside.example").unwrap();
        let under_way = [NoticeState::Planned, NoticeState::Queued, NoticeState::Sending];
        let wanted = lustrum::app::page::Wanted::first(200);
        lustrum::app::notices::list(&self.app, &desk, &under_way, &wanted).unwrap().items.len()
    }
}

fn each_mail_arrives_whatever_the_server_does(shop: TestShop) {
    use Behaviour::{CloseAfterData, CloseInData, NoService, Recipient, Refuse, Stall, Trickle};
    let server = SmtpServer::start(&[
        Refuse,
        Recipient(450),
        Stall,
        CloseInData,
        CloseAfterData,
        NoService,
        Trickle,
        Refuse,
        CloseAfterData,
        Recipient(421),
    ]);
    let shop = shop.mails_by(&server);
    shop.had_visits();
    let did = shop.lets_hours_pass(40);
    assert_eq!(server.left(), 0, "every misbehaviour was met");
    assert!(did.iter().filter(|did| matches!(did, Did::Deferred(_))).count() >= 10);

    let mut copies: BTreeMap<String, BTreeSet<Vec<u8>>> = BTreeMap::new();
    let mut ids: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for mail in server.received() {
        let read = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
        ids.entry(mail.recipients[0].clone()).or_default().insert(read.message_id().unwrap().to_owned());
        copies.entry(mail.recipients[0].clone()).or_default().insert(mail.bytes.trim_ascii_end().to_vec());
    }
    assert_eq!(copies.len(), OWNERS, "none is lost");
    assert!(ids.values().all(|ids| ids.len() == 1), "one Message-ID each: {ids:?}");
    assert!(copies.values().all(|copies| copies.len() == 1), "copies are the same bytes");
    assert!(server.received().len() > OWNERS, "a server that closed before it answered got it again");
    let sent = did.iter().filter(|did| matches!(did, Did::Sent(_))).count();
    assert_eq!(sent, OWNERS, "each counts as sent once");
}

fn a_mail_that_nobody_takes_fails_with_the_servers_words(mut shop: TestShop) {
    let server = SmtpServer::start(&[Behaviour::Recipient(550); OWNERS]);
    shop.app.mailer = Mailer::read(&server.url(), Duration::from_secs(20)).unwrap();
    shop.had_visits();
    let did = shop.ticks();
    assert_eq!(did.iter().filter(|did| matches!(did, Did::Failed(_))).count(), OWNERS);
    let failed = shop.desk.get("/v1/notices?state=failed").ok();
    let items = failed["items"].as_array().unwrap();
    assert_eq!(items.len(), OWNERS);
    assert!(items.iter().all(|one| one["last_error"].as_str().unwrap().contains("not served")), "{items:?}");
    assert_eq!(shop.waiting(), 0);
    // The desk is to reach the owners otherwise.
    let tasks = shop.desk.get("/v1/tasks").ok();
    assert_eq!(tasks["items"].as_array().unwrap().len(), OWNERS);
    assert_eq!(tasks["items"][0]["kind"], "notice_failed");

    // A server that is away for longer than five days.
    let owner = shop.adds_customer("Owner late", "late@example.org");
    let vehicle = json!({"plate": "FT-99", "customer_id": owner});
    let vehicle = id(&shop.desk.post("/v1/vehicles", &vehicle).created());
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "topper"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.clock.set("2026-03-10T08:01:00Z".parse().unwrap());
    let nobody = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    shop.app.mailer = Mailer::read(&format!("smtp://{nobody}"), Duration::from_secs(20)).unwrap();
    let did = shop.lets_hours_pass(130);
    assert!(matches!(did.last(), Some(Did::Failed(_))), "{:?}", did.last());
    let tries = did.iter().filter(|did| matches!(did, Did::Deferred(_))).count();
    assert!((20..80).contains(&tries), "{tries} tries in five days");
}

fn a_courier_that_dies_leaves_its_mail_to_the_next_one(shop: TestShop) {
    shop.had_visits();
    let now = shop.app.now();
    lustrum::app::ticks::tick(&shop.app, now).unwrap();
    let first = take(&shop.app, now, 3).unwrap();
    assert_eq!(first.len(), 3);
    assert_eq!(shop.desk.get("/v1/notices?state=sending").ok()["items"].as_array().unwrap().len(), 3);
    // It is not heard of again. Others are not held up, and nobody else takes these yet.
    assert_eq!(take(&shop.app, now, 10).unwrap().len(), OWNERS - 3);
    let almost = now + TimeDelta::seconds(119);
    assert_eq!(take(&shop.app, almost, 10).unwrap(), []);
    let later = now + TimeDelta::seconds(120);
    let again = take(&shop.app, later, 10).unwrap();
    assert_eq!(again.len(), OWNERS);
    for taken in &first {
        let same = again.iter().find(|one| one.message.id == taken.message.id).unwrap();
        assert_eq!(outgoing(same), outgoing(taken), "the same bytes under the same Message-ID");
        assert_eq!(same.attempts, 2);
        // Was it only slow? What it says now no longer counts.
        let accepted = Ok(Accepted { words: "250 late".into() });
        assert_eq!(keep(&shop.app, taken, accepted, later).unwrap(), None);
    }
}

fn two_couriers_take_each_mail_once(shop: TestShop) {
    shop.had_visits();
    lustrum::app::ticks::tick(&shop.app, shop.app.now()).unwrap();
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| shop.delivers_mails());
        }
    });
    let to: BTreeSet<String> = shop.mails().into_iter().map(|(_, to)| to).collect();
    assert_eq!((to.len(), shop.mails().len()), (OWNERS, OWNERS));
    assert_eq!(shop.waiting(), 0);
}
