//! The certificate of a warranty: in each language and size, with names of every script, and byte by byte the same.

use chrono::NaiveDate;
use lustrum::core::ids::Digest;
use lustrum::core::terms::Terms;
use lustrum::core::words::{NamedPanel, OdometerUnit, PaperSize, Surface};
use lustrum::documents::VehicleOnPaper;
use lustrum::documents::certificate::{Certificate, Covered, Seal, Standing};
use lustrum::language::Language;

use super::{kept, printed, setting, terms, whole_terms};
use crate::support::papers::{claims, holds_what_it_claims, read_pdf, text_of};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub(super) fn certificate(terms: &Terms, language: Language) -> Certificate<'_> {
    use NamedPanel::{
        Bonnet, Boot, FrontBumper, FrontLeftDoor, FrontLeftWheel, FrontRightDoor, FrontRightWheel,
        RearWindow, Roof, Windscreen,
    };
    let panels = |named: &[NamedPanel]| named.iter().map(|panel| (*panel).into()).collect::<Vec<_>>();
    let covered = |surface, last: &str, up_to_km, on: &[NamedPanel], out: &[NamedPanel]| Covered {
        surface,
        last_day: day(last),
        up_to_km,
        panels: panels(on),
        excluded: panels(out),
    };
    Certificate {
        setting: setting(language, PaperSize::A4),
        number: "W-2026-0042".into(),
        job: "J-2026-0057".into(),
        issued: day("2026-03-10"),
        customer: Some("Ada Ferro".into()),
        vehicle: VehicleOnPaper {
            title: "Corvina Estate 2026 night blue".into(),
            vin: Some("1M8GDM9AXKP042788".into()),
            plate: Some("QC-417".into()),
        },
        unit: OdometerUnit::Km,
        start: day("2026-03-10"),
        start_km: 412,
        terms,
        terms_digest: Digest::of(b"terms"),
        cover: vec![
            covered(
                Surface::Paint,
                "2031-03-10",
                Some(120_000),
                &[Bonnet, Roof, Boot, FrontBumper, FrontLeftDoor, FrontRightDoor],
                &[NamedPanel::RearBumper],
            ),
            covered(Surface::Glass, "2027-09-10", None, &[Windscreen, RearWindow], &[]),
            covered(Surface::Wheels, "2028-03-10", None, &[FrontLeftWheel, FrontRightWheel], &[]),
        ],
        standing: Standing::Issued,
        verify: "https://lustrum.quayside.example/verify/ABCDEFGHJKLMNPQRSTUV".into(),
        code: "ABCDEFGHJKLMNPQRSTUV".into(),
        keys: "https://lustrum.quayside.example/.well-known/jwks.json".into(),
        seal: Some(Seal { seq: 118, digest: Digest::of(b"record") }),
    }
}

#[test]
fn a_certificate_holds_what_it_claims_in_every_language() {
    let terms = terms(&whole_terms());
    for language in Language::ALL.iter().copied() {
        let printed = printed(&certificate(&terms, language).paper());
        assert_eq!(printed.falls_short, None);
        kept(&format!("certificate-{language}"), &printed);
        let read = read_pdf(&printed.bytes);
        holds_what_it_claims(&read, language.as_str());
        assert_eq!(read["sizes_mm"][0], serde_json::json!([210, 297]));
        assert_eq!(
            read["codes"],
            serde_json::json!(["https://lustrum.quayside.example/verify/ABCDEFGHJKLMNPQRSTUV"])
        );
        let text = text_of(&read);
        for said in [
            "Ada Ferro",
            "1M8GDM9AXKP042788",
            "QC-417",
            "W-2026-0042",
            "Quayside Coatings",
            "ABCD EFGH JKLM NPQR STUV",
        ] {
            assert!(text.contains(said), "{said} in {text}");
        }
    }
}

