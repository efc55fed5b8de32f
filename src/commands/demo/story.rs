//! The story: what happens, in order of time, each through the same functions as the interface.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, Utc};
use chrono_tz::Tz;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::scenario::{self, DESK, MANAGER, PASSWORD, Scenario, TECHNICIAN, Taken, When, ZONE};
use super::{Failure, config};
use crate::app::cure::CureAsked;
use crate::app::eligibility::{By, Eligibility, look_up};
use crate::app::members::{self, NewMember};
use crate::app::setup::{self, Founding};
use crate::app::shops::ShopSettings;
use crate::app::ticks::Did;
use crate::app::{
    App, Who, appointments, batches, checks, cure, customers, events, handover, jobs, packages, parts,
    products, sessions, terms, ticks, vehicles, visits,
};
use crate::clock::Clock;
use crate::config::Config;
use crate::core::assess::{DueAnswer, DueStatus};
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::ids::{AppointmentId, JobId, VehicleId};
use crate::core::json::typed;
use crate::core::notices::local_send;
use crate::core::steps::MixedStep;
use crate::core::words::Role;

/// Where the story left off.
#[derive(Debug)]
pub struct Told {
    /// The configuration with which the shop can be served.
    pub config: Config,
    /// Role and e-mail address of everybody who can sign in.
    pub log_ins: Vec<(&'static str, &'static str)>,
    /// Their password.
    pub password: &'static str,
}

/// What is still to happen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Event {
    /// The vehicle is delivered.
    Delivery(usize),
    /// Its first wash.
    Wash(usize),
    /// An inspection in time.
    Inspection(usize),
    /// What was missed is made good.
    Reconditioning(usize),
    /// It was sold some time ago, and the shop hears of it.
    Sale(usize),
    /// A wing is refinished elsewhere.
    Refinish(usize),
    /// Somebody books in for the week after.
    Booking(usize),
    /// The day after that on which somebody was expected.
    Waiting(usize, AppointmentId),
}

/// Tells the story in a folder, and writes it to `out` as it goes.
pub fn tell(folder: &Path, scenario: &Scenario, out: &mut dyn Write) -> Result<Told, Failure> {
    let config = config(folder);
    let mut story = Story::open(&config, scenario, out)?;
    story.stock(scenario)?;
    let fleet = scenario::vehicles();
    for (n, taken) in fleet.iter().enumerate() {
        let on = match taken.when {
            When::After(days) => scenario.winter() + TimeDelta::days(days),
            When::Ago(days) => scenario.now.date_naive() - TimeDelta::days(days),
        };
        story.plan(on, "07:00", Event::Delivery(n));
    }
    while let Some((at, event)) = story.agenda.pop_first() {
        if at > scenario.now {
            break;
        }
        story.until(at)?;
        story.happens(event, &fleet)?;
    }
    story.until(scenario.now)?;
    story.today(&fleet)?;
    Ok(Told {
        config,
        log_ins: vec![("manager", MANAGER.1), ("technician", TECHNICIAN.1), ("desk", DESK.1)],
        password: PASSWORD,
    })
}

/// The teller: the shop, the time in the story, and what is still to come.
pub(super) struct Story<'a> {
    pub(super) app: App,
    clock: Clock,
    runtime: tokio::runtime::Runtime,
    manager: Who,
    technician: Who,
    pub(super) desk: Who,
    pub(super) zone: Tz,
    pub(super) out: &'a mut dyn Write,
    agenda: BTreeSet<(DateTime<Utc>, Event)>,
    /// The vehicles that were delivered, and what each is called.
    delivered: Vec<(VehicleId, String)>,
}

/// A body of the interface as the input of the function behind it.
fn input<T: DeserializeOwned>(body: Value) -> Result<T, Failure> {
    typed(body).map_err(|fault| format!("{}: {}", fault.pointer, fault.detail).into())
}

