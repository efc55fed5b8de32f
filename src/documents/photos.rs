//! Photos on paper: what each shows and when, with the SHA-256 of its file.

use chrono::NaiveDateTime;

use super::paper::{Block, Paper, PhotoOnPaper, photo_file};
use super::short;
use crate::core::ids::Digest;
use crate::core::words::Panel;

/// A photo.
#[derive(Debug, Clone)]
pub struct Photograph {
    /// Which panel it shows.
    pub panel: Option<Panel>,
    /// When it was taken or entered; local.
    pub at: NaiveDateTime,
    /// What is said of it.
    pub note: Option<String>,
    /// Whether it was entered after the job was signed off.
    pub afterwards: bool,
    /// SHA-256 of its file.
    pub digest: Digest,
    /// Its thumbnail, where it is there.
    pub thumbnail: Option<Vec<u8>>,
}

/// Photos in rows, each with what it is to those who do not see it: `alt` says that of what it shows. Those without a
/// thumbnail are told by their digests.
pub(super) fn photos(paper: &mut Paper, photos: &[Photograph], alt: impl Fn(&str) -> String) {
    let language = paper.language;
    let (mut shown, mut missing) = (Vec::new(), Vec::new());
    for photo in photos {
        let shows = photo.panel.as_ref().map(|panel| language.capital(&language.panel(panel)));
        let shows = shows.unwrap_or_else(|| language.word("job-photo"));
        let mut lines = vec![format!("{shows}, {}", short(language, photo.at))];
        lines.extend(photo.note.clone());
        if photo.afterwards {
            lines.push(language.word("dispute-afterwards"));
        }
        match &photo.thumbnail {
            Some(bytes) => {
                lines.push(in_halves(photo.digest));
                let file = photo_file(paper.pictures.len());
                shown.push(PhotoOnPaper { file, alt: alt(&shows), caption: lines.join("\n") });
                paper.pictures.push(bytes.clone());
            }
            None => missing.push(format!("{}, SHA-256 {}", lines.join(", "), photo.digest)),
        }
    }
    if !shown.is_empty() {
        paper.add(Block::Photos { photos: shown });
    }
    paper.list(missing);
}

/// A digest on two lines, where one is too narrow for it.
pub(super) fn in_halves(digest: Digest) -> String {
    let whole = digest.to_string();
    let (half, rest) = whole.split_at(whole.len() / 2);
    format!("{half}\n{rest}")
}
