//! The dispute file over HTTP: what people signed, photographed, added, told and were told stands in it, each with what
//! proves it; and in no history, which others read.

use lustrum::core::record::canonical;
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

use super::documents::{asks, printed};
use crate::support::database::on_both;
use crate::support::papers::holds_what_it_claims;
use crate::support::pictures::jpeg;
use crate::support::server::Client;
use crate::support::shop::{TestShop, id};
use crate::support::smtp::report;

on_both!(
    what_was_signed_photographed_added_and_told_is_in_the_file,
    the_log_is_sealed_as_it_stands,
    a_file_says_where_there_is_nothing,
    what_was_on_record_before_the_vin_was_known_stays_in_the_file,
    the_file_is_told_in_each_language,
);

/// An address that no column is wide enough for.
const ADDRESS: &str = "ada.ferro-of-the-old-harbour@letters.quayside-customers.example";

/// SHA-256, reckoned here.
fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The head of a Merkle tree as RFC 9162 §2.1.1 defines it: the hash of a leaf is that of 0x00 and the entry, the hash of
/// a node that of 0x01 and both sides; the left side is the largest power of two that is smaller than the whole.
fn head(entries: &[Vec<u8>]) -> Vec<u8> {
    match entries {
        [] => Sha256::digest([]).to_vec(),
        [entry] => Sha256::digest([&[0][..], entry].concat()).to_vec(),
        _ => {
            let mut left = 1;
            while left * 2 < entries.len() {
                left *= 2;
            }
            let (left, right) = entries.split_at(left);
            Sha256::digest([vec![1], head(left), head(right)].concat()).to_vec()
        }
    }
}

/// Sends a photo; answers the SHA-256 of what was sent.
fn photographs(who: &Client, of: &str, about: &str, photo: &[u8]) -> String {
    let kind = [("Content-Type", "image/jpeg")];
    who.send("POST", &format!("{of}/photos{about}"), &kind, Some(photo)).created();
    sha256(photo)
}

/// Has the owner sign what is shown, in a field that is so wide and high; answers the SHA-256 of what was shown.
fn signs(who: &Client, job: &str, of: &str, path: &str, (wide, high): (f64, f64)) -> String {
    let shown = who.get(&format!("{job}/{path}")).ok()["document"].clone();
    let digest = sha256(&canonical(&shown).unwrap());
    let point = |n: i32| json!([f64::from(n) * wide / 60.0, (f64::from(n) / 3.0).sin() * high]);
    let (stroke, dot) = ((0..=60).map(point).collect::<Value>(), json!([[wide / 3.0, -high * 1.2]]));
    let signed = json!({"of": of, "digest": digest, "name": "Ada <Ferro>", "strokes": [stroke, dot]});
    who.post(&format!("{job}/signatures"), &signed).created();
    digest
}

/// What a vehicle went through, and by what each thing is known.
struct Story {
    vehicle: String,
    /// Digests that were reckoned from what was sent, shown or received; each proves something.
    digests: Vec<String>,
    /// Other texts by which something is known.
    said: Vec<String>,
    /// What pictures show, for those who do not see them.
    alts: Vec<String>,
}

