//! Stamps of loggers: a day and a time as devices and spreadsheets write them, with an offset or local.

use std::borrow::Cow;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, TimeZone as _, Utc};
use chrono_tz::Tz;

use crate::core::imports::{DayOrder, Written, written};

/// Why a stamp was not taken: a code and a sentence.
pub(super) type Refused = (&'static str, String);

/// A day and a time, and the offset from UTC that stands behind them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    local: NaiveDateTime,
    offset: Option<FixedOffset>,
}

/// A day as [`written`](crate::core::imports::written) reads it: years of four digits, those that come first with
/// hyphens.
pub(super) fn usual(day: &str) -> Cow<'_, str> {
    let mark = day.chars().find(|c| !c.is_ascii_digit());
    let Some(mark) = mark else { return Cow::Borrowed(day) };
    let parts: Vec<&str> = day.split(mark).collect();
    match parts.as_slice() {
        [year, month, day] if year.len() == 4 && mark != '-' => Cow::Owned(format!("{year}-{month}-{day}")),
        // A logger is younger than the century.
        [one, other, year] if year.len() == 2 && mark != '-' => {
            Cow::Owned(format!("{one}{mark}{other}{mark}20{year}"))
        }
        _ => Cow::Borrowed(day),
    }
}

impl Stamp {
    /// Reads `2026-03-09T09:30:00Z`, `2026-03-09 09:30`, `09.03.2026 09:30:15`, `03/09/26 2:15:00 PM` and their like.
    pub(super) fn read(text: &str, days: DayOrder) -> Result<Self, Refused> {
        let wrong = || ("not_a_stamp", format!("{text:?} is no date and time such as 2026-03-09 09:30"));
        let (day, rest) = text.split_once([' ', 'T', '\u{a0}']).ok_or_else(wrong)?;
        let (year, month, day) = match written(&usual(day)).ok_or_else(wrong)? {
            Written::Clear(year, month, day) => (year, month, day),
            Written::Slashes(one, other, year) if days == DayOrder::DayFirst => (year, other, one),
            Written::Slashes(one, other, year) => (year, one, other),
        };
        let year = i32::try_from(year).ok().filter(|year| (1970..=2999).contains(year)).ok_or_else(wrong)?;
        let date = NaiveDate::from_ymd_opt(year, month, day).ok_or_else(wrong)?;
        let (time, offset) = time_of(rest.trim()).ok_or_else(wrong)?;
        Ok(Self { local: date.and_time(time), offset })
    }

    /// The instant that is meant: by its own offset, else by that of the file, else in the zone. Of a local time that
    /// comes twice the first is meant, or the second where the row before it was later than that.
    pub(super) fn instant(
        self,
        of_file: Option<FixedOffset>,
        zone: Tz,
        last: Option<DateTime<Utc>>,
    ) -> Result<DateTime<Utc>, Refused> {
        if let Some(offset) = self.offset.or(of_file) {
            let behind = TimeDelta::seconds(offset.local_minus_utc().into());
            return Ok((self.local - behind).and_utc());
        }
        let local = zone.from_local_datetime(&self.local);
        let first = local.earliest().map(|at| at.to_utc());
        let second = local.latest().map(|at| at.to_utc());
        match (first, second) {
            (Some(first), Some(second)) if last.is_some_and(|last| last > first) => Ok(second),
            (Some(first), _) => Ok(first),
            _ => Err((
                "no_such_time",
                format!(
                    "{} did not exist in {zone}: clocks were put forward; is the zone right?",
                    self.local
                ),
            )),
        }
    }
}

/// A time with seconds or without, with AM or PM or without, and the offset behind it.
fn time_of(text: &str) -> Option<(NaiveTime, Option<FixedOffset>)> {
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | '.' | ','))).unwrap_or(text.len());
    let (clock, rest) = (&text[..end], text[end..].trim());
    let mut parts = clock.splitn(3, ':');
    let whole = |part: Option<&str>| {
        let part = part.filter(|part| (1..=2).contains(&part.len()))?;
        part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u32>().ok()).flatten()
    };
    let (mut hour, minute) = (whole(parts.next())?, whole(parts.next())?);
    let (second, nanos) = match parts.next() {
        None => (0, 0),
        Some(seconds) => {
            let (second, fraction) = seconds.split_once(['.', ',']).unwrap_or((seconds, ""));
            if fraction.len() > 9 || !fraction.bytes().all(|byte| byte.is_ascii_digit()) {
                return None;
            }
            let micros = format!("{fraction:0<9}").parse::<u32>().ok()? / 1_000 * 1_000;
            (whole(Some(second))?, micros)
        }
    };
    let upper = rest.to_ascii_uppercase();
    let (half, rest) = match upper.get(..2) {
        Some("AM") => (Some(0), rest[2..].trim()),
        Some("PM") => (Some(12), rest[2..].trim()),
        _ => (None, rest),
    };
    if let Some(half) = half {
        if !(1..=12).contains(&hour) {
            return None;
        }
        hour = hour % 12 + half;
    }
    let offset = match rest {
        "" => None,
        "Z" | "z" | "UTC" | "GMT" => FixedOffset::east_opt(0),
        _ => Some(signed(rest.trim_start_matches("UTC").trim_start_matches("GMT"))?),
    };
    Some((NaiveTime::from_hms_nano_opt(hour, minute, second, nanos)?, offset))
}

/// `+01:00`, `+0100` or `-3`.
fn signed(text: &str) -> Option<FixedOffset> {
    let (sign, digits) = (text.chars().next()?, text.get(1..)?);
    let (hours, minutes) = match digits.split_once(':') {
        Some(both) => both,
        None if digits.len() == 4 => digits.split_at_checked(2)?,
        None => (digits, "0"),
    };
    let number = |text: &str| {
        let plain = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| text.parse::<i32>().ok()).flatten()
    };
    let (hours, minutes) = (number(hours)?, number(minutes)?);
    if hours > 14 || minutes > 59 {
        return None;
    }
    let seconds = hours * 3_600 + minutes * 60;
    match sign {
        '+' => FixedOffset::east_opt(seconds),
        '-' | '\u{2212}' => FixedOffset::west_opt(seconds),
        _ => None,
    }
}
