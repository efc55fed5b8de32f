//! Identities: UUIDs that cannot be mixed up, codes that people choose, running numbers, digests.

use std::fmt;
use std::str::FromStr;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use crate::core::error::Fault;
use crate::core::words::from_text;

/// An identity of any type, for what is the same for things of several kinds.
pub trait Id:
    Copy
    + Send
    + fmt::Display
    + FromStr
    + Serialize
    + DeserializeOwned
    + From<Uuid>
    + Into<Uuid>
    + utoipa::ToSchema
    + 'static
{
}

/// Declares identities over [`Uuid`], one type for each thing that has one.
macro_rules! ids {
    ($($(#[$meta:meta])* $name:ident, $what:literal;)+) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(Uuid);

        impl $name {
            /// The identity with this value; whoever makes a new one draws a UUID of version 7.
            pub const fn new(value: Uuid) -> Self {
                Self(value)
            }

            /// The bare value.
            pub const fn uuid(self) -> Uuid {
                self.0
            }
        }

        impl From<Uuid> for $name {
            fn from(value: Uuid) -> Self {
                Self(value)
            }
        }

        impl From<$name> for Uuid {
            fn from(id: $name) -> Self {
                id.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(out)
            }
        }

        impl FromStr for $name {
            type Err = Fault;

            fn from_str(text: &str) -> Result<Self, Fault> {
                hyphenated(text, $what).map(Self)
            }
        }

        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                text_schema(Some(utoipa::openapi::KnownFormat::Uuid), None)
            }
        }

        impl utoipa::ToSchema for $name {}

        impl Id for $name {}

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                from_text(from)
            }
        }
    )+ };
}

/// Only the usual spelling with hyphens: one identity should not have five.
fn hyphenated(text: &str, what: &str) -> Result<Uuid, Fault> {
    const HYPHENATED: usize = uuid::fmt::Hyphenated::LENGTH;
    match Uuid::try_parse(text) {
        Ok(value) if text.len() == HYPHENATED => Ok(value),
        _ => Err(Fault::new(
            "",
            "not_an_id",
            format!("`{text}` is no id of a {what}; allowed is a UUID with hyphens"),
        )),
    }
}

/// How a value that is written as text is described to programs.
pub(crate) fn text_schema(
    format: Option<utoipa::openapi::KnownFormat>,
    pattern: Option<&str>,
) -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
    utoipa::openapi::ObjectBuilder::new()
        .schema_type(utoipa::openapi::schema::Type::String)
        .format(format.map(utoipa::openapi::SchemaFormat::KnownFormat))
        .pattern(pattern)
        .into()
}

/// Describes a type that is written as a text of one pattern.
macro_rules! text_pattern {
    ($name:ty, $pattern:literal) => {
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                $crate::core::ids::text_schema(None, Some($pattern))
            }
        }

        impl utoipa::ToSchema for $name {}
    };
}

text_pattern!(Code, "^[a-z0-9-]{1,64}$");
text_pattern!(RunningNumber, "^[JW]-[0-9]{4}-[0-9]{4,}$");
text_pattern!(Digest, "^[0-9a-f]{64}$");

ids! {
    /// A shop, the tenant to which nearly every row belongs.
    ShopId, "shop";
    /// Someone who signs in.
    PersonId, "person";
    /// A person in a shop, with a role.
    MemberId, "member";
    /// A signed-in session: the family of a refresh token.
    SessionId, "session";
    /// A customer of a shop.
    CustomerId, "customer";
    /// A vehicle, one in the whole installation.
    VehicleId, "vehicle";
    /// An interval in which a customer has a vehicle.
    OwnershipId, "ownership";
    /// A product of a shop.
    ProductId, "product";
    /// An edition of a data sheet.
    SheetId, "data sheet";
    /// A batch of a product.
    BatchId, "batch";
    /// An edition of terms.
    TermsId, "terms edition";
    /// An interval in which a shop is accredited by an issuer.
    AccreditationId, "accreditation";
    /// A job.
    JobId, "job";
    /// A step of a job.
    StepId, "step";
    /// A climate reading of a job.
    ClimateId, "climate reading";
    /// A coat of a job.
    CoatId, "coat";
    /// A manager's pass of a finding that stops.
    PassId, "pass";
    /// A return visit.
    VisitId, "visit";
    /// Something that happened to a vehicle.
    EventId, "event";
    /// A warranty.
    WarrantyId, "warranty";
    /// A notice to an owner.
    NoticeId, "notice";
    /// A day on which a vehicle is to come.
    AppointmentId, "appointment";
    /// Something that a person must do.
    TaskId, "task";
    /// What an owner answered when they were asked to come.
    AnswerId, "answer";
    /// A template of a job.
    PackageId, "package";
    /// What was entered on a job after its sign-off.
    AddendumId, "addendum";
    /// A photo of a job.
    PhotoId, "photo";
    /// A signature of an owner.
    SignatureId, "signature";
    /// A mark that a vehicle came with.
    MarkId, "mark";
    /// Paint readings of a panel.
    PaintReadingId, "paint reading";
    /// A link that was given to an owner.
    LinkId, "link";
    /// What an owner, or somebody at a vehicle, told the shop.
    ReportId, "report";
    /// A mail message; several notices can share one.
    MessageId, "message";
}