/// From taking in to a dispute: signed twice, photographed, washed, complained of, mailed in vain.
fn lives_through_a_dispute(shop: &mut TestShop) -> Story {
    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", ADDRESS);
    let vehicle = shop.takes_in(&owner);
    let job = format!("/v1/jobs/{}", shop.coats(&vehicle));
    let (mut digests, mut said) = (Vec::new(), Vec::new());
    let who = shop.technician.clone();
    who.change(&job, &json!({"finishes": {"boot": "film"}})).ok();
    let coats = who.get(&format!("{job}/coats")).ok()["items"].as_array().unwrap().clone();
    let [glass, _, paint] = &coats[..] else { panic!("three coats: {coats:#?}") };
    let section = json!({"panels": ["bonnet"], "applied_at": "2026-03-09T09:05:00Z", "levelled_at": "2026-03-09T09:09:00Z"});
    who.change(&format!("{job}/coats/{}", id(paint)), &json!({"sections": [section]})).ok();
    who.change(&format!("{job}/coats/{}", id(glass)), &json!({"batch": "no-label"})).ok();
    let pass = json!({"code": "batch_unknown", "subject": format!("coat:{}", id(glass)), "reason": "The bottle was seen."});
    shop.manager.post(&format!("{job}/passes"), &pass).created();
    // It is another finding then, and has to be let be again.
    who.change(&format!("{job}/coats/{}", id(glass)), &json!({"batch": "no-label-2"})).ok();
    let pass = json!({"code": pass["code"], "subject": pass["subject"], "reason": "So was this one."});
    shop.manager.post(&format!("{job}/passes"), &pass).created();
    let read = json!({"panel": "bonnet", "when": "before", "spots": [{"spot": "a", "um": 112}, {"um": 118}]});
    who.post(&format!("{job}/paint-readings"), &read).created();
    let dent = json!({"panel": "boot", "kind": "dent", "size_mm": 12, "note": "Below the lock."});
    who.post(&format!("{job}/marks"), &dent).created();
    digests.push(photographs(&who, &job, "?panel=boot&note=The+dent", &jpeg(320, 240)));
    for (of, of_path, field) in
        [("check_in", "check-in", (600.0, 40.0)), ("handover", "handover", (40.0, 600.0))]
    {
        if of == "handover" {
            who.post(&format!("{job}/sign-off"), &json!({})).ok();
            let handover = json!({"on": "2026-03-10", "odometer": {"value": 412, "unit": "km"}});
            shop.desk.post(&format!("{job}/handover"), &handover).created();
        }
        digests.push(signs(&who, &job, of, of_path, field));
    }
    who.post(&format!("{job}/addenda"), &json!({"note": "The masking was renewed at noon."})).created();
    let glanced = json!({"climate": {"at": "2026-03-09T10:00:00Z", "air_c": 21.5, "rh_pct": 44.0}});
    who.post(&format!("{job}/addenda"), &glanced).created();
    digests.push(photographs(&who, &job, "?panel=roof", &jpeg(240, 320)));

    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    shop.it_is("2026-04-06T15:00:00Z");
    let wash = json!({"vehicle_id": vehicle, "on": "2026-04-06", "odometer": {"value": 2210, "unit": "km"},
                      "services": [{"service": "maintenance wash"}], "note": "No marks."});
    let visit = format!("/v1/visits/{}", id(&shop.technician.post("/v1/visits", &wash).created()));
    digests.push(photographs(&shop.technician, &visit, "?panel=bonnet&note=Beads+well", &jpeg(300, 200)));
    shop.ticks();
    let mails = shop.app.mailer.kept();
    assert_eq!(mails.len(), 2, "after handover and after the visit");
    for mail in &mails {
        digests.push(sha256(&mail.bytes));
        said.push(mail.message_id.clone());
    }
    // The second comes back.
    let words = format!("550 5.1.1 <{ADDRESS}>: no such mailbox");
    let back = json!({"report": report(&mails[1], "failed", "5.1.1", &words)});
    assert_eq!(shop.desk.post("/v1/notices/bounces", &back).ok()["failed"], true);
    let undelivered = shop.desk.get("/v1/tasks").ok()["items"][0].clone();
    assert_eq!(undelivered["kind"], "notice_failed");
    shop.desk.post(&format!("/v1/tasks/{}/done", id(&undelivered)), &json!({})).ok();

    shop.it_is("2026-04-20T09:00:00Z");
    let task = shop.hears_of_a_problem(&owner, &vehicle);
    digests.push(sha256(&jpeg(8, 8)));
    shop.desk.post(&format!("/v1/tasks/{}/done", id(&task)), &json!({})).ok();
    let slip = json!({"kind": "repair", "on": "2026-04-18", "surface": "paint", "panel": "roof"});
    let slip = shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &slip).created();
    let back = json!({"kind": "retract", "event": id(&slip), "reason": "It was another vehicle."});
    shop.desk.post(&format!("/v1/vehicles/{vehicle}/events"), &back).created();
    let looked = json!({"panels": [{"panel": "bonnet", "as_arrived": "flat", "decontaminated": "slow", "gloss_gu": 88.0}],
                        "overruled": {"outcome": "in_order", "reason": "Seen again in the sun."}});
    let looked = json!({"vehicle_id": vehicle, "on": "2026-04-20",
                        "services": [{"service": "inspection", "inspection": looked}]});
    shop.technician.post("/v1/visits", &looked).created();
    let ill = json!({"upkeep": "wash", "number": 2, "on": "2026-04-20", "reason": "The owner was ill."});
    shop.manager.post("/v1/warranties/W-2026-0001/waivers", &ill).created();

    // What falls due is not mailed to an address that refuses.
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    let answer = json!({"upkeep": "annual", "number": 1, "answer": "will_come", "note": "After the fair."});
    shop.desk.post("/v1/warranties/W-2026-0001/answers", &answer).created();
    let booking = json!({"vehicle_id": vehicle, "at": "2027-02-08T09:30:00Z", "note": "Brings it by herself.",
                         "dues": [{"warranty": "W-2026-0001", "upkeep": "annual", "number": 1}]});
    shop.desk.post("/v1/appointments", &booking).created();

    said.extend(
        [
            "Signed at check-in 10 March 2026 at 08:00, by Ada <Ferro>",
            "Signed at handover 10 March 2026 at 08:00, by Ada <Ferro>",
            "Boot: film",
            "a: 112 µm, 118 µm",
            "2026-03-09 09:05 2026-03-09 09:09",
            "base-30-0417 usable",
            "no-label-2 not registered",
            "passed by The manager on 2026-03-10 08:00: So was this one.",
            "Passed by a manager, and changed since",
            "The bottle was seen. 2026-03-10 08:00, by The manager",
            "Inspection on 20 April 2026",
            "The inspector decided otherwise In order Seen again in the sun.",
            "Bonnet lies flat and stays runs off slowly",
            "Waived: wash #2 Reason: The owner was ill.",
            "Entered after the sign-off",
            "The masking was renewed at noon. Tomás (technician)",
            "Air 21.5 °C, Humidity 44%",
            "Roof, 2026-03-10 08:00 entered after the sign-off",
            "The dent",
            "Photos of the visit on 6 April 2026 What Maintenance wash Entered 2026-04-06 16:00, by Tomás (technician)",
            "Beads well",
            "The owner reported a problem",
            "20 April 2026 at 10:00, by Ada Ferro",
            "In their words A spot.",
            "settled it on 2026-04-20 10:00, Dora (desk)",
            "W-2026-0001 annual #1 will come After the fair.",
            "W-2026-0001 annual #1 booked Brings it by herself.",
            ADDRESS,
            "What was done",
            "sent mail 1",
            "failed mail 2",
            "no such mailbox",
            "held back",
            "A mail could not be delivered",
            "Ada Ferro owner 10 March 2026",
            "Reason: It was another vehicle.",
            "No marks.",
        ]
        .map(str::to_owned),
    );
    let alts = [
        "Signature of Ada <Ferro>, drawn by hand",
        "Photo of job J-2026-0001: Boot",
        "Photo of the visit on 6 April 2026: Bonnet",
        "The owner reported a problem: Vehicle",
    ];
    Story { vehicle, digests, said, alts: alts.map(str::to_owned).to_vec() }
}

