//! When a shop writes to owners about upkeep: at a decent hour, in the owner's own zone, and not too often.

use chrono::{
    DateTime, Datelike as _, NaiveDate, NaiveTime, Offset as _, TimeDelta, TimeZone as _, Utc, Weekday,
};
use chrono_tz::Tz;

use super::{Step, local_send};
use crate::core::calendar::{Day, day_begins, local_day};

/// When a shop writes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cadence {
    /// How many days before a due the owner is told, where the plan does not say.
    pub leads: Vec<u32>,
    /// The owner's local time at which mails go out.
    pub at: NaiveTime,
    /// When nobody is written to.
    pub quiet: Quiet,
    /// The most mails about upkeep that an owner gets in a year, those of the first month apart.
    pub a_year: u32,
}

impl Default for Cadence {
    /// 45 and 14 days before, at nine in the morning, six a year.
    fn default() -> Self {
        let at = NaiveTime::from_hms_opt(9, 0, 0).unwrap_or_default();
        Self { leads: vec![45, 14], at, quiet: Quiet::default(), a_year: 6 }
    }
}

/// When nobody is written to, by the owner's own clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quiet {
    /// From this time on. The same as `until`: at no hour.
    pub from: NaiveTime,
    /// Until this time; of the next day where it is not after `from`.
    pub until: NaiveTime,
    /// Days of the week that are quiet from end to end; fewer than seven, or nobody would ever hear anything.
    pub days: Vec<Weekday>,
}

impl Default for Quiet {
    /// From eight in the evening until eight in the morning, and on Sundays.
    fn default() -> Self {
        let hour = |hour| NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default();
        Self { from: hour(20), until: hour(8), days: vec![Weekday::Sun] }
    }
}

impl Quiet {
    /// Whether nobody is written to at this instant.
    ///
    /// ```
    /// use lustrum::core::notices::Quiet;
    /// let (quiet, lisbon) = (Quiet::default(), chrono_tz::Europe::Lisbon);
    /// assert!(quiet.holds("2026-03-10T07:59:59Z".parse()?, lisbon));
    /// assert!(!quiet.holds("2026-03-10T08:00:00Z".parse()?, lisbon));
    /// // 15 March 2026 is a Sunday.
    /// assert!(quiet.holds("2026-03-15T12:00:00Z".parse()?, lisbon));
    /// # Ok::<(), chrono::ParseError>(())
    /// ```
    pub fn holds(&self, at: DateTime<Utc>, zone: Tz) -> bool {
        let local = at.with_timezone(&zone).naive_local();
        self.on(local.date()) || self.at(local.time())
    }

    /// Whether the day is quiet from end to end.
    fn on(&self, day: NaiveDate) -> bool {
        self.days.contains(&day.weekday())
    }

    fn at(&self, time: NaiveTime) -> bool {
        if self.from <= self.until {
            (self.from..self.until).contains(&time)
        } else {
            time >= self.from || time < self.until
        }
    }

    /// The first instant from `at` on at which somebody may be written to.
    ///
    /// ```
    /// use lustrum::core::notices::Quiet;
    /// // Saturday evening, before a quiet Sunday.
    /// let at = Quiet::default().ends("2026-03-14T21:30:00Z".parse()?, chrono_tz::Europe::Lisbon);
    /// assert_eq!(at.to_rfc3339(), "2026-03-16T08:00:00+00:00");
    /// # Ok::<(), chrono::ParseError>(())
    /// ```
    pub fn ends(&self, at: DateTime<Utc>, zone: Tz) -> DateTime<Utc> {
        if !self.holds(at, zone) {
            return at;
        }
        let today = local_day(at, zone);
        // Six quiet days in a row, and an evening before and a morning after them.
        let days = (0..9).map(|days| today.plus_days(days));
        let found =
            days.flat_map(|day| self.can_end_on(day, zone)).find(|end| *end > at && !self.holds(*end, zone));
        found.unwrap_or(at)
    }

