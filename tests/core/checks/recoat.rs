//! What a coat went onto and when, and how fresh the wipe was: each check fires on one side of its limit and not at it.

use lustrum::core::words::Severity;

use super::*;

/// The top coat from this time on, where the base coat on bonnet and roof ended at 11:00.
fn top_at(from: &str, recoat: &Value, change: impl FnOnce(&mut JobSeen)) -> Vec<Finding> {
    let mut job = job();
    job.coats[1].sheet = Some(sheet_with("top-10", json!({"recoat": recoat})));
    job.coats[1].coat.started_at = at(from);
    job.coats[1].coat.ended_at = at("23:00");
    (job.steps[2].step.started_at, job.steps[2].step.ended_at) = (None, None);
    change(&mut job);
    check(&job)
}

fn top() -> String {
    format!("coat:{}", Uuid::from_u128(12))
}

fn codes(found: &[Finding]) -> Vec<&str> {
    found.iter().map(|one| one.code).collect()
}

/// At once, or again after an hour (common practice), until twelve have passed.
#[test]
fn a_coat_follows_within_a_window() {
    let recoat = json!([{"onto": "base-30", "windows": [{"after_min": 0, "within_min": 10}, {"after_min": 60, "within_min": 720}]}]);
    let of = |from: &str| top_at(from, &recoat, |_| ());
    for inside in ["11:00", "11:10", "12:00", "13:30", "23:00"] {
        assert_eq!(of(inside), [], "{inside}");
    }
    for (outside, minutes) in [("11:11", 11), ("11:59", 59), ("23:01", 721)] {
        let found: Vec<_> = of(outside).into_iter().filter(|one| one.code != "times_backwards").collect();
        assert_eq!(codes(&found), ["recoat_window"], "{outside}");
        let one = &found[0];
        assert_eq!((one.subject.as_str(), one.severity), (top().as_str(), Severity::Warns));
        assert_eq!(
            one.measured.as_deref(),
            Some(format!("{minutes} min after base-30 on bonnet, roof").as_str())
        );
        assert_eq!(one.allowed.as_deref(), Some("0 to 10 min, or 60 to 720 min after base-30"));
        assert_eq!(one.clause, "sheet.top-10.recoat.windows");
    }
    // While the base coat is still being laid no time has passed.
    assert_eq!(of("10:30"), []);
    let open_end = json!([{"onto": "base-30", "windows": [{"after_min": 60}]}]);
    assert_eq!(top_at("22:59", &open_end, |_| ()), [], "a window without an end");
    assert_eq!(codes(&top_at("11:59", &open_end, |_| ())), ["recoat_window"]);
    let any_time = json!([{"onto": "base-30"}]);
    assert_eq!(top_at("11:30", &any_time, |_| ()), []);
}

/// By sections each panel has its own time: two people work side by side.
#[test]
fn windows_are_judged_panel_by_panel() {
    let recoat = json!([{"onto": "base-30", "windows": [{"after_min": 60}]}]);
    let of = |roof: &str| {
        top_at("11:10", &recoat, |job| {
            job.coats[0].coat.sections =
                vec![section("bonnet", "10:05", Some("10:10")), section("roof", "10:55", Some("11:00"))];
            job.coats[1].coat.sections = vec![section("bonnet", "11:10", None), section("roof", roof, None)];
        })
    };
    assert_eq!(of("12:00"), []);
    let found = of("11:59");
    assert_eq!(codes(&found), ["recoat_window"]);
    assert_eq!(found[0].measured.as_deref(), Some("59 min after base-30 on roof"));
}

#[test]
fn a_coat_goes_onto_what_its_sheet_names() {
    let of = |recoat: Value| top_at("12:00", &recoat, |_| ());
    let other = of(json!([{"onto": "bare"}, {"onto": "base-31"}]));
    assert_eq!(codes(&other), ["recoat_not_said"]);
    assert_eq!(other[0].severity, Severity::Tells);
    assert_eq!(
        (other[0].measured.as_deref(), other[0].allowed.as_deref()),
        (Some("onto base-30 on bonnet, roof"), Some("bare; base-31"))
    );
    assert_eq!(of(json!([{"onto": "base-30"}])), []);
    assert_eq!(of(json!([{"onto": "bare"}])), [], "it names no product, and so leaves open which");
    // Straight onto the bare surface, of which its sheet says nothing.
    let alone = top_at("12:00", &json!([{"onto": "base-30"}]), |job| {
        job.build.clear();
        job.coats.remove(0);
    });
    assert_eq!(codes(&alone), ["recoat_not_said"]);
}

/// A coating in service: how old it has to be is counted from when it was laid.
#[test]
fn windows_hold_for_a_coating_in_service_too() {
    let recoat = json!([{"onto": "bare"}, {"onto": "aged", "windows": [{"after_min": 1440}]}]);
    let of = |since: Option<&str>| {
        let mut job = job();
        job.coats[0].sheet = Some(sheet_with("base-30", json!({"recoat": recoat.clone()})));
        job.aged = aged(Surface::Paint, since.map(|text| text.parse().unwrap()));
        check(&job)
    };
    assert_eq!(of(Some("2026-03-08T10:00:00Z")), []);
    let found = of(Some("2026-03-08T10:01:00Z"));
    assert_eq!(codes(&found), ["recoat_window"]);
    assert_eq!(found[0].measured.as_deref(), Some("1439 min after the coating in service on bonnet"));
    assert_eq!(of(None), [], "who knows when that was");
}

