//! Documents over HTTP: printed from what is on record, in the language of whoever reads them.

use serde_json::{Value, json};

use crate::api::main_job::VIN;
use crate::support::database::on_both;
use crate::support::papers::{holds_what_it_claims, kept, read_pdf, text_of};
use crate::support::server::{Answer, Client};
use crate::support::shop::{TestShop, id};

on_both!(
    a_certificate_is_printed_from_what_was_promised,
    a_void_warranty_keeps_its_certificate_which_says_so,
    a_document_is_in_the_language_of_its_reader,
    a_card_says_until_when_a_fresh_coating_is_kept_dry,
    a_job_sheet_tells_cautions_first_and_then_the_whole_job,
    a_history_tells_every_job_visit_and_figure,
    a_dispute_file_holds_everything_with_its_proofs,
    a_label_has_the_code_that_the_door_has,
);

/// Asks for a document.
pub(crate) fn asks(client: &Client, path: &str) -> Answer {
    client.call("GET", path, &[("Accept", "application/pdf")], None)
}

/// A document, read by others; it has to be one.
pub(crate) fn printed(client: &Client, path: &str) -> (Value, String) {
    let answer = asks(client, path);
    assert_eq!(
        (answer.status, answer.header("content-type")),
        (200, Some("application/pdf")),
        "{path}: {}",
        answer.text
    );
    kept(path, &answer.bytes);
    let read = read_pdf(&answer.bytes);
    let text = text_of(&read);
    (read, text)
}

fn a_certificate_is_printed_from_what_was_promised(mut shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let number = warranty["number"].as_str().unwrap();
    let path = format!("/v1/warranties/{number}/certificate.pdf");
    let (read, text) = printed(&shop.desk, &path);
    holds_what_it_claims(&read, "en");
    let code = warranty["verify_code"].as_str().unwrap();
    assert_eq!(read["codes"], json!([format!("http://127.0.0.1:8080/verify/{code}")]));
    let record = shop.records("handover").len();
    assert_eq!(record, 1);
    for said in [
        number,
        VIN,
        "QC-417",
        "Corvina Estate",
        "Issued to Ada Ferro",
        "Five years, two coats",
        "Paint Bonnet, roof 10 March 2031 120,000 km from the start",
        "Glass Windscreen 10 September 2027 no limit",
        "Job J-2026-0001",
    ] {
        assert!(text.contains(said), "{said:?} in {text}");
    }
    // The record of the handover seals it.
    let manager = lustrum::app::sessions::act_for(&shop.app, "ines@quayside.example").unwrap();
    let rows = shop
        .app
        .db
        .read::<_, lustrum::app::Error>(|c| Ok(lustrum::db::records::list(c, &manager.shop, 0, i64::MAX)?));
    let rows = rows.unwrap();
    let handover = rows.iter().find(|row| row.kind == "handover").unwrap();
    assert!(
        text.replace(' ', "").contains(&format!("Recordnumber{}ItsSHA-256{}", handover.seq, handover.digest)),
        "{text}"
    );

    // What was promised does not change with the days, nor by what happens.
    let first = asks(&shop.desk, &path);
    shop.it_is("2027-05-01T09:00:00Z");
    let later = asks(&shop.desk, &path);
    assert_eq!((&later.bytes, later.header("etag")), (&first.bytes, first.header("etag")));
    let known = [("Accept", "application/pdf"), ("If-None-Match", first.header("etag").unwrap())];
    assert_eq!(shop.desk.call("GET", &path, &known, None).status, 304);
    assert_eq!(first.header("content-disposition"), Some("inline; filename=\"W-2026-0001.pdf\""));

    assert_eq!(
        asks(&shop.neighbour(), &format!("/v1/warranties/{}/certificate.pdf", id(&warranty))).status,
        404
    );
}