/// A code that people choose for a product, terms, a package or an issuer: 1–64 of `a-z 0-9 -`.
///
/// ```
/// use lustrum::core::ids::Code;
/// assert_eq!("base-30".parse::<Code>().unwrap().as_str(), "base-30");
/// assert!("Base 30".parse::<Code>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Code(String);

impl Code {
    /// The longest code, in characters.
    pub const MAX: usize = 64;

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.0)
    }
}

impl FromStr for Code {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let allowed = |b: u8| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-');
        if (1..=Self::MAX).contains(&text.len()) && text.bytes().all(allowed) {
            Ok(Self(text.to_owned()))
        } else {
            let detail =
                format!("`{text}` is no code; allowed are 1 to {} characters of a-z, 0-9 and -", Self::MAX);
            Err(Fault::new("", "not_a_code", detail))
        }
    }
}

/// What a running number counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Numbered {
    /// `J-…`
    Job,
    /// `W-…`
    Warranty,
}

impl Numbered {
    /// The letter that the number begins with.
    pub const fn letter(self) -> char {
        match self {
            Self::Job => 'J',
            Self::Warranty => 'W',
        }
    }
}

/// The number that people say on the telephone: running per shop and local year, never reused.
///
/// ```
/// use lustrum::core::ids::{Numbered, RunningNumber};
/// let number: RunningNumber = "J-2026-0042".parse().unwrap();
/// assert_eq!(number, RunningNumber { of: Numbered::Job, year: 2026, count: 42 });
/// assert_eq!(RunningNumber { count: 12345, ..number }.to_string(), "J-2026-12345");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RunningNumber {
    /// What it counts.
    pub of: Numbered,
    /// The year in the shop's zone in which it was given, 0–9999.
    pub year: u16,
    /// From 1 on, each year anew.
    pub count: u32,
}

impl fmt::Display for RunningNumber {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}-{:04}-{:04}", self.of.letter(), self.year, self.count)
    }
}

impl FromStr for RunningNumber {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let parsed = || {
            let (letter, rest) = text.split_once('-')?;
            let (year, count) = rest.split_once('-')?;
            let of = match letter {
                "J" => Numbered::Job,
                "W" => Numbered::Warranty,
                _ => return None,
            };
            let number = Self { of, year: year.parse().ok()?, count: count.parse().ok()? };
            // Written back it must be the same text: no plus sign, no blank, no other number of leading zeros.
            (number.count > 0 && number.to_string() == text).then_some(number)
        };
        parsed().ok_or_else(|| {
            let detail = format!("`{text}` is no number of a job or warranty; allowed are the forms J-2026-0042 and W-2026-0042");
            Fault::new("", "not_a_number", detail)
        })
    }
}

impl Serialize for RunningNumber {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for RunningNumber {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from_text(from)
    }
}

/// A SHA-256 digest (FIPS 180-4), written as 64 lower-case hexadecimal digits.
///
/// ```
/// use lustrum::core::ids::Digest;
/// let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
/// assert_eq!(Digest::of(b"abc").to_string(), abc); // FIPS 180-4, example B.1
/// assert_eq!(abc.parse(), Ok(Digest::of(b"abc")));
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The digest of several pieces, one after the other.
    pub fn of_parts(parts: &[&[u8]]) -> Self {
        let mut hash = Sha256::new();
        for part in parts {
            hash.update(part);
        }
        Self(hash.finalize().into())
    }

    /// A digest that was worked out before.
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The 32 bytes.
    pub const fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(out, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Digest({self})")
    }
}

impl FromStr for Digest {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let mut bytes = [0; 32];
        let digit = |b: u8| match b {
            b'0'..=b'9' => Some(b - b'0'),
            b'a'..=b'f' => Some(b - b'a' + 10),
            _ => None,
        };
        let pairs = text.as_bytes().chunks(2);
        let parsed = text.len() == 2 * bytes.len()
            && bytes.iter_mut().zip(pairs).all(|(byte, pair)| match pair {
                &[high, low] => digit(high).zip(digit(low)).map(|(h, l)| *byte = h << 4 | l).is_some(),
                _ => false,
            });
        if parsed {
            Ok(Self(bytes))
        } else {
            let detail = format!("`{text}` is no digest; allowed are 64 lower-case hexadecimal digits");
            Err(Fault::new("", "not_a_digest", detail))
        }
    }
}

impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Digest {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from_text(from)
    }
}
