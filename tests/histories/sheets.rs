//! A job with all its rows: as the database holds it, and as records tell it.

use std::collections::BTreeMap;

use lustrum::app;
use lustrum::core::climate::ClimateReading;
use lustrum::core::coats::LaidCoat;
use lustrum::core::ids::{Digest, JobId};
use lustrum::core::marks::Mark;
use lustrum::core::odometer::Odometer;
use lustrum::core::paint_readings::PaintReading;
use lustrum::core::photos::Photo;
use lustrum::core::record::canonical;
use lustrum::core::steps::{MixedStep, Step};
use lustrum::db::jobs::{self, JobPanels, JobRow, SignedOff};
use lustrum::db::parts::{Part, PartRow};
use lustrum::db::passes::{self, PassRow};
use lustrum::db::records::RecordRow;
use lustrum::db::signatures::{self, SignatureRow};
use lustrum::db::{Conn, Shop};
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::rebuild::read;

/// A job with all its rows. Versions are nought: they count changes for who edits, and say nothing of the job.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    pub(super) job: JobRow,
    panels: JobPanels,
    marks: Vec<PartRow<Mark>>,
    paint: Vec<PartRow<PaintReading>>,
    photos: Vec<PartRow<Photo>>,
    signatures: Vec<SignatureRow>,
    steps: Vec<PartRow<MixedStep>>,
    climate: Vec<PartRow<ClimateReading>>,
    coats: Vec<PartRow<LaidCoat>>,
    passes: Vec<PassRow>,
}

/// The jobs of a shop as the database holds them.
pub(super) fn of_shop(c: &mut Conn, shop: &Shop) -> Result<BTreeMap<JobId, Sheet>, app::Error> {
    let mut sheets = BTreeMap::new();
    for mut job in jobs::list(c, shop, None, None, None, i64::MAX)? {
        let id = job.id;
        job.version = 0;
        let sheet = Sheet {
            job,
            panels: jobs::panels(c, shop, id)?,
            marks: parts(c, shop, id)?,
            paint: parts(c, shop, id)?,
            photos: parts(c, shop, id)?,
            signatures: signatures::list(c, shop, id, None, i64::MAX)?,
            steps: parts(c, shop, id)?,
            climate: parts(c, shop, id)?,
            coats: parts(c, shop, id)?,
            passes: passes::of_job(c, shop, id)?,
        };
        sheets.insert(id, sheet);
    }
    Ok(sheets)
}

fn parts<P: Part>(c: &mut Conn, shop: &Shop, job: JobId) -> Result<Vec<PartRow<P>>, app::Error> {
    Ok(P::of_job(c, shop, job)?.into_iter().map(|row| PartRow { version: 0, ..row }).collect())
}

/// The job after a record of it: the record says the job itself whole; what was done stands in the sheet that was
/// signed, or that was closed by a cancellation.
pub(super) fn told(before: Option<Sheet>, record: &RecordRow, body: &Value) -> Sheet {
    let job = job(record, body);
    let mut signed = before.as_ref().map(|before| before.signatures.clone()).unwrap_or_default();
    if body["signature"].is_object() {
        signed.insert(0, signature(job.id, record, body));
    }
    let rows = |name: &str| body[name].as_array().into_iter().flatten();
    match before {
        Some(mut before) if body.get("coats").is_none() => {
            if body["photo"].is_object() {
                before.photos.push(part(job.id, &body["photo"], photo));
            }
            Sheet { job, panels: panels(&body["job"]), signatures: signed, ..before }
        }
        _ => Sheet {
            panels: panels(&body["job"]),
            marks: rows("marks").map(|row| part(job.id, row, read::<Mark>)).collect(),
            signatures: signed,
            paint: rows("paint_readings").map(|row| part(job.id, row, read::<PaintReading>)).collect(),
            photos: rows("photos").map(|row| part(job.id, row, photo)).collect(),
            steps: rows("steps").map(|row| part(job.id, row, step)).collect(),
            climate: rows("climate").map(|row| part(job.id, row, read::<ClimateReading>)).collect(),
            coats: rows("coats").map(|row| part(job.id, row, coat)).collect(),
            passes: rows("passes").map(|row| pass(job.id, row)).collect(),
            job,
        },
    }
}