fn a_void_warranty_keeps_its_certificate_which_says_so(shop: TestShop) {
    let (_, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}", id(&warranty));
    shop.manager.post(&format!("{path}/void"), &json!({"reason": "Issued in error."})).ok();
    let (read, text) = printed(&shop.desk, &format!("{path}/certificate.pdf"));
    holds_what_it_claims(&read, "en");
    assert!(text.contains("This warranty is void It was issued in error"), "{text}");
    assert!(!text.contains("Issued in error."), "the reason is the shop's own: {text}");
}

fn a_document_is_in_the_language_of_its_reader(shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let path = format!("/v1/warranties/{}/certificate.pdf", id(&warranty));
    let owner =
        shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].as_str().unwrap().to_owned();
    shop.desk.change(&format!("/v1/customers/{owner}"), &json!({"language": "de-AT"})).ok();
    let (read, text) = printed(&shop.desk, &path);
    holds_what_it_claims(&read, "de");
    assert!(
        text.contains("Lackierung")
            || text.contains("Lack Motorhaube, Dach 10. März 2031 120.000 km ab Beginn"),
        "{text}"
    );
    for (language, said) in [
        ("fr", "Certificat de garantie"),
        ("pt", "Certificado de garantia"),
        ("es", "Certificado de garantía"),
        ("en", "Warranty certificate"),
    ] {
        let (read, text) = printed(&shop.desk, &format!("{path}?language={language}"));
        holds_what_it_claims(&read, language);
        assert!(text.contains(said), "{said} in {text}");
    }
    let fault = asks(&shop.desk, &format!("{path}?language=nl&paper=a5"));
    assert_eq!(fault.status, 400);
    assert_eq!(fault.body["errors"].as_array().unwrap().len(), 2, "{}", fault.body);

    // Paper as it is asked for, else as the shop has it.
    assert_eq!(read["sizes_mm"][0], json!([210, 297]));
    assert_eq!(printed(&shop.desk, &format!("{path}?paper=letter")).0["sizes_mm"][0], json!([216, 279]));
    shop.manager.change("/v1/shop", &json!({"paper": "letter"})).ok();
    assert_eq!(printed(&shop.desk, &path).0["sizes_mm"][0], json!([216, 279]));
    assert_eq!(printed(&shop.desk, &format!("{path}?paper=a4")).0["sizes_mm"][0], json!([210, 297]));
}

fn a_card_says_until_when_a_fresh_coating_is_kept_dry(shop: TestShop) {
    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let job = shop.coats(&vehicle);
    let path = format!("/v1/jobs/{job}/winter-card.pdf");
    let (read, text) = printed(&shop.technician, &path);
    holds_what_it_claims(&read, "en");
    assert_eq!(read["text"].as_array().unwrap().len(), 1, "one page");
    // Twelve equivalent hours after the last coat at 20.5 °C in the air and 19 °C on the panel: that evening is over by now.
    for said in [
        "Fresh coating: keep it dry",
        "Leaves the shop 10 March 2026 at 08:00",
        "Keep dry until",
        "First wash from",
        "estimates",
        "Until then, never",
        "Scrape",
        "Europe/Lisbon",
    ] {
        assert!(text.to_lowercase().contains(&said.to_lowercase()), "{said:?} in {text}");
    }
    // The card says what the clocks say.
    let care = shop.technician.get(&format!("/v1/jobs/{job}/cure")).ok();
    let wash = care["milestones"]
        .as_array()
        .unwrap()
        .iter()
        .find(|one| one["name"] == "wash-safe" && one["panel"].is_null())
        .unwrap();
    let expected: chrono::DateTime<chrono::Utc> = wash["expected_at"].as_str().unwrap().parse().unwrap();
    let hour = expected + chrono::TimeDelta::seconds(3599);
    let shown = format!("First wash from {} at {}:00", hour.format("%-d %B %Y"), hour.format("%H"));
    assert!(text.contains(&shown), "{shown:?} in {text}");
    let (read, text) = printed(&shop.technician, &format!("{path}?language=pt&paper=letter"));
    holds_what_it_claims(&read, "pt");
    assert_eq!(read["text"].as_array().unwrap().len(), 1, "one page");
    assert!(text.contains("Manter seco até"), "{text}");
}

