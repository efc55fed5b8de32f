//! What goes into a mail to an owner: each notice as it stands when the mail is written, what hinders it, and the
//! message that carries them.

use std::collections::BTreeSet;

use chrono::{DateTime, Utc};

use super::letters;
use super::occasions::wants_any;
use super::plan::{look, zone_of};
use super::refused::refusal;
use super::sections::{self, Said};
use crate::app::calendars::{self, Reader};
use crate::app::{App, Error, mail_choices, shops};
use crate::core::calendar::{day_begins, local_day};
use crate::core::email::Email;
use crate::core::ids::MessageId;
use crate::core::notices::{
    A_YEAR, About, FIRST_MONTH, Importance, LinkNotice, Stale, message_digest, still_holds,
};
use crate::core::reports::BINDS_FOR;
use crate::core::words::{MailChoice, NoticeKind, NoticeState};
use crate::db::customers::CustomerRow;
use crate::db::notices::{self, NoticeRow};
use crate::db::{Conn, Shop, vehicles, warranties};
use crate::mail::said::{Action, Does, Mail, Section};
use crate::mail::{self, Attachment, Letter, Outgoing, Posting};

/// Kinds of which an owner gets one mail a day, and that mail choices hold back.
pub(super) const UPKEEP: [NoticeKind; 7] = [
    NoticeKind::Upcoming,
    NoticeKind::LastCall,
    NoticeKind::Missed,
    NoticeKind::WashFrom,
    NoticeKind::FirstLook,
    NoticeKind::Season,
    NoticeKind::Ending,
];

/// A notice that holds, and what it says.
pub(super) struct Ready {
    pub(super) row: NoticeRow,
    pub(super) section: Section,
    /// How many mails about upkeep the owner may have had in the past year so that it can still go; none: any number.
    after_most: Option<u32>,
}

