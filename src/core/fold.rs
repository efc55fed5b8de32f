//! Text as people search for it: capitals, accents and runs of blanks do not matter.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// What two texts are compared by when somebody searches: decomposed (Unicode NFKD), without combining marks, in
/// lower case, with single blanks.
///
/// ```
/// use lustrum::core::fold::search_key;
/// assert_eq!(search_key("  Zoë   MÜLLER "), "zoe muller");
/// assert_eq!(search_key("Straße"), search_key("STRASSE"));
/// ```
pub fn search_key(text: &str) -> String {
    let mut key = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !key.is_empty() {
            key.push(' ');
        }
        for c in word.nfkd().filter(|c| !is_combining_mark(*c)) {
            match c {
                // Lower case alone would tell it from its capitals.
                'ß' | 'ẞ' => key.push_str("ss"),
                'ø' | 'Ø' => key.push('o'),
                'ł' | 'Ł' => key.push('l'),
                other => key.extend(other.to_lowercase()),
            }
        }
    }
    key
}
