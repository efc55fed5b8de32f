//! Files that go with a mail, and the raw message of each kind.

use lustrum::core::words::NoticeKind;
use lustrum::language::Language;
use lustrum::mail::Attachment;
use lustrum::mail::dkim::Dkim;
use lustrum::mail::message::seal;
use mail_parser::{MessageParser, MimeHeaders as _};

use super::languages::{kinds, letter_in};
use super::posting;
use super::signed::{ED25519, RSA, covered};

const CALENDAR: &str = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nMETHOD:PUBLISH\r\nEND:VCALENDAR\r\n";

/// Bytes that no text could hold, as a PDF has them.
fn certificate() -> Attachment {
    Attachment {
        name: "Garantieurkunde größer.pdf".into(),
        content_type: "application/pdf".into(),
        bytes: (0..=255).cycle().take(5000).collect(),
    }
}

#[test]
fn files_arrive_as_they_were_beside_text_and_html() {
    let (_, mail) = kinds().into_iter().find(|(name, _)| *name == "booked").unwrap();
    let mut letter = letter_in(Language::German, &mail);
    letter.attachments = vec![Attachment::calendar("termin.ics", CALENDAR), certificate()];
    let posting = posting(NoticeKind::Booked);
    let sealed = seal(&letter, &posting, None).unwrap();
    assert_eq!(seal(&letter, &posting, None).unwrap(), sealed, "the same message is the same bytes");

    let read = MessageParser::default().parse(&sealed.bytes).unwrap();
    let kind = read.content_type().unwrap();
    assert_eq!((kind.ctype(), kind.subtype()), ("multipart", Some("mixed")));
    assert_eq!(read.header_raw("Content-Language").map(str::trim), Some("de"));
    assert_eq!(read.body_text(0).unwrap().replace("\r\n", "\n").trim_end(), letter.text.trim_end());
    assert_eq!(read.body_html(0).unwrap().replace("\r\n", "\n").trim_end(), letter.html.trim_end());
    let files: Vec<_> = read.attachments().collect();
    assert_eq!(files.len(), 2);
    // RFC 6047 §2.4: the method stands in the type as well as in the file.
    let kind = files[0].content_type().unwrap();
    assert_eq!((kind.ctype(), kind.subtype()), ("text", Some("calendar")));
    assert_eq!(kind.attribute("method"), Some("PUBLISH"));
    assert_eq!(kind.attribute("charset"), Some("utf-8"));
    assert_eq!(files[0].attachment_name(), Some("termin.ics"));
    assert_eq!(files[0].contents(), CALENDAR.as_bytes());
    assert_eq!(files[1].attachment_name(), Some("Garantieurkunde größer.pdf"));
    assert_eq!(files[1].contents(), certificate().bytes);

    assert!(sealed.bytes.is_ascii());
    let text = String::from_utf8(sealed.bytes.clone()).unwrap();
    assert!(text.split("\r\n").all(|line| line.len() <= 998 && !line.contains('\n') && !line.contains('\r')));
}

#[test]
fn what_is_no_media_type_is_told() {
    let (_, mail) = kinds().remove(0);
    let mut letter = letter_in(Language::English, &mail);
    letter.attachments = vec![Attachment { content_type: "no type".into(), ..certificate() }];
    let fault = seal(&letter, &posting(NoticeKind::Booked), None).unwrap_err().to_string();
    assert!(fault.contains("Garantieurkunde"), "{fault}");
}

#[test]
fn a_signature_holds_over_files_too() {
    let (_, mail) = kinds().into_iter().find(|(name, _)| *name == "booked").unwrap();
    let mut letter = letter_in(Language::French, &mail);
    letter.attachments = vec![Attachment::calendar("rendez-vous.ics", CALENDAR), certificate()];
    for pem in [RSA, ED25519] {
        let dkim = Dkim::of("shop.example.org", "lustrum", pem).unwrap();
        let sealed = seal(&letter, &posting(NoticeKind::Booked), Some(&dkim)).unwrap();
        assert!(covered(&sealed.bytes, dkim.record()).is_some());
        // A sign of the calendar file changed on the way is seen.
        let text = String::from_utf8(sealed.bytes).unwrap();
        let line = text.lines().find(|line| line.starts_with("QkVHSU46")).unwrap();
        let forged = text.replace(line, &line.replacen("QkVHSU46", "QkVHSU47", 1));
        assert_eq!(covered(forged.as_bytes(), dkim.record()), None);
    }
}

/// One raw message of each kind, each in another language than the one before.
#[test]
fn the_message_of_each_kind() {
    for (place, (name, mail)) in kinds().into_iter().enumerate() {
        let language = Language::ALL[place % Language::ALL.len()];
        let kind = mail.sections[0].kind();
        let mut letter = letter_in(language, &mail);
        if kind == NoticeKind::Booked {
            letter.attachments.push(Attachment::calendar("appointment.ics", CALENDAR));
        }
        let sealed = seal(&letter, &posting(kind), None).unwrap();
        assert!(sealed.file_name.contains(kind.as_str()), "{}", sealed.file_name);
        let text = String::from_utf8(sealed.bytes).unwrap().replace("\r\n", "\n");
        insta::assert_snapshot!(format!("{name}.eml"), text);
    }
}
