//! Reports that a mail could not be delivered, as servers send them to the return path (RFC 3464, in the form of
//! RFC 6522).

use mail_parser::{Message, MessageParser, MimeHeaders as _, PartType};

use crate::core::error::Fault;

/// What a report says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bounce {
    /// The Message-ID of the mail that it is about, without angle brackets.
    pub about: Option<String>,
    /// What became of it, recipient by recipient.
    pub recipients: Vec<Reported>,
}

/// What became of a mail to one recipient.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reported {
    /// The address.
    pub address: String,
    /// Whether it was given up: it will never arrive.
    pub for_good: bool,
    /// The status, and what the other side said.
    pub words: String,
}

/// Reads a report: the whole message, as it came.
///
/// ```
/// use lustrum::mail::bounce::read;
/// assert_eq!(read(b"Subject: I am away until Monday\r\n\r\nHello.").unwrap_err().code, "not_a_report");
/// ```
pub fn read(message: &[u8]) -> Result<Bounce, Fault> {
    let none = || {
        Fault::new("", "not_a_report", "this is no report on delivery: multipart/report of RFC 3464 is taken")
    };
    let message = MessageParser::default().parse(message).ok_or_else(none)?;
    let kind = message.content_type().ok_or_else(none)?;
    if !message.is_content_type("multipart", "report")
        || kind.attribute("report-type") != Some("delivery-status")
    {
        return Err(none());
    }
    let status = message.parts.iter().find(|part| part.is_content_type("message", "delivery-status"));
    let fields = status.map(|part| String::from_utf8_lossy(part.contents()).into_owned()).ok_or_else(none)?;
    // The first group is about the message, each further one about a recipient.
    let recipients = groups(&fields).iter().skip(1).filter_map(|group| reported(group)).collect();
    Ok(Bounce { about: original(&message), recipients })
}

/// The Message-ID of the mail that came back, whole or as its headers.
fn original(report: &Message<'_>) -> Option<String> {
    report.parts.iter().find_map(|part| match &part.body {
        PartType::Message(original) => original.message_id().map(str::to_owned),
        _ if part.is_content_type("text", "rfc822-headers") => {
            MessageParser::default().parse(part.contents())?.message_id().map(str::to_owned)
        }
        _ => None,
    })
}

/// The fields of each group: names in small letters, values unfolded.
fn groups(text: &str) -> Vec<Vec<(String, String)>> {
    let mut groups: Vec<Vec<(String, String)>> = vec![Vec::new()];
    for line in text.lines() {
        let Some(group) = groups.last_mut() else { break };
        if line.trim().is_empty() {
            if !group.is_empty() {
                groups.push(Vec::new());
            }
        } else if line.starts_with([' ', '\t']) {
            if let Some((_, value)) = group.last_mut() {
                value.push(' ');
                value.push_str(line.trim());
            }
        } else if let Some((name, value)) = line.split_once(':') {
            group.push((name.trim().to_ascii_lowercase(), value.trim().to_owned()));
        }
    }
    groups.retain(|group| !group.is_empty());
    groups
}

fn reported(group: &[(String, String)]) -> Option<Reported> {
    let field = |name: &str| group.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str());
    // `rfc822; ada@example.org`: what stands before the semicolon says what kind of address it is.
    let typed = |value: &str| value.split_once(';').map_or(value, |(_, rest)| rest).trim().to_owned();
    let address = typed(field("final-recipient").or_else(|| field("original-recipient"))?);
    let status = field("status").and_then(|status| status.split_whitespace().next()).unwrap_or_default();
    let said = field("diagnostic-code").map(typed).unwrap_or_default();
    Some(Reported {
        address,
        for_good: field("action")?.eq_ignore_ascii_case("failed"),
        words: format!("{status} {said}").trim().to_owned(),
    })
}