fn job(record: &RecordRow, body: &Value) -> JobRow {
    let told = &body["job"];
    let signed_off = match &told["signed_off"] {
        Value::Null if record.kind == "sign_off" => Some(SignedOff {
            at: read(&body["recorded"]),
            by: read(&body["entered_by"]["member"]),
            seq: record.seq,
            digest: record.digest,
        }),
        Value::Null => None,
        signed => Some(SignedOff {
            at: read(&signed["at"]),
            by: read(&signed["by"]),
            seq: read(&signed["record"]["seq"]),
            digest: read(&signed["record"]["digest"]),
        }),
    };
    let terms = &told["terms"];
    let handed_over = &told["handed_over"];
    JobRow {
        id: read(&told["id"]),
        number: read(&told["number"]),
        vehicle: read(&told["vehicle"]),
        state: read(&told["state"]),
        odometer: Odometer::new(read(&told["odometer"]["value"]), read(&told["odometer"]["unit"])).unwrap(),
        reading: read(&told["reading"]),
        terms: terms.is_object().then(|| (read(&terms["code"]), read(&terms["edition"]))),
        package: read(&told["package"]),
        plan: read(&told["plan"]),
        stages: read(&told["stages"]),
        started_at: read(&told["started_at"]),
        created_at: read(&told["created_at"]),
        created_by: read(&told["created_by"]),
        signed_off,
        handed_over: handed_over.is_object().then(|| (read(&handed_over["on"]), read(&handed_over["km"]))),
        cancelled_because: if record.kind == "cancellation" { read(&body["reason"]) } else { None },
        version: 0,
    }
}

fn panels(job: &Value) -> JobPanels {
    JobPanels {
        listed: read(&job["panels"]),
        excluded: read(&job["excluded_panels"]),
        finishes: read(&job["finishes"]),
        old_coating: read(&job["old_coating"]),
    }
}

/// A part of a job: what `said` reads is what is left beside the members that every part has.
fn part<P: Part>(job: JobId, told: &Value, said: impl Fn(&Value) -> P) -> PartRow<P>
where
    P::Id: DeserializeOwned,
{
    let mut part = told.clone();
    for known in ["id", "entered_by", "entered_at"] {
        part.as_object_mut().unwrap().remove(known);
    }
    PartRow {
        id: read(&told["id"]),
        job,
        part: said(&part),
        entered_by: read(&told["entered_by"]),
        entered_at: read(&told["entered_at"]),
        version: 0,
    }
}

fn step(told: &Value) -> MixedStep {
    let mut step = told.clone();
    step.as_object_mut().unwrap().remove("mixed");
    let step = MixedStep::from(read::<Step>(&step));
    assert_eq!(told.get("mixed").is_some(), step.mixed.is_some());
    step
}

fn photo(told: &Value) -> Photo {
    let mut said = told.clone();
    for of_the_file in ["digest", "media_type", "bytes", "width_px", "height_px", "entered_afterwards"] {
        said.as_object_mut().unwrap().remove(of_the_file);
    }
    Photo {
        said: read(&said),
        digest: read(&told["digest"]),
        media_type: read(&told["media_type"]),
        bytes: read(&told["bytes"]),
        width_px: read(&told["width_px"]),
        height_px: read(&told["height_px"]),
        entered_afterwards: read(&told["entered_afterwards"]),
    }
}

/// A record of its own, in which what was signed and its digest stand together.
fn signature(job: JobId, record: &RecordRow, body: &Value) -> SignatureRow {
    let told = &body["signature"];
    let document = canonical(&told["document"]).unwrap();
    assert_eq!(told["digest"], Digest::of(&document).to_string());
    SignatureRow {
        id: read(&told["id"]),
        job,
        of: read(&told["of"]),
        document: String::from_utf8(document).unwrap(),
        digest: read(&told["digest"]),
        name: read(&told["name"]),
        strokes: serde_json::from_str(told["strokes"].as_str().unwrap()).unwrap(),
        signed_at: read(&told["signed_at"]),
        entered_by: read(&body["entered_by"]["member"]),
        entered_at: read(&body["recorded"]),
        record_seq: record.seq,
    }
}

fn coat(told: &Value) -> LaidCoat {
    let mut coat = told.clone();
    for beside in ["sheet_edition", "relied_on"] {
        coat.as_object_mut().unwrap().remove(beside);
    }
    assert_eq!(told["sheet_edition"], told["relied_on"]["sheet"]["edition"]);
    LaidCoat { coat: read(&coat), sheet_edition: read(&told["sheet_edition"]) }
}

fn pass(job: JobId, told: &Value) -> PassRow {
    PassRow {
        id: read(&told["id"]),
        job,
        code: read(&told["code"]),
        subject: read(&told["subject"]),
        finding: read(&told["finding"]),
        reason: read(&told["reason"]),
        member: read(&told["member"]),
        passed_at: read(&told["passed_at"]),
    }
}
