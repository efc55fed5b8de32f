//! Shops on either side of UTC, their vehicles, and what is going to happen to them.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Days, NaiveDate, Utc};
use chrono_tz::Tz;
use lustrum::app::setup::{self, Founding};
use lustrum::app::shops::ShopSettings;
use lustrum::app::{App, Who, checks, handover, jobs, parts, products, sessions, terms, turn, vehicles};
use lustrum::clock::Clock;
use lustrum::config::Config;
use lustrum::core::assess::{Assessment, DueStatus, Verdict, judge};
use lustrum::core::calendar::{Day, day_begins};
use lustrum::core::coats::LaidCoat;
use lustrum::core::facts::{Facts, FactsInput};
use lustrum::core::ids::{VehicleId, WarrantyId};
use lustrum::core::terms::{Rank, Rules, Terms};
use lustrum::db;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::dice::{Dice, Happening, long_terms, plan, short_terms};
use super::entries::Entered;
use crate::support::database::TestDatabase;
use crate::support::shop::PASSWORD;

/// IANA zones far from UTC on either side, and one near it. Their summer times begin and end in the time looked at.
const ZONES: [&str; 4] = ["Pacific/Auckland", "Asia/Kolkata", "Europe/Lisbon", "America/Los_Angeles"];

/// Days on which a history is looked at whatever happens.
const LOOKS: u64 = 20;

pub(super) struct Branch {
    pub(super) who: Who,
    zone: Tz,
}

/// A vehicle and what is going to happen to it.
pub(super) struct History {
    pub(super) shop: usize,
    pub(super) vehicle: VehicleId,
    /// Day of entry, and what is entered.
    plan: Vec<(NaiveDate, Happening)>,
    /// Days on which it is looked at.
    looks: BTreeSet<NaiveDate>,
    pub(super) km: u32,
    /// What was entered and can still be taken back or corrected.
    pub(super) entered: Entered,
}

/// A warranty with its terms, and its facts gathered from the vehicle's events.
pub(super) struct Case {
    pub(super) history: usize,
    pub(super) warranty: WarrantyId,
    rules: Rules,
    input: FactsInput,
    facts: Facts,
    /// The last day worked out, so that each is worked out once.
    last: Option<(NaiveDate, Assessment)>,
}

pub(super) struct Town {
    pub(super) app: App,
    clock: Clock,
    pub(super) branches: Vec<Branch>,
    pub(super) histories: Vec<History>,
    pub(super) cases: Vec<Case>,
}

/// Reads an input as the interface would.
pub(super) fn input<T: DeserializeOwned>(body: Value) -> T {
    lustrum::core::json::typed(body).unwrap_or_else(|fault| panic!("{fault:?}"))
}

