//! The certificate of a warranty, from what is stored of it: what was promised, not how it stands today.

use serde_json::Value;

use super::{Asked, Document, made, setting, vehicle};
use crate::app::assessments::parsed;
use crate::app::{App, Database, Error, Who, warranties as named};
use crate::core::calendar::local_day;
use crate::core::ids::{CustomerId, Digest, WarrantyId};
use crate::core::record::canonical;
use crate::db::warranties::{CoverItem, WarrantyRow};
use crate::db::{Conn, Shop, customers, jobs, records, warranties};
use crate::documents::certificate::{Certificate, Covered, Seal, Standing};
use crate::documents::paper::Paper;
use crate::documents::press::Template;

/// The certificate of a warranty of the shop, by id or number. One of a void or replaced warranty says so.
pub fn certificate_of(app: &App, who: &Who, name: &str, asked: Asked) -> Result<Document, Error> {
    made(app, Template::Pages, |conn| {
        let id = named::named(conn, &who.shop, name)?;
        paper(conn, app, &who.shop, id, asked, Named::Always)
    })
}

/// On whose certificate a name stands: whoever the warranty was issued to is nobody else's to know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    /// The shop may know.
    Always,
    /// This owner sees their own name only.
    Only(CustomerId),
}

/// The certificate, ready to be printed.
pub(super) fn paper(
    conn: &mut Conn,
    app: &App,
    shop: &Shop,
    id: WarrantyId,
    asked: Asked,
    named: Named,
) -> Result<Paper, Error> {
    let row = warranties::find(conn, shop, id)?;
    let document = warranties::terms_of(conn, shop, id)?.document;
    let terms = parsed(&document)?;
    let (vehicle, unit) = vehicle(conn, shop, row.vehicle)?;
    let customer = row.customer.filter(|id| named == Named::Always || named == Named::Only(*id));
    let customer = customer.map(|id| customers::find(conn, shop, id)).transpose()?;
    let standing = standing(conn, shop, &row)?;
    // The file bears the instant from which on it says what it says.
    let made_at = row.voided.as_ref().map_or(row.entered_at, |(at, _)| *at);
    let public_url = &app.config.public_url;
    let certificate = Certificate {
        setting: setting(conn, app, shop, asked, row.customer, made_at)?,
        number: row.number.to_string(),
        job: jobs::find(conn, shop, row.job)?.number.to_string(),
        issued: local_day(row.entered_at, row.time_zone).date(),
        customer: customer.map(|customer| customer.name),
        vehicle,
        unit,
        start: row.start,
        start_km: row.start_km,
        terms_digest: digest(&document)?,
        terms: &terms,
        cover: row.cover.iter().map(covered).collect(),
        standing,
        verify: format!("{public_url}/verify/{}", row.verify_code),
        keys: format!("{public_url}/.well-known/jwks.json"),
        seal: seal(conn, shop, &row)?,
        code: row.verify_code,
    };
    Ok(certificate.paper())
}

fn covered(item: &CoverItem) -> Covered {
    Covered {
        surface: item.surface,
        last_day: item.last_day,
        up_to_km: item.up_to_km,
        panels: item.panels.clone(),
        excluded: item.excluded_panels.clone(),
    }
}

fn digest(document: &str) -> Result<Digest, Error> {
    let document: Value = serde_json::from_str(document).map_err(|e| Database::Other(e.to_string()))?;
    Ok(Digest::of(&canonical(&document).map_err(|fault| Database::Other(fault.detail))?))
}

pub(super) fn standing(conn: &mut Conn, shop: &Shop, row: &WarrantyRow) -> Result<Standing, Error> {
    if let Some((at, _)) = &row.voided {
        return Ok(Standing::Void(local_day(*at, row.time_zone).date()));
    }
    let of_vehicle = warranties::of_vehicle(conn, shop, row.vehicle)?;
    let by = of_vehicle.iter().find(|one| one.replaces == Some(row.id) && one.voided.is_none());
    Ok(by.map_or(Standing::Issued, |by| Standing::Replaced(by.number.to_string())))
}

/// The record of its issue: the last one about its job that says it.
fn seal(conn: &mut Conn, shop: &Shop, row: &WarrantyRow) -> Result<Option<Seal>, Error> {
    for record in records::about(conn, shop, &format!("job:{}", row.job))?.into_iter().rev() {
        let body: Value = serde_json::from_str(&record.body).map_err(|e| Database::Other(e.to_string()))?;
        if body["warranty"]["id"].as_str() == Some(&row.id.to_string()) {
            return Ok(Some(Seal { seq: record.seq, digest: record.digest }));
        }
    }
    Ok(None)
}
