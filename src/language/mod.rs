//! The languages that owners are written to in: what is said, and how a date, a number or a list is written.
//!
//! Texts are Fluent messages, in `texts/<language>/`: `words` (surfaces, panels, services, units), `mail`, `documents`,
//! `drawings` and `pages`. They are compiled in. How dates, numbers and lists are written comes from the tables of the Unicode
//! CLDR, by ICU4X; plural rules come from the same tables, by Fluent.
//!
//! A message is a whole sentence or label: nothing is put together from halves, because no two languages cut a
//! sentence at the same place. What is put in are names, dates, numbers and lists.

mod bundles;
mod drawings;
mod figures;
mod names;
mod reasons;
mod said;

use crate::core::calendar::Day;
use crate::core::words::words;

pub use self::bundles::{Faults, Source, ids, sources};
pub(crate) use self::said::said;
pub use self::said::{IntoSaid, Said};

words! {
    /// A language that owners are written to in.
    Language, "language" {
        English = "en",
        German = "de",
        Spanish = "es",
        French = "fr",
        /// As in Portugal.
        Portuguese = "pt",
    }
}

impl Language {
    /// The language of a BCP 47 tag, whatever the country; none where it is not one of ours.
    ///
    /// ```
    /// use lustrum::language::Language;
    /// assert_eq!(Language::of("de-AT"), Some(Language::German));
    /// assert_eq!(Language::of("PT"), Some(Language::Portuguese));
    /// assert_eq!(Language::of("nl"), None);
    /// ```
    pub fn of(tag: &str) -> Option<Self> {
        let first = tag.split(['-', '_']).next().unwrap_or_default();
        Self::ALL.iter().copied().find(|language| language.as_str().eq_ignore_ascii_case(first))
    }

    /// The first of the wanted languages (the owner's, then the shop's) that is one of ours; else English.
    ///
    /// ```
    /// use lustrum::language::Language;
    /// assert_eq!(Language::best(["nl-BE", "fr-BE"]), Language::French);
    /// assert_eq!(Language::best(["nl"]), Language::English);
    /// ```
    pub fn best<'a>(wanted: impl IntoIterator<Item = &'a str>) -> Self {
        wanted.into_iter().find_map(Self::of).unwrap_or(Self::English)
    }

    /// What a message says. One that is missing, or that asks for what is not given, is a fault of the program: tests
    /// stop at it; in service it is logged, and said in English, or as far as it can be.
    pub fn say(self, id: &str, said: &Said) -> String {
        match self.try_say(id, said) {
            Ok(text) => text,
            Err(faults) => {
                debug_assert!(false, "the text `{id}` in {self}: {faults}");
                tracing::error!(language = %self, id, %faults, "a text cannot be said");
                let english = Self::English.try_say(id, said);
                let text = english.unwrap_or_else(|english| english.text.or(faults.text).unwrap_or_default());
                if text.is_empty() { id.to_owned() } else { text }
            }
        }
    }

    /// A message that takes no values.
    pub fn word(self, id: &str) -> String {
        self.say(id, &Said::default())
    }

    /// A text with a capital at its beginning, as headings and labels have it.
    pub fn capital(self, text: &str) -> String {
        let mut signs = text.chars();
        signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
    }

    /// What something is, and how it is: "Roof: gloss"; in French a space that does not break stands before the colon.
    ///
    /// ```
    /// use lustrum::language::Language;
    /// assert_eq!(Language::Spanish.labelled("Techo", "mate"), "Techo: mate");
    /// assert_eq!(Language::French.labelled("Toit", "mat"), "Toit\u{a0}: mat");
    /// ```
    pub fn labelled(self, label: &str, text: &str) -> String {
        let space = if self == Self::French { "\u{a0}" } else { "" };
        format!("{label}{space}: {text}")
    }

    /// A day: "10 March 2026", "10. März 2026".
    ///
    /// ```
    /// use lustrum::language::Language;
    /// let day = "2026-03-10".parse()?;
    /// assert_eq!(Language::English.date(day), "10 March 2026");
    /// assert_eq!(Language::German.date(day), "10. März 2026");
    /// assert_eq!(Language::Portuguese.date(day), "10 de março de 2026");
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn date(self, day: Day) -> String {
        figures::date(self, day)
    }
}
