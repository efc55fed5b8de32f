//! A message by RFC 5322: the bytes that are kept before the first attempt, and sent again as they are.

use std::fmt;

use chrono::{DateTime, Utc};
use lettre::Address;
use lettre::message::header::{ContentTransferEncoding, ContentType, HeaderName, HeaderValue};
use lettre::message::{self, Body, Mailbox, Message, MultiPart, MultiPartKind, SinglePart};
use percent_encoding::{NON_ALPHANUMERIC, utf8_percent_encode};

use super::dkim::Dkim;
use super::said::{Attachment, Letter};
use crate::core::email::Email;
use crate::core::ids::Digest;
use crate::core::words::NoticeKind;

/// Everything about a message but what it says.
#[derive(Debug, Clone)]
pub struct Posting {
    /// The address that mails come from.
    pub from: Address,
    /// The shop's name, beside it.
    pub shop: String,
    /// Where answers go; none: to the address that mails come from.
    pub reply_to: Option<Email>,
    /// Where a server's own answers go, such as that the address is unknown.
    pub return_path: Address,
    /// Whom it goes to.
    pub to: Email,
    /// Their name.
    pub name: String,
    /// What the message is known by (`core::notices::message_digest`): the Message-ID comes from it.
    pub digest: Digest,
    /// The most urgent notice in it.
    pub kind: NoticeKind,
    /// When it was written.
    pub date: DateTime<Utc>,
    /// A link by which one request ends such mails (RFC 8058); on upkeep mails.
    pub unsubscribe: Option<String>,
}

/// A message ready to go: what is stored, and what a transport takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outgoing {
    /// Its Message-ID, without angle brackets.
    pub message_id: String,
    /// The return path.
    pub sender: String,
    /// Whom it goes to.
    pub recipient: String,
    /// Its name in a folder of mails.
    pub file_name: String,
    /// The whole message, lines ended by CR LF, nothing but ASCII.
    pub bytes: Vec<u8>,
}

/// Why no message could be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unsendable(String);

impl fmt::Display for Unsendable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "no message can be made: {}", self.0)
    }
}

impl std::error::Error for Unsendable {}

/// Makes the message, signed where there is a key. Without one the same letter and posting give the same bytes; a
/// signature says when it was made.
pub fn seal(letter: &Letter, posting: &Posting, dkim: Option<&Dkim>) -> Result<Outgoing, Unsendable> {
    let unsendable = |why: &dyn fmt::Display| Unsendable(why.to_string());
    let recipient: Address = posting
        .to
        .as_str()
        .parse()
        .map_err(|error| unsendable(&format!("{}: {error}", posting.to.masked())))?;
    let digest = posting.digest.to_string();
    let message_id = format!("{}@{}", &digest[..32], posting.from.domain());

    let from = Mailbox::new(Some(one_line(&posting.shop)), posting.from.clone());
    let answers: Address = match &posting.reply_to {
        Some(email) => email.as_str().parse().map_err(|error| unsendable(&error))?,
        None => posting.from.clone(),
    };
    let mut builder = Message::builder()
        .from(from)
        .reply_to(Mailbox::new(Some(one_line(&posting.shop)), answers.clone()))
        .to(Mailbox::new(Some(one_line(&posting.name)), recipient.clone()))
        .subject(one_line(&letter.subject))
        .date(posting.date.into())
        .message_id(Some(format!("<{message_id}>")))
        // RFC 3834 §5: so that nobody's out-of-office answers it.
        .raw_header(raw("Auto-Submitted", "auto-generated"))
        // RFC 3282 §2.
        .raw_header(raw("Content-Language", letter.language.as_str()));
    if let Some(link) = &posting.unsubscribe {
        if !link.bytes().all(|b| b.is_ascii_graphic() && b != b'<' && b != b'>') {
            return Err(Unsendable(format!("`{link}` is no link for List-Unsubscribe")));
        }
        let ask = letter.language.word("mail-unsubscribe");
        let by_mail = format!("mailto:{answers}?subject={}", utf8_percent_encode(&ask, NON_ALPHANUMERIC));
        builder = builder.raw_header(raw("List-Unsubscribe", &format!("<{link}>, <{by_mail}>")));
        // RFC 8058 §3.1 asks for an https link: over plain http nobody's mail program would post to it.
        if link.starts_with("https://") {
            builder = builder.raw_header(raw("List-Unsubscribe-Post", "List-Unsubscribe=One-Click"));
        }
    }
    let text = SinglePart::builder().header(ContentType::TEXT_PLAIN).body(letter.text.clone());
    let html = SinglePart::builder().header(ContentType::TEXT_HTML).body(letter.html.clone());
    // Boundaries are of the digest, not drawn: the same message twice is the same bytes.
    let said = MultiPart::builder()
        .kind(MultiPartKind::Alternative)
        .boundary(format!("={}", &digest[32..]))
        .singlepart(text)
        .singlepart(html);
    let parts = if letter.attachments.is_empty() {
        said
    } else {
        let whole = MultiPart::builder()
            .kind(MultiPartKind::Mixed)
            .boundary(format!("+{}", &digest[32..]))
            .multipart(said);
        letter.attachments.iter().try_fold(whole, |whole, file| Ok(whole.singlepart(attached(file)?)))?
    };
    let mut message = builder.multipart(parts).map_err(|error| unsendable(&error))?;
    if let Some(dkim) = dkim {
        dkim.sign(&mut message);
    }
    Ok(Outgoing {
        message_id,
        sender: posting.return_path.to_string(),
        recipient: recipient.to_string(),
        file_name: format!("{}-{}-{}.eml", posting.date.format("%Y%m%dT%H%M%SZ"), posting.kind, &digest[..8]),
        bytes: message.formatted(),
    })
}

/// A file as a part of a message, in Base64, so that no server on the way breaks its lines.
fn attached(file: &Attachment) -> Result<SinglePart, Unsendable> {
    let unsendable = |why: &dyn fmt::Display| Unsendable(format!("{}: {why}", file.name));
    let kind = ContentType::parse(&file.content_type).map_err(|error| unsendable(&error))?;
    let body = Body::new_with_encoding(file.bytes.clone(), ContentTransferEncoding::Base64)
        .map_err(|_| unsendable(&"its bytes cannot be written in Base64"))?;
    Ok(message::Attachment::new(one_line(&file.name)).body(body, kind))
}

/// What stands in a header: no line breaks, no other control characters, which a header cannot say. Blanks that do
/// not break stay: French has them before a colon, numbers within.
fn one_line(text: &str) -> String {
    let unbroken = |sign: char| matches!(sign, '\u{a0}' | '\u{202f}');
    let words = text.split(|sign: char| sign.is_control() || (sign.is_whitespace() && !unbroken(sign)));
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A header whose value is ASCII and short enough not to be folded.
fn raw(name: &'static str, value: &str) -> HeaderValue {
    HeaderValue::dangerous_new_pre_encoded(
        HeaderName::new_from_ascii_str(name),
        value.to_owned(),
        value.to_owned(),
    )
}
