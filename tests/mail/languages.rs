//! Each kind of mail in each language, as people get it: read, and held by snapshots.

use std::collections::BTreeSet;

use lustrum::core::assess::Why;
use lustrum::core::words::{MailChoice, Surface};
use lustrum::language::Language;
use lustrum::mail::said::{
    Action, AftercareText, BookedText, Change, ChangedText, CoverText, DoerText, Does, DoneText, EndingText,
    FirstLookText, Letter, LinkPurpose, LinkText, Mail, Season, SeasonText, Section, WashFromText,
};
use lustrum::mail::texts::{subject_of, write};

use super::{
    After, NextText, VEHICLE, booking, day, glass, handover, inspection, mail, missed, next, paint, panels,
    words,
};

/// A visit elsewhere, of which one thing could not be done.
fn elsewhere() -> Section {
    let mut record = handover();
    record.after = After::Elsewhere;
    record.on = day("2027-02-01");
    record.done = vec![
        DoneText::Service {
            service: "maintenance wash".into(),
            by: Some(DoerText::Named("Lakeside Wash".into())),
            carried_out: true,
        },
        DoneText::Service { service: "leather care".into(), by: Some(DoerText::Owner), carried_out: false },
    ];
    record.cover = vec![CoverText { on_hold: true, ..paint() }];
    (record.warranty, record.verify, record.products) = (None, None, Vec::new());
    Section::Record(record)
}

fn changed(change: Change) -> Section {
    let (surface, panel) = (Surface::Paint, panels(&["front_left_wing"]).remove(0));
    let change = match change {
        Change::PanelOut { .. } => Change::PanelOut { surface, panel },
        Change::PanelBack { .. } => Change::PanelBack { surface, panel },
        other => other,
    };
    let ended = matches!(change, Change::Ended { .. } | Change::Transferred { ends: true });
    let cover = if ended { Vec::new() } else { vec![paint()] };
    Section::Changed(ChangedText {
        vehicle: VEHICLE.into(),
        warranty: "W-2026-0001".into(),
        on: day("2027-05-03"),
        why: match &change {
            Change::OnHold { .. } => Some(Why::Breach {
                key: "brush-wash".into(),
                on: day("2027-05-02"),
                with: vec!["inspection".into(), "reconditioning".into()],
            }),
            Change::Ended { .. } => Some(Why::Missed {
                services: vec!["inspection".into()],
                closes: day("2027-04-09"),
                closes_km: Some(20_000),
                with: Vec::new(),
            }),
            _ => None,
        }
        .map(Box::new),
        brought_back_by: matches!(change, Change::BackInForce { .. }).then(|| "reconditioning".into()),
        change,
        cover,
    })
}

fn aftercare(known: bool) -> Section {
    Section::Aftercare(AftercareText {
        vehicle: VEHICLE.into(),
        on: day("2026-03-10"),
        keep_dry_until: known.then(|| "2026-03-11T18:30:00".parse().unwrap()),
        takes_water: false,
        first_wash: known.then(|| day("2026-03-17")),
        full_cure: known.then(|| day("2026-03-24")),
        products: words(&["Base 30", "Top 10"]),
    })
}

fn season(season: Season) -> Section {
    let wash = NextText {
        services: words(&["maintenance wash"]),
        opens: day("2026-11-02"),
        due: day("2026-11-16"),
        closes: day("2026-11-30"),
    };
    Section::Season(SeasonText {
        vehicle: VEHICLE.into(),
        season,
        on: day(if season == Season::Winter { "2026-11-02" } else { "2027-03-22" }),
        next: if season == Season::Winter { vec![wash, next()] } else { vec![next()] },
    })
}

fn booked(again: bool) -> Section {
    Section::Booked(BookedText {
        vehicle: VEHICLE.into(),
        on: day("2027-03-04"),
        at: again.then(|| "08:30:00".parse().unwrap()),
        services: words(&["inspection", "maintenance wash"]),
        place: Some("Rua do Cais 7, Porto Novo".into()),
        again,
    })
}

fn ending(still: bool) -> Section {
    Section::Ending(EndingText {
        vehicle: VEHICLE.into(),
        warranty: "W-2026-0001".into(),
        ending: vec![glass()],
        still: if still { vec![paint()] } else { Vec::new() },
    })
}

fn link(purpose: LinkPurpose) -> Mail {
    let mut mail = mail(vec![Section::Link(LinkText { vehicle: VEHICLE.into(), purpose, minutes: 10 })]);
    let does = Does::from(purpose);
    mail.action = Some(Action { does, url: "https://shop.example.org/once/7d9f".into() });
    mail
}

