//! Links that were asked for: a mail of its own, at any hour, whatever mails its owner wants.

use chrono::{DateTime, Utc};

use super::letters;
use super::new::NewNotice;
use crate::app::{App, Error};
use crate::core::ids::{CustomerId, Digest, VehicleId};
use crate::core::notices::{About, LinkNotice};
use crate::core::words::LinkPurpose;
use crate::db::{Shop, Tx, customers, notices};

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
    let customer = customers::find(tx, shop, customer)?;
    let section = letters::link_section(&title, purpose);
    let digest = Digest::of(url.as_bytes());
    let about = About::Link(LinkNotice { purpose, digest, url: Some(url.to_owned()) });
    let row = NewNotice { about, vehicle, warranty: None, customer, section, planned_for: now };
    let row = row.row(tx, app, shop, now)?;
    notices::add(tx, shop, &row)?;
    Ok(())
}
