//! How to treat what was coated: in its first days, at its first washes, through the seasons.
//!
//! Days come from the cure of the coats. What never to do, how to wash and what a season asks for is common practice
//! of the trade; the texts say that data sheets stand above it.

use super::Pen;
use crate::language::{Language, Said, said};
use crate::mail::body::Block;
use crate::mail::said::{AftercareText, FirstLookText, Season, SeasonText, WashFromText};

pub(super) fn aftercare_subject(language: Language, care: &AftercareText) -> (&'static str, Said) {
    ("mail-aftercare-subject", said!["vehicle" => &care.vehicle, "date" => language.date(care.on)])
}

pub(super) fn wash_from_subject(language: Language, wash: &WashFromText) -> (&'static str, Said) {
    ("mail-wash-from-subject", said!["vehicle" => &wash.vehicle, "date" => language.date(wash.from)])
}

pub(super) fn first_look_subject(language: Language, look: &FirstLookText) -> (&'static str, Said) {
    ("mail-first-look-subject", said!["vehicle" => &look.vehicle, "date" => language.date(look.handed_over)])
}

pub(super) fn season_subject(language: Language, season: &SeasonText) -> (&'static str, Said) {
    let id = match season.season {
        Season::Winter => "mail-winter-subject",
        Season::Spring => "mail-spring-subject",
    };
    (id, said!["vehicle" => &season.vehicle, "date" => language.date(season.on)])
}

impl Pen {
    pub(super) fn aftercare(&mut self, care: &AftercareText) {
        let language = self.language;
        self.paragraph("mail-aftercare", &said![]);
        let or_ask = |text: Option<String>| text.unwrap_or_else(|| language.word("mail-ask-us-first"));
        let dry =
            (language.word("mail-fact-keep-dry"), or_ask(care.keep_dry_until.map(|at| language.moment(at))));
        let mut facts = vec![
            dry,
            (language.word("mail-fact-first-wash"), or_ask(care.first_wash.map(|day| language.date(day)))),
            (language.word("mail-fact-full-cure"), or_ask(care.full_cure.map(|day| language.date(day)))),
        ];
        if care.takes_water {
            facts.remove(0);
        }
        self.blocks.push(Block::Facts(facts));
        self.paragraph("mail-aftercare-until-then", &said![]);
        let all = [
            "mail-aftercare-dry",
            "mail-aftercare-droppings",
            "mail-aftercare-no-brushes",
            "mail-aftercare-no-heat",
            "mail-aftercare-no-polish",
        ];
        self.list(&all[usize::from(care.takes_water)..]);
        let known = care.keep_dry_until.is_some() || care.first_wash.is_some() || care.full_cure.is_some();
        self.paragraph(if known { "mail-aftercare-estimates" } else { "mail-care-sheets-above" }, &said![]);
    }

    pub(super) fn wash_from(&mut self, wash: &WashFromText) {
        let language = self.language;
        let said =
            said!["from" => language.date(wash.from), "handed-over" => language.date(wash.handed_over)];
        self.paragraph("mail-wash-from", &said);
        self.paragraph("mail-wash-how", &said![]);
        self.list(&[
            "mail-wash-cool",
            "mail-wash-rinse",
            "mail-wash-buckets",
            "mail-wash-wheels",
            "mail-wash-dry",
            "mail-wash-no-brushes",
        ]);
        self.paragraph("mail-care-sheets-above", &said![]);
    }

    pub(super) fn first_look(&mut self, look: &FirstLookText) {
        let handed_over = self.language.date(look.handed_over);
        self.paragraph("mail-first-look", &said!["handed-over" => handed_over]);
        self.paragraph("mail-first-look-bring", &said![]);
    }

    pub(super) fn season(&mut self, season: &SeasonText) {
        match season.season {
            Season::Winter => {
                self.paragraph("mail-winter", &said![]);
                self.list(&[
                    "mail-winter-salt",
                    "mail-winter-frost",
                    "mail-winter-ice",
                    "mail-winter-hot-water",
                ]);
            }
            Season::Spring => {
                self.paragraph("mail-spring", &said![]);
                self.list(&[
                    "mail-spring-wash",
                    "mail-spring-wheels",
                    "mail-spring-pollen",
                    "mail-spring-look",
                ]);
            }
        }
        self.paragraph("mail-care-sheets-above", &said![]);
        self.next(&season.next);
    }
}
