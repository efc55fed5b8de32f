//! Links that were asked for: a mail of its own, at any hour, whatever mails its owner wants.

use chrono::{DateTime, Utc};

use super::letters;
use crate::app::{Error, new_id};
use crate::core::ids::{CustomerId, Digest, VehicleId};
use crate::core::notices::{About, LinkNotice, link_key};
use crate::core::words::{LinkPurpose, NoticeKind, NoticeState};
use crate::db::notices::{self, NoticeRow};
use crate::db::{Shop, Tx};

/// Plans the mail that carries a link which binds; it goes with the next tick.
pub(crate) fn link(
    tx: &mut Tx<'_>,
    shop: &Shop,
    customer: CustomerId,
    vehicle: VehicleId,
    purpose: LinkPurpose,
    url: &str,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let title = letters::vehicle_title(tx, shop, vehicle)?;
    let row = NoticeRow {
        id: new_id(),
        key: link_key(customer, Digest::of(url.as_bytes())),
        kind: NoticeKind::Link,
        state: NoticeState::Planned,
        customer,
        vehicle,
        warranty: None,
        subject: letters::link_subject(&title, purpose),
        about: About::Link(LinkNotice { purpose, url: Some(url.to_owned()) }),
        planned_for: now,
        message: None,
        because: None,
        created_at: now,
        version: 1,
    };
    notices::add(tx, shop, &row)?;
    Ok(())
}
