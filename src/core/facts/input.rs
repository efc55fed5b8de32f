//! Facts as they are written: in files, in the interface, in the database.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

use crate::core::calendar::Day;
use crate::core::terms::Rank;
use crate::core::words::EventKind;

/// What is known of a warranty's vehicle. Texts are owned unless said otherwise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "T: Deserialize<'de>"))]
pub struct FactsInput<T = String> {
    /// The first day of cover.
    pub start: Day,
    /// The odometer on that day, in km; needed where the terms count kilometres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_km: Option<u32>,
    /// IANA zone of the days on which something was entered; UTC unless given.
    #[serde(default)]
    pub time_zone: Tz,
    /// The surfaces that were coated.
    pub surfaces: Vec<T>,
    /// What happened, in the order in which it was entered.
    #[serde(default, deserialize_with = "objects")]
    pub events: Vec<EventInput<T>>,
}

/// One thing that happened. Which members are needed depends on the kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "T: Deserialize<'de>"))]
pub struct EventInput<T = String> {
    /// Its id, without `#`.
    pub id: T,
    /// What it is.
    pub kind: EventKind,
    /// The day on which it happened.
    pub on: Day,
    /// When it was entered; none: known from the beginning.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "instant")]
    pub recorded: Option<DateTime<Utc>>,
    /// The odometer, in km, summed over replaced odometers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub km: Option<u32>,
    /// Whether a manager stands for it although it was entered late.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub countersigned: Option<bool>,
    /// For people.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<T>,
    /// The retracted event whose place this one takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead_of: Option<T>,
    /// Which service was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service: Option<T>,
    /// Who did it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<Rank>,
    /// Whether it was done as the terms ask; yes unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carried_out: Option<bool>,
    /// What was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finding: Option<T>,
    /// When a sale was told to the shop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told: Option<Day>,
    /// The surface of a repair or recoat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<T>,
    /// The panel of a repair or recoat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub panel: Option<T>,
    /// The key of a breach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<T>,
    /// The surfaces of a breach; all unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surfaces: Option<Vec<T>>,
    /// The rule of a waiver or extension.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upkeep: Option<T>,
    /// The number of the due that is waived or extended, from 1 on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// Until when a due is extended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Day>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<T>,
    /// The event that a retraction takes back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub event: Option<T>,
}

impl EventInput {
    /// An event with nothing but what every event has.
    pub fn new(id: impl Into<String>, kind: EventKind, on: Day) -> Self {
        Self {
            id: id.into(),
            kind,
            on,
            recorded: None,
            km: None,
            countersigned: None,
            note: None,
            instead_of: None,
            service: None,
            by: None,
            carried_out: None,
            finding: None,
            told: None,
            surface: None,
            panel: None,
            key: None,
            surfaces: None,
            upkeep: None,
            number: None,
            to: None,
            reason: None,
            event: None,
        }
    }
}

/// A list of objects: a derived reader would take a list in place of an object too, by position.
fn objects<'de, D: Deserializer<'de>, T: Deserialize<'de>>(from: D) -> Result<Vec<EventInput<T>>, D::Error> {
    let events = Vec::<Object<EventInput<T>>>::deserialize(from)?;
    Ok(events.into_iter().map(|Object(event)| event).collect())
}

/// A text that stays in the document where it stands there letter by letter.
#[derive(Debug, Clone)]
pub(crate) struct Text<'t>(Cow<'t, str>);

impl AsRef<str> for Text<'_> {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl<'de: 't, 't> Deserialize<'de> for Text<'t> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Letters;
        impl<'de> Visitor<'de> for Letters {
            type Value = Text<'de>;

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("a string")
            }

            fn visit_borrowed_str<E>(self, text: &'de str) -> Result<Text<'de>, E> {
                Ok(Text(Cow::Borrowed(text)))
            }

            fn visit_str<E>(self, text: &str) -> Result<Text<'de>, E> {
                Ok(Text(Cow::Owned(text.to_owned())))
            }
        }
        from.deserialize_str(Letters)
    }
}

/// A value that is read from a JSON object and from nothing else.
pub(crate) struct Object<T>(pub(crate) T);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Object<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Members<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Members<T> {
            type Value = T;

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("an object")
            }

            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<T, A::Error> {
                T::deserialize(MapAccessDeserializer::new(members))
            }
        }
        from.deserialize_map(Members(PhantomData)).map(Object)
    }
}

/// Instants are read strictly, and written in UTC with as many digits as they need.
mod instant {
    use chrono::{DateTime, SecondsFormat, Utc};
    use serde::{Deserialize as _, Deserializer, Serializer};

    use crate::core::calendar::Moment;

    #[expect(clippy::ref_option, reason = "the shape that serde calls")]
    pub(super) fn serialize<S: Serializer>(at: &Option<DateTime<Utc>>, to: S) -> Result<S::Ok, S::Error> {
        match at {
            Some(at) => to.serialize_str(&at.to_rfc3339_opts(SecondsFormat::AutoSi, true)),
            None => to.serialize_none(),
        }
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<DateTime<Utc>>, D::Error> {
        Ok(Option::<Moment>::deserialize(from)?.map(|Moment(at)| at))
    }
}