/// What becomes of what an owner is to be told about upkeep.
pub(super) enum Goes {
    Now,
    Later(DateTime<Utc>, &'static str),
    Never(String),
}

/// Whether mails about upkeep can go to an owner now: not in quiet hours, one a day, and not too many a year. What
/// goes in one mail counts once: one notice for which there is room takes the others with it.
pub(super) fn upkeep_goes(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    ready: &[Ready],
    at: DateTime<Utc>,
) -> Result<Goes, Error> {
    let zone = zone_of(&customer.time_zone, chrono_tz::Tz::UTC);
    let cadence = shops::settings(conn, app, shop)?.cadence();
    let decent = cadence.send_from(at, zone);
    if decent > at {
        return Ok(Goes::Later(decent, "it is a quiet hour for the owner; it goes after it"));
    }
    let today = local_day(at, zone);
    let (from, until) = (day_begins(today, zone), day_begins(today.plus_days(1), zone));
    if notices::written(conn, shop, customer.id, &UPKEEP, from, until)? {
        let why = "the owner has had a mail about upkeep today; it goes on another day";
        return Ok(Goes::Later(cadence.send_on(today.plus_days(1), zone), why));
    }
    let limits: Option<Vec<u32>> = ready.iter().map(|ready| ready.after_most).collect();
    let Some(most) = limits.and_then(|limits| limits.into_iter().max()) else { return Ok(Goes::Now) };
    let mails = notices::mails_since(conn, shop, customer.id, &UPKEEP, at - A_YEAR)?;
    let counted = mails.into_iter().filter(|mail| mail.at >= mail.warranty_entered_at + FIRST_MONTH);
    let had: BTreeSet<MessageId> = counted.map(|mail| mail.message).collect();
    if u32::try_from(had.len()).is_ok_and(|had| had <= most) {
        return Ok(Goes::Now);
    }
    Ok(Goes::Never(format!(
        "of the {} mails about upkeep that there may be within a year the owner has had {}; the rest are kept for what \
         matters more",
        cadence.a_year,
        had.len()
    )))
}

/// What a notice says now; or where it ends, and why.
pub(super) fn section(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    row: &NoticeRow,
    at: DateTime<Utc>,
) -> Result<Result<Ready, (NoticeState, String)>, Error> {
    let ready = |section, after_most| Ready { row: row.clone(), section, after_most };
    let Some(email) = &customer.email else {
        return Ok(Err((NoticeState::Suppressed, "the owner has no e-mail address".into())));
    };
    if UPKEEP.contains(&row.kind)
        && let Some(refusal) = refusal(conn, shop, email)?
    {
        let why = format!("mails to the owner's address come back: {}", refusal.words);
        return Ok(Err((NoticeState::Suppressed, why)));
    }
    match &row.about {
        About::Record(occasion) => {
            if !customer.mail_history {
                return Ok(Err((NoticeState::Suppressed, "the owner wants no history by mail".into())));
            }
            // How cover stands now is the new owner's affair.
            if vehicles::owner(conn, shop, row.vehicle)? != Some(customer.id) {
                return Ok(Err((NoticeState::Stale, Stale::OtherOwner.to_string())));
            }
            let vehicle = letters::vehicle_title(conn, shop, row.vehicle)?;
            let mut cases = Vec::new();
            for case in crate::app::assessments::cases(conn, shop, row.vehicle)? {
                let verdict = case.verdict(local_day(at, case.row.time_zone).date(), None);
                let assessment = case.assessment(&verdict);
                cases.push((case, assessment));
            }
            Ok(Ok(ready(
                letters::record_section(conn, shop, &vehicle, *occasion, &cases, &app.config.public_url)?,
                None,
            )))
        }
        About::Due(notice) => {
            let gone = || Ok(Err((NoticeState::Stale, "the warranty no longer stands".to_owned())));
            let warranty = warranties::find(conn, shop, notice.warranty)?;
            let on = local_day(at, warranty.time_zone).date();
            let Some(seen) = look(conn, app, shop, warranty, on)? else { return gone() };
            let today = local_day(at, seen.view.owner.zone);
            if let Err(stale) = still_holds(notice, &seen.view, &seen.cadence, today) {
                return Ok(Err((NoticeState::Stale, stale.to_string())));
            }
            let leads = seen.view.leads.as_ref().unwrap_or(&seen.cadence.leads);
            let counts = at >= seen.view.entered_at + FIRST_MONTH;
            let importance = Importance::of(notice.step, leads);
            let after_most = counts.then(|| seen.cadence.most_before(importance));
            match letters::due_section(&seen.case, &seen.assessment, &seen.vehicle, notice) {
                Some(section) => Ok(Ok(ready(section, after_most))),
                None => gone(),
            }
        }
        About::Link(link) => {
            let vehicle = letters::vehicle_title(conn, shop, row.vehicle)?;
            let lives = row.created_at + BINDS_FOR > at;
            match &link.url {
                Some(_) if lives => Ok(Ok(ready(letters::link_section(&vehicle, link.purpose), None))),
                _ => Ok(Err((NoticeState::Stale, "the link that was asked for has run out".into()))),
            }
        }
        about => {
            if UPKEEP.contains(&row.kind) && !customer.mail_upkeep {
                return Ok(Err((NoticeState::Suppressed, Stale::Unwanted.to_string())));
            }
            if row.kind == NoticeKind::Aftercare && !wants_any(customer) {
                return Ok(Err((NoticeState::Suppressed, "the owner wants no mails".into())));
            }
            match sections::said(conn, app, shop, customer, row.vehicle, about, at)? {
                Said::Holds(section) => Ok(Ok(ready(section, most_before(conn, app, shop, row, at)?))),
                Said::Stale(why) => Ok(Err((NoticeState::Stale, why.to_owned()))),
            }
        }
    }
}

/// How many mails about upkeep an owner may have had in the past year so that this one can still go, for those that
/// are not about a due; none: any number.
fn most_before(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    row: &NoticeRow,
    at: DateTime<Utc>,
) -> Result<Option<u32>, Error> {
    let importance = match row.kind {
        NoticeKind::Ending => Importance::LastCall,
        NoticeKind::FirstLook | NoticeKind::Season => Importance::Care,
        _ => return Ok(None),
    };
    if let Some(warranty) = row.warranty
        && at < warranties::find(conn, shop, warranty)?.entered_at + FIRST_MONTH
    {
        return Ok(None);
    }
    Ok(Some(shops::settings(conn, app, shop)?.cadence().most_before(importance)))
}

/// Which mails can be ended by the link that stands in one with notices of these kinds, and the link; none where no
/// choice holds any of them back.
fn unsubscribe(app: &App, customer: &CustomerRow, kinds: &[NoticeKind]) -> Option<(MailChoice, String)> {
    let choice = if kinds.iter().any(|kind| UPKEEP.contains(kind)) {
        MailChoice::Upkeep
    } else if kinds.contains(&NoticeKind::Record) {
        MailChoice::History
    } else {
        return None;
    };
    Some((choice, mail_choices::link(app, customer.id, choice)))
}

/// What a mail with these sections says; none where they say nothing.
pub(super) fn letter(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    kinds: &[NoticeKind],
    sections: Vec<Section>,
    action: Option<Action>,
) -> Result<Option<Letter>, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let mail = Mail {
        language: letters::language_of(customer, &settings),
        shop: letters::shop_card(&settings),
        owner: customer.name.clone(),
        sections,
        action,
        unsubscribe: unsubscribe(app, customer, kinds),
        drill: app.drill,
    };
    Ok(mail::texts::write(&mail))
}

