//! Cure: equivalent hours of a coat under a climate that was read and one that is planned, and when it reaches what
//! its data sheet calls a milestone.
//!
//! The rate is relative to the sheet's reference climate; its integral over time is the age in equivalent hours (the
//! form of ASTM C1074). Every figure is an estimate as good as the sheet's.

mod climate;
pub mod job;
pub mod leave;
mod rate;

pub use climate::{Reading, Stage};
pub use rate::Rate;

use chrono::{DateTime, TimeDelta, Utc};

use self::climate::Run;
use crate::core::error::Fault;
use crate::core::sheet::Cure;
use crate::core::units::EquivalentHours;

/// The last year in which anything is said to happen.
const LAST_YEAR: i32 = 9999;

const SECONDS_AN_HOUR: f64 = 3600.0;

/// The clock of one coat on one panel: from its application on, for ever.
///
/// ```
/// use lustrum::core::{cure::{CureClock, Reading}, sheet::Cure, units::{Celsius, RelativeHumidity}};
/// use serde_json::json;
/// let cure = Cure::read(&json!({"reference": {"c": 20}, "temperature": {"q10": 2.0},
///     "milestones": [{"name": "water-safe", "h": 12}]})).unwrap();
/// let applied = "2026-01-10T08:00:00Z".parse().unwrap();
/// let bay = Reading { at: applied, c: Celsius::new(30.0)?, rh: RelativeHumidity::new(50.0)? };
/// let clock = CureClock::new(&cure, applied, &[bay], &[])?;
/// // Twice as fast as at 20 °C: 12 hours' worth in 6.
/// assert_eq!(clock.hours_at("2026-01-10T14:00:00Z".parse().unwrap())?.get(), 12.0);
/// assert_eq!(clock.milestones()[0].reached_at, "2026-01-10T14:00:00Z".parse().ok());
/// # Ok::<(), lustrum::core::error::Fault>(())
/// ```
#[derive(Debug, Clone)]
pub struct CureClock {
    applied_at: DateTime<Utc>,
    /// Stretches in which the rate has no kink, from the application on, without gaps.
    stretches: Vec<Stretch>,
    /// What holds after the last of them.
    tail: Tail,
    rate: Rate,
    /// Name, hours, and the instant at which it is reached whatever the hours say.
    milestones: Vec<(String, EquivalentHours, Option<DateTime<Utc>>)>,
}

#[derive(Debug, Clone, Copy)]
struct Stretch {
    run: Run,
    /// Equivalent hours at its beginning.
    hours: f64,
}

#[derive(Debug, Clone, Copy)]
struct Tail {
    /// Seconds since application.
    from: f64,
    /// Equivalent hours then.
    hours: f64,
    /// The rate from then on.
    rate: f64,
}

/// Name and hours of a milestone, with the instant at which lamp or calendar close it whatever the hours say.
type Milestone = (String, EquivalentHours, Option<DateTime<Utc>>);

/// Each milestone of a sheet.
fn milestones(cure: &Cure, applied_at: DateTime<Utc>, planned: &[Stage]) -> Result<Vec<Milestone>, Fault> {
    let each = cure.milestones.iter().map(|milestone| {
        let latest = milestone
            .latest_days
            .and_then(|days| applied_at.checked_add_signed(TimeDelta::days(days.into())));
        let lamp = cure.lamp.as_ref().filter(|lamp| lamp.then == milestone.name);
        let lamp = lamp.and_then(|lamp| climate::end_of_lamp(lamp, applied_at, planned));
        let hours = EquivalentHours::new(milestone.h)?;
        Ok((milestone.name.clone(), hours, latest.into_iter().chain(lamp).min()))
    });
    each.collect()
}

/// A milestone, and when it is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Reached {
    /// As the sheet calls it.
    pub name: String,
    /// The sheet's hours in the reference climate.
    pub hours: EquivalentHours,
    /// The first whole second at which it is reached; none: not with what is known.
    pub reached_at: Option<DateTime<Utc>>,
}

