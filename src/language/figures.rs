//! Dates, numbers and lists, by the tables of the Unicode CLDR.

use std::sync::OnceLock;

use chrono::{Datelike as _, NaiveDate, NaiveDateTime, NaiveTime, Timelike as _};
use icu_calendar::{Date, Gregorian};
use icu_datetime::fieldsets::{MD, MDT, T, YM, YMD, YMDT};
use icu_datetime::input::{DateTime, Time};
use icu_datetime::{FixedCalendarDateTimeFormatter, NoCalendarFormatter};
use icu_decimal::DecimalFormatter;
use icu_decimal::input::Decimal;
use icu_decimal::options::DecimalFormatterOptions;
use icu_list::ListFormatter;
use icu_list::options::{ListFormatterOptions, ListLength};
use icu_locale_core::{Locale, locale};

use super::Language;
use crate::core::calendar::Day;

/// What writes in a language; none where the tables do not have it, which a test rules out.
struct Hand {
    date: Option<FixedCalendarDateTimeFormatter<Gregorian, YMD>>,
    moment: Option<FixedCalendarDateTimeFormatter<Gregorian, YMDT>>,
    time: Option<NoCalendarFormatter<T>>,
    short_day: Option<FixedCalendarDateTimeFormatter<Gregorian, MD>>,
    short_date: Option<FixedCalendarDateTimeFormatter<Gregorian, YMD>>,
    short_month: Option<FixedCalendarDateTimeFormatter<Gregorian, YM>>,
    short_moment: Option<FixedCalendarDateTimeFormatter<Gregorian, MDT>>,
    number: Option<DecimalFormatter>,
    all: Option<ListFormatter>,
    any: Option<ListFormatter>,
}

impl Hand {
    fn of(language: Language) -> Self {
        let locale = || tag(language);
        let wide = || ListFormatterOptions::default().with_length(ListLength::Wide);
        Self {
            date: FixedCalendarDateTimeFormatter::try_new(locale().into(), YMD::long()).ok(),
            moment: FixedCalendarDateTimeFormatter::try_new(locale().into(), YMD::long().with_time_hm()).ok(),
            time: NoCalendarFormatter::try_new(locale().into(), T::hm()).ok(),
            short_day: FixedCalendarDateTimeFormatter::try_new(locale().into(), MD::medium()).ok(),
            short_date: FixedCalendarDateTimeFormatter::try_new(locale().into(), YMD::medium()).ok(),
            short_month: FixedCalendarDateTimeFormatter::try_new(locale().into(), YM::medium()).ok(),
            short_moment: FixedCalendarDateTimeFormatter::try_new(
                locale().into(),
                MD::medium().with_time_hm(),
            )
            .ok(),
            number: DecimalFormatter::try_new(locale().into(), DecimalFormatterOptions::default()).ok(),
            all: ListFormatter::try_new_and(locale().into(), wide()).ok(),
            any: ListFormatter::try_new_or(locale().into(), wide()).ok(),
        }
    }
}

/// The language with the country whose dates and numbers it has: day before month in English too.
const fn tag(language: Language) -> Locale {
    match language {
        Language::English => locale!("en-GB"),
        Language::German => locale!("de-DE"),
        Language::Spanish => locale!("es-ES"),
        Language::French => locale!("fr-FR"),
        Language::Portuguese => locale!("pt-PT"),
    }
}

fn hand(language: Language) -> &'static Hand {
    static HANDS: [OnceLock<Hand>; Language::ALL.len()] = [const { OnceLock::new() }; Language::ALL.len()];
    HANDS[language as usize].get_or_init(|| Hand::of(language))
}

pub(super) fn date(language: Language, day: Day) -> String {
    let hand = hand(language);
    match (&hand.date, civil(day.date())) {
        (Some(writes), Some(date)) => with_ordinal(language, writes.format(&date).to_string()),
        _ => day.to_string(),
    }
}

/// French counts the first of a month ("1er mai") and no other day; the tables' patterns leave that to whoever writes.
fn with_ordinal(language: Language, text: String) -> String {
    match text.strip_prefix("1 ") {
        Some(rest) if language == Language::French => format!("1er {rest}"),
        _ => text,
    }
}

fn civil(date: NaiveDate) -> Option<Date<Gregorian>> {
    let part = |number: u32| u8::try_from(number).ok();
    Date::try_new_gregorian(date.year(), part(date.month())?, part(date.day())?).ok()
}

