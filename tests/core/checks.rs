//! Checks on a job: each with a job that fires it and one exactly at the limit that does not.

use chrono::{DateTime, Duration, NaiveDate, Utc};
use lustrum::core::calendar::Moment;
use lustrum::core::checks::{self, AgedPanel, BatchSeen, CoatSeen, Finding, JobSeen, StepSeen, coated};
use lustrum::core::coats::{Coat, Section};
use lustrum::core::ids::{CoatId, StepId};
use lustrum::core::sheet::Sheet;
use lustrum::core::steps::Step;
use lustrum::core::terms::Build;
use lustrum::core::words::{BatchState, Finish, Panel, ProductRole, StepKind, Surface};
use serde_json::{Value, json};
use uuid::Uuid;

mod laid;
mod measured;
mod prepared;
mod recoat;
mod work;

fn at(text: &str) -> Moment {
    Moment(format!("2026-03-09T{text}:00Z").parse().unwrap())
}

fn check(job: &JobSeen) -> Vec<Finding> {
    checks::check(job).unwrap()
}

fn falls_short(job: &JobSeen) -> Vec<Finding> {
    checks::falls_short(job).unwrap()
}

fn panels(names: &str) -> Vec<Panel> {
    names.split_whitespace().map(|name| name.parse().unwrap()).collect()
}

/// A sheet for paint and trim that asks for a panel wipe on bare paint and nothing on bare trim.
fn sheet(code: &str) -> Sheet {
    sheet_with(code, json!({}))
}

/// The same with more in it, or other in its place.
fn sheet_with(code: &str, more: Value) -> Sheet {
    let mut document = json!({
        "code": code, "title": code, "role": "coating", "surfaces": ["paint", "trim"],
        "recoat": [
            { "onto": "bare", "prep": { "paint": ["panel_wipe"], "trim": [] } },
            { "onto": "aged", "prep": { "paint": ["decontamination", "panel_wipe"] } },
        ],
        "cure": {
            "reference": { "c": 20, "rh_pct": 50 }, "temperature": { "q10": 2.0 },
            "milestones": [{ "name": "water-safe", "h": 12 }],
        },
    });
    for (name, value) in more.as_object().unwrap() {
        if value.is_null() {
            continue;
        }
        document[name] = value.clone();
    }
    Sheet::read(&document).unwrap()
}

fn step(n: u128, kind: StepKind, from: &str, to: &str) -> StepSeen {
    StepSeen {
        id: StepId::new(Uuid::from_u128(n)),
        step: Step {
            kind,
            surfaces: vec![Surface::Paint],
            panels: None,
            product: None,
            dilution: None,
            abrasive: None,
            wheels_off: None,
            bottle_ml: None,
            started_at: Some(at(from)),
            ended_at: Some(at(to)),
            by: None,
        },
    }
}

/// A batch of which nothing more was said.
fn usable() -> BatchSeen {
    BatchSeen { state: BatchState::Usable, expires_on: None, opened_on: None }
}

fn coat(n: u128, product: &str, from: &str, to: &str) -> CoatSeen {
    CoatSeen {
        id: CoatId::new(Uuid::from_u128(n)),
        coat: Coat {
            surface: Surface::Paint,
            panels: panels("bonnet roof"),
            product: product.to_owned(),
            batch: "B-1".to_owned(),
            started_at: at(from),
            ended_at: at(to),
            ml: None,
            area_m2: None,
            by: None,
            sections: Vec::new(),
        },
        known: Some(usable()),
        sheet: Some(sheet(product)),
        role: ProductRole::Coating,
    }
}

fn section(names: &str, applied: &str, levelled: Option<&str>) -> Section {
    Section { panels: panels(names), applied_at: at(applied), levelled_at: levelled.map(at) }
}

