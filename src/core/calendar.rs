//! Days, periods and working days, by Regulation (EEC, Euratom) No 1182/71, Article 3.

mod civil;

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, NaiveDate, TimeDelta, TimeZone as _, Utc, Weekday};
use chrono_tz::Tz;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use self::civil::{civil, from_civil, last_of_month};
use crate::core::error::Fault;

/// A day of the civil calendar, as days since 1970-01-01.
///
/// ```
/// use lustrum::core::calendar::Day;
/// let day: Day = "2026-03-10".parse().unwrap();
/// assert_eq!(day.plus_days(1).to_string(), "2026-03-11");
/// assert!("2026-02-30".parse::<Day>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Day(i32);

impl Day {
    /// The day this many days after 1970-01-01.
    pub const fn new(days: i32) -> Self {
        Self(days)
    }

    /// Days since 1970-01-01.
    pub const fn days(self) -> i32 {
        self.0
    }

    /// The day `days` later (or earlier, when negative).
    #[must_use]
    pub const fn plus_days(self, days: i32) -> Self {
        Self(self.0.saturating_add(days))
    }

    /// The same day for `chrono`; what lies beyond its range (years ±262,000) becomes its last day.
    pub fn date(self) -> NaiveDate {
        NaiveDate::from_epoch_days(self.0).unwrap_or(if self.0 < 0 { NaiveDate::MIN } else { NaiveDate::MAX })
    }

    /// Whether terms and facts may name this day: 1900–2999.
    pub fn is_usual(self) -> bool {
        (1900..=2999).contains(&civil(self).0)
    }

    fn is_of_four_digits(self) -> bool {
        (0..=9999).contains(&civil(self).0)
    }

    /// The text of a day of the years 0 to 9999.
    fn written(self) -> [u8; 10] {
        let (year, month, day) = civil(self);
        let digit = |n: i64| b'0' + u8::try_from(n.rem_euclid(10)).unwrap_or(0);
        let (month, day) = (i64::from(month), i64::from(day));
        [
            digit(year / 1000),
            digit(year / 100),
            digit(year / 10),
            digit(year),
            b'-',
            digit(month / 10),
            digit(month),
            b'-',
            digit(day / 10),
            digit(day),
        ]
    }
}

impl From<NaiveDate> for Day {
    fn from(date: NaiveDate) -> Self {
        Self(date.to_epoch_days())
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match std::str::from_utf8(&self.written()) {
            Ok(text) if self.is_of_four_digits() => out.write_str(text),
            _ => self.date().fmt(out),
        }
    }
}

impl FromStr for Day {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let wrong = || Fault::new("", "not_a_day", format!("{text:?} is not a day such as 2026-03-10"));
        let bytes = text.as_bytes();
        let digits = |from: usize, to: usize| {
            bytes[from..to]
                .iter()
                .try_fold(0_u32, |sum, b| b.is_ascii_digit().then(|| sum * 10 + u32::from(b - b'0')))
        };
        if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
            return Err(wrong());
        }
        let parsed = digits(0, 4).zip(digits(5, 7)).zip(digits(8, 10));
        let ((year, month), day) = parsed.ok_or_else(wrong)?;
        let year = i64::from(year);
        if (1..=12).contains(&month) && (1..=last_of_month(year, month)).contains(&day) {
            return Ok(from_civil(year, month, day));
        }
        Err(wrong())
    }
}

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match std::str::from_utf8(&self.written()) {
            Ok(text) if self.is_of_four_digits() => to.serialize_str(text),
            _ => to.collect_str(self),
        }
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        crate::core::words::from_text(from)
    }
}

impl utoipa::PartialSchema for Day {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        crate::core::ids::text_schema(Some(utoipa::openapi::KnownFormat::Date), None)
    }
}

impl utoipa::ToSchema for Day {}

