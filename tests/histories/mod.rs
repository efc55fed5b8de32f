//! Random histories on one time line: what is stored of each warranty is at all times what its facts alone say.
//!
//! Several shops on either side of UTC hand vehicles over, some with two warranties, and enter what happens to them:
//! also late, taken back, entered anew, waived, extended. Each local day of each shop is stepped over twice, at its
//! last microsecond and at the first of the next. What is expected is worked out day by day from the vehicle's events;
//! it never asks when a verdict changes next.
//!
//! `LUSTRUM_TEST_HISTORIES` sets how many histories there are on each database.

mod dice;
mod entries;
mod imported;
mod rebuild;
mod sheets;
mod town;
mod turns;
mod work;

use chrono::{Days, NaiveDate, TimeDelta};
use lustrum::core::calendar::{Day, day_begins};

use crate::support::database::{TestDatabase, on_both};
use town::Town;

/// The first day; before summer time begins in Europe and ends in New Zealand.
const FIRST: &str = "2026-03-20";

/// Handing the vehicles over takes the town past its first day in every zone; from then on days are stepped over.
const FOUNDED: u64 = 3;

/// How many days are stepped over: longer than any of the terms last.
const DAYS: u64 = 130;

fn histories() -> usize {
    std::env::var("LUSTRUM_TEST_HISTORIES").ok().and_then(|text| text.parse().ok()).unwrap_or(150)
}

fn first() -> NaiveDate {
    FIRST.parse().unwrap()
}

on_both!(
    jobs_come_back_from_records_alone,
    what_is_stored_is_what_the_facts_say_on_every_day_of_change,
    without_a_next_change_the_comparison_fails,
);

fn what_is_stored_is_what_the_facts_say_on_every_day_of_change(database: TestDatabase) {
    let mut town = Town::found(&database, first(), histories());
    let tally = live(&mut town, DAYS);
    let rebuilt = rebuild::from_records_alone(&town);
    assert!(rebuilt.jobs >= histories() && rebuilt.facts > rebuilt.events, "{rebuilt:?}");
    // The histories are worth something only if much happens in them.
    assert!(tally.turned * 2 > histories(), "{tally:?}");
    assert!(tally.compared > 20 * histories(), "{tally:?}");
    assert!(tally.still > tally.turned, "most days must change nothing: {tally:?}");
}

fn jobs_come_back_from_records_alone(database: TestDatabase) {
    let town = Town::found(&database, first(), 0);
    let done = work::done(&town, 120);
    let rebuilt = rebuild::from_records_alone(&town);
    assert_eq!(rebuilt.jobs, 120 - done.left_open);
    // Every way in which a job can end is among them, and every kind of row.
    let work::Done { left_open, cancelled, signed_off, new_terms, handed_over, later, passed, joined } = done;
    let ways = [left_open, cancelled, signed_off, new_terms, handed_over, later, passed, joined];
    let least = ways.into_iter().min();
    assert!(least >= Some(3), "{done:?}");
}

/// What was seen on the way.
#[derive(Debug, Default)]
struct Tally {
    /// Warranties that a day turned.
    turned: usize,
    /// Warranties that a day left alone.
    still: usize,
    /// Comparisons of what is stored with what the facts say.
    compared: usize,
}

/// Steps over `days` local days of each shop.
fn live(town: &mut Town, days: u64) -> Tally {
    let mut tally = Tally::default();
    for day in FOUNDED..days {
        let day = first() + Days::new(day);
        for shop in town.shops_by_day_begin(day) {
            let begins = day_begins(Day::from(day), town.zone(shop));
            let eve = day.pred_opt().unwrap();
            let changing = town.changing(shop, eve, day);

            town.clock_shows(begins - TimeDelta::microseconds(1));
            // What turned while the town was founded is caught up with on the first eve.
            let early = town.turn();
            let zone = town.zone(shop);
            assert!(
                day == first() + Days::new(FOUNDED) || early.is_empty(),
                "nothing changes before {day} begins in {zone}"
            );
            tally.compared +=
                town.assert_stored(shop, eve, |case| changing.contains(&case) || town.looks(case, eve));

            town.clock_shows(begins);
            let mut turned = town.turn();
            turned.sort_unstable();
            assert_eq!(turned, changing, "on {day} in {} exactly what changes is touched", town.zone(shop));
            tally.turned += turned.len();
            tally.still += town.warranties(shop) - turned.len();
            tally.compared +=
                town.assert_stored(shop, day, |case| changing.contains(&case) || town.looks(case, day));

            // Soon enough that no other zone's midnight has come: the zones lie hours apart.
            town.clock_shows(begins + TimeDelta::minutes(30));
            tally.compared += town.enter_what_happens(shop, day);
        }
    }
    tally
}

/// A test of the test: a verdict that is never looked at again goes wrong, and that is seen.
fn without_a_next_change_the_comparison_fails(database: TestDatabase) {
    let mut town = Town::found(&database, first(), 20);
    live(&mut town, 25);
    database.execute("UPDATE warranties SET next_change = NULL");
    let mut wrong = 0;
    for day in 25..DAYS {
        let day = first() + Days::new(day);
        for shop in town.shops_by_day_begin(day) {
            town.clock_shows(day_begins(Day::from(day), town.zone(shop)));
            assert!(town.turn().is_empty());
            wrong += town.wrong(shop, day).len();
        }
    }
    assert!(wrong > 0, "stored verdicts that never change again are still right after {DAYS} days");
}
