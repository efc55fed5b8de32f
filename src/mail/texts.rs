//! What owners are told: the trade's words, the terms' own words for what a miss costs, one action a mail.
//!
//! What is said stands in `src/language/texts/*/mail.ftl`; here is in which order, and when. Days are named, never
//! counted ("by 9 April 2027", not "in 12 days"): a mail that was held up stays true.

mod care;
mod cover;
mod upkeep;
mod work;

use super::body::{Block, as_html, as_text};
use super::said::{Letter, Mail, Section, ShopCard};
use crate::core::words::MailChoice;
use crate::language::{Language, Said, said};

/// Writes a mail; none where there is nothing to say.
pub fn write(mail: &Mail) -> Option<Letter> {
    let language = mail.language;
    let mut sections: Vec<&Section> = mail.sections.iter().collect();
    sections.sort_by_key(|section| section.place());
    let first = *sections.first()?;
    let mut subject = subject_of(language, first);
    if sections.len() > 1 {
        let said = said!["subject" => subject, "count" => sections.len() - 1];
        subject = language.say("mail-subject-more", &said);
    }
    if mail.drill {
        subject = language.say("mail-subject-drill", &said!["subject" => subject]);
    }

    let mut pen = Pen { language, blocks: Vec::new() };
    if mail.drill {
        pen.notice("mail-drill", &said![]);
    }
    pen.paragraph("mail-greeting", &said!["name" => &mail.owner]);
    for section in &sections {
        pen.blocks.push(Block::Heading(subject_of(language, section)));
        pen.section(section);
    }
    pen.sheets(&sections);
    if sections.iter().any(|section| speaks_of_terms(section)) {
        pen.paragraph("mail-consumer-law", &said![]);
    }
    match &mail.action {
        Some(action) => {
            let label = language.word(action.does.text());
            pen.blocks.push(Block::Action { label, url: action.url.clone() });
        }
        None => pen.reach(&mail.shop, first),
    }
    pen.blocks.push(Block::Lines(vec![language.word("mail-regards"), mail.shop.name.clone()]));
    pen.footer(mail);
    Some(Letter {
        language,
        text: as_text(language, &pen.blocks),
        html: as_html(language, &subject, &pen.blocks),
        subject,
        attachments: Vec::new(),
    })
}

/// The subject of a mail about this alone: vehicle, what, date.
pub fn subject_of(language: Language, section: &Section) -> String {
    let (id, said) = match section {
        Section::Missed(missed) => upkeep::missed_subject(language, missed),
        Section::LastCall(due) => upkeep::last_call_subject(language, due),
        Section::Upcoming(due) => upkeep::upcoming_subject(language, due),
        Section::Booked(booked) => upkeep::booked_subject(language, booked),
        Section::Season(season) => care::season_subject(language, season),
        Section::Aftercare(care) => care::aftercare_subject(language, care),
        Section::WashFrom(wash) => care::wash_from_subject(language, wash),
        Section::FirstLook(look) => care::first_look_subject(language, look),
        Section::Record(record) => work::subject(language, record),
        Section::Ending(ending) => cover::ending_subject(language, ending),
        Section::Changed(changed) => cover::changed_subject(language, changed),
        Section::Link(link) => cover::link_subject(link),
    };
    language.say(id, &said)
}

/// The mail by which whoever runs the service sees that mails arrive. In English, as all that the command line says.
pub fn trial_letter(public_url: &str) -> Letter {
    let (language, subject) = (Language::English, "Lustrum: test mail".to_owned());
    let blocks = [
        Block::Heading(subject.clone()),
        Block::Paragraph(
            "`lustrum check --mail` sent this. It arrived: mails go out as they are set up.".into(),
        ),
        Block::Paragraph(
            "Look at its headers: the receiving server should say spf=pass, dkim=pass and dmarc=pass.".into(),
        ),
        Block::Link { label: "The service is set up to be reached here".into(), url: public_url.to_owned() },
    ];
    Letter {
        language,
        text: as_text(language, &blocks),
        html: as_html(language, &subject, &blocks),
        subject,
        attachments: Vec::new(),
    }
}

/// Whether the law that stands above the terms is to be named.
fn speaks_of_terms(section: &Section) -> bool {
    match section {
        Section::Record(record) => record.warranty.is_some(),
        Section::Ending(_) | Section::Changed(_) => true,
        _ => false,
    }
}

/// What a mail is written with: one text after another, all in its language.
struct Pen {
    language: Language,
    blocks: Vec<Block>,
}

impl Pen {
    fn section(&mut self, section: &Section) {
        match section {
            Section::Missed(missed) => self.missed(missed),
            Section::LastCall(due) => self.last_call(due),
            Section::Upcoming(due) => self.upcoming(due),
            Section::Booked(booked) => self.booked(booked),
            Section::Season(season) => self.season(season),
            Section::Aftercare(care) => self.aftercare(care),
            Section::WashFrom(wash) => self.wash_from(wash),
            Section::FirstLook(look) => self.first_look(look),
            Section::Record(record) => self.record(record),
            Section::Ending(ending) => self.ending(ending),
            Section::Changed(changed) => self.changed(changed),
            Section::Link(link) => self.link(link),
        }
    }

    fn say(&self, id: &str, said: &Said) -> String {
        self.language.say(id, said)
    }

    fn paragraph(&mut self, id: &str, said: &Said) {
        self.blocks.push(Block::Paragraph(self.say(id, said)));
    }

    /// A paragraph of several whole sentences.
    fn sentences(&mut self, sentences: &[String]) {
        self.blocks.push(Block::Paragraph(sentences.join(" ")));
    }

    fn notice(&mut self, id: &str, said: &Said) {
        self.blocks.push(Block::Notice(self.say(id, said)));
    }

    fn list(&mut self, ids: &[&str]) {
        self.blocks.push(Block::List(ids.iter().map(|id| self.language.word(id)).collect()));
    }

    /// What to do from here, where no link does it.
    fn reach(&mut self, shop: &ShopCard, first: &Section) {
        let what = match first {
            Section::Missed(_) | Section::LastCall(_) | Section::Upcoming(_) | Section::FirstLook(_) => "day",
            Section::Changed(changed) if changed.asks_for_a_day() => "day",
            Section::Booked(_) => "booking",
            _ => "question",
        };
        match &shop.phone {
            Some(phone) => self.paragraph("mail-reach-by-phone", &said!["what" => what, "phone" => phone]),
            None => self.paragraph("mail-reach", &said!["what" => what]),
        }
    }

    fn footer(&mut self, mail: &Mail) {
        let card = [Some(&mail.shop.name), mail.shop.address.as_ref(), mail.shop.phone.as_ref()];
        let card: Vec<&str> = card.into_iter().flatten().map(String::as_str).collect();
        self.blocks.push(Block::Footer(card.join(" · ")));
        if let Some((choice, url)) = &mail.unsubscribe {
            let label = self.language.word(match choice {
                MailChoice::Upkeep => "mail-no-upkeep",
                MailChoice::History => "mail-no-history",
            });
            self.blocks.push(Block::Link { label, url: url.clone() });
        }
    }
}
