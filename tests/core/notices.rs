//! Which notices go out when: the steps of a due, what is true after an outage, and what stops a notice.
//! The days in these tests are counted by hand from the rules beside them.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use lustrum::core::calendar::{Day, Period};
use lustrum::core::ids::{CustomerId, WarrantyId};
use lustrum::core::notices::{
    Cadence, DueNotice, DueView, OwnerView, RuleView, Stale, Standing, Step, WarrantyView, endings,
    local_send, lookout, plan, retry_at, steps, still_holds, urgency,
};
use lustrum::core::words::NoticeKind;
use proptest::prelude::*;
use uuid::Uuid;

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

const YEARLY: Period = Period { years: 1, months: 0, weeks: 0, days: 0 };

fn rule(interval: Period) -> RuleView {
    RuleView { key: "annual".into(), interval, only_noted: false }
}

fn waiting(due: &str, closes: &str) -> DueView {
    DueView {
        rule: 0,
        number: 1,
        counted_from: None,
        due: day(due),
        closes: day(closes),
        due_by_km: None,
        closes_by_km: None,
        standing: Standing::Waiting,
        booked: false,
    }
}

/// A warranty entered at noon UTC on 10 March 2026, its first yearly inspection due on 10 March 2027, closing on
/// 9 April 2027: told on 24 January, 24 February, 26 March, missed from 10 April.
fn warranty() -> WarrantyView {
    WarrantyView {
        id: WarrantyId::new(Uuid::from_u128(1)),
        entered_at: "2026-03-10T12:00:00Z".parse().unwrap(),
        owner: OwnerView {
            id: CustomerId::new(Uuid::from_u128(2)),
            zone: chrono_tz::Europe::Lisbon,
            since: day("2026-03-10"),
            wants_upkeep: true,
        },
        leads: None,
        rules: vec![rule(YEARLY)],
        dues: vec![waiting("2027-03-10", "2027-04-09")],
        last_days: BTreeSet::from([day("2028-03-09"), day("2031-03-09")]),
    }
}

#[test]
fn cover_that_ends_is_told_of_in_its_last_sixty_days() {
    let told = |warranty: &WarrantyView, today: &str| -> Vec<String> {
        let endings = endings(warranty, &Cadence::default(), day(today));
        endings.iter().map(|ending| ending.last_day.to_string()).collect()
    };
    // 2028 is a leap year: sixty days before 9 March is 9 January.
    assert_eq!(told(&warranty(), "2028-01-08"), [""; 0]);
    assert_eq!(told(&warranty(), "2028-01-09"), ["2028-03-09"]);
    assert_eq!(told(&warranty(), "2028-03-09"), ["2028-03-09"]);
    assert_eq!(told(&warranty(), "2028-03-10"), [""; 0]);
    let mut new_owner = warranty();
    new_owner.owner.since = day("2028-01-10");
    assert_eq!(told(&new_owner, "2028-02-01"), [""; 0], "it came to be told before the vehicle was theirs");
    let mut entered_late = warranty();
    entered_late.entered_at = "2028-02-01T12:00:00Z".parse().unwrap();
    assert_eq!(told(&entered_late, "2028-02-02"), [""; 0]);
    let mut unwilling = warranty();
    unwilling.owner.wants_upkeep = false;
    assert_eq!(told(&unwilling, "2028-01-09"), [""; 0]);
}

/// What is planned on a day, and held as planned from then on.
fn planned_on(warranty: &WarrantyView, today: &str, planned: &mut BTreeSet<String>) -> Vec<Step> {
    let notices = plan(warranty, &Cadence::default(), day(today), planned);
    planned.extend(notices.iter().map(|notice| notice.key.clone()));
    notices.into_iter().map(|notice| notice.step).collect()
}

fn only(warranty: &WarrantyView, today: &str) -> DueNotice {
    let mut notices = plan(warranty, &Cadence::default(), day(today), &BTreeSet::new());
    assert_eq!(notices.len(), 1, "{notices:?}");
    notices.remove(0)
}

