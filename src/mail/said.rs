//! What a mail says, as values: the same in every language.

mod cover;
mod upkeep;
mod work;

use crate::core::calendar::Day;
pub use crate::core::notices::Change;
use crate::core::notices::urgency;
pub use crate::core::words::Season;
use crate::core::words::{MailChoice, NoticeKind};
use crate::language::Language;

pub use self::cover::{ChangedText, CoverText, EndingText, LinkPurpose, LinkText};
pub use self::upkeep::{BookedText, DueText, MissedText, NextText, SeasonText};
pub use self::work::{After, AftercareText, DoerText, DoneText, FirstLookText, RecordText, WashFromText};

/// What one mail says.
#[derive(Debug, Clone, PartialEq)]
pub struct Mail {
    /// The language it is written in.
    pub language: Language,
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
    /// What it does.
    pub does: Does,
    /// Where it leads.
    pub url: String,
}

/// What can be done from a mail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Does {
    /// Book a day.
    Book,
    /// Move or cancel what is booked.
    ChangeBooking,
    /// Open the vehicle's page.
    OpenPage,
    /// Confirm that the vehicle has a new owner.
    ConfirmTransfer,
    /// Report a problem under the warranty.
    ReportClaim,
}

impl Does {
    /// Each of them.
    pub const ALL: [Self; 5] =
        [Self::Book, Self::ChangeBooking, Self::OpenPage, Self::ConfirmTransfer, Self::ReportClaim];

    /// The text that says it, as a command.
    pub(super) const fn text(self) -> &'static str {
        match self {
            Self::Book => "mail-do-book",
            Self::ChangeBooking => "mail-do-change-booking",
            Self::OpenPage => "mail-do-open-page",
            Self::ConfirmTransfer => "mail-do-confirm-transfer",
            Self::ReportClaim => "mail-do-report-claim",
        }
    }
}

/// What a link does for whoever asked for it.
impl From<LinkPurpose> for Does {
    fn from(purpose: LinkPurpose) -> Self {
        match purpose {
            LinkPurpose::Transfer => Self::ConfirmTransfer,
            LinkPurpose::Claim => Self::ReportClaim,
        }
    }
}

/// One thing that an owner is told.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// A due was missed.
    Missed(MissedText),
    /// The window of a due closes soon.
    LastCall(DueText),
    /// Cover changed.
    Changed(ChangedText),
    /// Cover ends by itself before long.
    Ending(EndingText),
    /// A due comes up.
    Upcoming(DueText),
    /// A day is booked.
    Booked(BookedText),
    /// The first wash is safe from now on.
    WashFrom(WashFromText),
    /// How to treat the vehicle in its first days.
    Aftercare(AftercareText),
    /// A look after the first weeks.
    FirstLook(FirstLookText),
    /// Care before winter, or in spring.
    Season(SeasonText),
    /// What was done.
    Record(RecordText),
    /// A link that was asked for.
    Link(LinkText),
}

impl Section {
    /// The kind of notice.
    pub const fn kind(&self) -> NoticeKind {
        match self {
            Self::Missed(_) => NoticeKind::Missed,
            Self::LastCall(_) => NoticeKind::LastCall,
            Self::Changed(_) => NoticeKind::Changed,
            Self::Ending(_) => NoticeKind::Ending,
            Self::Upcoming(_) => NoticeKind::Upcoming,
            Self::Booked(_) => NoticeKind::Booked,
            Self::WashFrom(_) => NoticeKind::WashFrom,
            Self::Aftercare(_) => NoticeKind::Aftercare,
            Self::FirstLook(_) => NoticeKind::FirstLook,
            Self::Season(_) => NoticeKind::Season,
            Self::Record(_) => NoticeKind::Record,
            Self::Link(_) => NoticeKind::Link,
        }
    }

    /// Its place in a joint mail: by urgency, then by the day that matters.
    pub(super) fn place(&self) -> (u8, Day) {
        let day = match self {
            Self::Missed(missed) => missed.due.closes,
            Self::LastCall(due) | Self::Upcoming(due) => due.closes,
            Self::Changed(changed) => changed.on,
            Self::Ending(ending) => ending.first_day(),
            Self::Booked(booked) => booked.on,
            Self::WashFrom(wash) => wash.from,
            Self::Aftercare(care) => care.on,
            Self::FirstLook(look) => look.handed_over,
            Self::Season(season) => season.on,
            Self::Record(record) => record.on,
            Self::Link(_) => Day::default(),
        };
        (urgency(self.kind()), day)
    }
}

/// A mail in words: subject, text, and HTML that says the same; and what goes with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// The language of it all.
    pub language: Language,
    /// The subject: vehicle, what, date.
    pub subject: String,
    /// Plain text.
    pub text: String,
    /// An HTML document.
    pub html: String,
    /// Files that go with it.
    pub attachments: Vec<Attachment>,
}

/// A file that goes with a mail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its name.
    pub name: String,
    /// Its media type, such as `application/pdf`, with parameters.
    pub content_type: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

impl Attachment {
    /// A calendar file, in the shape that mail programs offer to put into the calendar (RFC 6047 §2.4).
    pub fn calendar(name: &str, text: &str) -> Self {
        Self {
            name: name.to_owned(),
            content_type: "text/calendar; method=PUBLISH; charset=utf-8".to_owned(),
            bytes: text.as_bytes().to_vec(),
        }
    }

    /// A document that was printed.
    pub fn pdf(name: &str, bytes: Vec<u8>) -> Self {
        Self { name: format!("{name}.pdf"), content_type: "application/pdf".to_owned(), bytes }
    }
}
