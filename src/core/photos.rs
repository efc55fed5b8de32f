//! Photos of a job, and those of a visit.

use serde::{Deserialize, Serialize};

use crate::core::calendar::Moment;
use crate::core::ids::Digest;
use crate::core::pictures::{MediaType, Picture};
use crate::core::words::Panel;

/// What is said of a photo.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PhotoInput {
    /// Which panel it shows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub panel: Option<Panel>,
    /// When it was taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken_at: Option<Moment>,
    /// What else there is to say; 1–500 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 500)]
    pub note: Option<String>,
}

/// A photo: what is said of it, and the file that it is.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Photo {
    /// What is said of it.
    #[serde(flatten)]
    pub said: PhotoInput,
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
    /// Whether it came after the sign-off.
    pub entered_afterwards: bool,
}

impl Photo {
    /// A photo that is this picture.
    pub fn of(picture: &Picture, said: PhotoInput) -> Self {
        Self {
            said,
            digest: Digest::of(&picture.bytes),
            media_type: picture.media_type,
            // A picture is never so long: the most is 15 MiB and a few bytes.
            bytes: u32::try_from(picture.bytes.len()).unwrap_or(u32::MAX),
            width_px: picture.width_px,
            height_px: picture.height_px,
            entered_afterwards: false,
        }
    }
}

/// A photo of a visit: what was seen of a service, as another shop's invoice. It stays as it was sent.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct VisitPhoto {
    /// What is said of it.
    #[serde(flatten)]
    pub said: PhotoInput,
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

impl From<Photo> for VisitPhoto {
    fn from(photo: Photo) -> Self {
        let Photo { said, digest, media_type, bytes, width_px, height_px, entered_afterwards: _ } = photo;
        Self { said, digest, media_type, bytes, width_px, height_px }
    }
}