#[test]
fn each_step_is_told_once_on_its_day() {
    let warranty = warranty();
    let mut planned = BTreeSet::new();
    let mut told = Vec::new();
    let mut today = day("2026-03-10");
    while today <= day("2027-04-09") {
        for step in planned_on(&warranty, &today.to_string(), &mut planned) {
            told.push((step, today.to_string()));
        }
        today = today.plus_days(1);
    }
    let expected = [
        (Step::Upcoming(45), "2027-01-24"),
        (Step::Upcoming(14), "2027-02-24"),
        (Step::LastCall, "2027-03-26"),
    ];
    assert_eq!(told, expected.map(|(step, on)| (step, on.to_owned())));

    let mut missed = warranty;
    missed.dues[0].standing = Standing::Missed(day("2027-04-10"));
    assert_eq!(planned_on(&missed, "2027-04-10", &mut planned), [Step::Missed]);
    assert_eq!(planned_on(&missed, "2027-04-11", &mut planned), []);
}

#[test]
fn a_mail_goes_out_in_the_morning_of_its_owner() {
    let mut warranty = warranty();
    assert_eq!(only(&warranty, "2027-02-24").send_at.to_rfc3339(), "2027-02-24T09:00:00+00:00");
    warranty.owner.zone = chrono_tz::Asia::Kathmandu;
    assert_eq!(only(&warranty, "2027-02-24").send_at.to_rfc3339(), "2027-02-24T03:15:00+00:00");
    // 24 January 2027 is a Sunday.
    assert_eq!(only(&warranty, "2027-01-24").send_at.to_rfc3339(), "2027-01-25T03:15:00+00:00");
}

#[test]
fn after_an_outage_only_the_last_step_is_told() {
    let warranty = warranty();
    let mut planned = BTreeSet::new();
    assert_eq!(planned_on(&warranty, "2027-02-20", &mut planned), [Step::Upcoming(45)]);
    // Back on 1 April: `upcoming` 14 days before and the last call have both come.
    assert_eq!(planned_on(&warranty, "2027-04-01", &mut planned), [Step::LastCall]);
    // A clock that was wrong for a while, and goes back, starts nothing over.
    assert_eq!(planned_on(&warranty, "2027-02-25", &mut planned), []);
    // The window has closed, and the verdict does not say so yet: nothing that is false goes out.
    assert_eq!(planned_on(&warranty, "2027-04-10", &mut BTreeSet::new()), []);
}

#[test]
fn leads_follow_the_rule() {
    let told = |interval: Period, due: &DueView, leads: &[u32]| -> Vec<Step> {
        steps(&rule(interval), due, leads).into_iter().map(|(step, _)| step).collect()
    };
    // Six weeks are 42 days: a third of that is 14 days, and 45 are longer.
    let six_weeks = Period { weeks: 6, ..Period::default() };
    let late = waiting("2026-06-01", "2026-06-30");
    assert_eq!(told(six_weeks, &late, &[45, 14]), [Step::Upcoming(14), Step::LastCall, Step::Missed]);
    // One day less, and 14 are longer than a third too.
    let less = Period { weeks: 5, days: 6, ..Period::default() };
    assert_eq!(told(less, &late, &[45, 14]), [Step::LastCall, Step::Missed]);
    // Months count 28 days: five of them are 140, a third of that is under 47.
    let months = |months| Period { months, ..Period::default() };
    assert_eq!(
        told(months(5), &late, &[46, 45]),
        [Step::Upcoming(46), Step::Upcoming(45), Step::LastCall, Step::Missed]
    );
    assert_eq!(told(months(5), &late, &[47]), [Step::LastCall, Step::Missed]);

    // Closing on the due day itself: `upcoming` 14 days before falls on the last call, 21 is 7 days from it.
    let strict = waiting("2026-06-01", "2026-06-01");
    assert_eq!(told(YEARLY, &strict, &[45, 21, 14]), [Step::Upcoming(45), Step::LastCall, Step::Missed]);
    assert_eq!(
        told(YEARLY, &strict, &[45, 22]),
        [Step::Upcoming(45), Step::Upcoming(22), Step::LastCall, Step::Missed]
    );

    let noted = RuleView { only_noted: true, ..rule(YEARLY) };
    assert_eq!(steps(&noted, &strict, &[45, 14]), []);
}

#[test]
fn a_plan_of_its_own_goes_before_the_shop() {
    let mut warranty = warranty();
    warranty.leads = Some(vec![30]);
    let mut planned = BTreeSet::new();
    assert_eq!(planned_on(&warranty, "2027-01-24", &mut planned), []);
    assert_eq!(planned_on(&warranty, "2027-02-08", &mut planned), [Step::Upcoming(30)]);
    // Leads changed afterwards to some that lie further ahead: the owner has been told already.
    warranty.leads = Some(vec![40]);
    assert_eq!(planned_on(&warranty, "2027-02-09", &mut planned), []);
}

