//! The job sheet: a job with everything that was done, by whom, and what it relied on, as its records hold it.
//!
//! Each record about a job says the job whole, as it stands after it; so its rows can be made anew from records alone.

use serde_json::{Map, Value, json};

use super::checks::sheet_of;
use super::parts::{Entered, Kind};
use super::{Error, Who};
use crate::core::climate::ClimateReading;
use crate::core::coats::LaidCoat;
use crate::core::ids::Digest;
use crate::core::marks::Mark;
use crate::core::paint_readings::PaintReading;
use crate::core::photos::Photo;
use crate::core::steps::MixedStep;
use crate::db::batches::BatchRow;
use crate::db::coats::CoatRow;
use crate::db::jobs::{JobPanels, JobRow};
use crate::db::parts::{Part as _, PartRow};
use crate::db::passes::PassRow;
use crate::db::products::SheetRow;
use crate::db::{self, Conn, Shop, batches, jobs, passes, signatures, terms, vehicles};

/// The texts of a job sheet that are written freely.
pub(crate) const PERSONAL: &[&str] =
    &["/marks/*/note", "/photos/*/note", "/passes/*/reason", "/checks/*/passed_by/reason"];

/// The job itself, as its row says it.
///
/// The record of a sign-off cannot hold its own place and digest: there `signed_off` is null, and the state says it.
pub(crate) fn job(conn: &mut Conn, shop: &Shop, row: &JobRow) -> Result<Value, Error> {
    let terms = match &row.terms {
        Some((code, edition)) => Some(terms::find(conn, shop, code, *edition)?.digest),
        None => None,
    };
    Ok(said(row, &jobs::panels(conn, shop, row.id)?, terms))
}

/// The same of a job with these panels, on terms with this digest.
pub(crate) fn said(row: &JobRow, panels: &JobPanels, terms: Option<Digest>) -> Value {
    let terms = row
        .terms
        .as_ref()
        .zip(terms)
        .map(|((code, edition), digest)| json!({"code": code, "edition": edition, "digest": digest}));
    let signed_off = row.signed_off.map(|signed| {
        json!({"at": signed.at, "by": signed.by, "record": {"seq": signed.seq, "digest": signed.digest}})
    });
    json!({
        "id": row.id,
        "number": row.number,
        "vehicle": row.vehicle,
        "state": row.state,
        "odometer": row.odometer,
        "reading": row.reading,
        "terms": terms,
        "panels": panels.listed,
        "excluded_panels": panels.excluded,
        "finishes": panels.finishes,
        "old_coating": panels.old_coating,
        "package": row.package,
        "plan": row.plan,
        "stages": row.stages,
        "started_at": row.started_at,
        "created_at": row.created_at,
        "created_by": row.created_by,
        "signed_off": signed_off,
        "handed_over": row.handed_over.map(|(on, km)| json!({"on": on, "km": km})),
    })
}

/// The whole sheet: the job, its vehicle, the marks that it came with, paint readings, photos and signatures, steps,
/// climate, coats with the sheet and the batch that each relied on, and the passes that were given. The notes and reasons in it are personal texts, see [`PERSONAL`].
pub(crate) fn sheet(conn: &mut Conn, who: &Who, row: &JobRow) -> Result<Map<String, Value>, Error> {
    let shop = &who.shop;
    let vehicle = vehicles::find(conn, shop, row.vehicle)?;
    let mut coats = Vec::new();
    for row in LaidCoat::of_job(conn, shop, row.id)? {
        coats.push(coat(conn, shop, row)?);
    }
    let signed = signatures::list(conn, shop, row.id, None, i64::MAX)?;
    let signed = signed
        .iter()
        .map(|one| json!({"id": one.id, "of": one.of, "digest": one.digest, "record": one.record_seq}));
    let signed: Vec<Value> = signed.collect();
    let passes: Vec<Value> = passes::of_job(conn, shop, row.id)?.iter().map(pass).collect();
    Ok(Map::from_iter([
        ("job".to_owned(), job(conn, shop, row)?),
        ("vehicle".to_owned(), json!({"id": vehicle.id, "vin": vehicle.vin, "plate": vehicle.plate})),
        ("marks".to_owned(), written(Mark::of_job(conn, shop, row.id)?)?),
        ("paint_readings".to_owned(), written(PaintReading::of_job(conn, shop, row.id)?)?),
        ("photos".to_owned(), written(Photo::of_job(conn, shop, row.id)?)?),
        ("signatures".to_owned(), Value::Array(signed)),
        ("steps".to_owned(), written(MixedStep::of_job(conn, shop, row.id)?)?),
        ("climate".to_owned(), written(ClimateReading::of_job(conn, shop, row.id)?)?),
        ("coats".to_owned(), Value::Array(coats)),
        ("passes".to_owned(), Value::Array(passes)),
    ]))
}

/// Parts of a job as a record holds them: as they are answered.
fn written<P: Kind>(rows: Vec<PartRow<P>>) -> Result<Value, Error> {
    let views: Vec<Entered<P>> = rows.into_iter().map(Entered::from).collect();
    Ok(serde_json::to_value(views).map_err(|e| db::Error::Other(e.to_string()))?)
}

/// A coat, with the edition of the data sheet and the batch that it relied on.
fn coat(conn: &mut Conn, shop: &Shop, row: CoatRow) -> Result<Value, Error> {
    let sheet = sheet_of(conn, shop, &row.part)?;
    let batch = batches::by_number(conn, shop, &row.part.coat.product, &row.part.coat.batch)?;
    laid(row, sheet.as_ref(), batch.as_ref())
}

/// A coat that relied on this data sheet and this batch.
pub(crate) fn laid(row: CoatRow, sheet: Option<&SheetRow>, batch: Option<&BatchRow>) -> Result<Value, Error> {
    let mut coat = serde_json::to_value(Entered::from(row)).map_err(|e| db::Error::Other(e.to_string()))?;
    coat["relied_on"] = json!({
        "sheet": sheet.map(|sheet| json!({"edition": sheet.edition, "digest": sheet.digest})),
        "batch": batch.map(|batch| json!({"id": batch.id, "state": batch.state, "expires_on": batch.expires_on})),
    });
    Ok(coat)
}

/// A pass as records hold it; its reason is a personal text.
pub(crate) fn pass(row: &PassRow) -> Value {
    json!({
        "id": row.id, "code": row.code, "subject": row.subject, "finding": row.finding, "reason": row.reason,
        "member": row.member, "passed_at": row.passed_at,
    })
}
