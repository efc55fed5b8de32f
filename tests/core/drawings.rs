//! Pictures: golden files, and what holds for each of them, read by an XML parser that is not ours.
#![allow(clippy::cast_precision_loss, reason = "texts are short")]

mod measure;
mod scenes;

use std::collections::BTreeSet;

use chrono::TimeDelta;
use lustrum::core::drawings::{ClimateDrawing, DrawnCoat, DrawnReading};
use lustrum::language::Language;
use proptest::prelude::*;
use roxmltree::{Document, Node};

use measure::{boxes, number, set_width};
use scenes::{all, at, climate, cover, cure, panels, short_cover};

use crate::support::papers::kept;

/// Golden files; each was looked at as a picture.
#[test]
fn pictures_are_as_they_were() {
    for (name, svg) in all(Language::English) {
        insta::assert_snapshot!(format!("{name}.svg"), svg);
    }
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
    for (name, svg) in Language::ALL.iter().flat_map(|language| all(*language)) {
        let (title, description) = sound(&svg);
        assert!(!title.is_empty() && description.len() > 20, "{name}: {title}, {description}");
    }
    let english = &Language::English;
    let (_, said) = sound(&climate(*english).svg(english));
    // 20.0 − 9.3 is more than −5.5 + 6.9: the smallest distance over the dew point.
    assert!(said.contains("at least 1.4 K above the dew point"), "{said}");
    assert!(said.contains("7 readings: air −4 to 21 °C, relative humidity 28 to 80 %."), "{said}");
    assert!(said.contains("base-30 on paint: from 13 Jan, 09:00 to 13 Jan, 10:40."), "{said}");
    let (_, said) = sound(&cover(*english).svg(english));
    assert!(said.starts_with("As of 20 Apr 2028. "), "{said}");
    assert!(said.contains("Paint: 10 Mar 2026 to 10 Mar 2031, on hold. Paint: on hold from 10 Apr 2027 until 1 Jun 2027. Paint: on hold since 10 Apr 2028."), "{said}");
    assert!(said.contains("annual #2: due 10 Mar 2028, closes 9 Apr 2028, missed."), "{said}");
    let (_, said) = sound(&cure(*english).svg(english));
    assert!(said.contains("Water-safe at 12 h, on 14 Jan, 18:00."), "{said}");
    assert!(said.contains("Full cure at 336 h, not reached with what is known."), "{said}");
    // 13 January 08:00 UTC and nine hours; Oslo is an hour ahead of UTC in winter.
    assert!(said.contains("Cure stands still from 13 Jan, 18:00 to 14 Jan, 09:00."), "{said}");
    let (_, said) = sound(&panels(*english).svg(english));
    assert!(
        said.contains("Bonnet: 78, thin: polish no more, thin at a spot: 2.4\u{a0}µm, 2.4\u{a0}µm removed."),
        "{said}"
    );
    assert!(said.contains(" Front bumper: plastic. ") && said.contains(" Roof: 287, film. "), "{said}");
    assert!(said.contains("Roof rails & aerial: 96") && said.contains("Rear left door: 1,231, "), "{said}");
}

/// All that a picture says: title, description, and what stands in it.
fn told(svg: &str) -> Vec<String> {
    let (title, description) = sound(svg);
    [title, description].into_iter().chain(boxes(svg).into_iter().map(|(_, text)| text)).collect()
}

/// What pictures say in each language, to be read by somebody who speaks it.
#[test]
fn pictures_say_the_same_in_each_language() {
    for language in Language::ALL.iter().copied() {
        let of = |(name, svg): (&str, String)| {
            kept(&format!("picture-{name}-{language}.svg"), svg.as_bytes());
            let mut lines: Vec<String> = Vec::new();
            for text in told(&svg) {
                // Numbers and times of an axis look alike everywhere.
                if text.contains(char::is_alphabetic) && !lines.contains(&text) {
                    lines.push(text);
                }
            }
            format!("== {name}\n{}", lines.join("\n"))
        };
        let all: Vec<String> = all(language).into_iter().map(of).collect();
        insta::assert_snapshot!(format!("pictures-{language}"), all.join("\n"));
    }
}

/// Words that the pictures above take from the shop, and units.
const THE_SHOPS: &str =
    "base top clear shell annual wash high-spot search of the first month roof rails aerial";

/// Words that stand in a picture in English and in another language, because both have them.
const SAME: &[(Language, &[&str])] =
    &[(Language::German, &["relative", "still"]), (Language::French, &["air", "film", "point", "relative"])];

fn words(text: &str) -> impl Iterator<Item = String> {
    let words = text.split(|c: char| !c.is_alphabetic() && c != '-').map(|word| word.trim_matches('-'));
    words.filter(|word| word.chars().count() > 2).map(str::to_lowercase)
}

