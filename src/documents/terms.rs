//! What terms ask for, in plain words.

use super::distance;
use crate::core::calendar::Day;
use crate::core::terms::{Consequence, CountedFrom, Rank, Terms, Upkeep};
use crate::core::words::OdometerUnit;
use crate::language::{Language, said};

/// Terms told to an owner in a language.
pub(super) struct Told<'a> {
    pub(super) language: Language,
    pub(super) terms: &'a Terms,
    /// Whose terms they are.
    pub(super) issuer: &'a str,
    /// The first day of cover.
    pub(super) start: Day,
    pub(super) unit: OdometerUnit,
}

impl Told<'_> {
    fn by(&self, rank: Rank) -> String {
        match rank {
            Rank::Owner => self.language.word("terms-by-owner"),
            Rank::Shop => self.language.word("terms-by-shop"),
            Rank::Accredited => self.language.say("terms-by-accredited", &said!["issuer" => self.issuer]),
        }
    }

    /// The services of a rule as a heading.
    pub(super) fn name(&self, rule: &Upkeep) -> String {
        self.language.capital(&self.language.any_service(&rule.services))
    }

    /// A rule: when, within what window, by whom, on what, and what a miss costs.
    pub(super) fn rule(&self, rule: &Upkeep) -> Vec<(String, String)> {
        let language = self.language;
        let label = |id: &str| language.word(id);
        let mut pairs = vec![(label("terms-when"), self.when(rule))];
        if let Some(first) = rule.first_after.or(rule.every) {
            pairs.push((label("terms-first"), language.date(first.after(self.start))));
        }
        if let Some(window) = self.window(rule) {
            pairs.push((label("terms-window"), window));
        }
        pairs.push((label("terms-who"), language.capital(&self.by(rule.by))));
        if let Some(surfaces) = &rule.surfaces {
            let named: Vec<String> = surfaces.iter().map(|word| language.surface_named(word)).collect();
            pairs.push((label("terms-surfaces"), language.capital(&language.all_of(&named))));
        }
        pairs.push((label("terms-missed"), self.misses(rule)));
        pairs
    }

    fn when(&self, rule: &Upkeep) -> String {
        let language = self.language;
        let every = match (rule.every, rule.times) {
            (Some(_), Some(1)) | (None, _) => language.word("terms-once"),
            (Some(every), _) => {
                let id = match rule.counted_from {
                    CountedFrom::Start => "terms-every-start",
                    CountedFrom::Last => "terms-every-last",
                };
                language.say(id, &said!["period" => language.period(every)])
            }
        };
        match rule.every_km {
            Some(km) => {
                let distance = distance(language, km, self.unit);
                language.say("terms-or-distance", &said!["when" => every, "distance" => distance])
            }
            None => every,
        }
    }

    fn window(&self, rule: &Upkeep) -> Option<String> {
        let language = self.language;
        let (early, late) = (language.period(rule.early), language.period(rule.late));
        Some(match (rule.early.is_none(), rule.late.is_none()) {
            (true, true) => return None,
            (false, true) => language.say("terms-window-early", &said!["early" => early]),
            (true, false) => language.say("terms-window-late", &said!["late" => late]),
            (false, false) => language.say("terms-window-both", &said!["early" => early, "late" => late]),
        })
    }

    fn misses(&self, rule: &Upkeep) -> String {
        if let [only] = rule.if_missed.as_slice() {
            return self.consequence(only);
        }
        let last = rule.if_missed.len();
        let step = |(place, consequence): (usize, &Consequence)| {
            let id = if place + 1 == last { "terms-miss-on" } else { "terms-miss" };
            let what = self.consequence(consequence);
            self.language.say(id, &said!["number" => place + 1, "what" => what])
        };
        rule.if_missed.iter().enumerate().map(step).collect::<Vec<_>>().join("\n")
    }

    /// What a miss or a breach does to cover.
    pub(super) fn consequence(&self, consequence: &Consequence) -> String {
        let language = self.language;
        match consequence {
            Consequence::Note => language.word("terms-note"),
            Consequence::End => language.word("terms-end"),
            Consequence::Shorten(period) => {
                language.say("terms-shorten", &said!["period" => language.period(*period)])
            }
            Consequence::Suspend { make_good_within, with, by } => {
                let (services, by) = (language.any_service(with), self.by(*by));
                match make_good_within {
                    None => language.say("terms-suspend", &said!["services" => services, "by" => by]),
                    Some(within) => {
                        let period = language.period(*within);
                        let said = said!["services" => services, "by" => by, "period" => period];
                        language.say("terms-suspend-within", &said)
                    }
                }
            }
        }
    }

    /// What else costs cover, each with what it does.
    pub(super) fn breaches(&self) -> Vec<String> {
        let language = self.language;
        let breaches = self.terms.breaches.iter().map(|breach| {
            let key = language.capital(&breach.key.replace('-', " "));
            let what = self.consequence(&breach.consequence);
            match &breach.surfaces {
                None => language.say("terms-breach", &said!["key" => key, "what" => what]),
                Some(surfaces) => {
                    let named: Vec<String> =
                        surfaces.iter().map(|word| language.surface_named(word)).collect();
                    let said = said!["key" => key, "surfaces" => language.all_of(&named), "what" => what];
                    language.say("terms-breach-on", &said)
                }
            }
        });
        breaches.collect()
    }

    /// Who is covered when the vehicle is sold.
    pub(super) fn transfer(&self) -> Vec<String> {
        let language = self.language;
        let Some(transfer) = &self.terms.transfer else {
            return vec![language.word("terms-transfer-free")];
        };
        if !transfer.allowed || transfer.owners == Some(1) {
            return vec![language.word("terms-transfer-none")];
        }
        let mut lines = vec![match transfer.owners {
            None => language.word("terms-transfer-any"),
            Some(owners) => language.say("terms-transfer-owners", &said!["owners" => owners]),
        }];
        if let Some(within) = transfer.tell_within {
            lines.push(language.say("terms-transfer-tell", &said!["period" => language.period(within)]));
        }
        if let Some(within) = transfer.inspect_within {
            let period = language.period(within);
            let said = said!["period" => period, "by" => self.by(Rank::Accredited)];
            lines.push(language.say("terms-transfer-inspect", &said));
        }
        lines
    }

    /// What becomes of a panel that is repaired.
    pub(super) fn repair(&self) -> String {
        let language = self.language;
        match (self.terms.repair.restores, self.terms.repair.recoat_within) {
            (false, _) => language.word("terms-repair-never"),
            (true, None) => language.word("terms-repair"),
            (true, Some(within)) => {
                language.say("terms-repair-within", &said!["period" => language.period(within)])
            }
        }
    }
}
