//! Mails: what they say, the bytes they are, and what becomes of them on their way.

mod bounce;
mod files;
mod languages;
mod message;
mod signed;
mod transport;

use lustrum::core::calendar::Day;
use lustrum::core::notices::message_digest;
use lustrum::core::terms::{Consequence, Rank};
use lustrum::core::words::{NoticeKind, Panel, StepKind, Surface};
use lustrum::language::Language;
use lustrum::mail::Posting;
use lustrum::mail::said::{
    Action, After, CoverText, Does, DoneText, DueText, Mail, MissedText, NextText, RecordText, Section,
    ShopCard,
};

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// Invented, as all makes and models here are.
const VEHICLE: &str = "Aurel Vento, AB 12 CD";

fn panels(words: &[&str]) -> Vec<Panel> {
    words.iter().map(|word| word.parse().unwrap()).collect()
}

fn words(words: &[&str]) -> Vec<String> {
    words.iter().copied().map(str::to_owned).collect()
}

/// An inspection that keeps up the cover of paint and glass.
fn inspection() -> DueText {
    DueText {
        vehicle: VEHICLE.into(),
        services: words(&["inspection", "reconditioning"]),
        by: Rank::Accredited,
        opens: day("2027-01-09"),
        due: day("2027-03-10"),
        closes: day("2027-04-09"),
        closes_km: None,
        surfaces: vec![Surface::Paint, Surface::Glass],
        if_missed: Consequence::Suspend {
            make_good_within: Some(lustrum::core::calendar::Period::days(60)),
            with: words(&["reconditioning"]),
            by: Rank::Accredited,
        },
        terms: ("Five years, two coats".into(), "upkeep.annual".into()),
    }
}

fn missed() -> MissedText {
    MissedText { due: inspection(), since: day("2027-04-10"), make_good_until: Some(day("2027-06-09")) }
}

fn paint() -> CoverText {
    CoverText {
        surface: Surface::Paint,
        panels: panels(&["bonnet", "roof"]),
        last_day: day("2031-03-10"),
        up_to_km: Some(120_000),
        on_hold: false,
    }
}

fn glass() -> CoverText {
    CoverText {
        surface: Surface::Glass,
        panels: vec![],
        last_day: day("2027-09-10"),
        up_to_km: None,
        on_hold: false,
    }
}

fn next() -> NextText {
    NextText {
        services: words(&["inspection", "reconditioning"]),
        opens: day("2027-01-09"),
        due: day("2027-03-10"),
        closes: day("2027-04-09"),
    }
}

fn handover() -> RecordText {
    let coat = |product: &str, batch: &str| DoneText::Coat {
        product: product.into(),
        surface: Surface::Paint,
        panels: panels(&["bonnet", "roof"]),
        batch: batch.into(),
    };
    RecordText {
        vehicle: VEHICLE.into(),
        after: After::Handover,
        on: day("2026-03-10"),
        done: vec![
            DoneText::Step { kind: StepKind::Decontamination, product: None },
            DoneText::Step { kind: StepKind::PanelWipe, product: Some("Wipe 3".into()) },
            coat("Base 30", "B30-0007"),
            coat("Top 10", "T10-0002"),
        ],
        warranty: Some("W-2026-0001".into()),
        cover: vec![paint(), glass()],
        certificate: true,
        verify: Some("https://shop.example.org/verify/K7QX2M9TPD4WNA8C".into()),
        history: Some("https://shop.example.org/my/3f/vehicles/0192/history.pdf".into()),
        next: vec![next()],
        products: words(&["Wipe 3", "Base 30", "Top 10"]),
    }
}

fn mail(sections: Vec<Section>) -> Mail {
    Mail {
        language: Language::English,
        shop: ShopCard {
            name: "Atelier Núria & Co".into(),
            phone: Some("+351 555 0100".into()),
            address: Some("Rua do Cais 7, Porto Novo".into()),
        },
        owner: "Inês Ferro".into(),
        sections,
        action: None,
        unsubscribe: None,
        drill: false,
    }
}

fn booking() -> Action {
    Action { does: Does::Book, url: "https://shop.example.org/my/3f?book=annual&number=1".into() }
}

fn posting(kind: NoticeKind) -> Posting {
    Posting {
        from: "notices@shop.example.org".parse().unwrap(),
        shop: "Atelier Núria & Co".into(),
        reply_to: Some("desk@shop.example.org".parse().unwrap()),
        return_path: "bounces@shop.example.org".parse().unwrap(),
        to: "ines.ferro@example.com".parse().unwrap(),
        name: "Inês Ferro".into(),
        digest: message_digest(&["one/two/annual/1/2027-04-09/upcoming/45"]),
        kind,
        date: "2027-01-24T09:00:00Z".parse().unwrap(),
        unsubscribe: Some("https://shop.example.org/my/3f/no-upkeep".into()),
    }
}
