//! The words on the wire, held against the lists of the interface.

use std::collections::BTreeSet;

use lustrum::core::words::{
    BatchState, CustomerKind, EventKind, Finish, JobState, NamedPanel, NoticeState, OdometerUnit, Panel,
    ProductRole, Role, Severity, StepKind, Surface, TermsState, VehicleSize,
};

/// Each set with its list, written out here a second time: a word that changes breaks every program that speaks it.
#[test]
fn every_set_has_the_words_of_the_interface() {
    macro_rules! same {
        ($($set:ty: $words:literal;)+) => { $(
            let words: Vec<&str> = $words.split_whitespace().collect();
            assert_eq!(<$set>::WORDS, words, "{}", stringify!($set));
            for (word, value) in words.iter().zip(<$set>::ALL) {
                assert_eq!(word.parse::<$set>().as_ref(), Ok(value));
                assert_eq!(value.to_string(), *word);
                assert_eq!(serde_json::to_value(value).unwrap(), *word);
                assert_eq!(serde_json::from_value::<$set>((*word).into()).unwrap(), *value);
            }
        )+ };
    }
    same! {
        Surface: "paint glass trim wheels headlights film leather fabric soft_top metal";
        Finish: "clear_coat matte single_stage film";
        VehicleSize: "small medium large van";
        StepKind: "pre_rinse film_removal label_removal wheel_clean tar_removal fallout_removal foam contact_wash
            rinse dry clay glass_polish masking light_inspection machine_polish residue_removal panel_wipe rework
            high_spot_check torque decontamination other";
        ProductRole: "coating topper weather_topper cleaner decontaminant polish panel_wipe other";
        BatchState: "usable quarantined recalled";
        JobState: "open signed_off handed_over cancelled";
        TermsState: "draft published retired";
        Severity: "stops warns tells";
        Role: "manager technician desk";
        OdometerUnit: "km mi";
        CustomerKind: "owner stock";
        NoticeState: "planned queued sending sent failed suppressed cancelled stale dropped";
        EventKind: "service reading transfer repair recoat breach waive extend close retract";
    }
}

#[test]
fn a_word_of_no_set_is_refused_with_all_that_is_allowed() {
    for wrong in ["Paint", "paint ", "", "bodywork"] {
        let fault = wrong.parse::<Surface>().unwrap_err();
        assert_eq!(fault.code, "unknown_word");
        assert!(fault.detail.contains(wrong) && fault.detail.contains(&Surface::WORDS.join(", ")), "{fault}");
    }
    let error = serde_json::from_str::<Role>("\"owner\"").unwrap_err().to_string();
    assert!(error.contains("manager, technician, desk"), "{error}");
}

#[test]
fn panels_are_those_of_the_list_or_others_by_name() {
    let middle =
        "bonnet roof boot front_bumper rear_bumper left_headlight right_headlight left_sill right_sill
        left_mirror right_mirror windscreen rear_window soft_top cabin";
    let mut list: BTreeSet<String> = middle.split_whitespace().map(str::to_owned).collect();
    for end in ["front", "rear"] {
        for side in ["left", "right"] {
            list.extend(["door", "wing", "wheel", "window"].map(|part| format!("{end}_{side}_{part}")));
        }
    }
    assert_eq!(NamedPanel::WORDS.iter().map(ToString::to_string).collect::<BTreeSet<_>>(), list);

    for name in list.iter().map(String::as_str).chain(["other:roof rails", "other:spoiler, rear"]) {
        let panel: Panel = name.parse().unwrap();
        assert_eq!(panel.to_string(), name);
        assert_eq!(serde_json::from_value::<Panel>(serde_json::to_value(&panel).unwrap()).unwrap(), panel);
    }
    let long = |n| format!("other:{}", "x".repeat(n));
    assert!(long(60).parse::<Panel>().is_ok());
    for wrong in ["hood", "Bonnet", "other", "other:", "other: roof", "other:a\nb", &long(61)] {
        assert_eq!(wrong.parse::<Panel>().unwrap_err().code, "unknown_word", "{wrong:?}");
    }
}
