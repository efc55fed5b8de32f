//! Writing what is to go out, and keeping what became of it.
//!
//! A message is stored with its bytes before anybody tries to send it, and counts as being sent from before the
//! server is spoken to: a crash in between sends the same bytes under the same Message-ID again, and loses nothing.

use std::collections::BTreeSet;

use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;

use super::plan::{look, zone_of};
use super::refused::{put_down, reach_otherwise, refusal};
use super::{Addressed, letters};
use crate::app::tasks;
use crate::app::{App, Error, mail_choices, new_id, shops};
use crate::core::calendar::{day_begins, local_day};
use crate::core::email::Email;
use crate::core::ids::{CustomerId, MessageId, NoticeId};
use crate::core::notices::{
    A_YEAR, About, FIRST_MONTH, LinkNotice, message_digest, retry_at, still_holds, urgency,
};
use crate::core::reports::BINDS_FOR;
use crate::core::words::{MailChoice, NoticeKind, NoticeState};
use crate::db::customers::CustomerRow;
use crate::db::notices::{self, NoticeRow};
use crate::db::outbox::{self, Attempted, NewMessage, Taken};
use crate::db::{Conn, Shop, Tx, customers, warranties};
use crate::mail::said::{Action, Mail, Section};
use crate::mail::{self, Accepted, Failure, FailureKind, Outgoing, Posting};

/// How long a message belongs to whoever took it.
const CLAIM: TimeDelta = TimeDelta::minutes(2);

/// Kinds of which an owner gets one mail a day, and that mail choices hold back.
pub(super) const UPKEEP: [NoticeKind; 3] = [NoticeKind::Upcoming, NoticeKind::LastCall, NoticeKind::Missed];

/// A notice that ended without a mail, or not yet with one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unsent {
    /// Which.
    #[serde(flatten)]
    pub notice: Addressed,
    /// Where it stands now.
    pub state: NoticeState,
    /// Why.
    pub because: String,
}