/// A job without fault: bonnet and roof wiped, base coat, top coat, as the terms ask.
fn job() -> JobSeen {
    JobSeen {
        zone: chrono_tz::Europe::Lisbon,
        started_at: Some(at("08:00").0),
        panels: [(Surface::Paint, panels("bonnet roof"))].into(),
        excluded: Vec::new(),
        aged: Vec::new(),
        finish: Finish::ClearCoat,
        finishes: [].into(),
        climate: Vec::new(),
        stages: Vec::new(),
        steps: vec![
            step(1, StepKind::FalloutRemoval, "08:00", "09:00"),
            step(2, StepKind::PanelWipe, "09:00", "10:00"),
            step(3, StepKind::HighSpotCheck, "15:00", "15:30"),
        ],
        coats: vec![coat(11, "base-30", "10:00", "11:00"), coat(12, "top-10", "12:00", "13:00")],
        build: vec![Build {
            surface: "paint".to_owned(),
            coats: vec![("base-30".to_owned(), 1), ("top-10".to_owned(), 1)],
            prep: vec![StepKind::Decontamination, StepKind::PanelWipe],
        }],
    }
}

/// A bonnet that carries a coating since then.
fn aged(surface: Surface, since: Option<DateTime<Utc>>) -> Vec<AgedPanel> {
    vec![AgedPanel { surface, panel: "bonnet".parse().unwrap(), since }]
}

/// Takes away every step that comes before coats.
fn unprepared(job: &mut JobSeen) {
    job.steps.retain(|seen| seen.step.kind == StepKind::HighSpotCheck);
}

/// What a changed job shows, as code and subject.
fn found(change: impl FnOnce(&mut JobSeen)) -> Vec<(String, String)> {
    let mut job = job();
    change(&mut job);
    check(&job).into_iter().map(|finding| (finding.code.to_owned(), finding.subject)).collect()
}

fn one(code: &str, subject: &str) -> Vec<(String, String)> {
    vec![(code.to_owned(), subject.to_owned())]
}

fn base() -> String {
    format!("coat:{}", Uuid::from_u128(11))
}

#[test]
fn a_job_done_as_asked_shows_nothing() {
    assert_eq!(check(&job()), []);
    assert_eq!(falls_short(&job()), []);
}

#[test]
fn batches_must_be_known_and_usable() {
    assert_eq!(found(|job| job.coats[0].known = None), one("batch_unknown", &base()));
    for state in [BatchState::Quarantined, BatchState::Recalled] {
        let known = Some(BatchSeen { state, ..usable() });
        assert_eq!(found(|job| job.coats[0].known = known), one("batch_unusable", &base()));
    }
}

/// 23:30 in UTC on 31 March is the first of April in Lisbon, where summer time began on 29 March 2026.
#[test]
fn a_batch_lasts_to_the_end_of_its_last_local_day() {
    let late = |job: &mut JobSeen, started: &str| {
        let known = NaiveDate::from_ymd_opt(2026, 3, 31);
        job.coats.remove(0);
        job.build[0].coats.remove(0);
        job.coats[0].known = Some(BatchSeen { expires_on: known, ..usable() });
        let started: DateTime<Utc> = started.parse().unwrap();
        job.coats[0].coat.started_at = Moment(started);
        job.coats[0].coat.ended_at = Moment(started + Duration::hours(1));
        // Steps without times are taken by the word of whoever entered them.
        let steps = job.steps.iter_mut().map(|seen| &mut seen.step);
        steps.for_each(|step| (step.started_at, step.ended_at) = (None, None));
    };
    assert_eq!(found(|job| late(job, "2026-03-31T22:59:59Z")), []);
    let top = format!("coat:{}", Uuid::from_u128(12));
    assert_eq!(found(|job| late(job, "2026-03-31T23:00:00Z")), one("batch_expired", &top));
}

#[test]
fn a_product_goes_where_its_sheet_says() {
    let elsewhere = |surface: Surface| {
        move |job: &mut JobSeen| {
            job.build.clear();
            job.coats[0].coat.surface = surface;
        }
    };
    assert_eq!(found(elsewhere(Surface::Glass)), one("product_surface", &base()));
    assert_eq!(found(elsewhere(Surface::Trim)), []);
    let unsaid = found(|job| {
        elsewhere(Surface::Glass)(job);
        job.coats[0].sheet = None;
    });
    assert_eq!(unsaid, [], "no sheet says nothing");
}

