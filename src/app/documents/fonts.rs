//! The fonts that are set up beside those that come with the program.

use std::path::Path;

use crate::core::error::Fault;
use crate::documents::press::Press;

/// The press with every font file (`.ttf`, `.otf`, `.ttc`, `.otc`) of the folder, in the order of their names; without
/// a folder, with its own fonts.
pub fn press(folder: Option<&Path>) -> Result<Press, Fault> {
    let Some(folder) = folder else { return Ok(Press::default()) };
    let unreadable = |path: &Path, e: &std::io::Error| {
        Fault::new("", "unreadable", format!("{} cannot be read: {e}", path.display()))
    };
    let entries = std::fs::read_dir(folder).map_err(|e| unreadable(folder, &e))?;
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry.map_err(|e| unreadable(folder, &e))?.path();
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        if ["ttf", "otf", "ttc", "otc"].contains(&ending.to_ascii_lowercase().as_str()) {
            paths.push(path);
        }
    }
    paths.sort();
    let mut files = Vec::new();
    for path in paths {
        let content = std::fs::read(&path).map_err(|e| unreadable(&path, &e))?;
        files.push((path.display().to_string(), content));
    }
    Press::with_fonts(files).map_err(|name| Fault::new("", "no_font", format!("{name} holds no font")))
}