/// Writes the mails whose time has come by `at`: what falls together goes in one. Each notice is looked at again; one
/// that no longer holds ends here. Answers those for which no mail was written.
pub(crate) fn write(app: &App, at: DateTime<Utc>) -> Result<Vec<Unsent>, Error> {
    let scope = app.db.installation();
    let owners = app.db.read::<_, Error>(|c| Ok(notices::waiting(c, &scope, at)?))?;
    let mut unsent = Vec::new();
    for (shop, owner) in owners {
        let app_in = app.clone();
        match app.db.write(move |tx| write_to(tx, &app_in, &shop, owner, at)) {
            Ok(ended) => unsent.extend(ended),
            // Another replica has written it in the meantime.
            Err(Error::Database(crate::db::Error::Conflict(_))) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(unsent)
}

fn write_to(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    owner: CustomerId,
    at: DateTime<Utc>,
) -> Result<Vec<Unsent>, Error> {
    let customer = customers::find(tx, shop, owner)?;
    let mut unsent = Vec::new();
    let (mut going, mut upkeep): (Vec<Ready>, Vec<Ready>) = (Vec::new(), Vec::new());
    for row in notices::planned_for(tx, shop, owner, at)? {
        match section(tx, app, shop, &customer, &row, at)? {
            Ok(ready) if UPKEEP.contains(&row.kind) => upkeep.push(ready),
            Ok(ready) => going.push(ready),
            Err((state, because)) => end(tx, shop, &row, state, because, &mut unsent)?,
        }
    }
    if !upkeep.is_empty() {
        match upkeep_goes(tx, app, shop, &customer, &upkeep, at)? {
            Goes::Now => going.extend(upkeep),
            Goes::Later(later, because) => {
                for Ready { row, .. } in upkeep {
                    notices::postpone(tx, shop, row.id, later)?;
                    let (notice, because) = ((&row).into(), because.to_owned());
                    unsent.push(Unsent { notice, state: NoticeState::Planned, because });
                }
            }
            Goes::Never(because) => {
                for Ready { row, .. } in upkeep {
                    end(tx, shop, &row, NoticeState::Dropped, because.clone(), &mut unsent)?;
                }
            }
        }
    }
    // A link that was asked for goes by itself: it is good for minutes, and for nobody else to see.
    let (links, mut going): (Vec<Ready>, Vec<Ready>) =
        going.into_iter().partition(|ready| ready.row.kind == NoticeKind::Link);
    for link in links {
        post(tx, app, shop, &customer, vec![link], at, &mut unsent)?;
    }
    going.sort_by_key(|Ready { row, .. }| (urgency(row.kind), row.id));
    post(tx, app, shop, &customer, going, at, &mut unsent)?;
    Ok(unsent)
}

/// Writes one mail that carries all of these.
fn post(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    going: Vec<Ready>,
    at: DateTime<Utc>,
    unsent: &mut Vec<Unsent>,
) -> Result<(), Error> {
    if going.is_empty() {
        return Ok(());
    }
    let (rows, sections): (Vec<NoticeRow>, Vec<Section>) =
        going.into_iter().map(|ready| (ready.row, ready.section)).unzip();
    match letter(tx, app, shop, customer, &rows, sections, at)? {
        Ok(outgoing) => {
            let id: MessageId = new_id();
            outbox::add(tx, shop, &stored(id, outgoing, at))?;
            for row in &rows {
                // Whoever was first has put it into a message of theirs.
                if !notices::settle(tx, shop, row.id, NoticeState::Queued, Some(id), None)? {
                    return Err(crate::db::Error::Conflict("notices".into()).into());
                }
                keep_secret(tx, shop, row)?;
            }
        }
        Err(because) => {
            for row in &rows {
                end(tx, shop, row, NoticeState::Failed, because.clone(), unsent)?;
            }
        }
    }
    Ok(())
}

/// A notice that holds, and what it says.
struct Ready {
    row: NoticeRow,
    section: Section,
    /// How many mails about upkeep the owner may have had in the past year so that it can still go; none: any number.
    after_most: Option<u32>,
}

/// What becomes of what an owner is to be told about upkeep.
enum Goes {
    Now,
    Later(DateTime<Utc>, &'static str),
    Never(String),
}

/// Whether mails about upkeep can go to an owner now: not in quiet hours, one a day, and not too many a year. What
/// goes in one mail counts once: one notice for which there is room takes the others with it.
fn upkeep_goes(
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

fn end(
    tx: &mut Tx<'_>,
    shop: &Shop,
    row: &NoticeRow,
    state: NoticeState,
    because: String,
    unsent: &mut Vec<Unsent>,
) -> Result<(), Error> {
    notices::settle(tx, shop, row.id, state, None, Some(&because))?;
    keep_secret(tx, shop, row)?;
    unsent.push(Unsent { notice: row.into(), state, because });
    Ok(())
}

/// What stands in a link is nobody's to read any more, once the mail is written or never will be.
fn keep_secret(tx: &mut Tx<'_>, shop: &Shop, row: &NoticeRow) -> Result<(), Error> {
    let About::Link(link) = &row.about else { return Ok(()) };
    let told = About::Link(LinkNotice { url: None, ..link.clone() });
    Ok(notices::tell_no_more(tx, shop, row.id, told)?)
}

/// What a notice says now; or where it ends, and why.
fn section(
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
        About::Link(link) => {
            let vehicle = letters::vehicle_title(conn, shop, row.vehicle)?;
            let lives = row.created_at + BINDS_FOR > at;
            match &link.url {
                Some(_) if lives => Ok(Ok(ready(letters::link_section(&vehicle, link.purpose), None))),
                _ => Ok(Err((NoticeState::Stale, "the link that was asked for has run out".into()))),
            }
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
            let after_most = counts.then(|| seen.cadence.most_before(notice.step, leads));
            match letters::due_section(&seen.case, &seen.assessment, &seen.vehicle, notice) {
                Some(section) => Ok(Ok(ready(section, after_most))),
                None => gone(),
            }
        }
    }
}

/// The message that carries these notices, or why there can be none.
fn letter(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    rows: &[NoticeRow],
    sections: Vec<Section>,
    at: DateTime<Utc>,
) -> Result<Result<Outgoing, String>, Error> {
    let settings = shops::settings(conn, app, shop)?;
    let of_upkeep = rows.iter().any(|row| UPKEEP.contains(&row.kind));
    let choice = if of_upkeep { MailChoice::Upkeep } else { MailChoice::History };
    let link = rows.iter().find_map(|row| match &row.about {
        About::Link(LinkNotice { url: Some(url), .. }) => Some(url.clone()),
        _ => None,
    });
    // What was asked for cannot be ended.
    let unsubscribe = link.is_none().then(|| mail_choices::link(app, customer.id, choice));
    let mail = Mail {
        shop: letters::shop_card(&settings),
        owner: customer.name.clone(),
        sections,
        action: link.map(|url| Action { label: "Confirm".into(), url }),
        unsubscribe: unsubscribe.clone().map(|link| (choice, link)),
        drill: app.drill,
    };
    let (Some(letter), Some(first)) = (mail::texts::write(&mail), rows.first()) else {
        return Ok(Err("there is nothing to say".into()));
    };
    let email = |text: &str| text.parse::<Email>().map_err(|fault| fault.detail);
    let to = match email(customer.email.as_deref().unwrap_or_default()) {
        Ok(to) => to,
        Err(why) => return Ok(Err(why)),
    };
    let from: mail::Address = match app.config.mail_from.parse() {
        Ok(from) => from,
        Err(error) => return Ok(Err(format!("LUSTRUM_MAIL_FROM: {error}"))),
    };
    let keys: Vec<&str> = rows.iter().map(|row| row.key.as_str()).collect();
    let posting = Posting {
        return_path: from.clone(),
        from,
        shop: settings.name,
        reply_to: settings.email.as_deref().and_then(|text| email(text).ok()),
        to,
        name: customer.name.clone(),
        digest: message_digest(&keys),
        kind: first.kind,
        date: at,
        unsubscribe,
    };
    Ok(mail::message::seal(&letter, &posting, app.dkim.as_deref()).map_err(|error| error.to_string()))
}

fn stored(id: MessageId, outgoing: Outgoing, at: DateTime<Utc>) -> NewMessage {
    NewMessage {
        id,
        message_id: outgoing.message_id,
        sender: outgoing.sender,
        recipient: outgoing.recipient,
        file_name: outgoing.file_name,
        bytes: outgoing.bytes,
        created_at: at,
    }
}

/// A stored message, as a transport takes it.
pub fn outgoing(taken: &Taken) -> Outgoing {
    let message = taken.message.clone();
    Outgoing {
        message_id: message.message_id,
        sender: message.sender,
        recipient: message.recipient,
        file_name: message.file_name,
        bytes: message.bytes,
    }
}

/// Takes up to `most` messages whose time has come by `at`; until two minutes later they belong to whoever asked.
pub fn take(app: &App, at: DateTime<Utc>, most: u32) -> Result<Vec<Taken>, Error> {
    let scope = app.db.installation();
    let ids = app.db.read::<_, Error>(|c| Ok(outbox::to_take(c, &scope, at, most.into())?))?;
    if ids.is_empty() {
        return Ok(Vec::new());
    }
    app.db.write::<_, Error>(move |tx| {
        let mut taken = Vec::new();
        for id in ids {
            taken.extend(outbox::take(tx, &scope, id, at, at + CLAIM)?);
        }
        Ok(taken)
    })
}

/// What an attempt to send came to, for each notice in the message.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Outcome {
    /// The notice.
    pub notice: NoticeId,
    /// The message that carries it.
    pub message_id: String,
    /// When it is tried again, if it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub again_at: Option<DateTime<Utc>>,
    /// What the other side said, or what went wrong.
    pub words: String,
}

/// Keeps what became of a message that was taken: sent, to be tried again, or failed for good. None when somebody
/// else has taken it since.
pub fn keep(
    app: &App,
    taken: &Taken,
    result: Result<Accepted, Failure>,
    at: DateTime<Utc>,
) -> Result<Option<(NoticeState, Vec<Outcome>)>, Error> {
    let attempts = u32::try_from(taken.attempts).unwrap_or(1);
    let (state, attempted, words) = match result {
        Ok(accepted) => (NoticeState::Sent, Attempted::Sent(at), accepted.words),
        Err(Failure { kind, words }) => {
            let again = match kind {
                FailureKind::Transient => retry_at(attempts, taken.first_attempt_at, at, jitter()),
                FailureKind::Permanent => None,
            };
            match again {
                Some(again) => (NoticeState::Queued, Attempted::Again(again, words.clone()), words),
                None => (NoticeState::Failed, Attempted::Failed(words.clone()), words),
            }
        }
    };
    let (held, app_in) = (taken.clone(), app.clone());
    let kept = app.db.write::<_, Error>(move |tx| {
        let attempted = match attempted {
            Attempted::Again(again, words) => {
                Attempted::Again(not_at_night(tx, &app_in, &held, again)?, words)
            }
            other => other,
        };
        if !outbox::attempted(tx, &held.shop, &held, &attempted)? {
            return Ok(None);
        }
        let rows = notices::carried_by(tx, &held.shop, held.message.id)?;
        if let Attempted::Failed(words) = &attempted {
            put_down(tx, &held.shop, &held.message.recipient, words, at)?;
            for row in &rows {
                tasks::add(tx, &held.shop, reach_otherwise(row, words), at)?;
            }
        }
        let again_at = match attempted {
            Attempted::Again(again, _) => Some(again),
            _ => None,
        };
        Ok(Some((rows, again_at)))
    })?;
    let Some((rows, again_at)) = kept else { return Ok(None) };
    let outcome = |row: NoticeRow| Outcome {
        notice: row.id,
        message_id: taken.message.message_id.clone(),
        again_at,
        words: words.clone(),
    };
    Ok(Some((state, rows.into_iter().map(outcome).collect())))
}

/// When a mail that was to go again by `again` does: one about upkeep not in quiet hours.
fn not_at_night(
    conn: &mut Conn,
    app: &App,
    taken: &Taken,
    again: DateTime<Utc>,
) -> Result<DateTime<Utc>, Error> {
    let rows = notices::carried_by(conn, &taken.shop, taken.message.id)?;
    let Some(first) = rows.first().filter(|_| rows.iter().all(|row| UPKEEP.contains(&row.kind))) else {
        return Ok(again);
    };
    let customer = customers::find(conn, &taken.shop, first.customer)?;
    let cadence = shops::settings(conn, app, &taken.shop)?.cadence();
    Ok(cadence.quiet.ends(again, zone_of(&customer.time_zone, chrono_tz::Tz::UTC)))
}

/// Where in its wait the next attempt falls, from 0 to 1: mails that failed together do not come back together.
fn jitter() -> f64 {
    getrandom::u32().map_or(0.5, |drawn| f64::from(drawn) / f64::from(u32::MAX))
}