/// A kind of mail with what a link in it does.
fn acting(section: Section, does: Does) -> Mail {
    let mut mail = mail(vec![section]);
    mail.action = Some(Action { does, ..booking() });
    mail
}

/// Every kind of mail, and each of its ways that reads otherwise.
pub(super) fn kinds() -> Vec<(&'static str, Mail)> {
    let surfaces = || vec![Surface::Paint, Surface::Wheels];
    let changes = [
        ("changed_transferred", Change::Transferred { ends: false }),
        ("changed_transferred_ends", Change::Transferred { ends: true }),
        (
            "changed_panel_out",
            Change::PanelOut { surface: Surface::Paint, panel: panels(&["roof"]).remove(0) },
        ),
        (
            "changed_panel_back",
            Change::PanelBack { surface: Surface::Paint, panel: panels(&["roof"]).remove(0) },
        ),
        ("changed_on_hold", Change::OnHold { surfaces: surfaces() }),
        ("changed_back_in_force", Change::BackInForce { surfaces: surfaces() }),
        ("changed_ended", Change::Ended { surfaces: surfaces() }),
        (
            "changed_recalled",
            Change::Recalled {
                product: "Base 30".into(),
                batch: "B30-0007".into(),
                panels: panels(&["bonnet", "roof", "other:spoiler"]),
            },
        ),
    ];
    let mut upcoming = acting(Section::Upcoming(inspection()), Does::Book);
    upcoming.unsubscribe = Some((MailChoice::Upkeep, "https://shop.example.org/my/3f/no-upkeep".into()));
    let mut record = mail(vec![Section::Record(handover())]);
    record.unsubscribe = Some((MailChoice::History, "https://shop.example.org/my/3f/no-history".into()));
    let mut kinds = vec![
        ("upcoming", upcoming),
        ("last_call", acting(Section::LastCall(inspection()), Does::Book)),
        ("missed", mail(vec![Section::Missed(missed())])),
        ("record", record),
        ("record_elsewhere", acting(elsewhere(), Does::OpenPage)),
        ("aftercare", mail(vec![aftercare(true)])),
        ("aftercare_unknown", mail(vec![aftercare(false)])),
        (
            "wash_from",
            mail(vec![Section::WashFrom(WashFromText {
                vehicle: VEHICLE.into(),
                from: day("2026-03-17"),
                handed_over: day("2026-03-10"),
            })]),
        ),
        (
            "first_look",
            acting(
                Section::FirstLook(FirstLookText { vehicle: VEHICLE.into(), handed_over: day("2026-03-10") }),
                Does::Book,
            ),
        ),
        ("booked", acting(booked(false), Does::ChangeBooking)),
        ("booked_again", mail(vec![booked(true)])),
        ("season_winter", mail(vec![season(Season::Winter)])),
        ("season_spring", mail(vec![season(Season::Spring)])),
        ("ending", mail(vec![ending(true)])),
        ("ending_all", mail(vec![ending(false)])),
        ("link_transfer", link(LinkPurpose::Transfer)),
        ("link_claim", link(LinkPurpose::Claim)),
    ];
    kinds.extend(changes.map(|(name, change)| (name, mail(vec![changed(change)]))));
    kinds
}

pub(super) fn letter_in(language: Language, mail: &Mail) -> Letter {
    write(&Mail { language, ..mail.clone() }).unwrap()
}

#[test]
fn each_kind_in_each_language() {
    for (name, mail) in kinds() {
        for language in Language::ALL.iter().copied() {
            let letter = letter_in(language, &mail);
            let text = format!("Subject: {}\n\n{}", letter.subject, letter.text);
            insta::assert_snapshot!(format!("{name}.{language}.txt"), text);
            assert!(letter.html.contains(&format!("<html lang=\"{language}\">")), "{name}");
        }
        insta::assert_snapshot!(format!("{name}.html"), letter_in(Language::English, &mail).html);
    }
}

#[test]
fn a_subject_says_vehicle_what_and_date() {
    for (name, mail) in kinds().into_iter().filter(|(name, _)| !name.starts_with("link")) {
        for language in Language::ALL.iter().copied() {
            let subject = subject_of(language, &mail.sections[0]);
            assert!(subject.starts_with(VEHICLE), "{name} in {language}: {subject}");
            assert!(subject.contains("202"), "{name} in {language} names no day: {subject}");
            let what = subject.strip_prefix(VEHICLE).unwrap();
            assert!(what.len() > 18, "{name} in {language} does not say what: {subject}");
        }
    }
}

