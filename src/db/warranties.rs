//! Warranties, and the facts that are stored of each; its verdict by surface stands in `verdicts`.

pub mod many;
mod verdicts;

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use diesel::prelude::*;
use serde::{Deserialize, Serialize};

use super::backend::both;
use super::error::Error;
use super::schema::{accreditations, facts, terms, warranties};
use super::scope::{Installation, Shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::facts::EventInput;
use crate::core::ids::{CustomerId, EventId, JobId, RunningNumber, TermsId, VehicleId, WarrantyId};
use crate::core::words::{Panel, Surface};

pub use self::verdicts::{VerdictRow, store_verdict, verdict};

/// What a warranty covers of one surface, as it was at handover.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct CoverItem {
    /// The surface.
    pub surface: Surface,
    /// The first day of cover.
    pub from: NaiveDate,
    /// The last day of cover, if nothing happens.
    pub last_day: NaiveDate,
    /// How many km cover reaches beyond the odometer at the start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub up_to_km: Option<u32>,
    /// The panels that were coated.
    pub panels: Vec<Panel>,
    /// The panels that were left out.
    pub excluded_panels: Vec<Panel>,
}

/// A warranty as the row says, with the terms that it stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct WarrantyRow {
    /// The warranty.
    pub id: WarrantyId,
    /// `W-…`
    pub number: RunningNumber,
    /// What the public page of verification is found by.
    pub verify_code: String,
    /// The job that it was issued for.
    pub job: JobId,
    /// The vehicle.
    pub vehicle: VehicleId,
    /// Whose the vehicle was at issue.
    pub customer: Option<CustomerId>,
    /// The edition of terms.
    pub terms: TermsId,
    /// The first day.
    pub start: NaiveDate,
    /// The odometer on it, in km, summed over replaced odometers.
    pub start_km: u32,
    /// The zone in which its days begin and end.
    pub time_zone: Tz,
    /// What is covered, surface by surface in the order of the terms.
    pub cover: Vec<CoverItem>,
    /// When it was issued.
    pub entered_at: DateTime<Utc>,
    /// Since when it is void, and why.
    pub voided: Option<(DateTime<Utc>, String)>,
    /// The warranty whose place it takes.
    pub replaces: Option<WarrantyId>,
    /// The day of which the stored verdict is.
    pub assessed_on: NaiveDate,
    /// The instant from which on the stored verdict no longer holds by itself.
    pub next_change: Option<DateTime<Utc>>,
    /// Counts up with each change.
    pub version: i64,
}

/// The edition of terms that a warranty stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TermsText {
    /// Code of the terms.
    pub code: String,
    /// Edition.
    pub edition: i32,
    /// The document, as it was published.
    pub document: String,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = warranties, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    number: Word<RunningNumber>,
    verify_code: String,
    job_id: Uid,
    vehicle_id: Uid,
    customer_id: Option<Uid>,
    terms_id: Uid,
    start_on: NaiveDate,
    start_km: i64,
    time_zone: Word<Tz>,
    cover: Json<Vec<CoverItem>>,
    entered_at: At,
    voided_at: Option<At>,
    void_reason: Option<String>,
    replaces: Option<Uid>,
    assessed_on: NaiveDate,
    next_change: Option<At>,
    version: i64,
}

impl Row {
    fn of(scope: &Shop, row: &WarrantyRow) -> Self {
        Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            number: Word(row.number),
            verify_code: row.verify_code.clone(),
            job_id: Uid::of(row.job),
            vehicle_id: Uid::of(row.vehicle),
            customer_id: row.customer.map(Uid::of),
            terms_id: Uid::of(row.terms),
            start_on: row.start,
            start_km: row.start_km.into(),
            time_zone: Word(row.time_zone),
            cover: Json(row.cover.clone()),
            entered_at: At(row.entered_at),
            voided_at: row.voided.as_ref().map(|(at, _)| At(*at)),
            void_reason: row.voided.as_ref().map(|(_, reason)| reason.clone()),
            replaces: row.replaces.map(Uid::of),
            assessed_on: row.assessed_on,
            next_change: row.next_change.map(At),
            version: row.version,
        }
    }
}