    /// The instants of a day at which what is quiet can end, in rising order: where it begins, where its quiet hours
    /// end (twice, where clocks go back over that time), and where clocks change.
    fn can_end_on(&self, day: Day, zone: Tz) -> Vec<DateTime<Utc>> {
        let (begins, ends) = (day_begins(day, zone), day_begins(day.plus_days(1), zone));
        let until = zone.from_local_datetime(&day.date().and_time(self.until));
        let until = [until.earliest(), until.latest()].into_iter().flatten().map(|until| until.to_utc());
        let mut all: Vec<DateTime<Utc>> = until.chain([begins]).chain(change(begins, ends, zone)).collect();
        all.sort_unstable();
        all
    }
}

/// Where clocks change between two instants, to the second, if they do.
fn change(from: DateTime<Utc>, until: DateTime<Utc>, zone: Tz) -> Option<DateTime<Utc>> {
    let offset = |at: DateTime<Utc>| zone.offset_from_utc_datetime(&at.naive_utc()).fix();
    let (mut before, mut after) = (from, until);
    if offset(before) == offset(after) {
        return None;
    }
    while after - before > TimeDelta::seconds(1) {
        let middle = before + TimeDelta::seconds((after - before).num_seconds() / 2);
        if offset(middle) == offset(from) { before = middle } else { after = middle }
    }
    Some(after)
}

impl Cadence {
    /// When a mail about upkeep goes out that is there on the owner's day `day`: at the shop's hour on the first day
    /// that is not quiet, or, where that hour is quiet on every day, as soon after as it is not.
    ///
    /// ```
    /// use lustrum::core::notices::Cadence;
    /// let cadence = Cadence::default();
    /// let sunday = "2026-03-15".parse()?;
    /// let at = cadence.send_on(sunday, chrono_tz::Europe::Lisbon);
    /// assert_eq!(at.to_rfc3339(), "2026-03-16T09:00:00+00:00");
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn send_on(&self, day: Day, zone: Tz) -> DateTime<Utc> {
        let loud = (0..7).map(|days| day.plus_days(days)).find(|day| !self.quiet.on(day.date()));
        self.quiet.ends(local_send(loud.unwrap_or(day), self.at, zone), zone)
    }

    /// When a mail about upkeep goes out that was to go by `at` and could not: at once if it is not quiet, else at the
    /// shop's next hour.
    pub fn send_from(&self, at: DateTime<Utc>, zone: Tz) -> DateTime<Utc> {
        if !self.quiet.holds(at, zone) {
            return at;
        }
        let today = local_day(at, zone);
        let sends = (0..3).map(|days| self.send_on(today.plus_days(days), zone)).find(|send| *send > at);
        sends.unwrap_or_else(|| self.quiet.ends(at, zone))
    }

    /// How many mails about upkeep an owner may have had in the past year so that this one can still be told. Room is
    /// kept for what matters more: for a notice of something missed the last mail of the year, for a last call and for
    /// cover that ends the one before, for the shortest lead the one before that, and so on.
    ///
    /// ```
    /// use lustrum::core::notices::{Cadence, Importance};
    /// let six = Cadence::default();
    /// assert_eq!(six.most_before(Importance::Missed), 5);
    /// assert_eq!(six.most_before(Importance::LastCall), 4);
    /// assert_eq!(six.most_before(Importance::Soon), 3);
    /// assert_eq!(six.most_before(Importance::Ahead), 2);
    /// assert_eq!(six.most_before(Importance::Care), 1);
    /// ```
    pub fn most_before(&self, importance: Importance) -> u32 {
        let kept = match importance {
            Importance::Missed => 1,
            Importance::LastCall => 2,
            Importance::Soon => 3,
            Importance::Ahead => 4,
            Importance::Care => 5,
        };
        self.a_year.saturating_sub(kept.min(self.a_year))
    }
}

/// How much a mail about upkeep matters where there are too many: the first most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Importance {
    /// Something was missed.
    Missed,
    /// A window closes soon, or cover ends.
    LastCall,
    /// The shortest lead before a due.
    Soon,
    /// A longer lead.
    Ahead,
    /// Care of the season, and a first look.
    Care,
}

impl Importance {
    /// Of a step of a due, with the leads in use.
    pub fn of(step: Step, leads: &[u32]) -> Self {
        match step {
            Step::Missed => Self::Missed,
            Step::LastCall => Self::LastCall,
            Step::Upcoming(days) if leads.iter().all(|lead| days <= *lead) => Self::Soon,
            Step::Upcoming(_) => Self::Ahead,
        }
    }
}
