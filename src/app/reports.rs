//! What owners tell by their link, and anybody at the vehicle by its label: kept on record, and a task for the desk. It
//! becomes a fact when the desk confirms it.

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::{Value, json};

use super::authors::Author;
use super::photo_files::with_files;
use super::records::Document;
use super::tasks::{self, NewTask};
use super::{App, Error, new_id};
use crate::core::error::Fault;
use crate::core::ids::{CustomerId, Digest, PhotoId, ReportId, VehicleId};
use crate::core::photos::{Photo, PhotoInput};
use crate::core::pictures::{MediaType, Picture};
use crate::core::reports::{Booking, DoorRepair, DoorWash, LONGEST_TEXT, ReportedProblem, Sold, Told};
use crate::core::words::RecordKind;
use crate::db::reports::{self, ReportPhotoRow, ReportRow};
use crate::db::{Conn, Shop, Tx, files, vehicle_events};

/// What was told, as a task shows it.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ReportView {
    /// The report.
    pub id: ReportId,
    /// What was told; `kind` says what sort of thing it is.
    #[serde(flatten)]
    #[schema(value_type = Object)]
    pub told: Told,
    /// When. A sale that was told of counts as told on the shop's day of this.
    pub reported_at: DateTime<Utc>,
    /// Photos that came with it.
    pub photos: Vec<ReportPhoto>,
}

/// A photo that came with a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct ReportPhoto {
    /// The photo.
    pub id: PhotoId,
    /// What the file is coded as.
    pub media_type: MediaType,
    /// Length of the file, in bytes.
    pub bytes: u32,
    /// Width as it is seen.
    pub width_px: u32,
    /// Height as it is seen.
    pub height_px: u32,
}

impl From<ReportPhotoRow> for ReportPhoto {
    fn from(row: ReportPhotoRow) -> Self {
        let ReportPhotoRow { id, media_type, bytes, width_px, height_px, digest: _ } = row;
        Self { id, media_type, bytes, width_px, height_px }
    }
}

/// A report as its task shows it.
pub(super) fn view(conn: &mut Conn, shop: &Shop, row: ReportRow) -> Result<ReportView, Error> {
    let photos = reports::photos(conn, shop, row.id)?.into_iter().map(ReportPhoto::from).collect();
    Ok(ReportView { id: row.id, told: row.told, reported_at: row.reported_at, photos })
}

/// The pointers of what in a report names persons or was written freely.
const PERSONAL: [&str; 3] = ["/report/text", "/report/buyer", "/report/buyer_email"];

/// Puts down what was told: a record, and a task for the desk. What was told before, by the same person on the same day,
/// is told once: then nothing is put down.
pub(super) fn take(
    tx: &mut Tx<'_>,
    author: &Author,
    vehicle: VehicleId,
    told: Told,
    photos: &[ReportPhotoRow],
    now: DateTime<Utc>,
) -> Result<(), Error> {
    let (shop, owner) = (author.shop, author.owner());
    // Of two that come at once, the second sees the first.
    vehicle_events::lock(tx, &shop, vehicle)?;
    let key = key_of(author, vehicle, &told, photos, now);
    if reports::is_told(tx, &shop, &key)? {
        return Ok(());
    }
    let id: ReportId = new_id();
    let digests: Vec<Digest> = photos.iter().map(|photo| photo.digest).collect();
    let mut report = json!(told);
    report["id"] = json!(id);
    report["photos"] = json!(digests);
    let body = json!({"vehicle": vehicle, "report": report});
    let kept = Document::new(RecordKind::Report, format!("vehicle:{vehicle}"), &body)?
        .personal(&PERSONAL)
        .keep_by(tx, author, now)?;
    let task = NewTask {
        key: format!("report/{id}"),
        kind: told.task(),
        customer: owner,
        vehicle,
        text: in_words(&told, photos.len()),
    };
    let task = tasks::add(tx, &shop, task, now)?;
    let (customer, record_seq) = (owner, kept.seq);
    let row = ReportRow { id, vehicle, customer, key, told, reported_at: now, task, record_seq };
    reports::add(tx, &shop, &row, photos)?;
    Ok(())
}