impl TryFrom<Row> for WarrantyRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            number: row.number.0,
            verify_code: row.verify_code,
            job: row.job_id.id(),
            vehicle: row.vehicle_id.id(),
            customer: row.customer_id.map(Uid::id),
            terms: row.terms_id.id(),
            start: row.start_on,
            start_km: super::km(row.start_km)?,
            time_zone: row.time_zone.0,
            cover: row.cover.0,
            entered_at: row.entered_at.0,
            voided: row.voided_at.map(|at| (at.0, row.void_reason.unwrap_or_default())),
            replaces: row.replaces.map(Uid::id),
            assessed_on: row.assessed_on,
            next_change: row.next_change.map(|at| at.0),
            version: row.version,
        })
    }
}

fn rows(found: Vec<Row>) -> Result<Vec<WarrantyRow>, Error> {
    found.into_iter().map(WarrantyRow::try_from).collect()
}

/// Adds a warranty.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &WarrantyRow) -> Result<(), Error> {
    diesel::insert_into(warranties::table).values(Row::of(scope, row)).execute(tx.multi())?;
    Ok(())
}

/// The warranty with this id.
pub fn find(conn: &mut Conn, scope: &Shop, id: WarrantyId) -> Result<WarrantyRow, Error> {
    warranties::table
        .find(Uid::of(id))
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The warranty with this code of verification, and whose it is.
pub fn verified_by(conn: &mut Conn, _: &Installation, code: &str) -> Result<(Shop, WarrantyRow), Error> {
    let row: Row = warranties::table
        .filter(warranties::verify_code.eq(code))
        .select(Row::as_select())
        .first(conn.multi())?;
    Ok((Shop::seen(row.shop_id.id()), row.try_into()?))
}

/// The id of the warranty with this number.
pub fn numbered(conn: &mut Conn, scope: &Shop, number: RunningNumber) -> Result<WarrantyId, Error> {
    Ok(warranties::table
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .filter(warranties::number.eq(Word(number)))
        .select(warranties::id)
        .first::<Uid>(conn.multi())?
        .id())
}

/// The shop's warranties of a vehicle, oldest first, void ones too.
pub fn of_vehicle(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<WarrantyRow>, Error> {
    let found = warranties::table
        .filter(warranties::vehicle_id.eq(Uid::of(vehicle)))
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .order(warranties::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    rows(found)
}

/// The warranties that were issued for a job, oldest first, void ones too.
pub fn of_job(conn: &mut Conn, scope: &Shop, job: JobId) -> Result<Vec<WarrantyRow>, Error> {
    let found = warranties::table
        .filter(warranties::job_id.eq(Uid::of(job)))
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .order(warranties::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    rows(found)
}

/// The shop's warranties, newest first, after the one with id `after`; of one vehicle where it is given.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    vehicle: Option<VehicleId>,
    after: Option<WarrantyId>,
    limit: i64,
) -> Result<Vec<WarrantyRow>, Error> {
    let mut query = warranties::table
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(warranties::id.lt(Uid::of(after)));
    }
    if let Some(vehicle) = vehicle {
        query = query.filter(warranties::vehicle_id.eq(Uid::of(vehicle)));
    }
    rows(query.order(warranties::id.desc()).limit(limit).load::<Row>(conn.multi())?)
}

/// The terms that a warranty stands on.
pub fn terms_of(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<TermsText, Error> {
    let (code, edition, document) = warranties::table
        .inner_join(terms::table.on(terms::id.eq(warranties::terms_id)))
        .filter(warranties::id.eq(Uid::of(warranty)))
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .select((terms::code, terms::edition, terms::document))
        .first::<(String, i32, String)>(conn.multi())?;
    Ok(TermsText { code, edition, document })
}

/// The document of an edition of the shop's terms.
pub fn document(conn: &mut Conn, scope: &Shop, terms: TermsId) -> Result<String, Error> {
    Ok(terms::table
        .find(Uid::of(terms))
        .filter(terms::shop_id.eq(Uid::of(scope.id())))
        .select(terms::document)
        .first(conn.multi())?)
}

/// The intervals in which the shop says that it was accredited by an issuer: first and last day; none: still.
pub fn accredited(
    conn: &mut Conn,
    scope: &Shop,
    issuer: &str,
) -> Result<Vec<(NaiveDate, Option<NaiveDate>)>, Error> {
    Ok(accreditations::table
        .filter(accreditations::shop_id.eq(Uid::of(scope.id())))
        .filter(accreditations::issuer.eq(issuer))
        .select((accreditations::from_on, accreditations::until_on))
        .load(conn.multi())?)
}

/// Makes a warranty void: its verdict and its dues go, its facts stay. False when it is void already.
pub fn void(
    tx: &mut Tx<'_>,
    scope: &Shop,
    warranty: WarrantyId,
    at: DateTime<Utc>,
    reason: &str,
) -> Result<bool, Error> {
    let id = Uid::of(warranty);
    let changed = diesel::update(
        warranties::table
            .find(id)
            .filter(warranties::shop_id.eq(Uid::of(scope.id())))
            .filter(warranties::voided_at.is_null()),
    )
    .set((
        warranties::voided_at.eq(Some(At(at))),
        warranties::void_reason.eq(Some(reason)),
        warranties::next_change.eq(None::<At>),
        warranties::version.eq(warranties::version + 1),
    ))
    .execute(tx.multi())?;
    if changed == 1 {
        store_verdict(tx, scope, warranty, &[])?;
        super::dues::store(tx, scope, &[warranty], Vec::new())?;
    }
    Ok(changed == 1)
}

/// One event as it counts for a warranty.
#[derive(Debug, Clone, PartialEq)]
pub struct FactRow {
    /// The event's place among the vehicle's events.
    pub position: i64,
    /// The event.
    pub event: EventId,
    /// Exactly what is judged.
    pub body: EventInput,
}

/// Adds facts to a warranty of the shop.
pub fn add_facts(tx: &mut Tx<'_>, _: &Shop, warranty: WarrantyId, new: &[FactRow]) -> Result<(), Error> {
    let values: Vec<_> = new
        .iter()
        .map(|fact| {
            (
                facts::warranty_id.eq(Uid::of(warranty)),
                facts::position.eq(fact.position),
                facts::event_id.eq(Uid::of(fact.event)),
                facts::body.eq(Json(fact.body.clone())),
            )
        })
        .collect();
    if !values.is_empty() {
        both!(tx, c => diesel::insert_into(facts::table).values(values).execute(c))?;
    }
    Ok(())
}

/// The facts of a warranty of the shop, in the order of the list.
pub fn facts(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<Vec<FactRow>, Error> {
    let rows = facts::table
        .inner_join(warranties::table.on(warranties::id.eq(facts::warranty_id)))
        .filter(facts::warranty_id.eq(Uid::of(warranty)))
        .filter(warranties::shop_id.eq(Uid::of(scope.id())))
        .order(facts::position)
        .select((facts::position, facts::event_id, facts::body))
        .load::<(i64, Uid, Json<EventInput>)>(conn.multi())?;
    Ok(rows
        .into_iter()
        .map(|(position, event, body)| FactRow { position, event: event.id(), body: body.0 })
        .collect())
}

/// Of which day the stored verdict of a warranty is, and until when it holds by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Assessed {
    /// The warranty.
    pub id: WarrantyId,
    /// The day.
    pub on: NaiveDate,
    /// The instant from which on it no longer holds by itself.
    pub next_change: Option<DateTime<Utc>>,
}
