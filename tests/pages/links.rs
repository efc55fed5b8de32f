//! The owner's own page: what it shows and to whom, what can be told there, and that nothing is kept that would open it.

use std::sync::Barrier;
use std::thread;

use serde_json::{Value, json};

use super::plain;
use crate::migrations::contents;
use crate::support::database::on_both;
use crate::support::pictures::{as_taken, jpeg};
use crate::support::server::{Answer, Client};
use crate::support::shop::{TestShop, id};

on_both!(
    an_owner_sees_what_is_theirs_now,
    a_link_lives_as_long_as_it_is_followed_and_until_it_is_taken_back,
    an_owner_chooses_language_and_mails,
    an_own_wash_counts_where_the_terms_let_owners_do_it,
    a_wish_to_come_is_a_task,
    a_problem_comes_with_photos,
    what_is_pressed_twice_at_once_is_told_once,
    a_service_stays_with_its_visit_once_it_is_countersigned,
);

pub(super) const PAGE: (&str, &str) = ("Accept", "text/html,application/xhtml+xml;q=0.9,*/*;q=0.8");
pub(super) const JSON: (&str, &str) = ("Accept", "application/json");
const FORM: (&str, &str) = ("Content-Type", "application/x-www-form-urlencoded");

/// Somebody who holds a link, in a browser.
pub(super) struct Holder {
    pub(super) nobody: Client,
    pub(super) path: String,
}

impl Holder {
    pub(super) fn at(shop: &TestShop, url: &str) -> Self {
        let path = url.strip_prefix("http://127.0.0.1:8080").expect("at the public address");
        Self { nobody: shop.manager.anonymous(), path: path.to_owned() }
    }

    pub(super) fn sees(&self) -> Answer {
        self.nobody.call("GET", &self.path, &[PAGE], None)
    }

    pub(super) fn page(&self) -> String {
        let answer = self.sees();
        assert_eq!(answer.status, 200, "{}", answer.text);
        plain(&answer.text)
    }

    pub(super) fn reads(&self) -> Value {
        self.nobody.call("GET", &self.path, &[JSON], None).ok()
    }

    /// Sends a form; the browser goes where it is told to.
    pub(super) fn sends(&self, to: &str, form: &str) -> Answer {
        self.nobody.send("POST", &format!("{}{to}", self.path), &[PAGE, FORM], Some(form.as_bytes()))
    }

    pub(super) fn token(&self) -> &str {
        self.path.rsplit('/').next().unwrap()
    }
}

impl TestShop {
    /// The id of whoever has a vehicle.
    pub(super) fn who_owns(&self, vehicle: &str) -> String {
        let vehicle = self.desk.get(&format!("/v1/vehicles/{vehicle}")).ok();
        vehicle["customer_id"].as_str().unwrap().to_owned()
    }

    /// The link that the desk gives to an owner.
    pub(super) fn gives_link(&self, customer: &str) -> Holder {
        let given = self.desk.post(&format!("/v1/customers/{customer}/links"), &json!({})).created();
        Holder::at(self, given["url"].as_str().unwrap())
    }

    pub(super) fn tasks_of(&self, kind: &str) -> Vec<Value> {
        let all = self.desk.get("/v1/tasks").ok();
        all["items"].as_array().unwrap().iter().filter(|task| task["kind"] == kind).cloned().collect()
    }

    /// The link of this kind in the latest mail that has one.
    pub(super) fn mailed_link(&self, before: &str) -> Holder {
        let linked = |mail: &lustrum::mail::Outgoing| {
            let mail = mail_parser::MessageParser::default().parse(&mail.bytes)?.into_owned();
            let text = mail.body_text(0)?;
            text.split_whitespace().find(|word| word.contains(before)).map(str::to_owned)
        };
        let link = self.app.mailer.kept().iter().rev().find_map(linked).expect("a link");
        Holder::at(self, link.trim_matches(|sign: char| "<>().".contains(sign)))
    }
}

