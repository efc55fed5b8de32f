//! Notices: what owners are told, planned from verdicts, written before anything is sent, sent by somebody else.
//!
//! [`plan`] works out what is to be told, [`letters`] says it, [`outbox`] writes it down and keeps what became of it.
//! Nothing here speaks to a mail server.

mod letters;
mod links;
pub mod outbox;
pub mod plan;
mod refused;

use chrono::{DateTime, Utc};
use serde::Serialize;

pub(crate) use links::link;
pub use refused::Refusal;
pub(crate) use refused::{came_back, refusals, vouched_for};

use super::dues::{DueCustomer, DueVehicle};
use super::page::{Page, Wanted};
use super::{App, Error, Who, new_id};
use crate::core::ids::{CustomerId, NoticeId, VehicleId, WarrantyId};
use crate::core::notices::{About, Occasion, record_key};
use crate::core::words::{CustomerKind, NoticeKind, NoticeState};
use crate::db::notices::{self, ListedNotice, NoticeRow};
use crate::db::{Shop, Tx, customers, vehicles};

/// A notice as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct NoticeView {
    /// The notice.
    pub id: NoticeId,
    /// What kind of notice.
    pub kind: NoticeKind,
    /// Whom it goes to.
    pub customer: DueCustomer,
    /// Which vehicle it is about.
    pub vehicle: DueVehicle,
    /// The warranty that it is about.
    pub warranty_id: Option<WarrantyId>,
    /// Where it stands.
    pub state: NoticeState,
    /// From when on it may go out.
    pub planned_for: DateTime<Utc>,
    /// When it went out.
    pub sent_at: Option<DateTime<Utc>>,
    /// Subject of the mail, as it would be alone.
    pub subject: String,
    /// The Message-ID of the mail that carries it, without angle brackets; reports that it came back name it.
    pub message_id: Option<String>,
    /// How often sending was tried.
    pub attempts: i32,
    /// What the last attempt failed for, in the server's words.
    pub last_error: Option<String>,
    /// Why it stands where it stands, such as why it was not sent.
    pub because: Option<String>,
}

impl From<ListedNotice> for NoticeView {
    fn from(listed: ListedNotice) -> Self {
        let ListedNotice { notice, .. } = listed;
        Self {
            id: notice.id,
            kind: notice.kind,
            customer: DueCustomer { id: notice.customer, name: listed.customer_name },
            vehicle: DueVehicle::seen(
                notice.vehicle,
                listed.vin,
                listed.plate,
                listed.make.as_deref(),
                listed.model.as_deref(),
            ),
            warranty_id: notice.warranty,
            state: notice.state,
            planned_for: notice.planned_for,
            sent_at: listed.sent_at,
            subject: notice.subject,
            message_id: listed.message_id,
            attempts: listed.attempts,
            last_error: listed.last_error,
            because: notice.because,
        }
    }
}

/// A page of the shop's notices, newest first; in some states only if asked.
pub fn list(
    app: &App,
    who: &Who,
    states: &[NoticeState],
    wanted: &Wanted<NoticeId>,
) -> Result<Page<NoticeView>, Error> {
    let rows = app.db.read(|c| notices::list(c, &who.shop, states, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(NoticeView::from).collect(), |view| view.id))
}

/// Plans the mail that says what was done; it goes with the next tick. A vehicle of nobody, or of a dealer's stock,
/// and an owner without an address or who wants none of it, get none.
pub(crate) fn record(
    tx: &mut Tx<'_>,
    shop: &Shop,
    vehicle: VehicleId,
    occasion: Occasion,
    warranty: Option<WarrantyId>,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let Some(owner) = vehicles::owner(tx, shop, vehicle)? else { return Ok(()) };
    let customer = customers::find(tx, shop, owner)?;
    if customer.kind == CustomerKind::Stock || customer.email.is_none() || !customer.mail_history {
        return Ok(());
    }
    let title = letters::vehicle_title(tx, shop, vehicle)?;
    let row = NoticeRow {
        id: new_id(),
        key: record_key(occasion, owner),
        kind: NoticeKind::Record,
        state: NoticeState::Planned,
        customer: owner,
        vehicle,
        warranty,
        subject: letters::record_subject(tx, shop, &title, occasion)?,
        about: About::Record(occasion),
        planned_for: now,
        message: None,
        because: None,
        created_at: now,
        version: 1,
    };
    notices::add(tx, shop, &row)?;
    Ok(())
}

/// Whom a notice goes to, for those who tell what was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Addressed {
    /// The notice.
    pub notice: NoticeId,
    /// Its kind.
    pub kind: NoticeKind,
    /// Whom it goes to.
    pub customer: CustomerId,
    /// The warranty that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warranty: Option<WarrantyId>,
}

impl From<&NoticeRow> for Addressed {
    fn from(row: &NoticeRow) -> Self {
        Self { notice: row.id, kind: row.kind, customer: row.customer, warranty: row.warranty }
    }
}
