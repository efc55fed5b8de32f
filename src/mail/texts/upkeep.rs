//! What falls due, what was missed, and what is booked.

use super::Pen;
use crate::core::terms::{Consequence, Rank};
use crate::core::words::OdometerUnit;
use crate::language::{Language, Said, said};
use crate::mail::body::Block;
use crate::mail::said::{BookedText, DueText, MissedText, NextText};

pub(super) fn upcoming_subject(language: Language, due: &DueText) -> (&'static str, Said) {
    ("mail-upcoming-subject", about(language, due).with("date", language.date(due.due)))
}

pub(super) fn last_call_subject(language: Language, due: &DueText) -> (&'static str, Said) {
    ("mail-last-call-subject", about(language, due).with("date", language.date(due.closes)))
}

pub(super) fn missed_subject(language: Language, missed: &MissedText) -> (&'static str, Said) {
    ("mail-missed-subject", about(language, &missed.due).with("date", language.date(missed.since)))
}

pub(super) fn booked_subject(language: Language, booked: &BookedText) -> (&'static str, Said) {
    let id = if booked.again { "mail-booked-again-subject" } else { "mail-booked-subject" };
    (id, said!["vehicle" => &booked.vehicle, "date" => language.date(booked.on)])
}

fn about(language: Language, due: &DueText) -> Said {
    said!["vehicle" => &due.vehicle, "services" => language.any_service(&due.services)]
}

/// Who has to do something, as the texts choose by it.
const fn word_of(by: Rank) -> &'static str {
    match by {
        Rank::Owner => "owner",
        Rank::Shop => "shop",
        Rank::Accredited => "accredited",
    }
}

impl Pen {
    pub(super) fn upcoming(&mut self, due: &DueText) {
        let keeps =
            self.say("mail-upcoming-keeps", &said!["surfaces" => self.language.surfaces(&due.surfaces)]);
        self.sentences(&[keeps, self.who(due)]);
        self.window(due);
        let if_missed = self.if_missed(due);
        self.blocks.push(Block::Paragraph(if_missed));
    }

    pub(super) fn last_call(&mut self, due: &DueText) {
        let what = said![
            "services" => self.language.any_service(&due.services),
            "closes" => self.language.date(due.closes),
        ];
        self.sentences(&[self.say("mail-last-call-open", &what), self.who(due)]);
        let if_missed = self.if_missed(due);
        self.blocks.push(Block::Notice(if_missed));
        self.window(due);
    }

    pub(super) fn missed(&mut self, missed: &MissedText) {
        let due = &missed.due;
        let said = said![
            "services" => self.language.any_service(&due.services),
            "since" => self.language.date(missed.since),
        ];
        match due.closes_km {
            // Missed before its window closed: by distance.
            Some(km) if missed.since <= due.closes => {
                self.paragraph("mail-missed-by-distance", &said.with("distance", self.distance(km)));
            }
            _ => self.paragraph("mail-missed-by-day", &said.with("closes", self.language.date(due.closes))),
        }
        let cost = self.cost(missed);
        let terms = self.clause(due);
        self.blocks.push(Block::Notice(format!("{cost} ({terms})")));
        self.paragraph("mail-missed-if-done", &said![]);
    }

    /// What a miss cost.
    fn cost(&self, missed: &MissedText) -> String {
        let due = &missed.due;
        let surfaces = said!["surfaces" => self.language.surfaces(&due.surfaces)];
        match &due.if_missed {
            Consequence::Note => self.say("mail-cost-note", &said![]),
            Consequence::End => self.say("mail-cost-end", &surfaces),
            Consequence::Shorten(off) => {
                self.say("mail-cost-shorten", &surfaces.with("period", self.language.period(*off)))
            }
            Consequence::Suspend { with, by, .. } => {
                let since = self.language.date(missed.since);
                let held = surfaces.with("since", since).with("with", self.language.any_service(with));
                let held = self.say("mail-cost-suspend", &held.with("by", word_of(*by)));
                let until = missed.make_good_until.map(|day| self.language.date(day));
                let until = until.map(|until| self.say("mail-cost-suspend-until", &said!["until" => until]));
                [Some(held), until].into_iter().flatten().collect::<Vec<_>>().join(" ")
            }
        }
    }