fn alts(read: &Value) -> Vec<&str> {
    read["structure"].as_array().unwrap().iter().filter_map(|element| element["alt"].as_str()).collect()
}

fn what_was_signed_photographed_added_and_told_is_in_the_file(mut shop: TestShop) {
    let story = lives_through_a_dispute(&mut shop);
    let path = format!("/v1/vehicles/{}/dispute-file.pdf", story.vehicle);
    let (read, text) = printed(&shop.manager, &path);
    holds_what_it_claims(&read, "en");
    let plain = text.replace(' ', "");
    for digest in &story.digests {
        assert!(plain.contains(digest), "{digest} in {text}");
    }
    for said in &story.said {
        assert!(plain.contains(&said.replace(' ', "")), "{said:?} in {text}");
    }
    for alt in &story.alts {
        assert!(alts(&read).contains(&alt.as_str()), "{alt:?} in {:?}", alts(&read));
    }
    assert_eq!(alts(&read).iter().filter(|alt| alt.starts_with("Signature of")).count(), 2);
    // The link of an owner opens what is theirs: it stands in no document.
    assert!(!text.contains("/my/"), "{text}");
    assert!(
        asks(&shop.manager, &path).bytes == asks(&shop.manager, &path).bytes,
        "printed again it is the same"
    );

    // Others read histories: nothing of it is there.
    for path in [
        format!("/v1/vehicles/{}/history.pdf", story.vehicle),
        "/v1/warranties/W-2026-0001/history.pdf".to_owned(),
    ] {
        let (read, text) = printed(&shop.manager, &path);
        let plain = text.replace(' ', "");
        for digest in &story.digests {
            assert!(!plain.contains(digest), "{path}: {digest} in {text}");
        }
        for said in [
            "Ferro",
            "ada.ferro",
            "masking",
            "Signed at",
            "A spot.",
            "fair",
            "No marks.",
            "another vehicle",
            "SHA-256",
            "in the sun",
            "was ill",
            "bottle was seen",
            "Dora",
        ] {
            assert!(!text.contains(said), "{path}: {said:?} in {text}");
        }
        for alt in &story.alts {
            assert!(!alts(&read).contains(&alt.as_str()), "{path}: {alt:?}");
        }
    }
    assert_eq!(asks(&shop.neighbour(), &path).status, 404);
}

/// All that the shop has on record.
fn records(shop: &TestShop) -> Vec<lustrum::db::records::RecordRow> {
    let manager = lustrum::app::sessions::act_for(&shop.app, "ines@quayside.example").unwrap();
    let rows = shop
        .app
        .db
        .read::<_, lustrum::app::Error>(|c| Ok(lustrum::db::records::list(c, &manager.shop, 0, i64::MAX)?));
    rows.unwrap()
}

