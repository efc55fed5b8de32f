//! Links that were asked for: a mail of its own, at any hour, whatever mails its owner wants.

use chrono::{DateTime, Utc};

use super::{letters, sections};
use crate::app::{App, Error, new_id};
use crate::core::ids::{CustomerId, Digest, VehicleId};
use crate::core::notices::{About, LinkNotice, key_of};
use crate::core::words::{LinkPurpose, NoticeState};
use crate::db::notices::{self, NoticeRow};
use crate::db::{Shop, Tx, customers};

/// Plans the mail that carries a link which binds; it goes with the next tick.
pub(crate) fn link(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    (customer, vehicle): (CustomerId, VehicleId),
    purpose: LinkPurpose,
    url: &str,
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let title = letters::vehicle_title(tx, shop, vehicle)?;
    let owner = customers::find(tx, shop, customer)?;
    let section = letters::link_section(&title, purpose);
    let digest = Digest::of(url.as_bytes());
    let about = About::Link(LinkNotice { purpose, digest, url: Some(url.to_owned()) });
    let row = NoticeRow {
        id: new_id(),
        key: key_of(&about, vehicle, customer),
        kind: about.kind(),
        state: NoticeState::Planned,
        customer,
        vehicle,
        warranty: None,
        subject: sections::subject(tx, app, shop, &owner, &section)?,
        about,
        planned_for: now,
        message: None,
        because: None,
        created_at: now,
        version: 1,
    };
    notices::add(tx, shop, &row)?;
    Ok(())
}
