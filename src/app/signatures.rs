//! Signatures of the owner, at check-in and at handover. What is signed is a document that was shown before, named by
//! its digest; it is kept with the signature, whatever becomes of the job.

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::{Map, Value, json};

use super::jobs::{must_be_open, named, time_fault};
use super::page::{Page, Wanted};
use super::records::Document;
use super::{App, Error, Who, job_sheet, new_id, wanted_text};
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{Digest, JobId, MemberId, SignatureId};
use crate::core::marks::Mark;
use crate::core::photos::Photo;
use crate::core::record::canonical;
use crate::core::signatures::{Occasion, SignatureInput, faults, svg};
use crate::core::words::{JobState, RecordKind};
use crate::db::jobs::JobRow;
use crate::db::parts::{Part as _, PartRow};
use crate::db::signatures::{self, SignatureRow};
use crate::db::{self, Conn, Shop, jobs, terms, vehicles, warranties};

/// The texts of a record of a signature that name a person or are written freely.
const PERSONAL: &[&str] = &[
    "/signature/name",
    "/signature/strokes",
    "/signature/document/marks/*/note",
    "/signature/document/photos/*/note",
];

/// What there is to sign.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct ToSign {
    /// What is to be shown to whoever signs.
    #[schema(value_type = Object)]
    pub document: Value,
    /// SHA-256 of the document as canonical JSON (RFC 8785).
    pub digest: Digest,
}

/// A signature as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct SignatureView {
    /// The signature.
    pub id: SignatureId,
    /// What it stands under.
    pub of: Occasion,
    /// Who signed, as typed.
    pub name: String,
    /// The strokes of the pen as a picture (SVG).
    pub svg: String,
    /// What was signed.
    #[schema(value_type = Object)]
    pub document: Value,
    /// The digest of that.
    pub digest: Digest,
    /// Whether it still is as it was signed. Photos that came later do not count, nor does what is known of the vehicle.
    pub current: bool,
    /// When it was signed.
    pub signed_at: DateTime<Utc>,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
    /// The place of its record among the shop's records.
    pub record_seq: i64,
}

fn unwritable(why: impl std::fmt::Display) -> db::Error {
    db::Error::Other(format!("a document to be signed: {why}"))
}

fn digest_of(document: &Value) -> Result<Digest, Error> {
    Ok(Digest::of(&canonical(document).map_err(unwritable)?))
}

/// What every document says first.
fn heading(conn: &mut Conn, shop: &Shop, row: &JobRow, of: Occasion) -> Result<Map<String, Value>, Error> {
    let vehicle = vehicles::find(conn, shop, row.vehicle)?;
    Ok(Map::from_iter([
        ("of".to_owned(), json!(of)),
        ("job".to_owned(), json!({"id": row.id, "number": row.number})),
        (
            "vehicle".to_owned(),
            json!({"vin": vehicle.vin, "plate": vehicle.plate, "make": vehicle.make, "model": vehicle.model,
                   "colour": vehicle.colour}),
        ),
    ]))
}

/// What the vehicle came with: odometer, finishes, old coatings, marks and photos.
fn check_in(conn: &mut Conn, shop: &Shop, row: &JobRow) -> Result<Value, Error> {
    let panels = jobs::panels(conn, shop, row.id)?;
    let mark = |row: PartRow<Mark>| -> Result<Value, Error> {
        let mut said = serde_json::to_value(row.part).map_err(unwritable)?;
        said["id"] = json!(row.id);
        Ok(said)
    };
    let photo = |row: PartRow<Photo>| {
        let photo = row.part;
        json!({"id": row.id, "digest": photo.digest, "panel": photo.said.panel, "taken_at": photo.said.taken_at,
               "note": photo.said.note})
    };
    let marks: Result<Vec<Value>, Error> = Mark::of_job(conn, shop, row.id)?.into_iter().map(mark).collect();
    let mut document = heading(conn, shop, row, Occasion::CheckIn)?;
    document.insert("odometer".into(), json!(row.odometer));
    document.insert("finishes".into(), json!(panels.finishes));
    document.insert("old_coating".into(), json!(panels.old_coating));
    document.insert("marks".into(), Value::Array(marks?));
    let photos = Photo::of_job(conn, shop, row.id)?;
    document.insert("photos".into(), photos.into_iter().map(photo).collect());
    Ok(Value::Object(document))
}

/// What the owner gets back: the job sheet that was signed off, by its digest, and the warranty; null while there is
/// none.
fn handover(conn: &mut Conn, shop: &Shop, row: &JobRow) -> Result<Value, Error> {
    let issued =
        warranties::of_job(conn, shop, row.id)?.into_iter().rfind(|warranty| warranty.voided.is_none());
    let warranty = match issued {
        None => Value::Null,
        Some(warranty) => {
            let on = terms::by_id(conn, shop, warranty.terms)?;
            json!({"id": warranty.id, "number": warranty.number, "start": warranty.start, "cover": warranty.cover,
                   "terms": {"code": on.code, "edition": on.edition, "digest": on.digest}})
        }
    };
    let mut document = heading(conn, shop, row, Occasion::Handover)?;
    document.insert("handed_over_on".into(), json!(row.handed_over.map(|(on, _)| on)));
    document.insert("odometer_km".into(), json!(row.handed_over.map(|(_, km)| km)));
    let sheet = row.signed_off.map(|signed| json!({"seq": signed.seq, "digest": signed.digest}));
    document.insert("job_sheet".into(), json!(sheet));
    document.insert("warranty".into(), warranty);
    Ok(Value::Object(document))
}

