//! Axes: instants, days and numbers, with marks where people look for them.

use chrono::{DateTime, Datelike as _, NaiveDateTime, NaiveTime, TimeDelta, Utc};
use chrono_tz::Tz;

use super::canvas::width_of;
use super::wording::Wording;
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

/// At most so many marks on an axis.
const MOST_MARKS: i64 = 9;

/// Whether labels of 11 px stand apart, each in the middle of its place.
fn apart(marks: &[(f64, String)]) -> bool {
    marks.windows(2).all(|pair| {
        let ((left, one), (right, other)) = (&pair[0], &pair[1]);
        f64::midpoint(width_of(one), width_of(other)) * 11.0 / 12.0 + 4.0 <= right - left
    })
}

impl Times {
    /// The place of an instant; outside the axis at its end.
    pub(super) fn x(&self, at: DateTime<Utc>) -> f64 {
        let share = seconds(at - self.from) / seconds(self.until - self.from).max(1.0);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// Places and labels of the marks: hours, or days where there are many.
    pub(super) fn marks(&self, wording: &dyn Wording) -> Vec<(f64, String)> {
        let hours = (self.until - self.from).num_hours().max(1);
        let by_hours = [1, 2, 3, 6, 12].into_iter().filter(|step| hours / step <= MOST_MARKS);
        let by_days =
            [1, 2, 7, 14, 28, 56, 112].into_iter().filter(|step| hours / 24 / i64::from(*step) <= MOST_MARKS);
        by_hours
            .map(|step| self.hours(wording, step))
            .chain(by_days.map(|step| self.days(wording, step)))
            .find(|marks| apart(marks))
            .unwrap_or_else(|| self.days(wording, 224))
    }

    /// A mark every so many hours from midnight on; midnight has the name of its day.
    fn hours(&self, wording: &dyn Wording, step: i64) -> Vec<(f64, String)> {
        let mut at = day_begins(local_day(self.from, self.zone), self.zone);
        let mut marks = Vec::new();
        while at <= self.until {
            if at >= self.from {
                let local = self.local(at);
                let label = if local.time() == NaiveTime::MIN {
                    wording.short_day(local.date().into())
                } else {
                    wording.time(local.time())
                };
                marks.push((self.x(at), label));
            }
            at += TimeDelta::hours(step);
        }
        marks
    }

    /// A mark every so many days.
    fn days(&self, wording: &dyn Wording, step: i32) -> Vec<(f64, String)> {
        let mut day = local_day(self.from, self.zone);
        let mut marks = Vec::new();
        loop {
            let at = day_begins(day, self.zone);
            if at > self.until {
                return marks;
            }
            if at >= self.from {
                marks.push((self.x(at), wording.short_day(day)));
            }
            day = day.plus_days(step);
        }
    }

    /// An instant where the shop is.
    pub(super) fn local(&self, at: DateTime<Utc>) -> NaiveDateTime {
        at.with_timezone(&self.zone).naive_local()
    }
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
    pub(super) fn marks(&self, wording: &dyn Wording) -> Vec<(f64, String)> {
        let months = (self.until.days() - self.from.days()) / 30;
        [1, 2, 3, 6, 12, 24, 60, 120]
            .into_iter()
            .filter(|step| i64::from(months / step) <= MOST_MARKS)
            .map(|step| self.months(wording, step))
            .find(|marks| apart(marks))
            .unwrap_or_else(|| self.months(wording, 240))
    }

    /// A mark every so many months; the name of its year where they are twelve or more.
    fn months(&self, wording: &dyn Wording, step: i32) -> Vec<(f64, String)> {
        let mut at = i64::from(self.from.date().year()) * 12;
        let mut marks = Vec::new();
        while let Some(day) = month_begins(at).filter(|day| *day <= self.until) {
            if day >= self.from {
                let label = if step >= 12 { day.date().year().to_string() } else { wording.short_month(day) };
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
        // Labels go to a tenth: steps of a quarter would be told wrong.
        let wanted = ((most - least) / 4.0).max(0.5);
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
    pub(super) fn marks(&self, wording: &dyn Wording) -> Vec<(f64, String)> {
        let mut marks = Vec::new();
        let mut value = self.least;
        while value <= self.most + self.step / 2.0 {
            marks.push((self.y(value), wording.figure(value)));
            value += self.step;
        }
        marks
    }
}

#[expect(clippy::cast_precision_loss, reason = "a picture shows years, in milliseconds below 2^53")]
fn seconds(delta: TimeDelta) -> f64 {
    delta.num_milliseconds() as f64 / 1000.0
}