#[test]
fn nothing_is_told_from_before_the_warranty_was_entered() {
    let mut warranty = warranty();
    // The moment is 9:00 UTC in Lisbon's winter.
    warranty.entered_at = "2027-02-24T09:00:00Z".parse().unwrap();
    assert_eq!(only(&warranty, "2027-02-24").step, Step::Upcoming(14));
    warranty.entered_at = "2027-02-24T09:00:01Z".parse().unwrap();
    assert_eq!(planned_on(&warranty, "2027-02-24", &mut BTreeSet::new()), []);
    assert_eq!(planned_on(&warranty, "2027-03-26", &mut BTreeSet::new()), [Step::LastCall]);
    // On a Sunday: its mail would go on Monday morning.
    warranty.entered_at = "2027-01-24T18:00:00Z".parse().unwrap();
    assert_eq!(only(&warranty, "2027-01-24").step, Step::Upcoming(45));

    // Entered years late: what was missed before that is no news.
    warranty.entered_at = "2029-01-01T00:00:00Z".parse().unwrap();
    warranty.dues[0].standing = Standing::Missed(day("2027-04-10"));
    assert_eq!(planned_on(&warranty, "2029-01-02", &mut BTreeSet::new()), []);
}

#[test]
fn a_rolling_due_is_not_told_of_before_it_exists() {
    let mut warranty = warranty();
    let week = Period { weeks: 1, ..Period::default() };
    warranty.rules = vec![rule(week)];
    let mut due = waiting("2026-06-08", "2026-06-09");
    due.counted_from = Some(day("2026-06-01"));
    warranty.dues = vec![due];
    for today in ["2026-06-01", "2026-06-05", "2026-06-09"] {
        assert_eq!(planned_on(&warranty, today, &mut BTreeSet::new()), []);
    }
    warranty.dues[0].standing = Standing::Missed(day("2026-06-10"));
    assert_eq!(only(&warranty, "2026-06-10").step, Step::Missed);
}

#[test]
fn missed_by_distance_is_told_from_that_day() {
    let mut warranty = warranty();
    warranty.dues[0].standing = Standing::Missed(day("2026-12-05"));
    assert_eq!(only(&warranty, "2026-12-05").step, Step::Missed);
    // The days of the other steps come, and they are not true.
    assert_eq!(only(&warranty, "2027-03-26").step, Step::Missed);
}

#[test]
fn an_extension_is_told_of_again() {
    let mut warranty = warranty();
    let mut planned = BTreeSet::new();
    assert_eq!(planned_on(&warranty, "2027-03-26", &mut planned), [Step::LastCall]);
    warranty.dues[0].closes = day("2027-05-31");
    // The last call is on 17 May now; the day for which it is asked has not moved.
    assert_eq!(planned_on(&warranty, "2027-03-27", &mut planned), [Step::Upcoming(14)]);
    assert_eq!(planned_on(&warranty, "2027-05-17", &mut planned), [Step::LastCall]);
}

#[test]
fn a_new_owner_starts_anew() {
    let mut warranty = warranty();
    let mut planned = BTreeSet::new();
    assert_eq!(planned_on(&warranty, "2027-01-24", &mut planned), [Step::Upcoming(45)]);
    let before = only(&warranty, "2027-01-24");
    warranty.owner.id = CustomerId::new(Uuid::from_u128(3));
    warranty.owner.since = day("2027-02-01");
    // What came before concerned somebody else.
    assert_eq!(planned_on(&warranty, "2027-02-01", &mut planned), []);
    assert_eq!(planned_on(&warranty, "2027-02-24", &mut planned), [Step::Upcoming(14)]);
    assert_eq!(
        still_holds(&before, &warranty, &Cadence::default(), day("2027-02-01")),
        Err(Stale::OtherOwner)
    );
}

