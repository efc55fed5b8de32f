//! Number plates.

/// What a plate is compared by: capitals, without blanks and hyphens.
///
/// Empty when nothing else was given; such a plate is none.
///
/// ```
/// assert_eq!(lustrum::core::plate::plate_key("ab 12-cd"), "AB12CD");
/// ```
pub fn plate_key(plate: &str) -> String {
    plate.chars().filter(|c| !c.is_whitespace() && !is_hyphen(*c)).flat_map(char::to_uppercase).collect()
}

/// The hyphen of the keyboard and those that word processors and telephones put in its place.
pub(crate) fn is_hyphen(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}
