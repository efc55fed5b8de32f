//! Of Exif (a TIFF structure: CIPA DC-008, TIFF 6.0 section 2) only how a picture is to be turned.

use image::metadata::Orientation;

/// The tag `Orientation`, a SHORT.
const ORIENTATION: u16 = 0x0112;
const SHORT: u16 = 3;

/// Numbers of a TIFF structure, in its own order of bytes.
struct Tiff<'b> {
    bytes: &'b [u8],
    little: bool,
}

impl Tiff<'_> {
    fn short(&self, at: usize) -> Option<u16> {
        let two = self.bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if self.little { u16::from_le_bytes(two) } else { u16::from_be_bytes(two) })
    }

    fn long(&self, at: usize) -> Option<u32> {
        let four = self.bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if self.little { u32::from_le_bytes(four) } else { u32::from_be_bytes(four) })
    }
}

/// How a picture with this TIFF structure is to be turned. What cannot be read says nothing.
pub(super) fn orientation(tiff: &[u8]) -> Option<Orientation> {
    let little = match tiff.get(..2)? {
        b"II" => true,
        b"MM" => false,
        _ => return None,
    };
    let tiff = Tiff { bytes: tiff, little };
    if tiff.short(2)? != 42 {
        return None;
    }
    let directory = usize::try_from(tiff.long(4)?).ok()?;
    let entries = usize::from(tiff.short(directory)?);
    let entry = (0..entries)
        .filter_map(|n| directory.checked_add(2 + 12 * n))
        .find(|at| tiff.short(*at) == Some(ORIENTATION))?;
    let one_short = tiff.short(entry + 2)? == SHORT && tiff.long(entry + 4)? == 1;
    let value = one_short.then(|| tiff.short(entry + 8)).flatten()?;
    Orientation::from_exif(u8::try_from(value).ok()?)
}

/// A TIFF structure that says this and nothing else; none for a picture that is upright as it is.
pub(super) fn saying(orientation: Orientation) -> Option<[u8; 26]> {
    if orientation == Orientation::NoTransforms {
        return None;
    }
    // Big-endian; the directory at 8 with one entry, and no directory after it.
    let mut tiff = *b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\0\0\0\0\0\0\0";
    tiff[19] = orientation.to_exif();
    Some(tiff)
}