/// What makes a report the same as another: who told it, of which vehicle, what, and on which day.
fn key_of(
    author: &Author,
    vehicle: VehicleId,
    told: &Told,
    photos: &[ReportPhotoRow],
    now: DateTime<Utc>,
) -> String {
    let who: Option<CustomerId> = author.owner();
    let digests: Vec<Digest> = photos.iter().map(|photo| photo.digest).collect();
    let whole: Value = json!([author.shop.id(), who, vehicle, told, digests, author.day(now)]);
    Digest::of(whole.to_string().as_bytes()).to_string()
}

/// Puts down what was told with the photos that came along, whose files are put on the disk first. `author` is asked
/// for in the transaction: whoever tells may have lost the right to by then.
pub(super) fn take_with_photos(
    app: &App,
    vehicle: VehicleId,
    told: &Told,
    pictures: &[Picture],
    author: impl Fn(&mut Tx<'_>) -> Result<Author, Error> + Clone + Send + 'static,
) -> Result<(), Error> {
    let now = app.now();
    let photo = |picture: &Picture| {
        let photo = Photo::of(picture, PhotoInput::default());
        ReportPhotoRow {
            id: new_id(),
            digest: photo.digest,
            media_type: photo.media_type,
            bytes: photo.bytes,
            width_px: photo.width_px,
            height_px: photo.height_px,
        }
    };
    let rows: Vec<ReportPhotoRow> = pictures.iter().map(photo).collect();
    let named: Vec<(Digest, &Picture)> = rows.iter().map(|row| row.digest).zip(pictures).collect();
    with_files(app, &named, || {
        let (folder, everyone) = (app.files.clone(), app.db.installation());
        let (rows, told, author) = (rows.clone(), told.clone(), author.clone());
        app.db.write(move |tx| {
            for row in &rows {
                files::hold(tx, &everyone, row.digest)?;
                if !folder.has(row.digest) {
                    return Ok(None);
                }
            }
            let author = author(tx)?;
            take(tx, &author, vehicle, told, &rows, now).map(Some)
        })
    })
}

/// A text that need not be there: the fault when it says nothing, or too much.
pub(super) fn text_fault(text: Option<&str>) -> Option<Fault> {
    text.and_then(|text| super::wanted_text("/text", text, LONGEST_TEXT))
}

/// What the desk reads.
fn in_words(told: &Told, photos: usize) -> String {
    let with = match photos {
        0 => String::new(),
        1 => " One photo came along.".to_owned(),
        n => format!(" {n} photos came along."),
    };
    let said =
        |text: &Option<String>| text.as_ref().map(|text| format!(" They write: {text}")).unwrap_or_default();
    match told {
        Told::Booking(Booking { days, services, text }) => {
            let days: Vec<String> = days.iter().map(ToString::to_string).collect();
            let what =
                if services.is_empty() { String::new() } else { format!(" for {}", services.join(", ")) };
            let when =
                if days.is_empty() { "on any day".into() } else { format!("on {}", days.join(" or ")) };
            format!("The owner wants to come{what}, {when}. Book a day with them.{}", said(text))
        }
        Told::Problem(ReportedProblem { text }) => format!("The owner reports a problem: {text}{with}"),
        Told::Sold(Sold { on, buyer, buyer_email }) => {
            let known: Vec<&str> = [buyer.as_deref(), buyer_email.as_deref()].into_iter().flatten().collect();
            let to = if known.is_empty() {
                "; the buyer was not named".into()
            } else {
                format!(" to {}", known.join(", "))
            };
            format!(
                "The owner says that the vehicle was sold on {on}{to}. Confirm it, and the sale is entered."
            )
        }
        Told::DoorWash(DoorWash { on, odometer, text }) => {
            let at = odometer.map(|read| format!(" at {} {}", read.value, read.unit)).unwrap_or_default();
            format!("Noted at the vehicle: washed on {on}{at}. Confirm it, or leave it.{}", said(text))
        }
        Told::DoorRepair(DoorRepair { on, surface, panel, text }) => format!(
            "Noted at the vehicle: repaired on {on}, {surface} on {panel}. Confirm it, or leave it.{}",
            said(text)
        ),
    }
}
