//! How long a logger's file takes to read: `cargo bench --bench loggers`.
//!
//! 100,000 rows in the way that is slowest to read: date and time apart, local, decimal commas. Printed is the median time
//! from bytes to readings, on one core.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use lustrum::core::climate::logger::{Given, LoggerFile};

const ROWS: u32 = 100_000;
const ROUNDS: usize = 11;

fn main() {
    let mut file =
        String::from("Datum;Uhrzeit;Lufttemperatur (°C);rel. Luftfeuchte (%);Oberflächentemperatur (°C)\n");
    for n in 0..ROWS {
        let (day, minute) = (1 + n / 1_440 % 28, n % 1_440);
        let (month, tenths) = (1 + n / 40_320, n % 10);
        let (hour, minute) = (minute / 60, minute % 60);
        writeln!(file, "{day:02}.{month:02}.2026;{hour:02}:{minute:02};20,{tenths};48,{tenths};18,{tenths}")
            .expect("a text");
    }
    let now = "2027-01-01T00:00:00Z".parse().expect("an instant");
    let given = Given { zone: chrono_tz::Africa::Lagos, days: None, place: None, now };
    let mut times: Vec<Duration> = (0..ROUNDS)
        .map(|_| {
            let before = Instant::now();
            let read = LoggerFile::open(file.as_bytes(), &given)
                .expect("a table")
                .readings(&given)
                .expect("no fault");
            assert_eq!(read.len(), ROWS as usize);
            before.elapsed()
        })
        .collect();
    times.sort_unstable();
    println!("{ROWS} rows, median: {:?}", times[ROUNDS / 2]);
}
