//! What was done.

use super::Pen;
use crate::core::words::{Panel, Surface};
use crate::language::{Language, Said, said};
use crate::mail::body::Block;
use crate::mail::said::{After, CoverText, DoerText, DoneText, RecordText, Section};

pub(super) fn subject(language: Language, record: &RecordText) -> (&'static str, Said) {
    let id = match record.after {
        After::Handover if record.warranty.is_none() => "mail-record-handover-subject",
        After::Handover => "mail-record-warranty-subject",
        After::Visit => "mail-record-visit-subject",
        After::Elsewhere => "mail-record-elsewhere-subject",
    };
    (id, said!["vehicle" => &record.vehicle, "date" => language.date(record.on)])
}

/// Products that a section says were used.
fn used(section: &Section) -> &[String] {
    match section {
        Section::Record(record) => &record.products,
        Section::Aftercare(care) => &care.products,
        _ => &[],
    }
}

impl Pen {
    pub(super) fn record(&mut self, record: &RecordText) {
        if !record.done.is_empty() {
            self.blocks.push(Block::List(record.done.iter().map(|done| self.done(done)).collect()));
        }
        if !record.cover.is_empty() {
            match &record.warranty {
                Some(number) => self.paragraph("mail-covered-by", &said!["warranty" => number]),
                None => self.paragraph("mail-covered", &said![]),
            }
            self.cover(&record.cover);
        }
        self.next(&record.next);
        if record.certificate {
            self.paragraph("mail-certificate", &said![]);
        }
        for (id, url) in [("mail-verify", &record.verify), ("mail-history", &record.history)] {
            if let Some(url) = url {
                self.blocks.push(Block::Link { label: self.language.word(id), url: url.clone() });
            }
        }
    }

    /// Where the safety data sheets of what was used can be had; said once, whatever sections name it.
    pub(super) fn sheets(&mut self, sections: &[&Section]) {
        let mut products: Vec<String> = Vec::new();
        for product in sections.iter().flat_map(|section| used(section)) {
            if !products.contains(product) {
                products.push(product.clone());
            }
        }
        if !products.is_empty() {
            self.paragraph("mail-sheets", &said!["products" => self.language.all_of(&products)]);
        }
    }

    /// One thing that was done, as a line.
    fn done(&self, done: &DoneText) -> String {
        let language = self.language;
        let line = match done {
            DoneText::Step { kind, product: None } => language.step(*kind),
            DoneText::Step { kind, product: Some(product) } => {
                self.say("mail-done-step", &said!["step" => language.step(*kind), "product" => product])
            }
            DoneText::Coat { product, surface, panels, batch } => {
                let place = self.place(*surface, panels);
                let said = said!["product" => product, "place" => place, "batch" => batch];
                return self.say("mail-done-coat", &said);
            }
            DoneText::Service { service, by, carried_out } => {
                let service = language.service(service);
                let line = match by {
                    None => service,
                    Some(DoerText::Owner) => self.say("mail-done-by-owner", &said!["service" => service]),
                    Some(DoerText::Named(name)) => {
                        self.say("mail-done-by", &said!["service" => service, "name" => name])
                    }
                };
                if *carried_out { line } else { self.say("mail-done-not", &said!["service" => line]) }
            }
        };
        language.capital(&line)
    }

    /// A surface and the panels of it that are meant.
    pub(super) fn place(&self, surface: Surface, panels: &[Panel]) -> String {
        let surface = self.language.surface(&surface);
        if panels.is_empty() {
            return surface;
        }
        self.say("mail-place", &said!["surface" => surface, "panels" => self.language.panels(panels)])
    }

    /// Cover, surface by surface.
    pub(super) fn cover(&mut self, cover: &[CoverText]) {
        let line = |cover: &CoverText| {
            let said = said![
                "date" => self.language.date(cover.last_day),
                "hold" => if cover.on_hold { "yes" } else { "no" },
            ];
            let until = match cover.up_to_km {
                None => self.say("mail-cover-until", &said),
                Some(km) => self.say("mail-cover-until-or", &said.with("distance", self.distance(km))),
            };
            (self.language.capital(&self.place(cover.surface, &cover.panels)), until)
        };
        let facts = cover.iter().map(line).collect();
        self.blocks.push(Block::Facts(facts));
    }
}
