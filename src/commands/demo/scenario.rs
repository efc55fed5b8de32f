//! The invented shop of the demo: its people, products, terms, owners and vehicles. Nobody and nothing in here exists.
//!
//! All of it is input, in the shapes of the interface; no result stands here.

use chrono::{DateTime, Datelike as _, Months, NaiveDate, Utc};
use serde_json::{Value, json};

/// Where the shop is.
pub(super) const ZONE: &str = "Europe/Oslo";

/// Everybody's password: it is a drill, and printed.
pub(super) const PASSWORD: &str = "thaw-rinse-and-wipe";

/// Role, name and e-mail address of the people of the shop.
pub(super) const MANAGER: (&str, &str) = ("Solveig (invented)", "solveig@skerry.example");
pub(super) const TECHNICIAN: (&str, &str) = ("Emil (invented)", "emil@skerry.example");
pub(super) const DESK: (&str, &str) = ("Noor (invented)", "noor@skerry.example");

/// What the demo is told about; a test tells it on other terms.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// The terms on which the warranties are issued.
    pub terms: Value,
    /// The instant at which the story ends.
    pub now: DateTime<Utc>,
}

impl Scenario {
    /// The demo's own.
    pub fn invented(now: DateTime<Utc>) -> Self {
        Self { terms: terms(), now }
    }

    /// The day of the winter delivery: the last 20 January that is at least fifteen months ago, so that the first
    /// inspections, and what became of those that were missed, lie behind us.
    pub(super) fn winter(&self) -> NaiveDate {
        let latest = self.now.date_naive() - Months::new(15);
        let of = |year| NaiveDate::from_ymd_opt(year, 1, 20).unwrap_or(latest);
        if of(latest.year()) <= latest { of(latest.year()) } else { of(latest.year() - 1) }
    }
}

fn terms() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "five-winters", "edition": 1, "title": "Five winters",
        "cover": [
            {"surface": "paint", "lasts": {"years": 5}, "up_to_km": 120_000},
            {"surface": "glass", "lasts": {"years": 2}},
        ],
        "upkeep": [
            {"key": "annual", "service": ["inspection", "reconditioning"], "by": "accredited",
             "counted_from": "start", "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
             "if_missed": [
                 {"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"},
                 {"effect": "end"},
             ]},
            {"key": "wash", "service": "maintenance wash", "by": "owner", "counted_from": "last",
             "first_after": {"days": 21}, "every": {"weeks": 8}, "late": {"weeks": 3}, "times": 1,
             "surfaces": ["paint"], "if_missed": {"effect": "note"}},
        ],
        "breaches": [
            {"key": "brush wash", "surfaces": ["paint"], "effect": "suspend", "with": "reconditioning",
             "make_good_within": {"days": 30}},
        ],
        "transfer": {"allowed": true, "tell_within": {"days": 30}, "owners": 3},
        "repair": {"restores": true, "recoat_within": {"days": 90}},
        "build": [
            {"surface": "paint", "coats": [{"product": "base-30"}, {"product": "top-10"}],
             "prep": ["decontamination", "panel_wipe"]},
            {"surface": "glass", "coats": [{"product": "glass-8"}], "prep": ["panel_wipe"]},
        ],
    })
}

/// The shop's template of a delivery in winter.
pub(super) fn package() -> Value {
    json!({
        "code": "winter-delivery", "title": "Delivery in winter", "terms": "five-winters",
        "steps": [
            {"kind": "foam", "surfaces": ["paint", "glass"], "product": "foam-7", "dilution": "1:10"},
            {"kind": "decontamination", "surfaces": ["paint"], "product": "fallout-4"},
            {"kind": "panel_wipe", "surfaces": ["paint", "glass"], "product": "wipe-5"},
        ],
        "coats": [
            {"surface": "paint", "panels": PAINT, "product": "base-30"},
            {"surface": "paint", "panels": PAINT, "product": "top-10"},
            {"surface": "glass", "panels": GLASS, "product": "glass-8"},
        ],
    })
}

/// What the shop works with.
pub(super) fn products() -> Vec<Value> {
    let sheet = |surfaces: &[&str]| {
        json!({
            "surfaces": surfaces,
            "apply": {"air_c": [10, 30], "rh_pct": [30, 70], "over_dew_c": 3.0},
            "cure": {
                "reference": {"c": 20, "rh_pct": 50}, "stops_below_c": 5, "temperature": {"q10": 2.0},
                "milestones": [
                    {"name": "dry to touch", "h": 1}, {"name": "water-safe", "h": 12},
                    {"name": "wash-safe", "h": 168, "latest_days": 14},
                ],
            },
            "cautions": ["Nitrile gloves and eye protection; work where air moves; no ignition source near the open bottle. \
                          The product's safety data sheet and local rules decide."],
        })
    };
    vec![
        json!({"code": "base-30", "title": "Base 30", "role": "coating", "sheet": sheet(&["paint", "trim"])}),
        json!({"code": "top-10", "title": "Top 10", "role": "coating", "sheet": sheet(&["paint"])}),
        json!({"code": "glass-8", "title": "Glass 8", "role": "coating", "sheet": sheet(&["glass"])}),
        json!({"code": "storm-1", "title": "Storm 1", "role": "weather_topper"}),
        json!({"code": "fallout-4", "title": "Fallout 4", "role": "decontaminant"}),
        json!({"code": "foam-7", "title": "Foam 7", "role": "cleaner"}),
        json!({"code": "polish-2", "title": "Polish 2", "role": "polish"}),
        json!({"code": "wipe-5", "title": "Wipe 5", "role": "panel_wipe"}),
    ]
}

