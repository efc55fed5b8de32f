//! Random jobs: taken in, corrected, worked on, passed, and ended in every way in which a job can end.

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::app::passes::{self, PassInput};
use lustrum::app::{App, Who, checks, events, handover, jobs, parts, photos, signatures, vehicles};
use lustrum::core::climate::ClimateReading;
use lustrum::core::coats::LaidCoat;
use lustrum::core::ids::{JobId, PhotoId};
use lustrum::core::marks::Mark;
use lustrum::core::paint_readings::PaintReading;
use lustrum::core::pictures::{MediaType, Picture};
use lustrum::core::steps::MixedStep;
use serde_json::{Value, json};

use super::dice::Dice;
use super::town::{Town, input};
use crate::support::pictures::jpeg;

const PANELS: [&str; 4] = ["bonnet", "front_left_door", "boot", "other:side step"];

/// How many jobs took which way.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Done {
    pub(super) left_open: usize,
    pub(super) cancelled: usize,
    pub(super) signed_off: usize,
    pub(super) new_terms: usize,
    pub(super) handed_over: usize,
    pub(super) later: usize,
    pub(super) passed: usize,
    pub(super) joined: usize,
}

/// Does `many` jobs, shop after shop.
pub(super) fn done(town: &Town, many: u64) -> Done {
    let mut done = Done::default();
    let shops: Vec<&Who> = town.members().collect();
    for seed in 0..many {
        town.clock_shows(town.app.now() + TimeDelta::minutes(7));
        let mut dice = Dice(seed);
        let who = dice.one_of(&shops);
        let other = shops.iter().find(|other| other.shop != who.shop).unwrap();
        let work =
            Work { app: &town.app, who, at: town.app.now(), job: taken_in(town, who, &mut dice, seed) };
        work.is_done(&mut dice);
        let (before, after) = (dice.below(6) == 0, dice.below(6) == 0);
        if before {
            work.is_known_to(other, seed);
        }
        work.ends(&mut dice, &mut done);
        if after && !before {
            work.is_known_to(other, seed);
        }
        done.joined += usize::from(before || after);
    }
    done
}

fn some<T>(dice: &mut Dice, value: T) -> Option<T> {
    (dice.below(2) == 0).then_some(value)
}

fn terms(dice: &mut Dice) -> Value {
    json!({"code": dice.one_of(&["quarter", "six-weeks"]), "edition": 1})
}

fn taken_in(town: &Town, who: &Who, dice: &mut Dice, seed: u64) -> JobId {
    let vehicle = json!({"plate": format!("W-{seed}"), "odometer_unit": "km"});
    let vehicle = vehicles::add(&town.app, who, input(vehicle)).unwrap().id;
    let unit = *dice.one_of(&["km", "mi"]);
    let mut job = json!({"vehicle_id": vehicle, "odometer": {"value": 400 + dice.below(900), "unit": unit}});
    if dice.below(3) > 0 {
        job["terms"] = terms(dice);
    }
    if dice.below(2) == 0 {
        job["panels"] = json!({"paint": PANELS[..2], "glass": ["windscreen", "rear_window"]});
        job["excluded_panels"] = json!(["roof", "soft_top"]);
        job["finishes"] = json!({"bonnet": "film", PANELS[3]: "matte"});
        job["old_coating"] = json!({"paint": PANELS[..1], "glass": ["windscreen"]});
        job["started_at"] = json!(town.app.now() - TimeDelta::hours(9));
    }
    let job = jobs::add(&town.app, who, input(job)).unwrap();
    if dice.below(3) == 0 {
        let patch = json!({"odometer": {"value": 1500, "unit": "km"}, "excluded_panels": ["roof"], "terms": terms(dice)});
        jobs::change(&town.app, who, job.id, job.version, &patch).unwrap();
    }
    job.id
}

/// A job that is being worked on.
struct Work<'a> {
    app: &'a App,
    who: &'a Who,
    at: DateTime<Utc>,
    job: JobId,
}