#[test]
fn what_is_no_longer_true_is_not_sent() {
    let base = warranty();
    let notice = only(&base, "2027-03-26");
    let holds = |change: &dyn Fn(&mut WarrantyView), today: &str| {
        let mut now = base.clone();
        change(&mut now);
        still_holds(&notice, &now, &Cadence::default(), day(today))
    };
    assert_eq!(holds(&|_| {}, "2027-03-26"), Ok(()));
    assert_eq!(holds(&|_| {}, "2027-04-09"), Ok(()));
    assert_eq!(holds(&|_| {}, "2027-04-10"), Err(Stale::Overtaken));
    assert_eq!(holds(&|w| w.dues[0].standing = Standing::Settled, "2027-03-26"), Err(Stale::Settled));
    assert_eq!(
        holds(&|w| w.dues[0].standing = Standing::Missed(day("2027-04-10")), "2027-04-10"),
        Err(Stale::Overtaken)
    );
    assert_eq!(holds(&|w| w.dues[0].closes = day("2027-05-31"), "2027-03-26"), Err(Stale::Moved));
    assert_eq!(holds(&|w| w.dues[0].booked = true, "2027-03-26"), Err(Stale::Booked));
    assert_eq!(holds(&|w| w.dues.clear(), "2027-03-26"), Err(Stale::Gone));
    assert_eq!(holds(&|w| w.owner.wants_upkeep = false, "2027-03-26"), Err(Stale::Unwanted));

    let mut missed = base.clone();
    missed.dues[0].standing = Standing::Missed(day("2027-04-10"));
    let notice = only(&missed, "2027-04-10");
    let today = day("2027-04-20");
    assert_eq!(still_holds(&notice, &missed, &Cadence::default(), today), Ok(()));
    missed.dues[0].standing = Standing::MadeGood;
    assert_eq!(still_holds(&notice, &missed, &Cadence::default(), today), Err(Stale::MadeGood));
    // A service that was entered afterwards and met it after all.
    missed.dues[0].standing = Standing::Waiting;
    assert_eq!(still_holds(&notice, &missed, &Cadence::default(), today), Err(Stale::Gone));
}

#[test]
fn what_falls_together_is_told_most_urgent_first() {
    let mut warranty = warranty();
    let mut second = waiting("2027-03-20", "2027-04-01");
    second.number = 2;
    second.standing = Standing::Missed(day("2027-03-25"));
    let mut third = waiting("2027-04-09", "2027-05-09");
    third.number = 3;
    warranty.dues.extend([second, third]);
    let notices = plan(&warranty, &Cadence::default(), day("2027-03-26"), &BTreeSet::new());
    let kinds: Vec<NoticeKind> = notices.iter().map(DueNotice::kind).collect();
    assert_eq!(kinds, [NoticeKind::Missed, NoticeKind::LastCall, NoticeKind::Upcoming]);
}

/// `tests/reference/local_send_times.csv`: made from the IANA time zone database, with two independent readers of it
/// agreeing on each line. Its `policy` names how a time is taken that exists twice or not at all; ours is the one of
/// RFC 5545 §3.3.5.
#[test]
fn local_times_are_those_of_the_zone() {
    let table = include_str!("../reference/local_send_times.csv");
    let mut looked_at = 0;
    for line in table.lines().skip(1) {
        let fields: Vec<&str> = line.splitn(5, ',').collect();
        let (id, zone, local, kind, rest) = (fields[0], fields[1], fields[2], fields[3], fields[4]);
        let ours = match kind {
            "overlap" => rest.starts_with("earlier") || rest.starts_with("\"compatible"),
            // "later": by the offset before the gap; the time moves forward.
            "gap" => rest.starts_with("later") || rest.starts_with("\"compatible"),
            _ => true,
        };
        if !ours {
            continue;
        }
        let utc = rest.split(',').find(|field| field.ends_with('Z') && field.len() == 20).unwrap();
        let local = NaiveDateTime::parse_from_str(local, "%Y-%m-%dT%H:%M").unwrap();
        let zone: Tz = zone.parse().unwrap();
        let expected: DateTime<Utc> = utc.parse().unwrap();
        assert_eq!(local_send(Day::from(local.date()), local.time(), zone), expected, "{id}");
        looked_at += 1;
    }
    assert_eq!(looked_at, 43);
}

#[test]
fn retries_grow_to_six_hours_and_end_after_five_days() {
    let first: DateTime<Utc> = "2026-03-10T09:00:00Z".parse().unwrap();
    for jitter in [0.0, 0.5, 1.0] {
        let (mut now, mut attempts, mut longest) = (first, 1, TimeDelta::zero());
        while let Some(next) = retry_at(attempts, first, now, jitter) {
            assert!(next - now >= TimeDelta::minutes(1), "attempt {attempts}");
            assert!(next - now >= longest, "waits do not grow");
            longest = next - now;
            (now, attempts) = (next, attempts + 1);
        }
        assert!(longest <= TimeDelta::hours(6));
        assert!(longest >= TimeDelta::hours(3));
        assert!(now > first + TimeDelta::days(5) - TimeDelta::hours(6) && now <= first + TimeDelta::days(5));
        assert!((20..=60).contains(&attempts), "{attempts} attempts");
    }
}

