//! The words of the trade in each language: surfaces, panels, steps of work, services, lengths of time.

use super::{Language, Said};
use crate::core::calendar::Period;
use crate::core::words::{Panel, StepKind, Surface};

impl Language {
    /// What a coating lies on, as it stands within a sentence.
    pub fn surface(self, surface: &Surface) -> String {
        self.named("surface", surface.as_str())
    }

    /// A surface by its word in terms; one that shops call otherwise stays as it is.
    pub fn surface_named(self, word: &str) -> String {
        word.parse().map_or_else(|_| word.replace('_', " "), |surface| self.surface(&surface))
    }

    /// A panel or part, as it stands within a sentence; one by the shop's own words as it is.
    pub fn panel(self, panel: &Panel) -> String {
        match panel {
            Panel::Named(name) => self.named("panel", name.as_str()),
            Panel::Other(_) => {
                let text = panel.to_string();
                text.strip_prefix(Panel::OTHER_PREFIX).unwrap_or(&text).to_owned()
            }
        }
    }

    /// A step of work.
    pub fn step(self, kind: StepKind) -> String {
        self.named("step", kind.as_str())
    }

    /// A service by its word in terms: those that many terms name in this language, others as they are.
    ///
    /// ```
    /// use lustrum::language::Language;
    /// assert_eq!(Language::German.service("maintenance wash"), "Pflegewäsche");
    /// assert_eq!(Language::German.service("seal of approval"), "seal of approval");
    /// ```
    pub fn service(self, word: &str) -> String {
        let id = format!("service-{}", word.replace(' ', "-"));
        let known = id.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-');
        known.then(|| self.try_say(&id, &Said::default()).ok()).flatten().unwrap_or_else(|| word.to_owned())
    }

    /// Services of which any will do.
    pub fn any_service(self, words: &[String]) -> String {
        self.any_of(&words.iter().map(|word| self.service(word)).collect::<Vec<_>>())
    }

    /// Surfaces, all of them.
    pub fn surfaces(self, surfaces: &[Surface]) -> String {
        self.all_of(&surfaces.iter().map(|surface| self.surface(surface)).collect::<Vec<_>>())
    }

    /// Panels, all of them.
    pub fn panels(self, panels: &[Panel]) -> String {
        self.all_of(&panels.iter().map(|panel| self.panel(panel)).collect::<Vec<_>>())
    }

    /// A length of time: "2 years", "18 Monate", "1 año y 2 semanas".
    ///
    /// ```
    /// use lustrum::core::calendar::Period;
    /// use lustrum::language::Language;
    /// let period = Period { years: 1, weeks: 2, ..Period::default() };
    /// assert_eq!(Language::Spanish.period(period), "1 año y 2 semanas");
    /// ```
    pub fn period(self, period: Period) -> String {
        let parts = [
            ("period-years", period.years),
            ("period-months", period.months),
            ("period-weeks", period.weeks),
            ("period-days", period.days),
        ];
        let say = |(id, count): (&str, u32)| self.say(id, &Said::default().with("count", count));
        if period.is_none() {
            return say(("period-days", 0));
        }
        self.all_of(&parts.into_iter().filter(|(_, count)| *count > 0).map(say).collect::<Vec<_>>())
    }

    fn named(self, set: &str, word: &str) -> String {
        self.say(&format!("{set}-{}", word.replace('_', "-")), &Said::default())
    }
}