impl<'a> Story<'a> {
    /// Sets the shop up on the eve of the first delivery.
    fn open(config: &Config, scenario: &Scenario, out: &'a mut dyn Write) -> Result<Self, Failure> {
        let zone: Tz = ZONE.parse()?;
        let eve = local(scenario.winter() - TimeDelta::days(1), "16:00", zone)?;
        let clock = Clock::fixed(eve);
        let mut shop = ShopSettings::usual("Skerry Street Coatings (invented)", ZONE);
        shop.phone = Some("+47 5550 0117".into());
        shop.address = Some("Skerry Street 7, Nordhavn (invented)".into());
        shop.email = Some(DESK.1.into());
        let founding = Founding {
            shop,
            name: MANAGER.0.into(),
            email: MANAGER.1.into(),
            password: PASSWORD.into(),
            drill: true,
        };
        setup::init(&config.database, &founding, eve)?;
        let app = App::open(config.clone(), clock.clone())?;
        let manager = sessions::act_for(&app, MANAGER.1)?;
        for ((name, email), role) in [(TECHNICIAN, Role::Technician), (DESK, Role::Desk)] {
            let new = NewMember { name: name.into(), email: email.into(), role, password: PASSWORD.into() };
            members::add(&app, &manager, &new)?;
        }
        Ok(Self {
            technician: sessions::act_for(&app, TECHNICIAN.1)?,
            desk: sessions::act_for(&app, DESK.1)?,
            runtime: tokio::runtime::Builder::new_current_thread().enable_all().build()?,
            agenda: BTreeSet::new(),
            delivered: Vec::new(),
            app,
            clock,
            manager,
            zone,
            out,
        })
    }

    /// Products, bottles and terms.
    fn stock(&mut self, scenario: &Scenario) -> Result<(), Failure> {
        let (app, manager) = (&self.app, &self.manager);
        for product in scenario::products() {
            products::add(app, manager, input(product)?)?;
        }
        for batch in scenario::batches(bottles_expire(scenario)) {
            batches::add(app, &self.technician, input(batch)?)?;
        }
        let draft = terms::add(app, manager, &scenario.terms, false)?.ok_or("the terms were not taken")?;
        let published = terms::publish(app, manager, &draft.code, draft.edition)?;
        packages::add(app, manager, input(scenario::package())?)?;
        self.tell_shop(&published)
    }

    fn plan(&mut self, on: NaiveDate, at: &str, event: Event) {
        if let Ok(at) = local(on, at, self.zone) {
            self.agenda.insert((at, event));
        }
    }

    /// Lets time pass: the service ticks each day at the hour at which mails go out, and once when it is there.
    fn until(&mut self, to: DateTime<Utc>) -> Result<(), Failure> {
        let mut day = self.day();
        loop {
            let nine = local(day, "09:00", self.zone)?;
            if nine > to {
                break;
            }
            if nine > self.clock.now() {
                self.clock.set(nine);
                self.tick()?;
            }
            day += TimeDelta::days(1);
        }
        self.clock.set(to);
        self.tick()
    }

    /// What the running service does by itself in a minute.
    fn tick(&mut self) -> Result<(), Failure> {
        let now = self.clock.now();
        // A tick of the same minute has done it.
        let mut did = ticks::tick(&self.app, now)?.unwrap_or_default();
        did.extend(self.runtime.block_on(crate::jobs::deliver(&self.app, || now))?);
        let failed = did.iter().find_map(|did| match did {
            Did::Failed(outcome) | Did::Deferred(outcome) => Some(outcome.words.clone()),
            _ => None,
        });
        if let Some(words) = failed {
            return Err(format!("a mail was not written: {words}").into());
        }
        self.tell_mails(&did)
    }

    /// The present day where the shop is.
    pub(super) fn day(&self) -> NaiveDate {
        self.clock.now().with_timezone(&self.zone).date_naive()
    }

    /// Work went on until a local time of the present day.
    fn it_is(&mut self, at: &str) -> Result<(), Failure> {
        self.clock.set(local(self.day(), at, self.zone)?);
        Ok(())
    }

    fn happens(&mut self, event: Event, fleet: &[Taken]) -> Result<(), Failure> {
        match event {
            Event::Delivery(0) => self.winter_delivery(&fleet[0]),
            Event::Delivery(n) => self.delivery(n, &fleet[n]),
            Event::Wash(n) => {
                self.visit(n, "first wash", "maintenance wash")?;
                Ok(())
            }
            Event::Inspection(n) => {
                self.visit(n, "inspection", "inspection")?;
                self.plan_inspection(n)
            }
            Event::Reconditioning(n) => {
                self.visit(n, "reconditioning", "reconditioning")?;
                self.plan_inspection(n)
            }
            Event::Sale(n) => self.sale(n),
            Event::Refinish(n) => self.refinish(n),
            Event::Booking(n) => self.booking(n),
            Event::Waiting(n, booked) => self.waiting(n, booked),
        }
    }