/// What a mail with notices of these kinds, the most urgent first, asks its owner to do on their page.
fn asked_for(kinds: &[NoticeKind]) -> Does {
    match kinds.first() {
        Some(NoticeKind::Upcoming | NoticeKind::LastCall | NoticeKind::Missed | NoticeKind::FirstLook) => {
            Does::Book
        }
        Some(NoticeKind::Booked) => Does::ChangeBooking,
        _ => Does::OpenPage,
    }
}

/// What a message carries.
pub(super) struct Contents<'a> {
    /// The notices, the most urgent first.
    pub(super) rows: &'a [NoticeRow],
    /// What each of them says.
    pub(super) sections: Vec<Section>,
    /// A link to the owner's page.
    pub(super) page: Option<String>,
    /// Documents that go with it.
    pub(super) attached: Vec<Attachment>,
}

/// The message that carries these notices, or why there can be none.
pub(super) fn message(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    contents: Contents<'_>,
    at: DateTime<Utc>,
) -> Result<Result<Outgoing, String>, Error> {
    let Contents { rows, sections, page, attached } = contents;
    let kinds: Vec<NoticeKind> = rows.iter().map(|row| row.kind).collect();
    let link = rows.iter().find_map(|row| match &row.about {
        About::Link(LinkNotice { url: Some(url), .. }) => Some(url.clone()),
        _ => None,
    });
    let action = match (link, page) {
        (Some(url), _) => Some(Action { does: Does::ConfirmTransfer, url }),
        (None, Some(url)) => Some(Action { does: asked_for(&kinds), url }),
        (None, None) => None,
    };
    let written = letter(conn, app, shop, customer, &kinds, sections, action)?;
    let (Some(mut letter), Some(first)) = (written, rows.first()) else {
        return Ok(Err("there is nothing to say".into()));
    };
    letter.attachments.extend(attached);
    let settings = shops::settings(conn, app, shop)?;
    let reader = Reader { shop, language: letter.language, now: at };
    if let Some(file) = calendars::of_notices(conn, app, &reader, rows)? {
        letter.attachments.push(Attachment::calendar("calendar.ics", &file));
    }
    let email = |text: &str| text.parse::<Email>().map_err(|fault| fault.detail);
    let to = match email(customer.email.as_deref().unwrap_or_default()) {
        Ok(to) => to,
        Err(why) => return Ok(Err(why)),
    };
    let from: mail::Address = match app.config.mail_from.parse() {
        Ok(from) => from,
        Err(error) => return Ok(Err(format!("LUSTRUM_MAIL_FROM: {error}"))),
    };
    let return_path: mail::Address = match app.config.mail_return_path().parse() {
        Ok(address) => address,
        Err(error) => return Ok(Err(format!("LUSTRUM_MAIL_RETURN_PATH: {error}"))),
    };
    let keys: Vec<&str> = rows.iter().map(|row| row.key.as_str()).collect();
    let posting = Posting {
        from,
        return_path,
        shop: settings.name,
        reply_to: settings.email.as_deref().and_then(|text| email(text).ok()),
        to,
        name: customer.name.clone(),
        digest: message_digest(&keys),
        kind: first.kind,
        date: at,
        unsubscribe: unsubscribe(app, customer, &kinds).map(|(_, link)| link),
    };
    Ok(mail::message::seal(&letter, &posting, app.dkim.as_deref()).map_err(|error| error.to_string()))
}
