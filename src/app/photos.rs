//! Photos of a job. A photo's file is on the disk before the row that names it, and goes after it: whoever is killed in
//! between leaves a file that nobody names, and never a row without its file.

use std::fs::File;

use chrono::{DateTime, Utc};
use serde_json::json;

use super::jobs::{open_job, time_fault};
use super::parts::{Entered, Kind};
use super::records::Document;
use super::{App, Error, Who, job_sheet, new_id, wanted_text};
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{Digest, JobId, PhotoId};
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

/// What went wrong with a file, for the log.
fn broken(error: &std::io::Error) -> db::Error {
    db::Error::Other(format!("LUSTRUM_FILES: {error}"))
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
    let in_query =
        |fault: Fault| Fault { pointer: fault.pointer.trim_start_matches('/').to_owned(), ..fault };
    let mut faults: Vec<Fault> = Photo::faults(&said, now).into_iter().map(in_query).collect();
    let picture = match picture {
        Ok(picture) if faults.is_empty() => picture,
        other => {
            faults.extend(other.err());
            return Err(Rule::rules(faults).into());
        }
    };
    app.db.read(|c| taking_photos(jobs::find(c, &who.shop, job)?).map_err(Error::from))?;
    if validate_only {
        return Ok(None);
    }
    let photo = Photo::of(&picture, said);
    for _ in 0..ATTEMPTS {
        for (sort, bytes) in [(Sort::Whole, &picture.bytes), (Sort::Thumbnail, &picture.thumbnail)] {
            app.files.keep(photo.digest, sort, bytes).map_err(|error| broken(&error))?;
        }
        match enter(app, &who, job, photo.clone(), now) {
            // The last photo of the same picture was removed in this moment, and the file with it.
            Ok(None) => {}
            Ok(entered) => return Ok(entered),
            Err(error) => {
                tidy(app, photo.digest);
                return Err(error);
            }
        }
    }
    Err(db::Error::Busy.into())
}

/// How often a file is written that goes again before the photo can name it.
const ATTEMPTS: usize = 5;

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

/// Removes a file that no photo names; what stays behind hinders nobody.
fn tidy(app: &App, digest: Digest) {
    if let Err(error) = release(app, digest) {
        tracing::warn!(%digest, %error, "a file stays behind");
    }
}

/// Removes a file that no photo names. The file's row is held meanwhile, so that nobody comes to name it.
fn release(app: &App, digest: Digest) -> Result<(), Error> {
    let (folder, everyone) = (app.files.clone(), app.db.installation());
    app.db.unanswered().write(move |tx| {
        files::hold(tx, &everyone, digest)?;
        if files::is_named(tx, &everyone, digest)? {
            return Ok(());
        }
        folder.remove(digest).map_err(|error| broken(&error))?;
        Ok(files::forget(tx, &everyone, digest)?)
    })
}

/// A photo with its open file, or that of its thumbnail, and the length of that in bytes.
pub fn open(app: &App, who: &Who, job: JobId, id: PhotoId, sort: Sort) -> Result<(Photo, File, u64), Error> {
    let photo = app.db.read(|c| Photo::find(c, &who.shop, job, id))?.part;
    let opened = app.files.open(photo.digest, sort).and_then(|file| Ok((file.metadata()?.len(), file)));
    let (bytes, file) = opened.map_err(|error| broken(&error))?;
    Ok((photo, file, bytes))
}
