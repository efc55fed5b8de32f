//! JPEG, segment by segment (ITU-T T.81, annex B).

use image::metadata::Orientation;

use super::{MediaType, Stripped, broken, exif, truncated};
use crate::core::error::Fault;

/// Start of image, and the first byte of the next marker.
pub(super) const BEGINS: [u8; 3] = [0xff, SOI, 0xff];

const SOI: u8 = 0xd8;
const EOI: u8 = 0xd9;
const SOS: u8 = 0xda;
const APP0: u8 = 0xe0;
const APP1: u8 = 0xe1;
const APP14: u8 = 0xee;

fn cut_off() -> Fault {
    truncated(MediaType::Jpeg)
}

/// The picture without what is not needed to decode it.
pub(super) fn stripped(bytes: &[u8]) -> Result<Stripped, Fault> {
    let mut rest = bytes.get(2..).ok_or_else(cut_off)?;
    let mut kept = Vec::with_capacity(bytes.len());
    let (mut jfif, mut orientation, mut size) = (None, None, None);
    loop {
        let marker;
        (marker, rest) = next_marker(rest)?;
        match marker {
            EOI => break,
            // They stand alone, and mean nothing between segments.
            0x01 | 0xd0..=0xd7 => continue,
            0x00 | SOI => return Err(broken(MediaType::Jpeg, "a marker stands where none can")),
            _ => {}
        }
        let content;
        (content, rest) = segment(rest)?;
        match marker {
            // Density and version; not the preview that may follow.
            APP0 => jfif = jfif.or(content.get(..12).filter(|content| content.starts_with(b"JFIF\0"))),
            APP1 => {
                let tiff = content.strip_prefix(b"Exif\0\0");
                orientation = orientation.or_else(|| tiff.and_then(exif::orientation));
            }
            // How colours are coded.
            APP14 => {
                let adobe = content.get(..12).filter(|content| content.starts_with(b"Adobe"));
                adobe.into_iter().for_each(|adobe| write_segment(&mut kept, APP14, &[adobe]));
            }
            0xc0..=0xc7 | 0xc9..=0xcf | SOS..=0xdd => {
                if is_frame(marker) {
                    size = size.or(frame_size(content));
                }
                write_segment(&mut kept, marker, &[content]);
                if marker == SOS {
                    let scan;
                    (scan, rest) = rest.split_at(scan_length(rest).ok_or_else(cut_off)?);
                    kept.extend_from_slice(scan);
                }
            }
            _ => {}
        }
    }
    let size = size.ok_or_else(|| broken(MediaType::Jpeg, "it says no size"))?;
    let orientation = orientation.unwrap_or(Orientation::NoTransforms);
    let mut whole = Vec::with_capacity(kept.len() + 64);
    whole.extend([0xff, SOI]);
    if let Some(jfif) = jfif {
        write_segment(&mut whole, APP0, &[jfif, &[0, 0]]);
    }
    if let Some(tiff) = exif::saying(orientation) {
        write_segment(&mut whole, APP1, &[b"Exif\0\0", &tiff]);
    }
    whole.append(&mut kept);
    whole.extend([0xff, EOI]);
    Ok(Stripped { bytes: whole, size, orientation })
}

/// The next marker and what follows it; any number of 0xff may stand before it.
fn next_marker(bytes: &[u8]) -> Result<(u8, &[u8]), Fault> {
    let filled = bytes.iter().take_while(|byte| **byte == 0xff).count();
    match bytes.get(filled) {
        None => Err(cut_off()),
        Some(_) if filled == 0 => Err(broken(MediaType::Jpeg, "no marker stands where one should")),
        Some(marker) => Ok((*marker, &bytes[filled + 1..])),
    }
}

/// What a segment holds after its length, and what follows it.
fn segment(bytes: &[u8]) -> Result<(&[u8], &[u8]), Fault> {
    let &[high, low, ..] = bytes else { return Err(cut_off()) };
    let length = usize::from(u16::from_be_bytes([high, low]));
    if length < 2 {
        return Err(broken(MediaType::Jpeg, "a segment is shorter than its length"));
    }
    let (segment, rest) = bytes.split_at_checked(length).ok_or_else(cut_off)?;
    Ok((&segment[2..], rest))
}

/// Writes a segment whose parts came out of one, so that its length fits.
fn write_segment(to: &mut Vec<u8>, marker: u8, parts: &[&[u8]]) {
    let length = 2 + parts.iter().map(|part| part.len()).sum::<usize>();
    #[expect(clippy::cast_possible_truncation, reason = "what came out of a segment fits into one")]
    let length = (length as u16).to_be_bytes();
    to.extend([0xff, marker]);
    to.extend(length);
    parts.iter().for_each(|part| to.extend_from_slice(part));
}

/// Start of a frame: its segment says the size.
fn is_frame(marker: u8) -> bool {
    matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc)
}

fn frame_size(content: &[u8]) -> Option<(u32, u32)> {
    let &[_, h1, h0, w1, w0, ..] = content else { return None };
    Some((u32::from(u16::from_be_bytes([w1, w0])), u32::from(u16::from_be_bytes([h1, h0]))))
}

/// How many bytes of coded data follow the start of a scan: up to the next marker that is no restart.
fn scan_length(bytes: &[u8]) -> Option<usize> {
    let ends = |pair: &[u8]| pair[0] == 0xff && !matches!(pair[1], 0x00 | 0xd0..=0xd7 | 0xff);
    bytes.windows(2).position(ends)
}
