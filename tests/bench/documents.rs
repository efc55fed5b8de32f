//! How long documents take: `cargo bench --bench documents`.
//!
//! A certificate with three rules of upkeep, and a history of 200 events, each printed until everything that is kept
//! from one to the next is kept (warm), then twenty-one times; every time it says something else. Printed is the median
//! of the time that the processor was busy. The bars: 60 ms and 250 ms.

use std::time::{Duration, Instant};

use chrono::{DateTime, NaiveDate, TimeDelta};
use lustrum::core::ids::Digest;
use lustrum::core::terms::Terms;
use lustrum::core::vehicle_events::Happened;
use lustrum::core::words::{DoneBy, NamedPanel, OdometerUnit, PaperSize, Surface};
use lustrum::documents::certificate::{Certificate, Covered, Seal, Standing};
use lustrum::documents::events::{Entry, EventOnPaper};
use lustrum::documents::history::History;
use lustrum::documents::paper::{Paper, Setting};
use lustrum::documents::press::{Press, Template};
use lustrum::documents::{ShopOnPaper, VehicleOnPaper};
use lustrum::language::Language;

const ROUNDS: usize = 21;

fn main() {
    let terms = Terms::parse(include_bytes!("documents.terms.json")).expect("the terms are sound");
    median("certificate", |n| certificate(&terms, n));
    median("history of 200 events", history);
}

fn median(what: &str, paper: impl Fn(usize) -> Paper) {
    let press = Press::default();
    let mut times: Vec<Duration> = (0..ROUNDS + 5)
        .map(|n| {
            let began = Instant::now();
            let printed = press.print(&paper(n), Template::Pages).expect("it can be printed");
            assert!(printed.falls_short.is_none());
            began.elapsed()
        })
        .skip(5)
        .collect();
    times.sort();
    println!("{what}: {:.1} ms median, {:.1} ms at most", ms(times[ROUNDS / 2]), ms(times[ROUNDS - 1]));
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1_000.0
}

fn setting() -> Setting {
    Setting {
        language: Language::English,
        size: PaperSize::A4,
        shop: ShopOnPaper { name: "Quayside Coatings".into(), ..ShopOnPaper::default() },
        made_at: DateTime::UNIX_EPOCH,
    }
}

fn vehicle(n: usize) -> VehicleOnPaper {
    VehicleOnPaper { title: "Corvina Estate 2026".into(), vin: None, plate: Some(format!("QC-{n}")) }
}

fn day() -> NaiveDate {
    DateTime::UNIX_EPOCH.date_naive() + TimeDelta::days(20_522)
}

fn certificate(terms: &Terms, n: usize) -> Paper {
    let covered = |surface, panels: &[NamedPanel]| Covered {
        surface,
        last_day: day(),
        up_to_km: Some(120_000),
        panels: panels.iter().map(|panel| (*panel).into()).collect(),
        excluded: Vec::new(),
    };
    let values = Certificate {
        setting: setting(),
        number: format!("W-2026-{n:04}"),
        job: format!("J-2026-{n:04}"),
        issued: day(),
        customer: Some(format!("Owner {n}")),
        vehicle: vehicle(n),
        unit: OdometerUnit::Km,
        start: day(),
        start_km: 412,
        terms,
        terms_digest: Digest::of(b"terms"),
        cover: vec![
            covered(Surface::Paint, &NamedPanel::ALL[..12]),
            covered(Surface::Glass, &[NamedPanel::Windscreen]),
        ],
        standing: Standing::Issued,
        verify: format!("https://lustrum.example/verify/ABCDEFGHJKLMNPQR{n:04}"),
        code: format!("ABCDEFGHJKLMNPQR{n:04}"),
        keys: "https://lustrum.example/.well-known/jwks.json".into(),
        seal: Some(Seal { seq: 7, digest: Digest::of(b"record") }),
    };
    values.paper()
}

fn history(n: usize) -> Paper {
    let event = |i: usize| EventOnPaper {
        on: day() + TimeDelta::days(i64::try_from(i).unwrap_or_default()),
        km: u32::try_from(400 + i * 31).ok(),
        happened: Happened::Service {
            service: "maintenance wash".into(),
            carried_out: true,
            finding: Some(format!("Swirl marks on panel {i}, seen by day.")),
            figures: [(NamedPanel::Bonnet.into(), [("contact_angle_deg".to_owned(), 96.4)].into())].into(),
            inspection: None,
            countersigned: None,
            done_by: DoneBy::Shop,
            imported: false,
        },
        elsewhere: None,
        note: None,
        entered: Entry::default(),
        retracted: false,
    };
    let values = History {
        setting: setting(),
        warranty: None,
        vehicle: vehicle(n),
        unit: OdometerUnit::Km,
        as_of: day(),
        warranties: Vec::new(),
        jobs: Vec::new(),
        happened: (0..200).map(event).collect(),
    };
    values.paper()
}