impl Town {
    /// Shops with their stock and terms, and `histories` vehicles, each handed over two days before `first`.
    pub(super) fn found(database: &TestDatabase, first: NaiveDate, histories: usize) -> Self {
        // Two days before, so that every zone has reached the day of the coats.
        let clock = Clock::fixed(day_begins(Day::from(first - Days::new(2)), Tz::UTC));
        let config = Config {
            database: database.url.clone(),
            files: database.files.path().into(),
            mail: "memory:".into(),
            ..Config::default()
        };
        for (i, zone) in ZONES.iter().enumerate() {
            let founding = Founding {
                shop: ShopSettings::usual(&format!("Shop {i}"), zone),
                name: "The manager".into(),
                email: format!("manager{i}@town.example"),
                password: PASSWORD.into(),
                drill: false,
            };
            setup::init(&config.database, &founding, clock.now()).unwrap();
        }
        let app = App::open(config, clock.clone()).unwrap();
        let branches = ZONES.iter().enumerate().map(|(i, zone)| Branch {
            who: sessions::act_for(&app, &format!("manager{i}@town.example")).unwrap(),
            zone: zone.parse().unwrap(),
        });
        let mut town =
            Self { branches: branches.collect(), app, clock, histories: Vec::new(), cases: Vec::new() };
        for branch in &town.branches {
            let sheet = json!({"surfaces": ["paint", "glass"],
                "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
                         "milestones": [{"name": "water-safe", "h": 12}, {"name": "wash-safe", "h": 168, "latest_days": 30}]}});
            let product = json!({"code": "coat-1", "title": "Coat", "role": "coating", "sheet": sheet});
            products::add(&town.app, &branch.who, input(product)).unwrap();
            let batch = json!({"product": "coat-1", "number": "C1-1"});
            lustrum::app::batches::add(&town.app, &branch.who, input(batch)).unwrap();
            for document in [long_terms(), short_terms()] {
                terms::add(&town.app, &branch.who, &document, false).unwrap();
                terms::publish(&town.app, &branch.who, document["code"].as_str().unwrap(), 1).unwrap();
            }
        }
        for seed in 0..histories {
            town.add_history(seed as u64, first);
        }
        town
    }

    fn add_history(&mut self, seed: u64, first: NaiveDate) {
        let mut dice = Dice(seed);
        let shop = usize::try_from(dice.below(ZONES.len() as u64)).unwrap();
        let who = &self.branches[shop].who;
        let vehicle = json!({"plate": format!("T-{seed}"), "odometer_unit": "km"});
        let vehicle = vehicles::add(&self.app, who, input(vehicle)).unwrap().id;
        let plan = plan(&mut dice, first);
        let looks = (0..LOOKS).map(|_| first + Days::new(dice.below(super::DAYS))).collect();
        self.histories.push(History { shop, vehicle, plan, looks, km: 400, entered: Entered::default() });
        let history = self.histories.len() - 1;
        self.hand_over(history, "quarter", &["paint", "glass"]);
        if dice.below(2) == 0 {
            self.hand_over(history, "six-weeks", &["paint"]);
        }
    }

    /// A vehicle of the first shop with paint covered by these terms, to which nothing else happens.
    pub(super) fn adds_quiet(&mut self, code: &str) -> VehicleId {
        let vehicle = json!({"plate": format!("Q-{}", self.histories.len())});
        let vehicle = vehicles::add(&self.app, &self.branches[0].who, input(vehicle)).unwrap().id;
        let (plan, looks, entered) = (Vec::new(), BTreeSet::new(), Entered::default());
        self.histories.push(History { shop: 0, vehicle, plan, looks, km: 400, entered });
        self.hand_over(self.histories.len() - 1, code, &["paint"]);
        vehicle
    }

    /// A job with one coat for each surface, handed over on the day that the clock shows.
    fn hand_over(&mut self, history: usize, code: &str, surfaces: &[&str]) {
        let (app, one) = (self.app.clone(), &self.histories[history]);
        let who = self.branches[one.shop].who.clone();
        let odometer = json!({"value": one.km, "unit": "km"});
        let job = json!({"vehicle_id": one.vehicle, "odometer": odometer, "terms": {"code": code}});
        let job = jobs::add(&app, &who, input(job)).unwrap().id;
        let at = app.now();
        for surface in surfaces {
            let panel = if *surface == "glass" { "windscreen" } else { "bonnet" };
            let coat = json!({"surface": surface, "panels": [panel], "product": "coat-1", "batch": "C1-1",
                              "started_at": at, "ended_at": at});
            parts::add::<LaidCoat>(&app, &who, job, input(coat), false).unwrap();
        }
        checks::sign_off(&app, &who, job).unwrap();
        let body = json!({"on": who.day(at), "odometer": odometer});
        let handed = handover::hand_over(&app, &who, &job.to_string(), input(body)).unwrap();
        let warranty = handed.warranty.unwrap();
        let document = if code == "quarter" { long_terms() } else { short_terms() };
        let rules = Rules::compile(&Terms::read(&document).unwrap());
        let facts_input = FactsInput {
            start: warranty.start.into(),
            start_km: Some(one.km),
            time_zone: self.branches[one.shop].zone,
            surfaces: surfaces.iter().map(|&surface| surface.to_owned()).collect(),
            events: Vec::new(),
        };
        let facts = Facts::check(&facts_input, &rules).unwrap();
        self.cases.push(Case {
            history,
            warranty: warranty.id,
            rules,
            input: facts_input,
            facts,
            last: None,
        });
        self.gather(history);
    }

    /// Gathers the facts of a vehicle's warranties anew, from its events alone.
    fn gather(&mut self, history: usize) {
        let one = &self.histories[history];
        let shop = self.branches[one.shop].who.shop;
        let rows: Vec<_> = self
            .app
            .db
            .read::<_, db::Error>(|c| db::vehicle_events::of_vehicle(c, &shop, one.vehicle))
            .unwrap();
        for case in self.cases.iter_mut().filter(|case| case.history == history) {
            let mut held = BTreeSet::new();
            let mut events = Vec::new();
            for row in &rows {
                let happened = &row.event.happened;
                let concerns = happened.only_warranty().is_none_or(|only| only == case.warranty)
                    && happened.retracts().is_none_or(|old| held.contains(&old));
                if concerns {
                    held.insert(row.event.id);
                    // The shop's own terms name no issuer, so that the shop is accredited for them.
                    events.push(row.event.fact(Rank::Accredited));
                }
            }
            case.input.events = events;
            case.facts = Facts::check(&case.input, &case.rules).unwrap();
            case.last = None;
        }
    }

    pub(super) fn zone(&self, shop: usize) -> Tz {
        self.branches[shop].zone
    }

    /// The shops in the order in which this local day begins.
    pub(super) fn shops_by_day_begin(&self, day: NaiveDate) -> Vec<usize> {
        let mut shops: Vec<usize> = (0..self.branches.len()).collect();
        shops.sort_by_key(|shop| day_begins(Day::from(day), self.branches[*shop].zone));
        shops
    }

    pub(super) fn clock_shows(&self, at: DateTime<Utc>) {
        // What one shop entered in its morning may lie after the next shop's midnight: the clock never goes back.
        self.clock.set(at.max(self.clock.now()));
    }

    /// Lets days turn; answers which warranties were touched.
    pub(super) fn turn(&self) -> Vec<WarrantyId> {
        turn::days(&self.app, self.app.now()).unwrap().into_iter().map(|turned| turned.warranty).collect()
    }

    pub(super) fn warranties(&self, shop: usize) -> usize {
        self.of(shop).count()
    }

    fn of(&self, shop: usize) -> impl Iterator<Item = usize> + use<'_> {
        (0..self.cases.len()).filter(move |i| self.histories[self.cases[*i].history].shop == shop)
    }

    pub(super) fn looks(&self, warranty: WarrantyId, day: NaiveDate) -> bool {
        let case = self.cases.iter().find(|case| case.warranty == warranty).unwrap();
        self.histories[case.history].looks.contains(&day)
    }

    fn expected(&self, case: usize, day: NaiveDate) -> Assessment {
        let case = &self.cases[case];
        if let Some((_, known)) = case.last.as_ref().filter(|(of, _)| *of == day) {
            return known.clone();
        }
        let mut verdict = Verdict::default();
        judge(&case.rules, &case.facts, day.into(), None, &mut verdict);
        Assessment::of(&case.rules, &case.facts, &verdict)
    }

    /// The warranties of a shop whose verdict is another on `day` than on the day before, by id.
    pub(super) fn changing(&mut self, shop: usize, eve: NaiveDate, day: NaiveDate) -> Vec<WarrantyId> {
        let mut changing = Vec::new();
        for i in self.of(shop).collect::<Vec<_>>() {
            let (before, after) = (self.expected(i, eve), self.expected(i, day));
            if before.cover != after.cover || before.dues != after.dues || before.panels != after.panels {
                changing.push(self.cases[i].warranty);
            }
            self.cases[i].last = Some((day, after));
        }
        changing.sort_unstable();
        changing
    }

    /// Compares what is stored with what the facts say; answers how many warranties were compared.
    pub(super) fn assert_stored(
        &self,
        shop: usize,
        day: NaiveDate,
        which: impl Fn(WarrantyId) -> bool,
    ) -> usize {
        let mut compared = 0;
        for i in self.of(shop).filter(|i| which(self.cases[*i].warranty)) {
            let plan = || &self.histories[self.cases[i].history].plan;
            assert_eq!(self.stored(i), stored_form(&self.expected(i, day)), "on {day}: {:?}", plan());
            compared += 1;
        }
        compared
    }

    /// The warranties of a shop of which something else is stored than the facts say.
    pub(super) fn wrong(&self, shop: usize, day: NaiveDate) -> Vec<WarrantyId> {
        let differs = |i: &usize| self.stored(*i) != stored_form(&self.expected(*i, day));
        self.of(shop).filter(differs).map(|i| self.cases[i].warranty).collect()
    }

    fn stored(&self, case: usize) -> Value {
        let warranty = self.cases[case].warranty;
        let shop = self.branches[self.histories[self.cases[case].history].shop].who.shop;
        let (verdict, dues) = self
            .app
            .db
            .read::<_, db::Error>(|c| {
                Ok((db::warranties::verdict(c, &shop, warranty)?, db::dues::of_warranty(c, &shop, warranty)?))
            })
            .unwrap();
        let surface = |row: &db::warranties::VerdictRow| {
            (row.surface.to_string(), json!([row.state, row.last_day, row.body]))
        };
        json!({
            "cover": verdict.iter().map(surface).collect::<BTreeMap<_, _>>(),
            "dues": dues.iter().map(stored_due).collect::<Vec<_>>(),
        })
    }

    /// Enters what is planned for a shop's day; each time what is stored is right at once.
    pub(super) fn enter_what_happens(&mut self, shop: usize, day: NaiveDate) -> usize {
        let mut compared = 0;
        for i in (0..self.histories.len()).filter(|i| self.histories[*i].shop == shop).collect::<Vec<_>>() {
            let today: Vec<Happening> = self.histories[i]
                .plan
                .iter()
                .filter(|(on, _)| *on == day)
                .map(|(_, what)| what.clone())
                .collect();
            for happening in today {
                self.enter(i, day, &happening);
                self.gather(i);
                let of_it: Vec<WarrantyId> =
                    self.cases.iter().filter(|case| case.history == i).map(|case| case.warranty).collect();
                compared += self.assert_stored(shop, day, |warranty| of_it.contains(&warranty));
            }
        }
        compared
    }

    /// Who acts for each shop.
    pub(super) fn members(&self) -> impl Iterator<Item = &Who> {
        self.branches.iter().map(|branch| &branch.who)
    }

    /// Reads from the database.
    pub(super) fn reads<T>(&self, f: impl FnOnce(&mut db::Conn) -> Result<T, lustrum::app::Error>) -> T {
        self.app.db.read(f).unwrap()
    }
}

/// What is to be stored of an assessment: of each rule only the next due ahead.
pub(super) fn stored_form(assessment: &Assessment) -> Value {
    let cover: BTreeMap<_, _> = assessment
        .cover
        .iter()
        .map(|(surface, cover)| {
            let panels: Vec<_> = assessment.panels.iter().filter(|panel| panel.surface == *surface).collect();
            let body = json!({"cover": cover, "panels": panels});
            (surface.clone(), json!([cover.state, cover.last_day, body]))
        })
        .collect();
    let mut ahead_of = BTreeSet::new();
    let dues: Vec<Value> = assessment
        .dues
        .iter()
        .filter(|due| due.status != DueStatus::Ahead || ahead_of.insert(due.upkeep.clone()))
        .map(|due| json!([due.upkeep, due.number, due.opens, due.due, due.closes, due.status]))
        .collect();
    json!({"cover": cover, "dues": dues})
}

/// A due as it is stored.
pub(super) fn stored_due(row: &db::dues::DueRow) -> Value {
    json!([row.upkeep, row.number, row.opens, row.due, row.closes, row.status])
}