    /// The new vehicle: from transport film to handover on the next morning.
    fn winter_delivery(&mut self, taken: &Taken) -> Result<(), Failure> {
        let day = self.day();
        let vehicle = self.take_in(taken)?;
        let job = self.begin(vehicle, taken, &["front_bumper"])?;
        for (kind, surfaces, product, from, to) in scenario::STEPS {
            let step = json!({
                "kind": kind, "surfaces": surfaces, "product": product.map(|(code, _)| code),
                "dilution": product.and_then(|(_, dilution)| dilution),
                "started_at": local(day, from, self.zone)?, "ended_at": local(day, to, self.zone)?,
            });
            self.clock.set(self.clock.now().max(local(day, to, self.zone)?));
            parts::add::<MixedStep>(&self.app, &self.technician, job, input(step)?, false)?;
        }
        for (at, air, humidity, surface, place) in scenario::CLIMATE {
            let at = local(day, at, self.zone)?;
            let reading =
                json!({"at": at, "air_c": air, "rh_pct": humidity, "surface_c": surface, "place": place});
            self.clock.set(self.clock.now().max(at));
            parts::add::<ClimateReading>(&self.app, &self.technician, job, input(reading)?, false)?;
        }
        for coat in scenario::COATS {
            self.coat(job, coat)?;
        }
        self.it_is("17:05")?;
        self.tell_work(job, &taken.vehicle)?;
        let before = checks::list(&self.app, &self.technician, &job.to_string())?;
        self.tell_checks(&before)?;
        if before.items.iter().any(|finding| finding.code == "batch_unknown") {
            let bottle = scenario::forgotten_bottle(day + TimeDelta::days(1_000));
            let batch = batches::add(&self.app, &self.desk, input(bottle)?)?;
            self.tell_booked_in(&batch)?;
        }
        let after = checks::list(&self.app, &self.technician, &job.to_string())?;
        self.tell_checks(&after)?;
        let tonight = cure::ask(&self.app, &self.technician, &job.to_string(), &CureAsked::default())?;
        self.tell_cure(&tonight)?;
        self.hand_over(0, vehicle, job, taken.km + 4)?;
        self.plan_inspection(0)
    }

    /// The others: fewer words, the same work.
    fn delivery(&mut self, n: usize, taken: &Taken) -> Result<(), Failure> {
        let day = self.day();
        let vehicle = self.take_in(taken)?;
        let job = self.begin(vehicle, taken, &[])?;
        for (kind, from, to) in [("decontamination", "08:00", "09:00"), ("panel_wipe", "13:00", "13:20")] {
            let step = json!({"kind": kind, "surfaces": ["paint", "glass"],
                              "started_at": local(day, from, self.zone)?, "ended_at": local(day, to, self.zone)?});
            self.it_is(to)?;
            parts::add::<MixedStep>(&self.app, &self.technician, job, input(step)?, false)?;
        }
        for coat in scenario::COATS.into_iter().filter(|coat| coat.1 != "storm-1") {
            self.coat(job, coat)?;
        }
        self.it_is("17:00")?;
        self.hand_over(n, vehicle, job, taken.km + 6)?;
        match n {
            1 => self.plan_making_good(n),
            2 => {
                self.plan(day + TimeDelta::days(190), "14:00", Event::Sale(n));
                Ok(())
            }
            3 => {
                // At a time of the year when nothing is due: no reminder is held back.
                self.plan(day + TimeDelta::days(100), "11:00", Event::Booking(n));
                self.plan(day + TimeDelta::days(210), "11:00", Event::Refinish(n));
                self.plan_inspection(n)
            }
            _ => Ok(()),
        }
    }