/// A length of time in calendar units; each member counts, so that one year and two weeks is both.
///
/// ```
/// use lustrum::core::calendar::{Day, Period};
/// let day: Day = "2026-01-31".parse().unwrap();
/// let month = Period { months: 1, ..Period::default() };
/// assert_eq!(month.after(day).to_string(), "2026-02-28");
/// assert_eq!(month.times_after(2, day).to_string(), "2026-03-31"); // not twice a month, but two months
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Period {
    /// Years.
    #[serde(skip_serializing_if = "is_zero")]
    pub years: u32,
    /// Months.
    #[serde(skip_serializing_if = "is_zero")]
    pub months: u32,
    /// Weeks.
    #[serde(skip_serializing_if = "is_zero")]
    pub weeks: u32,
    /// Days.
    #[serde(skip_serializing_if = "is_zero")]
    pub days: u32,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the shape that serde calls")]
fn is_zero(n: &u32) -> bool {
    *n == 0
}

impl Period {
    /// So many days.
    pub const fn days(days: u32) -> Self {
        Self { years: 0, months: 0, weeks: 0, days }
    }

    /// Whether it is no time at all.
    pub const fn is_none(self) -> bool {
        self.years == 0 && self.months == 0 && self.weeks == 0 && self.days == 0
    }

    /// `day + period`: years and months together, clamped to the month's last day, then weeks and days.
    pub fn after(self, day: Day) -> Day {
        self.times_after(1, day)
    }

    /// `day − period`, likewise backwards.
    pub fn before(self, day: Day) -> Day {
        self.times_after(-1, day)
    }

    /// `day + n × period`, added once; a negative n goes backwards.
    pub fn times_after(self, n: i32, day: Day) -> Day {
        let n = i64::from(n);
        let months = n * (12 * i64::from(self.years) + i64::from(self.months));
        let days = n * (7 * i64::from(self.weeks) + i64::from(self.days));
        let from = if months == 0 { day } else { plus_months(day, months) };
        let days = i64::from(from.0) + days;
        Day(i32::try_from(days).unwrap_or(if days < 0 { i32::MIN } else { i32::MAX }))
    }

    /// The fewest days that it can be: months of 28 and years of 365.
    pub fn shortest(self) -> i64 {
        365 * i64::from(self.years) + 28 * i64::from(self.months) + self.plain_days()
    }

    /// The most days that it can be: months of 31 and years of 366.
    pub fn longest(self) -> i64 {
        366 * i64::from(self.years) + 31 * i64::from(self.months) + self.plain_days()
    }

    /// Whether it reaches further than 100 years.
    pub fn is_over_a_century(self) -> bool {
        let begin = Day::from(NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default());
        self.after(begin) > Self { years: 100, ..Self::default() }.after(begin)
    }

    fn plain_days(self) -> i64 {
        7 * i64::from(self.weeks) + i64::from(self.days)
    }
}

impl fmt::Display for Period {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [(self.years, "year"), (self.months, "month"), (self.weeks, "week"), (self.days, "day")];
        let mut first = true;
        for (n, unit) in parts.into_iter().filter(|(n, _)| *n > 0) {
            let blank = if first { "" } else { " " };
            write!(out, "{blank}{n} {unit}{}", if n == 1 { "" } else { "s" })?;
            first = false;
        }
        if first { out.write_str("0 days") } else { Ok(()) }
    }
}

fn plus_months(day: Day, months: i64) -> Day {
    let (year, month, of_month) = civil(day);
    let count = 12 * year + i64::from(month) - 1 + months;
    let (year, month) = (count.div_euclid(12), u32::try_from(count.rem_euclid(12)).unwrap_or(0) + 1);
    from_civil(year, month, of_month.min(last_of_month(year, month)))
}

/// The days on which things can be done: all, or some days of the week without holidays.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WorkingDays {
    /// A bit a weekday from Monday on; 0 stands for "every day works".
    week: u8,
    /// In rising order.
    holidays: Vec<Day>,
}

impl WorkingDays {
    /// These weekdays, less these holidays; no weekday at all means that every day works.
    pub fn new(weekdays: &[Weekday], mut holidays: Vec<Day>) -> Self {
        holidays.sort_unstable();
        holidays.dedup();
        let week = weekdays.iter().fold(0, |bits, day| bits | 1 << day.num_days_from_monday());
        Self { week, holidays }
    }

    /// Whether something can be done on this day.
    pub fn works(&self, day: Day) -> bool {
        // 1970-01-01 was a Thursday.
        let weekday = (day.0 + 3).rem_euclid(7);
        self.week == 0 || (self.week >> weekday & 1 == 1 && self.holidays.binary_search(&day).is_err())
    }

    /// The day itself, or the first one after it on which things can be done.
    pub fn roll(&self, day: Day) -> Day {
        if self.week == 0 {
            return day;
        }
        let mut day = day;
        // Terms with more than 31 days on end without work are refused; the bound keeps any input finite.
        for _ in 0..2_000 {
            if self.works(day) {
                break;
            }
            day = day.plus_days(1);
        }
        day
    }

