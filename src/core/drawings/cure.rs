//! Cure over time: equivalent hours of each coat, what the sheet calls milestones, and where cure stood still.

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

use super::canvas::{Anchor, Canvas, GRID, INK, LINES, Legend, Marker, SOFT, Stroke, fitted, width_of};
use super::scale::{Numbers, Times};
use super::wording::{Label, Sentence, Wording};

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
    /// Whether nothing is known of its climate, so that there is no curve.
    pub by_calendar: bool,
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
        Self { label, points, milestones, pauses, by_calendar: false }
    }

    /// A coat of whose climate nothing is known: only what its sheet gives a latest day comes, whatever the cold.
    pub fn by_calendar(
        label: String,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
        milestones: Vec<DrawnMilestone>,
    ) -> Self {
        let points = vec![(from, 0.0), (until, 0.0)];
        Self { label, points, milestones, pauses: Vec::new(), by_calendar: true }
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
/// How wide these are at most.
const BESIDE: f64 = 190.0 - 14.0 - 4.0;
/// How high the plot of a coat is.
const PLOT: f64 = 150.0;

impl CureDrawing {
    /// The picture. With nothing to draw it says so.
    pub fn svg(&self, wording: &dyn Wording) -> String {
        let mut canvas = Canvas::new("cure", WIDTH, 0.0);
        let instants = || self.coats.iter().flat_map(|coat| coat.points.iter().map(|(at, _)| *at));
        let (Some(from), Some(until)) = (instants().min(), instants().max()) else {
            canvas.set_height(60.0);
            let nothing = wording.label(Label::NoCure);
            canvas.text((20.0, 34.0), Anchor::Start, &nothing);
            return canvas.finish(&self.title, &nothing);
        };
        let times = Times { from, until, zone: self.zone, left: LEFT, right: RIGHT };
        let mut top = 34.0;
        for coat in &self.coats {
            plot(&mut canvas, wording, &times, coat, self.known_until, (top, top + PLOT));
            top += PLOT + 56.0;
        }
        let last_line = legend(&mut canvas, wording, top - 14.0);
        canvas.set_height(last_line + 14.0);
        canvas.finish(&self.title, &self.description(wording, &times))
    }

    fn description(&self, wording: &dyn Wording, times: &Times) -> String {
        let of = |coat: &DrawnCure| {
            let applied = coat.points.first().map(|(at, _)| Sentence::Applied(&coat.label, times.local(*at)));
            let mut told: Vec<String> = applied.map(|one| wording.sentence(one)).into_iter().collect();
            for one in &coat.milestones {
                let (name, reached) =
                    (wording.milestone(&one.name), one.reached_at.map(|at| times.local(at)));
                told.push(wording.sentence(Sentence::Reached(&name, one.hours, reached)));
            }
            let still = |(from, until): &(DateTime<Utc>, DateTime<Utc>)| {
                wording.sentence(Sentence::StandsStill(times.local(*from), times.local(*until)))
            };
            told.extend(coat.pauses.iter().map(still));
            told.join(" ")
        };
        self.coats.iter().map(of).collect::<Vec<_>>().join(" ")
    }
}

/// Answers where its last line is.
fn legend(canvas: &mut Canvas, wording: &dyn Wording, y: f64) -> f64 {
    let mut legend = Legend::new((LEFT, WIDTH - 20.0), y);
    let (x, y) = legend.entry(canvas, 34.0, &wording.label(Label::TooCold));
    let hatch = canvas.hatch();
    canvas.rect((x, y - 11.0), (34.0, 13.0), &hatch, Some(Stroke::plain(SOFT, 1.0)));
    let lines = [
        (Label::AsRead, Stroke::plain(LINES[0], 2.5)),
        (Label::AsExpected, Stroke::dashed(LINES[0], 2.5, "6 4")),
    ];
    for (label, stroke) in lines {
        let (x, y) = legend.entry(canvas, 34.0, &wording.label(label));
        canvas.line((x, y - 4.0), (x + 34.0, y - 4.0), stroke);
    }
    legend.last_line()
}

fn plot(
    canvas: &mut Canvas,
    wording: &dyn Wording,
    times: &Times,
    coat: &DrawnCure,
    known: Option<DateTime<Utc>>,
    (top, bottom): (f64, f64),
) {
    canvas.heading((LEFT, top - 16.0), &fitted(&coat.label, WIDTH - LEFT - 40.0));
    canvas.note((LEFT, top - 4.0), Anchor::Start, &wording.label(Label::EquivalentHours));
    let most = coat.points.iter().map(|(_, hours)| *hours).fold(0.0, f64::max);
    let shown = coat.milestones.iter().map(|one| one.hours).filter(|hours| *hours <= most * 1.6);
    let axis = Numbers::holding(shown.chain([0.0, most]), bottom, top);
    for (from, until) in &coat.pauses {
        let (from, until) = (times.x(*from), times.x(*until));
        let hatch = canvas.hatch();
        canvas.rect((from, top), (until - from, bottom - top), &hatch, None);
    }
    for (y, label) in axis.marks(wording) {
        canvas.line((LEFT, y), (RIGHT, y), Stroke::plain(GRID, 1.0));
        canvas.note((LEFT - 7.0, y + 4.0), Anchor::End, &label);
    }
    let points: Vec<(f64, f64)> =
        coat.points.iter().map(|(at, hours)| (times.x(*at), axis.y(*hours))).collect();
    let known = known.map_or(0, |known| coat.points.partition_point(|(at, _)| *at <= known));
    let (read, after) = (&points[..known], &points[known.saturating_sub(1)..]);
    if coat.by_calendar {
        let middle = (f64::midpoint(LEFT, RIGHT), f64::midpoint(top, bottom) + 4.0);
        canvas.text(middle, Anchor::Middle, &wording.label(Label::ByCalendar));
    } else if read.len() > 1 {
        canvas.polyline(read, Stroke::plain(LINES[0], 2.5));
    }
    if !coat.by_calendar && after.len() > 1 {
        canvas.polyline(after, Stroke::dashed(LINES[0], 2.5, "6 4"));
    }
    milestones(canvas, wording, times, coat, &axis, (top, bottom));
    canvas.line((LEFT, top), (LEFT, bottom), Stroke::plain(SOFT, 1.0));
    canvas.line((LEFT, bottom), (RIGHT, bottom), Stroke::plain(SOFT, 1.0));
    for (x, label) in times.marks(wording) {
        canvas.line((x, bottom), (x, bottom + 5.0), Stroke::plain(INK, 1.0));
        canvas.note((x, bottom + 17.0), Anchor::Middle, &label);
    }
}

/// A line for each milestone that lies in the picture, its name and instant beside it, none over another.
fn milestones(
    canvas: &mut Canvas,
    wording: &dyn Wording,
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
        let when = one
            .reached_at
            .map_or_else(|| wording.label(Label::NotReached), |at| wording.short_moment(times.local(at)));
        // Where it does not fit, the name is cut, not the hours.
        let named = |name: &str| wording.milestone_at(name, one.hours);
        let name = fitted(&wording.milestone(&one.name), BESIDE - width_of(&named("")));
        canvas.text((RIGHT + 14.0, at), Anchor::Start, &named(&name));
        canvas.note((RIGHT + 14.0, at + 12.0), Anchor::Start, &when);
        free = at - 28.0;
        if !inside {
            // An arrow: it lies above the plot.
            let (x, tip) = (RIGHT + 6.0, at - 9.0);
            canvas.line((x, at + 1.0), (x, tip), Stroke::plain(LINES[1], 1.2));
            canvas.polyline(
                &[(x - 3.5, tip + 4.0), (x, tip), (x + 3.5, tip + 4.0)],
                Stroke::plain(LINES[1], 1.2),
            );
            continue;
        }
        canvas.line((LEFT, y), (RIGHT, y), Stroke::dashed(LINES[1], 1.2, "5 3"));
        canvas.line((RIGHT, y), (RIGHT + 11.0, at - 4.0), Stroke::plain(LINES[1], 1.2));
        if let Some(reached) = one.reached_at.filter(|at| (times.from..=times.until).contains(at)) {
            canvas.marker(Marker::Circle, (times.x(reached), y), LINES[1]);
        }
    }
}