    fn take_in(&mut self, taken: &Taken) -> Result<VehicleId, Failure> {
        let owner = customers::add(&self.app, &self.desk, input(taken.owner.clone())?)?;
        let mut vehicle = taken.vehicle.clone();
        vehicle["customer_id"] = json!(owner.id);
        let vehicle = vehicles::add(&self.app, &self.desk, input(vehicle)?)?;
        self.delivered.push((vehicle.id, vehicle_name(&taken.vehicle)));
        Ok(vehicle.id)
    }

    fn begin(&self, vehicle: VehicleId, taken: &Taken, left_out: &[&str]) -> Result<JobId, Failure> {
        let published = terms::list(&self.app, &self.desk, None, None, &crate::app::page::Wanted::first(1))?;
        let code = published.items.first().map(|terms| terms.code.clone());
        let job = json!({
            "vehicle_id": vehicle, "odometer": {"value": taken.km, "unit": "km"}, "terms": {"code": code},
            "panels": {"paint": scenario::PAINT, "glass": scenario::GLASS}, "excluded_panels": left_out,
        });
        Ok(jobs::add(&self.app, &self.technician, input(job)?)?.id)
    }

    fn coat(&self, job: JobId, coat: (&str, &str, &str, &str, &str)) -> Result<(), Failure> {
        let (surface, product, batch, from, to) = coat;
        let day = self.day();
        let panels: &[&str] = if surface == "glass" { &scenario::GLASS } else { &scenario::PAINT };
        let body = json!({
            "surface": surface, "panels": panels, "product": product, "batch": batch,
            "started_at": local(day, from, self.zone)?, "ended_at": local(day, to, self.zone)?,
        });
        self.clock.set(self.clock.now().max(local(day, to, self.zone)?));
        parts::add::<LaidCoat>(&self.app, &self.technician, job, input(body)?, false)?;
        Ok(())
    }

    /// Signed off in the evening, handed over on the next morning: the coats cure in the bay overnight.
    fn hand_over(&mut self, n: usize, vehicle: VehicleId, job: JobId, km: u32) -> Result<(), Failure> {
        let signed = checks::sign_off(&self.app, &self.technician, job)?;
        let morning = self.day() + TimeDelta::days(1);
        if n == 0 {
            self.tell_sign_off(&signed)?;
        }
        self.until(local(morning, "10:30", self.zone)?)?;
        let body = json!({"on": morning, "odometer": {"value": km, "unit": "km"}});
        let handed = handover::hand_over(&self.app, &self.desk, &job.to_string(), input(body)?)?;
        self.plan(morning + TimeDelta::days(23), "10:00", Event::Wash(n));
        let name = self.delivered[n].1.clone();
        let seen = self.seen(vehicle)?;
        self.tell_handover(&name, &handed, &seen, n == 0)?;
        self.a_minute_later()
    }

    fn visit(&mut self, n: usize, what: &str, service: &str) -> Result<(), Failure> {
        let (vehicle, name) = self.delivered[n].clone();
        let body = json!({"vehicle_id": vehicle, "on": self.day(), "services": [{"service": service}]});
        let entered = visits::add(&self.app, &self.technician, input(body)?, false)?
            .ok_or("the visit was not entered")?;
        let seen = self.seen(vehicle)?;
        self.tell_visit(&name, what, &entered, &seen)?;
        self.a_minute_later()
    }

    fn a_minute_later(&mut self) -> Result<(), Failure> {
        self.clock.set(self.clock.now() + TimeDelta::minutes(1));
        self.tick()
    }

    /// The vehicle was sold a while ago, and nobody said so in time.
    fn sale(&mut self, n: usize) -> Result<(), Failure> {
        let (vehicle, name) = self.delivered[n].clone();
        let on = self.day() - TimeDelta::days(80);
        let body = json!({"on": on, "customer": {"name": "Vigdis Aune", "email": "vigdis@owners.example",
                                                 "time_zone": ZONE}});
        let sale = events::TransferInput::read(body).map_err(|fault| fault.detail)?;
        events::transfer(&self.app, &self.desk, vehicle, sale)?;
        let seen = self.seen(vehicle)?;
        self.tell_event(&name, &format!("was sold on {on}; the new owner rings and says so"), &seen)
    }

