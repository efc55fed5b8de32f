//! Steps that cut, polish over a coat, wheels and high spots: each check with a job that fires it, and one at the limit.

use lustrum::core::words::Severity;

use super::*;

fn on_step(n: u128) -> String {
    format!("step:{}", Uuid::from_u128(n))
}

fn graver(change: impl FnOnce(&mut JobSeen)) -> Vec<(Severity, &'static str, String)> {
    let mut job = job();
    change(&mut job);
    check(&job).into_iter().map(|one| (one.severity, one.code, one.subject)).collect()
}

fn matte(job: &mut JobSeen, panel: &str, finish: Finish) {
    job.finishes.insert(panel.parse().unwrap(), finish);
}

#[test]
fn nothing_cuts_matte_paint_or_film() {
    let stops = vec![(Severity::Stops, "abrasive_on_finish", on_step(4))];
    let warns = vec![(Severity::Warns, "clay_not_described", on_step(4))];
    let with = |kind: StepKind, abrasive: Option<bool>, change: fn(&mut JobSeen)| {
        graver(|job| {
            let mut cut = step(4, kind, "09:00", "09:30");
            cut.step.abrasive = abrasive;
            job.steps.push(cut);
            change(job);
        })
    };
    for finish in [Finish::Matte, Finish::Film] {
        let whole: fn(&mut JobSeen) = match finish {
            Finish::Matte => |job| job.finish = Finish::Matte,
            _ => |job| job.finish = Finish::Film,
        };
        assert_eq!(with(StepKind::MachinePolish, None, whole), stops, "{finish}");
        assert_eq!(with(StepKind::Clay, Some(true), whole), stops, "{finish}");
        assert_eq!(with(StepKind::Clay, None, whole), warns, "{finish}: whoever did it says which clay");
        assert_eq!(with(StepKind::Clay, Some(false), whole), [], "{finish}");
    }
    for harmless in [StepKind::ContactWash, StepKind::FalloutRemoval, StepKind::GlassPolish] {
        assert_eq!(with(harmless, None, |job| job.finish = Finish::Matte), [], "{harmless}");
    }
    for hard in [Finish::ClearCoat, Finish::SingleStage] {
        let of: fn(&mut JobSeen) = match hard {
            Finish::ClearCoat => |job| job.finish = Finish::ClearCoat,
            _ => |job| job.finish = Finish::SingleStage,
        };
        assert_eq!(with(StepKind::MachinePolish, None, of), [], "{hard}");
        assert_eq!(with(StepKind::Clay, Some(true), of), [], "{hard}");
    }
}

/// A filmed bonnet on a car with clear coat; a car in matte paint with one panel painted glossy.
#[test]
fn the_finish_of_each_panel_counts() {
    let polished = |on: Option<&str>, change: fn(&mut JobSeen)| {
        graver(|job| {
            let mut polish = step(4, StepKind::MachinePolish, "09:00", "09:30");
            polish.step.panels = on.map(panels);
            job.steps.push(polish);
            change(job);
        })
    };
    let stops = vec![(Severity::Stops, "abrasive_on_finish", on_step(4))];
    let filmed: fn(&mut JobSeen) = |job| matte(job, "bonnet", Finish::Film);
    assert_eq!(polished(Some("bonnet roof"), filmed), stops);
    assert_eq!(polished(Some("roof"), filmed), []);
    assert_eq!(polished(None, filmed), stops, "all of the job");
    let left_out: fn(&mut JobSeen) = |job| {
        matte(job, "bonnet", Finish::Film);
        job.excluded = panels("bonnet");
    };
    assert_eq!(polished(None, left_out), [], "what is left out was not polished");
    assert_eq!(polished(Some("bonnet"), left_out), stops, "unless it is named");
    let glossy: fn(&mut JobSeen) = |job| {
        job.finish = Finish::Matte;
        matte(job, "bonnet", Finish::ClearCoat);
    };
    assert_eq!(polished(Some("bonnet"), glossy), []);
    assert_eq!(polished(Some("roof"), glossy), stops);
    // On other surfaces than paint and film the finish says nothing.
    let headlights = graver(|job| {
        job.finish = Finish::Matte;
        let mut polish = step(4, StepKind::MachinePolish, "09:00", "09:30");
        polish.step.surfaces = vec![Surface::Headlights];
        job.steps.push(polish);
    });
    assert_eq!(headlights, []);
    let film = graver(|job| {
        let mut polish = step(4, StepKind::MachinePolish, "09:00", "09:30");
        polish.step.surfaces = vec![Surface::Film];
        job.steps.push(polish);
    });
    assert_eq!(film, stops, "film is film, whatever the paint");
}

