//! Days as people write them. Which way round `03/04/2024` is, the file as a whole decides, or whoever imports it.

use crate::core::calendar::Day;
use crate::core::error::Fault;
use crate::core::words::words;

words! {
    /// Which number of `03/04/2024` is the day.
    DayOrder, "order of days" {
        DayFirst = "day_first",
        MonthFirst = "month_first",
    }
}

/// A day as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Written {
    /// Year, month and day, whichever way round is clear.
    Clear(u32, u32, u32),
    /// Two numbers and a year, with slashes.
    Slashes(u32, u32, u32),
}

/// Reads `2024-03-10`, `10.03.2024` or `10/03/2024`; leading noughts of day and month may be left out.
pub(crate) fn written(text: &str) -> Option<Written> {
    let numbers = |mark: char| -> Option<[u32; 3]> {
        let mut parts = text.split(mark);
        let part = |part: Option<&str>| {
            let part = part?;
            let whole = (1..=4).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
            whole.then(|| part.parse().ok()).flatten().map(|number: u32| (number, part.len()))
        };
        let three = [part(parts.next())?, part(parts.next())?, part(parts.next())?];
        if parts.next().is_some() {
            return None;
        }
        let year = if mark == '-' { 0 } else { 2 };
        let right = three
            .iter()
            .enumerate()
            .all(|(i, (_, length))| (i == year) == (*length == 4) && (i == year || *length <= 2));
        right.then(|| three.map(|(number, _)| number))
    };
    if let Some([year, month, day]) = numbers('-') {
        return Some(Written::Clear(year, month, day));
    }
    if let Some([day, month, year]) = numbers('.') {
        return Some(Written::Clear(year, month, day));
    }
    numbers('/').map(|[one, other, year]| Written::Slashes(one, other, year))
}

/// What the days of a file say about which way round they are.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Evidence {
    /// The first day that can only have the day first: its line and how it is written.
    day_first: Option<(u64, String)>,
    /// The first that can only have the month first.
    month_first: Option<(u64, String)>,
    /// The first that could be either, and would be another day.
    either: Option<(u64, String)>,
}

impl Evidence {
    /// Looks at a cell that holds a day.
    pub(crate) fn hears(&mut self, line: u64, text: &str) {
        let Some(Written::Slashes(one, other, _)) = written(text) else { return };
        let slot = match (one > 12, other > 12) {
            (true, false) => &mut self.day_first,
            (false, true) => &mut self.month_first,
            (false, false) if one != other => &mut self.either,
            _ => return,
        };
        if slot.is_none() {
            *slot = Some((line, text.to_owned()));
        }
    }

    /// Which way round the days of the file are. An order that was asked for decides.
    pub(crate) fn order(&self, asked: Option<DayOrder>) -> Result<DayOrder, Fault> {
        if let Some(asked) = asked {
            return Ok(asked);
        }
        let ask = "say `days=day_first` or `days=month_first`";
        match (&self.day_first, &self.month_first, &self.either) {
            (Some((line, day)), Some((other_line, other)), _) => Err(super::of_file(
                "days_contradict",
                format!(
                    "{day} on line {line} has the day first, {other} on line {other_line} the month; {ask}"
                ),
            )),
            (None, None, Some((line, day))) => Err(super::of_file(
                "days_ambiguous",
                format!(
                    "{day} on line {line} could be two days, and no other day of the file decides which; {ask}"
                ),
            )),
            (None, Some(_), _) => Ok(DayOrder::MonthFirst),
            _ => Ok(DayOrder::DayFirst),
        }
    }
}

/// The day that a text means.
pub(super) fn day(text: &str, order: DayOrder) -> Result<Day, String> {
    let allowed = "allowed are 2024-03-10, 10.03.2024, and 10/03/2024 or 03/10/2024 alike in the whole file";
    let Some(written) = written(text) else {
        return Err(format!("{text:?} is no day; {allowed}"));
    };
    let (year, month, day) = match (written, order) {
        (Written::Clear(year, month, day), _) => (year, month, day),
        (Written::Slashes(one, other, year), DayOrder::DayFirst) => (year, other, one),
        (Written::Slashes(one, other, year), DayOrder::MonthFirst) => (year, one, other),
    };
    let date = i32::try_from(year).ok().and_then(|year| chrono::NaiveDate::from_ymd_opt(year, month, day));
    match date.map(Day::from) {
        None => Err(format!("{text:?} is no day that exists ({year:04}-{month:02}-{day:02})")),
        Some(day) if !day.is_usual() => Err(format!("{day} is not within the years 1900 to 2999")),
        Some(day) => Ok(day),
    }
}
