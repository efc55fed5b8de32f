//! The card of a fresh coating and the label in the door frame: one page each, in every language.

use lustrum::core::words::{NamedPanel, PaperSize, Surface};
use lustrum::documents::VehicleOnPaper;
use lustrum::documents::door_label::DoorLabel;
use lustrum::documents::press::{Press, Template};
use lustrum::documents::winter_card::{CardPanels, When, WinterCard};
use lustrum::language::Language;
use serde_json::json;

use super::{kept, printed, setting};
use crate::support::papers::{holds_what_it_claims, read_pdf, text_of};

fn vehicle() -> VehicleOnPaper {
    VehicleOnPaper {
        title: "Corvina Estate 2026 night blue".into(),
        vin: Some("1M8GDM9AXKP042788".into()),
        plate: Some("QC-417".into()),
    }
}

fn card(language: Language, size: PaperSize) -> WinterCard {
    let at = |text: &str| When::At(text.parse().unwrap());
    let of = |surface, named: &[NamedPanel], water, wash| CardPanels {
        surface,
        panels: named.iter().map(|panel| (*panel).into()).collect(),
        water,
        wash,
    };
    WinterCard {
        setting: setting(language, size),
        job: "J-2026-0057".into(),
        vehicle: vehicle(),
        zone: "Europe/Lisbon".into(),
        leaves: "2026-01-20T17:30:00".parse().unwrap(),
        water: at("2026-01-22T06:00:00"),
        wash: at("2026-02-03T12:00:00"),
        cured: When::Unknown,
        panels: vec![
            of(Surface::Paint, &NamedPanel::ALL[..9], at("2026-01-22T06:00:00"), at("2026-02-03T12:00:00")),
            of(
                Surface::Paint,
                &NamedPanel::ALL[15..23],
                at("2026-01-21T22:00:00"),
                at("2026-02-02T20:00:00"),
            ),
            of(Surface::Wheels, &NamedPanel::ALL[23..27], When::Covered, at("2026-01-27T09:00:00")),
            of(Surface::Glass, &[NamedPanel::Windscreen], When::Now, When::Unknown),
        ],
    }
}

#[test]
fn a_card_is_one_page_and_tells_each_panel_that_differs() {
    for language in Language::ALL.iter().copied() {
        for size in PaperSize::ALL.iter().copied() {
            let printed = printed(&card(language, size).paper());
            kept(&format!("winter-card-{language}-{size}"), &printed);
            let read = read_pdf(&printed.bytes);
            holds_what_it_claims(&read, language.as_str());
            assert_eq!(read["text"].as_array().unwrap().len(), 1, "{language} on {size}");
        }
    }
    let text = text_of(&read_pdf(&printed(&card(Language::English, PaperSize::A4).paper()).bytes));
    for said in [
        "Leaves the shop 20 January 2026 at 17:30",
        "Keep dry until 22 January 2026 at 06:00",
        "First wash from 3 February 2026 at 12:00",
        "Fully cured from Not known yet: ask us",
        "These times are estimates.",
        "Panel by panel",
        "now: a rain-safe top layer lies over it",
        "Until then, never",
        "do not wash in the frost",
    ] {
        assert!(text.contains(said), "{said:?} in {text}");
    }
    // Where the same holds for every panel, it is said once.
    let mut alike = card(Language::English, PaperSize::A4);
    alike.panels.truncate(1);
    assert!(!text_of(&read_pdf(&printed(&alike.paper()).bytes)).contains("Panel by panel"));
}

#[test]
fn a_label_is_small_and_its_code_can_be_read() {
    // As long as such links are.
    let link = "https://lustrum.quayside.example/door/AAECAwQFBgcICQoLDA0ODw";
    for language in Language::ALL.iter().copied() {
        let label =
            DoorLabel { setting: setting(language, PaperSize::A4), vehicle: vehicle(), link: link.into() };
        let printed = Press::default().print(&label.paper(), Template::Label).unwrap();
        assert_eq!(printed.falls_short, None);
        kept(&format!("door-label-{language}"), &printed);
        let read = read_pdf(&printed.bytes);
        holds_what_it_claims(&read, language.as_str());
        assert_eq!(read["sizes_mm"], json!([[70, 37]]));
        assert_eq!(read["codes"], json!([link]));
        let text = text_of(&read);
        for said in ["Quayside Coatings", "QC-417", "042788"] {
            assert!(text.contains(said), "{said:?} in {text}");
        }
    }
}
