//! How long the clock of a coat takes: `cargo bench --bench cure`.
//!
//! A logger's year: 100,000 readings, a law of activation energy, a table of humidity, cold nights below which cure
//! stands still. Printed is the median time to integrate all of it and find every milestone, on one core.

use std::time::{Duration, Instant};

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::core::cure::{CureClock, Reading};
use lustrum::core::sheet::Cure;
use lustrum::core::units::{Celsius, RelativeHumidity};
use serde_json::json;

const READINGS: i32 = 100_000;
const ROUNDS: usize = 21;

fn main() {
    let cure = Cure::read(&json!({
        "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"activation_energy_j_mol": 45_000},
        "humidity": {"table": [[20, 0.5], [50, 1.0], [80, 1.25]]},
        "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168}, {"name": "last", "h": 4_000}]
    }))
    .expect("the sheet is sound");
    let applied: DateTime<Utc> = DateTime::UNIX_EPOCH;
    let readings: Vec<Reading> = (0..READINGS)
        .map(|n| {
            let hours = f64::from(n) * 8_760.0 / f64::from(READINGS);
            let wave = |period: f64| (hours * std::f64::consts::TAU / period).sin();
            Reading {
                at: applied + TimeDelta::seconds(i64::from(n) * 315),
                c: Celsius::new(10.0 + 12.0 * wave(8_760.0) + 6.0 * wave(24.0)).expect("in range"),
                rh: RelativeHumidity::new(55.0 - 30.0 * wave(24.0)).expect("in range"),
            }
        })
        .collect();
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let before = Instant::now();
            let clock = CureClock::new(&cure, applied, &readings, &[]).expect("it can be integrated");
            assert!(clock.milestones().iter().all(|milestone| milestone.reached_at.is_some()));
            before.elapsed()
        })
        .collect();
    times.sort_unstable();
    println!("{READINGS} readings to their milestones, median: {:?}", times[ROUNDS / 2]);
}