/// Bottles on the shelf; the one of Base 30 is booked in only when somebody asks for it.
pub(super) fn batches(expire: NaiveDate) -> Vec<Value> {
    [("top-10", "T10-2207", 50), ("glass-8", "G8-0931", 30), ("storm-1", "ST1-118", 500)]
        .map(|(product, number, ml)| json!({"product": product, "number": number, "expires_on": expire, "ml": ml}))
        .to_vec()
}

/// The bottle that was not booked in.
pub(super) fn forgotten_bottle(expire: NaiveDate) -> Value {
    json!({"product": "base-30", "number": "B30-0417", "expires_on": expire, "ml": 50})
}

/// When a vehicle was taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum When {
    /// So many days after the winter delivery.
    After(i64),
    /// So many days before the story ends: what it asks for is still to come.
    Ago(i64),
}

/// An owner and a vehicle, the odometer at delivery, and when that was.
pub(super) struct Taken {
    pub(super) owner: Value,
    pub(super) vehicle: Value,
    pub(super) km: u32,
    pub(super) when: When,
}

/// The vehicles of the story: four that return when it ends, and one that has only been delivered.
pub(super) fn vehicles() -> Vec<Taken> {
    let owner = |name: &str, email: &str| json!({"name": name, "email": email, "time_zone": ZONE});
    vec![
        Taken {
            owner: owner("Runa Falk", "runa@owners.example"),
            // Every place a one: a VIN by its form and check digit, and nobody's.
            vehicle: json!({"vin": "11111111111111111", "plate": "SK 41 701", "make": "Aurel", "model": "Vento",
                            "colour": "dark green", "finish": "clear_coat", "size": "medium"}),
            km: 12,
            when: When::After(0),
        },
        Taken {
            owner: owner("Ismo Tarn", "ismo@owners.example"),
            vehicle: json!({"plate": "SK 22 095", "make": "Corvina", "model": "Estate", "size": "large"}),
            km: 18_240,
            when: When::After(6),
        },
        Taken {
            owner: owner("Petra Holm-Lind", "petra@owners.example"),
            vehicle: json!({"plate": "SK 70 313", "make": "Sorrel", "model": "Pico", "size": "small"}),
            km: 31_900,
            when: When::After(13),
        },
        Taken {
            owner: owner("Dag Ostra", "dag@owners.example"),
            vehicle: json!({"plate": "SK 58 880", "make": "Aurel", "model": "Carrier", "size": "van"}),
            km: 7_450,
            when: When::After(20),
        },
        Taken {
            owner: owner("Tove Brandal", "tove@owners.example"),
            vehicle: json!({"plate": "SK 90 142", "make": "Corvina", "model": "Coupe", "size": "small"}),
            km: 2_310,
            when: When::Ago(9),
        },
    ]
}

/// Panels of paint that every job of the story coats.
pub(super) const PAINT: [&str; 9] = [
    "bonnet",
    "roof",
    "boot",
    "front_left_wing",
    "front_right_wing",
    "front_left_door",
    "front_right_door",
    "rear_left_door",
    "rear_right_door",
];

/// Panels of glass.
pub(super) const GLASS: [&str; 2] = ["windscreen", "rear_window"];

/// A step of the winter delivery: kind, surfaces, product and dilution, from, to.
pub(super) type Step = (
    &'static str,
    &'static [&'static str],
    Option<(&'static str, Option<&'static str>)>,
    &'static str,
    &'static str,
);

/// What was done to the new vehicle before the first coat, in order.
pub(super) const STEPS: [Step; 14] = [
    ("pre_rinse", &["paint", "glass", "wheels"], None, "07:30", "07:45"),
    ("film_removal", &["paint"], None, "07:45", "08:20"),
    ("wheel_clean", &["wheels"], None, "08:20", "08:40"),
    ("fallout_removal", &["paint", "wheels"], Some(("fallout-4", None)), "08:40", "08:50"),
    ("foam", &["paint", "glass", "wheels"], Some(("foam-7", Some("1:10"))), "08:50", "08:58"),
    ("rinse", &["paint", "glass", "wheels"], None, "08:58", "09:05"),
    ("contact_wash", &["paint", "glass"], Some(("foam-7", Some("1:200"))), "09:05", "09:35"),
    ("dry", &["paint", "glass"], None, "09:35", "10:00"),
    ("clay", &["paint"], None, "10:00", "10:40"),
    ("glass_polish", &["glass"], Some(("polish-2", None)), "10:40", "11:00"),
    ("light_inspection", &["paint"], None, "11:00", "11:10"),
    ("machine_polish", &["paint"], Some(("polish-2", None)), "11:10", "13:00"),
    ("panel_wipe", &["paint", "glass"], Some(("wipe-5", None)), "13:00", "13:20"),
    ("high_spot_check", &["paint"], None, "15:50", "16:05"),
];

/// Time, air in °C, relative humidity in %, surface in °C, and place.
pub(super) const CLIMATE: [(&str, f64, f64, Option<f64>, &str); 3] = [
    ("13:20", 20.1, 44.0, Some(18.6), "bay"),
    ("15:15", 20.4, 46.0, Some(19.3), "bay"),
    ("17:00", -4.0, 88.0, None, "outside"),
];

/// Surface, product, batch, from, to.
pub(super) const COATS: [(&str, &str, &str, &str, &str); 4] = [
    ("paint", "base-30", "B30-0417", "13:30", "14:10"),
    ("glass", "glass-8", "G8-0931", "14:20", "14:35"),
    ("paint", "top-10", "T10-2207", "15:15", "15:45"),
    ("paint", "storm-1", "ST1-118", "16:45", "16:55"),
];
