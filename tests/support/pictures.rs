//! Pictures made for a test, with what cameras write into them.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

/// A picture whose first quarter (left, above) is red and the rest a grey that changes.
pub(crate) fn quarter_red(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        if x < width / 2 && y < height / 2 {
            return Rgb([220, 20, 20]);
        }
        let grey = u8::try_from((x * 3 + y * 5) % 200).unwrap();
        Rgb([grey, grey, grey])
    })
}

pub(crate) fn jpeg(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 90).encode_image(&quarter_red(width, height)).unwrap();
    bytes
}

pub(crate) fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(quarter_red(width, height)).write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// The pixels of a coded picture.
pub(crate) fn pixels(bytes: &[u8]) -> DynamicImage {
    image::load_from_memory(bytes).unwrap()
}

/// Exif as a telephone writes it: maker, orientation, serial number of the camera, and where it was (TIFF 6.0 §2; CIPA
/// DC-008 §4.6).
pub(crate) fn camera_exif(orientation: u16) -> Vec<u8> {
    let mut tiff = b"II\x2a\0\x08\0\0\0".to_vec();
    let entry = |tiff: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        tiff.extend(tag.to_le_bytes());
        tiff.extend(kind.to_le_bytes());
        tiff.extend(count.to_le_bytes());
        tiff.extend(value);
    };
    let at = |place: u32| place.to_le_bytes();
    // The main directory is 8 + 2 + 4·12 + 4 = 62 bytes long, that of the camera 2 + 12 + 4 = 18, that of the place 54.
    tiff.extend(4_u16.to_le_bytes());
    entry(&mut tiff, 0x010f, 2, 4, *b"Cam\0");
    entry(&mut tiff, 0x0112, 3, 1, [u8::try_from(orientation).unwrap(), 0, 0, 0]);
    entry(&mut tiff, 0x8769, 4, 1, at(62));
    entry(&mut tiff, 0x8825, 4, 1, at(80));
    tiff.extend(at(0));
    tiff.extend(1_u16.to_le_bytes());
    entry(&mut tiff, 0xa431, 2, 8, at(134));
    tiff.extend(at(0));
    tiff.extend(4_u16.to_le_bytes());
    entry(&mut tiff, 1, 2, 2, *b"N\0\0\0");
    entry(&mut tiff, 2, 5, 3, at(142));
    entry(&mut tiff, 3, 2, 2, *b"W\0\0\0");
    entry(&mut tiff, 4, 5, 3, at(142));
    tiff.extend(at(0));
    assert_eq!(tiff.len(), 134);
    tiff.extend(b"SN-4170\0");
    for part in [38_u32, 42, 30] {
        tiff.extend(part.to_le_bytes());
        tiff.extend(1_u32.to_le_bytes());
    }
    tiff
}

/// A segment of a JPEG.
pub(crate) fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
    [&[0xff, marker], length.as_slice(), content].concat()
}

/// The JPEG with more segments right after its beginning.
pub(crate) fn with_segments(jpeg: &[u8], segments: &[Vec<u8>]) -> Vec<u8> {
    [&jpeg[..2], segments.concat().as_slice(), &jpeg[2..]].concat()
}

/// The JPEG as a telephone writes it: with Exif, XMP, a comment, and a film with sound behind its end.
pub(crate) fn as_taken(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    let exif = [b"Exif\0\0".as_slice(), &camera_exif(orientation)].concat();
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta exif:GPSLatitude='38,42.5N'/>";
    let mut taken =
        with_segments(jpeg, &[segment(0xe1, &exif), segment(0xe1, xmp), segment(0xfe, b"SN-4170 at 38.7 N")]);
    taken.extend(b"ftypmp42 a film that tells 38.7 N");
    taken
}

/// A chunk of a PNG.
pub(crate) fn chunk(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let checked = [kind.as_slice(), content].concat();
    // Annex D of the standard, bit by bit.
    let crc = !checked.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| if c & 1 == 1 { 0xedb8_8320 ^ (c >> 1) } else { c >> 1 })
    });
    [&u32::try_from(content.len()).unwrap().to_be_bytes(), checked.as_slice(), &crc.to_be_bytes()].concat()
}

/// The PNG with more chunks right after its header.
pub(crate) fn with_chunks(png: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    [&png[..33], chunks.concat().as_slice(), &png[33..]].concat()
}