#[test]
fn a_polish_comes_before_the_coat_on_its_panel() {
    let polished = |from: &str, on: Option<&str>| {
        graver(|job| {
            let mut polish = step(4, StepKind::MachinePolish, from, "14:00");
            polish.step.panels = on.map(panels);
            job.steps.push(polish);
            job.coats[0].coat.sections =
                vec![section("bonnet", "10:00", None), section("roof", "10:40", None)];
        })
    };
    let warns = vec![(Severity::Warns, "polish_after_coat", on_step(4))];
    assert_eq!(polished("10:00", Some("bonnet")), []);
    assert_eq!(polished("10:01", Some("bonnet")), warns);
    assert_eq!(polished("10:40", Some("roof")), [], "two people work side by side");
    assert_eq!(polished("10:41", Some("roof")), warns);
    assert_eq!(polished("10:20", None), warns, "all of the job, the bonnet with it");
    assert_eq!(polished("13:00", Some("boot")), [], "no coat there");
    let untimed = graver(|job| {
        let mut polish = step(4, StepKind::MachinePolish, "13:00", "14:00");
        (polish.step.started_at, polish.step.ended_at) = (None, None);
        job.steps.push(polish);
    });
    assert_eq!(untimed, [], "nobody said when");
}

#[test]
fn wheels_that_were_off_are_tightened_to_torque() {
    let off = |torque: Option<(Option<&str>, Option<&str>)>| {
        graver(|job| {
            let mut clean = step(4, StepKind::WheelClean, "09:00", "09:30");
            clean.step.wheels_off = Some(true);
            job.steps.push(clean);
            if let Some((from, to)) = torque {
                let mut torque = step(5, StepKind::Torque, "09:00", "09:00");
                (torque.step.started_at, torque.step.ended_at) = (from.map(at), to.map(at));
                job.steps.push(torque);
            }
        })
    };
    let warns = vec![(Severity::Warns, "torque_missing", on_step(4))];
    assert_eq!(off(None), warns);
    assert_eq!(off(Some((None, None))), []);
    assert_eq!(off(Some((Some("09:00"), None))), []);
    assert_eq!(off(Some((Some("08:40"), Some("08:59")))), warns, "before they came off");
    let on = graver(|job| job.steps.push(step(4, StepKind::WheelClean, "09:00", "09:30")));
    assert_eq!(on, []);
}

#[test]
fn high_spots_are_looked_for_after_the_last_coating() {
    let warns = vec![(Severity::Warns, "high_spots_not_checked", "paint".to_owned())];
    // The top coat begins at noon.
    let looked = |from: &str, to: &str, on: Option<&str>| {
        let mut job = job();
        job.steps[2] = step(3, StepKind::HighSpotCheck, from, to);
        job.steps[2].step.panels = on.map(panels);
        check(&job)
    };
    let graver = |found: Vec<Finding>| {
        found.into_iter().map(|one| (one.severity, one.code, one.subject)).collect::<Vec<_>>()
    };
    assert_eq!(looked("11:30", "12:00", None), []);
    assert_eq!(graver(looked("11:30", "11:59", None)), warns);
    let roof = looked("15:00", "15:30", Some("bonnet"));
    assert_eq!(roof[0].measured.as_deref(), Some("roof not looked at after the last coating"));
    assert_eq!(graver(roof), warns);
    let topped = super::found(|job| {
        let mut topper = coat(13, "storm-1", "16:00", "16:10");
        topper.role = ProductRole::WeatherTopper;
        job.coats.push(topper);
    });
    assert_eq!(topped, [], "a topper leaves none that a polish would have to take off");
    let glass = super::found(|job| {
        job.build.clear();
        job.coats.iter_mut().for_each(|seen| {
            seen.coat.surface = Surface::Glass;
            seen.sheet = None;
        });
        job.steps.clear();
    });
    assert_eq!(glass, [], "paint and film show them");
}
