//! What owners, and people at vehicles, told the shop, with the photos that they sent.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{report_photos, reports, tasks};
use super::scope::Shop;
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{CustomerId, Digest, PhotoId, ReportId, TaskId, VehicleId};
use crate::core::pictures::MediaType;
use crate::core::reports::Told;
use crate::core::words::TaskKind;

/// A report as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportRow {
    /// The report.
    pub id: ReportId,
    /// The vehicle.
    pub vehicle: VehicleId,
    /// Whose link it came by; none: it was noted at the vehicle.
    pub customer: Option<CustomerId>,
    /// The same told twice is told once.
    pub key: String,
    /// What was told.
    pub told: Told,
    /// When.
    pub reported_at: DateTime<Utc>,
    /// What the desk has to do with it.
    pub task: TaskId,
    /// The record of it.
    pub record_seq: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = reports, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    vehicle_id: Uid,
    customer_id: Option<Uid>,
    business_key: String,
    says: Json<Told>,
    reported_at: At,
    task_id: Uid,
    record_seq: i64,
}

impl From<Row> for ReportRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            vehicle: row.vehicle_id.id(),
            customer: row.customer_id.map(Uid::id),
            key: row.business_key,
            told: row.says.0,
            reported_at: row.reported_at.0,
            task: row.task_id.id(),
            record_seq: row.record_seq,
        }
    }
}

/// A photo that came with a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportPhotoRow {
    /// The photo.
    pub id: PhotoId,
    /// SHA-256 of its file.
    pub digest: Digest,
    /// What the file is coded as.
    pub media_type: MediaType,
    /// Length of the file, in bytes.
    pub bytes: u32,
    /// Width as it is seen.
    pub width_px: u32,
    /// Height as it is seen.
    pub height_px: u32,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = report_photos, treat_none_as_default_value = false)]
struct PhotoRow {
    id: Uid,
    report_id: Uid,
    digest: Vec<u8>,
    media_type: Word<MediaType>,
    bytes: i64,
    width_px: i32,
    height_px: i32,
}

impl TryFrom<PhotoRow> for ReportPhotoRow {
    type Error = Error;

    fn try_from(row: PhotoRow) -> Result<Self, Error> {
        Ok(Self {
            id: row.id.id(),
            digest: super::digest(&row.digest)?,
            media_type: row.media_type.0,
            bytes: u32::try_from(row.bytes).map_err(|_| Error::Other("a photo has no length".into()))?,
            width_px: super::count_of(row.width_px)?,
            height_px: super::count_of(row.height_px)?,
        })
    }
}

/// Adds a report with its photos.
pub fn add(
    tx: &mut Tx<'_>,
    scope: &Shop,
    report: &ReportRow,
    photos: &[ReportPhotoRow],
) -> Result<(), Error> {
    let row = Row {
        id: Uid::of(report.id),
        shop_id: Uid::of(scope.id()),
        vehicle_id: Uid::of(report.vehicle),
        customer_id: report.customer.map(Uid::of),
        business_key: report.key.clone(),
        says: Json(report.told.clone()),
        reported_at: At(report.reported_at),
        task_id: Uid::of(report.task),
        record_seq: report.record_seq,
    };
    diesel::insert_into(reports::table).values(row).execute(tx.multi())?;
    for photo in photos {
        let row = PhotoRow {
            id: Uid::of(photo.id),
            report_id: Uid::of(report.id),
            digest: photo.digest.as_bytes().to_vec(),
            media_type: Word(photo.media_type),
            bytes: photo.bytes.into(),
            width_px: super::count_as(photo.width_px)?,
            height_px: super::count_as(photo.height_px)?,
        };
        diesel::insert_into(report_photos::table).values(row).execute(tx.multi())?;
    }
    Ok(())
}

/// Whether this was told before.
pub fn is_told(conn: &mut Conn, scope: &Shop, key: &str) -> Result<bool, Error> {
    let told: i64 = reports::table
        .filter(reports::shop_id.eq(Uid::of(scope.id())))
        .filter(reports::business_key.eq(key))
        .count()
        .get_result(conn.multi())?;
    Ok(told > 0)
}

/// The report that gave rise to a task, if one did.
pub fn of_task(conn: &mut Conn, scope: &Shop, task: TaskId) -> Result<Option<ReportRow>, Error> {
    let row = reports::table
        .filter(reports::shop_id.eq(Uid::of(scope.id())))
        .filter(reports::task_id.eq(Uid::of(task)))
        .select(Row::as_select())
        .first::<Row>(conn.multi())
        .optional()?;
    Ok(row.map(ReportRow::from))
}

/// What was told about a vehicle, oldest first.
pub fn of_vehicle(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<ReportRow>, Error> {
    let rows = reports::table
        .filter(reports::shop_id.eq(Uid::of(scope.id())))
        .filter(reports::vehicle_id.eq(Uid::of(vehicle)))
        .order((reports::reported_at, reports::id))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(ReportRow::from).collect())
}

/// The photos that came with a report, in the order in which they were sent.
pub fn photos(conn: &mut Conn, _: &Shop, report: ReportId) -> Result<Vec<ReportPhotoRow>, Error> {
    let rows = report_photos::table
        .filter(report_photos::report_id.eq(Uid::of(report)))
        .order(report_photos::id)
        .select(PhotoRow::as_select())
        .load::<PhotoRow>(conn.multi())?;
    rows.into_iter().map(ReportPhotoRow::try_from).collect()
}

/// How many notes from the door of a vehicle wait for the desk.
pub fn open_at_door(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<i64, Error> {
    Ok(reports::table
        .inner_join(tasks::table.on(tasks::id.eq(reports::task_id)))
        .filter(reports::shop_id.eq(Uid::of(scope.id())))
        .filter(reports::vehicle_id.eq(Uid::of(vehicle)))
        .filter(tasks::kind.eq(Word(TaskKind::DoorNote)))
        .filter(tasks::done_at.is_null())
        .count()
        .get_result(conn.multi())?)
}