fn an_owner_sees_what_is_theirs_now(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let ada = shop.who_owns(&vehicle);
    let holder = shop.gives_link(&ada);
    assert_eq!(holder.token().len(), 43, "256 bits");
    assert!(!contents(&shop.database).concat().contains(holder.token()), "it is kept nowhere");

    let answer = holder.sees();
    assert_eq!(answer.header("content-type"), Some("text/html; charset=utf-8"));
    assert_eq!(answer.header("cache-control"), Some("no-store"));
    assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
    assert!(answer.header("content-security-policy").unwrap().contains("form-action 'self'"));
    assert!(!answer.text.contains("<script") && !answer.text.contains(" style="));
    let page = plain(&answer.text);
    for says in [
        "Corvina",
        "QC-417",
        "in force",
        "until 10 March 2031, or 120,000\u{a0}km",
        "Inspection or reconditioning, 10 March 2027",
        "It counts from 9 January 2027 to 9 April 2027.",
        "Maintenance wash, 24 March 2026",
        "You may do it yourself.",
        "Coated: paint",
        warranty["number"].as_str().unwrap(),
        "For Ada Ferro",
    ] {
        assert!(page.contains(says), "{says} is missing: {page}");
    }
    let read = holder.reads();
    assert_eq!(read["vehicles"][0]["id"], json!(vehicle));
    assert_eq!(read["vehicles"][0]["warranties"][0]["cover"][0]["state"], "in_force");
    holder.nobody.call("GET", &holder.path, &[("Accept", "image/png")], None).refused(406, "not_acceptable");

    // Sold: who had it sees it no longer, who has it sees all that was done.
    let sale =
        json!({"on": "2026-03-10", "customer": {"name": "Liv Torsheim", "email": "liv@owners.example"}});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/transfers"), &sale).created();
    assert_eq!(holder.reads()["vehicles"], json!([]));
    assert!(holder.page().contains("no vehicle on record that is yours"));
    let liv = shop.gives_link(&shop.who_owns(&vehicle));
    assert!(liv.page().contains("Coated: paint") && !liv.page().contains("Ada"));

    // Another's vehicle is not there, whoever asks.
    for form in ["booking", "wash", "problem", "sold"] {
        let to = format!("/vehicles/{vehicle}/{form}");
        let answer = holder.sends(&to, "on=2026-03-10&day1=2026-03-12&text=x");
        assert_eq!(answer.status, 404, "{form}: {}", answer.text);
        assert!(answer.text.contains("There is nothing here"), "{}", answer.text);
    }
}

fn a_link_lives_as_long_as_it_is_followed_and_until_it_is_taken_back(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let ada = shop.who_owns(&vehicle);
    let (followed, left) = (shop.gives_link(&ada), shop.gives_link(&ada));
    shop.it_is("2027-08-10T09:00:00Z");
    followed.page();
    shop.it_is("2027-10-10T09:00:00Z");
    followed.page();
    let gone = left.sees();
    assert_eq!((gone.status, gone.header("cache-control")), (410, Some("no-store")));
    assert!(gone.text.contains("This link has run out"), "{}", gone.text);
    left.nobody.get(&left.path).refused(410, "link_expired");
    assert_eq!(left.sends("/choices", "language=de").status, 410);

    let revoke = format!("/v1/customers/{ada}/links/revoke");
    shop.technician.post(&revoke, &json!({})).refused(403, "forbidden");
    assert_eq!(shop.desk.post(&revoke, &json!({})).ok()["revoked"], 1);
    assert!(followed.sees().text.contains("The shop has taken it back"));
    followed.nobody.get(&followed.path).refused(410, "link_revoked");
    shop.gives_link(&ada).page();

    // What was never given is not there: a page for people, a problem for programs.
    let mut forged = followed.path.clone();
    let last = forged.pop().unwrap();
    forged.push(if last == 'A' { 'B' } else { 'A' });
    for path in [&forged, "/my/x", "/my/", "/confirm/x", "/door/x", "/verify/ABC", "/unsubscribe/x"] {
        let page = followed.nobody.call("GET", path, &[PAGE, ("Accept-Language", "de-AT, en;q=0.5")], None);
        assert_eq!(
            (page.status, page.header("content-type")),
            (404, Some("text/html; charset=utf-8")),
            "{path}"
        );
        assert!(
            page.text.contains("<html lang=\"de\">") && page.text.contains("Hier ist nichts"),
            "{}",
            page.text
        );
        followed.nobody.call("GET", path, &[JSON], None).refused(404, "not_found");
    }
    // An owner's link binds to nothing, and the other way round.
    let token = followed.token();
    assert_eq!(followed.nobody.call("GET", &format!("/confirm/{token}"), &[PAGE], None).status, 404);
}

