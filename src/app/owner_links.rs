//! The owner's own link, in mails and from the desk: a page without an account. What stands in it is drawn here, 256
//! random bits, and only its SHA-256 is kept. It lives for eighteen months after it was last followed, and until the shop
//! takes it back.
//!
//! A link belongs to the customer, not to a vehicle: behind it stand the vehicles that are theirs now. A customer may have
//! several, so that what stands in an older mail goes on working.

use base64::Engine as _;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use chrono::{DateTime, TimeDelta, Utc};
use serde::Serialize;

use super::authors::{Author, By};
use super::{App, Error, Who, new_id, shops};
use crate::core::error::Error as Rule;
use crate::core::ids::{CustomerId, Digest, VehicleId};
use crate::core::reports::{BINDS_FOR, Sold, link_lives};
use crate::core::words::LinkPurpose;
use crate::db::customers::CustomerRow;
use crate::db::links::{self, LinkRow};
use crate::db::{self, Conn, Shop, Tx, customers, vehicles};

/// That a link was followed is put down once a day at most: a page that is read often writes seldom.
const PUT_DOWN_AFTER: TimeDelta = TimeDelta::days(1);

/// Of links that ended by themselves it is known for so long that they did; then they are forgotten.
const KNOWN_FOR: TimeDelta = TimeDelta::days(90);

/// An owner's link as it is answered, once: what stands in it is not kept.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct OwnerLinkView {
    /// Whose page it leads to.
    pub customer_id: CustomerId,
    /// The link itself. It is told here and nowhere again.
    pub url: String,
    /// Until when it works if nobody follows it; each time that it is followed, for eighteen months more.
    pub expires_at: DateTime<Utc>,
}

/// What became of a customer's links.
#[derive(Debug, Clone, Copy, Serialize, utoipa::ToSchema)]
pub struct RevokedLinks {
    /// How many worked until now.
    pub revoked: u32,
}

/// 256 random bits as they stand in a link, and what is kept of them.
fn drawn() -> Result<(String, Digest), Error> {
    let mut bits = [0; 32];
    getrandom::fill(&mut bits).map_err(|e| db::Error::Other(format!("no randomness: {e}")))?;
    Ok((BASE64_URL_SAFE_NO_PAD.encode(bits), Digest::of(&bits)))
}

/// What is kept of a link with this in it; nothing where no link can have that in it.
fn hash_of(token: &str) -> Option<Digest> {
    let bits = BASE64_URL_SAFE_NO_PAD.decode(token).ok().filter(|bits| bits.len() == 32)?;
    Some(Digest::of(&bits))
}

/// Makes a link to a customer's page, for a mail to them or for the desk, and answers it. Others that they have go on
/// working.
pub(crate) fn make(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    customer: CustomerId,
    now: DateTime<Utc>,
) -> Result<String, Error> {
    let (token, hash) = drawn()?;
    links::forget(tx, shop, customer, now - KNOWN_FOR)?;
    let row = LinkRow {
        id: new_id(),
        customer,
        purpose: LinkPurpose::Owner,
        hash,
        vehicle: None,
        says: None,
        made_at: now,
        expires_at: link_lives(now),
        last_used_at: None,
        used_at: None,
        revoked_at: None,
    };
    links::add(tx, shop, &row)?;
    Ok(format!("{}/my/{token}", app.config.public_url))
}

/// Where the history of a vehicle can be read as a document, behind a link to its owner's page.
pub(crate) fn history(page: &str, vehicle: VehicleId) -> String {
    format!("{page}/vehicles/{vehicle}/history.pdf")
}

/// Makes a link that can be followed once, within ten minutes, and binds its owner to what it says.
pub(super) fn make_binding(
    tx: &mut Tx<'_>,
    app: &App,
    shop: &Shop,
    (customer, vehicle): (CustomerId, VehicleId),
    says: Sold,
    now: DateTime<Utc>,
) -> Result<String, Error> {
    let (token, hash) = drawn()?;
    let row = LinkRow {
        id: new_id(),
        customer,
        purpose: LinkPurpose::Transfer,
        hash,
        vehicle: Some(vehicle),
        says: Some(says),
        made_at: now,
        expires_at: now + BINDS_FOR,
        last_used_at: None,
        used_at: None,
        revoked_at: None,
    };
    links::add(tx, shop, &row)?;
    Ok(format!("{}/confirm/{token}", app.config.public_url))
}

/// Who holds a link that works.
#[derive(Debug, Clone)]
pub(crate) struct Held {
    /// The shop that gave it.
    pub(crate) shop: Shop,
    /// Whom it was given to.
    pub(crate) customer: CustomerRow,
    /// The link.
    pub(crate) link: LinkRow,
}

impl Held {
    /// The owner, as what they enter names them.
    pub(crate) fn author(&self, conn: &mut Conn, app: &App) -> Result<Author, Error> {
        let zone = shops::zone(conn, app, &self.shop)?;
        let by = By::Owner(self.customer.id, self.customer.name.clone());
        Ok(Author { shop: self.shop, zone, by })
    }

    /// A vehicle that is theirs now: any other is not there.
    pub(crate) fn vehicle(&self, conn: &mut Conn, id: VehicleId) -> Result<VehicleId, Error> {
        let theirs = vehicles::owner(conn, &self.shop, id)? == Some(self.customer.id);
        if theirs { Ok(id) } else { Err(Rule::NotFound.into()) }
    }
}

/// Who holds this link. One that nobody was given is not there; one that was used, taken back or left to expire is
/// gone.
pub(crate) fn held(conn: &mut Conn, app: &App, token: &str, purpose: LinkPurpose) -> Result<Held, Error> {
    let hash = hash_of(token).ok_or(Rule::NotFound)?;
    let (shop, link) = links::find(conn, &app.db.installation(), hash)?;
    if link.purpose != purpose {
        return Err(Rule::NotFound.into());
    }
    if link.used_at.is_some() {
        return Err(Rule::gone("link_used", "this link worked once, and has been used").into());
    }
    if link.revoked_at.is_some() {
        return Err(Rule::gone("link_revoked", "the shop has taken this link back").into());
    }
    if link.expires_at <= app.now() {
        return Err(Rule::gone("link_expired", "this link has run out").into());
    }
    let customer = customers::find(conn, &shop, link.customer)?;
    Ok(Held { shop, customer, link })
}

/// Puts down that a link was followed. Nothing else is changed by following one.
pub(crate) fn follow(app: &App, held: &Held) -> Result<(), Error> {
    let (now, shop, id) = (app.now(), held.shop, held.link.id);
    if held.link.last_used_at.is_some_and(|last| now < last + PUT_DOWN_AFTER) {
        return Ok(());
    }
    app.db.write(move |tx| Ok(links::followed(tx, &shop, id, now, link_lives(now))?))
}

/// Gives a customer a new link, which the desk hands on. Links that they have go on working.
pub fn give(app: &App, who: &Who, customer: CustomerId) -> Result<OwnerLinkView, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        customers::find(tx, &who.shop, customer)?;
        let url = make(tx, &app_in, &who.shop, customer, now)?;
        Ok(OwnerLinkView { customer_id: customer, url, expires_at: link_lives(now) })
    })
}

/// Takes every link of a customer back: their page cannot be come to any more by what stands in mails.
pub fn revoke(app: &App, who: &Who, customer: CustomerId) -> Result<RevokedLinks, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        customers::find(tx, &who.shop, customer)?;
        let revoked = links::revoke(tx, &who.shop, customer, now)?;
        Ok(RevokedLinks { revoked: u32::try_from(revoked).unwrap_or(u32::MAX) })
    })
}
