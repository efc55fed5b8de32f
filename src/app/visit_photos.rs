//! Photos of a visit: proof of what was done elsewhere, or of what was found here. They come at any time after the
//! visit was entered, and each that comes or goes leaves a record.

use std::fs::File;

use chrono::{DateTime, Utc};
use serde::Serialize;
use serde_json::json;

use super::page::{Page, Wanted};
use super::photo_files::{self, tidy, with_file};
use super::photos::clear;
use super::records::Document;
use super::{App, Error, Who, new_id};
use crate::core::access::Action;
use crate::core::error::Fault;
use crate::core::ids::{MemberId, PhotoId, VisitId};
use crate::core::photos::{Photo, PhotoInput, VisitPhoto};
use crate::core::pictures::Picture;
use crate::core::words::RecordKind;
use crate::db::visit_photos::{self, VisitPhotoRow};
use crate::db::{files, visits};
use crate::files::Sort;

/// A photo of a visit as it is answered.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct VisitPhotoView {
    /// The photo.
    pub id: PhotoId,
    /// What it is.
    #[serde(flatten)]
    pub photo: VisitPhoto,
    /// Who entered it.
    pub entered_by: MemberId,
    /// When it was entered.
    pub entered_at: DateTime<Utc>,
}

impl From<VisitPhotoRow> for VisitPhotoView {
    fn from(row: VisitPhotoRow) -> Self {
        Self { id: row.id, photo: row.photo, entered_by: row.entered_by, entered_at: row.entered_at }
    }
}

/// Adds a photo to a visit. `said` stood in the query. `validate_only` writes nothing.
pub fn add(
    app: &App,
    who: &Who,
    visit: VisitId,
    said: PhotoInput,
    picture: Result<Picture, Fault>,
    validate_only: bool,
) -> Result<Option<VisitPhotoView>, Error> {
    who.must(Action::LogVisit)?;
    let now = app.now();
    let picture = clear(&said, picture, now)?;
    app.db.read(|c| visits::find(c, &who.shop, visit))?;
    if validate_only {
        return Ok(None);
    }
    let photo = VisitPhoto::from(Photo::of(&picture, said));
    let enter = || enter(app, who, visit, photo.clone(), now);
    with_file(app, &picture, photo.digest, enter).map(Some)
}

/// Enters a photo whose file is there; none when it has gone again.
fn enter(
    app: &App,
    who: &Who,
    visit: VisitId,
    photo: VisitPhoto,
    now: DateTime<Utc>,
) -> Result<Option<VisitPhotoView>, Error> {
    let (who, folder, everyone) = (who.clone(), app.files.clone(), app.db.installation());
    app.db.write(move |tx| {
        let shop = who.shop;
        visits::find(tx, &shop, visit)?;
        files::hold(tx, &everyone, photo.digest)?;
        if !folder.has(photo.digest) {
            return Ok(None);
        }
        let row = VisitPhotoRow { id: new_id(), visit, photo, entered_by: who.member, entered_at: now };
        visit_photos::add(tx, &shop, &row)?;
        let view = VisitPhotoView::from(row);
        Document::new(
            RecordKind::Addendum,
            format!("visit:{visit}"),
            &json!({"visit": {"id": visit}, "photo": view}),
        )?
        .personal(&["/photo/note"])
        .keep(tx, &who, now)?;
        Ok(Some(view))
    })
}

/// Removes a photo that should not be there, as one of the owner's papers; then its file, if no other photo is the same.
/// That it was there, and who took it away, stays on record.
pub fn remove(app: &App, who: &Who, visit: VisitId, id: PhotoId) -> Result<(), Error> {
    who.must(Action::Retract)?;
    let (person, now) = (who.clone(), app.now());
    let digest = app.db.write::<_, Error>(move |tx| {
        let shop = person.shop;
        let photo = VisitPhotoView::from(visit_photos::find(tx, &shop, visit, id)?);
        visit_photos::remove(tx, &shop, visit, id)?;
        let digest = photo.photo.digest;
        Document::new(
            RecordKind::Correction,
            format!("visit:{visit}"),
            &json!({"visit": {"id": visit}, "photo_removed": photo}),
        )?
        .personal(&["/photo_removed/note"])
        .keep(tx, &person, now)?;
        Ok(digest)
    })?;
    tidy(app, digest);
    Ok(())
}

/// One photo of a visit.
pub fn find(app: &App, who: &Who, visit: VisitId, id: PhotoId) -> Result<VisitPhotoView, Error> {
    Ok(app.db.read(|c| visit_photos::find(c, &who.shop, visit, id))?.into())
}

/// A page of the photos of a visit, newest first.
pub fn list(
    app: &App,
    who: &Who,
    visit: VisitId,
    wanted: &Wanted<PhotoId>,
) -> Result<Page<VisitPhotoView>, Error> {
    app.db.read(|c| {
        visits::find(c, &who.shop, visit)?;
        let rows = visit_photos::list(c, &who.shop, visit, wanted.after, wanted.rows())?;
        let views = rows.into_iter().map(VisitPhotoView::from).collect();
        Ok(wanted.page(views, |view: &VisitPhotoView| view.id))
    })
}

/// A photo of a visit with its open file, or that of its thumbnail, and the length of that in bytes.
pub fn open(
    app: &App,
    who: &Who,
    visit: VisitId,
    id: PhotoId,
    sort: Sort,
) -> Result<(VisitPhoto, File, u64), Error> {
    let photo = app.db.read(|c| visit_photos::find(c, &who.shop, visit, id))?.photo;
    let (file, bytes) = photo_files::open(app, photo.digest, sort)?;
    Ok((photo, file, bytes))
}
