//! What the law asks a written warranty to say (tests/reference/warranty_law_facts.csv, which names its sources), item by
//! item: each is found in the text of the certificate, or is no matter of a certificate, with the reason.

use lustrum::language::Language;

use super::certificate::certificate;
use super::{printed, terms, whole_terms};
use crate::support::papers::{read_pdf, text_of};

/// Where an item of the law stands.
enum Stands {
    /// These sentences say it.
    Said(&'static [&'static str]),
    /// It asks nothing of a certificate.
    NotHere(&'static str),
}
use Stands::{NotHere, Said};

const ITEMS: &[(&str, Stands)] = &[
    ("US701-0", Said(&["Warranty certificate", "What is covered, and for how long", "Your rights"])),
    ("US701-1", Said(&["If you sell the vehicle", "to 2 owners in all, the first among them"])),
    (
        "US701-2",
        Said(&[
            "Panels covered",
            "Bonnet, roof, boot",
            "What is not covered",
            "Every surface and panel that is not named above",
            "Stone chips",
        ]),
    ),
    (
        "US701-3",
        Said(&[
            "What we do if the coating fails",
            "We coat the panel anew, free of charge: material and work. A replacement vehicle is not paid for.",
        ]),
    ),
    ("US701-4", Said(&["Cover begins on 10 March 2026", "10 March 2031"])),
    (
        "US701-5",
        Said(&[
            "How to make a claim",
            "1. Tell Quayside Coatings within 30 days after you notice a fault.",
            "Work under this warranty is done by Quayside Coatings",
            "Warrantor Quayside Coatings",
            "Rua das Gaivotas 7 1200-202 Lisboa",
            "+351 21 000 00 00",
        ]),
    ),
    ("US701-6", Said(&["You need not go through any dispute settlement procedure"])),
    (
        "US701-7",
        Said(&[
            "This certificate does not limit how long an implied warranty lasts.",
            "some States do not allow limitations on how long an implied warranty lasts",
        ]),
    ),
    (
        "US701-8",
        Said(&[
            "This certificate does not exclude or limit incidental or consequential damages.",
            "some States do not allow the exclusion or limitation of incidental or consequential damages",
        ]),
    ),
    (
        "US701-9",
        Said(&[
            "This warranty gives you specific legal rights, and you may also have other rights which vary from State to State.",
        ]),
    ),
    ("US701-10", Said(&["You need not send back any registration card: cover does not depend on it."])),
    ("US2303-1", Said(&["Limited warranty of Quayside Coatings on the coating of this vehicle"])),
    ("US2303-2", NotHere("the designation stands on every certificate, whatever the coating cost")),
    ("US2303-3", NotHere("a certificate has limits; it is no general policy")),
    ("US2303-4", NotHere("a warranty stands on one edition of terms, and is designated once")),
    ("US2304-1", NotHere("minimum of a full warranty; these are designated limited")),
    ("US2302c-1", NotHere("rule about what terms may ask; `core::terms::cautions` warns who drafts them")),
    ("US2302c-2", NotHere("exception to the rule before")),
    ("US70010-1", Said(&["Done by Anybody, you too", "Done by Any specialist shop"])),
    ("US70010-2", NotHere("about claims that are denied, which a certificate does not do")),
    ("US70010-3", NotHere("reading of the rule before, for eligibility")),
    ("US-svc", NotHere("open question of law; the certificate says all either way")),
    ("EU17-1", Said(&["What you have to do to keep it", "If missed"])),
    (
        "EU17-a",
        Said(&[
            "The law gives you remedies against the seller, free of charge, if goods do not conform to the contract. This warranty does not affect them.",
        ]),
    ),
    ("EU17-b", Said(&["Warrantor Quayside Coatings", "Address Rua das Gaivotas 7 1200-202 Lisboa"])),
    ("EU17-c", Said(&["How to make a claim", "Have this certificate or its number at hand"])),
    ("EU17-d", Said(&["Vehicle Corvina Estate 2026 night blue", "VIN 1M8GDM9AXKP042788"])),
    (
        "EU17-e",
        Said(&["Cover holds wherever the vehicle is.", "10 March 2031", "Terms five-winters, edition 3"]),
    ),
    ("EU17-dur", NotHere("about when and how it is handed over; a PDF that is kept is a durable medium")),
    ("EU17-adv", NotHere("about advertising")),
    ("EU17-3", NotHere("what follows when the form is not kept")),
    ("EU17-durab", NotHere("about producers")),
    ("EU-scope", NotHere("scope of the directive")),
];

#[test]
fn a_certificate_says_what_the_law_asks_of_a_written_warranty() {
    let terms = terms(&whole_terms());
    let text = text_of(&read_pdf(&printed(&certificate(&terms, Language::English).paper()).bytes));
    let mut facts = csv::Reader::from_path("tests/reference/warranty_law_facts.csv").unwrap();
    let listed: Vec<String> = facts.records().map(|row| row.unwrap()[0].to_owned()).collect();
    let answered: Vec<&str> = ITEMS.iter().map(|(id, _)| *id).collect();
    assert_eq!(listed, answered, "every item, in the order of the list");
    for (id, stands) in ITEMS {
        match stands {
            Said(sentences) => {
                for sentence in *sentences {
                    assert!(text.contains(sentence), "{id}: {sentence:?} in {text}");
                }
            }
            NotHere(why) => assert!(why.len() > 10, "{id} says why"),
        }
    }
}

#[test]
fn the_sentence_about_the_rights_of_consumers_stands_in_every_language() {
    let terms = terms(&whole_terms());
    for (language, sentence) in [
        (
            Language::German,
            "Sie in Anspruch zu nehmen ist unentgeltlich. Diese Garantie schränkt sie nicht ein.",
        ),
        (Language::Spanish, "sin coste alguno. Esta garantía no les afecta."),
        (Language::French, "sans frais. Cette garantie n’y porte pas atteinte."),
        (Language::Portuguese, "sem encargos. Esta garantia não os afeta."),
    ] {
        let text = text_of(&read_pdf(&printed(&certificate(&terms, language).paper()).bytes));
        assert!(text.contains(sentence), "{sentence:?} in {text}");
    }
}
