//! Codes to be read by a camera (ISO/IEC 18004).

use qrcode::types::{Color, QrError};
use qrcode::{EcLevel, QrCode};

/// The quiet zone that the standard asks for around a code, in modules.
const QUIET: usize = 4;

/// The code of a text as SVG, black on white, with its quiet zone. It can be read with a seventh of it lost.
///
/// Refused: a text of more than about 2,300 bytes.
///
/// ```
/// let svg = lustrum::documents::qr::svg("https://shop.example/verify/ABCD").unwrap();
/// assert!(svg.starts_with("<svg "));
/// assert!(lustrum::documents::qr::svg(&"x".repeat(3_000)).is_err());
/// ```
pub fn svg(text: &str) -> Result<String, QrError> {
    let code = QrCode::with_error_correction_level(text.as_bytes(), EcLevel::M)?;
    let (width, modules) = (code.width(), code.to_colors());
    let mut path = String::new();
    for (y, row) in modules.chunks(width).enumerate() {
        let mut x = 0;
        while x < width {
            let run = row[x..].iter().take_while(|module| **module == Color::Dark).count();
            if run > 0 {
                path.push_str(&format!("M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET));
            }
            x += run.max(1);
        }
    }
    let size = width + 2 * QUIET;
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {size} {size}\" width=\"{size}\" height=\"{size}\">\
         <rect width=\"{size}\" height=\"{size}\" fill=\"#ffffff\"/><path d=\"{path}\" fill=\"#000000\"/></svg>"
    ))
}
