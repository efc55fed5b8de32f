//! The pages behind the links that mails carry: what they show, that reading them changes nothing, and that nothing
//! personal stands on them.

use serde_json::{Value, json};

use super::{page, plain};
use crate::support::database::on_both;
use crate::support::shop::{TestShop, id};

on_both!(
    an_owner_ends_mails_by_one_click_and_has_them_again,
    anybody_with_the_code_sees_how_a_warranty_stands
);

impl TestShop {
    /// The raw mail that was handed over last, unfolded.
    fn last_mail(&self) -> String {
        let bytes = self.app.mailer.kept().pop().expect("a mail").bytes;
        String::from_utf8(bytes).unwrap().replace("\r\n ", " ")
    }
}

/// The path of the first link in angle brackets of a header.
fn linked(mail: &str, header: &str) -> String {
    let line = mail.lines().find_map(|line| line.strip_prefix(&format!("{header}: "))).expect("the header");
    let link = line.split(['<', '>']).nth(1).unwrap();
    link.strip_prefix("http://127.0.0.1:8080").expect("at the public address").to_owned()
}

const FORM: [(&str, &str); 1] = [("Content-Type", "application/x-www-form-urlencoded")];

fn an_owner_ends_mails_by_one_click_and_has_them_again(mut shop: TestShop) {
    let (vehicle, _) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let customer = shop.desk.get(&format!("/v1/vehicles/{vehicle}")).ok()["customer_id"].clone();
    let customer = format!("/v1/customers/{}", customer.as_str().unwrap());
    let wants = |shop: &TestShop| shop.desk.get(&customer).ok()["mail"].clone();
    let link = linked(&shop.last_mail(), "List-Unsubscribe");
    let nobody = shop.manager.anonymous();

    let shown = page(&nobody, &link);
    assert!(
        shown.text.contains("You get mails about what was done")
            && shown.text.contains("<form method=\"post\">")
    );
    assert!(!shown.text.contains("Ada"), "nothing personal");
    assert_eq!(shown.header("cache-control"), Some("no-store"));
    assert!(shown.header("content-security-policy").unwrap().contains("form-action 'self'"));
    assert_eq!(wants(&shop), json!({"upkeep": true, "history": true}), "reading changes nothing");

    // RFC 8058 §3.2: what a mail program posts, with no cookie and no page before it. Twice is once.
    for _ in 0..2 {
        let ended = nobody.send("POST", &link, &FORM, Some(b"List-Unsubscribe=One-Click"));
        assert_eq!((ended.status, ended.header("content-type")), (200, Some("text/html; charset=utf-8")));
        assert!(ended.text.contains("You get no more mails about what was done"), "{}", ended.text);
        assert_eq!(wants(&shop), json!({"upkeep": true, "history": false}));
    }
    let visit =
        json!({"vehicle_id": vehicle, "on": "2026-03-10", "services": [{"service": "maintenance wash"}]});
    shop.technician.post("/v1/visits", &visit).created();
    shop.it_is("2027-01-25T09:00:00Z");
    shop.ticks();
    assert_eq!(shop.mails().len(), 2, "of what was done nothing came; what falls due did");
    let upkeep = linked(&shop.last_mail(), "List-Unsubscribe");
    assert_ne!(upkeep, link);
    nobody.send("POST", &upkeep, &FORM, Some(b"again=no"));
    assert_eq!(wants(&shop), json!({"upkeep": false, "history": false}));
    let again = nobody.send("POST", &link, &FORM, Some(b"again=yes"));
    assert!(again.text.contains("You get mails about what was done"));
    assert_eq!(wants(&shop), json!({"upkeep": false, "history": true}));

    // A link that was not made here leads nowhere, and changes nothing.
    let mut forged = link.clone();
    let last = forged.pop().unwrap();
    forged.insert(forged.len() - 8, if last == 'A' { 'B' } else { 'A' });
    for link in [forged.as_str(), "/unsubscribe/x", "/unsubscribe/"] {
        nobody.call("GET", link, &[], None).refused(404, "not_found");
        nobody.send("POST", link, &FORM, Some(b"again=no")).refused(404, "not_found");
    }
    assert_eq!(nobody.call("PUT", &link, &[], None).header("allow"), Some("GET, POST, HEAD"));
    nobody.send("POST", &link, &FORM, Some(&[b'x'; 5_000])).refused(413, "too_large");
    assert_eq!(wants(&shop), json!({"upkeep": false, "history": true}));
}

fn anybody_with_the_code_sees_how_a_warranty_stands(mut shop: TestShop) {
    let (_, warranty) = shop.delivers();
    shop.it_is("2026-03-10T08:01:00Z");
    shop.ticks();
    let path = format!("/v1/warranties/{}", id(&warranty));
    let issued: Value = shop.manager.get(&path).ok();
    let code = issued["verify_code"].as_str().unwrap().to_owned();
    let sent = shop.app.mailer.kept().pop().unwrap().bytes;
    let sent = mail_parser::MessageParser::default().parse(&sent).unwrap();
    assert!(
        sent.body_text(0).unwrap().contains(&format!("http://127.0.0.1:8080/verify/{code}")),
        "the mail leads there"
    );

    let nobody = shop.manager.anonymous();
    let shown = plain(&page(&nobody, &format!("/verify/{code}")).text);
    for says in [
        issued["number"].as_str().unwrap(),
        "genuine, and in force",
        "Corvina Estate",
        "paint: in force",
        "bonnet",
    ] {
        assert!(shown.contains(says), "{says} is missing: {shown}");
    }
    let vin = shop.desk.get(&format!("/v1/vehicles/{}", issued["vehicle_id"].as_str().unwrap())).ok()["vin"]
        .clone();
    let vin = vin.as_str().unwrap();
    assert!(shown.contains(&vin[11..]) && !shown.contains(vin), "its end, to compare with the vehicle");
    for personal in ["Ada", "Ferro", "ada@example.org", "QC-417"] {
        assert!(!shown.contains(personal), "{personal} is nobody's business");
    }
    // As people type it.
    let typed = format!("/verify/{}-{}", code[..10].to_lowercase(), &code[10..]);
    assert!(page(&nobody, &typed).text.contains("genuine"));
    for wrong in ["/verify/ABC", "/verify/AAAAAAAAAAAAAAAAAAAA"] {
        let page = nobody.call("GET", wrong, &[("Accept", "text/html")], None);
        assert!(page.status == 404 && page.text.contains("There is nothing here"), "{}", page.text);
    }

    // Years later it is on hold, and in the end it was issued in error.
    shop.it_is("2027-06-01T09:00:00Z");
    let shown = page(&nobody, &format!("/verify/{code}")).text;
    assert!(shown.contains("on hold") && !shown.contains("and in force."), "{shown}");
    shop.manager.post(&format!("{path}/void"), &json!({"reason": "Issued in error."})).ok();
    let shown = page(&nobody, &format!("/verify/{code}")).text;
    assert!(shown.contains("issued in error and is void") && !shown.contains("bonnet"), "{shown}");
}
