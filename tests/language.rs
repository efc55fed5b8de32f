//! Texts in every language: whole, with every value that they ask for, and not English by oversight; dates, numbers
//! and lists as the tables of the Unicode CLDR have them.

use std::collections::{BTreeMap, BTreeSet};

use lustrum::core::calendar::Period;
use lustrum::core::words::{NamedPanel, Panel, StepKind, Surface};
use lustrum::language::{Language, Said, ids, sources};

/// Messages that are the same in English and another language, because people say them so.
const SAME: &[(&str, &str)] = &[
    ("unit-km", "de es fr pt"),
    ("unit-celsius", "de es fr pt"),
    ("unit-micrometres", "de es fr pt"),
    ("unit-percent", "pt"),
    ("surface-film", "fr"),
    ("surface-metal", "es pt"),
    ("period-minutes", "fr"),
    ("paper-surface", "fr"),
    ("terms-breach", "de es pt"),
    ("terms-breach-on", "de es pt"),
    ("certificate-up-to", "fr"),
    ("job-air", "fr"),
    ("job-line-name", "de"),
    ("job-line-signature", "fr"),
    ("drawing-milestone", "de es fr pt"),
    ("mail-fact", "de es pt"),
    ("mail-link", "de es pt"),
    ("mail-place", "de es fr pt"),
    ("page-due", "de es fr pt"),
    ("page-door-coat", "de es fr pt"),
];

/// The messages of a file with what stands in them.
fn messages(source: &str) -> BTreeMap<String, String> {
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut last = None;
    for line in source.lines().filter(|line| !line.starts_with('#')) {
        if let Some(id) = ids(line).next() {
            let (_, text) = line.split_once('=').unwrap();
            assert!(found.insert(id.to_owned(), text.trim().to_owned()).is_none(), "{id} stands twice");
            last = Some(id.to_owned());
        } else if let Some(id) = &last {
            let text = found.get_mut(id).unwrap();
            text.push('\n');
            text.push_str(line.trim_end());
        }
    }
    found
}

/// The values that a message asks for: `$name`.
fn values(text: &str) -> BTreeSet<String> {
    let names = text.split('$').skip(1);
    names
        .map(|rest| rest.chars().take_while(|sign| sign.is_ascii_alphanumeric() || *sign == '-').collect())
        .collect()
}

/// The values by which a message chooses, and between what.
fn choices(text: &str) -> Vec<(String, Vec<String>)> {
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    for line in text.lines() {
        if let Some((before, _)) = line.split_once("->") {
            let name = values(before).into_iter().next_back().unwrap();
            found.push((name, Vec::new()));
        } else if let Some((_, names)) = found.last_mut()
            && let Some(rest) = line.trim_start().trim_start_matches('*').strip_prefix('[')
            && let Some((name, _)) = rest.split_once(']')
        {
            names.push(name.to_owned());
        }
    }
    found
}

/// Whether a choice is by number: its names are those of plural rules.
fn by_number(names: &[String]) -> bool {
    names.iter().all(|name| {
        ["zero", "one", "two", "few", "many", "other"].contains(&name.as_str()) || name.parse::<f64>().is_ok()
    })
}

/// All that can be said of a message: each choice once.
fn renderings(text: &str) -> Vec<Said> {
    let choices = choices(text);
    let name_of = |name: &String| -> &'static str { Box::leak(name.clone().into_boxed_str()) };
    let most = choices.iter().map(|(_, names)| names.len()).max().unwrap_or(0).max(2);
    (0..most)
        .map(|turn| {
            values(text).iter().fold(Said::default(), |said, name| {
                let name = name_of(name);
                match choices.iter().find(|(of, _)| of == name) {
                    Some((_, names)) if by_number(names) => said.with(name, [1_u32, 2, 0][turn % 3]),
                    Some((_, names)) => said.with(name, names[turn % names.len()].as_str()),
                    None => said.with(name, format!("«{name}»")),
                }
            })
        })
        .collect()
}

