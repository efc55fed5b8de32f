//! What is drawn in the tests of pictures, named as the app names it, in any language.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use lustrum::core::assess::{Cause, DueStatus, State};
use lustrum::core::calendar::Day;
use lustrum::core::drawings::{
    ClimateDrawing, CoverDrawing, CureDrawing, DrawnBar, DrawnCoat, DrawnCure, DrawnDue, DrawnMilestone,
    DrawnPanel, DrawnReading, PanelMark, PanelsDrawing,
};
use lustrum::core::words::{NamedPanel, Panel};
use lustrum::language::{Language, Said};

pub(super) fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// As the app names a coat.
fn coat_label(language: Language, product: &str, surface: &str, panel: Option<NamedPanel>) -> String {
    let said = Said::default().with("product", product).with("surface", language.surface_named(surface));
    match panel {
        None => language.say("drawing-coat", &said),
        Some(panel) => language.say("drawing-coat-panel", &said.with("panel", language.panel(&panel.into()))),
    }
}

fn titled(language: Language, id: &str, number: &str) -> String {
    language.say(id, &Said::default().with("number", number))
}

/// A winter delivery: in from −4 °C, a night in the bay, four coats, out into the cold.
pub(super) fn climate(language: Language) -> ClimateDrawing {
    let reading = |time: &str, air_c, surface_c, dew_c, rh_pct| DrawnReading {
        at: at(time),
        air_c,
        surface_c,
        dew_c,
        rh_pct,
    };
    let coat = |product: &str, surface: &str, from: &str, until: &str| DrawnCoat {
        label: coat_label(language, product, surface, None),
        from: at(from),
        until: at(until),
    };
    ClimateDrawing {
        title: titled(language, "drawing-climate", "J-2026-0007"),
        zone: chrono_tz::Europe::Oslo,
        readings: vec![
            reading("2026-01-12T07:00:00Z", -4.0, Some(-5.5), Some(-6.9), 80.0),
            reading("2026-01-12T09:00:00Z", 18.0, Some(6.0), Some(-0.9), 28.0),
            reading("2026-01-12T14:00:00Z", 20.0, None, Some(2.0), 30.0),
            reading("2026-01-13T06:30:00Z", 20.5, Some(20.0), Some(8.3), 45.5),
            reading("2026-01-13T10:00:00Z", 21.0, Some(20.5), Some(9.6), 48.0),
            reading("2026-01-13T15:00:00Z", 20.0, Some(20.0), Some(9.3), 50.0),
            reading("2026-01-13T17:00:00Z", -3.5, Some(4.0), Some(-6.8), 78.0),
        ],
        coats: vec![
            coat("base-30", "paint", "2026-01-13T08:00:00Z", "2026-01-13T09:40:00Z"),
            coat("top-10", "paint", "2026-01-13T11:00:00Z", "2026-01-13T12:15:00Z"),
            coat("clear-5", "glass", "2026-01-13T12:30:00Z", "2026-01-13T13:00:00Z"),
            coat("shell-7", "trim", "2026-01-13T13:10:00Z", "2026-01-13T13:50:00Z"),
        ],
    }
}

/// A coat at the reference for nine hours, too cold for fifteen, then a third as fast; and one whose last milestone is
/// far away, whose first two are close together.
pub(super) fn cure(language: Language) -> CureDrawing {
    let (base, top) = (at("2026-01-13T08:00:00Z"), at("2026-01-13T11:00:00Z"));
    let until = at("2026-01-17T08:00:00Z");
    let hours = |from: DateTime<Utc>| {
        move |at: DateTime<Utc>| {
            let ran = (at - from).num_milliseconds() as f64 / 3_600_000.0;
            ran.min(9.0) + (ran - 24.0).max(0.0) / 3.0
        }
    };
    let milestone = |name: &str, hours, reached: Option<&str>| DrawnMilestone {
        name: name.into(),
        hours,
        reached_at: reached.map(at),
    };
    let slow = vec![
        milestone("water-safe", 12.0, Some("2026-01-14T17:00:00Z")),
        milestone("wash-safe", 24.0, Some("2026-01-16T05:00:00Z")),
        milestone("full cure", 336.0, None),
    ];
    let close = vec![
        milestone("water-safe", 8.0, Some("2026-01-13T19:00:00Z")),
        milestone("wash-safe", 9.0, Some("2026-01-13T20:00:00Z")),
        milestone("full cure", 40.0, Some("2026-01-18T08:00:00Z")),
    ];
    let sheltered = vec![milestone("wash-safe", 168.0, Some("2026-01-18T09:00:00Z"))];
    let label = |product, panel| coat_label(language, product, "paint", Some(panel));
    CureDrawing {
        title: titled(language, "drawing-cure", "J-2026-0007"),
        zone: chrono_tz::Europe::Oslo,
        known_until: Some(at("2026-01-14T12:00:00Z")),
        coats: vec![
            DrawnCure::of(label("base-30", NamedPanel::Bonnet), base, until, hours(base), slow),
            DrawnCure::of(label("top-10", NamedPanel::Roof), top, until, hours(top), close),
            DrawnCure::by_calendar(label("base-30", NamedPanel::Boot), top, until, sheltered),
        ],
    }
}