#[test]
fn no_english_is_left_in_another_language() {
    // How months are cut short is for the tables to know.
    let months = Language::ALL.iter().flat_map(|language| {
        (1..=12).map(|month| language.short_day(format!("2026-{month:02}-10").parse().unwrap()))
    });
    let known: BTreeSet<String> =
        months.chain([THE_SHOPS.to_owned()]).flat_map(|text| words(&text).collect::<Vec<_>>()).collect();
    for language in Language::ALL.iter().copied().filter(|one| *one != Language::English) {
        let mut met: BTreeSet<String> = BTreeSet::new();
        for ((name, english), (_, other)) in all(Language::English).into_iter().zip(all(language)) {
            let english: BTreeSet<String> = told(&english).iter().flat_map(|text| words(text)).collect();
            let other: BTreeSet<String> = told(&other).iter().flat_map(|text| words(text)).collect();
            assert!(other.len() > 2, "{name} in {language} says {other:?}");
            met.extend(english.intersection(&other).filter(|word| !known.contains(*word)).cloned());
        }
        let same = SAME.iter().find(|(of, _)| *of == language).map_or(&[][..], |(_, words)| words);
        assert_eq!(met.iter().collect::<Vec<_>>(), same, "in {language} as in English");
    }
}

#[test]
fn dates_and_numbers_are_those_of_the_language() {
    let told = |language: Language, of: &dyn Fn(Language) -> String| told(&of(language)).join("\n");
    let climate = |language: Language| climate(language).svg(&language);
    let cover = |language: Language| cover(language).svg(&language);
    let short = |language: Language| short_cover(language).svg(&language);
    let panels = |language: Language| panels(language).svg(&language);
    for (language, number, day, date, month, thick) in [
        (Language::English, "−6.9 to 9.6", "\n13 Jan\n", "\n20 Apr 2028\n", "\nJul 2026\n", "! 1,231\n"),
        (Language::German, "−6,9 bis 9,6", "\n13. Jan.\n", "\n20.04.2028\n", "\n07/2026\n", "! 1.231\n"),
        (Language::Spanish, "−6,9 a 9,6", "\n13 ene\n", "\n20 abr 2028\n", "\njul 2026\n", "! 1231\n"),
        (
            Language::French,
            "−6,9 à 9,6",
            "\n13 janv.\n",
            "\n20 avr. 2028\n",
            "\njuil. 2026\n",
            "! 1\u{202f}231\n",
        ),
        (Language::Portuguese, "−6,9 a 9,6", "\n13 de jan.\n", "\n20/04/2028\n", "\n07/2026\n", "! 1231\n"),
    ] {
        for (said, wanted) in [
            (told(language, &climate), number),
            (told(language, &climate), day),
            (told(language, &cover), date),
            (told(language, &short), month),
            (told(language, &panels), thick),
        ] {
            assert!(said.contains(wanted), "{wanted:?} in {language}: {said}");
        }
    }
}

#[test]
fn no_text_lies_over_another_or_beyond_the_edge() {
    assert!((set_width("Über", 10.0, false) - (7.22 + 5.56 + 5.56 + 3.33)).abs() < 1e-9);
    for (language, (name, svg)) in
        Language::ALL.iter().flat_map(|language| all(*language).into_iter().map(move |one| (language, one)))
    {
        let document = Document::parse(&svg).unwrap();
        let (width, height) =
            (number(document.root_element(), "width"), number(document.root_element(), "height"));
        let boxes = boxes(&svg);
        for (i, ([left, top, right, bottom], text)) in boxes.iter().enumerate() {
            assert!(
                *left >= 0.0 && *top >= 0.0 && *right <= width && *bottom <= height,
                "{name} in {language}: {text} at {left} {top} {right} {bottom}"
            );
            for ([l, t, r, b], other) in &boxes[i + 1..] {
                assert!(
                    right <= l || r <= left || bottom <= t || b <= top,
                    "{name} in {language}: {text} over {other}"
                );
            }
            // Only a rule of the shop has a long name.
            assert!(!text.contains('…') || text.starts_with("high-spot"), "{name} in {language}: {text}");
        }
    }
}

#[test]
fn legends_take_as_many_lines_as_they_need() {
    // Four surfaces and three rules, then the axis and its labels.
    let below = 34.0 + 7.0 * 36.0 + 8.0 + 24.0;
    let legend = |language: Language| {
        let texts = boxes(&cover(language).svg(&language)).into_iter();
        let bottoms = texts.filter(|(place, _)| place[1] > below).map(|(place, _)| place[3].to_bits());
        bottoms.collect::<BTreeSet<u64>>().len()
    };
    assert_eq!((legend(Language::English), legend(Language::German)), (1, 2));
}

proptest! {
    /// Whatever people call things, a picture is sound, and says it.
    #[test]
    fn any_text_is_told(title in any::<String>(), label in any::<String>(), hours in 0..900_i64, c in -60.0..60.0_f64) {
        let from = at("2026-03-29T00:30:00Z");
        let coat = DrawnCoat { label: label.clone(), from, until: from + TimeDelta::hours(hours) };
        let reading = DrawnReading { at: from, air_c: c, surface_c: None, dew_c: Some(c - 1.0), rh_pct: 93.7 };
        let drawing = ClimateDrawing { title: title.clone(), zone: chrono_tz::Europe::Lisbon, readings: vec![reading], coats: vec![coat] };
        let (told, said) = sound(&drawing.svg(&Language::Portuguese));
        let holds = |text: &str| text.chars().map(|c| if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') { ' ' } else { c }).collect::<String>();
        prop_assert_eq!(told, holds(&title));
        prop_assert!(said.contains(&holds(&label)));
    }
}