fn of_day(time: NaiveTime) -> Option<Time> {
    let part = |number: u32| u8::try_from(number).ok();
    Time::try_new(part(time.hour())?, part(time.minute())?, 0, 0).ok()
}

/// A number as it is, with no more decimals than it has.
pub(super) fn shortest(language: Language, number: f64) -> String {
    written(language, number.to_string())
}

fn written(language: Language, digits: String) -> String {
    match (&hand(language).number, Decimal::try_from_str(&digits)) {
        (Some(writes), Ok(decimal)) => writes.format(&decimal).to_string(),
        _ => digits,
    }
}

impl Language {
    /// A day and the time of day: "10 March 2026 at 14:30".
    pub fn moment(self, local: NaiveDateTime) -> String {
        match (&hand(self).moment, civil(local.date()).zip(of_day(local.time()))) {
            (Some(writes), Some((date, time))) => {
                with_ordinal(self, writes.format(&DateTime { date, time }).to_string())
            }
            _ => local.format("%Y-%m-%d %H:%M").to_string(),
        }
    }

    /// The time of day: "14:30".
    pub fn time(self, local: NaiveTime) -> String {
        match (&hand(self).time, of_day(local)) {
            (Some(writes), Some(time)) => writes.format(&time).to_string(),
            _ => local.format("%H:%M").to_string(),
        }
    }

    /// A day of a year that is known, in few letters: "10 Mar", "10. März".
    pub fn short_day(self, day: Day) -> String {
        match (&hand(self).short_day, civil(day.date())) {
            (Some(writes), Some(date)) => with_ordinal(self, writes.format(&date).to_string()),
            _ => day.date().format("%m-%d").to_string(),
        }
    }

    /// A day in few letters: "10 Mar 2026", "10.03.2026".
    ///
    /// ```
    /// use lustrum::language::Language;
    /// let day = "2026-03-10".parse()?;
    /// assert_eq!(Language::English.short_date(day), "10 Mar 2026");
    /// assert_eq!(Language::German.short_date(day), "10.03.2026");
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn short_date(self, day: Day) -> String {
        match (&hand(self).short_date, civil(day.date())) {
            (Some(writes), Some(date)) => with_ordinal(self, writes.format(&date).to_string()),
            _ => day.to_string(),
        }
    }

    /// The month of a day in few letters: "Mar 2026", "03/2026".
    pub fn short_month(self, day: Day) -> String {
        match (&hand(self).short_month, civil(day.date())) {
            (Some(writes), Some(date)) => writes.format(&date).to_string(),
            _ => day.date().format("%Y-%m").to_string(),
        }
    }

    /// A day of a year that is known, and the time of day: "10 Mar, 14:30".
    pub fn short_moment(self, local: NaiveDateTime) -> String {
        match (&hand(self).short_moment, civil(local.date()).zip(of_day(local.time()))) {
            (Some(writes), Some((date, time))) => {
                with_ordinal(self, writes.format(&DateTime { date, time }).to_string())
            }
            _ => local.format("%m-%d %H:%M").to_string(),
        }
    }

    /// A number with so many decimals.
    ///
    /// ```
    /// use lustrum::language::Language;
    /// assert_eq!(Language::English.number(1234.5, 2), "1,234.50");
    /// assert_eq!(Language::German.number(1234.5, 2), "1.234,50");
    /// ```
    pub fn number(self, number: f64, decimals: u8) -> String {
        written(self, format!("{number:.*}", usize::from(decimals)))
    }

    /// All of these: "a, b and c".
    ///
    /// ```
    /// use lustrum::language::Language;
    /// let surfaces = ["pintura".to_owned(), "cristales".to_owned(), "interior".to_owned()];
    /// assert_eq!(Language::Spanish.all_of(&surfaces), "pintura, cristales e interior");
    /// ```
    pub fn all_of(self, words: &[String]) -> String {
        listed(hand(self).all.as_ref(), words)
    }

    /// Any of these: "a, b or c".
    pub fn any_of(self, words: &[String]) -> String {
        listed(hand(self).any.as_ref(), words)
    }
}

fn listed(writes: Option<&ListFormatter>, words: &[String]) -> String {
    match writes {
        Some(writes) => writes.format_to_string(words.iter()),
        None => words.join(", "),
    }
}
