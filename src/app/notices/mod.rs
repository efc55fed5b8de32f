//! Notices: what owners are told, planned from verdicts, written before anything is sent, sent by somebody else.
//!
//! [`plan`] works out what is to be told, [`letters`] says it, [`outbox`] writes it down and keeps what became of it.
//! Nothing here speaks to a mail server.

pub mod foreseen;
mod letters;
mod links;
mod manage;
mod new;
mod occasions;
pub mod outbox;
mod papers;
pub mod plan;
mod refused;
mod seasons;
mod sections;
mod writing;

use chrono::{DateTime, Utc};
use serde::Serialize;

pub(crate) use letters::vehicle_title;
pub(crate) use links::link;
pub use manage::{NoticePreview, cancel, find, preview, send_again};
use new::NewNotice;
pub(crate) use occasions::{HandedOver, booked, changed, handed_over, recalled};
pub use refused::Refusal;
pub(crate) use refused::{came_back, refusals, vouched_for};

use super::dues::{DueCustomer, DueVehicle};
use super::page::{Page, Wanted};
use super::{App, Error, Who};
use crate::core::ids::{CustomerId, NoticeId, VehicleId, WarrantyId};
use crate::core::notices::{About, Occasion};
use crate::core::words::{NoticeKind, NoticeState};
use crate::db::notices::{self, ListedNotice, NoticeRow};
use crate::db::{Shop, Tx};

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
    /// Whether it is only foreseen: it will be put down when its day comes, if nothing else happens until then.
    pub foreseen: bool,
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
    /// Why it stands where it stands, such as why it was not sent; of one that is foreseen, why it will be.
    pub because: Option<String>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
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
            foreseen: false,
            planned_for: notice.planned_for,
            sent_at: listed.sent_at,
            subject: notice.subject,
            message_id: listed.message_id,
            attempts: listed.attempts,
            last_error: listed.last_error,
            because: notice.because,
            version: notice.version,
        }
    }
}

/// A page of the shop's notices, newest first; in some states only if asked. Those that are planned alone: the soonest
/// first, with what will be planned within [`foreseen::AHEAD`] days.
pub fn list(
    app: &App,
    who: &Who,
    states: &[NoticeState],
    wanted: &Wanted<NoticeId>,
) -> Result<Page<NoticeView>, Error> {
    if states == [NoticeState::Planned] {
        return manage::ahead(app, who, wanted);
    }
    let rows = app.db.read(|c| notices::list(c, &who.shop, states, None, wanted.after, wanted.rows()))?;
    Ok(wanted.page(rows.into_iter().map(NoticeView::from).collect(), |view| view.id))
}

/// Plans the mail that says what was done; it goes with the next tick. A vehicle of nobody, or of a dealer's stock,
/// and an owner without an address or who wants none of it, get none.
pub(crate) fn record(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    vehicle: VehicleId,
    occasion: Occasion,
    warranty: Option<WarrantyId>,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let Some(customer) = occasions::addressee(tx, shop, vehicle)?.filter(|customer| customer.mail_history)
    else {
        return Ok(());
    };
    let title = letters::vehicle_title(tx, shop, vehicle)?;
    let section = letters::record_section(tx, shop, &title, occasion, &[], "")?;
    let about = About::Record(occasion);
    let row = NewNotice { about, vehicle, warranty, customer, section, planned_for: now };
    let row = row.row(tx, app, shop, now)?;
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