/// The words of a text or an HTML document, without its head and its tags.
fn plain_words(text: &str) -> BTreeSet<String> {
    let body = text.split_once("<main>").map_or(text, |(_, body)| body);
    let mut plain = String::new();
    let mut inside = false;
    for sign in body.chars() {
        match sign {
            '<' => inside = true,
            '>' if inside => {
                inside = false;
                plain.push(' ');
            }
            _ if !inside => plain.push(sign),
            _ => {}
        }
    }
    let plain = plain.replace("&amp;", "&").replace("&quot;", "\"").replace("&#39;", "'");
    plain
        .split_whitespace()
        .map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric()).to_owned())
        .filter(|word| !word.is_empty() && !word.starts_with("http"))
        .collect()
}

#[test]
fn text_and_html_say_the_same() {
    let mut all = mail(kinds().into_iter().flat_map(|(_, mail)| mail.sections).collect());
    all.action = Some(booking());
    all.unsubscribe = Some((MailChoice::Upkeep, "https://shop.example.org/my/3f/no-upkeep".into()));
    all.drill = true;
    let joint = ("joint", all);
    for (name, mail) in kinds().into_iter().chain([joint]) {
        for language in Language::ALL.iter().copied() {
            let letter = letter_in(language, &mail);
            assert_eq!(plain_words(&letter.text), plain_words(&letter.html), "{name} in {language}");
            // The links too.
            let urls =
                [mail.action.as_ref().map(|it| &it.url), mail.unsubscribe.as_ref().map(|(_, url)| url)];
            for url in urls.into_iter().flatten() {
                assert!(letter.text.contains(url.as_str()));
                assert!(letter.html.contains(&format!("href=\"{}\"", url.replace('&', "&amp;"))));
            }
            let actions = letter.html.matches("class=\"action\"").count();
            assert_eq!(actions, usize::from(mail.action.is_some()), "one action a mail");
            // Nothing is fetched from outside.
            for fetching in ["src=", "url(", "<link", "<script", "@import", "<img"] {
                assert!(!letter.html.contains(fetching), "{fetching}");
            }
            // Read aloud it has one title, and its parts below it.
            assert_eq!(letter.html.matches("<h1>").count(), 1, "{name}");
            assert_eq!(letter.html.matches("<h2>").count(), mail.sections.len() - 1, "{name}");
            let document = letter.html.replace("<!doctype html>", "");
            let document = document.replace("<br>", "<br/>");
            let closed = document.lines().map(|line| match line {
                line if line.starts_with("<meta ") => line.replace('>', "/>"),
                line => line.to_owned(),
            });
            let document = closed.collect::<Vec<_>>().join("\n");
            roxmltree::Document::parse(&document)
                .unwrap_or_else(|fault| panic!("{name}: {fault}\n{document}"));
        }
    }
}

#[test]
fn days_are_named_and_the_most_urgent_comes_first() {
    let mail = mail(kinds().into_iter().flat_map(|(_, mail)| mail.sections).collect());
    let text = letter_in(Language::English, &mail).text;
    let place = |needle: &str| text.find(needle).unwrap_or_else(|| panic!("{needle}"));
    let order = [
        "confirm the new owner",
        "missed, since 10 April 2027",
        "last call for",
        "new owner, from 3 May 2027",
        "ends on 10 September 2027",
        "due on 10 March 2027\n-",
        "booked for 4 March 2027",
        "you can wash it from",
        "care for the first days",
        "a look after the first weeks",
        "care before winter",
        "what we did, and your warranty",
    ];
    for pair in order.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{} before {}", pair[0], pair[1]);
    }
    for counted in ["in 1 day", "days from now", "tomorrow", "next week"] {
        assert!(!text.contains(counted), "{counted}");
    }
}

#[test]
fn each_action_is_said_in_each_language() {
    for language in Language::ALL.iter().copied() {
        let mut labels = BTreeSet::new();
        for does in Does::ALL {
            let letter = letter_in(language, &acting(Section::Upcoming(inspection()), does));
            let line = letter.text.lines().rev().skip_while(|line| !line.contains("?book=")).nth(1).unwrap();
            assert!(labels.insert(line.to_owned()), "{does:?} in {language}: {line}");
        }
    }
}