#[test]
fn coats_of_the_terms_must_lie_on_each_panel() {
    let bonnet_only = |job: &mut JobSeen| job.coats[1].coat.panels = panels("bonnet");
    assert_eq!(found(bonnet_only), one("coats_missing", "paint/roof/top-10"));
    let left_out = found(|job| {
        bonnet_only(job);
        job.excluded = panels("roof");
    });
    assert_eq!(left_out, [], "what is left out is not asked for");
    let unlisted = |job: &mut JobSeen| {
        job.panels.clear();
        bonnet_only(job);
    };
    assert_eq!(found(unlisted), one("coats_missing", "paint/roof/top-10"), "the other coat names the roof");
    let listed = |job: &mut JobSeen| {
        job.panels.insert(Surface::Paint, panels("bonnet roof boot"));
    };
    let boot = [("coats_missing", "paint/boot/base-30"), ("coats_missing", "paint/boot/top-10")];
    assert_eq!(found(listed), boot.map(|(code, subject)| (code.to_owned(), subject.to_owned())));
    let twice = |job: &mut JobSeen| job.build[0].coats[0].1 = 2;
    assert_eq!(found(twice).len(), 2, "one coat on each of two panels, where two are asked");
    let laid_twice = found(|job| {
        twice(job);
        job.coats.push(coat(13, "base-30", "11:00", "11:30"));
    });
    assert_eq!(laid_twice, []);
}

#[test]
fn a_surface_without_any_coat_is_one_finding() {
    let glass = |job: &mut JobSeen| {
        job.panels.insert(Surface::Glass, panels("windscreen rear_window"));
        let coats = vec![("clear-5".to_owned(), 1)];
        job.build.push(Build { surface: "glass".to_owned(), coats, prep: vec![StepKind::GlassPolish] });
    };
    assert_eq!(found(glass), one("coats_missing", "glass"));
}

#[test]
fn times_run_forwards_and_lie_in_the_job() {
    let step = format!("step:{}", Uuid::from_u128(1));
    assert_eq!(found(|job| job.coats[0].coat.ended_at = at("10:00")), [], "at once is not backwards");
    assert_eq!(found(|job| job.coats[0].coat.ended_at = at("09:59")), one("times_backwards", &base()));
    assert_eq!(found(|job| job.steps[0].step.ended_at = Some(at("08:00"))), []);
    assert_eq!(found(|job| job.steps[0].step.ended_at = Some(at("07:59"))), one("times_backwards", &step));
    assert_eq!(found(|job| job.started_at = Some(at("08:01").0)), one("times_backwards", &step));
    assert_eq!(found(|job| job.started_at = None), [], "the job then begins with its first step");
    let timed = |applied: &str, levelled: Option<&str>| {
        let section = section("bonnet", applied, levelled);
        found(|job| job.coats[0].coat.sections.push(section))
    };
    assert_eq!(timed("10:10", Some("10:10")), []);
    assert_eq!(timed("10:10", Some("10:09")), one("times_backwards", &base()));
    for edge in ["10:00", "11:00"] {
        assert_eq!(timed(edge, None), [], "{edge} is within the coat");
    }
    for outside in ["09:59", "11:01"] {
        assert_eq!(timed(outside, None), one("times_backwards", &base()), "{outside} is not");
    }
}

#[test]
fn coats_are_begun_in_the_order_of_the_terms() {
    let top_from = |from: &'static str| {
        move |job: &mut JobSeen| {
            job.coats[1].coat.started_at = at(from);
            job.coats[1].coat.panels = panels("bonnet");
            job.excluded = panels("roof");
        }
    };
    assert_eq!(found(top_from("10:00")), [], "at the same time");
    let early = found(|job| {
        job.steps.iter_mut().for_each(|seen| seen.step.started_at = Some(at("09:00")));
        top_from("09:59")(job);
    });
    assert_eq!(early, one("coat_order", "paint/bonnet/top-10"));
    // Each panel has its own first start: the top coat may be on the bonnet while the base coat comes to the roof.
    let panel_by_panel = |roof_top: &'static str| {
        move |job: &mut JobSeen| {
            job.coats[0].coat.sections =
                vec![section("bonnet", "10:00", None), section("roof", "10:40", None)];
            job.coats[1].coat.started_at = at("10:20");
            job.coats[1].coat.sections =
                vec![section("bonnet", "10:20", None), section("roof", roof_top, None)];
        }
    };
    assert_eq!(found(panel_by_panel("10:40")), []);
    assert_eq!(found(panel_by_panel("10:39")), one("coat_order", "paint/roof/top-10"));
}

