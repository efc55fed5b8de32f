//! Photos as documents show them: by their thumbnails and the digests of their files.

use std::io::Read as _;

use chrono::{DateTime, Utc};

use super::Office;
use crate::app::App;
use crate::core::ids::Digest;
use crate::core::photos::PhotoInput;
use crate::documents::photos::Photograph;
use crate::files::Sort;

/// A photo of which this is said; it was taken when it was entered unless said.
pub(super) fn photograph(
    app: &App,
    office: &Office,
    said: PhotoInput,
    digest: Digest,
    entered_at: DateTime<Utc>,
) -> Photograph {
    Photograph {
        panel: said.panel,
        at: office.local(said.taken_at.map_or(entered_at, |at| at.0)),
        note: said.note,
        afterwards: false,
        digest,
        thumbnail: thumbnail(app, digest),
    }
}

/// The thumbnail of a photo; one whose file cannot be read is told by its digest alone.
fn thumbnail(app: &App, digest: Digest) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let read = app.files.open(digest, Sort::Thumbnail).and_then(|mut file| file.read_to_end(&mut bytes));
    if let Err(error) = &read {
        tracing::warn!(%digest, %error, "a thumbnail cannot be read");
    }
    read.ok().map(|_| bytes)
}
