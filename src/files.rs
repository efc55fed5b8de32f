//! Files in a folder, each named by the digest of what it holds. A file is whole, or not there.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::core::ids::Digest;

/// What is kept under a digest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// The file itself.
    Whole,
    /// A small picture of it, which is not what has the digest.
    Thumbnail,
}

/// The folder. Several services may share it.
#[derive(Debug, Clone)]
pub struct Files {
    folder: Arc<Path>,
}

impl Files {
    /// The files in this folder, which is made when the first one is kept.
    pub fn new(folder: &Path) -> Self {
        Self { folder: folder.into() }
    }

    /// Where a file stands: in one of 256 folders.
    fn place(&self, digest: Digest, sort: Sort) -> PathBuf {
        let name = digest.to_string();
        let end = match sort {
            Sort::Whole => "",
            Sort::Thumbnail => ".thumbnail",
        };
        self.folder.join(&name[..2]).join(format!("{name}{end}"))
    }

    /// Keeps a file: when this answers `Ok` it is on the disk, also after the power has failed. One that is there
    /// already is left as it is.
    pub fn keep(&self, digest: Digest, sort: Sort, bytes: &[u8]) -> io::Result<()> {
        let place = self.place(digest, sort);
        let folder = place.parent().unwrap_or(&self.folder);
        if !fs::metadata(&place).is_ok_and(|there| there.len() == bytes.len() as u64) {
            fs::create_dir_all(folder)?;
            let (mut file, unfinished) = begin(&place)?;
            let written = file.write_all(bytes).and_then(|()| file.sync_all());
            let done = written.and_then(|()| fs::rename(&unfinished, &place));
            if done.is_err() {
                let _ = fs::remove_file(&unfinished);
            }
            done?;
        }
        // The name is on the disk when its folder is, and the folder's name when its own folder is. Whoever made the
        // file that was there may not have come so far.
        for folder in [folder, &self.folder] {
            File::open(folder)?.sync_all()?;
        }
        Ok(())
    }

    /// Opens a file for reading.
    pub fn open(&self, digest: Digest, sort: Sort) -> io::Result<File> {
        File::open(self.place(digest, sort))
    }

    /// Whether all that belongs to this digest is there.
    pub fn has(&self, digest: Digest) -> bool {
        [Sort::Whole, Sort::Thumbnail].into_iter().all(|sort| self.place(digest, sort).is_file())
    }

    /// Removes all that belongs to this digest; what is not there is as removed.
    pub fn remove(&self, digest: Digest) -> io::Result<()> {
        for sort in [Sort::Thumbnail, Sort::Whole] {
            match fs::remove_file(self.place(digest, sort)) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        Ok(())
    }
}

/// An empty file beside `place` that nobody else writes.
fn begin(place: &Path) -> io::Result<(File, PathBuf)> {
    let mut n = 0_u32;
    loop {
        let unfinished = place.with_extension(format!("{}-{n}.part", std::process::id()));
        match OpenOptions::new().write(true).create_new(true).open(&unfinished) {
            // Another thread, or another machine's process of the same number, or one that was killed.
            Err(error) if error.kind() == ErrorKind::AlreadyExists => n += 1,
            opened => return Ok((opened?, unfinished)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_whole_or_not_there() -> io::Result<()> {
        let folder = tempfile::tempdir()?;
        let files = Files::new(&folder.path().join("files"));
        let digest = Digest::of(b"whole");
        assert!(!files.has(digest) && files.open(digest, Sort::Whole).is_err());
        // Whoever was killed left a part behind, which hinders nobody.
        fs::create_dir_all(files.place(digest, Sort::Whole).with_file_name(""))?;
        fs::write(
            files.place(digest, Sort::Whole).with_extension(format!("{}-0.part", std::process::id())),
            b"wh",
        )?;
        files.keep(digest, Sort::Whole, b"whole")?;
        assert!(!files.has(digest), "its thumbnail is missing");
        files.keep(digest, Sort::Thumbnail, b"small")?;
        assert!(files.has(digest));
        assert_eq!(fs::read(files.place(digest, Sort::Whole))?, b"whole");
        // One that a failing disk cut short is written again.
        fs::write(files.place(digest, Sort::Whole), b"who")?;
        files.keep(digest, Sort::Whole, b"whole")?;
        assert_eq!(fs::read(files.place(digest, Sort::Whole))?, b"whole");
        files.remove(digest)?;
        files.remove(digest)?;
        assert!(!files.has(digest));
        assert_eq!(fs::read_dir(files.place(digest, Sort::Whole).with_file_name(""))?.count(), 1);
        Ok(())
    }
}