fn an_owner_chooses_language_and_mails(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let ada = shop.who_owns(&vehicle);
    let holder = shop.gives_link(&ada);
    let shown = holder.sends("/choices", "language=de&upkeep=yes");
    assert_eq!(shown.status, 200, "{}", shown.text);
    assert!(plain(&shown.text).contains("Gespeichert.") && shown.text.contains("<html lang=\"de\">"));
    assert!(holder.page().contains("in Kraft"));
    let customer = shop.desk.get(&format!("/v1/customers/{ada}")).ok();
    assert_eq!(customer["language"], "de");
    assert_eq!(customer["mail"], json!({"upkeep": true, "history": false}));
    assert_eq!(holder.sends("/choices", "language=xx&upkeep=yes").status, 422);

    let said = json!({"language": "fr", "upkeep": false, "history": true});
    holder.nobody.call("POST", &format!("{}/choices", holder.path), &[JSON], Some(&said)).ok();
    assert!(holder.page().contains("en vigueur"));
    assert_eq!(holder.nobody.call("PUT", &holder.path, &[], None).header("allow"), Some("GET, HEAD"));
}

fn an_own_wash_counts_where_the_terms_let_owners_do_it(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2026-03-25T09:00:00Z");
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let to = format!("/vehicles/{vehicle}/wash");
    let washes = |shop: &TestShop| {
        let events = shop.desk.get(&format!("/v1/vehicles/{vehicle}/history")).ok();
        let services = events["items"].as_array().unwrap().iter().filter(|event| event["kind"] == "service");
        services.cloned().collect::<Vec<_>>()
    };

    // A slip comes back with what was entered, and says at the field what is wrong.
    let slip = holder.sends(&to, "on=2026-03-24&odometer=311");
    assert_eq!((slip.status, slip.header("content-type")), (422, Some("text/html; charset=utf-8")));
    let page = plain(&slip.text);
    assert!(page.contains("This does not go with 412\u{a0}km, read on 10 March 2026."), "{page}");
    assert!(page.contains("value=\"311\"") && page.contains("value=\"2026-03-24\""), "{page}");
    assert!(page.contains("aria-invalid=\"true\"") && page.contains("<details open>"), "{page}");
    for (form, says) in [
        ("on=2026-03-26", "still to come"),
        ("on=", "Please fill this in."),
        ("on=yesterday", "not a day"),
        ("on=2026-03-24&odometer=many", "not a whole number"),
        ("on=2026-03-09", "not yours yet"),
        ("on=2026-03-24&service=inspection", "cannot be chosen"),
    ] {
        let slip = holder.sends(&to, form);
        assert_eq!(slip.status, 422, "{form}");
        assert!(plain(&slip.text).contains(says), "{form}: {says} is missing");
    }
    assert_eq!(washes(&shop), Vec::<Value>::new());

    let taken = holder.sends(&to, "on=2026-03-24&odometer=1.311");
    assert_eq!(taken.status, 200, "{}", taken.text);
    assert!(plain(&taken.text).contains("it counts as upkeep under your terms"), "{}", taken.text);
    assert!(plain(&taken.text).contains("Maintenance wash, by yourself"));
    let [wash] = &washes(&shop)[..] else { panic!("{:?}", washes(&shop)) };
    assert_eq!(
        (&wash["done_by"], &wash["on"], &wash["odometer"]["value"]),
        (&json!("owner"), &json!("2026-03-24"), &json!(1311))
    );
    let dues = shop.desk.get(&format!("/v1/warranties/{}/dues", id(&warranty))).ok();
    let met =
        dues["items"].as_array().unwrap().iter().any(|due| due["upkeep"] == "wash" && due["status"] == "met");
    assert!(met, "{dues:#}");
    let record = shop.records("visit").pop().unwrap();
    assert_eq!(record["entered_by"]["customer"], json!(shop.who_owns(&vehicle)));
    assert_eq!(record["events"][0]["counts_for"][0]["by"], "owner");

    // The same again is a slip of the finger.
    let again = holder.sends(&to, "on=2026-03-24&odometer=1311");
    assert!(again.status == 422 && plain(&again.text).contains("on record for that day already"));
    // What was looked at again is taken.
    let odd = holder.sends(&to, "on=2026-03-25&odometer=900&confirmed=yes");
    assert_eq!(odd.status, 200, "{}", odd.text);
    assert!(odd.text.contains("It is on record"), "{}", odd.text);
    assert_eq!(washes(&shop).len(), 2);
}

