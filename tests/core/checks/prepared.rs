//! Steps of preparation: which must come before the first coat on a panel, by the terms and by the sheet.

use lustrum::core::sheet::Onto;

use super::*;

/// `prep_missing` on bonnet and roof; the finding of a sheet names its product besides.
fn both(product: &str) -> Vec<(String, String)> {
    ["paint/bonnet", "paint/roof"]
        .map(|panel| ("prep_missing".to_owned(), format!("{panel}{product}")))
        .into()
}

#[test]
fn steps_begin_before_the_first_coat_on_the_panel() {
    let wiped = |from: Option<&str>, to: Option<&str>| {
        let (from, to) = (from.map(at), to.map(at));
        found(|job| (job.steps[1].step.started_at, job.steps[1].step.ended_at) = (from, to))
    };
    assert_eq!(wiped(Some("10:00"), Some("10:30")), [], "panel by panel, both begin together");
    assert_eq!(wiped(Some("10:01"), Some("10:30")), both(""));
    assert_eq!(wiped(None, Some("10:00")), [], "without a start, the end counts");
    assert_eq!(wiped(None, Some("10:01")), both(""));
    assert_eq!(wiped(None, None), [], "times are optional");
    let one_panel = found(|job| job.steps[1].step.panels = Some(panels("bonnet")));
    assert_eq!(one_panel, one("prep_missing", "paint/roof"));
    assert_eq!(found(|job| job.steps[1].step.surfaces = vec![Surface::Glass]), both(""));
    let excluded = found(|job| {
        job.steps[1].step.panels = Some(panels("bonnet"));
        job.excluded = panels("roof");
    });
    assert_eq!(excluded, [], "what is left out needs no preparation");
}

#[test]
fn sections_say_when_a_panel_was_first_coated() {
    let wiped = |roof: &str| {
        let mut roof_wipe = step(5, StepKind::PanelWipe, roof, "10:50");
        roof_wipe.step.panels = Some(panels("roof"));
        found(|job| {
            job.steps[1].step.panels = Some(panels("bonnet"));
            job.steps.push(roof_wipe);
            job.coats[0].coat.sections =
                vec![section("bonnet", "10:00", None), section("roof", "10:40", None)];
        })
    };
    assert_eq!(wiped("10:40"), []);
    assert_eq!(wiped("10:41"), one("prep_missing", "paint/roof"));
}

#[test]
fn what_terms_and_sheet_ask_for_is_found_once() {
    let mut job = job();
    job.coats.iter_mut().for_each(|seen| seen.coat.panels = panels("bonnet"));
    job.panels.clear();
    unprepared(&mut job);
    let of_terms = check(&job);
    assert_eq!(of_terms.len(), 1, "the terms ask for all that the sheet does: {of_terms:?}");
    assert_eq!(
        (of_terms[0].subject.as_str(), of_terms[0].clause.as_str()),
        ("paint/bonnet", "build.paint.prep")
    );
    assert_eq!(of_terms[0].measured.as_deref(), Some("decontamination not noted, panel_wipe not noted"));
    assert_eq!(
        of_terms[0].allowed.as_deref(),
        Some("decontamination, panel_wipe begun by 2026-03-09T10:00:00Z"),
        "two steps are one finding, as a pass names it by check and subject"
    );

    job.build[0].prep = vec![StepKind::Decontamination];
    job.steps.push(step(2, StepKind::PanelWipe, "10:30", "10:40"));
    let apart = check(&job);
    let said: Vec<_> = apart
        .iter()
        .map(|one| {
            (one.subject.as_str(), one.clause.as_str(), one.measured.as_deref().unwrap(), one.of_terms)
        })
        .collect();
    assert_eq!(
        said,
        [
            ("paint/bonnet", "build.paint.prep", "decontamination not noted", true),
            (
                "paint/bonnet/base-30",
                "sheet.base-30.recoat.bare.prep",
                "panel_wipe at 2026-03-09T10:30:00Z",
                false
            ),
        ]
    );
}

/// The sheet asks for decontamination on a coating in service, which a machine polish takes off (common practice).
#[test]
fn a_coating_in_service_is_prepared_as_the_sheet_says_of_it() {
    let again = |change: fn(&mut JobSeen)| {
        found(|job| {
            job.build.clear();
            job.steps.remove(0);
            job.aged = aged(Surface::Paint, None);
            change(job);
        })
    };
    assert_eq!(again(|_| ()), one("prep_missing", "paint/bonnet/base-30"));
    assert_eq!(again(|job| job.aged.clear()), [], "bare paint is wiped alone");
    assert_eq!(again(|job| job.aged = aged(Surface::Trim, None)), [], "another surface");
    assert_eq!(again(|job| job.steps.push(step(4, StepKind::Clay, "09:00", "09:30"))), []);
    let polish = |from: &'static str| {
        found(|job| {
            job.build.clear();
            job.steps[0] = step(4, StepKind::MachinePolish, from, "10:30");
            job.aged = aged(Surface::Paint, None);
        })
    };
    assert_eq!(polish("10:00"), []);
    let late = [
        one("polish_after_coat", &format!("step:{}", Uuid::from_u128(4))),
        one("prep_missing", "paint/bonnet/base-30"),
    ];
    assert_eq!(polish("10:01"), late.concat(), "polished after it was coated");
    let silent = again(|job| {
        for seen in &mut job.coats {
            seen.sheet.as_mut().unwrap().recoat.retain(|recoat| recoat.onto == Onto::Bare);
        }
        unprepared(job);
    });
    assert_eq!(silent, both("/base-30"), "a sheet that says nothing of it is taken by the bare surface");
}
