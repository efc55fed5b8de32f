//! What mails say, and that another library reads back what was meant.

use lustrum::core::calendar::Period;
use lustrum::core::terms::{Consequence, Rank};
use lustrum::core::words::NoticeKind;
use lustrum::mail::message::seal;
use lustrum::mail::said::{Letter, Mail, Section};
use lustrum::mail::texts::write;
use mail_parser::{MessageParser, MimeHeaders as _};

use super::{booking, handover, inspection, mail, missed, posting};

fn letter(mail: &Mail) -> Letter {
    write(mail).unwrap()
}

#[test]
fn missed_by_distance_is_said_in_distance() {
    let mut by_distance = missed();
    by_distance.due.closes_km = Some(10_500);
    by_distance.since = super::day("2027-01-20");
    let text = letter(&mail(vec![Section::Missed(by_distance)])).text;
    assert!(text.contains(
        "that was done before the vehicle had run 10,500\u{a0}km. It counts as missed from 20 January 2027."
    ));
}

#[test]
fn several_in_one_mail_of_a_drill() {
    let mut other = inspection();
    other.vehicle = "Borea Lince, EF 34 GH".into();
    let mut mail = mail(vec![
        Section::Upcoming(other.clone()),
        Section::LastCall(inspection()),
        Section::Missed(missed()),
    ]);
    mail.drill = true;
    insta::assert_snapshot!("joint.txt", letter(&mail).text);
    insta::assert_snapshot!("joint.html", letter(&mail).html);
    let letter = letter(&mail);
    assert!(letter.subject.starts_with("[Drill] Aurel Vento, AB 12 CD: "));
    let place = |text: &str| letter.text.find(text).unwrap();
    assert!(place("inspection or reconditioning missed, since 10 April 2027") < place("last call for"));
    assert!(place("last call for") < place("Borea Lince"));
}

#[test]
fn nothing_to_say_is_no_mail() {
    assert_eq!(write(&mail(vec![])), None);
}

#[test]
fn what_a_miss_costs_is_said_by_the_terms() {
    let said = |consequence: Consequence| {
        let mut due = inspection();
        due.if_missed = consequence;
        letter(&mail(vec![Section::LastCall(due)])).text
    };
    assert!(said(Consequence::End).contains("If it is missed, cover on paint and glass ends."));
    let half_a_year = Period { months: 6, ..Period::default() };
    assert!(
        said(Consequence::Shorten(half_a_year)).contains("cover on paint and glass ends 6 months earlier.")
    );
    assert!(said(Consequence::Note).contains("it is noted, and your cover does not change."));
    let open_ended =
        Consequence::Suspend { make_good_within: None, with: vec!["inspection".into()], by: Rank::Owner };
    assert!(said(open_ended).contains("is on hold until the inspection is done."));
}