pub(super) fn cover(language: Language) -> CoverDrawing {
    let bar = |surface: &str, last_day: &str, (state, cause), holds: &[(&str, Option<&str>)]| DrawnBar {
        surface: language.capital(&language.surface_named(surface)),
        from: day("2026-03-10"),
        last_day: day(last_day),
        state: language.state_of_cover(state, cause),
        holds: holds.iter().map(|(since, until)| (day(since), until.map(day))).collect(),
    };
    let due = |upkeep: &str, number, opens: &str, due: &str, closes: &str, status| DrawnDue {
        upkeep: upkeep.into(),
        number,
        opens: day(opens),
        due: day(due),
        closes: day(closes),
        status,
    };
    let ended = |cause| (State::Ended, Some(cause));
    CoverDrawing {
        title: titled(language, "drawing-cover", "W-2026-0007"),
        as_of: day("2028-04-20"),
        surfaces: vec![
            bar("glass", "2027-09-10", ended(Cause::Expired), &[]),
            bar(
                "paint",
                "2031-03-10",
                (State::Suspended, None),
                &[("2027-04-10", Some("2027-06-01")), ("2028-04-10", None)],
            ),
            bar("trim", "2031-03-10", (State::InForce, None), &[]),
            bar("wheels", "2026-08-02", ended(Cause::Missed), &[]),
        ],
        dues: vec![
            due("annual", 1, "2027-01-09", "2027-03-10", "2027-04-09", DueStatus::Missed),
            due("annual", 2, "2028-01-10", "2028-03-10", "2028-04-09", DueStatus::Missed),
            due("annual", 3, "2029-01-09", "2029-03-10", "2029-04-09", DueStatus::Waived),
            due("annual", 4, "2030-01-09", "2030-03-10", "2030-04-09", DueStatus::Ahead),
            due("wash", 1, "2026-03-10", "2026-04-21", "2026-05-05", DueStatus::Met),
            due("wash", 2, "2026-04-20", "2026-06-01", "2026-06-15", DueStatus::Met),
            due("wash", 3, "2028-02-20", "2028-04-02", "2028-04-30", DueStatus::Late),
            due(
                "high-spot search of the first month",
                1,
                "2028-03-20",
                "2028-04-28",
                "2028-05-10",
                DueStatus::Open,
            ),
        ],
    }
}

/// A year of cover, whose axis has months.
pub(super) fn short_cover(language: Language) -> CoverDrawing {
    let CoverDrawing { mut surfaces, .. } = cover(language);
    surfaces.truncate(1);
    surfaces[0].last_day = day("2027-03-10");
    CoverDrawing { as_of: day("2026-09-21"), surfaces, dues: vec![], ..cover(language) }
}

pub(super) fn panels(language: Language) -> PanelsDrawing {
    let removed = language.say("unit-micrometres", &Said::default().with("number", 2.4));
    let drawn = |value: Option<f64>, mark, notes: &[&str]| DrawnPanel {
        value,
        mark,
        notes: notes
            .iter()
            .map(|id| language.say(id, &Said::default().with("thickness", removed.as_str())))
            .collect(),
    };
    let read = |value: f64| drawn(Some(value), PanelMark::Read, &[]);
    let other: Panel = "other:roof rails & aerial".parse().unwrap();
    let mut panels: BTreeMap<Panel, DrawnPanel> = NamedPanel::ALL
        .iter()
        .filter(|name| !name.as_str().contains("wheel") && !name.as_str().contains("window"))
        .map(|name| (Panel::Named(*name), read(118.2)))
        .collect();
    let thin = ["drawing-thin", "drawing-thin-spot", "drawing-removed"];
    panels.insert(Panel::Named(NamedPanel::Bonnet), drawn(Some(78.4), PanelMark::Flagged, &thin));
    let thick = ["drawing-likely-refinished", "drawing-much-removed-in-job", "drawing-much-removed-in-life"];
    panels.insert(Panel::Named(NamedPanel::RearLeftDoor), drawn(Some(1231.0), PanelMark::Flagged, &thick));
    panels.insert(Panel::Named(NamedPanel::FrontBumper), drawn(None, PanelMark::Plastic, &[]));
    panels.insert(Panel::Named(NamedPanel::Roof), drawn(Some(287.0), PanelMark::Film, &[]));
    panels.insert(other, read(96.0));
    PanelsDrawing {
        title: titled(language, "drawing-panels", "J-2026-0007"),
        values: language.word("drawing-values"),
        panels,
    }
}

pub(super) fn all(language: Language) -> Vec<(&'static str, String)> {
    let l = language;
    let nothing = ClimateDrawing { readings: vec![], coats: vec![], ..climate(l) };
    let single = ClimateDrawing { readings: climate(l).readings[..1].to_vec(), coats: vec![], ..climate(l) };
    let long = ClimateDrawing { readings: vec![], coats: climate(l).coats[..1].to_vec(), ..climate(l) };
    let bare = PanelsDrawing { panels: BTreeMap::new(), ..panels(l) };
    let young = CoverDrawing {
        as_of: day("2026-03-10"),
        surfaces: cover(l).surfaces[1..2].to_vec(),
        dues: vec![],
        ..cover(l)
    };
    vec![
        ("climate", climate(l).svg(&l)),
        ("climate-nothing", nothing.svg(&l)),
        ("climate-single", single.svg(&l)),
        ("climate-coat", long.svg(&l)),
        ("cover", cover(l).svg(&l)),
        ("cure", cure(l).svg(&l)),
        ("cure-nothing", CureDrawing { coats: vec![], ..cure(l) }.svg(&l)),
        ("cover-young", young.svg(&l)),
        ("cover-short", short_cover(l).svg(&l)),
        ("panels", panels(l).svg(&l)),
        ("panels-bare", bare.svg(&l)),
    ]
}
