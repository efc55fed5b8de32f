//! Photos of a job.

use std::fs::File;

use chrono::{DateTime, Utc};
use serde_json::json;

use super::jobs::{open_job, time_fault};
use super::parts::{Entered, Kind};
use super::photo_files::{tidy, with_file};
use super::records::Document;
use super::{App, Error, Who, job_sheet, new_id, photo_files, wanted_text};
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{JobId, PhotoId};
use crate::core::photos::{Photo, PhotoInput};
use crate::core::pictures::Picture;
use crate::core::words::{JobState, RecordKind};
use crate::db::jobs::JobRow;
use crate::db::parts::{Part as _, PartRow};
use crate::db::{self, Conn, Shop, files, jobs, marks};
pub use crate::files::Sort;

impl Kind for Photo {
    const NAME: &'static str = "photos";

    type Input = PhotoInput;

    fn input(&self) -> &PhotoInput {
        &self.said
    }

    fn faults(said: &PhotoInput, now: DateTime<Utc>) -> Vec<Fault> {
        let mut faults: Vec<Fault> =
            said.taken_at.and_then(|at| time_fault("/taken_at", at, now)).into_iter().collect();
        faults.extend(said.note.as_deref().and_then(|text| wanted_text("/note", text, 500)));
        faults
    }

    /// What is said of a photo changes; the picture stays. There is none without a picture: see [`add`].
    fn kept(_: &mut Conn, _: &Shop, said: PhotoInput, before: Option<Self>) -> Result<Self, Error> {
        let before = before.ok_or_else(|| db::Error::Other("a photo without a picture".into()))?;
        Ok(Self { said, ..before })
    }
}

/// Refuses a job that takes no more photos.
fn taking_photos(row: JobRow) -> Result<JobRow, Rule> {
    if row.state == JobState::Cancelled {
        return Err(Rule::state(
            "job_not_open",
            format!("{} is cancelled: it takes no more photos", row.number),
        ));
    }
    Ok(row)
}

/// The picture, unless it is none or what is said of it in the query is at fault.
pub(super) fn clear(
    said: &PhotoInput,
    picture: Result<Picture, Fault>,
    now: DateTime<Utc>,
) -> Result<Picture, Rule> {
    let in_query =
        |fault: Fault| Fault { pointer: fault.pointer.trim_start_matches('/').to_owned(), ..fault };
    let mut faults: Vec<Fault> = Photo::faults(said, now).into_iter().map(in_query).collect();
    match picture {
        Ok(picture) if faults.is_empty() => Ok(picture),
        other => {
            faults.extend(other.err());
            Err(Rule::rules(faults))
        }
    }
}

/// Adds a photo to a job; after its sign-off as an addendum. `said` stood in the query. `validate_only` writes nothing.
pub fn add(
    app: &App,
    who: &Who,
    job: JobId,
    said: PhotoInput,
    picture: Result<Picture, Fault>,
    validate_only: bool,
) -> Result<Option<Entered<Photo>>, Error> {
    let (who, now) = (who.clone(), app.now());
    let picture = clear(&said, picture, now)?;
    app.db.read(|c| taking_photos(jobs::find(c, &who.shop, job)?).map_err(Error::from))?;
    if validate_only {
        return Ok(None);
    }
    let photo = Photo::of(&picture, said);
    let enter = || enter(app, &who, job, photo.clone(), now);
    with_file(app, &picture, photo.digest, enter).map(Some)
}

/// Enters a photo whose file is there; none when it has gone again.
fn enter(
    app: &App,
    who: &Who,
    job: JobId,
    photo: Photo,
    now: DateTime<Utc>,
) -> Result<Option<Entered<Photo>>, Error> {
    let (who, folder, everyone) = (who.clone(), app.files.clone(), app.db.installation());
    app.db.write(move |tx| {
        let shop = who.shop;
        jobs::lock(tx, &shop, job)?;
        let row = taking_photos(jobs::find(tx, &shop, job)?)?;
        files::hold(tx, &everyone, photo.digest)?;
        if !folder.has(photo.digest) {
            return Ok(None);
        }
        let entered_afterwards = row.state != JobState::Open;
        let part = Photo { entered_afterwards, ..photo };
        let new = PartRow { id: new_id(), job, part, entered_by: who.member, entered_at: now, version: 1 };
        Photo::add(tx, &shop, &new)?;
        let entered = Entered::from(new);
        if entered_afterwards {
            let body = json!({"job": job_sheet::job(tx, &shop, &row)?, "photo": entered});
            Document::new(RecordKind::Addendum, format!("job:{job}"), &body)?
                .personal(&["/photo/note"])
                .keep(tx, &who, now)?;
        }
        Ok(Some(entered))
    })
}

/// Removes a photo of an open job, if it is still of `version` and no mark shows it; then its file, if no other photo
/// is the same.
pub fn remove(app: &App, who: &Who, job: JobId, id: PhotoId, version: i64) -> Result<(), Error> {
    let shop = who.shop;
    let digest = app.db.write::<_, Error>(move |tx| {
        open_job(tx, &shop, job)?;
        let digest = Photo::find(tx, &shop, job, id)?.part.digest;
        if let Some(mark) = marks::showing(tx, &shop, id)? {
            let detail = format!("mark {mark} shows it: take it off the mark first");
            return Err(Rule::state("photo_in_use", detail).into());
        }
        if Photo::remove(tx, &shop, job, id, version)? { Ok(digest) } else { Err(Rule::Stale.into()) }
    })?;
    tidy(app, digest);
    Ok(())
}

/// A photo with its open file, or that of its thumbnail, and the length of that in bytes.
pub fn open(app: &App, who: &Who, job: JobId, id: PhotoId, sort: Sort) -> Result<(Photo, File, u64), Error> {
    let photo = app.db.read(|c| Photo::find(c, &who.shop, job, id))?.part;
    let (file, bytes) = photo_files::open(app, photo.digest, sort)?;
    Ok((photo, file, bytes))
}