fn present(conn: &mut Conn, shop: &Shop, row: &JobRow, of: Occasion) -> Result<Value, Error> {
    match of {
        Occasion::CheckIn => check_in(conn, shop, row),
        Occasion::Handover => handover(conn, shop, row),
    }
}

/// What there is to sign at check-in, or at handover, as it is now.
pub fn to_sign(app: &App, who: &Who, job: &str, of: Occasion) -> Result<ToSign, Error> {
    app.db.read(|c| {
        let row = named(c, &who.shop, job)?;
        let document = present(c, &who.shop, &row, of)?;
        Ok(ToSign { digest: digest_of(&document)?, document })
    })
}

/// Whether what was signed still is so.
fn is_current(
    conn: &mut Conn,
    shop: &Shop,
    row: &JobRow,
    of: Occasion,
    signed: &Value,
) -> Result<bool, Error> {
    let mut now = present(conn, shop, row, of)?;
    now["vehicle"] = signed["vehicle"].clone();
    let signed_photos = signed["photos"].as_array().map(Vec::as_slice).unwrap_or_default();
    if let Some(photos) = now.get_mut("photos").and_then(Value::as_array_mut) {
        photos.retain(|photo| signed_photos.iter().any(|signed| signed["id"] == photo["id"]));
    }
    Ok(digest_of(&now)? == digest_of(signed)?)
}

fn view(conn: &mut Conn, shop: &Shop, job: &JobRow, row: SignatureRow) -> Result<SignatureView, Error> {
    let document: Value = serde_json::from_str(&row.document).map_err(unwritable)?;
    Ok(SignatureView {
        id: row.id,
        of: row.of,
        name: row.name,
        svg: svg(&row.strokes),
        current: is_current(conn, shop, job, row.of, &document)?,
        document,
        digest: row.digest,
        signed_at: row.signed_at,
        entered_by: row.entered_by,
        entered_at: row.entered_at,
        record_seq: row.record_seq,
    })
}

fn input_faults(input: &SignatureInput, now: DateTime<Utc>) -> Vec<Fault> {
    let mut all: Vec<Fault> = wanted_text("/name", &input.name, 200).into_iter().collect();
    all.extend(faults(&input.strokes));
    all.extend(input.signed_at.and_then(|at| time_fault("/signed_at", at, now)));
    all
}

/// Refuses a job on which this cannot be signed any more, or not yet.
fn may_be_signed(row: JobRow, of: Occasion) -> Result<JobRow, Rule> {
    match of {
        Occasion::CheckIn => must_be_open(row),
        Occasion::Handover if row.state == JobState::HandedOver => Ok(row),
        Occasion::Handover => {
            let detail = format!("{} is {}: hand it over first", row.number, row.state);
            Err(Rule::state("job_not_handed_over", detail))
        }
    }
}

/// Keeps a signature on what was shown: at check-in while the job is open, at handover after it.
pub fn add(app: &App, who: &Who, job: JobId, input: SignatureInput) -> Result<SignatureView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = who.shop;
        jobs::lock(tx, &shop, job)?;
        let row = jobs::find(tx, &shop, job)?;
        let mut broken = input_faults(&input, now);
        let document = present(tx, &shop, &row, input.of)?;
        if digest_of(&document)? != input.digest {
            let detail = "it is not as it was shown any more: read it again, show it, and have that signed";
            broken.push(Fault::new("/digest", "document_changed", detail));
        }
        all_clear(broken)?;
        let row = may_be_signed(row, input.of)?;
        let id: SignatureId = new_id();
        let strokes = serde_json::to_string(&input.strokes).map_err(unwritable)?;
        let signed_at = input.signed_at.map_or(now, |at| at.0);
        let body = json!({
            "job": job_sheet::job(tx, &shop, &row)?,
            "signature": {"id": id, "of": input.of, "digest": input.digest, "document": document, "name": input.name,
                          "strokes": strokes, "signed_at": signed_at},
        });
        let kept = Document::new(RecordKind::Signature, format!("job:{job}"), &body)?
            .personal(PERSONAL)
            .keep(tx, &who, now)?;
        let new = SignatureRow {
            id,
            job,
            of: input.of,
            document: String::from_utf8(canonical(&document).map_err(unwritable)?).map_err(unwritable)?,
            digest: input.digest,
            name: input.name,
            strokes: input.strokes,
            signed_at,
            entered_by: who.member,
            entered_at: now,
            record_seq: kept.seq,
        };
        signatures::add(tx, &shop, &new)?;
        view(tx, &shop, &row, new)
    })
}

/// One signature of a job.
pub fn find(app: &App, who: &Who, job: JobId, id: SignatureId) -> Result<SignatureView, Error> {
    app.db.read(|c| {
        let (row, job) = (signatures::find(c, &who.shop, job, id)?, jobs::find(c, &who.shop, job)?);
        view(c, &who.shop, &job, row)
    })
}

/// A page of a job's signatures, newest first.
pub fn list(
    app: &App,
    who: &Who,
    job: JobId,
    wanted: &Wanted<SignatureId>,
) -> Result<Page<SignatureView>, Error> {
    app.db.read(|c| {
        let shop = &who.shop;
        let row = jobs::find(c, shop, job)?;
        let rows = signatures::list(c, shop, job, wanted.after, wanted.rows())?;
        let views: Result<Vec<_>, Error> = rows.into_iter().map(|one| view(c, shop, &row, one)).collect();
        Ok(wanted.page(views?, |view| view.id))
    })
}
