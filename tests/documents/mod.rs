//! Documents on paper, from values: what they say, what they claim, and that both hold. All names are invented.

mod certificate;
mod laws;
mod press;
mod small;

use chrono::{DateTime, Utc};
use lustrum::core::terms::Terms;
use lustrum::core::words::PaperSize;
use lustrum::documents::ShopOnPaper;
use lustrum::documents::paper::{Paper, Setting};
use lustrum::documents::press::{Press, Printed, Template};
use lustrum::language::Language;
use serde_json::{Value, json};

/// A shop with everything that can stand at the head of a document.
fn setting(language: Language, size: PaperSize) -> Setting {
    Setting {
        language,
        size,
        shop: ShopOnPaper {
            name: "Quayside Coatings".into(),
            address: Some("Rua das Gaivotas 7\n1200-202 Lisboa".into()),
            phone: Some("+351 21 000 00 00".into()),
            email: Some("desk@quayside.example".into()),
        },
        made_at: at("2026-03-10T16:30:00Z"),
    }
}

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// Terms that say all that terms can say.
fn whole_terms() -> Value {
    json!({
        "terms": "lustrum-terms/1", "code": "five-winters", "edition": 3, "title": "Five winters",
        "issuer": "tidewater-guild",
        "cover": [{"surface": "paint", "lasts": {"years": 5}, "up_to_km": 120_000},
                  {"surface": "glass", "lasts": {"months": 18}}, {"surface": "wheels", "lasts": {"years": 2}}],
        "upkeep": [
            {"key": "annual", "service": ["inspection", "reconditioning"], "by": "accredited", "counted_from": "start",
             "every": {"years": 1}, "early": {"days": 60}, "late": {"days": 30},
             "if_missed": [{"effect": "suspend", "make_good_within": {"days": 60}, "with": "reconditioning"},
                           {"effect": "shorten", "take_off": {"months": 6}}, {"effect": "end"}]},
            {"key": "wash", "service": "maintenance wash", "counted_from": "last", "first_after": {"days": 14},
             "every": {"weeks": 6}, "late": {"weeks": 2}, "every_km": 3000, "late_km": 500, "surfaces": ["paint"],
             "if_missed": {"effect": "note"}},
            {"key": "first", "service": "first wash", "by": "shop", "counted_from": "start", "first_after": {"weeks": 2},
             "times": 1, "early": {"days": 3}, "if_missed": {"effect": "suspend", "with": "reconditioning", "by": "shop"}}],
        "breaches": [{"key": "abrasive-wash", "effect": "suspend", "with": "reconditioning", "make_good_within": {"days": 30}},
                     {"key": "polished-elsewhere", "surfaces": ["paint"], "effect": "note"}],
        "transfer": {"allowed": true, "tell_within": {"days": 30}, "inspect_within": {"days": 45}, "owners": 2},
        "repair": {"restores": true, "recoat_within": {"days": 90}},
        "entry_within": {"days": 7}, "claims": {"report_within": {"days": 30}},
        "wording": {
            "en": {"excludes": ["Stone chips", "Damage by accident"], "care": ["Wash by hand with a soft mitt."],
                   "remedy": "We coat the panel anew, free of charge: material and work. A replacement vehicle is not paid for.",
                   "how_to_claim": "Bring the vehicle to us; we look at it within ten working days.",
                   "law": "These terms are governed by the law of the country in which you live."},
            "de": {"excludes": ["Steinschläge", "Unfallschäden"], "care": ["Von Hand mit weichem Handschuh waschen."],
                   "remedy": "Wir beschichten das Teil neu, unentgeltlich: Material und Arbeit.",
                   "how_to_claim": "Bringen Sie das Fahrzeug zu uns; wir sehen es binnen zehn Werktagen an.",
                   "law": "Es gilt das Recht des Landes, in dem Sie leben."}},
    })
}

fn terms(document: &Value) -> Terms {
    Terms::parse(document.to_string().as_bytes()).unwrap()
}

fn printed(paper: &Paper) -> Printed {
    Press::default().print(paper, Template::Pages).unwrap()
}

/// Keeps a document where somebody can look at it.
fn kept(name: &str, printed: &Printed) {
    crate::support::papers::kept(name, &printed.bytes);
}
