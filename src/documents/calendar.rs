//! Calendar files by RFC 5545: dues as whole days, bookings as hours.

use chrono::{DateTime, NaiveDate, Utc};
use icalendar::{Calendar as Written, Component as _, Event, EventLike as _, EventStatus, Property};
use uuid::Builder;

use crate::core::ids::Digest;

/// When an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// A whole day, wherever it is read.
    Day(NaiveDate),
    /// From an instant on.
    At(DateTime<Utc>),
}

/// One entry of a calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What it is known by, the same as long as it is the same thing: its identifier is made of it.
    pub key: String,
    /// Rises with each change, so that what is newer is known from what is older.
    pub sequence: u32,
    /// When this was so.
    pub stamp: DateTime<Utc>,
    /// When it is.
    pub when: When,
    /// What it is, in a few words.
    pub summary: String,
    /// What there is to know of it.
    pub description: String,
    /// Where.
    pub place: Option<String>,
    /// Whether it no longer stands: done, waived, or no longer asked for.
    pub cancelled: bool,
}

/// A calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    /// What it is called.
    pub name: String,
    /// BCP 47 language of its texts.
    pub language: String,
    /// Its entries.
    pub entries: Vec<Entry>,
}

impl Calendar {
    /// The calendar as a file that is published, for mail programs and for feeds. The same values give the same bytes.
    ///
    /// ```
    /// use lustrum::documents::calendar::{Calendar, Entry, When};
    /// let entry = Entry {
    ///     key: "W-2026-0042/annual/1".into(), sequence: 2, stamp: "2026-03-10T08:00:00Z".parse()?,
    ///     when: When::Day("2027-03-10".parse()?), summary: "Inspection, Wren 3".into(),
    ///     description: "Counts from 9 January; until 9 April.".into(), place: None, cancelled: false,
    /// };
    /// let file = Calendar { name: "Wren 3".into(), language: "en".into(), entries: vec![entry] }.file();
    /// assert!(file.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"));
    /// assert!(file.contains("DTSTART;VALUE=DATE:20270310\r\n"));
    /// assert!(file.contains("DESCRIPTION;LANGUAGE=en:Counts from 9 January\\; until 9 April.\r\n"));
    /// # Ok::<(), chrono::ParseError>(())
    /// ```
    pub fn file(&self) -> String {
        let mut written = Written::empty();
        // The library knows neither as text, and would write them as they are.
        let name = escaped(&plain(&self.name));
        for (key, value) in [
            ("VERSION", "2.0"),
            ("PRODID", "-//Lustrum//Upkeep//EN"),
            ("CALSCALE", "GREGORIAN"),
            ("METHOD", "PUBLISH"),
            // RFC 7986 §5.1, and what calendars read that do not know it.
            ("NAME", &name),
            ("X-WR-CALNAME", &name),
            ("REFRESH-INTERVAL;VALUE=DURATION", "P1D"),
        ] {
            written.append_property(Property::new(key, value));
        }
        for entry in &self.entries {
            written.push(self.event(entry));
        }
        written.to_string()
    }

    fn event(&self, entry: &Entry) -> Event {
        let mut event = Event::new();
        event.uid(&uid(&entry.key)).sequence(entry.sequence).timestamp(entry.stamp);
        match entry.when {
            // Without an end it is that one day (RFC 5545 §3.6.1).
            When::Day(day) => event.starts(day),
            When::At(at) => event.starts(at),
        };
        let text = |name: &str, value: &str| {
            let mut property = Property::new(name, plain(value));
            property.add_parameter("LANGUAGE", &self.language);
            property.done()
        };
        event.append_property(text("SUMMARY", &entry.summary));
        event.append_property(text("DESCRIPTION", &entry.description));
        if let Some(place) = &entry.place {
            event.location(&plain(place));
        }
        // Nobody is busy because something falls due.
        if matches!(entry.when, When::Day(_)) {
            event.add_property("TRANSP", "TRANSPARENT");
        }
        event.status(if entry.cancelled { EventStatus::Cancelled } else { EventStatus::Confirmed });
        event.done()
    }
}

/// A text as a calendar can hold it: no control characters but the ends of lines.
fn plain(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .map(|sign| if sign.is_control() && sign != '\n' { ' ' } else { sign })
        .collect()
}

/// A text with what means something named (RFC 5545 §3.3.11).
fn escaped(text: &str) -> String {
    text.replace('\\', r"\\").replace(';', r"\;").replace(',', r"\,").replace('\n', r"\n")
}

/// The identifier of an entry: a UUID (RFC 7986 §5.3) made of its key.
fn uid(key: &str) -> String {
    let digest = Digest::of(key.as_bytes());
    let mut first = [0; 16];
    first.copy_from_slice(&digest.as_bytes()[..16]);
    Builder::from_custom_bytes(first).into_uuid().to_string()
}
