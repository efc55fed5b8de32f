//! Warranties: issued on an edition of terms, and what is known of each.

use chrono::{Datelike as _, NaiveDate};
use serde_json::{Value, json};

use super::{App, Error, Who, facts, new_id};
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{CustomerId, JobId, Numbered, TermsId, VehicleId, WarrantyId};
use crate::core::terms::Terms;
use crate::core::words::{Panel, Surface};
use crate::db::warranties::{self, CoverItem, WarrantyRow};
use crate::db::{Conn, Shop, Tx, records, vehicle_events};

/// A surface as a job coated it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CoatedSurface {
    /// The surface.
    pub(crate) surface: Surface,
    /// The panels that were coated.
    pub(crate) panels: Vec<Panel>,
    /// The panels that were left out.
    pub(crate) excluded_panels: Vec<Panel>,
}

/// A warranty about to be issued.
#[derive(Debug, Clone)]
pub(crate) struct NewWarranty {
    /// The job that it is issued for.
    pub(crate) job: JobId,
    /// The vehicle.
    pub(crate) vehicle: VehicleId,
    /// Whose the vehicle is.
    pub(crate) customer: Option<CustomerId>,
    /// The edition of terms, published.
    pub(crate) terms: TermsId,
    /// The day of handover.
    pub(crate) handed_over_on: NaiveDate,
    /// The local day on which the last coat ended.
    pub(crate) completed_on: NaiveDate,
    /// The odometer at handover, in km, summed over replaced odometers.
    pub(crate) start_km: u32,
    /// What the job coated; of it the terms cover what they name.
    pub(crate) coated: Vec<CoatedSurface>,
    /// The warranty whose place it takes.
    pub(crate) replaces: Option<WarrantyId>,
}

/// A warranty that was issued, and what the record of its issue says of it.
#[derive(Debug, Clone)]
pub(crate) struct Issued {
    /// The warranty.
    pub(crate) row: WarrantyRow,
    /// For the record: the warranty, and the facts that it took up.
    pub(crate) document: Value,
}

/// Issues a warranty: locks the vehicle, gives it the shop's next number and a code of verification, takes up what
/// happened to the vehicle before.
///
/// The caller then keeps the record that holds [`Issued::document`], in the same transaction, by [`facts::enter`] (with
/// the reading of the handover, or with no event), which also assesses the warranty for the first time.
///
/// Refused: terms that cover none of the coated surfaces (`/terms`); a `replaces` that is no warranty of this vehicle
/// (`/replaces`).
pub(crate) fn issue(tx: &mut Tx<'_>, app: &App, who: &Who, new: &NewWarranty) -> Result<Issued, Error> {
    vehicle_events::lock(tx, &who.shop, new.vehicle)?;
    let terms = parsed(&warranties::document(tx, &who.shop, new.terms)?)?;
    let base = if terms.begins.on_completion { new.completed_on } else { new.handed_over_on };
    let start = terms.begins.after.after(Day::from(base)).date();
    let mut faults = Vec::new();
    let cover = cover(&terms, start, &new.coated);
    if cover.is_empty() {
        faults.push(Fault::new("/terms", "nothing_covered", "the terms cover none of the coated surfaces"));
    }
    if let Some(replaced) = new.replaces {
        let known = warranties::of_vehicle(tx, &who.shop, new.vehicle)?;
        if known.iter().all(|row| row.id != replaced) {
            let detail = format!("{replaced} is no warranty of this vehicle");
            faults.push(Fault::new("/replaces", "unknown_warranty", detail));
        }
    }
    crate::core::error::all_clear(faults)?;
    let now = app.now();
    let today = who.day(now);
    let year = u16::try_from(today.year())
        .map_err(|_| Rule::rule("", "clock", format!("the clock shows the year {}", today.year())))?;
    let row = WarrantyRow {
        id: new_id(),
        number: records::next_number(tx, &who.shop, Numbered::Warranty, year)?,
        verify_code: verify_code()?,
        job: new.job,
        vehicle: new.vehicle,
        customer: new.customer,
        terms: new.terms,
        start,
        start_km: new.start_km,
        time_zone: who.zone,
        cover,
        entered_at: now,
        voided: None,
        replaces: new.replaces,
        assessed_on: today,
        next_change: None,
        version: 1,
    };
    warranties::add(tx, &who.shop, &row)?;
    let taken_up = facts::take_up(tx, who, &row)?;
    let document = json!({
        "id": row.id,
        "number": row.number,
        "verify_code": row.verify_code,
        "job": row.job,
        "vehicle": row.vehicle,
        "customer": row.customer,
        "terms": { "id": row.terms, "code": terms.code, "edition": terms.edition },
        "start": row.start,
        "start_km": row.start_km,
        "time_zone": row.time_zone.name(),
        "cover": row.cover,
        "entered_at": row.entered_at,
        "replaces": row.replaces,
        "takes_up": taken_up,
    });
    Ok(Issued { row, document })
}

/// What of the coated surfaces the terms cover, in the order of the terms.
fn cover(terms: &Terms, start: NaiveDate, coated: &[CoatedSurface]) -> Vec<CoverItem> {
    let item = |cover: &crate::core::terms::Cover| {
        let surface: Surface = cover.surface.parse().ok()?;
        let coated = coated.iter().find(|coated| coated.surface == surface && !coated.panels.is_empty())?;
        Some(CoverItem {
            surface,
            from: start,
            last_day: cover.lasts.after(Day::from(start)).date(),
            up_to_km: cover.up_to_km,
            panels: coated.panels.clone(),
            excluded_panels: coated.excluded_panels.clone(),
        })
    };
    terms.cover.iter().filter_map(item).collect()
}

/// Terms as they were published: free of faults, or something is broken.
fn parsed(document: &str) -> Result<Terms, Error> {
    Terms::parse(document.as_bytes())
        .map_err(|faults| crate::db::Error::Other(format!("published terms with faults: {faults:?}")).into())
}

/// Letters and digits that are not taken for one another.
const CODE: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// A code of verification: 20 characters of 5 random bits each.
fn verify_code() -> Result<String, Error> {
    let mut random = [0_u8; 20];
    getrandom::fill(&mut random).map_err(|e| crate::db::Error::Other(format!("no randomness: {e}")))?;
    Ok(random.iter().map(|byte| char::from(CODE[usize::from(byte % 32)])).collect())
}

/// The warranty that a path names, by id or by number.
pub(crate) fn named(conn: &mut Conn, shop: &Shop, name: &str) -> Result<WarrantyId, Error> {
    if let Ok(number) = name.parse() {
        return Ok(warranties::numbered(conn, shop, number)?);
    }
    let id = name.parse().map_err(|_| Rule::NotFound)?;
    Ok(warranties::find(conn, shop, id)?.id)
}
