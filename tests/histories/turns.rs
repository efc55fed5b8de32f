//! Replicas that turn the same day at the same time.

use std::collections::BTreeSet;
use std::thread;
use std::time::{Duration, Instant};

use chrono::{Days, TimeDelta};
use diesel::connection::SimpleConnection;
use diesel::prelude::*;
use diesel::sql_types::BigInt;
use lustrum::app::{App, turn};
use lustrum::core::calendar::{Day, day_begins};

use super::first;
use super::town::Town;
use crate::support::database::{Backend, TestDatabase, on_both};

on_both!(each_warranty_is_turned_by_one_of_two_replicas);

fn each_warranty_is_turned_by_one_of_two_replicas(database: TestDatabase) {
    let town = Town::found(&database, first(), 40);
    let day = first() + Days::new(40);
    town.clock_shows(day_begins(Day::from(day), chrono_tz::UTC) + TimeDelta::hours(12));
    let now = town.app.now();
    let replicas = [(); 2].map(|()| App::open((*town.app.config).clone(), town.app.clock.clone()).unwrap());
    let turned: Vec<_> = thread::scope(|scope| {
        let turns = replicas.each_ref().map(|app| scope.spawn(move || turn::days(app, now).unwrap()));
        turns.into_iter().flat_map(|turn| turn.join().unwrap()).map(|turned| turned.warranty).collect()
    });
    let once: BTreeSet<_> = turned.iter().copied().collect();
    assert_eq!(once.len(), turned.len(), "none of them twice");
    assert!(once.len() >= 40, "after 40 days each vehicle has had a wash due: {}", once.len());
    for shop in 0..town.members().count() {
        town.assert_stored(shop, now.with_timezone(&town.zone(shop)).date_naive(), |_| true);
    }
}

/// Two turns whose lists differ would hold each other up if each locked in the order in which changes fell due.
#[test]
fn vehicles_are_locked_in_the_order_of_their_ids() {
    #[derive(QueryableByName)]
    struct Waiting {
        #[diesel(sql_type = BigInt)]
        many: i64,
    }
    let database = TestDatabase::new(Backend::Postgres);
    let mut town = Town::found(&database, first(), 0);
    // The vehicle that was entered first is the last to change.
    let (first_id, second_id) = (town.adds_quiet("quarter"), town.adds_quiet("six-weeks"));
    assert!(first_id < second_id);
    town.clock_shows(town.app.now() + TimeDelta::days(12));
    let (app, now) = (town.app.clone(), town.app.now());

    let [mut holder, mut other] = [(); 2].map(|()| PgConnection::establish(&database.url).unwrap());
    let lock = |id, how: &str| format!("BEGIN; SELECT 1 FROM vehicles WHERE id = '{id}' FOR UPDATE {how}");
    holder.batch_execute(&lock(first_id, "")).unwrap();
    let turning = thread::spawn(move || turn::days(&app, now).unwrap());
    let patience = Instant::now() + Duration::from_secs(8);
    let waits = "SELECT count(*) AS many FROM pg_stat_activity \
                 WHERE datname = current_database() AND wait_event_type = 'Lock'";
    while diesel::sql_query(waits).get_result::<Waiting>(&mut other).unwrap().many == 0 {
        assert!(Instant::now() < patience, "the turn does not wait for the first vehicle");
        thread::sleep(Duration::from_millis(20));
    }
    other.batch_execute(&lock(second_id, "NOWAIT")).expect("who waits for the first holds no later one");
    other.batch_execute("ROLLBACK").unwrap();
    holder.batch_execute("ROLLBACK").unwrap();
    assert_eq!(turning.join().unwrap().len(), 2);
}
