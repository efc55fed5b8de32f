//! Nobody is written to in quiet hours, whatever clocks do: looked at around every clock change of every zone of the
//! IANA time zone database (as `chrono-tz` carries it) from 2024 to 2040.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveTime, Offset as _, TimeDelta, TimeZone as _, Utc, Weekday};
use chrono_tz::{TZ_VARIANTS, Tz};
use lustrum::core::calendar::{day_begins, local_day};
use lustrum::core::notices::{Cadence, Quiet};
use proptest::prelude::*;

fn instant(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn offset(at: DateTime<Utc>, zone: Tz) -> i32 {
    zone.offset_from_utc_datetime(&at.naive_utc()).fix().local_minus_utc()
}

/// The instants, to the minute, at which the zone's clocks change.
fn changes(zone: Tz) -> Vec<DateTime<Utc>> {
    let (mut at, end) = (instant("2024-01-01T00:00:00Z"), instant("2041-01-01T00:00:00Z"));
    let mut found = Vec::new();
    while at < end {
        let next = at + TimeDelta::days(5);
        if offset(at, zone) != offset(next, zone) {
            let (mut before, mut after) = (at, next);
            while after - before > TimeDelta::minutes(1) {
                let middle = before + (after - before) / 2;
                if offset(middle, zone) == offset(at, zone) { before = middle } else { after = middle }
            }
            found.push(after);
        }
        at = next;
    }
    found
}

/// Whether somebody may be written to, told apart from the rule itself: in minutes of the local day.
fn decent(at: DateTime<Utc>, zone: Tz, from: u32, until: u32, days: &[Weekday]) -> bool {
    use chrono::{Datelike as _, Timelike as _};
    let local = at.with_timezone(&zone);
    let minute = 60 * local.hour() + local.minute();
    let quiet =
        if from <= until { from <= minute && minute < until } else { minute >= from || minute < until };
    !quiet && !days.contains(&local.weekday())
}

fn minute_of_day(minute: u32) -> NaiveTime {
    NaiveTime::from_hms_opt(minute / 60, minute % 60, 0).unwrap()
}

#[test]
fn around_every_clock_change_each_day_has_its_mail_and_no_night_has_one() {
    let cadence = Cadence::default();
    let night = Cadence {
        at: minute_of_day(150),
        quiet: Quiet { from: minute_of_day(150), until: minute_of_day(165), days: vec![] },
        ..Cadence::default()
    };
    let mut seen = 0;
    let mut alike = BTreeSet::new();
    for zone in TZ_VARIANTS {
        let changes = changes(zone);
        // Many names stand for the same clocks.
        let offsets: Vec<i32> = changes.iter().map(|change| offset(*change, zone)).collect();
        if !alike.insert((changes.clone(), offsets)) {
            continue;
        }
        for change in changes {
            seen += 1;
            let today = local_day(change, zone);
            for (cadence, from, until, days) in
                [(&cadence, 20 * 60, 8 * 60, vec![Weekday::Sun]), (&night, 150, 165, vec![])]
            {
                let mut sends = BTreeSet::new();
                for day in -2..=2 {
                    let day = today.plus_days(day);
                    let send = cadence.send_on(day, zone);
                    assert!(decent(send, zone, from, until, &days), "{zone}: {day} at {send}");
                    assert!(send >= day_begins(day, zone), "{zone}: {day} at {send}");
                    // Nothing waits longer than over a Sunday and a night.
                    assert!(local_day(send, zone) <= day.plus_days(2), "{zone}: {day} at {send}");
                    sends.insert(send);
                }
                // Of five days one at most is a Sunday, whose mail goes with Monday's.
                assert!(sends.len() >= 4, "{zone}: {today}: {sends:?}");
                for half_hours in -8..=8 {
                    let at = change + TimeDelta::minutes(30 * half_hours + 7);
                    let ends = cadence.quiet.ends(at, zone);
                    assert!(ends >= at && decent(ends, zone, from, until, &days), "{zone}: {at} ends {ends}");
                    let before = ends - TimeDelta::minutes(1);
                    assert!(
                        ends == at || !decent(before, zone, from, until, &days),
                        "{zone}: {at} could go before {ends}"
                    );
                    let goes = cadence.send_from(at, zone);
                    assert!(goes >= at && decent(goes, zone, from, until, &days), "{zone}: {at} goes {goes}");
                }
            }
        }
    }
    assert!(seen > 1_000, "only {seen} clock changes were looked at");
}

proptest! {
    /// Whatever a shop sets, what is quiet ends at the first minute that is not.
    #[test]
    fn quiet_ends_as_soon_as_it_can(
        zone in prop::sample::select(&TZ_VARIANTS[..]),
        at in 1_704_067_200_i64..2_240_524_800,
        from in 0_u32..1440,
        until in 0_u32..1440,
        days in prop::collection::btree_set(0_u8..7, 0..=6),
    ) {
        let days: Vec<Weekday> = days.into_iter().map(|day| Weekday::try_from(day).unwrap()).collect();
        let quiet = Quiet { from: minute_of_day(from), until: minute_of_day(until), days: days.clone() };
        let at = DateTime::from_timestamp(at / 60 * 60, 0).unwrap();
        let mut first = at;
        while !decent(first, zone, from, until, &days) {
            first += TimeDelta::minutes(1);
        }
        prop_assert_eq!(quiet.ends(at, zone), first);
        prop_assert_eq!(quiet.holds(at, zone), first > at);
    }
}
