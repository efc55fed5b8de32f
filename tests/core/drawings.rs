//! Pictures: golden files, and what holds for each of them, read by an XML parser that is not ours.
#![allow(clippy::cast_precision_loss, reason = "texts are short")]

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use lustrum::core::calendar::Day;
use lustrum::core::drawings::{
    ClimateDrawing, CoverDrawing, CureDrawing, DrawnBar, DrawnCoat, DrawnCure, DrawnDue, DrawnMilestone,
    DrawnPanel, DrawnReading, DueMark, PanelMark, PanelsDrawing,
};
use lustrum::core::words::{NamedPanel, Panel};
use proptest::prelude::*;
use roxmltree::{Document, Node};

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// A winter delivery: in from −4 °C, a night in the bay, three coats, out into the cold.
fn climate() -> ClimateDrawing {
    let reading = |time: &str, air_c, surface_c, dew_c, rh_pct| DrawnReading {
        at: at(time),
        air_c,
        surface_c,
        dew_c,
        rh_pct,
    };
    let coat = |label: &str, from: &str, until: &str| DrawnCoat {
        label: label.into(),
        from: at(from),
        until: at(until),
    };
    ClimateDrawing {
        title: "Climate over job J-2026-0007".into(),
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
            coat("base-30 on paint", "2026-01-13T08:00:00Z", "2026-01-13T09:40:00Z"),
            coat("top-10 on paint", "2026-01-13T11:00:00Z", "2026-01-13T12:15:00Z"),
            coat("glass-5 on glass", "2026-01-13T12:30:00Z", "2026-01-13T13:00:00Z"),
        ],
    }
}

/// A coat at the reference for nine hours, too cold for fifteen, then a third as fast; and one whose last milestone is
/// far away, whose first two are close together.
fn cure() -> CureDrawing {
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
    CureDrawing {
        title: "Cure of job J-2026-0007".into(),
        zone: chrono_tz::Europe::Oslo,
        known_until: Some(at("2026-01-14T12:00:00Z")),
        coats: vec![
            DrawnCure::of("base-30 on paint, bonnet".into(), base, until, hours(base), slow),
            DrawnCure::of("top-10 on paint, roof".into(), top, until, hours(top), close),
        ],
    }
}

fn cover() -> CoverDrawing {
    let bar = |surface: &str, last_day: &str, state: &str, holds: &[(&str, Option<&str>)]| DrawnBar {
        surface: surface.into(),
        from: day("2026-03-10"),
        last_day: day(last_day),
        state: state.into(),
        holds: holds.iter().map(|(since, until)| (day(since), until.map(day))).collect(),
    };
    let due = |upkeep: &str, number, opens: &str, due: &str, closes: &str, mark| DrawnDue {
        upkeep: upkeep.into(),
        number,
        opens: day(opens),
        due: day(due),
        closes: day(closes),
        mark,
    };
    CoverDrawing {
        title: "Cover of warranty W-2026-0007".into(),
        as_of: day("2028-04-20"),
        surfaces: vec![
            bar("glass", "2027-09-10", "ended: expired", &[]),
            bar(
                "paint",
                "2031-03-10",
                "on hold",
                &[("2027-04-10", Some("2027-06-01")), ("2028-04-10", None)],
            ),
            bar("wheels", "2026-08-02", "ended: missed", &[]),
        ],
        dues: vec![
            due("annual", 1, "2027-01-09", "2027-03-10", "2027-04-09", DueMark::Missed),
            due("annual", 2, "2028-01-10", "2028-03-10", "2028-04-09", DueMark::Missed),
            due("annual", 3, "2029-01-09", "2029-03-10", "2029-04-09", DueMark::Waived),
            due("annual", 4, "2030-01-09", "2030-03-10", "2030-04-09", DueMark::Ahead),
            due("wash", 1, "2026-03-10", "2026-04-21", "2026-05-05", DueMark::Met),
            due("wash", 2, "2026-04-20", "2026-06-01", "2026-06-15", DueMark::Met),
            due("wash", 3, "2028-02-20", "2028-04-02", "2028-04-30", DueMark::Late),
            due(
                "high-spot look of the first month",
                1,
                "2028-03-20",
                "2028-04-28",
                "2028-05-10",
                DueMark::Open,
            ),
        ],
    }
}

