//! Cure over time: equivalent hours of each coat, what the sheet calls milestones, and where cure stood still.

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

use super::canvas::{Anchor, Canvas, GRID, INK, LINES, Marker, SOFT, Stroke, cut, width_of};
use super::scale::{Numbers, Times, plain};

/// A milestone of a data sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnMilestone {
    /// As the sheet calls it.
    pub name: String,
    /// The sheet's equivalent hours.
    pub hours: f64,
    /// When it is reached; none: not with what is known.
    pub reached_at: Option<DateTime<Utc>>,
}

/// The cure of one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnCure {
    /// What the coat is called.
    pub label: String,
    /// Equivalent hours at instants, in order of time.
    pub points: Vec<(DateTime<Utc>, f64)>,
    /// Its milestones, in rising order.
    pub milestones: Vec<DrawnMilestone>,
    /// When it stood still, from and until.
    pub pauses: Vec<(DateTime<Utc>, DateTime<Utc>)>,
}

/// So many points make a curve.
const POINTS: i32 = 480;

/// Slower than this, in equivalent hours an hour, cure stands still.
const STILL: f64 = 1e-9;

impl DrawnCure {
    /// The cure of a coat from its application until an instant, from what its clock says of any instant between.
    ///
    /// ```
    /// use lustrum::core::drawings::DrawnCure;
    /// use chrono::{DateTime, TimeDelta, Utc};
    /// let from: DateTime<Utc> = "2026-01-13T09:00:00Z".parse().unwrap();
    /// // Two hours at the reference, then too cold.
    /// let hours = |at: DateTime<Utc>| ((at - from).num_milliseconds() as f64 / 3_600_000.0).min(2.0);
    /// let cure = DrawnCure::of("base-30".into(), from, from + TimeDelta::hours(8), hours, vec![]);
    /// assert_eq!(cure.points.last().unwrap().1, 2.0);
    /// let (still, until) = cure.pauses[0];
    /// assert!((still - from - TimeDelta::hours(2)).num_seconds().abs() <= 1);
    /// assert_eq!(until, from + TimeDelta::hours(8));
    /// ```
    pub fn of(
        label: String,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
        hours: impl Fn(DateTime<Utc>) -> f64,
        milestones: Vec<DrawnMilestone>,
    ) -> Self {
        let step = (until - from) / POINTS;
        let point = |i: i32| if i == POINTS { until } else { from + step * i };
        let points: Vec<(DateTime<Utc>, f64)> = (0..=POINTS).map(|i| (point(i), hours(point(i)))).collect();
        let mut pauses: Vec<(DateTime<Utc>, DateTime<Utc>)> = Vec::new();
        for pair in points.windows(2) {
            let ((begin, before), (end, after)) = (pair[0], pair[1]);
            if after - before > STILL {
                continue;
            }
            match pauses.last_mut() {
                Some((_, last)) if *last == begin => *last = end,
                _ => pauses.push((begin, end)),
            }
        }
        // A pause begins and ends between two points.
        for (begin, end) in &mut pauses {
            let stood = hours(*begin);
            let before = (*begin - step).max(from);
            *begin = turn(before, *begin, |at| stood - hours(at) <= STILL);
            let after = (*end + step).min(until);
            *end = turn(*end, after, |at| hours(at) - stood > STILL);
        }
        Self { label, points, milestones, pauses }
    }
}

/// The first instant between two, to a second, from which on something holds; the second where it holds nowhere before.
fn turn(
    mut from: DateTime<Utc>,
    mut until: DateTime<Utc>,
    holds: impl Fn(DateTime<Utc>) -> bool,
) -> DateTime<Utc> {
    if holds(from) {
        return from;
    }
    while until - from > TimeDelta::seconds(1) {
        let middle = from + (until - from) / 2;
        if holds(middle) { until = middle } else { from = middle }
    }
    until
}

/// What is drawn of the cure of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct CureDrawing {
    /// What the picture is called.
    pub title: String,
    /// The shop's zone.
    pub zone: Tz,
    /// Until when readings tell; what comes after is worked out. None: nothing was read.
    pub known_until: Option<DateTime<Utc>>,
    /// One plot each.
    pub coats: Vec<DrawnCure>,
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 60.0;
/// Room for the names of milestones.
const RIGHT: f64 = WIDTH - 190.0;
/// How high the plot of a coat is.
const PLOT: f64 = 150.0;

impl CureDrawing {
    /// The picture. With nothing to draw it says so.
    pub fn svg(&self) -> String {
        let mut canvas = Canvas::new("cure", WIDTH, 0.0);
        let instants = || self.coats.iter().flat_map(|coat| coat.points.iter().map(|(at, _)| *at));
        let (Some(from), Some(until)) = (instants().min(), instants().max()) else {
            canvas.set_height(60.0);
            canvas.text((20.0, 34.0), Anchor::Start, "No coat whose cure is known.");
            return canvas.finish(&self.title, "No coat whose cure is known.");
        };
        let times = Times { from, until, zone: self.zone, left: LEFT, right: RIGHT };
        let mut top = 34.0;
        for coat in &self.coats {
            plot(&mut canvas, &times, coat, self.known_until, (top, top + PLOT));
            top += PLOT + 56.0;
        }
        let y = top - 14.0;
        let hatch = canvas.hatch();
        canvas.rect((LEFT, y - 11.0), (34.0, 13.0), &hatch, Some(Stroke::plain(SOFT, 1.0)));
        canvas.text((LEFT + 40.0, y), Anchor::Start, "too cold: cure stands still");
        let x = LEFT + 40.0 + 34.0 + width_of("too cold: cure stands still");
        canvas.line((x, y - 4.0), (x + 34.0, y - 4.0), Stroke::plain(LINES[0], 2.5));
        canvas.text((x + 40.0, y), Anchor::Start, "as read");
        let x = x + 40.0 + 30.0 + width_of("as read");
        canvas.line((x, y - 4.0), (x + 34.0, y - 4.0), Stroke::dashed(LINES[0], 2.5, "6 4"));
        canvas.text((x + 40.0, y), Anchor::Start, "as expected (an estimate)");
        canvas.set_height(top);
        canvas.finish(&self.title, &self.description(&times))
    }