fn a_job_sheet_tells_cautions_first_and_then_the_whole_job(shop: TestShop) {
    shop.stocks_up();
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let job = shop.coats(&vehicle);
    let path = format!("/v1/jobs/{job}");
    let mark = json!({"panel": "boot", "kind": "stone_chip", "size_mm": 2, "note": "by the lock"});
    shop.technician.post(&format!("{path}/marks"), &mark).created();
    let reading = json!({"panel": "bonnet", "when": "before", "spots": [{"um": 112}, {"um": 118}]});
    shop.technician.post(&format!("{path}/paint-readings"), &reading).created();
    let (read, open) = printed(&shop.technician, &format!("{path}/sheet.pdf"));
    holds_what_it_claims(&read, "en");
    for said in [
        "The safety data sheet of each product and the local rules decide.",
        "Isocyanates: only trained people",
        "Solvents:",
        "Boot (paint) stone chip 2 mm by the lock",
        "115 µm (2 readings)",
        "Panel wipe",
        "base-30-0417",
        "20.5 °C",
        "48%",
        "Tomás (technician)",
        "Not signed off yet.",
        "Owner Ada Ferro",
        "The checks found nothing.",
    ] {
        assert!(open.contains(said), "{said:?} in {open}");
    }
    assert!(open.find("Cautions") < open.find("As it came"), "cautions come first");
    shop.technician.post(&format!("{path}/sign-off"), &json!({})).ok();
    let signed = shop.technician.get(&path).ok();
    let (_, text) = printed(&shop.technician, &format!("{path}/sheet.pdf"));
    assert!(
        text.replace(' ', "").contains(signed["record"]["digest"].as_str().unwrap()),
        "{signed} in {text}"
    );
}

/// A vehicle that was delivered, inspected with figures, washed, repaired, and of which an entry was taken back.
fn lives_on(shop: &mut TestShop) -> (String, Value) {
    let (vehicle, warranty) = shop.delivers();
    shop.it_is("2027-02-10T09:00:00Z");
    let wash = json!({"vehicle_id": vehicle, "on": "2026-04-06", "odometer": {"value": 2210, "unit": "km"},
                      "services": [{"service": "maintenance wash"}], "note": "No marks."});
    shop.technician.post("/v1/visits", &wash).created();
    let look = json!({"vehicle_id": vehicle, "on": "2027-02-08", "odometer": {"value": 14_120, "unit": "km"},
                      "services": [{"service": "inspection", "finding": "Swirl marks on the boot.",
                                    "figures": {"bonnet": {"contact_angle_deg": 96.4, "gloss_gu": 88.0}}}]});
    shop.technician.post("/v1/visits", &look).created();
    let events = format!("/v1/vehicles/{vehicle}/events");
    shop.desk
        .post(&events, &json!({"kind": "repair", "on": "2026-09-01", "surface": "paint", "panel": "roof"}))
        .created();
    let slip = shop
        .desk
        .post(&events, &json!({"kind": "repair", "on": "2026-09-02", "surface": "paint", "panel": "bonnet"}))
        .created();
    shop.desk
        .post(&events, &json!({"kind": "retract", "event": id(&slip), "reason": "It was the roof."}))
        .created();
    (vehicle, warranty)
}

fn a_history_tells_every_job_visit_and_figure(mut shop: TestShop) {
    let (vehicle, warranty) = lives_on(&mut shop);
    for path in [
        format!("/v1/vehicles/{vehicle}/history.pdf"),
        format!("/v1/warranties/{}/history.pdf", id(&warranty)),
    ] {
        let (read, text) = printed(&shop.desk, &path);
        holds_what_it_claims(&read, "en");
        for said in [
            "As of 10 February 2027",
            "W-2026-0001",
            "Paint in force 10 March 2026 10 March 2031",
            "J-2026-0001",
            "base-30-0417",
            "top-10",
            "1 reading: air 20.5 to 20.5 °C",
            "Maintenance wash",
            "Inspection",
            "Swirl marks on the boot.",
            "contact angle (°) 96.4",
            "gloss (GU) 88.0",
            "Repaired or repainted: roof (paint)",
            "Roof (paint): out of cover since 1 September 2026",
            "14,120",
            "annual #1",
        ] {
            assert!(text.contains(said), "{said:?} in {text}");
        }
        assert!(!text.contains("Repaired or repainted: bonnet"), "what was taken back is left out: {text}");
        assert!(
            !text.contains("Ferro") && !text.contains("No marks."),
            "whoever buys the vehicle may read it, and notes are the shop's own: {text}"
        );
    }
    assert_eq!(asks(&shop.neighbour(), &format!("/v1/vehicles/{vehicle}/history.pdf")).status, 404);
}

