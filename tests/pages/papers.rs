//! What owners hold in their hands: the certificate that comes with a mail, and the documents behind their link.

use serde_json::json;

use super::links::Holder;
use crate::support::database::on_both;
use crate::support::papers::{holds_what_it_claims, read_pdf, text_of};
use crate::support::server::Answer;
use crate::support::shop::{TestShop, id};

on_both!(
    a_certificate_comes_with_the_mail_after_handover,
    a_mail_without_a_warranty_has_no_certificate,
    an_owner_prints_what_is_theirs_now,
);

const PDF: (&str, &str) = ("Accept", "application/pdf");

fn prints(holder: &Holder, path: &str) -> Answer {
    holder.nobody.call("GET", &format!("{}{path}", holder.path), &[PDF], None)
}

/// The document behind an owner's link, read by others; it has to be one.
fn printed(holder: &Holder, path: &str, language: &str) -> String {
    let answer = prints(holder, path);
    assert_eq!((answer.status, answer.header("content-type")), (200, Some("application/pdf")), "{path}");
    let read = read_pdf(&answer.bytes);
    holds_what_it_claims(&read, language);
    text_of(&read)
}

/// The documents that came with the mails so far, by name.
fn enclosed(shop: &TestShop) -> Vec<(String, Vec<u8>)> {
    use mail_parser::MimeHeaders as _;
    let mut found = Vec::new();
    for mail in shop.app.mailer.kept() {
        let read = mail_parser::MessageParser::default().parse(&mail.bytes).unwrap();
        let pdfs = read
            .attachments()
            .filter(|part| part.content_type().is_some_and(|kind| kind.subtype() == Some("pdf")));
        found.extend(pdfs.map(|part| (part.attachment_name().unwrap().to_owned(), part.contents().to_vec())));
    }
    found
}

/// What the mails so far say.
fn texts(shop: &TestShop) -> Vec<String> {
    let text = |mail: lustrum::mail::Outgoing| {
        let read = mail_parser::MessageParser::default().parse(&mail.bytes)?;
        Some(read.body_text(0)?.into_owned())
    };
    shop.app.mailer.kept().into_iter().filter_map(text).collect()
}

fn a_certificate_comes_with_the_mail_after_handover(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let ada = shop.who_owns(&vehicle);
    shop.desk.change(&format!("/v1/customers/{ada}"), &json!({"language": "pt"})).ok();
    shop.ticks();
    let [(name, bytes)] = &enclosed(&shop)[..] else { panic!("one document: {:?}", shop.mails()) };
    assert_eq!(*name, format!("{}.pdf", warranty["number"].as_str().unwrap()));
    let read = read_pdf(bytes);
    holds_what_it_claims(&read, "pt");
    // The desk prints the same file.
    let path = format!("/v1/warranties/{}/certificate.pdf", id(&warranty));
    assert!(shop.desk.call("GET", &path, &[PDF], None).bytes == *bytes, "the same file");
    let text = texts(&shop).into_iter().find(|text| text.contains("em anexo, em PDF")).expect("says so");
    // The mail leads to the history, as it will be when somebody looks.
    let history = text.split_whitespace().find(|word| word.contains("/history.pdf")).expect("a link");
    let history = Holder::at(&shop, history.trim_matches(|sign: char| "<>().".contains(sign)));
    shop.it_is("2027-02-10T09:00:00Z");
    let wash = json!({"vehicle_id": vehicle, "on": "2027-02-08", "odometer": {"value": 14_120, "unit": "km"},
                      "services": [{"service": "inspection"}]});
    shop.technician.post("/v1/visits", &wash).created();
    assert!(printed(&history, "", "pt").contains("14 120"));
    // After a visit there is nothing new to certify.
    shop.ticks();
    assert_eq!(enclosed(&shop).len(), 1);
}

fn a_mail_without_a_warranty_has_no_certificate(shop: TestShop) {
    let (_, warranty) = shop.delivers();
    shop.manager
        .post(&format!("/v1/warranties/{}/void", id(&warranty)), &json!({"reason": "Issued in error."}))
        .ok();
    shop.ticks();
    assert!(!texts(&shop).is_empty());
    assert_eq!(enclosed(&shop), []);
    assert!(texts(&shop).iter().all(|text| !text.contains("certificate")), "{:?}", texts(&shop));
}

fn an_owner_prints_what_is_theirs_now(mut shop: TestShop) {
    let (vehicle, warranty) = shop.delivers();
    let holder = shop.gives_link(&shop.who_owns(&vehicle));
    let page = holder.sees().text;
    let certificate = format!("/warranties/{}/certificate.pdf", warranty["number"].as_str().unwrap());
    let history = format!("/vehicles/{vehicle}/history.pdf");
    for path in [&certificate, &history] {
        assert!(page.contains(&format!("href=\"{}{path}\"", holder.path)), "{path} in {page}");
    }
    assert!(printed(&holder, &certificate, "en").contains("Issued to Ada Ferro"));
    assert!(printed(&holder, &format!("{history}?language=de"), "de").contains("J-2026-0001"));
    assert_eq!(prints(&holder, &format!("{history}?language=nl")).status, 400);

    // Another vehicle of the shop is not theirs, nor is one that they sold.
    let other = shop.adds_customer("Bo Lindqvist", "bo@owners.example");
    let others = shop
        .desk
        .post("/v1/vehicles", &json!({"vin": null, "plate": "BO-1", "customer_id": other}))
        .created();
    assert_eq!(prints(&holder, &format!("/vehicles/{}/history.pdf", id(&others))).status, 404);
    shop.it_is("2026-05-04T09:00:00Z");
    shop.desk
        .post(
            &format!("/v1/vehicles/{vehicle}/transfers"),
            &json!({"on": "2026-05-02", "customer_id": other}),
        )
        .created();
    for path in [&certificate, &history] {
        assert_eq!(prints(&holder, path).status, 404, "{path}");
    }
    // Whom it was issued to is nobody else's to know.
    let buyer = shop.gives_link(&other);
    let text = printed(&buyer, &certificate, "en");
    assert!(text.contains("W-2026-0001") && !text.contains("Ferro"), "{text}");
    // What opens the page opens the documents, and no longer than that.
    shop.desk.post(&format!("/v1/customers/{other}/links/revoke"), &json!({})).ok();
    assert_eq!(prints(&buyer, &certificate).status, 410);
}