    /// The longest run of days without work around any holiday, as far as it matters.
    pub fn longest_rest(&self) -> usize {
        let run = |holiday: &Day| {
            let back = (1..400).take_while(|n| !self.works(holiday.plus_days(-n))).count();
            let ahead = (0..400).take_while(|n| !self.works(holiday.plus_days(*n))).count();
            back + ahead
        };
        self.holidays.iter().map(run).max().unwrap_or(0)
    }
}

/// Reads an instant of RFC 3339 to the microsecond: one without offset, or with a leap second, is refused.
///
/// ```
/// use lustrum::core::calendar::instant;
/// assert!(instant("2026-04-20T15:02:11Z").is_ok());
/// assert!(instant("2026-04-20T15:02:11").is_err());
/// assert!(instant("2016-12-31T23:59:60Z").is_err());
/// ```
pub fn instant(text: &str) -> Result<DateTime<Utc>, Fault> {
    let wrong = || {
        let detail = format!(
            "{text:?} is not an instant with offset such as 2026-03-10T09:30:00Z, without leap second"
        );
        Fault::new("", "not_an_instant", detail)
    };
    if let Some(at) = plain_instant(text.as_bytes()) {
        return Ok(at);
    }
    let at = DateTime::parse_from_rfc3339(text).map_err(|_| wrong())?;
    if at.timestamp_subsec_nanos() >= 1_000_000_000 || text.get(17..19) == Some("60") {
        return Err(wrong());
    }
    let micros = at.timestamp_micros();
    DateTime::from_timestamp_micros(micros).ok_or_else(wrong)
}

/// An instant to the second in UTC as it is most often written, `2026-04-20T15:02:11Z`; none for any other spelling.
fn plain_instant(text: &[u8]) -> Option<DateTime<Utc>> {
    let (date, time) = text.split_at_checked(10)?;
    let &[b'T', h1, h2, b':', m1, m2, b':', s1, s2, b'Z'] = time else { return None };
    let day: Day = std::str::from_utf8(date).ok()?.parse().ok()?;
    let two = |ten: u8, one: u8| {
        let digit = |b: u8| b.is_ascii_digit().then(|| i64::from(b - b'0'));
        Some(10 * digit(ten)? + digit(one)?)
    };
    let (hour, minute, second) = (two(h1, h2)?, two(m1, m2)?, two(s1, s2)?);
    if hour > 23 || minute > 59 || second > 59 {
        return None;
    }
    DateTime::from_timestamp(i64::from(day.0) * 86_400 + hour * 3_600 + minute * 60 + second, 0)
}

/// The local day of an instant.
pub fn local_day(at: DateTime<Utc>, zone: Tz) -> Day {
    at.with_timezone(&zone).date_naive().into()
}

/// The first instant of a local day; where midnight does not exist, the first that does.
///
/// ```
/// use lustrum::core::calendar::{Day, day_begins};
/// // Cairo put its clocks forward at the midnight that began 28 April 2023 (IANA tz database, Africa/Cairo).
/// let day: Day = "2023-04-28".parse().unwrap();
/// assert_eq!(day_begins(day, chrono_tz::Africa::Cairo).to_rfc3339(), "2023-04-27T22:00:00+00:00");
/// ```
pub fn day_begins(day: Day, zone: Tz) -> DateTime<Utc> {
    let midnight = day.date().and_time(chrono::NaiveTime::MIN);
    // A gap is at most a day (Samoa left one out whole); a quarter of an hour divides every clock change.
    for quarters in 0..=2 * 96 {
        let local = midnight + TimeDelta::minutes(15 * quarters);
        if let Some(at) = zone.from_local_datetime(&local).earliest() {
            return at.to_utc();
        }
    }
    midnight.and_utc()
}

/// An instant as it is given: RFC 3339 with an offset, no leap second; written in UTC with `Z`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub DateTime<Utc>);

impl fmt::Display for Moment {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0.to_rfc3339_opts(chrono::SecondsFormat::AutoSi, true))
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        crate::core::words::from_text(from)
    }
}

impl FromStr for Moment {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        instant(text).map(Self)
    }
}

impl utoipa::PartialSchema for Moment {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        crate::core::ids::text_schema(Some(utoipa::openapi::KnownFormat::DateTime), None)
    }
}

impl utoipa::ToSchema for Moment {}