    fn description(&self, times: &Times) -> String {
        let of = |coat: &DrawnCure| {
            let milestone = |one: &DrawnMilestone| match one.reached_at {
                Some(at) => format!("{} at {} h, on {}", one.name, plain(one.hours), times.said(at)),
                None => format!("{} at {} h, not reached with what is known", one.name, plain(one.hours)),
            };
            let pause = |(from, until): &(DateTime<Utc>, DateTime<Utc>)| {
                format!("cure stands still from {} to {}", times.said(*from), times.said(*until))
            };
            let all = coat.milestones.iter().map(milestone).chain(coat.pauses.iter().map(pause));
            let applied = coat.points.first().map(|(at, _)| times.said(*at)).unwrap_or_default();
            format!("{}, applied {applied}: {}.", coat.label, all.collect::<Vec<_>>().join("; "))
        };
        self.coats.iter().map(of).collect::<Vec<_>>().join(" ")
    }
}

fn plot(
    canvas: &mut Canvas,
    times: &Times,
    coat: &DrawnCure,
    known: Option<DateTime<Utc>>,
    (top, bottom): (f64, f64),
) {
    canvas.heading((LEFT, top - 16.0), &cut(&coat.label, 80));
    canvas.note((LEFT, top - 4.0), Anchor::Start, "equivalent hours");
    let most = coat.points.iter().map(|(_, hours)| *hours).fold(0.0, f64::max);
    let shown = coat.milestones.iter().map(|one| one.hours).filter(|hours| *hours <= most * 1.6);
    let axis = Numbers::holding(shown.chain([0.0, most]), bottom, top);
    for (from, until) in &coat.pauses {
        let (from, until) = (times.x(*from), times.x(*until));
        let hatch = canvas.hatch();
        canvas.rect((from, top), (until - from, bottom - top), &hatch, None);
    }
    for (y, label) in axis.marks() {
        canvas.line((LEFT, y), (RIGHT, y), Stroke::plain(GRID, 1.0));
        canvas.note((LEFT - 7.0, y + 4.0), Anchor::End, &label);
    }
    let points: Vec<(f64, f64)> =
        coat.points.iter().map(|(at, hours)| (times.x(*at), axis.y(*hours))).collect();
    let known = known.map_or(0, |known| coat.points.partition_point(|(at, _)| *at <= known));
    let (read, after) = (&points[..known], &points[known.saturating_sub(1)..]);
    if read.len() > 1 {
        canvas.polyline(read, Stroke::plain(LINES[0], 2.5));
    }
    if after.len() > 1 {
        canvas.polyline(after, Stroke::dashed(LINES[0], 2.5, "6 4"));
    }
    milestones(canvas, times, coat, &axis, (top, bottom));
    canvas.line((LEFT, top), (LEFT, bottom), Stroke::plain(SOFT, 1.0));
    canvas.line((LEFT, bottom), (RIGHT, bottom), Stroke::plain(SOFT, 1.0));
    for (x, label) in times.marks() {
        canvas.line((x, bottom), (x, bottom + 5.0), Stroke::plain(INK, 1.0));
        canvas.note((x, bottom + 17.0), Anchor::Middle, &label);
    }
}

/// A line for each milestone that lies in the picture, its name and instant beside it, none over another.
fn milestones(
    canvas: &mut Canvas,
    times: &Times,
    coat: &DrawnCure,
    axis: &Numbers,
    (top, bottom): (f64, f64),
) {
    let mut free = bottom + 4.0;
    for one in &coat.milestones {
        let inside = axis.holds(one.hours);
        let y = if inside { axis.y(one.hours) } else { top };
        // Names climb with their lines; where two are close the upper one moves up, and a short line leads to it.
        let at = (y + 4.0).min(free);
        if at < top - 10.0 {
            continue;
        }
        let when = one.reached_at.map_or("not with what is known".to_owned(), |at| times.said(at));
        let far = if inside { "" } else { " (above)" };
        canvas.text(
            (RIGHT + 14.0, at),
            Anchor::Start,
            &cut(&format!("{}, {} h{far}", one.name, plain(one.hours)), 28),
        );
        canvas.note((RIGHT + 14.0, at + 12.0), Anchor::Start, &when);
        free = at - 28.0;
        if !inside {
            continue;
        }
        canvas.line((LEFT, y), (RIGHT, y), Stroke::dashed(LINES[1], 1.2, "5 3"));
        canvas.line((RIGHT, y), (RIGHT + 11.0, at - 4.0), Stroke::plain(LINES[1], 1.2));
        if let Some(reached) = one.reached_at.filter(|at| (times.from..=times.until).contains(at)) {
            canvas.marker(Marker::Circle, (times.x(reached), y), LINES[1]);
        }
    }
}
