//! Axes: instants, days and numbers, with marks where people look for them.

use chrono::{DateTime, Datelike as _, TimeDelta, Utc};
use chrono_tz::Tz;

use crate::core::calendar::{Day, day_begins, local_day};

/// Instants along an axis, marked in local time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Times {
    pub(super) from: DateTime<Utc>,
    pub(super) until: DateTime<Utc>,
    pub(super) zone: Tz,
    pub(super) left: f64,
    pub(super) right: f64,
}

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// At most so many marks on an axis.
const MOST_MARKS: i64 = 9;

impl Times {
    /// The place of an instant; outside the axis at its end.
    pub(super) fn x(&self, at: DateTime<Utc>) -> f64 {
        let share = seconds(at - self.from) / seconds(self.until - self.from).max(1.0);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// Places and labels of the marks: hours, or days where there are many.
    pub(super) fn marks(&self) -> Vec<(f64, String)> {
        let hours = (self.until - self.from).num_hours().max(1);
        let mut marks = Vec::new();
        if let Some(step) = [1, 2, 3, 6, 12].into_iter().find(|step| hours / step <= MOST_MARKS) {
            let midnight = day_begins(local_day(self.from, self.zone), self.zone);
            let mut at = midnight;
            while at <= self.until {
                if at >= self.from {
                    marks.push((self.x(at), self.hour(at)));
                }
                at += TimeDelta::hours(step);
            }
            return marks;
        }
        let days = hours / 24;
        let step = [1, 2, 7, 14, 28, 56]
            .into_iter()
            .find(|step| days / i64::from(*step) <= MOST_MARKS)
            .unwrap_or(112);
        let mut day = local_day(self.from, self.zone);
        loop {
            let at = day_begins(day, self.zone);
            if at > self.until {
                return marks;
            }
            if at >= self.from {
                marks.push((self.x(at), of_day(day)));
            }
            day = day.plus_days(step);
        }
    }

    fn hour(&self, at: DateTime<Utc>) -> String {
        let local = at.with_timezone(&self.zone);
        let text = local.format("%H:%M").to_string();
        if text == "00:00" { of_day(local_day(at, self.zone)) } else { text }
    }

    /// An instant in words.
    pub(super) fn said(&self, at: DateTime<Utc>) -> String {
        let local = at.with_timezone(&self.zone);
        format!("{} {}", of_day(local_day(at, self.zone)), local.format("%H:%M"))
    }
}

/// `10 Mar`.
pub(super) fn of_day(day: Day) -> String {
    let date = day.date();
    format!("{} {}", date.day(), month(date.month0()))
}

/// `10 Mar 2026`.
pub(super) fn of_date(day: Day) -> String {
    format!("{} {}", of_day(day), day.date().year())
}

fn month(of: u32) -> &'static str {
    usize::try_from(of).ok().and_then(|of| MONTHS.get(of)).copied().unwrap_or_default()
}

/// Days along an axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Days {
    pub(super) from: Day,
    pub(super) until: Day,
    pub(super) left: f64,
    pub(super) right: f64,
}

impl Days {
    /// The place of the beginning of a day; outside the axis at its end.
    pub(super) fn x(&self, day: Day) -> f64 {
        let length = f64::from((self.until.days() - self.from.days()).max(1));
        let share = f64::from(day.days() - self.from.days()) / length;
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// Places and labels of the marks: the first of months, of few or of many.
    pub(super) fn marks(&self) -> Vec<(f64, String)> {
        let months = (self.until.days() - self.from.days()) / 30;
        let step = [1, 2, 3, 6, 12, 24, 60, 120].into_iter().find(|step| months / step <= 9).unwrap_or(240);
        let first = self.from.date();
        let mut at = i64::from(first.year()) * 12;
        let mut marks = Vec::new();
        while let Some(day) = month_begins(at) {
            if day > self.until {
                break;
            }
            if day >= self.from {
                let date = day.date();
                let label = if step >= 12 {
                    date.year().to_string()
                } else {
                    format!("{} {}", month(date.month0()), date.year())
                };
                marks.push((self.x(day), label));
            }
            at += i64::from(step);
        }
        marks
    }
}

/// The first day of a month, counted from the year 0.
fn month_begins(months: i64) -> Option<Day> {
    let year = i32::try_from(months.div_euclid(12)).ok()?;
    let month = u32::try_from(months.rem_euclid(12)).ok()? + 1;
    chrono::NaiveDate::from_ymd_opt(year, month, 1).map(Day::from)
}

/// Numbers along an axis that runs upwards.
#[derive(Debug, Clone, Copy)]
pub(super) struct Numbers {
    least: f64,
    most: f64,
    step: f64,
    bottom: f64,
    top: f64,
}

impl Numbers {
    /// An axis that holds these values, from a round number to a round number.
    pub(super) fn holding(values: impl Iterator<Item = f64>, bottom: f64, top: f64) -> Self {
        let (least, most) =
            values.fold((f64::MAX, f64::MIN), |(least, most), value| (value.min(least), value.max(most)));
        let (least, most) = if least > most { (0.0, 1.0) } else { (least, most) };
        let wanted = ((most - least) / 4.0).max(0.25);
        let power = 10.0_f64.powf(wanted.log10().floor());
        let step = [1.0, 2.0, 2.5, 5.0, 10.0]
            .into_iter()
            .map(|of| of * power)
            .find(|step| *step >= wanted)
            .unwrap_or(wanted);
        let (least, most) = ((least / step).floor() * step, (most / step).ceil() * step);
        let most = if most > least { most } else { least + step };
        Self { least, most, step, bottom, top }
    }

    /// Whether a value lies on the axis.
    pub(super) fn holds(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }

    pub(super) fn y(&self, value: f64) -> f64 {
        let share = ((value - self.least) / (self.most - self.least)).clamp(0.0, 1.0);
        self.bottom - share * (self.bottom - self.top)
    }

    /// Places and labels of the marks.
    pub(super) fn marks(&self) -> Vec<(f64, String)> {
        let mut marks = Vec::new();
        let mut value = self.least;
        while value <= self.most + self.step / 2.0 {
            marks.push((self.y(value), plain(value)));
            value += self.step;
        }
        marks
    }
}

/// A number to a tenth.
pub(super) fn plain(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{}", if tenths == 0.0 { 0.0 } else { tenths }).replace('-', "\u{2212}")
}

#[expect(clippy::cast_precision_loss, reason = "a picture shows years, in milliseconds below 2^53")]
fn seconds(delta: TimeDelta) -> f64 {
    delta.num_milliseconds() as f64 / 1000.0
}