impl Work<'_> {
    fn ago(&self, minutes: u64) -> DateTime<Utc> {
        self.at - TimeDelta::minutes(i64::try_from(minutes).unwrap())
    }

    /// The owner signs what is shown to them.
    fn is_signed(&self, of: &str, dice: &mut Dice) {
        let job = self.job.to_string();
        let shown = signatures::to_sign(self.app, self.who, &job, of.parse().unwrap()).unwrap();
        let input = input(json!({"of": of, "digest": shown.digest, "name": "Ida Brandt",
                                 "strokes": [[[0, 0.25], [4, dice.below(90)]], [[2, 2]]],
                                 "signed_at": some(dice, self.ago(1))}));
        signatures::add(self.app, self.who, self.job, input).unwrap();
    }

    /// A photo, often the same as another one.
    fn is_photographed(&self, dice: &mut Dice) -> PhotoId {
        let picture = jpeg(8, 8 + u32::try_from(dice.below(3)).unwrap());
        let picture = Picture::read(MediaType::Jpeg, &picture);
        let said = json!({"panel": some(dice, PANELS[3]), "note": some(dice, "Seen by Ida Brandt."),
                          "taken_at": some(dice, self.ago(700))});
        let photo = photos::add(self.app, self.who, self.job, input(said), picture, false);
        photo.unwrap().unwrap().id
    }

    /// Photos, marks, steps, climate and coats; some are changed afterwards, some taken back.
    fn is_done(&self, dice: &mut Dice) {
        let (app, who, job) = (self.app, self.who, self.job);
        for _ in 0..dice.below(3) {
            let photo = some(dice, ()).map(|()| self.is_photographed(dice));
            let mark = json!({"panel": dice.one_of(&PANELS), "photo": photo, "kind": dice.one_of(&["dent", "other"]),
                              "size_mm": some(dice, 12.5), "note": some(dice, "Seen by Ida Brandt."),
                              "seen_at": some(dice, self.ago(600))});
            let mark = parts::add::<Mark>(app, who, job, input(mark), false).unwrap().unwrap();
            if dice.below(4) == 0 {
                parts::remove::<Mark>(app, who, job, mark.id, mark.version).unwrap();
            }
        }
        for when in ["before", "after"] {
            let ground = dice.one_of(&["paint", "film"]);
            let paint = json!({"panel": PANELS[3], "when": when, "read_at": some(dice, self.ago(500)),
                               "ground": some(dice, ground), "by": some(dice, who.member),
                               "spots": [{"spot": "front", "um": 100 + dice.below(40)}, {"um": 112.5}]});
            parts::add::<PaintReading>(app, who, job, input(paint), false).unwrap().unwrap();
        }
        if dice.below(2) == 0 {
            self.is_signed("check_in", dice);
        }
        for _ in 0..dice.below(5) {
            let begun = 300 + dice.below(200);
            let mut step = json!({
                "kind": dice.one_of(&["clay", "panel_wipe", "machine_polish"]), "surfaces": ["paint", "glass"],
                "panels": some(dice, [PANELS[3]]), "product": some(dice, "coat-1"), "dilution": some(dice, "1:5"), "bottle_ml": some(dice, 750),
                "started_at": some(dice, self.ago(begun)), "ended_at": some(dice, self.ago(begun - 20)),
                "wheels_off": some(dice, true), "by": some(dice, who.member),
            });
            if step["kind"] == "clay" {
                step["abrasive"] = json!(some(dice, false));
            }
            let step = parts::add::<MixedStep>(app, who, job, input(step), false).unwrap().unwrap();
            match dice.below(4) {
                0 => parts::remove::<MixedStep>(app, who, job, step.id, step.version).unwrap(),
                1 => {
                    let patch = json!({"kind": "rework", "dilution": null, "abrasive": null});
                    parts::change::<MixedStep>(app, who, job, step.id, step.version, &patch).unwrap();
                }
                _ => {}
            }
        }
        for _ in 0..dice.below(4) {
            let tenths = i32::try_from(dice.below(400)).unwrap() - 100;
            let reading = json!({
                "at": self.ago(dice.below(500)), "air_c": f64::from(tenths) / 10.0, "rh_pct": dice.below(101),
                "surface_c": some(dice, 18.25), "place": some(dice, "bay"),
            });
            let reading =
                parts::add::<ClimateReading>(app, who, job, input(reading), false).unwrap().unwrap();
            if dice.below(4) == 0 {
                parts::change::<ClimateReading>(
                    app,
                    who,
                    job,
                    reading.id,
                    reading.version,
                    &json!({"rh_pct": 51.5}),
                )
                .unwrap();
            }
        }
        // The first lies on paint, so that either terms cover something.
        for nth in 0..=dice.below(3) {
            let other = *dice.one_of(&["paint", "glass"]);
            self.is_coated(dice, if nth == 0 { "paint" } else { other });
        }
    }

    fn is_coated(&self, dice: &mut Dice, surface: &str) {
        let (app, who, job) = (self.app, self.who, self.job);
        let panels = if surface == "glass" { json!(["windscreen"]) } else { json!(PANELS[..2]) };
        let begun = 20 + dice.below(200);
        let section = json!({"panels": panels, "applied_at": self.ago(begun), "levelled_at": some(dice, self.ago(begun - 3))});
        let coat = json!({
            "surface": surface, "panels": panels, "product": "coat-1", "batch": dice.one_of(&["C1-1", "C1-1", "C1-2"]),
            "started_at": self.ago(begun), "ended_at": self.ago(begun - 15), "ml": some(dice, 12.5), "area_m2": some(dice, 6.25),
            "by": some(dice, who.member), "sections": some(dice, [section]),
        });
        let coat = parts::add::<LaidCoat>(app, who, job, input(coat), false).unwrap().unwrap();
        if dice.below(4) == 0 {
            parts::change::<LaidCoat>(
                app,
                who,
                job,
                coat.id,
                coat.version,
                &json!({"ml": 9, "batch": "C1-3"}),
            )
            .unwrap();
        }
    }

    /// The vehicle gets its VIN, which another shop knows already.
    fn is_known_to(&self, other: &Who, seed: u64) {
        let vin = json!({"vin": format!("LSTRMTEST{seed:08}")});
        let theirs = vehicles::add(self.app, other, input(vin.clone())).unwrap().id;
        for km in [10_000, 20_000] {
            let reading =
                json!({"on": other.day(self.at), "odometer": {"value": km, "unit": "km", "confirmed": true}});
            events::read_odometer(self.app, other, theirs, input(reading)).unwrap();
        }
        let ours = jobs::find(self.app, self.who, &self.job.to_string()).unwrap().vehicle_id;
        let ours = vehicles::find(self.app, self.who, ours).unwrap();
        let joined = vehicles::change(self.app, self.who, ours.id, ours.version, &vin).unwrap();
        assert_eq!(joined.id, theirs);
    }

    /// What stops the job is passed; then it ends, or is left as it is.
    fn ends(&self, dice: &mut Dice, done: &mut Done) {
        let (app, who, job, name) = (self.app, self.who, self.job, self.job.to_string());
        for stop in checks::list(app, who, &name).unwrap().items {
            if stop.severity == lustrum::core::words::Severity::Stops {
                let (code, subject) = (stop.code.to_owned(), stop.subject);
                let reason = "The bottle was seen.".to_owned();
                passes::add(app, who, job, PassInput { code, subject, reason }).unwrap();
                done.passed += 1;
            }
        }
        match dice.below(8) {
            0 => done.left_open += 1,
            1 => {
                jobs::cancel(app, who, job, input(json!({"reason": "The owner changed her mind."}))).unwrap();
                done.cancelled += 1;
            }
            end => {
                checks::sign_off(app, who, job).unwrap();
                if dice.below(3) == 0 {
                    let version = jobs::find(app, who, &name).unwrap().version;
                    jobs::change(app, who, job, version, &json!({"terms": terms(dice)})).unwrap();
                    done.new_terms += 1;
                }
                if dice.below(3) == 0 {
                    self.is_photographed(dice);
                }
                if end == 2 {
                    done.signed_off += 1;
                } else {
                    self.is_handed_over(dice, done);
                }
            }
        }
    }

    fn is_handed_over(&self, dice: &mut Dice, done: &mut Done) {
        let (app, who, name) = (self.app, self.who, self.job.to_string());
        let handed = json!({"on": who.day(self.at), "odometer": {"value": 3000, "unit": "km", "confirmed": true},
                            "without_warranty": dice.below(3) == 0});
        let handed = handover::hand_over(app, who, &name, input(handed)).unwrap();
        done.handed_over += 1;
        if dice.below(2) == 0 {
            self.is_signed("handover", dice);
        }
        if handed.warranty.is_none() && dice.below(2) == 0 {
            handover::later(app, who, &name, input(json!({"terms": terms(dice)}))).unwrap();
            done.later += 1;
        }
    }
}