#[test]
fn cover_is_told_by_surface_and_panel_with_last_days_and_distances() {
    let document = whole_terms();
    let terms = terms(&document);
    let text = text_of(&read_pdf(&printed(&certificate(&terms, Language::English).paper()).bytes));
    let told = [
        "Cover begins on 10 March 2026 with the odometer at 412 km.",
        "Paint Bonnet, roof, boot, front bumper, front left door, front right door 10 March 2031 120,000 km from the start",
        "Glass Windscreen, rear window 10 September 2027 no limit",
        "Panels left out (paint): rear bumper",
        "Stone chips",
        "Inspection or reconditioning",
        "An interval of 1 year, counted from the start of cover",
        "From 60 days before the due day until 30 days after it",
        "A shop that tidewater-guild has accredited",
        "Miss 1: Cover is on hold. It is back in force once made good within 60 days by reconditioning",
        "Miss 2: Cover ends 6 months earlier.",
        "Miss 3 and every one after: Cover ends.",
        "An interval of 6 weeks, counted from the last time, or after 3,000 km, whichever comes first",
        "24 March 2026",
        "It is noted. Cover stays as it is.",
        "Abrasive wash: Cover is on hold.",
        "Polished elsewhere (paint): It is noted.",
        "to 2 owners in all",
        "Tell the shop of the sale within 30 days.",
        "coated again within 90 days",
        "Wash by hand with a soft mitt.",
        "Tell Quayside Coatings within 30 days after you notice a fault.",
        "118",
    ];
    for said in told {
        assert!(text.contains(said), "{said:?} in {text}");
    }
    // In the order in which it is read.
    let places: Vec<usize> = [
        "Five winters",
        "1M8GDM9AXKP042788",
        "What is covered",
        "What is not covered",
        "How to make a claim",
        "Your rights",
        "Proof",
    ]
    .map(|heading| text.find(heading).unwrap_or_else(|| panic!("{heading}")))
    .to_vec();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn an_odometer_that_counts_miles_is_told_in_miles() {
    let terms = terms(&whole_terms());
    let mut values = certificate(&terms, Language::English);
    values.unit = OdometerUnit::Mi;
    values.setting.size = PaperSize::Letter;
    let printed = printed(&values.paper());
    kept("certificate-letter", &printed);
    let read = read_pdf(&printed.bytes);
    holds_what_it_claims(&read, "en");
    assert_eq!(read["sizes_mm"][0], serde_json::json!([216, 279]));
    assert!(text_of(&read).contains("74,565 mi (120,000 km) from the start"), "{}", text_of(&read));
}

#[test]
fn a_void_and_a_replaced_warranty_say_so_first() {
    let terms = terms(&whole_terms());
    let told = |standing: Standing| {
        let mut values = certificate(&terms, Language::English);
        values.standing = standing;
        let printed = printed(&values.paper());
        kept("certificate-void", &printed);
        text_of(&read_pdf(&printed.bytes))
    };
    let void = told(Standing::Void(day("2026-04-02")));
    assert!(void.contains("This warranty is void It was issued in error, and covers nothing. It has been void since 2 April 2026."), "{void}");
    assert!(void.find("is void") < void.find("What is covered"));
    let replaced = told(Standing::Replaced("W-2026-0043".into()));
    assert!(replaced.contains("Warranty W-2026-0043 has taken its place."), "{replaced}");
    assert!(!told(Standing::Issued).contains("void"));
}

#[test]
fn names_of_every_script_stand_as_they_are_written() {
    let terms = terms(&whole_terms());
    let long = "Wilhelmine Katharina Freifrau von und zu Hohenstein-Ehrenfels-Wallmoden-Langwerth";
    for name in [
        long,
        "Zażółć Gęślą-Jaźń",
        "Ὀδυσσεύς Παπαδόπουλος",
        "Юлия Щёголева-Їжакевич",
        "Đặng Thị Ngọc",
        "Şişli Öğüt",
    ] {
        let mut values = certificate(&terms, Language::German);
        values.customer = Some(name.into());
        let printed = printed(&values.paper());
        assert_eq!(printed.falls_short, None, "{name}");
        let read = read_pdf(&printed.bytes);
        holds_what_it_claims(&read, "de");
        assert!(has(&text_of(&read), name), "{name} in {}", text_of(&read));
    }
}

#[test]
fn a_character_that_no_font_has_costs_the_claim_but_not_the_document() {
    let terms = terms(&whole_terms());
    for (name, missing) in [("Ada 🦊 Ferro", "U+1F98A"), ("Ada \u{E000} Ferro", "U+E000")] {
        let mut values = certificate(&terms, Language::English);
        values.customer = Some(name.into());
        let printed = printed(&values.paper());
        let why = printed.falls_short.as_deref().unwrap();
        assert!(why.contains(missing), "{why}");
        let read = read_pdf(&printed.bytes);
        assert!(!claims(&read));
        assert!(text_of(&read).contains("1M8GDM9AXKP042788"));
        assert_eq!(
            (&read["marked"], &read["language"]),
            (&serde_json::json!(true), &serde_json::json!("en"))
        );
    }
}

#[test]
fn what_people_are_called_means_nothing_to_the_press() {
    let terms = terms(&whole_terms());
    let evil = "#panic(\"x\") *b* _i_ $x^2$ `c` <l> @r \\ // [y] #read(\"/values.json\") = H";
    let mut values = certificate(&terms, Language::English);
    values.customer = Some(evil.into());
    values.vehicle.title = "#{ while true {} }".into();
    values.setting.shop.name = "= Shop #sys.version -- ~ & \"q\" </svg>".into();
    let read = read_pdf(&printed(&values.paper()).bytes);
    holds_what_it_claims(&read, "en");
    let text = text_of(&read);
    for said in [evil, "#{ while true {} }", "= Shop #sys.version -- ~ & \"q\" </svg>"] {
        assert!(has(&text, said), "{said} in {text}");
    }
}

/// Whether a text has another in it, wherever its lines end.
fn has(text: &str, said: &str) -> bool {
    // A hyphen at the end of a line is not told from one that parts a word.
    text.replace([' ', '-'], "").contains(&said.replace([' ', '-'], ""))
}

#[test]
fn the_same_values_give_the_same_bytes() {
    let terms = terms(&whole_terms());
    let first = printed(&certificate(&terms, Language::French).paper());
    // Something else in between, and at the same time.
    let others: Vec<_> = Language::ALL
        .iter()
        .map(|language| {
            let document = whole_terms();
            std::thread::spawn(move || {
                printed(&certificate(&super::terms(&document), *language).paper()).bytes
            })
        })
        .collect();
    let others: Vec<Vec<u8>> = others.into_iter().map(|other| other.join().unwrap()).collect();
    assert_eq!(printed(&certificate(&terms, Language::French).paper()), first);
    assert!(others.contains(&first.bytes));
    let read = read_pdf(&first.bytes);
    assert_eq!(
        read["info"]["/CreationDate"], "D:20260310163000Z",
        "the date that it was given, not that of the machine"
    );
    let mut later = certificate(&terms, Language::French);
    later.customer = None;
    assert_ne!(printed(&later.paper()).bytes, first.bytes);
}
