//! PNG, chunk by chunk (ISO/IEC 15948, W3C PNG Third Edition).

use image::metadata::Orientation;

use super::{MediaType, Stripped, broken, exif, truncated};
use crate::core::error::Fault;

/// The signature.
pub(super) const BEGINS: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

/// What is needed to decode the still picture, and short numbers that say what its colours mean.
const KEPT: &[&[u8; 4]] = &[b"PLTE", b"tRNS", b"IDAT", b"gAMA", b"cHRM", b"sRGB", b"sBIT", b"cICP"];

/// The picture without what is not needed to show it.
pub(super) fn stripped(bytes: &[u8]) -> Result<Stripped, Fault> {
    let mut rest = bytes.get(BEGINS.len()..).ok_or_else(|| truncated(MediaType::Png))?;
    let (mut header, mut orientation) = (None, None);
    let mut kept = Vec::with_capacity(bytes.len());
    loop {
        let one;
        (one, rest) = Chunk::read(rest)?;
        match one.kind {
            b"IHDR" if header.is_none() => header = Some(one),
            b"IEND" => break,
            b"eXIf" => orientation = orientation.or_else(|| exif::orientation(one.content)),
            kind if KEPT.contains(&kind) => kept.extend_from_slice(one.whole),
            _ => {}
        }
    }
    let header = header.ok_or_else(|| broken(MediaType::Png, "it has no header"))?;
    let number = |at: usize| header.content.get(at..at + 4)?.try_into().ok().map(u32::from_be_bytes);
    let size = number(0).zip(number(4)).ok_or_else(|| broken(MediaType::Png, "its header is too short"))?;
    let orientation = orientation.unwrap_or(Orientation::NoTransforms);
    let mut whole = BEGINS.to_vec();
    whole.extend_from_slice(header.whole);
    if let Some(tiff) = exif::saying(orientation) {
        write_chunk(&mut whole, *b"eXIf", &tiff);
    }
    whole.append(&mut kept);
    write_chunk(&mut whole, *b"IEND", &[]);
    Ok(Stripped { bytes: whole, size, orientation })
}

struct Chunk<'b> {
    kind: &'b [u8; 4],
    content: &'b [u8],
    /// With length and checksum.
    whole: &'b [u8],
}

impl<'b> Chunk<'b> {
    /// The next chunk, and what follows it. Whether its checksum is right shows when it is decoded.
    fn read(bytes: &'b [u8]) -> Result<(Self, &'b [u8]), Fault> {
        let cut_off = || truncated(MediaType::Png);
        let (length, after) = bytes.split_first_chunk::<4>().ok_or_else(cut_off)?;
        let (kind, after) = after.split_first_chunk::<4>().ok_or_else(cut_off)?;
        let length = usize::try_from(u32::from_be_bytes(*length)).map_err(|_| cut_off())?;
        let (content, after) = after.split_at_checked(length).ok_or_else(cut_off)?;
        let (_, rest) = after.split_first_chunk::<4>().ok_or_else(cut_off)?;
        Ok((Self { kind, content, whole: &bytes[..length + 12] }, rest))
    }
}

/// Writes a short chunk.
fn write_chunk(to: &mut Vec<u8>, kind: [u8; 4], content: &[u8]) {
    #[expect(clippy::cast_possible_truncation, reason = "a chunk that is written here is short")]
    to.extend((content.len() as u32).to_be_bytes());
    let checked = to.len();
    to.extend(kind);
    to.extend_from_slice(content);
    to.extend(crc32(&to[checked..]).to_be_bytes());
}

/// The checksum of annex D: the polynomial of ISO 3309, bits reversed.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(
            crc ^ u32::from(*byte),
            |crc, _| if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 },
        )
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_checksum_is_the_usual_one() {
        // The check value of CRC-32/ISO-HDLC, and the end that every PNG has (annex D's own code gives it).
        assert_eq!(super::crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(super::crc32(b"IEND"), 0xae42_6082);
    }
}