    /// A wing is refinished elsewhere and not coated again.
    fn refinish(&mut self, n: usize) -> Result<(), Failure> {
        let (vehicle, name) = self.delivered[n].clone();
        let body =
            json!({"kind": "repair", "on": self.day(), "surface": "paint", "panel": "front_left_wing"});
        let repair = events::EventInput::read(body).map_err(|fault| fault.detail)?;
        events::add(&self.app, &self.technician, vehicle, repair)?;
        let seen = self.seen(vehicle)?;
        self.tell_event(&name, "comes with its front left wing refinished by a body shop", &seen)
    }

    /// The owner books in for the week after.
    fn booking(&mut self, n: usize) -> Result<(), Failure> {
        let (vehicle, name) = self.delivered[n].clone();
        let on = self.day() + TimeDelta::days(7);
        let at = local(on, "10:00", self.zone)?;
        let body = json!({"vehicle_id": vehicle, "at": at, "note": "Wants a look at the sills."});
        let booked = appointments::add(&self.app, &self.desk, input(body)?)?;
        self.tell_booked(&name, &booked)?;
        self.plan(on + TimeDelta::days(1), "09:00", Event::Waiting(n, booked.id));
        Ok(())
    }

    /// The day after: what became of a booking.
    fn waiting(&mut self, n: usize, booked: AppointmentId) -> Result<(), Failure> {
        let name = self.delivered[n].1.clone();
        let view = appointments::find(&self.app, &self.desk, booked)?;
        self.tell_waiting(&name, &view)
    }

    /// The verdict on a vehicle today.
    pub(super) fn seen(&self, vehicle: VehicleId) -> Result<Eligibility, Failure> {
        let view = vehicles::find(&self.app, &self.desk, vehicle)?;
        let plate = view.vehicle.plate.ok_or("a vehicle of the story has no plate")?;
        Ok(look_up(&self.app, &self.desk, &By::Plate(plate), None)?)
    }

    /// The next due of the yearly rule, as the verdict has it.
    fn next_due(&self, n: usize) -> Result<Option<DueAnswer>, Failure> {
        let seen = self.seen(self.delivered[n].0)?;
        let dues = seen.warranties.into_iter().flat_map(|warranty| warranty.assessment.assessment.dues);
        let waiting =
            |due: &DueAnswer| matches!(due.status, DueStatus::Ahead | DueStatus::Open | DueStatus::Late);
        Ok(dues.filter(waiting).find(|due| due.upkeep == "annual"))
    }

    fn plan_inspection(&mut self, n: usize) -> Result<(), Failure> {
        if let Some(due) = self.next_due(n)? {
            self.plan(due.due.date() + TimeDelta::days(3), "13:00", Event::Inspection(n));
        }
        Ok(())
    }

    fn plan_making_good(&mut self, n: usize) -> Result<(), Failure> {
        if let Some(due) = self.next_due(n)? {
            self.plan(due.closes.date() + TimeDelta::days(20), "13:00", Event::Reconditioning(n));
        }
        Ok(())
    }

    /// Each vehicle returns today that was not only delivered.
    fn today(&mut self, fleet: &[Taken]) -> Result<(), Failure> {
        self.tell_today()?;
        for ((vehicle, name), taken) in self.delivered.clone().into_iter().zip(fleet) {
            if matches!(taken.when, When::Ago(_)) {
                continue;
            }
            let seen = self.seen(vehicle)?;
            self.tell_verdict(&name, &seen)?;
        }
        self.tell_folder()
    }
}

/// Make, model and plate.
fn vehicle_name(vehicle: &Value) -> String {
    let word = |name: &str| vehicle[name].as_str().unwrap_or_default().to_owned();
    format!("{} {}, {}", word("make"), word("model"), word("plate"))
}

/// Bottles of the story outlast it: it begins twenty-seven months ago at most.
fn bottles_expire(scenario: &Scenario) -> NaiveDate {
    scenario.winter() + TimeDelta::days(1_000)
}

/// The instant of a local time, `HH:MM`, on a day.
fn local(on: NaiveDate, at: &str, zone: Tz) -> Result<DateTime<Utc>, Failure> {
    Ok(local_send(on.into(), NaiveTime::parse_from_str(at, "%H:%M")?, zone))
}