#[test]
fn every_message_can_be_said_in_every_language() {
    for (file, english) in sources(Language::English) {
        let english = messages(english);
        assert!(!english.is_empty(), "{file} holds nothing");
        for language in Language::ALL.iter().copied() {
            let (_, source) = sources(language).iter().find(|(name, _)| name == file).unwrap();
            let here = messages(source);
            let (wanted, found): (BTreeSet<_>, BTreeSet<_>) =
                (english.keys().collect(), here.keys().collect());
            assert_eq!(found, wanted, "the messages of {file} in {language}");
            for (id, text) in &here {
                assert_eq!(values(text), values(&english[id]), "the values of `{id}` in {language}");
                for said in renderings(text) {
                    let spoken = language
                        .try_say(id, &said)
                        .unwrap_or_else(|fault| panic!("{id} in {language}: {fault}"));
                    assert!(!spoken.trim().is_empty(), "{id} in {language} says nothing");
                    assert!(
                        !spoken.contains(['{', '}', '\u{2068}', '\u{2069}']),
                        "{id} in {language}: {spoken}"
                    );
                    assert_eq!(spoken, spoken.trim(), "{id} in {language}");
                    assert!(!spoken.contains("  "), "{id} in {language} has two blanks: {spoken}");
                }
            }
        }
    }
}

#[test]
fn no_message_is_english_by_oversight() {
    for (file, english) in sources(Language::English) {
        let english = messages(english);
        for language in Language::ALL.iter().copied().filter(|one| *one != Language::English) {
            let (_, source) = sources(language).iter().find(|(name, _)| name == file).unwrap();
            for (id, text) in messages(source) {
                let listed = SAME.iter().any(|(same, where_)| {
                    *same == id && where_.split(' ').any(|one| one == language.as_str())
                });
                assert_eq!(text == english[&id], listed, "`{id}` in {language}: {text}");
            }
        }
    }
}

#[test]
fn what_is_missing_is_a_fault() {
    let fault = Language::German.try_say("no-such-message", &Said::default()).unwrap_err();
    assert_eq!((fault.to_string().as_str(), fault.text), ("there is no message `no-such-message`", None));
    let fault = Language::German.try_say("period-years", &Said::default()).unwrap_err();
    assert!(fault.to_string().contains("count"), "{fault}");
    // The checks above see a text that says too little, too much, or the same.
    assert_eq!(values("{ $a -> [one] { $b } }"), BTreeSet::from(["a".to_owned(), "b".to_owned()]));
    assert_eq!(
        choices("{ $a ->\n  [one] x\n *[other] y\n}"),
        [("a".to_owned(), vec!["one".to_owned(), "other".to_owned()])]
    );
    assert_eq!(
        messages("# x = y\na = b\n  c\nd = e").into_iter().collect::<Vec<_>>(),
        [("a".to_owned(), "b\n  c".to_owned()), ("d".to_owned(), "e".to_owned())]
    );
}

#[test]
fn every_word_of_the_trade_is_known_in_every_language() {
    for language in Language::ALL.iter().copied() {
        let mut panels = BTreeSet::new();
        for panel in NamedPanel::ALL {
            assert!(panels.insert(language.panel(&(*panel).into())), "{panel} in {language} stands for two");
        }
        let steps: BTreeSet<String> = StepKind::ALL.iter().map(|step| language.step(*step)).collect();
        assert_eq!(steps.len(), StepKind::ALL.len(), "{language}");
        let surfaces: BTreeSet<String> =
            Surface::ALL.iter().map(|surface| language.surface(surface)).collect();
        assert_eq!(surfaces.len(), Surface::ALL.len(), "{language}");
        // A shop's own words stay as they are.
        assert_eq!(language.panel(&"other:roof rails".parse::<Panel>().unwrap()), "roof rails");
        assert_eq!(language.service("oil change"), "oil change");
        assert_eq!(language.service("${evil}"), "${evil}");
    }
    assert_eq!(Language::French.panel(&NamedPanel::LeftSill.into()), "bas de caisse gauche");
}

/// What is written in each language, in the order of `Language::ALL`.
fn each(write: impl Fn(Language) -> String) -> Vec<String> {
    Language::ALL.iter().map(|language| write(*language)).collect()
}

