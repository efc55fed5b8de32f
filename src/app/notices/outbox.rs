//! Writing what is to go out, and keeping what became of it.
//!
//! A message is stored with its bytes before anybody tries to send it, and counts as being sent from before the
//! server is spoken to: a crash in between sends the same bytes under the same Message-ID again, and loses nothing.

use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;

use super::papers::Papers;
use super::plan::zone_of;
use super::refused::{put_down, reach_otherwise};
use super::writing::{Contents, Goes, Ready, UPKEEP, section, upkeep_goes};
use super::{Addressed, writing};
use crate::app::tasks;
use crate::app::{App, Error, new_id, owner_links, shops};
use crate::core::ids::{CustomerId, MessageId, NoticeId};
use crate::core::notices::{About, LinkNotice, retry_at, urgency};
use crate::core::words::{NoticeKind, NoticeState};
use crate::db::customers::CustomerRow;
use crate::db::notices::{self, NoticeRow};
use crate::db::outbox::{self, Attempted, NewMessage, Taken};
use crate::db::{Conn, Shop, Tx, customers};
use crate::mail::said::Section;
use crate::mail::{Accepted, Failure, FailureKind, Outgoing};

/// How long a message belongs to whoever took it.
const CLAIM: TimeDelta = TimeDelta::minutes(2);

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
        let written = Papers::print(app, &shop, owner, at)
            .and_then(|papers| app.db.write(move |tx| write_to(tx, &app_in, &shop, owner, &papers, at)));
        match written {
            Ok(ended) => unsent.extend(ended),
            // Another replica has written it in the meantime.
            Err(Error::Database(crate::db::Error::Conflict(_))) => {}
            // One that cannot be written holds up nobody else's; it is tried again at the next tick.
            Err(error) => tracing::error!(customer = %owner, %error, "a mail cannot be written"),
        }
    }
    Ok(unsent)
}

fn write_to(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    owner: CustomerId,
    papers: &Papers,
    at: DateTime<Utc>,
) -> Result<Vec<Unsent>, Error> {
    let customer = customers::find(tx, shop, owner)?;
    let mut unsent = Vec::new();
    let (mut going, mut upkeep): (Vec<Ready>, Vec<Ready>) = (Vec::new(), Vec::new());
    for row in notices::planned_for(tx, shop, owner, at)?.into_iter().filter(|row| papers.ready_for(row)) {
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
        post(tx, app, shop, &customer, vec![link], papers, at, &mut unsent)?;
    }
    going.sort_by_key(|Ready { row, .. }| (urgency(row.kind), row.id));
    post(tx, app, shop, &customer, going, papers, at, &mut unsent)?;
    Ok(unsent)
}

/// Writes one mail that carries all of these.
#[expect(clippy::too_many_arguments, reason = "whom it goes to, what it carries, and what comes of it")]
fn post(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    customer: &CustomerRow,
    going: Vec<Ready>,
    papers: &Papers,
    at: DateTime<Utc>,
    unsent: &mut Vec<Unsent>,
) -> Result<(), Error> {
    if going.is_empty() {
        return Ok(());
    }
    let (rows, mut sections): (Vec<NoticeRow>, Vec<Section>) =
        going.into_iter().map(|ready| (ready.row, ready.section)).unzip();
    // Each mail has a link of its own to the owner's page, so that one can be taken back without the others.
    let asked_for = rows.iter().any(|row| row.kind == NoticeKind::Link);
    let page = if asked_for { None } else { Some(owner_links::make(tx, app, shop, customer.id, at)?) };
    let mut attached = Vec::new();
    for (row, section) in rows.iter().zip(&mut sections) {
        let Section::Record(record) = section else { continue };
        record.history = page.as_ref().map(|page| owner_links::history(page, row.vehicle));
        if record.certificate {
            attached.extend(papers.of(row));
        }
    }
    let contents = Contents { rows: &rows, sections, page, attached };
    match writing::message(tx, app, shop, customer, contents, at)? {
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
pub(super) fn keep_secret(tx: &mut Tx<'_>, shop: &Shop, row: &NoticeRow) -> Result<(), Error> {
    let About::Link(link) = &row.about else { return Ok(()) };
    let told = About::Link(LinkNotice { url: None, ..link.clone() });
    Ok(notices::tell_no_more(tx, shop, row.id, told)?)
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
            if let Some(row) = rows.first() {
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
