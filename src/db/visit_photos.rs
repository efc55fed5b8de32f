//! Photos of visits. Their files stand in a folder, named by digest, like those of jobs.

use chrono::{DateTime, Utc};
use diesel::prelude::*;

use super::error::Error;
use super::schema::{visit_photos, visits};
use super::scope::Shop;
use super::types::{At, Uid, Word};
use super::{Conn, Tx};
use crate::core::calendar::Moment;
use crate::core::ids::{MemberId, PhotoId, VisitId};
use crate::core::photos::{PhotoInput, VisitPhoto};
use crate::core::pictures::MediaType;

/// A photo of a visit as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitPhotoRow {
    /// The photo.
    pub id: PhotoId,
    /// The visit.
    pub visit: VisitId,
    /// What is said of it, and its file.
    pub photo: VisitPhoto,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = visit_photos, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    visit_id: Uid,
    digest: Vec<u8>,
    media_type: Word<MediaType>,
    bytes: i64,
    width_px: i32,
    height_px: i32,
    panel: Option<String>,
    taken_at: Option<At>,
    note: Option<String>,
    entered_by: Uid,
    entered_at: At,
}

impl TryFrom<Row> for VisitPhotoRow {
    type Error = Error;

    fn try_from(row: Row) -> Result<Self, Error> {
        let said = PhotoInput {
            panel: row.panel.as_deref().map(super::panel).transpose()?,
            taken_at: row.taken_at.map(|at| Moment(at.0)),
            note: row.note,
        };
        let bytes = u32::try_from(row.bytes).map_err(|_| Error::Other("a photo has no length".into()))?;
        Ok(Self {
            id: row.id.id(),
            visit: row.visit_id.id(),
            photo: VisitPhoto {
                said,
                digest: super::digest(&row.digest)?,
                media_type: row.media_type.0,
                bytes,
                width_px: super::count_of(row.width_px)?,
                height_px: super::count_of(row.height_px)?,
            },
            entered_by: row.entered_by.id(),
            entered_at: row.entered_at.0,
        })
    }
}

/// Adds a photo to a visit of the shop.
pub fn add(tx: &mut Tx<'_>, _: &Shop, row: &VisitPhotoRow) -> Result<(), Error> {
    let photo = row.photo.clone();
    let values = Row {
        id: Uid::of(row.id),
        visit_id: Uid::of(row.visit),
        digest: photo.digest.as_bytes().to_vec(),
        media_type: Word(photo.media_type),
        bytes: photo.bytes.into(),
        width_px: super::count_as(photo.width_px)?,
        height_px: super::count_as(photo.height_px)?,
        panel: photo.said.panel.map(|panel| panel.to_string()),
        taken_at: photo.said.taken_at.map(|at| At(at.0)),
        note: photo.said.note,
        entered_by: Uid::of(row.entered_by),
        entered_at: At(row.entered_at),
    };
    diesel::insert_into(visit_photos::table).values(values).execute(tx.multi())?;
    Ok(())
}

/// One photo of a visit of the shop.
pub fn find(conn: &mut Conn, scope: &Shop, visit: VisitId, id: PhotoId) -> Result<VisitPhotoRow, Error> {
    visit_photos::table
        .inner_join(visits::table.on(visits::id.eq(visit_photos::visit_id)))
        .filter(visit_photos::id.eq(Uid::of(id)))
        .filter(visit_photos::visit_id.eq(Uid::of(visit)))
        .filter(visits::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .first::<Row>(conn.multi())?
        .try_into()
}

/// The photos of a visit of the shop, newest first, after the one with id `after`.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    visit: VisitId,
    after: Option<PhotoId>,
    limit: i64,
) -> Result<Vec<VisitPhotoRow>, Error> {
    let mut query = visit_photos::table
        .inner_join(visits::table.on(visits::id.eq(visit_photos::visit_id)))
        .filter(visit_photos::visit_id.eq(Uid::of(visit)))
        .filter(visits::shop_id.eq(Uid::of(scope.id())))
        .select(Row::as_select())
        .into_boxed();
    if let Some(after) = after {
        query = query.filter(visit_photos::id.lt(Uid::of(after)));
    }
    let rows = query.order(visit_photos::id.desc()).limit(limit).load::<Row>(conn.multi())?;
    rows.into_iter().map(VisitPhotoRow::try_from).collect()
}

/// Removes a photo of a visit of the shop.
pub fn remove(tx: &mut Tx<'_>, scope: &Shop, visit: VisitId, id: PhotoId) -> Result<(), Error> {
    let row = find(tx, scope, visit, id)?;
    diesel::delete(visit_photos::table.find(Uid::of(row.id))).execute(tx.multi())?;
    Ok(())
}
