//! The outbox: messages with their bytes, from before the first attempt until they have gone or failed for good.
//!
//! Whoever takes a message says until when; after that anybody may take it again. What became of an attempt counts
//! only as long as nobody has begun another one since.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{messages, notices};
use super::scope::{Installation, Shop};
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::MessageId;
use crate::core::words::NoticeState;

/// A message as it is put into the outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewMessage {
    /// The message.
    pub id: MessageId,
    /// Its Message-ID, without angle brackets; made of the notices in it, so that it is there once.
    pub message_id: String,
    /// The return path.
    pub sender: String,
    /// Whom it goes to.
    pub recipient: String,
    /// Its name in a folder of mails.
    pub file_name: String,
    /// The whole message.
    pub bytes: Vec<u8>,
    /// When it was written.
    pub created_at: DateTime<Utc>,
}

/// A message that somebody has taken to send it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// Whose it is.
    pub shop: Shop,
    /// The message.
    pub message: NewMessage,
    /// How many attempts there were, this one included.
    pub attempts: i32,
    /// When the first of them began.
    pub first_attempt_at: DateTime<Utc>,
}

/// Puts a message into the outbox.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, message: &NewMessage) -> Result<(), Error> {
    diesel::insert_into(messages::table)
        .values((
            messages::id.eq(Uid::of(message.id)),
            messages::shop_id.eq(Uid::of(scope.id())),
            messages::message_id.eq(&message.message_id),
            messages::sender.eq(&message.sender),
            messages::recipient.eq(&message.recipient),
            messages::file_name.eq(&message.file_name),
            messages::bytes.eq(&message.bytes),
            messages::state.eq(Word(NoticeState::Queued)),
            messages::send_after.eq(At(message.created_at)),
            messages::attempts.eq(0),
            messages::created_at.eq(At(message.created_at)),
        ))
        .execute(tx.multi())?;
    Ok(())
}

/// The bytes of a message.
pub fn bytes(conn: &mut Conn, scope: &Shop, id: MessageId) -> Result<Vec<u8>, Error> {
    let found = messages::table
        .find(Uid::of(id))
        .filter(messages::shop_id.eq(Uid::of(scope.id())))
        .select(messages::bytes)
        .first::<Vec<u8>>(conn.multi())?;
    Ok(found)
}

/// A message as it is kept, and how it has fared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fared {
    /// Its Message-ID, without angle brackets.
    pub message_id: String,
    /// Whom it goes to.
    pub recipient: String,
    /// The whole message.
    pub bytes: Vec<u8>,
    /// When it was written.
    pub created_at: DateTime<Utc>,
    /// How often it was tried.
    pub attempts: i32,
    /// When the other side took it.
    pub sent_at: Option<DateTime<Utc>>,
}

/// A message of the shop, and how it has fared.
pub fn fared(conn: &mut Conn, scope: &Shop, id: MessageId) -> Result<Fared, Error> {
    let (message_id, recipient, bytes, created_at, attempts, sent_at) = messages::table
        .find(Uid::of(id))
        .filter(messages::shop_id.eq(Uid::of(scope.id())))
        .select((
            messages::message_id,
            messages::recipient,
            messages::bytes,
            messages::created_at,
            messages::attempts,
            messages::sent_at,
        ))
        .first::<(String, String, Vec<u8>, At, i32, Option<At>)>(conn.multi())?;
    let (created_at, sent_at) = (created_at.0, sent_at.map(|at| at.0));
    Ok(Fared { message_id, recipient, bytes, created_at, attempts, sent_at })
}

/// Messages that may be taken at `at`: those whose time has come, and those whose taker was not heard of in time.
pub fn to_take(
    conn: &mut Conn,
    _: &Installation,
    at: DateTime<Utc>,
    limit: i64,
) -> Result<Vec<MessageId>, Error> {
    let queued = messages::state.eq(Word(NoticeState::Queued)).and(messages::send_after.le(At(at)));
    let forsaken = messages::state
        .eq(Word(NoticeState::Sending))
        .and(messages::claimed_until.le(At(at)).assume_not_null());
    let ids = messages::table
        .filter(queued.or(forsaken))
        .order((messages::send_after, messages::id))
        .limit(limit)
        .select(messages::id)
        .load::<Uid>(conn.multi())?;
    Ok(ids.into_iter().map(Uid::id).collect())
}