#[test]
fn dates_are_written_as_each_language_has_them() {
    let wanted =
        ["1 April 2027", "1. April 2027", "1 de abril de 2027", "1er avril 2027", "1 de abril de 2027"];
    assert_eq!(each(|language| language.date("2027-04-01".parse().unwrap())), wanted);
    let at = "2026-12-05T08:07:59".parse().unwrap();
    let wanted = [
        "5 December 2026 at 08:07",
        "5. Dezember 2026 um 08:07",
        "5 de diciembre de 2026 a las 08:07",
        "5 décembre 2026 à 08:07",
        "5 de dezembro de 2026 às 08:07",
    ];
    assert_eq!(each(|language| language.moment(at)), wanted);
    let times = each(|language| language.time(at.time()));
    assert!(times.iter().all(|time| time.trim_start_matches('0') == "8:07"), "{times:?}");
    for month in 1..=12 {
        let day = format!("2027-{month:02}-10").parse().unwrap();
        assert!(
            each(|language| language.date(day))
                .iter()
                .all(|text| text.contains("10") && text.contains("2027"))
        );
    }
}

#[test]
fn numbers_are_written_as_each_language_has_them() {
    // Four digits stand together in Spain and Portugal; French groups with a narrow blank, Portuguese with a wide one.
    assert_eq!(
        each(|language| language.number(1234.0, 0)),
        ["1,234", "1.234", "1234", "1\u{202f}234", "1234"]
    );
    let wanted = ["120,000", "120.000", "120.000", "120\u{202f}000", "120\u{a0}000"];
    assert_eq!(each(|language| language.number(120_000.0, 0)), wanted);
    assert_eq!(each(|language| language.number(-0.256, 2)), ["-0.26", "-0,26", "-0,26", "-0,26", "-0,26"]);
    // Within a message too.
    let said = |language: Language| language.say("unit-km", &Said::default().with("number", 10_500));
    let wanted = [
        "10,500\u{a0}km",
        "10.500\u{a0}km",
        "10.500\u{a0}km",
        "10\u{202f}500\u{a0}km",
        "10\u{a0}500\u{a0}km",
    ];
    assert_eq!(each(said), wanted);
    assert_eq!(Language::German.say("unit-celsius", &Said::default().with("number", 21.5)), "21,5\u{a0}°C");
}

#[test]
fn plurals_and_lists_are_those_of_each_language() {
    let period = |years, months, days| Period { years, months, days, ..Period::default() };
    let wanted = ["1 year", "1 Jahr", "1 año", "1 an", "1 ano"];
    assert_eq!(each(|language| language.period(period(1, 0, 0))), wanted);
    let wanted = ["18 months", "18 Monate", "18 meses", "18 mois", "18 meses"];
    assert_eq!(each(|language| language.period(period(0, 18, 0))), wanted);
    // Nought is one of the singular in French, of the plural in Portugal.
    assert_eq!(
        each(|language| language.period(period(0, 0, 0))),
        ["0 days", "0 Tage", "0 días", "0 jour", "0 dias"]
    );
    let wanted = [
        "2 years, 1 month and 3 days",
        "2 Jahre, 1 Monat und 3 Tage",
        "2 años, 1 mes y 3 días",
        "2 ans, 1 mois et 3 jours",
        "2 anos, 1 mês e 3 dias",
    ];
    assert_eq!(each(|language| language.period(period(2, 1, 3))), wanted);
    let services = ["inspection".to_owned(), "reconditioning".to_owned()];
    let wanted = [
        "inspection or reconditioning",
        "Inspektion oder Aufbereitung",
        "inspección o reacondicionamiento",
        "contrôle ou remise en état",
        "inspeção ou recondicionamento",
    ];
    assert_eq!(each(|language| language.any_service(&services)), wanted);
    // Spanish changes the word before the same sound.
    assert_eq!(Language::Spanish.any_of(&["siete".to_owned(), "ocho".to_owned()]), "siete u ocho");
    assert_eq!(each(|language| language.all_of(&[])), ["", "", "", "", ""]);
    assert_eq!(Language::French.surfaces(&[Surface::Paint]), "peinture");
}
