//! The climate that a panel is in from the application on: as it was read, then as it is planned.

use chrono::{DateTime, Utc};

use crate::core::error::Fault;
use crate::core::sheet::Lamp;
use crate::core::units::{Celsius, RelativeHumidity};

/// Temperature and humidity at an instant: the surface where it was read, else the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When.
    pub at: DateTime<Utc>,
    /// Temperature of the panel.
    pub c: Celsius,
    /// Relative humidity of the air.
    pub rh: RelativeHumidity,
}

/// A climate that is planned for a time: the bay overnight, a lamp, parked outside.
///
/// Of stages at the same time the one that begins last counts, so that a lamp can shine within a night in the bay.
/// After a stage its climate holds until the next; after a lamp (a stage as warm as the sheet asks of one) what was
/// there before it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// When it begins.
    pub from: DateTime<Utc>,
    /// When it ends.
    pub until: DateTime<Utc>,
    /// Temperature of the panel.
    pub c: Celsius,
    /// Relative humidity of the air.
    pub rh: RelativeHumidity,
}

/// A climate, as bare numbers in °C and %.
pub(super) type Point = (f64, f64);

/// A stretch of time in which both quantities run linearly; times in seconds since application.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub(super) from: f64,
    pub(super) until: f64,
    pub(super) begin: Point,
    pub(super) end: Point,
}

impl Run {
    fn constant(from: f64, until: f64, point: Point) -> Self {
        Self { from, until, begin: point, end: point }
    }

    /// The climate at a share of the way, from 0 to 1.
    pub(super) fn share(&self, share: f64) -> Point {
        let between = |a: f64, b: f64| a + (b - a) * share;
        (between(self.begin.0, self.end.0), between(self.begin.1, self.end.1))
    }

    /// The part before an instant within it.
    pub(super) fn cut(&self, until: f64) -> Self {
        let length = self.until - self.from;
        let share = if length > 0.0 { ((until - self.from) / length).clamp(0.0, 1.0) } else { 0.0 };
        Self { until: self.from + share * length, end: self.share(share), ..*self }
    }

    /// The part after an instant within it.
    pub(super) fn after(&self, from: f64) -> Self {
        let cut = self.cut(from);
        Self { from: cut.until, begin: cut.end, ..*self }
    }
}

/// Seconds from one instant to another.
pub(super) fn seconds(from: DateTime<Utc>, to: DateTime<Utc>) -> f64 {
    let passed = to - from;
    // In two parts, so that years do not cost the fraction its digits.
    #[expect(clippy::cast_precision_loss, reason = "whole seconds of all years of chrono are below 2^53")]
    let whole = passed.num_seconds() as f64;
    whole + f64::from(passed.subsec_nanos()) / 1e9
}

/// The climate from the application on, and what holds after the last run.
pub(super) fn runs(
    applied_at: DateTime<Utc>,
    readings: &[Reading],
    planned: &[Stage],
    lamp_c: Option<f64>,
) -> Result<(Vec<Run>, Point), Fault> {
    for (i, stage) in planned.iter().enumerate() {
        if stage.until < stage.from {
            let detail = format!("a stage that begins at {} cannot end at {}", stage.from, stage.until);
            return Err(Fault::new(format!("/planned/{i}/until"), "upside_down", detail));
        }
    }
    let mut readings: Vec<(f64, Point)> =
        readings.iter().map(|r| (seconds(applied_at, r.at), (r.c.get(), r.rh.get()))).collect();
    readings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut runs = Vec::new();
    if let Some((at, point)) = readings.first() {
        runs.push(Run::constant(0.0, *at, *point));
    }
    for pair in readings.windows(2) {
        let run = Run { from: pair[0].0, until: pair[1].0, begin: pair[0].1, end: pair[1].1 };
        runs.push(if run.from < 0.0 && run.until > 0.0 { run.after(0.0) } else { run });
    }
    let plan = Plan::new(applied_at, planned, lamp_c, readings.last().copied());
    let nothing = || Fault::new("/readings", "empty", "one reading or planned stage is needed");
    let mut from = readings.last().map_or(0.0, |(at, _)| at.max(0.0));
    for until in plan.turns(from) {
        runs.push(Run::constant(from, until, plan.at(from).ok_or_else(nothing)?));
        from = until;
    }
    let after = plan.at(from).ok_or_else(nothing)?;
    runs.retain(|run| run.until > run.from && run.until > 0.0);
    Ok((runs, after))
}

/// A planned stage in seconds since application.
#[derive(Debug, Clone, Copy)]
struct Planned {
    from: f64,
    until: f64,
    point: Point,
    lamp: bool,
}

/// What is planned after the last reading.
struct Plan {
    /// In the order in which they begin; what was over by the last reading is not among them.
    stages: Vec<Planned>,
    /// The last reading.
    read: Option<Point>,
}

impl Plan {
    fn new(
        applied_at: DateTime<Utc>,
        planned: &[Stage],
        lamp_c: Option<f64>,
        last: Option<(f64, Point)>,
    ) -> Self {
        let mut stages: Vec<Planned> = planned
            .iter()
            .map(|stage| Planned {
                from: seconds(applied_at, stage.from),
                until: seconds(applied_at, stage.until),
                point: (stage.c.get(), stage.rh.get()),
                lamp: lamp_c.is_some_and(|c| stage.c.get() >= c),
            })
            .filter(|stage| stage.until > stage.from && last.is_none_or(|(at, _)| stage.until > at))
            .collect();
        stages.sort_by(|a, b| a.from.total_cmp(&b.from));
        Self { stages, read: last.map(|(_, point)| point) }
    }

    /// The instants after `from` at which another stage may count, rising.
    fn turns(&self, from: f64) -> Vec<f64> {
        let ends = self.stages.iter().flat_map(|stage| [stage.from, stage.until]);
        let mut turns: Vec<f64> = ends.filter(|at| *at > from).collect();
        turns.sort_by(f64::total_cmp);
        turns.dedup();
        turns
    }

    /// The climate from an instant on; none where nothing at all is known.
    fn at(&self, at: f64) -> Option<Point> {
        let begun = &self.stages[..self.stages.partition_point(|stage| stage.from <= at)];
        let counts = begun.iter().rev().find(|stage| at < stage.until).or_else(|| {
            let holds_on = begun.iter().filter(|stage| !stage.lamp);
            holds_on.max_by(|a, b| a.until.total_cmp(&b.until))
        });
        let first = || self.stages.iter().find(|stage| !stage.lamp).or(self.stages.first());
        let point = |stage: &Planned| stage.point;
        counts.map(point).or(self.read).or_else(|| first().map(point))
    }
}

/// The end of the first stage that holds the panel as warm as the lamp's, and long enough, after the application.
pub(super) fn end_of_lamp(
    lamp: &Lamp,
    applied_at: DateTime<Utc>,
    planned: &[Stage],
) -> Option<DateTime<Utc>> {
    let holds = |stage: &&Stage| {
        let lasts = seconds(stage.from.max(applied_at), stage.until);
        stage.c.get() >= lamp.panel_c && lasts >= lamp.min * 60.0
    };
    planned.iter().filter(holds).map(|stage| stage.until).min()
}
