//! The files of photos, whatever the photos are of. A file is on the disk before the row that names it, and goes after
//! it: whoever is killed in between leaves a file that nobody names, and never a row without its file.

use std::fs::File;

use super::{App, Error};
use crate::core::ids::Digest;
use crate::core::pictures::Picture;
use crate::db::{self, files};
use crate::files::Sort;

/// How often a file is written that goes again before the photo can name it.
const ATTEMPTS: usize = 5;

/// What went wrong with a file, for the log.
fn broken(error: &std::io::Error) -> db::Error {
    db::Error::Other(format!("LUSTRUM_FILES: {error}"))
}

/// Puts a picture on the disk and calls `enter`, which writes the row that names it and answers None where it finds
/// that the file has gone again.
pub(super) fn with_file<T>(
    app: &App,
    picture: &Picture,
    digest: Digest,
    enter: impl Fn() -> Result<Option<T>, Error>,
) -> Result<T, Error> {
    with_files(app, &[(digest, picture)], enter)
}

/// The same of several pictures, whose rows are written together.
pub(super) fn with_files<T>(
    app: &App,
    pictures: &[(Digest, &Picture)],
    enter: impl Fn() -> Result<Option<T>, Error>,
) -> Result<T, Error> {
    for _ in 0..ATTEMPTS {
        for (digest, picture) in pictures {
            for (sort, bytes) in [(Sort::Whole, &picture.bytes), (Sort::Thumbnail, &picture.thumbnail)] {
                app.files.keep(*digest, sort, bytes).map_err(|error| broken(&error))?;
            }
        }
        match enter() {
            // The last photo of the same picture was removed in this moment, and the file with it.
            Ok(None) => {}
            Ok(Some(entered)) => return Ok(entered),
            Err(error) => {
                pictures.iter().for_each(|(digest, _)| tidy(app, *digest));
                return Err(error);
            }
        }
    }
    Err(db::Error::Busy.into())
}

/// Removes a file that no photo names; what stays behind hinders nobody.
pub(super) fn tidy(app: &App, digest: Digest) {
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

/// An open file, or that of its thumbnail, and the length of that in bytes.
pub(super) fn open(app: &App, digest: Digest, sort: Sort) -> Result<(File, u64), Error> {
    let opened = app.files.open(digest, sort).and_then(|file| Ok((file.metadata()?.len(), file)));
    let (bytes, file) = opened.map_err(|error| broken(&error))?;
    Ok((file, bytes))
}