    /// What a miss would do.
    fn if_missed(&self, due: &DueText) -> String {
        let surfaces = said!["surfaces" => self.language.surfaces(&due.surfaces)];
        match &due.if_missed {
            Consequence::Note => self.say("mail-if-missed-note", &said![]),
            Consequence::End => self.say("mail-if-missed-end", &surfaces),
            Consequence::Shorten(off) => {
                self.say("mail-if-missed-shorten", &surfaces.with("period", self.language.period(*off)))
            }
            Consequence::Suspend { make_good_within, with, by } => {
                let held = surfaces.with("with", self.language.any_service(with)).with("by", word_of(*by));
                let held = self.say("mail-if-missed-suspend", &held);
                let within = make_good_within.map(|within| self.language.period(within));
                let within = within
                    .map(|period| self.say("mail-if-missed-suspend-within", &said!["period" => period]));
                [Some(held), within].into_iter().flatten().collect::<Vec<_>>().join(" ")
            }
        }
    }

    fn who(&self, due: &DueText) -> String {
        self.say("mail-who", &said!["by" => word_of(due.by)])
    }

    /// The window of a due, as facts.
    fn window(&mut self, due: &DueText) {
        let language = self.language;
        let services = language.capital(&language.any_service(&due.services));
        let mut facts = vec![
            (language.word("mail-fact-what"), services),
            (language.word("mail-fact-due"), language.date(due.due)),
            (language.word("mail-fact-from"), language.date(due.opens)),
            (language.word("mail-fact-until"), language.date(due.closes)),
        ];
        facts.extend(due.closes_km.map(|km| (language.word("mail-fact-distance"), self.distance(km))));
        let (title, clause) = &due.terms;
        let terms = self.say("mail-clause", &said!["title" => title, "clause" => clause]);
        facts.push((language.word("mail-fact-terms"), terms));
        self.blocks.push(Block::Facts(facts));
    }

    /// By which terms, and which clause of them.
    fn clause(&self, due: &DueText) -> String {
        let (title, clause) = &due.terms;
        let clause = self.say("mail-clause", &said!["title" => title, "clause" => clause]);
        self.say("mail-by-terms", &said!["clause" => clause])
    }

    pub(super) fn distance(&self, km: u32) -> String {
        self.language.distance(km, OdometerUnit::Km)
    }

    /// What falls due next, as a list with its own line before it; nothing where nothing does.
    pub(super) fn next(&mut self, next: &[NextText]) {
        if next.is_empty() {
            return;
        }
        self.paragraph("mail-next", &said![]);
        let language = self.language;
        let line = |next: &NextText| {
            let said = said![
                "services" => language.any_service(&next.services),
                "due" => language.date(next.due),
                "opens" => language.date(next.opens),
                "closes" => language.date(next.closes),
            ];
            language.capital(&language.say("mail-next-line", &said))
        };
        self.blocks.push(Block::List(next.iter().map(line).collect()));
    }

    pub(super) fn booked(&mut self, booked: &BookedText) {
        let language = self.language;
        self.paragraph(if booked.again { "mail-booked-again" } else { "mail-booked" }, &said![]);
        let day = match booked.at {
            Some(time) => language.moment(booked.on.date().and_time(time)),
            None => language.date(booked.on),
        };
        let mut facts = vec![(language.word("mail-fact-day"), day)];
        if !booked.services.is_empty() {
            let services: Vec<String> = booked.services.iter().map(|word| language.service(word)).collect();
            facts.push((language.word("mail-fact-what"), language.capital(&language.all_of(&services))));
        }
        facts.extend(booked.place.clone().map(|place| (language.word("mail-fact-place"), place)));
        self.blocks.push(Block::Facts(facts));
        self.paragraph("mail-booked-calendar", &said![]);
    }
}
