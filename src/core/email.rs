//! E-mail addresses.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::core::error::Fault;

/// An address that mail can be sent to: `local@domain` in the practical shape of RFC 5321 §4.1.2.
///
/// A dot-atom before the `@` (no quoted strings, no comments), a domain name of two labels or more behind it
/// (no address literal), ASCII throughout (an international domain in its `xn--` form), within the lengths of
/// RFC 5321 §4.5.3.1. The domain is kept in lower case, the local part as written.
///
/// ```
/// use lustrum::core::email::Email;
/// let email: Email = "Ada.Ferro@Example.ORG".parse().unwrap();
/// assert_eq!(email.as_str(), "Ada.Ferro@example.org");
/// assert_eq!(email.folded(), "ada.ferro@example.org");
/// assert_eq!(email.masked(), "A…@example.org");
/// assert!("ada@@example.org".parse::<Email>().is_err());
/// ```
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Email(String);

impl Email {
    /// The longest address, in bytes: RFC 5321 allows a path of 256 with its angle brackets.
    pub const MAX: usize = 254;
    const LOCAL_MAX: usize = 64;
    const LABEL_MAX: usize = 63;

    /// The address as mail is sent to it.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The form in which two addresses are compared: in practice no mail system tells capitals apart.
    pub fn folded(&self) -> String {
        self.0.to_ascii_lowercase()
    }

    /// What a log may show: the first character and the domain.
    pub fn masked(&self) -> String {
        let (local, domain) = self.0.split_once('@').unwrap_or(("", &self.0));
        let first = local.chars().next().map(String::from).unwrap_or_default();
        format!("{first}…@{domain}")
    }
}

impl fmt::Display for Email {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.0)
    }
}

/// Masked, so that an address does not slip into a log.
impl fmt::Debug for Email {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Email({})", self.masked())
    }
}

/// Only writing: what comes in is parsed as a rule, so that its fault can stand beside others.
impl Serialize for Email {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.0)
    }
}

impl FromStr for Email {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let refuse =
            |why: &str| Err(Fault::new("", "not_an_email", format!("`{text}` is no e-mail address: {why}")));
        if text.len() > Self::MAX {
            return refuse("it may have 254 characters at most");
        }
        if !text.bytes().all(|b| b.is_ascii_graphic()) {
            return refuse("only ASCII letters, digits and signs are allowed, and no blanks");
        }
        let Some((local, domain)) = text.split_once('@') else {
            return refuse("it needs an @");
        };
        if local.is_empty() || local.len() > Self::LOCAL_MAX {
            return refuse("before the @ stand 1 to 64 characters");
        }
        if !local.split('.').all(|atom| !atom.is_empty() && atom.bytes().all(is_atext)) {
            return refuse(
                "before the @ stand letters, digits and !#$%&'*+-/=?^_`{|}~, with single dots between them",
            );
        }
        let labels: Vec<&str> = domain.split('.').collect();
        if !labels.iter().all(|label| is_label(label)) {
            return refuse(
                "behind the @ stand labels of 1 to 63 letters, digits and inner hyphens, with single dots between them",
            );
        }
        let named = labels.last().is_some_and(|top| top.bytes().any(|b| b.is_ascii_alphabetic()));
        if labels.len() < 2 || !named {
            return refuse("behind the @ stands a domain name such as example.org");
        }
        Ok(Self(format!("{local}@{}", domain.to_ascii_lowercase())))
    }
}

/// RFC 5322 §3.2.3.
fn is_atext(b: u8) -> bool {
    b.is_ascii_alphanumeric() || b"!#$%&'*+-/=?^_`{|}~".contains(&b)
}

/// RFC 1123 §2.1.
fn is_label(label: &str) -> bool {
    (1..=Email::LABEL_MAX).contains(&label.len())
        && label.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
        && !label.starts_with('-')
        && !label.ends_with('-')
}
