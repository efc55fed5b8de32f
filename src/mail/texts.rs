//! What owners are told, in English: the trade's words, the terms' own words for what a miss costs, one action a mail.
//!
//! Days are named, never counted ("by 9 April 2027", not "in 12 days"): a mail that was held up stays true.

use super::body::{Block, as_html, as_text};
use super::said::{
    After, CoverText, DueText, Letter, Mail, MissedText, NextText, RecordText, Section, ShopCard,
};
use crate::core::calendar::Day;
use crate::core::terms::{Consequence, Rank};
use crate::core::words::MailChoice;

/// Writes a mail; none where there is nothing to say.
pub fn write(mail: &Mail) -> Option<Letter> {
    let mut sections: Vec<&Section> = mail.sections.iter().collect();
    sections.sort_by_key(|section| section.place());
    let first = *sections.first()?;
    let more = match sections.len() {
        1 => String::new(),
        n => format!(" (and {} more)", n - 1),
    };
    let drill = if mail.drill { "[Drill] " } else { "" };
    let subject = format!("{drill}{}{more}", subject_of(first));

    let mut blocks = Vec::new();
    if mail.drill {
        blocks.push(Block::Notice("This mail is part of a drill. Nothing in it is real.".into()));
    }
    blocks.push(Block::Paragraph(format!("Dear {},", mail.owner)));
    for section in &sections {
        match section {
            Section::Missed(missed) => missed_blocks(&mut blocks, missed),
            Section::LastCall(due) => last_call_blocks(&mut blocks, due),
            Section::Upcoming(due) => upcoming_blocks(&mut blocks, due),
            Section::Record(record) => record_blocks(&mut blocks, record),
            Section::Link(link) => blocks.push(Block::Paragraph(format!(
                "You asked for this: to say that {} is sold. The link works once, for {} minutes. If it was not you, leave \
                 it: nothing happens.",
                link.vehicle, link.minutes
            ))),
        }
    }
    blocks.push(match &mail.action {
        Some(action) => Block::Action { label: action.label.clone(), url: action.url.clone() },
        None => Block::Paragraph(reach(&mail.shop, first)),
    });
    blocks.push(Block::Paragraph(format!("Kind regards, {}", mail.shop.name)));
    footer(&mut blocks, mail);
    Some(Letter { text: as_text(&blocks), html: as_html(&subject, "en", &blocks), subject })
}

/// The subject of a mail about this alone: vehicle, what, date.
pub fn subject_of(section: &Section) -> String {
    match section {
        Section::Missed(missed) => format!(
            "{}: {} missed, since {}",
            missed.due.vehicle,
            any_of(&missed.due.services),
            date(missed.since)
        ),
        Section::LastCall(due) => {
            format!("{}: last call for {}, by {}", due.vehicle, any_of(&due.services), date(due.closes))
        }
        Section::Upcoming(due) => {
            format!("{}: {} due on {}", due.vehicle, any_of(&due.services), date(due.due))
        }
        Section::Record(record) => {
            let what = match record.after {
                After::Handover if record.warranty.is_none() => "what we did",
                After::Handover => "what we did, and your warranty",
                After::Visit => "what we did on your visit",
                After::Elsewhere => "done elsewhere, and now on record",
            };
            format!("{}: {what}, {}", record.vehicle, date(record.on))
        }
        Section::Link(link) => format!("{}: confirm that it is sold", link.vehicle),
    }
}

fn upcoming_blocks(blocks: &mut Vec<Block>, due: &DueText) {
    let what = any_of(&due.services);
    blocks.push(Block::Heading(format!("{}: {what} due on {}", due.vehicle, date(due.due))));
    blocks.push(Block::Paragraph(format!(
        "It keeps up the cover on {}. {}",
        all_of(&due.surfaces),
        who(due.by)
    )));
    blocks.push(window(due));
    blocks.push(Block::Paragraph(format!("If it is missed, {}", if_missed(due))));
}