#[test]
fn coats_on_a_surface_that_nobody_knows_are_missing() {
    let roofless = |job: &mut JobSeen| {
        let coats = vec![("clear-5".to_owned(), 1)];
        job.build.push(Build { surface: "canvas".to_owned(), coats, prep: Vec::new() });
    };
    assert_eq!(found(roofless), one("coats_missing", "canvas"));
    let nothing_asked = found(|job| {
        roofless(job);
        job.build[1].coats.clear();
    });
    assert_eq!(nothing_asked, [], "terms that ask for no coat there");
}

#[test]
fn a_product_that_the_terms_name_twice_is_asked_for_twice() {
    let twice = |job: &mut JobSeen| job.build[0].coats.push(("base-30".to_owned(), 1));
    let missing = ["paint/bonnet/base-30", "paint/roof/base-30"]
        .map(|subject| ("coats_missing".to_owned(), subject.to_owned()));
    assert_eq!(found(twice), missing);
    let laid = found(|job| {
        twice(job);
        job.coats.push(coat(13, "base-30", "14:00", "14:30"));
    });
    assert_eq!(laid, []);
}

#[test]
fn decontamination_has_four_names() {
    for kind in [StepKind::Decontamination, StepKind::FalloutRemoval, StepKind::TarRemoval, StepKind::Clay] {
        assert_eq!(found(|job| job.steps[0].step.kind = kind), [], "{kind}");
    }
    assert_eq!(found(|job| job.steps[0].step.kind = StepKind::Foam).len(), 2);
    let clay = |job: &mut JobSeen| {
        job.steps[0].step.kind = StepKind::Decontamination;
        job.build[0].prep = vec![StepKind::Clay];
    };
    assert_eq!(found(clay).len(), 2, "the general word does not stand for the special one");
}

#[test]
fn a_job_falls_short_by_what_the_terms_ask_alone() {
    let short = |change: fn(&mut JobSeen)| {
        let mut job = job();
        change(&mut job);
        falls_short(&job).into_iter().map(|finding| finding.code).collect::<Vec<_>>()
    };
    assert_eq!(short(|job| job.coats[1].coat.panels = panels("bonnet")), ["coats_missing"]);
    assert_eq!(short(|job| job.steps[1].step.panels = Some(panels("bonnet"))), ["prep_missing"]);
    let by_sheet: fn(&mut JobSeen) = |job| {
        unprepared(job);
        job.build[0].prep.clear();
        assert_eq!(check(job).len(), 2);
    };
    assert_eq!(short(by_sheet), [""; 0], "the sheet's steps are no terms");
    assert_eq!(short(|job| job.coats[0].known = None), [""; 0]);
}

#[test]
fn a_pass_holds_for_the_finding_as_it_was() {
    let digest = |change: fn(&mut JobSeen)| {
        let mut job = job();
        job.coats[0].known = None;
        change(&mut job);
        let findings: Vec<Finding> = check(&job);
        findings.iter().find(|finding| finding.code == "batch_unknown").unwrap().digest
    };
    let as_it_was = digest(|_| {});
    assert_eq!(digest(|job| job.coats[1].coat.ended_at = at("13:01")), as_it_was, "another coat");
    assert_ne!(digest(|job| job.coats[0].coat.batch = "B-2".to_owned()), as_it_was);
    assert_ne!(digest(|job| job.coats[0].coat.ended_at = at("11:01")), as_it_was);
    assert_ne!(digest(|job| job.coats[0].coat.panels = panels("bonnet")), as_it_was);
    assert_ne!(digest(|job| job.coats[0].coat.sections = vec![section("roof", "10:30", None)]), as_it_was);
}

#[test]
fn a_job_leaves_coated_what_its_coats_name() {
    let mut job = job();
    job.panels.insert(Surface::Glass, panels("windscreen"));
    job.excluded = panels("roof windscreen other:spoiler");
    let left = coated(&job);
    assert_eq!(left.len(), 1, "no coat on glass");
    assert_eq!(left[0].surface, Surface::Paint);
    assert_eq!(left[0].panels, panels("bonnet"));
    let excluded: Vec<Panel> = vec!["roof".parse().unwrap(), "other:spoiler".parse().unwrap()];
    assert_eq!(left[0].excluded, excluded, "the windscreen is of the glass alone");
    job.excluded = panels("bonnet roof");
    assert_eq!(coated(&job), [], "nothing is left");
}