fn panels() -> PanelsDrawing {
    let drawn = |value: &str, mark, notes: &[&str]| DrawnPanel {
        value: value.into(),
        mark,
        notes: notes.iter().map(ToString::to_string).collect(),
    };
    let read = |value: &str| drawn(value, PanelMark::Read, &[]);
    let other: Panel = "other:roof rails & aerial".parse().unwrap();
    let mut panels: BTreeMap<Panel, DrawnPanel> = NamedPanel::ALL
        .iter()
        .filter(|name| !name.as_str().contains("wheel") && !name.as_str().contains("window"))
        .map(|name| (Panel::Named(*name), read("118")))
        .collect();
    panels.insert(
        Panel::Named(NamedPanel::Bonnet),
        drawn("78", PanelMark::Flagged, &["thin: polish no more", "2.4 µm removed"]),
    );
    panels.insert(
        Panel::Named(NamedPanel::RearLeftDoor),
        drawn(
            "231",
            PanelMark::Flagged,
            &["much thicker than the others: likely refinished, so nobody knows what lies below"],
        ),
    );
    panels.insert(Panel::Named(NamedPanel::FrontBumper), drawn("plastic", PanelMark::Covered, &[]));
    panels.insert(Panel::Named(NamedPanel::Roof), drawn("287 film", PanelMark::Covered, &[]));
    panels.insert(other, drawn("96", PanelMark::Read, &[]));
    PanelsDrawing {
        title: "Paint of job J-2026-0007, panel by panel".into(),
        values: "Mean of the latest readings, µm".into(),
        panels,
    }
}

fn all() -> Vec<(&'static str, String)> {
    let nothing = ClimateDrawing { readings: vec![], coats: vec![], ..climate() };
    let single = ClimateDrawing { readings: climate().readings[..1].to_vec(), coats: vec![], ..climate() };
    let bare = PanelsDrawing { panels: BTreeMap::new(), ..panels() };
    let young = CoverDrawing {
        as_of: day("2026-03-10"),
        surfaces: cover().surfaces[1..2].to_vec(),
        dues: vec![],
        ..cover()
    };
    vec![
        ("climate", climate().svg()),
        ("climate-nothing", nothing.svg()),
        ("climate-single", single.svg()),
        ("cover", cover().svg()),
        ("cure", cure().svg()),
        ("cure-nothing", CureDrawing { coats: vec![], ..cure() }.svg()),
        ("cover-young", young.svg()),
        ("panels", panels().svg()),
        ("panels-bare", bare.svg()),
    ]
}

/// Golden files; each was looked at as a picture.
#[test]
fn pictures_are_as_they_were() {
    for (name, svg) in all() {
        insta::assert_snapshot!(format!("{name}.svg"), svg);
    }
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap_or_else(|| panic!("{node:?} has no {name}")).parse().unwrap()
}

/// Title and description of a picture that is sound: an image to assistive technology, with presentation as attributes,
/// without style sheet, script or anything from elsewhere, and all ids its own.
fn sound(svg: &str) -> (String, String) {
    let document = Document::parse(svg).unwrap_or_else(|e| panic!("{e}: {svg}"));
    let root = document.root_element();
    assert_eq!((root.tag_name().name(), root.attribute("role")), ("svg", Some("img")));
    let (mut ids, mut used) = (Vec::new(), Vec::new());
    for node in document.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        assert!(!["style", "script", "foreignObject", "image", "use", "a"].contains(&name), "{name}");
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(!["style", "class", "href"].contains(&name) && !name.starts_with("on"), "{name}");
            match name {
                "id" => ids.push(value.to_owned()),
                "fill" | "stroke" if value.starts_with("url(") => {
                    used.push(value.trim_start_matches("url(#").trim_end_matches(')').to_owned());
                }
                "aria-labelledby" => used.extend(value.split(' ').map(str::to_owned)),
                _ => assert!(!value.contains("url("), "{name}={value}"),
            }
        }
    }
    assert!(used.iter().all(|id| ids.contains(id)), "{used:?} of {ids:?}");
    let text = |name: &str| {
        let node = root.children().find(|node| node.tag_name().name() == name).unwrap();
        node.text().unwrap_or_default().to_owned()
    };
    (text("title"), text("desc"))
}