fn a_wish_to_come_is_a_task(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let to = format!("/vehicles/{vehicle}/booking");
    let wish =
        "day1=2026-04-02&day2=2026-04-03&service=inspection&service=topper&text=After+work,%0D%0Aplease";
    for _ in 0..2 {
        let taken = holder.sends(&to, wish);
        assert_eq!(taken.status, 200, "{}", taken.text);
        assert!(taken.text.contains("has your wish"));
    }
    let [task] = &shop.tasks_of("booking_requested")[..] else { panic!("said twice is said once") };
    assert_eq!(task["report"]["days"], json!(["2026-04-02", "2026-04-03"]));
    assert_eq!(task["report"]["services"], json!(["inspection", "topper"]));
    assert_eq!(task["report"]["text"], "After work,\nplease");
    assert_eq!(task["customer"]["name"], "Ada Ferro");
    for (form, says) in [
        ("day1=", "Please fill this in."),
        ("day1=2026-03-01", "This day is over."),
        ("day1=2029-04-02", "more than a year ahead"),
        ("day1=2026-04-02&service=polish+the+moon", "cannot be chosen"),
    ] {
        let slip = holder.sends(&to, form);
        assert_eq!(slip.status, 422, "{form}");
        assert!(plain(&slip.text).contains(says), "{form}: {}", slip.text);
    }
    let record = shop.records("report").pop().unwrap();
    assert_eq!(record["report"]["kind"], "booking");
    let body: String =
        contents(&shop.database).into_iter().filter(|row| row.starts_with("records:")).collect();
    assert!(!body.contains("After work"), "what is written freely stands apart from the record");

    let path = format!("/v1/tasks/{}", id(task));
    shop.desk.post(&format!("{path}/confirm"), &json!({})).refused(409, "nothing_to_confirm");
    assert!(shop.desk.post(&format!("{path}/done"), &json!({})).ok()["done_at"].is_string());
}

/// A form with a text and files, as browsers send it.
fn multipart(text: &str, files: &[(&str, &[u8])]) -> (String, Vec<u8>) {
    let mut body = Vec::new();
    let part = |body: &mut Vec<u8>, head: &str, content: &[u8]| {
        body.extend(format!("--b\r\nContent-Disposition: form-data; {head}\r\n\r\n").into_bytes());
        body.extend(content);
        body.extend(b"\r\n");
    };
    part(&mut body, "name=\"text\"", text.as_bytes());
    for (kind, bytes) in files {
        part(&mut body, &format!("name=\"photos\"; filename=\"IMG 1.jpg\"\r\nContent-Type: {kind}"), bytes);
    }
    body.extend(b"--b--\r\n");
    ("multipart/form-data; boundary=b".into(), body)
}