/// A due that distance brings on sooner is told of by that day; one that it brings later, by the calendar.
#[test]
fn distance_brings_notices_forward() {
    let rule = rule(YEARLY);
    let mut due = waiting("2027-03-10", "2027-04-09");
    let calendar = steps(&rule, &due, &[45, 14]);
    (due.due_by_km, due.closes_by_km) = (Some(day("2027-06-01")), Some(day("2027-07-01")));
    assert_eq!(steps(&rule, &due, &[45, 14]), calendar);
    (due.due_by_km, due.closes_by_km) = (Some(day("2026-11-01")), Some(day("2026-12-01")));
    let sooner = [
        (Step::Upcoming(45), day("2026-09-17")),
        (Step::Upcoming(14), day("2026-10-18")),
        (Step::LastCall, day("2026-11-17")),
        (Step::Missed, day("2027-04-10")),
    ];
    assert_eq!(steps(&rule, &due, &[45, 14]), sooner, "missed is never a guess");
}

proptest! {
    /// Whatever is told on a day by looking at every due is told by looking only at those of the lookout.
    #[test]
    fn the_lookout_leaves_out_no_due(due in 20_600..21_000_i32, late in 0..60_i32, on in 20_500..21_100_i32, days in 0..90_i32,
                                     by_km in proptest::option::of((20_500..21_100_i32, 0..60_i32))) {
        let mut warranty = warranty();
        warranty.entered_at = DateTime::UNIX_EPOCH;
        warranty.owner.since = Day::new(0);
        let (due, today) = (Day::new(due), Day::new(on));
        let closes = due.plus_days(late);
        let standing = if today > closes { Standing::Missed(closes.plus_days(1)) } else { Standing::Waiting };
        let (due_by_km, closes_by_km) = (by_km.map(|(km, _)| Day::new(km)), by_km.map(|(km, late)| Day::new(km + late)));
        warranty.dues = vec![DueView { rule: 0, number: 1, counted_from: None, due, closes, due_by_km, closes_by_km, standing, booked: false }];
        let from = today.plus_days(-days);
        for notice in plan(&warranty, &Cadence::default(), today, &BTreeSet::new()) {
            if notice.on >= from {
                let look = lookout(from, today, &[45, 14]);
                let inside = |runs: &[(Day, Day)], day| runs.iter().any(|(first, last)| (*first..=*last).contains(&day));
                let by_km = due_by_km.is_some_and(|day| inside(&look.due, day)) || closes_by_km.is_some_and(|day| inside(&look.closes, day));
                prop_assert!(inside(&look.due, due) || inside(&look.closes, closes) || by_km, "{notice:?}");
            }
        }
    }

    /// However the days between are cut into outages, no step is told twice, and the last one that came is told.
    #[test]
    fn outages_of_any_length_lose_nothing_and_repeat_nothing(gaps in prop::collection::vec(1..80_i32, 1..40)) {
        let warranty = warranty();
        let cadence = Cadence::default();
        let mut planned = BTreeSet::new();
        let mut today = day("2026-03-10");
        for gap in gaps {
            today = today.plus_days(gap);
            if today > day("2027-04-09") {
                break;
            }
            for notice in plan(&warranty, &cadence, today, &planned) {
                prop_assert!(planned.insert(notice.key.clone()));
                prop_assert!(still_holds(&notice, &warranty, &cadence, today).is_ok());
            }
            let come = steps(&warranty.rules[0], &warranty.dues[0], &cadence.leads);
            if let Some((step, _)) = come.iter().rev().find(|(_, on)| *on <= today) {
                let last = only(&warranty, &today.to_string());
                prop_assert_eq!(last.step, *step);
                prop_assert!(planned.contains(&last.key));
            }
        }
    }
}

#[test]
fn what_cannot_wait_stands_first_in_a_joint_mail() {
    use NoticeKind as N;
    // What was missed costs something today; what was done can be read any day.
    let order = [
        N::Missed,
        N::LastCall,
        N::Changed,
        N::Ending,
        N::Upcoming,
        N::Booked,
        N::WashFrom,
        N::Aftercare,
        N::FirstLook,
        N::Season,
        N::Record,
    ];
    assert!(order.is_sorted_by(|one, other| urgency(*one) < urgency(*other)));
    // Links that were asked for are good for minutes only.
    assert!([N::SignIn, N::Link].iter().all(|asked| urgency(*asked) < urgency(N::Missed)));
    assert_eq!(order.len() + 2, N::ALL.len(), "every kind has its place");
}
