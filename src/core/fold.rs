//! Text as people search for it: capitals, accents and runs of blanks do not matter.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// What two texts are compared by when somebody searches: decomposed (Unicode NFKD), without combining marks, in
/// lower case, with single blanks.
///
/// ```
/// use lustrum::core::fold::folded;
/// assert_eq!(folded("  Zoë   MÜLLER "), "zoe muller");
/// assert_eq!(folded("Straße"), folded("STRASSE"));
/// ```
pub fn folded(text: &str) -> String {
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

/// What is kept to be searched: the texts folded, with two blanks before each word, so that a word's beginning of one
/// or two letters is three characters too.
///
/// ```
/// use lustrum::core::fold::search_key;
/// assert_eq!(search_key(["Zoë Müller", "SK 1"]), "  zoe  muller  sk  1");
/// ```
pub fn search_key<'a>(texts: impl IntoIterator<Item = &'a str>) -> String {
    let mut key = String::new();
    for text in texts {
        for word in folded(text).split_whitespace() {
            key.push_str("  ");
            key.push_str(word);
        }
    }
    key
}

/// What somebody searches for. Every word must be found: one of three characters or more anywhere, a shorter one at
/// the beginning of a word. Or all of it without blanks and hyphens, as a plate may be written.
///
/// ```
/// use lustrum::core::fold::{Sought, search_key};
/// let key = search_key(["SK22095", "Zoë Müller"]);
/// for found in ["müll", "Mu zo", "sk 22-095", "209 zoe", "2095 MÜLLER"] {
///     assert!(Sought::of(found).is_in(&key), "{found}");
/// }
/// for absent in ["ller xyz", "ll", "o m"] {
///     assert!(!Sought::of(absent).is_in(&key), "{absent}");
/// }
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sought(Vec<Vec<String>>);

impl Sought {
    /// Reads what was typed.
    pub fn of(text: &str) -> Self {
        let whole = folded(text);
        let words: Vec<String> = whole.split(' ').filter(|word| !word.is_empty()).map(part).collect();
        let compact: String = whole.chars().filter(|c| !c.is_whitespace() && *c != '-').collect();
        let mut ways = vec![words];
        if compact != whole && !compact.is_empty() {
            ways.push(vec![part(&compact)]);
        }
        Self(ways)
    }

    /// Whether nothing is sought, so that everything is found.
    pub fn is_nothing(&self) -> bool {
        self.0.iter().all(Vec::is_empty)
    }

    /// The ways in which a key can be what is sought: of one of them, every part must stand in it. A part has three
    /// characters or more.
    pub fn ways(&self) -> &[Vec<String>] {
        &self.0
    }

    /// Whether a key that [`search_key`] made is what is sought.
    pub fn is_in(&self, key: &str) -> bool {
        self.0.iter().any(|way| way.iter().all(|part| key.contains(part.as_str())))
    }
}

fn part(word: &str) -> String {
    match word.chars().count() {
        1 => format!("  {word}"),
        2 => format!(" {word}"),
        _ => word.to_owned(),
    }
}
