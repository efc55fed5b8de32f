//! The moment at which a mail goes out, and the moment of the next attempt when it could not.

use chrono::{DateTime, NaiveTime, Offset as _, TimeDelta, TimeZone as _, Utc};
use chrono_tz::{GapInfo, Tz};

use crate::core::calendar::Day;

/// The instant of a local time on a day in a zone: a time that does not exist moves forward by the gap (RFC 5545
/// §3.3.5), one that exists twice is taken the first time.
///
/// ```
/// use chrono::NaiveTime;
/// use lustrum::core::notices::local_send;
/// let half_past_two = NaiveTime::from_hms_opt(2, 30, 0).unwrap();
/// // Clocks in Berlin went from 2:00 to 3:00 on that day (IANA tz database, Europe/Berlin).
/// let at = local_send("2026-03-29".parse()?, half_past_two, chrono_tz::Europe::Berlin);
/// assert_eq!(at.to_rfc3339(), "2026-03-29T01:30:00+00:00");
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
pub fn local_send(on: Day, at: NaiveTime, zone: Tz) -> DateTime<Utc> {
    let local = on.date().and_time(at);
    if let Some(sent) = zone.from_local_datetime(&local).earliest() {
        return sent.to_utc();
    }
    let before = GapInfo::new(&local, &zone).and_then(|gap| gap.begin);
    let offset = before.map_or(0, |(_, offset)| offset.fix().local_minus_utc());
    (local - TimeDelta::seconds(i64::from(offset))).and_utc()
}

/// The longest wait between two attempts.
const LONGEST_WAIT: TimeDelta = TimeDelta::hours(6);
/// How long it is tried.
const PATIENCE: TimeDelta = TimeDelta::days(5);

/// When to try again after `attempts` attempts have failed, the first of them at `first`: after one to two minutes,
/// then twice as long each time, up to six hours; `jitter` from 0 to 1 says where in the wait, so that many mails
/// that failed together do not come back together. None once five days would be over.
///
/// ```
/// use chrono::{DateTime, TimeDelta, Utc};
/// use lustrum::core::notices::retry_at;
/// let first = DateTime::<Utc>::UNIX_EPOCH;
/// assert_eq!(retry_at(1, first, first, 0.0), Some(first + TimeDelta::minutes(1)));
/// assert_eq!(retry_at(1, first, first, 1.0), Some(first + TimeDelta::minutes(2)));
/// assert_eq!(retry_at(30, first, first + TimeDelta::days(4), 1.0), Some(first + TimeDelta::hours(102)));
/// assert_eq!(retry_at(30, first, first + TimeDelta::days(5), 0.0), None);
/// ```
pub fn retry_at(
    attempts: u32,
    first: DateTime<Utc>,
    now: DateTime<Utc>,
    jitter: f64,
) -> Option<DateTime<Utc>> {
    let doublings = attempts.saturating_sub(1).min(20);
    let longest = TimeDelta::minutes(2 << doublings).min(LONGEST_WAIT);
    let share = 0.5 + jitter.clamp(0.0, 1.0) / 2.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "at most six hours")]
    let wait = TimeDelta::milliseconds((longest.num_milliseconds() as f64 * share) as i64);
    let next = now + wait;
    (next <= first + PATIENCE).then_some(next)
}