/// Takes a message until `until`; none where somebody else was first. From the commit on it counts as being sent.
pub fn take(
    tx: &mut Tx<'_>,
    _: &Installation,
    id: MessageId,
    at: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Result<Option<Taken>, Error> {
    let message = Uid::of(id);
    tx.lock("SELECT 1 FROM messages WHERE id = $1 FOR UPDATE", message)?;
    type Held = (
        (Uid, Word<NoticeState>, At, Option<At>, i32, Option<At>),
        (String, String, String, String, Vec<u8>, At),
    );
    let ((shop, state, send_after, claimed_until, attempts, first), held) = messages::table
        .find(message)
        .select((
            (
                messages::shop_id,
                messages::state,
                messages::send_after,
                messages::claimed_until,
                messages::attempts,
                messages::first_attempt_at,
            ),
            (
                messages::message_id,
                messages::sender,
                messages::recipient,
                messages::file_name,
                messages::bytes,
                messages::created_at,
            ),
        ))
        .first::<Held>(tx.multi())?;
    let free = match state.0 {
        NoticeState::Queued => send_after.0 <= at,
        NoticeState::Sending => claimed_until.is_none_or(|until| until.0 <= at),
        _ => false,
    };
    if !free {
        return Ok(None);
    }
    let first_attempt_at = first.map_or(at, |first| first.0);
    diesel::update(messages::table.find(message))
        .set((
            messages::state.eq(Word(NoticeState::Sending)),
            messages::claimed_until.eq(Some(At(until))),
            messages::attempts.eq(attempts + 1),
            messages::first_attempt_at.eq(Some(At(first_attempt_at))),
        ))
        .execute(tx.multi())?;
    follow(tx, message, NoticeState::Sending, None)?;
    let (message_id, sender, recipient, file_name, bytes, created_at) = held;
    Ok(Some(Taken {
        shop: Shop::seen(shop.id()),
        message: NewMessage { id, message_id, sender, recipient, file_name, bytes, created_at: created_at.0 },
        attempts: attempts + 1,
        first_attempt_at,
    }))
}

/// What became of an attempt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Attempted {
    /// The other side has it.
    Sent(DateTime<Utc>),
    /// It is to be tried again, not before an instant; and what went wrong.
    Again(DateTime<Utc>, String),
    /// It will not be tried again; and what went wrong.
    Failed(String),
}

/// Keeps what became of an attempt. False when somebody else has taken the message since.
pub fn attempted(tx: &mut Tx<'_>, scope: &Shop, taken: &Taken, outcome: &Attempted) -> Result<bool, Error> {
    let message = Uid::of(taken.message.id);
    let (state, send_after, sent_at, error) = match outcome {
        Attempted::Sent(at) => (NoticeState::Sent, None, Some(At(*at)), None),
        Attempted::Again(at, error) => (NoticeState::Queued, Some(At(*at)), None, Some(error.as_str())),
        Attempted::Failed(error) => (NoticeState::Failed, None, None, Some(error.as_str())),
    };
    let held = messages::table
        .find(message)
        .filter(messages::shop_id.eq(Uid::of(scope.id())))
        .filter(messages::state.eq(Word(NoticeState::Sending)))
        .filter(messages::attempts.eq(taken.attempts));
    let changed = diesel::update(held)
        .set((
            messages::state.eq(Word(state)),
            messages::claimed_until.eq(None::<At>),
            messages::sent_at.eq(sent_at),
        ))
        .execute(tx.multi())?;
    if changed == 0 {
        return Ok(false);
    }
    if let Some(error) = error {
        diesel::update(messages::table.find(message))
            .set(messages::last_error.eq(Some(error)))
            .execute(tx.multi())?;
    }
    if let Some(send_after) = send_after {
        diesel::update(messages::table.find(message))
            .set(messages::send_after.eq(send_after))
            .execute(tx.multi())?;
    }
    follow(tx, message, state, error)?;
    Ok(true)
}

/// A message as reports on delivery name it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Whose it is.
    pub shop: Shop,
    /// The message.
    pub message: MessageId,
    /// Whom it went to.
    pub recipient: String,
}

/// The message with this Message-ID, without angle brackets.
pub fn by_message_id(conn: &mut Conn, _: &Installation, message_id: &str) -> Result<Named, Error> {
    let (shop, message, recipient): (Uid, Uid, String) = messages::table
        .filter(messages::message_id.eq(message_id))
        .select((messages::shop_id, messages::id, messages::recipient))
        .first(conn.multi())?;
    Ok(Named { shop: Shop::seen(shop.id()), message: message.id(), recipient })
}

/// A message that was sent came back, and so it failed after all. False where that is known already.
pub fn came_back(tx: &mut Tx<'_>, scope: &Shop, id: MessageId, words: &str) -> Result<bool, Error> {
    let message = Uid::of(id);
    let sent = messages::table
        .find(message)
        .filter(messages::shop_id.eq(Uid::of(scope.id())))
        .filter(messages::state.ne(Word(NoticeState::Failed)));
    let changed = diesel::update(sent)
        .set((
            messages::state.eq(Word(NoticeState::Failed)),
            messages::claimed_until.eq(None::<At>),
            messages::last_error.eq(Some(words)),
        ))
        .execute(tx.multi())?;
    if changed == 1 {
        follow(tx, message, NoticeState::Failed, Some(words))?;
    }
    Ok(changed == 1)
}

/// The notices in a message stand where it stands.
fn follow(tx: &mut Tx<'_>, message: Uid, state: NoticeState, because: Option<&str>) -> Result<(), Error> {
    diesel::update(notices::table.filter(notices::message_id.eq(Some(message))))
        .set((
            notices::state.eq(Word(state)),
            notices::because.eq(because),
            notices::version.eq(notices::version + 1),
        ))
        .execute(tx.multi())?;
    Ok(())
}