fn last_call_blocks(blocks: &mut Vec<Block>, due: &DueText) {
    let what = any_of(&due.services);
    blocks.push(Block::Heading(format!("{}: last call for {what}, by {}", due.vehicle, date(due.closes))));
    blocks.push(Block::Paragraph(format!(
        "We have no {what} on record for this window yet. The last day on which it counts is {}. {}",
        date(due.closes),
        who(due.by)
    )));
    blocks.push(Block::Notice(format!("If it is missed, {}", if_missed(due))));
    blocks.push(window(due));
}

fn missed_blocks(blocks: &mut Vec<Block>, missed: &MissedText) {
    let due = &missed.due;
    let what = any_of(&due.services);
    blocks.push(Block::Heading(format!("{}: {what} missed", due.vehicle)));
    let limit = match due.closes_km {
        // Missed before its window closed: by distance.
        Some(km) if missed.since <= due.closes => format!("before the vehicle had run {} km", thousands(km)),
        _ => format!("by {}", date(due.closes)),
    };
    blocks.push(Block::Paragraph(format!(
        "We have no {what} on record that was done {limit}. It counts as missed from {}.",
        date(missed.since)
    )));
    let surfaces = all_of(&due.surfaces);
    let cost = match &due.if_missed {
        Consequence::Note => "It is noted. Your cover does not change.".to_owned(),
        Consequence::End => format!("Cover on {surfaces} ended with that."),
        Consequence::Shorten(off) => format!("Cover on {surfaces} ends {off} earlier than it would have."),
        Consequence::Suspend { with, by, .. } => {
            let until = missed.make_good_until.map(|day| {
                format!(" The last day for that is {}; after it, cover ends for good.", date(day))
            });
            format!(
                "Cover on {surfaces} is on hold from {}. It is in force again from the day on which the {} is done{}.{}",
                date(missed.since),
                any_of(with),
                done_by(*by),
                until.unwrap_or_default()
            )
        }
    };
    blocks.push(Block::Notice(format!("{cost} (Terms {})", clause(due))));
    blocks.push(Block::Paragraph(
        "If it was done in time and we have not heard of it, send us the invoice: we will put it right."
            .into(),
    ));
}

fn record_blocks(blocks: &mut Vec<Block>, record: &RecordText) {
    let heading = match record.after {
        After::Handover => format!("{}: what we did, handed over on {}", record.vehicle, date(record.on)),
        After::Visit => format!("{}: what we did on {}", record.vehicle, date(record.on)),
        After::Elsewhere => {
            format!("{}: done elsewhere on {}, and now on record", record.vehicle, date(record.on))
        }
    };
    blocks.push(Block::Heading(heading));
    blocks.push(Block::List(record.done.clone()));
    if !record.cover.is_empty() {
        let of = record.warranty.as_ref().map(|number| format!(" by warranty {number}")).unwrap_or_default();
        blocks.push(Block::Paragraph(format!("What is covered{of}:")));
        let line = |cover: &CoverText| {
            let panels = if cover.panels.is_empty() {
                String::new()
            } else {
                format!(" ({})", cover.panels.join(", "))
            };
            let km = cover
                .up_to_km
                .map(|km| format!(", or {} km from the start, whichever comes first", thousands(km)));
            (
                format!("{}{panels}", capital(&cover.surface)),
                format!(
                    "{}until {}{}",
                    if cover.on_hold { "on hold; " } else { "" },
                    date(cover.last_day),
                    km.unwrap_or_default()
                ),
            )
        };
        blocks.push(Block::Facts(record.cover.iter().map(line).collect()));
    }
    if !record.next.is_empty() {
        blocks.push(Block::Paragraph("What falls due next:".into()));
        let line = |next: &NextText| {
            format!(
                "{}: due on {}, counts from {} to {}",
                capital(&any_of(&next.services)),
                date(next.due),
                date(next.opens),
                date(next.closes)
            )
        };
        blocks.push(Block::List(record.next.iter().map(line).collect()));
    }
    if let Some(url) = &record.verify {
        blocks.push(Block::Link { label: "Anybody can check this warranty here".into(), url: url.clone() });
    }
    if record.warranty.is_some() {
        blocks.push(Block::Paragraph(
            "Consumer law stands above these terms: nothing in them takes away a right that it gives you."
                .into(),
        ));
    }
    if !record.products.is_empty() {
        blocks.push(Block::Paragraph(format!(
            "Safety data sheets of what was used ({}) are yours for the asking: answer this mail.",
            record.products.join(", ")
        )));
    }
}

