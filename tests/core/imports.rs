//! Files of tables: whatever bytes come, reading them ends; what was written is read back the same.

use std::collections::{BTreeMap, BTreeSet};

use lustrum::core::calendar::Day;
use lustrum::core::imports::customers::Customer;
use lustrum::core::imports::events::{Event, Granted, Place, Sold, What};
use lustrum::core::imports::jobs::{CoatSaid, Job};
use lustrum::core::imports::services::Service;
use lustrum::core::imports::vehicles::Vehicle;
use lustrum::core::imports::write::{head, row, safe, told};
use lustrum::core::imports::{DayOrder, Faults, File, Format, Kept, Kind, OdometerSaid, VehicleSaid, rows};
use lustrum::core::words::{
    CustomerKind, DoneBy, Finish, NamedPanel, OdometerUnit, Panel, Surface, VehicleSize,
};
use proptest::collection::{btree_set, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

/// A text that a cell can hold: anything but control characters, without blanks at its ends.
fn text(most: usize) -> impl Strategy<Value = String> {
    let wild = vec(
        prop_oneof![
            select(vec!['=', '+', '-', '@', '\'', '"', ',', ';', '\\', '\n', '\t', 'é']),
            any::<char>()
        ],
        1..12,
    );
    wild.prop_filter_map("a text with something in it", move |chars| {
        let text: String =
            chars.into_iter().filter(|c| !c.is_control() || *c == '\n' || *c == '\t').take(most).collect();
        let text = text.trim().to_owned();
        (!text.is_empty()).then_some(text)
    })
}

fn day() -> impl Strategy<Value = Day> {
    (-10_000_i32..30_000).prop_map(Day::new)
}

fn panel() -> impl Strategy<Value = Panel> {
    let other = "[a-z,;:/()\\\\ é]{1,20}".prop_filter_map("words of a shop", |words| {
        let words = words.trim().to_owned();
        format!("other:{words}").parse::<Panel>().ok()
    });
    prop_oneof![select(NamedPanel::ALL.to_vec()).prop_map(Panel::from), other]
}

fn customer() -> impl Strategy<Value = Customer> {
    let mails = (any::<bool>(), any::<bool>());
    (text(200), any::<bool>(), option::of(text(40)), option::of(text(35)), mails).prop_map(
        |(name, stock, phone, language, (mail_upkeep, mail_history))| Customer {
            name,
            kind: if stock { CustomerKind::Stock } else { CustomerKind::Owner },
            email: stock.then(|| "ada@example.org".to_owned()),
            phone,
            language,
            time_zone: stock.then(|| "Europe/Lisbon".to_owned()),
            mail_upkeep,
            mail_history,
        },
    )
}

fn vehicle() -> impl Strategy<Value = Vehicle> {
    let texts = (option::of(text(100)), option::of(text(100)), option::of(text(100)), option::of(text(100)));
    let words = (
        select(Finish::ALL.to_vec()),
        select(VehicleSize::ALL.to_vec()),
        option::of(select(OdometerUnit::ALL.to_vec())),
    );
    ("[A-Z]{1,3} [0-9]{1,4}", option::of(1900_i32..3000), texts, words, option::of(day())).prop_map(
        |(plate, model_year, (make, model, colour, owner), (finish, size, odometer_unit), since)| Vehicle {
            vin: model_year.map(|_| "1M8GDM9AXKP042788".to_owned()),
            plate: Some(plate),
            make,
            model,
            model_year,
            colour,
            finish,
            size,
            odometer_unit,
            owned_since: since.filter(|_| owner.is_some()),
            owner,
        },
    )
}

fn odometer() -> impl Strategy<Value = OdometerSaid> {
    (0_u32..6_000_000, option::of(select(OdometerUnit::ALL.to_vec())), option::of(0_u32..10_000_000))
        .prop_map(|(value, unit, distance_km)| OdometerSaid { value, unit, distance_km })
}

fn which() -> impl Strategy<Value = VehicleSaid> {
    (option::of(text(50)), "[A-Z]{1,3} [0-9]{1,4}").prop_map(|(key, plate)| VehicleSaid {
        vin: key.as_ref().map(|_| "1M8GDM9AXKP042788".to_owned()),
        key,
        plate: Some(plate),
    })
}

fn job() -> impl Strategy<Value = Job> {
    let surface = (select(Surface::ALL.to_vec()), btree_set(panel(), 1..5));
    let coats =
        vec((any::<proptest::sample::Index>(), "[a-z0-9-]{1,10}", option::of(text(60)), any::<bool>()), 0..4);
    let start = option::of((0_i32..40, option::of(0_u32..1_000_000)));
    let days = (day(), option::of(0_i32..30));
    let rest = (option::of(text(50)), btree_set(panel(), 0..3), start);
    (which(), days, odometer(), vec(surface, 1..3), coats, rest).prop_map(
        |(vehicle, (on, before), odometer, surfaces, coats, (owner, excluded_panels, start))| {
            let surfaces: BTreeMap<Surface, BTreeSet<Panel>> = surfaces.into_iter().collect();
            let coat =
                |(index, product, batch, whole): (proptest::sample::Index, String, Option<String>, bool)| {
                    let (surface, panels) = index.get(&surfaces.iter().collect::<Vec<_>>()).to_owned();
                    let batch = batch.map(|batch| batch.replace(['\n', '\t'], " "));
                    CoatSaid {
                        surface: *surface,
                        panels: if whole { BTreeSet::new() } else { panels.clone() },
                        product,
                        batch,
                    }
                };
            let coats = coats.into_iter().map(coat).collect();
            Job {
                vehicle,
                owner,
                handed_over_on: on,
                completed_on: before.map(|days| on.plus_days(-days)),
                odometer,
                coats,
                surfaces,
                excluded_panels,
                terms: start.map(|_| ("two-coat-five".to_owned(), 1)),
                warranty_start: start.map(|(days, _)| on.plus_days(days)),
                warranty_start_km: start.and_then(|(_, km)| km),
            }
        },
    )
}

fn service() -> impl Strategy<Value = Service> {
    let words = (select(DoneBy::ALL.to_vec()), any::<bool>(), any::<bool>());
    let figure = (panel(), -1.0e3_f64..1.0e3).prop_map(|(panel, value)| {
        BTreeMap::from([(panel, BTreeMap::from([("contact_angle_deg".to_owned(), value)]))])
    });
    (which(), day(), "[a-z ]{1,20}", option::of(odometer()), words, option::of(text(100)), option::of(figure))
        .prop_filter_map(
            "a service has a name",
            |(vehicle, on, service, odometer, (done_by, carried_out, in_time), finding, figures)| {
                let service = service.trim().to_owned();
                let figures = figures.unwrap_or_default();
                (!service.is_empty()).then_some(Service {
                    vehicle,
                    on,
                    service,
                    odometer,
                    done_by,
                    carried_out,
                    in_time,
                    finding,
                    figures,
                })
            },
        )
}

fn what() -> impl Strategy<Value = What> {
    let key = || "[a-z][a-z0-9-]{0,20}";
    let place =
        || (select(Surface::ALL.to_vec()), panel()).prop_map(|(surface, panel)| Place { surface, panel });
    let sold = || (text(200), option::of(day())).prop_map(|(to, told)| Sold { to, told });
    let granted = || {
        (option::of(text(200)), key(), 1_u32.., text(2_000))
            .prop_map(|(job, upkeep, number, reason)| Granted { job, upkeep, number, reason })
    };
    let surfaces = option::of(btree_set(select(Surface::ALL.to_vec()), 1..4));
    prop_oneof![
        Just(What::Reading),
        sold().prop_map(What::Sale),
        sold().prop_map(What::Transfer),
        place().prop_map(What::Repair),
        place().prop_map(What::Recoat),
        (key(), surfaces).prop_map(|(key, surfaces)| What::Breach { key, surfaces }),
        text(2_000).prop_map(|reason| What::Close { reason }),
        granted().prop_map(What::Waive),
        (granted(), day()).prop_map(|(granted, to)| What::Extend { granted, to }),
    ]
}

fn event() -> impl Strategy<Value = Event> {
    (which(), day(), odometer(), any::<bool>(), what()).prop_map(|(vehicle, on, odometer, read, what)| {
        Event { vehicle, on, odometer: Some(odometer).filter(|_| read || what == What::Reading), what }
    })
}

/// Writes rows and reads them again, each way.
fn comes_back<T: Kept + PartialEq + std::fmt::Debug>(said: &[T]) {
    for format in [Format::Csv, Format::Jsonl] {
        let mut file = head(T::KIND, format);
        let key = |i: usize| format!("-K\u{fc}-{i}");
        for (i, one) in said.iter().enumerate() {
            file.push_str(&row(&key(i), one, format));
        }
        let table = File::open(file.as_bytes(), T::KIND, None).unwrap_or_else(|e| panic!("{e:?}\n{file}"));
        assert_eq!(table.format, format);
        let mut faults = Faults::default();
        let read = rows::<T>(&table, &mut faults);
        assert!(faults.listed.is_empty(), "{:?}\n{file}", faults.listed);
        let read: Vec<(String, T)> = read.into_iter().map(|said| (said.key, said.said)).collect();
        let wanted: Vec<(String, T)> =
            said.iter().enumerate().map(|(i, one)| (key(i), one.clone())).collect();
        assert_eq!(read, wanted, "{file}");
    }
}

/// Reads whatever bytes as a kind of file; whatever is wrong is told.
fn ends(bytes: &[u8], kind: Kind) {
    let Ok(file) = File::open(bytes, kind, Some(DayOrder::DayFirst)) else { return };
    let mut faults = Faults::default();
    let read = match kind {
        Kind::Customers => rows::<Customer>(&file, &mut faults).len(),
        Kind::Vehicles => rows::<Vehicle>(&file, &mut faults).len(),
        Kind::Jobs => rows::<Job>(&file, &mut faults).len(),
        Kind::Services => rows::<Service>(&file, &mut faults).len(),
        Kind::Events => rows::<Event>(&file, &mut faults).len(),
    };
    assert!(read <= bytes.len() && faults.all >= faults.listed.len());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_back(
        customers in vec(customer(), 1..5), vehicles in vec(vehicle(), 1..5),
        jobs in vec(job(), 1..4), services in vec(service(), 1..5), events in vec(event(), 1..6),
    ) {
        comes_back(&customers);
        comes_back(&vehicles);
        comes_back(&jobs);
        comes_back(&services);
        comes_back(&events);
    }

    #[test]
    fn whatever_bytes_come_reading_ends(bytes in vec(any::<u8>(), 0..300)) {
        Kind::ALL.iter().for_each(|kind| ends(&bytes, *kind));
    }

    #[test]
    fn whatever_stands_under_headers_reading_ends(
        cells in vec(prop_oneof![text(20), "[0-9./ -]{0,12}", "[=+@'\"\\\\(),;:a-z]{0,12}"], 0..60),
        mark in select(vec![',', ';', '\t', '|']),
        bytes in vec(any::<u8>(), 0..8),
    ) {
        for kind in Kind::ALL {
            let written = head(*kind, Format::Csv);
            let width = written.split(',').count();
            let mut file = written.replace(',', &mark.to_string()).into_bytes();
            for row in cells.chunks(width) {
                let mut row = row.to_vec();
                row.resize(width, String::new());
                file.extend(row.join(&mark.to_string()).into_bytes());
                file.push(b'\n');
            }
            ends(&file, *kind);
            file.extend(&bytes);
            ends(&file, *kind);
        }
    }

    #[test]
    fn no_cell_that_is_written_begins_a_formula(cell in any::<String>()) {
        let written = safe(&cell);
        prop_assert_eq!(told(&written), &cell);
        prop_assert!(!written.starts_with(['=', '+', '-', '@', '\t', '\r']));
    }
}