fn a_dispute_file_holds_everything_with_its_proofs(mut shop: TestShop) {
    let (vehicle, _) = lives_on(&mut shop);
    let job = "/v1/jobs/J-2026-0001";
    let photo = crate::support::pictures::jpeg(320, 240);
    let kept_photo = shop
        .technician
        .send("POST", &format!("{job}/photos?panel=bonnet"), &[("Content-Type", "image/jpeg")], Some(&photo))
        .created();
    let (read, text) = printed(&shop.manager, &format!("/v1/vehicles/{vehicle}/dispute-file.pdf"));
    holds_what_it_claims(&read, "en");
    let plain = text.replace(' ', "");
    let manager = lustrum::app::sessions::act_for(&shop.app, "ines@quayside.example").unwrap();
    let rows = shop
        .app
        .db
        .read::<_, lustrum::app::Error>(|c| Ok(lustrum::db::records::list(c, &manager.shop, 0, i64::MAX)?));
    let about =
        |kind: &str| ["sign_off", "handover", "visit", "event", "retraction", "addendum"].contains(&kind);
    let rows: Vec<_> = rows.unwrap().into_iter().filter(|row| about(&row.kind)).collect();
    assert!(rows.len() >= 6, "{}", rows.len());
    for row in &rows {
        assert!(plain.contains(&row.digest.to_string()), "record {} ({}) in {text}", row.seq, row.kind);
    }
    assert!(plain.contains(kept_photo["digest"].as_str().unwrap()), "the digest of the photo in {text}");
    for said in [
        "Why it stands so",
        "Taken back: Repaired or repainted: bonnet (paint)",
        "No marks.",
        "Photo of",
        "Swirl marks on the boot.",
    ] {
        let there = text.contains(said)
            || read["structure"]
                .as_array()
                .unwrap()
                .iter()
                .any(|one| one["alt"].as_str().is_some_and(|alt| alt.contains(said)));
        assert!(there, "{said:?} in {text}");
    }
}

fn a_label_has_the_code_that_the_door_has(mut shop: TestShop) {
    let owner = shop.adds_customer("Ada Ferro", "ada@example.org");
    let vehicle = shop.takes_in(&owner);
    let (label, link) =
        (format!("/v1/vehicles/{vehicle}/door-label.pdf"), format!("/v1/vehicles/{vehicle}/door-link"));
    let (read, text) = printed(&shop.technician, &label);
    holds_what_it_claims(&read, "en");
    assert_eq!(read["sizes_mm"], json!([[70, 37]]));
    let first = shop.desk.get(&link).ok();
    assert_eq!(read["codes"], json!([first["url"]]));
    assert!(text.contains("QC-417") && !text.contains("Ferro"), "nothing personal: {text}");
    let first_file = asks(&shop.technician, &label).bytes;
    shop.it_is("2026-05-04T09:00:00Z");
    assert!(asks(&shop.technician, &label).bytes == first_file, "printed again it is the same");
    let renewed = shop.desk.post(&link, &json!({})).created();
    assert_ne!(renewed["url"], first["url"]);
    let (read, _) = printed(&shop.technician, &format!("{label}?language=fr"));
    holds_what_it_claims(&read, "fr");
    assert_eq!(read["codes"], json!([renewed["url"]]));
    assert_eq!(asks(&shop.neighbour(), &label).status, 404);
}