fn window(due: &DueText) -> Block {
    let mut facts = vec![
        ("What".to_owned(), capital(&any_of(&due.services))),
        ("Due on".to_owned(), date(due.due)),
        ("Counts from".to_owned(), date(due.opens)),
        ("Counts until".to_owned(), date(due.closes)),
    ];
    if let Some(km) = due.closes_km {
        facts.push(("And no later than at".to_owned(), format!("{} km", thousands(km))));
    }
    facts.push(("Terms".to_owned(), clause(due)));
    Block::Facts(facts)
}

/// What a miss would do, as the end of a sentence that begins "If it is missed,".
fn if_missed(due: &DueText) -> String {
    let surfaces = all_of(&due.surfaces);
    match &due.if_missed {
        Consequence::Note => "it is noted, and your cover does not change.".into(),
        Consequence::End => format!("cover on {surfaces} ends."),
        Consequence::Shorten(off) => format!("cover on {surfaces} ends {off} earlier."),
        Consequence::Suspend { make_good_within: None, with, by } => {
            format!("cover on {surfaces} is on hold until the {} is done{}.", any_of(with), done_by(*by))
        }
        Consequence::Suspend { make_good_within: Some(within), with, by } => format!(
            "cover on {surfaces} is on hold until the {} is done{}; if that is not done within {within}, cover ends.",
            any_of(with),
            done_by(*by)
        ),
    }
}

fn who(by: Rank) -> &'static str {
    match by {
        Rank::Owner => "You can do it yourself, or have it done.",
        Rank::Shop => "A shop has to do it.",
        Rank::Accredited => "An accredited shop has to do it.",
    }
}

fn done_by(by: Rank) -> &'static str {
    match by {
        Rank::Owner => "",
        Rank::Shop => " by a shop",
        Rank::Accredited => " by an accredited shop",
    }
}

fn clause(due: &DueText) -> String {
    let (title, clause) = &due.terms;
    format!("“{title}”, {clause}")
}

fn reach(shop: &ShopCard, first: &Section) -> String {
    let what = match first {
        Section::Missed(_) | Section::LastCall(_) | Section::Upcoming(_) => "To fix a day",
        Section::Record(_) | Section::Link(_) => "If you have a question",
    };
    match &shop.phone {
        Some(phone) => format!("{what}, answer this mail or ring us: {phone}."),
        None => format!("{what}, answer this mail."),
    }
}

fn footer(blocks: &mut Vec<Block>, mail: &Mail) {
    let card = [Some(&mail.shop.name), mail.shop.address.as_ref(), mail.shop.phone.as_ref()];
    let card: Vec<&str> = card.into_iter().flatten().map(String::as_str).collect();
    blocks.push(Block::Footer(card.join(" · ")));
    if let Some((choice, url)) = &mail.unsubscribe {
        let label = match choice {
            MailChoice::Upkeep => "No more mails about upkeep",
            MailChoice::History => "No more mails about what was done",
        };
        blocks.push(Block::Link { label: label.into(), url: url.clone() });
    }
}

/// "10 March 2026".
fn date(day: Day) -> String {
    day.date().format("%-d %B %Y").to_string()
}

fn any_of(words: &[String]) -> String {
    joined(words, "or")
}

fn all_of(words: &[String]) -> String {
    joined(words, "and")
}

fn joined(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., end] => format!("{} {last} {end}", most.join(", ")),
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// "120,000".
fn thousands(number: u32) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}
