//! Photos of a job. Their files stand in a folder, named by digest.

use diesel::prelude::*;

use super::error::Error;
use super::parts::{Part, PartRow, job_parts};
use super::schema::{jobs, photos};
use super::types::{At, Uid, Word};
use crate::core::calendar::Moment;
use crate::core::ids::PhotoId;
use crate::core::photos::{Photo, PhotoInput};
use crate::core::pictures::MediaType;

/// A photo as the row says.
pub type PhotoRow = PartRow<Photo>;

#[derive(Queryable, Selectable, Insertable, AsChangeset)]
#[diesel(table_name = photos, treat_none_as_default_value = false, treat_none_as_null = true)]
struct Row {
    id: Uid,
    job_id: Uid,
    digest: Vec<u8>,
    media_type: Word<MediaType>,
    bytes: i64,
    width_px: i32,
    height_px: i32,
    panel: Option<String>,
    taken_at: Option<At>,
    note: Option<String>,
    entered_afterwards: bool,
    entered_by: Uid,
    entered_at: At,
    version: i64,
}

impl Row {
    fn of(row: &PhotoRow) -> Result<Self, Error> {
        let photo = row.part.clone();
        Ok(Self {
            id: Uid::of(row.id),
            job_id: Uid::of(row.job),
            digest: photo.digest.as_bytes().to_vec(),
            media_type: Word(photo.media_type),
            bytes: photo.bytes.into(),
            width_px: super::count_as(photo.width_px)?,
            height_px: super::count_as(photo.height_px)?,
            panel: photo.said.panel.map(|panel| panel.to_string()),
            taken_at: photo.said.taken_at.map(|at| At(at.0)),
            note: photo.said.note,
            entered_afterwards: photo.entered_afterwards,
            entered_by: Uid::of(row.entered_by),
            entered_at: At(row.entered_at),
            version: row.version,
        })
    }

    fn part(self) -> Result<PhotoRow, Error> {
        let said = PhotoInput {
            panel: self.panel.as_deref().map(super::panel).transpose()?,
            taken_at: self.taken_at.map(|at| Moment(at.0)),
            note: self.note,
        };
        let bytes = u32::try_from(self.bytes).map_err(|_| Error::Other("a photo has no length".into()))?;
        Ok(PhotoRow {
            id: self.id.id(),
            job: self.job_id.id(),
            part: Photo {
                said,
                digest: super::digest(&self.digest)?,
                media_type: self.media_type.0,
                bytes,
                width_px: super::count_of(self.width_px)?,
                height_px: super::count_of(self.height_px)?,
                entered_afterwards: self.entered_afterwards,
            },
            entered_by: self.entered_by.id(),
            entered_at: self.entered_at.0,
            version: self.version,
        })
    }
}

impl Part for Photo {
    type Id = PhotoId;

    job_parts!(photos);
}