/// What a sheet asks for between two coats has to come between them.
#[test]
fn steps_between_two_coats_come_between_them() {
    let recoat = json!([{"onto": "base-30", "prep": {"paint": ["panel_wipe"]}}]);
    let wiped = |from: &str, to: &str| {
        top_at("13:10", &recoat, |job| job.steps.push(step(8, StepKind::PanelWipe, from, to)))
    };
    assert_eq!(wiped("11:00", "11:10"), [], "from the end of the coat below, two hours before");
    assert_eq!(wiped("13:10", "13:20"), [], "panel by panel, both begin together");
    let missing = wiped("13:11", "13:20");
    assert_eq!(codes(&missing), ["prep_missing"]);
    assert_eq!(missing[0].subject, top());
    assert_eq!(missing[0].clause, "sheet.top-10.recoat.prep");
    assert_eq!(codes(&wiped("10:59", "11:20")), ["prep_missing"], "before the coat below was done");
    assert_eq!(codes(&wiped("11:00", "11:09")), ["wipe_stale"]);
}

/// Two hours after the wipe is fresh enough, a minute more is not; a second wipe makes it so.
#[test]
fn a_wipe_is_at_most_two_hours_old() {
    let wiped = |to: &str| found(|job| job.steps[1].step.ended_at = Some(at(to)));
    let stale = ["paint/bonnet", "paint/roof"].map(|panel| ("wipe_stale".to_owned(), panel.to_owned()));
    let early = |to: &str| {
        found(|job| {
            job.steps.iter_mut().take(2).for_each(|seen| seen.step.started_at = Some(at("07:00")));
            job.started_at = None;
            job.steps[1].step.ended_at = Some(at(to));
        })
    };
    assert_eq!(wiped("10:00"), []);
    assert_eq!(early("08:00"), []);
    assert_eq!(early("07:59"), stale);
    let again = found(|job| {
        job.started_at = None;
        (job.steps[1].step.started_at, job.steps[1].step.ended_at) = (Some(at("07:00")), Some(at("07:10")));
        job.steps.push(step(8, StepKind::PanelWipe, "09:50", "10:10"));
    });
    assert_eq!(again, [], "wipe, polish, wipe is fine");
    // Sections say that the roof came late.
    let late = found(|job| {
        job.coats[0].coat.ended_at = at("12:30");
        job.coats[0].coat.sections = vec![section("bonnet", "10:00", None), section("roof", "12:01", None)];
        job.coats[1].coat.started_at = at("12:30");
    });
    assert_eq!(late, one("wipe_stale", "paint/roof"));
    let not_asked = found(|job| {
        job.started_at = None;
        (job.steps[1].step.started_at, job.steps[1].step.ended_at) = (Some(at("05:00")), Some(at("05:10")));
        job.build[0].prep.clear();
        job.coats.iter_mut().for_each(|seen| seen.sheet = None);
    });
    assert_eq!(not_asked, [], "nobody asks for a wipe there");
}

/// A wipe of paint and trim a minute after the first coat.
fn late_wipe() -> StepSeen {
    let mut wipe = step(2, StepKind::PanelWipe, "10:01", "10:30");
    wipe.step.surfaces = vec![Surface::Paint, Surface::Trim];
    wipe
}

/// The sheet of the tests has a wipe on paint and none on trim.
#[test]
fn a_wipe_where_the_sheet_has_none_is_told() {
    let on_trim = |change: fn(&mut JobSeen)| {
        found(|job| {
            job.build.clear();
            job.coats.remove(1);
            job.coats[0].coat.surface = Surface::Trim;
            job.coats[0].coat.panels = panels("left_sill");
            job.steps[1].step.surfaces = vec![Surface::Paint, Surface::Trim];
            change(job);
        })
    };
    assert_eq!(on_trim(|_| ()), one("wipe_unwanted", "trim/left_sill/base-30"));
    assert_eq!(on_trim(|job| job.steps[1].step.surfaces = vec![Surface::Paint]), []);
    assert_eq!(on_trim(|job| job.steps[1].step.panels = Some(panels("right_sill"))), [], "on another panel");
    assert_eq!(on_trim(|job| job.steps[1] = late_wipe()), [], "after the coat");
    assert_eq!(
        on_trim(|job| job.coats[0].sheet.as_mut().unwrap().recoat.clear()),
        [],
        "the sheet does not say"
    );
    let asked = on_trim(|job| {
        let prep = vec![StepKind::PanelWipe];
        job.build = vec![Build { surface: "trim".to_owned(), coats: vec![], prep }];
    });
    assert_eq!(asked, [], "the terms ask for it");
}