fn a_problem_comes_with_photos(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let to = format!("{}/vehicles/{vehicle}/problem", holder.path);
    let send = |(kind, body): (String, Vec<u8>)| {
        holder.nobody.send("POST", &to, &[PAGE, ("Content-Type", &kind)], Some(&body))
    };
    let photo = as_taken(&jpeg(64, 48), 6);
    let taken =
        send(multipart("A spot on the roof.", &[("image/jpeg", &photo), ("image/jpeg", &jpeg(32, 32))]));
    assert_eq!(taken.status, 200, "{}", taken.text);
    assert!(taken.text.contains("has your report"));
    let [task] = &shop.tasks_of("problem_reported")[..] else { panic!("a task") };
    assert_eq!(task["report"]["text"], "A spot on the roof.");
    let photos = task["report"]["photos"].as_array().unwrap();
    assert_eq!(photos.len(), 2);
    let file = format!("/v1/tasks/{}/photos/{}/file", id(task), id(&photos[0]));
    let kept = shop.technician.get(&file);
    assert_eq!((kept.status, kept.header("content-type")), (200, Some("image/jpeg")));
    let tells = |bytes: &[u8]| bytes.windows(7).any(|part| part == b"SN-4170");
    assert!(tells(&photo) && !tells(&kept.bytes), "what a camera writes besides does not get in");
    assert_eq!(shop.technician.get(&file.replace("/file", "/thumbnail")).status, 200);
    assert_eq!(shop.neighbour().get(&file).status, 404);

    // Without a photo: browsers send an empty file.
    let taken = send(multipart("And the boot.", &[("application/octet-stream", b"")]));
    assert_eq!(taken.status, 200, "{}", taken.text);
    let seven: Vec<(&str, &[u8])> = vec![("image/jpeg", b"x"); 7];
    for (form, says) in [
        (multipart("", &[]), "Please fill this in."),
        (multipart("Look.", &[("image/jpeg", b"no picture")]), "no photo as JPEG or PNG"),
        (multipart("Look.", &[("image/heic", b"no picture")]), "HEIC"),
        (multipart("Look.", &seven), "more than can be taken at once"),
        (multipart(&"x".repeat(2_001), &[]), "too long"),
    ] {
        let slip = send(form);
        assert_eq!(slip.status, 422, "{says}: {}", slip.text);
        assert!(plain(&slip.text).contains(says), "{says}: {}", slip.text);
    }
    assert!(send(multipart("Kept.", &[("image/jpeg", b"no")])).text.contains(">Kept.</textarea>"));
    assert_eq!(shop.tasks_of("problem_reported").len(), 2);
    let text = holder.nobody.send("POST", &to, &[JSON, ("Content-Type", "text/plain")], Some(b"x"));
    text.refused(415, "unsupported_media_type");
}

fn what_is_pressed_twice_at_once_is_told_once(shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let start = Barrier::new(6);
    let statuses: Vec<u16> = thread::scope(|scope| {
        let wish = || {
            start.wait();
            holder.sends(&format!("/vehicles/{vehicle}/booking"), "day1=2026-04-02").status
        };
        let all: Vec<_> = (0..6).map(|_| scope.spawn(wish)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert_eq!(statuses, [200; 6]);
    assert_eq!(shop.tasks_of("booking_requested").len(), 1);
}

fn a_service_stays_with_its_visit_once_it_is_countersigned(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-20T09:00:00Z");
    let visit = json!({"vehicle_id": vehicle, "on": "2026-03-20",
                       "services": [{"service": "maintenance wash", "countersigned": true}, {"service": "topper"}]});
    let visit = id(&shop.manager.post("/v1/visits", &visit).created());
    let repair = json!({"kind": "repair", "on": "2026-03-20", "surface": "paint", "panel": "bonnet"});
    shop.technician.post(&format!("/v1/vehicles/{vehicle}/events"), &repair).created();
    shop.manager
        .post(&format!("/v1/visits/{visit}/countersign"), &json!({"reason": "It was done in time."}))
        .ok();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let history = holder.reads()["vehicles"][0]["history"].clone();
    let visits: Vec<&Value> =
        history.as_array().unwrap().iter().filter(|done| done["kind"] == "services").collect();
    let [visit] = visits[..] else { panic!("{history:#}") };
    assert_eq!(visit["services"], json!(["maintenance wash", "topper"]));
}