impl CureClock {
    /// Starts the clock of a coat that was applied at this instant.
    ///
    /// `readings` is what was read at the panel, in any order: between two readings both quantities run linearly in
    /// time, before the first and after the last they are constant; of two of the same instant the later in the list
    /// holds from then on. `planned` follows the last reading; what was read counts more than what was planned.
    ///
    /// Refused: no reading and no stage; a stage that ends before it begins; a sheet without reference or
    /// temperature law.
    pub fn new(
        cure: &Cure,
        applied_at: DateTime<Utc>,
        readings: &[Reading],
        planned: &[Stage],
    ) -> Result<Self, Fault> {
        let rate = Rate::of(cure)?;
        let lamp_c = cure.lamp.as_ref().map(|lamp| lamp.panel_c);
        let (runs, after) = climate::runs(applied_at, readings, planned, lamp_c)?;
        let (mut stretches, mut hours, mut from) = (Vec::new(), 0.0, 0.0);
        for run in runs {
            for run in rate.without_kinks(run) {
                stretches.push(Stretch { run, hours });
                hours += rate.over(run) / SECONDS_AN_HOUR;
            }
            from = run.until;
        }
        let tail = Tail { from, hours, rate: rate.of_point(after) };
        let milestones = milestones(cure, applied_at, planned)?;
        Ok(Self { applied_at, stretches, tail, rate, milestones })
    }

    /// The clock of a coat of whose climate nothing is known: only the calendar moves it.
    pub fn by_calendar(cure: &Cure, applied_at: DateTime<Utc>) -> Result<Self, Fault> {
        let tail = Tail { from: 0.0, hours: 0.0, rate: 0.0 };
        let milestones = milestones(cure, applied_at, &[])?;
        Ok(Self { applied_at, stretches: Vec::new(), tail, rate: Rate::of(cure)?, milestones })
    }

    /// Equivalent hours at an instant, to a relative error of 1e-9; refused before the application.
    pub fn hours_at(&self, at: DateTime<Utc>) -> Result<EquivalentHours, Fault> {
        let seconds = climate::seconds(self.applied_at, at);
        if seconds < 0.0 {
            let detail = format!("{at} is before the application; allowed is {} or later", self.applied_at);
            return Err(Fault::new("/at", "before_application", detail));
        }
        if seconds >= self.tail.from {
            let more = (seconds - self.tail.from) * self.tail.rate / SECONDS_AN_HOUR;
            return Ok(EquivalentHours(self.tail.hours + more));
        }
        let next = self.stretches.partition_point(|stretch| stretch.run.from <= seconds);
        let Some(stretch) = self.stretches.get(next.saturating_sub(1)) else {
            return Ok(EquivalentHours(0.0));
        };
        Ok(EquivalentHours(self.hours_in(stretch, seconds)))
    }

    /// The first whole second at which so many equivalent hours have come together; none where they never do, or
    /// after the year 9999.
    pub fn reached(&self, hours: EquivalentHours) -> Option<DateTime<Utc>> {
        let wanted = hours.get();
        if wanted <= 0.0 {
            return self.instant(0.0);
        }
        if wanted > self.tail.hours {
            // Where nothing comes to it any more no time is long enough.
            let more = (wanted - self.tail.hours) * SECONDS_AN_HOUR / self.tail.rate;
            let seconds = self.tail.from + more;
            return seconds.is_finite().then(|| self.instant(seconds)).flatten();
        }
        // The last stretch that begins with less: it is reached within it.
        let next = self.stretches.partition_point(|stretch| stretch.hours < wanted);
        let stretch = self.stretches.get(next.checked_sub(1)?)?;
        let (mut before, mut reached) = (stretch.run.from, stretch.run.until);
        while reached - before > 1e-5 {
            let middle = f64::midpoint(before, reached);
            if self.hours_in(stretch, middle) < wanted {
                before = middle;
            } else {
                reached = middle;
            }
        }
        self.instant(reached)
    }

    /// Each milestone of the sheet: reached by its hours, by a lamp, or by the calendar, whichever is first. Days of
    /// the calendar are counted as 24 hours from the application.
    pub fn milestones(&self) -> Vec<Reached> {
        let reached = |(name, hours, at): &(String, EquivalentHours, Option<DateTime<Utc>>)| Reached {
            name: name.clone(),
            hours: *hours,
            reached_at: self.reached(*hours).into_iter().chain(*at).min(),
        };
        self.milestones.iter().map(reached).collect()
    }

    fn hours_in(&self, stretch: &Stretch, until: f64) -> f64 {
        stretch.hours + self.rate.over(stretch.run.cut(until)) / SECONDS_AN_HOUR
    }

    /// The first whole second that is not before this; a millisecond is what rounding may have added.
    fn instant(&self, seconds: f64) -> Option<DateTime<Utc>> {
        #[expect(clippy::cast_possible_truncation, reason = "the cast saturates, and such a time is refused")]
        let micros = (seconds * 1e6).round() as i64;
        let micros = self.applied_at.timestamp_micros().checked_add(micros)?.checked_sub(1_000)?;
        let whole = -(-micros).div_euclid(1_000_000);
        let at = DateTime::from_timestamp(whole, 0)?;
        (chrono::Datelike::year(&at) <= LAST_YEAR).then_some(at)
    }
}