#[test]
fn another_library_reads_what_was_meant() {
    let mut upcoming = mail(vec![Section::Upcoming(inspection())]);
    upcoming.action = Some(booking());
    let letter = letter(&upcoming);
    let posting = posting(NoticeKind::Upcoming);
    let sealed = seal(&letter, &posting, None).unwrap();
    let read = MessageParser::default().parse(&sealed.bytes).unwrap();

    assert_eq!(read.subject(), Some(letter.subject.as_str()));
    let from = read.from().unwrap().first().unwrap();
    assert_eq!((from.name(), from.address()), (Some("Atelier Núria & Co"), Some("notices@shop.example.org")));
    let reply_to = read.reply_to().unwrap().first().unwrap();
    assert_eq!(reply_to.address(), Some("desk@shop.example.org"));
    let to = read.to().unwrap().first().unwrap();
    assert_eq!((to.name(), to.address()), (Some("Inês Ferro"), Some("ines.ferro@example.com")));
    assert_eq!(read.date().unwrap().to_rfc3339(), "2027-01-24T09:00:00Z");
    assert_eq!(read.message_id(), Some(sealed.message_id.as_str()));
    let header = |name: &'static str| read.header_raw(name).map(str::trim);
    // RFC 3834 §5; RFC 8058 §3.1: an HTTPS address, and exactly this pair; RFC 2369 §3.2: a mailto beside it.
    assert_eq!(header("Auto-Submitted"), Some("auto-generated"));
    assert_eq!(
        header("List-Unsubscribe"),
        Some(
            "<https://shop.example.org/my/3f/no-upkeep>, <mailto:desk@shop.example.org?subject=No%20more%20of%20these%20mails>"
        )
    );
    assert_eq!(header("List-Unsubscribe-Post"), Some("List-Unsubscribe=One-Click"));
    let kind = read.content_type().unwrap();
    assert_eq!((kind.ctype(), kind.subtype()), ("multipart", Some("alternative")));
    assert_eq!(read.body_text(0).unwrap().replace("\r\n", "\n").trim_end(), letter.text.trim_end());
    assert_eq!(read.body_html(0).unwrap().replace("\r\n", "\n").trim_end(), letter.html.trim_end());

    assert_eq!(sealed.sender, "bounces@shop.example.org");
    assert_eq!(sealed.recipient, "ines.ferro@example.com");
    assert!(sealed.bytes.is_ascii());
    // RFC 5322 §2.1.1: lines end with CR LF and hold 998 characters at most.
    let text = String::from_utf8(sealed.bytes.clone()).unwrap();
    assert!(text.split("\r\n").all(|line| line.len() <= 998 && !line.contains('\n') && !line.contains('\r')));
    // The day, the kind, and the first eight digits of the digest of its key.
    let digest = posting.digest.to_string();
    assert_eq!(sealed.file_name, format!("20270124T090000Z-upcoming-{}.eml", &digest[..8]));
}

#[test]
fn the_same_message_is_the_same_bytes() {
    let letter = letter(&mail(vec![Section::Missed(missed())]));
    let sealed = seal(&letter, &posting(NoticeKind::Missed), None).unwrap();
    assert_eq!(seal(&letter, &posting(NoticeKind::Missed), None).unwrap(), sealed);

    let mut other = posting(NoticeKind::Missed);
    other.digest = lustrum::core::notices::message_digest(&["another"]);
    assert_ne!(seal(&letter, &other, None).unwrap().message_id, sealed.message_id);
}

#[test]
fn a_record_has_no_way_to_end_it_and_a_shop_without_address_gets_answers_all_the_same() {
    let mut record = posting(NoticeKind::Record);
    record.unsubscribe = None;
    record.reply_to = None;
    let sealed = seal(&letter(&mail(vec![Section::Record(handover())])), &record, None).unwrap();
    let read = MessageParser::default().parse(&sealed.bytes).unwrap();
    assert_eq!(read.header_raw("List-Unsubscribe"), None);
    assert_eq!(read.header_raw("List-Unsubscribe-Post"), None);
    assert_eq!(read.reply_to().unwrap().first().unwrap().address(), Some("notices@shop.example.org"));
}

#[test]
fn a_name_cannot_add_headers() {
    let mut record = handover();
    record.vehicle = "Aurel\r\nBcc: everybody@example.com\r\n\r\nVento".into();
    let mut posting = posting(NoticeKind::Record);
    posting.name = "Inês\r\nX-Injected: yes".into();
    posting.shop = "Shop\nX-Injected: yes".into();
    let sealed = seal(&letter(&mail(vec![Section::Record(record)])), &posting, None).unwrap();
    let read = MessageParser::default().parse(&sealed.bytes).unwrap();
    assert!(read.bcc().is_none());
    assert_eq!(read.header_raw("X-Injected"), None);
    assert_eq!(read.to().unwrap().first().unwrap().address(), Some("ines.ferro@example.com"));

    posting.unsubscribe = Some("https://shop.example.org/>\r\nBcc: everybody@example.com".into());
    assert!(seal(&letter(&mail(vec![Section::Record(handover())])), &posting, None).is_err());
}
