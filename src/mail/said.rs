//! What a mail says, as values: the same in every language.

use crate::core::calendar::Day;
use crate::core::notices::urgency;
use crate::core::terms::{Consequence, Rank};
use crate::core::words::{MailChoice, NoticeKind};

/// What one mail says.
#[derive(Debug, Clone, PartialEq)]
pub struct Mail {
    /// The shop that writes.
    pub shop: ShopCard,
    /// The owner's name.
    pub owner: String,
    /// What it is about; the most urgent first, whatever their order here.
    pub sections: Vec<Section>,
    /// The one thing that can be done from here; none: to answer or to ring.
    pub action: Option<Action>,
    /// Which mails can be ended by one link, and where it leads.
    pub unsubscribe: Option<(MailChoice, String)>,
    /// Whether it is only a drill.
    pub drill: bool,
}

/// How a shop is reached.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopCard {
    /// Its name.
    pub name: String,
    /// Its telephone.
    pub phone: Option<String>,
    /// Where it is.
    pub address: Option<String>,
}

/// A link that does something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Action {
    /// What it does, as a command.
    pub label: String,
    /// Where it leads.
    pub url: String,
}

/// One thing that an owner is told.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// A due was missed.
    Missed(MissedText),
    /// The window of a due closes soon.
    LastCall(DueText),
    /// A due comes up.
    Upcoming(DueText),
    /// What was done.
    Record(RecordText),
    /// A link that was asked for.
    Link(LinkText),
}

/// A link that was asked for, as the owner is told of it; the mail's action leads to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// What it is good for.
    pub purpose: LinkPurpose,
    /// For how many minutes.
    pub minutes: u32,
}

/// What a link is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinkPurpose {
    /// To say that the vehicle is sold.
    Transfer,
}

impl Section {
    /// The kind of notice.
    pub const fn kind(&self) -> NoticeKind {
        match self {
            Self::Missed(_) => NoticeKind::Missed,
            Self::LastCall(_) => NoticeKind::LastCall,
            Self::Upcoming(_) => NoticeKind::Upcoming,
            Self::Record(_) => NoticeKind::Record,
            Self::Link(_) => NoticeKind::Link,
        }
    }

    /// Its place in a joint mail: by urgency, then by the day that matters.
    pub(super) fn place(&self) -> (u8, Day) {
        let day = match self {
            Self::Missed(missed) => missed.due.closes,
            Self::LastCall(due) | Self::Upcoming(due) => due.closes,
            Self::Record(record) => record.on,
            Self::Link(_) => Day::default(),
        };
        (urgency(self.kind()), day)
    }
}

/// A due, as the owner is told of it.
#[derive(Debug, Clone, PartialEq)]
pub struct DueText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// The services of which any meets it.
    pub services: Vec<String>,
    /// Who may do it.
    pub by: Rank,
    /// The first day on which it counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it counts.
    pub closes: Day,
    /// The last odometer at which it counts, in km, where distance is counted.
    pub closes_km: Option<u32>,
    /// The surfaces whose cover hangs on it.
    pub surfaces: Vec<String>,
    /// What a miss does, if this one is missed.
    pub if_missed: Consequence,
    /// The title of the terms, and the clause.
    pub terms: (String, String),
}

/// A due that was missed.
#[derive(Debug, Clone, PartialEq)]
pub struct MissedText {
    /// The due.
    pub due: DueText,
    /// The first day on which it counts as missed.
    pub since: Day,
    /// Until when it can be made good, where there is such a day.
    pub make_good_until: Option<Day>,
}

/// What the record is sent after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    /// The vehicle was handed over.
    Handover,
    /// A visit.
    Visit,
    /// Something was done elsewhere, and entered by this shop.
    Elsewhere,
}

/// What was done, and what follows from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecordText {
    /// The vehicle: make and model, and its plate.
    pub vehicle: String,
    /// What it is sent after.
    pub after: After,
    /// The day.
    pub on: Day,
    /// What was done, in order: steps, coats, services.
    pub done: Vec<String>,
    /// The warranty's number, if there is one.
    pub warranty: Option<String>,
    /// The cover, surface by surface.
    pub cover: Vec<CoverText>,
    /// Where anybody can check the warranty.
    pub verify: Option<String>,
    /// What falls due next.
    pub next: Vec<NextText>,
    /// Products that were used: their safety data sheets can be had.
    pub products: Vec<String>,
}

/// The cover of a surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoverText {
    /// The surface.
    pub surface: String,
    /// The panels of it that are covered.
    pub panels: Vec<String>,
    /// The last day of cover.
    pub last_day: Day,
    /// How far the vehicle may run since the start, in km.
    pub up_to_km: Option<u32>,
    /// Whether it is on hold.
    pub on_hold: bool,
}

/// A date ahead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextText {
    /// The services of which any will do.
    pub services: Vec<String>,
    /// The first day on which it counts.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it counts.
    pub closes: Day,
}

/// A mail in words: subject, text, and HTML that says the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// The subject: vehicle, what, date.
    pub subject: String,
    /// Plain text.
    pub text: String,
    /// An HTML document.
    pub html: String,
}