/// The neighbour knows it by its VIN: from then on it has the neighbour's id, and the records their old subject.
fn what_was_on_record_before_the_vin_was_known_stays_in_the_file(shop: TestShop) {
    let theirs = json!({"vin": "1M8GDM9AXKP042788", "plate": "NB-1"});
    let theirs = id(&shop.neighbour().post("/v1/vehicles", &theirs).created());
    let ours = shop.adds_vehicle("QC-1");
    let reading = json!({"on": "2026-03-09", "odometer": {"value": 412, "unit": "km"}});
    shop.desk.post(&format!("/v1/vehicles/{ours}/readings"), &reading).created();
    let joined = shop.desk.change(&format!("/v1/vehicles/{ours}"), &json!({"vin": "1M8GDM9AXKP042788"})).ok();
    assert_eq!(id(&joined), theirs);
    let text = printed(&shop.manager, &format!("/v1/vehicles/{theirs}/dispute-file.pdf")).1.replace(' ', "");
    let all = records(&shop);
    assert!(all.iter().any(|row| row.subject == format!("vehicle:{ours}")), "{all:?}");
    for row in all {
        let digest = sha256(row.body.as_bytes());
        assert!(text.contains(&digest), "record {} ({} of {}) in {text}", row.seq, row.kind, row.subject);
    }
}

fn the_log_is_sealed_as_it_stands(mut shop: TestShop) {
    let story = lives_through_a_dispute(&mut shop);
    let path = format!("/v1/vehicles/{}/dispute-file.pdf", story.vehicle);
    let sealed = |shop: &TestShop| {
        let bodies: Vec<Vec<u8>> = records(shop).into_iter().map(|row| row.body.into_bytes()).collect();
        let text = printed(&shop.manager, &path).1;
        let (count, head) = (format!("held {} records", bodies.len()), hex(&head(&bodies)));
        assert!(text.contains(&count), "{count} in {text}");
        let text = text.replace(' ', "");
        assert!(text.contains(&head), "{head} in {text}");
        (head, text)
    };
    let (before, text) = sealed(&shop);
    // Until now all that the shop has on record is about this vehicle, or the terms that it is covered on.
    for row in records(&shop) {
        let digest = sha256(row.body.as_bytes());
        assert!(text.contains(&digest), "record {} ({} of {}) in {text}", row.seq, row.kind, row.subject);
    }
    // Whatever the shop keeps on record, of whichever vehicle, moves the head.
    let owner = shop.adds_customer("Bruno Salt", "bruno@example.org");
    shop.delivers_another(&owner, "QC-418");
    let (after, text) = sealed(&shop);
    assert_ne!(after, before);
    let other = records(&shop).pop().unwrap();
    assert!(!text.contains(&sha256(other.body.as_bytes())), "{} is about another vehicle", other.subject);
}

fn a_file_says_where_there_is_nothing(shop: TestShop) {
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let job = json!({"vehicle_id": vehicle, "odometer": {"value": 412, "unit": "km"}});
    let job = format!("/v1/jobs/{}", id(&shop.technician.post("/v1/jobs", &job).created()));
    shop.desk.post(&format!("{job}/cancel"), &json!({"reason": "The owner left again."})).ok();
    let (read, text) = printed(&shop.desk, &format!("/v1/vehicles/{vehicle}/dispute-file.pdf"));
    holds_what_it_claims(&read, "en");
    for said in [
        "Cancelled because The owner left again.",
        "Nothing was signed by the owner.",
        "Appointments Nothing is on record.",
        "What the owner answered Nothing is on record.",
        "What was reported Nothing is on record.",
        "What the owner was told Nothing is on record.",
    ] {
        assert!(text.contains(said), "{said:?} in {text}");
    }
}

fn the_file_is_told_in_each_language(mut shop: TestShop) {
    let story = lives_through_a_dispute(&mut shop);
    for (language, said) in [
        ("en", ["Signed at check-in", "In their words A spot.", "failed mail 2"]),
        ("de", ["Unterschrieben bei der Annahme", "Wörtlich A spot.", "gescheitert E-Mail 2"]),
        ("es", ["Firmado en la recepción", "En sus palabras A spot.", "fallido correo 2"]),
        ("fr", ["Signé à la réception", "Dans ses mots A spot.", "échoué e-mail 2"]),
        ("pt", ["Assinado na receção", "Pelas suas palavras A spot.", "falhado e-mail n.º 2"]),
    ] {
        let path = format!("/v1/vehicles/{}/dispute-file.pdf?language={language}", story.vehicle);
        let (read, text) = printed(&shop.manager, &path);
        holds_what_it_claims(&read, language);
        let plain = text.replace(' ', "");
        for said in said {
            assert!(plain.contains(&said.replace(' ', "")), "{language}: {said:?} in {text}");
        }
        for digest in &story.digests {
            assert!(plain.contains(digest), "{language}: {digest} in {text}");
        }
    }
}