#[test]
fn pictures_speak_for_themselves() {
    for (name, svg) in all() {
        let (title, description) = sound(&svg);
        assert!(!title.is_empty() && description.len() > 20, "{name}: {title}, {description}");
    }
    let (_, said) = sound(&climate().svg());
    // 20.0 − 9.3 is more than −5.5 + 6.9: the smallest distance over the dew point.
    assert!(said.contains("at least 1.4 K above the dew point"), "{said}");
    assert!(said.contains("base-30 on paint from 13 Jan 09:00 to 13 Jan 10:40"), "{said}");
    let (_, said) = sound(&cover().svg());
    assert!(said.contains("paint: on hold, from 10 Mar 2026 to 10 Mar 2031; on hold from 10 Apr 2027 until 1 Jun 2027; on hold since 10 Apr 2028."), "{said}");
    assert!(said.contains("annual 2: due 10 Mar 2028, closes 9 Apr 2028, missed."), "{said}");
    let (_, said) = sound(&cure().svg());
    assert!(said.contains("water-safe at 12 h, on 14 Jan 18:00"), "{said}");
    assert!(said.contains("full cure at 336 h, not reached with what is known"), "{said}");
    // 13 January 08:00 UTC and nine hours; Oslo is an hour ahead of UTC in winter.
    assert!(said.contains("cure stands still from 13 Jan 18:00 to 14 Jan 09:00"), "{said}");
    let (_, said) = sound(&panels().svg());
    assert!(
        said.contains("bonnet 78, thin: polish no more") && said.contains("roof rails & aerial 96"),
        "{said}"
    );
}

/// Left, top, right and bottom of each text, by letters of half their height.
fn boxes(svg: &str) -> Vec<([f64; 4], String)> {
    let document = Document::parse(svg).unwrap();
    let texts = document.descendants().filter(|node| node.tag_name().name() == "text");
    let of = |node: Node<'_, '_>| {
        let (x, y, size) = (number(node, "x"), number(node, "y"), number(node, "font-size"));
        let text = node.text().unwrap_or_default().to_owned();
        let width = text.chars().count() as f64 * size * 0.5;
        let left = match node.attribute("text-anchor") {
            Some("middle") => x - width / 2.0,
            Some("end") => x - width,
            _ => x,
        };
        ([left, y - size * 0.75, left + width, y + size * 0.2], text)
    };
    texts.map(of).collect()
}

#[test]
fn no_text_lies_over_another_or_beyond_the_edge() {
    for (name, svg) in all() {
        let document = Document::parse(&svg).unwrap();
        let (width, height) =
            (number(document.root_element(), "width"), number(document.root_element(), "height"));
        let boxes = boxes(&svg);
        for (i, ([left, top, right, bottom], text)) in boxes.iter().enumerate() {
            assert!(
                *left >= 0.0 && *top >= 0.0 && *right <= width && *bottom <= height,
                "{name}: {text} at {left} {top} {right} {bottom}"
            );
            for ([l, t, r, b], other) in &boxes[i + 1..] {
                assert!(right <= l || r <= left || bottom <= t || b <= top, "{name}: {text} over {other}");
            }
        }
    }
}

proptest! {
    /// Whatever people call things, a picture is sound, and says it.
    #[test]
    fn any_text_is_told(title in any::<String>(), label in any::<String>(), hours in 0..900_i64, c in -60.0..60.0_f64) {
        let from = at("2026-03-29T00:30:00Z");
        let coat = DrawnCoat { label: label.clone(), from, until: from + TimeDelta::hours(hours) };
        let reading = DrawnReading { at: from, air_c: c, surface_c: None, dew_c: Some(c - 1.0), rh_pct: 93.7 };
        let drawing = ClimateDrawing { title: title.clone(), zone: chrono_tz::Europe::Lisbon, readings: vec![reading], coats: vec![coat] };
        let (told, said) = sound(&drawing.svg());
        let holds = |text: &str| text.chars().map(|c| if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') { ' ' } else { c }).collect::<String>();
        prop_assert_eq!(told, holds(&title));
        prop_assert!(said.contains(&holds(&label)));
    }
}
