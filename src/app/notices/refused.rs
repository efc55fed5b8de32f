//! Addresses that take no more mails: said by a server at once, or by a report later.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::app::Error;
use crate::app::tasks::{self, NewTask};
use crate::core::ids::{MessageId, NoticeId};
use crate::core::notices::refuses_address;
use crate::core::words::TaskKind;
use crate::db::notices::{self, NoticeRow};
use crate::db::{Conn, Shop, Tx, outbox, suppressions};

/// What was said of an address that takes no more mails.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Refusal {
    /// What the other side said.
    pub words: String,
    /// When.
    pub at: DateTime<Utc>,
}

/// An address as it is put down: mail hosts that tell capitals apart are not met with.
fn as_kept(email: &str) -> String {
    email.to_lowercase()
}

/// Puts down the address of a mail that was refused for good, if it was refused for its address.
pub(super) fn put_down(
    tx: &mut Tx<'_>,
    shop: &Shop,
    email: &str,
    words: &str,
    at: DateTime<Utc>,
) -> Result<(), Error> {
    if refuses_address(words) {
        suppressions::add(tx, shop, &as_kept(email), words, at)?;
    }
    Ok(())
}

/// What was said of each of these addresses, if it takes no more mails.
pub(crate) fn refusals(
    conn: &mut Conn,
    shop: &Shop,
    emails: &[Option<&str>],
) -> Result<Vec<Option<Refusal>>, Error> {
    let kept: Vec<Option<String>> = emails.iter().map(|email| email.map(as_kept)).collect();
    let asked: Vec<&str> = kept.iter().flatten().map(String::as_str).collect();
    let found = suppressions::of(conn, shop, &asked)?;
    let of = |email: String| {
        let known = found.iter().find(|(known, ..)| *known == email);
        known.map(|(_, words, at)| Refusal { words: words.clone(), at: *at })
    };
    Ok(kept.into_iter().map(|email| email.and_then(of)).collect())
}

/// What was said of an address, if it takes no more mails.
pub(super) fn refusal(conn: &mut Conn, shop: &Shop, email: &str) -> Result<Option<Refusal>, Error> {
    Ok(refusals(conn, shop, &[Some(email)])?.into_iter().next().flatten())
}

/// Whoever enters an address anew vouches for it.
pub(crate) fn vouched_for(tx: &mut Tx<'_>, shop: &Shop, email: &str) -> Result<(), Error> {
    Ok(suppressions::remove(tx, shop, &as_kept(email))?)
}

/// A mail that was sent came back for good: its notices failed after all, and the desk is to reach the owner otherwise.
/// To hear of it twice changes nothing. Answers the notices that it carried.
pub(crate) fn came_back(
    tx: &mut Tx<'_>,
    shop: &Shop,
    message: MessageId,
    recipient: &str,
    words: &str,
    at: DateTime<Utc>,
) -> Result<Vec<NoticeId>, Error> {
    outbox::came_back(tx, shop, message, words)?;
    put_down(tx, shop, recipient, words, at)?;
    let rows = notices::carried_by(tx, shop, message)?;
    // One mail is one task, however many notices were in it.
    if let Some(row) = rows.first() {
        tasks::add(tx, shop, reach_otherwise(row, words), at)?;
    }
    Ok(rows.into_iter().map(|row| row.id).collect())
}

/// What the desk is to do about a mail that nobody takes.
pub(super) fn reach_otherwise(row: &NoticeRow, words: &str) -> NewTask {
    NewTask {
        key: format!("notice/{}/failed", row.id),
        kind: TaskKind::NoticeFailed,
        customer: Some(row.customer),
        vehicle: row.vehicle,
        text: format!("The mail \"{}\" was not taken ({words}): reach the owner otherwise.", row.subject),
    }
}
