//! Warranties: issued on an edition of terms, and what is known of each.

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::assessments::{Case, answers, parsed};
use super::events::EnteredEvent;
use super::jobs::{Because, TermsChoice};
use super::page::{Page, Wanted};
use super::records::Document;
use super::vehicles::refresh_key;
use super::{App, Error, Who, facts, new_id};
use crate::core::assess::ExplainedAssessment;
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{CustomerId, JobId, Numbered, RunningNumber, TermsId, VehicleId, WarrantyId};
use crate::core::terms::Terms;
use crate::core::vehicle_events::Happened;
use crate::core::words::{Panel, RecordKind, Surface};
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
/// Refused: terms that cover none of the coated surfaces (`/terms`).
pub(crate) fn issue(tx: &mut Tx<'_>, app: &App, who: &Who, new: &NewWarranty) -> Result<Issued, Error> {
    vehicle_events::lock(tx, &who.shop, new.vehicle)?;
    let terms = parsed(&warranties::document(tx, &who.shop, new.terms)?)?;
    let base = if terms.begins.on_completion { new.completed_on } else { new.handed_over_on };
    let start = terms.begins.after.after(Day::from(base)).date();
    let cover = cover(&terms, start, &new.coated);
    if cover.is_empty() {
        return Err(
            Rule::rule("/terms", "nothing_covered", "the terms cover none of the coated surfaces").into()
        );
    }
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
    refresh_key(tx, &who.shop, row.vehicle)?;
    let taken_up = facts::take_up(tx, who, &row)?;
    let document = issued(&row, &terms, taken_up);
    Ok(Issued { row, document })
}

/// What the record of its issue says of a warranty, with the facts that it took up.
pub(crate) fn issued(row: &WarrantyRow, terms: &Terms, taken_up: Vec<Value>) -> Value {
    json!({
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
    })
}

