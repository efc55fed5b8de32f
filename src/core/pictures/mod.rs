//! Pictures that come from outside: what may be kept of one, and its thumbnail.
//!
//! A picture is kept as its pixels were coded, without decoding and coding them again, and without anything that tells
//! more than they do: place, camera, owner, time, embedded previews, whatever follows its end. What is left of its Exif
//! is how it is to be turned.

mod exif;
mod jpeg;
mod png;

use std::io::Cursor;

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::PngDecoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageResult, RgbImage};

use crate::core::error::Fault;
use crate::core::words::words;

words! {
    /// What a picture is coded as.
    MediaType, "type of picture" {
        Jpeg = "image/jpeg",
        Png = "image/png",
    }
}

/// The longest picture, in bytes: 15 MiB.
pub const LONGEST: usize = 15 * 1024 * 1024;

/// The most pixels: what the cameras of telephones give.
pub const MOST_PIXELS: u64 = 50_000_000;

/// The most memory that the pixels may take, in bytes; of sixteen bits a channel fewer can be taken.
const MOST_MEMORY: u64 = 256 * 1024 * 1024;

/// The longer side of a thumbnail, in pixels.
pub const THUMBNAIL_PX: u32 = 480;

/// How well a thumbnail is coded, of 100.
const THUMBNAIL_QUALITY: u8 = 80;

/// A picture as it may be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// What it is coded as.
    pub media_type: MediaType,
    /// The coded picture, without what it told besides.
    pub bytes: Vec<u8>,
    /// Width in pixels, turned as it is to be seen.
    pub width_px: u32,
    /// Height in pixels, turned as it is to be seen.
    pub height_px: u32,
    /// A JPEG of it, upright, its longer side of at most [`THUMBNAIL_PX`].
    pub thumbnail: Vec<u8>,
}

/// A coded picture without what it told besides, not yet decoded.
struct Stripped {
    bytes: Vec<u8>,
    /// Width and height as coded.
    size: (u32, u32),
    orientation: Orientation,
}

impl Picture {
    /// Reads a picture that is said to be of this type. What it says of its size is looked at before it is decoded.
    ///
    /// Refused: another type than is said, one that is cut off or broken, and more than [`MOST_PIXELS`].
    ///
    /// ```
    /// use lustrum::core::pictures::{MediaType, Picture};
    /// let mut heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec();
    /// assert_eq!(Picture::read(MediaType::Jpeg, &heic).unwrap_err().code, "heic");
    /// heic[4..8].copy_from_slice(b"text");
    /// assert_eq!(Picture::read(MediaType::Jpeg, &heic).unwrap_err().code, "not_a_picture");
    /// ```
    pub fn read(said: MediaType, bytes: &[u8]) -> Result<Self, Fault> {
        match sniffed(bytes) {
            Some(Sniffed::Known(found)) if found == said => {}
            Some(Sniffed::Known(found)) => {
                let detail = format!("it is said to be {said}, and is {found}: send it as what it is");
                return Err(Fault::new("", "wrong_type", detail));
            }
            Some(Sniffed::Heic) => return Err(Fault::new("", "heic", HEIC)),
            None => {
                return Err(Fault::new("", "not_a_picture", format!("it is said to be {said}, and is none")));
            }
        }
        let stripped = match said {
            MediaType::Jpeg => jpeg::stripped(bytes)?,
            MediaType::Png => png::stripped(bytes)?,
        };
        let pixels = u64::from(stripped.size.0) * u64::from(stripped.size.1);
        if pixels == 0 {
            return Err(broken(said, "it has no pixels"));
        }
        if pixels > MOST_PIXELS {
            return Err(too_many(format!("{} × {} pixels", stripped.size.0, stripped.size.1)));
        }
        let read = Cursor::new(stripped.bytes.as_slice());
        let whole = match said {
            MediaType::Jpeg => JpegDecoder::new(read).map(|decoder| decoded(decoder, &stripped)),
            MediaType::Png => PngDecoder::new(read).map(|decoder| decoded(decoder, &stripped)),
        };
        let mut whole = whole.map_err(|error| broken(said, &error.to_string()))??;
        whole.apply_orientation(stripped.orientation);
        let thumbnail = thumbnail(&whole).map_err(|error| broken(said, &error.to_string()))?;
        Ok(Self {
            media_type: said,
            bytes: stripped.bytes,
            width_px: whole.width(),
            height_px: whole.height(),
            thumbnail,
        })
    }
}

/// What to do with a picture that few programs can show.
pub const HEIC: &str = "HEIC pictures are not taken, since few programs show them: set the camera to take JPEG, or save \
                        the picture as JPEG, and send that";

/// What the first bytes tell.
enum Sniffed {
    Known(MediaType),
    Heic,
}

fn sniffed(bytes: &[u8]) -> Option<Sniffed> {
    if bytes.starts_with(&jpeg::BEGINS) {
        return Some(Sniffed::Known(MediaType::Jpeg));
    }
    if bytes.starts_with(&png::BEGINS) {
        return Some(Sniffed::Known(MediaType::Png));
    }
    // ISO/IEC 23008-12: a box `ftyp`, and the brand of what follows.
    let brand = bytes.get(4..12)?.strip_prefix(b"ftyp")?;
    let heic = matches!(brand, b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1");
    heic.then_some(Sniffed::Heic)
}

fn decoded(decoder: impl ImageDecoder, stripped: &Stripped) -> Result<DynamicImage, Fault> {
    let said =
        |error: image::ImageError| Fault::new("", "not_a_picture", format!("it cannot be read: {error}"));
    if decoder.dimensions() != stripped.size {
        return Err(Fault::new("", "not_a_picture", "it says several sizes"));
    }
    if decoder.total_bytes() > MOST_MEMORY {
        return Err(too_many(format!("{} bytes of pixels", decoder.total_bytes())));
    }
    DynamicImage::from_decoder(decoder).map_err(said)
}

/// Scaled down, never up; what shows through is white.
fn thumbnail(whole: &DynamicImage) -> ImageResult<Vec<u8>> {
    let most = whole.width().max(whole.height());
    let small = if most > THUMBNAIL_PX { whole.thumbnail(THUMBNAIL_PX, THUMBNAIL_PX) } else { whole.clone() };
    let seen = if small.color().has_alpha() { on_white(&small) } else { small.to_rgb8() };
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, THUMBNAIL_QUALITY).encode_image(&seen)?;
    Ok(bytes)
}

fn on_white(picture: &DynamicImage) -> RgbImage {
    let picture = picture.to_rgba8();
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue, alpha] = picture.get_pixel(x, y).0.map(u32::from);
        #[expect(clippy::cast_possible_truncation, reason = "a mean of two values of eight bits has eight")]
        let over = |channel: u32| ((channel * alpha + 255 * (255 - alpha)) / 255) as u8;
        image::Rgb([over(red), over(green), over(blue)])
    })
}

fn too_many(found: String) -> Fault {
    Fault::new(
        "",
        "too_many_pixels",
        format!("{found}; allowed are up to {MOST_PIXELS} pixels of 8 bits a channel"),
    )
}

/// It ends before it should.
fn truncated(said: MediaType) -> Fault {
    Fault::new("", "truncated", format!("the {said} is cut off: send it whole"))
}

fn broken(said: MediaType, why: &str) -> Fault {
    Fault::new("", "not_a_picture", format!("the {said} cannot be read: {why}"))
}
