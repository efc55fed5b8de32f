//! From bytes to text: the encodings that spreadsheets write.

use std::borrow::Cow;

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::of_file;
use crate::core::error::Fault;
use crate::core::words::words;

words! {
    /// How a file's text is encoded.
    Encoding, "encoding" {
        Utf8 = "utf-8",
        Utf16Le = "utf-16le",
        Utf16Be = "utf-16be",
        /// What spreadsheets of western Europe write when they are not asked.
        Windows1252 = "windows-1252",
    }
}

/// The text of a file: UTF-8 (with its mark or without), UTF-16 with its mark, else Windows-1252, in which any bytes
/// are text.
///
/// Refused: bytes that are not what their mark says, and U+0000, which no text has.
pub(crate) fn decode(bytes: &[u8]) -> Result<(Encoding, Cow<'_, str>), Fault> {
    let (encoding, text) = match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => (Encoding::Utf8, utf_8(rest)?),
        [0xFF, 0xFE, rest @ ..] => (Encoding::Utf16Le, utf_16(UTF_16LE, rest)?),
        [0xFE, 0xFF, rest @ ..] => (Encoding::Utf16Be, utf_16(UTF_16BE, rest)?),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => (Encoding::Utf8, Cow::Borrowed(text)),
            Err(_) => (Encoding::Windows1252, WINDOWS_1252.decode_without_bom_handling(bytes).0),
        },
    };
    if let Some(place) = text.find('\0') {
        let line = 1 + text[..place].matches('\n').count();
        let detail =
            format!("U+0000 on line {line}: this is no text, or UTF-16 without its mark; save it as UTF-8");
        return Err(of_file("null_character", detail));
    }
    Ok((encoding, text))
}

fn utf_8(bytes: &[u8]) -> Result<Cow<'_, str>, Fault> {
    std::str::from_utf8(bytes).map(Cow::Borrowed).map_err(|e| {
        let line = bytes[..e.valid_up_to()].split(|byte| *byte == b'\n').count();
        of_file("not_text", format!("it begins as UTF-8, but line {line} is not; save it as UTF-8"))
    })
}

fn utf_16<'b>(encoding: &'static encoding_rs::Encoding, bytes: &'b [u8]) -> Result<Cow<'b, str>, Fault> {
    encoding
        .decode_without_bom_handling_and_without_replacement(bytes)
        .ok_or_else(|| of_file("not_text", "it begins as UTF-16, but is not; save it as UTF-8"))
}