/// What of the coated surfaces the terms cover, in the order of the terms.
pub(crate) fn cover(terms: &Terms, start: NaiveDate, coated: &[CoatedSurface]) -> Vec<CoverItem> {
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

/// Letters and digits that are not taken for one another.
const CODE: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// A code of verification: 20 characters of 5 random bits each.
pub(crate) fn verify_code() -> Result<String, Error> {
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

/// A warranty as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct WarrantyView {
    /// The warranty.
    pub id: WarrantyId,
    /// `W-…`; usable in paths wherever the id is.
    pub number: RunningNumber,
    /// Code by which anybody can verify it.
    pub verify_code: String,
    /// The job that it was issued for.
    pub job_id: JobId,
    /// The vehicle.
    pub vehicle_id: VehicleId,
    /// Whose the vehicle was at issue.
    pub customer_id: Option<CustomerId>,
    /// The terms that it stands on.
    pub terms: TermsChoice,
    /// First day of cover.
    pub start: NaiveDate,
    /// The odometer on it, in km.
    pub start_km: u32,
    /// The zone in which its days begin and end.
    pub time_zone: String,
    /// What it covers, as at handover.
    pub cover: Vec<CoverItem>,
    /// When it was issued.
    pub entered_at: DateTime<Utc>,
    /// Since when it is void.
    pub voided_at: Option<DateTime<Utc>>,
    /// Why it is void.
    pub void_reason: Option<String>,
    /// The warranty whose place it takes.
    pub replaces: Option<WarrantyId>,
    /// The warranty that has taken its place.
    pub replaced_by: Option<WarrantyId>,
    /// Counts up with each change.
    #[serde(skip)]
    pub version: i64,
}

fn view(conn: &mut Conn, shop: &Shop, row: WarrantyRow) -> Result<WarrantyView, Error> {
    let terms = warranties::terms_of(conn, shop, row.id)?;
    let edition = u32::try_from(terms.edition).ok();
    let of_vehicle = warranties::of_vehicle(conn, shop, row.vehicle)?;
    let replaced_by = of_vehicle.iter().find(|one| one.replaces == Some(row.id) && one.voided.is_none());
    let (voided_at, void_reason) = row.voided.unzip();
    Ok(WarrantyView {
        id: row.id,
        number: row.number,
        verify_code: row.verify_code,
        job_id: row.job,
        vehicle_id: row.vehicle,
        customer_id: row.customer,
        terms: TermsChoice { code: terms.code, edition },
        start: row.start,
        start_km: row.start_km,
        time_zone: row.time_zone.name().to_owned(),
        cover: row.cover,
        entered_at: row.entered_at,
        voided_at,
        void_reason,
        replaces: row.replaces,
        replaced_by: replaced_by.map(|one| one.id),
        version: row.version,
    })
}

/// One warranty, by id or number.
pub fn find(app: &App, who: &Who, name: &str) -> Result<WarrantyView, Error> {
    app.db.read(|c| {
        let id = named(c, &who.shop, name)?;
        let row = warranties::find(c, &who.shop, id)?;
        view(c, &who.shop, row)
    })
}

/// A page of warranties, newest first; of one vehicle if asked.
pub fn list(
    app: &App,
    who: &Who,
    vehicle: Option<VehicleId>,
    wanted: &Wanted<WarrantyId>,
) -> Result<Page<WarrantyView>, Error> {
    app.db.read(|c| {
        let rows = warranties::list(c, &who.shop, vehicle, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|row| view(c, &who.shop, row)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}

/// A warranty, named by id or number, that is not void: what is has no verdict.
pub(crate) fn standing(conn: &mut Conn, shop: &Shop, name: &str) -> Result<WarrantyRow, Error> {
    let id = named(conn, shop, name)?;
    let row = warranties::find(conn, shop, id)?;
    if row.voided.is_some() {
        return Err(Rule::state("warranty_void", format!("{} is void: it has no verdict", row.number)).into());
    }
    Ok(row)
}

/// The assessment of a warranty as of a day (today unless given), by what was known at an instant (all unless given).
pub fn assessment(
    app: &App,
    who: &Who,
    name: &str,
    as_of: Option<NaiveDate>,
    known_at: Option<DateTime<Utc>>,
) -> Result<ExplainedAssessment, Error> {
    let as_of = as_of.unwrap_or_else(|| who.day(app.now()));
    app.db.read(|c| {
        let row = standing(c, &who.shop, name)?;
        let case = Case::load(c, &who.shop, row)?;
        Ok(case.answer(&case.verdict(as_of, known_at)).assessment)
    })
}

/// A due that the shop asks no more for.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WaiverInput {
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due, from 1 on.
    #[schema(minimum = 1)]
    pub number: u32,
    /// The day from which it counts; not after today.
    pub on: Day,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// A due whose window closes later.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ExtensionInput {
    /// The key of the rule.
    pub upkeep: String,
    /// The number of the due, from 1 on.
    #[schema(minimum = 1)]
    pub number: u32,
    /// The new last day.
    pub to: Day,
    /// The day from which it counts; today unless given.
    #[serde(default)]
    pub on: Option<Day>,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// What a waiver or an extension has in common.
struct Grant {
    upkeep: String,
    number: u32,
    on: NaiveDate,
    reason: String,
    to: Option<NaiveDate>,
}

fn grant(app: &App, who: &Who, name: &str, grant: Grant) -> Result<EnteredEvent, Error> {
    let (app_in, who, now, name) = (app.clone(), who.clone(), app.now(), name.to_owned());
    app.db.write(move |tx| {
        let id = named(tx, &who.shop, &name)?;
        let row = warranties::find(tx, &who.shop, id)?;
        let mut faults: Vec<Fault> = facts::day_fault("/on", grant.on, who.day(now)).into_iter().collect();
        faults.extend(super::wanted_text("/reason", &grant.reason, 2_000));
        if grant.number < 1 {
            faults.push(Fault::new("/number", "out_of_range", "dues are numbered from 1 on"));
        }
        let terms = parsed(&warranties::terms_of(tx, &who.shop, id)?.document)?;
        if !terms.upkeep.iter().any(|rule| rule.key == grant.upkeep) {
            let known = terms.upkeep.iter().map(|rule| rule.key.as_str()).collect::<Vec<_>>().join(", ");
            let detail = format!("the terms have no rule {:?}; they have {known}", grant.upkeep);
            faults.push(Fault::new("/upkeep", "unknown_rule", detail));
        }
        crate::core::error::all_clear(faults)?;
        if row.voided.is_some() {
            return Err(Rule::state("warranty_void", format!("{} is void", row.number)).into());
        }
        let Grant { upkeep, number, on, reason, to } = grant;
        let (kind, happened) = match to {
            Some(to) => {
                (RecordKind::Extension, Happened::Extend { warranty: id, upkeep, number, to, reason })
            }
            None => (RecordKind::Waiver, Happened::Waive { warranty: id, upkeep, number, reason }),
        };
        let event = facts::NewEvent::new(on, happened);
        let new = event.id;
        let mut entry = facts::Entry::of(kind, event);
        entry.subject = Some(format!("warranty:{id}"));
        let entered = facts::enter(tx, &app_in, &who, row.vehicle, entry)?;
        Ok(EnteredEvent { id: new, assessments: answers(&entered.cases, &who, now) })
    })
}

/// Waives a due: the shop asks no more for it.
pub fn waive(app: &App, who: &Who, name: &str, input: WaiverInput) -> Result<EnteredEvent, Error> {
    let WaiverInput { upkeep, number, on, reason } = input;
    grant(app, who, name, Grant { upkeep, number, on: on.date(), reason, to: None })
}

/// Extends a due: its window closes later.
pub fn extend(app: &App, who: &Who, name: &str, input: ExtensionInput) -> Result<EnteredEvent, Error> {
    let ExtensionInput { upkeep, number, to, on, reason } = input;
    let on = on.map_or_else(|| who.day(app.now()), Day::date);
    grant(app, who, name, Grant { upkeep, number, on, reason, to: Some(to.date()) })
}

/// Voids a warranty that was issued in error: no cover, no dues, no mail; it stays on record.
pub fn void(app: &App, who: &Who, name: &str, because: Because) -> Result<WarrantyView, Error> {
    because.check()?;
    let (who, now, name) = (who.clone(), app.now(), name.to_owned());
    app.db.write(move |tx| {
        let shop = who.shop;
        let id = named(tx, &shop, &name)?;
        let row = warranties::find(tx, &shop, id)?;
        vehicle_events::lock(tx, &shop, row.vehicle)?;
        if !warranties::void(tx, &shop, id, now, &because.reason)? {
            return Err(Rule::state("warranty_void", format!("{} is void already", row.number)).into());
        }
        let body = json!({"warranty": id, "number": row.number, "reason": because.reason});
        Document::new(RecordKind::Void, format!("warranty:{id}"), &body)?
            .personal(&["/reason"])
            .keep(tx, &who, now)?;
        let row = warranties::find(tx, &shop, id)?;
        view(tx, &shop, row)
    })
}
