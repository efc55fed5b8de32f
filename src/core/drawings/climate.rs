//! Climate over a job: temperatures with dew point, humidity, and when coats were laid.

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;

use super::canvas::{
    Anchor, Canvas, GRID, INK, LINES, Legend, Marker, PAPER, SOFT, Stroke, fitted, width_of,
};
use super::scale::{Numbers, Times};
use super::wording::{Label, Sentence, Wording};

/// A climate reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnReading {
    /// When.
    pub at: DateTime<Utc>,
    /// Temperature of the air, °C.
    pub air_c: f64,
    /// Temperature of the surface, °C; none: not read.
    pub surface_c: Option<f64>,
    /// Dew point, °C; none: it cannot be worked out.
    pub dew_c: Option<f64>,
    /// Relative humidity, %.
    pub rh_pct: f64,
}

/// A coat, from its beginning to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnCoat {
    /// What it is called.
    pub label: String,
    /// When it began.
    pub from: DateTime<Utc>,
    /// When it ended.
    pub until: DateTime<Utc>,
}

/// What is drawn of the climate of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct ClimateDrawing {
    /// What the picture is called.
    pub title: String,
    /// The shop's zone.
    pub zone: Tz,
    /// In any order.
    pub readings: Vec<DrawnReading>,
    /// In any order.
    pub coats: Vec<DrawnCoat>,
}

const WIDTH: f64 = 760.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = WIDTH - 20.0;
/// How high a lane of coats is.
const LANE: f64 = 20.0;
/// At most so many lanes; further coats are told in words.
const MOST_LANES: usize = 12;

impl ClimateDrawing {
    /// The picture. With nothing to draw it says so.
    pub fn svg(&self, wording: &dyn Wording) -> String {
        let mut readings = self.readings.clone();
        readings.sort_by_key(|reading| reading.at);
        let mut coats = self.coats.clone();
        coats.sort_by(|a, b| (a.from, a.until, &a.label).cmp(&(b.from, b.until, &b.label)));
        let mut canvas = Canvas::new("climate", WIDTH, 0.0);
        let Some(times) = self.times(&readings, &coats) else {
            canvas.set_height(60.0);
            let nothing = wording.label(Label::NoClimate);
            canvas.text((20.0, 34.0), Anchor::Start, &nothing);
            return canvas.finish(&self.title, &nothing);
        };
        let lanes = coats.len().min(MOST_LANES);
        let top = draw_lanes(&mut canvas, &times, &coats[..lanes]);
        let warm = (top + 20.0, top + 200.0);
        let damp = (warm.1 + 34.0, warm.1 + 114.0);
        bands(&mut canvas, &times, &coats, (warm.0, damp.1));
        temperatures(&mut canvas, wording, &times, &readings, warm);
        humidity(&mut canvas, wording, &times, &readings, damp);
        for (x, label) in times.marks(wording) {
            canvas.line((x, damp.1), (x, damp.1 + 5.0), Stroke::plain(INK, 1.0));
            canvas.note((x, damp.1 + 18.0), Anchor::Middle, &label);
        }
        let last_line = legend(&mut canvas, wording, damp.1 + 42.0);
        canvas.set_height(last_line + 14.0);
        canvas.finish(&self.title, &description(wording, &times, &readings, &coats))
    }

    /// From the first to the last thing that is drawn, and a little room beside.
    fn times(&self, readings: &[DrawnReading], coats: &[DrawnCoat]) -> Option<Times> {
        let all =
            || readings.iter().map(|r| r.at).chain(coats.iter().flat_map(|coat| [coat.from, coat.until]));
        let (first, last) = (all().min()?, all().max()?);
        let room = ((last - first) / 24).max(TimeDelta::minutes(10));
        Some(Times { from: first - room, until: last + room, zone: self.zone, left: LEFT, right: RIGHT })
    }
}

fn description(
    wording: &dyn Wording,
    times: &Times,
    readings: &[DrawnReading],
    coats: &[DrawnCoat],
) -> String {
    let between = |values: &mut dyn Iterator<Item = f64>| {
        values.fold(None, |ends: Option<(f64, f64)>, value| {
            Some(ends.map_or((value, value), |(least, most)| (least.min(value), most.max(value))))
        })
    };
    let air = between(&mut readings.iter().map(|r| r.air_c));
    let humidity = between(&mut readings.iter().map(|r| r.rh_pct));
    let surface = between(&mut readings.iter().filter_map(|r| r.surface_c));
    let dew = between(&mut readings.iter().filter_map(|r| r.dew_c));
    let over = between(&mut readings.iter().filter_map(|r| Some(r.surface_c? - r.dew_c?)));
    let mut told = Vec::new();
    if let (Some(first), Some(last), Some(air), Some(humidity)) =
        (readings.first(), readings.last(), air, humidity)
    {
        told.push(Sentence::Climate { readings: readings.len(), air, humidity });
        told.push(Sentence::ReadBetween(times.local(first.at), times.local(last.at)));
        told.push(surface.map_or(Sentence::NoSurface, |(least, most)| Sentence::SurfaceBetween(least, most)));
    }
    told.extend(dew.map(|(least, most)| Sentence::DewPointBetween(least, most)));
    told.extend(over.map(|(least, _)| Sentence::AboveDewPoint(least)));
    told.extend(
        coats
            .iter()
            .map(|coat| Sentence::CoatBetween(&coat.label, times.local(coat.from), times.local(coat.until))),
    );
    told.into_iter().map(|sentence| wording.sentence(sentence)).collect::<Vec<_>>().join(" ")
}

/// A lane for each coat, its name in it or beside it. Answers where they end.
fn draw_lanes(canvas: &mut Canvas, times: &Times, coats: &[DrawnCoat]) -> f64 {
    let mut y = 16.0;
    for coat in coats {
        let (from, until) = (times.x(coat.from), times.x(coat.until));
        let width = (until - from).max(2.0);
        let hatch = canvas.hatch();
        canvas.rect((from, y), (width, LANE - 6.0), &hatch, Some(Stroke::plain(INK, 1.0)));
        // Beside the bar, on the side where there is room; else in it, on paper, so that no hatch runs through it.
        let wanted = width_of(&coat.label);
        let (before, within, after) = (from - 12.0, width - 12.0, RIGHT - until - 8.0);
        if wanted <= after || (after >= before && after >= within) {
            canvas.text((until + 6.0, y + 11.0), Anchor::Start, &fitted(&coat.label, after));
        } else if wanted <= before || before >= within {
            canvas.text((from - 6.0, y + 11.0), Anchor::End, &fitted(&coat.label, before));
        } else {
            let label = fitted(&coat.label, within);
            canvas.rect((from + 3.0, y + 1.0), (width_of(&label) + 6.0, LANE - 8.0), PAPER, None);
            canvas.text((from + 6.0, y + 11.0), Anchor::Start, &label);
        }
        y += LANE;
    }
    y
}

/// Where coats were laid, through the plots below.
fn bands(canvas: &mut Canvas, times: &Times, coats: &[DrawnCoat], (top, bottom): (f64, f64)) {
    for coat in coats {
        let (from, until) = (times.x(coat.from), times.x(coat.until));
        canvas.rect((from, top), ((until - from).max(1.0), bottom - top), "#eef1f4", None);
    }
}

fn frame(
    canvas: &mut Canvas,
    wording: &dyn Wording,
    axis: &Numbers,
    title: Label<'_>,
    (top, bottom): (f64, f64),
) {
    canvas.heading((LEFT, top - 7.0), &wording.label(title));
    for (y, label) in axis.marks(wording) {
        canvas.line((LEFT, y), (RIGHT, y), Stroke::plain(GRID, 1.0));
        canvas.note((LEFT - 7.0, y + 4.0), Anchor::End, &label);
    }
    canvas.line((LEFT, top), (LEFT, bottom), Stroke::plain(SOFT, 1.0));
    canvas.line((LEFT, bottom), (RIGHT, bottom), Stroke::plain(SOFT, 1.0));
}

/// The lines of the temperature plot: name, stroke, marker.
const TEMPERATURES: [(Label<'_>, Stroke, Marker); 3] = [
    (Label::Air, Stroke::plain(LINES[0], 2.0), Marker::Circle),
    (Label::Surface, Stroke::dashed(LINES[1], 2.0, "7 3"), Marker::Square),
    (Label::DewPoint, Stroke::dashed(LINES[2], 2.0, "2 3"), Marker::Triangle),
];

fn temperatures(
    canvas: &mut Canvas,
    wording: &dyn Wording,
    times: &Times,
    readings: &[DrawnReading],
    (top, bottom): (f64, f64),
) {
    let values = readings.iter().flat_map(|r| [Some(r.air_c), r.surface_c, r.dew_c]).flatten();
    let axis = Numbers::holding(values, bottom, top);
    frame(canvas, wording, &axis, Label::Temperature, (top, bottom));
    let of = |place: usize, reading: &DrawnReading| match place {
        0 => Some(reading.air_c),
        1 => reading.surface_c,
        _ => reading.dew_c,
    };
    for (place, (_, stroke, marker)) in TEMPERATURES.iter().enumerate() {
        let points = readings.iter().filter_map(|r| Some((times.x(r.at), axis.y(of(place, r)?))));
        curve(canvas, &points.collect::<Vec<_>>(), *stroke, *marker);
    }
}

fn humidity(
    canvas: &mut Canvas,
    wording: &dyn Wording,
    times: &Times,
    readings: &[DrawnReading],
    (top, bottom): (f64, f64),
) {
    let axis = Numbers::holding(readings.iter().map(|r| r.rh_pct), bottom, top);
    frame(canvas, wording, &axis, Label::Humidity, (top, bottom));
    let points: Vec<(f64, f64)> = readings.iter().map(|r| (times.x(r.at), axis.y(r.rh_pct))).collect();
    curve(canvas, &points, Stroke::plain(INK, 2.0), Marker::Circle);
}

/// A line through points; each is marked unless they are many.
fn curve(canvas: &mut Canvas, points: &[(f64, f64)], stroke: Stroke, marker: Marker) {
    let thinned = thinned(points);
    if thinned.len() > 1 {
        canvas.polyline(&thinned, stroke);
    }
    let step = thinned.len().div_ceil(24).max(1);
    for point in thinned.iter().step_by(step) {
        canvas.marker(marker, *point, stroke.colour);
    }
}

/// Of several points on one pixel the lowest and the highest: a logger's 100,000 lines look the same.
fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for run in points.chunk_by(|a, b| a.0.floor().total_cmp(&b.0.floor()).is_eq()) {
        let by_y = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
        let ends = [run.iter().min_by(by_y), run.iter().max_by(by_y)];
        let mut ends: Vec<(f64, f64)> = ends.into_iter().flatten().copied().collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        ends.dedup();
        kept.extend(ends);
    }
    kept
}

/// Answers where its last line is.
fn legend(canvas: &mut Canvas, wording: &dyn Wording, y: f64) -> f64 {
    let mut legend = Legend::new((LEFT, RIGHT), y);
    for (label, stroke, marker) in TEMPERATURES {
        let (x, y) = legend.entry(canvas, 34.0, &wording.label(label));
        canvas.line((x, y - 4.0), (x + 34.0, y - 4.0), stroke);
        canvas.marker(marker, (x + 17.0, y - 4.0), stroke.colour);
    }
    let (x, y) = legend.entry(canvas, 34.0, &wording.label(Label::CoatIsLaid));
    let hatch = canvas.hatch();
    canvas.rect((x, y - 11.0), (34.0, 13.0), &hatch, Some(Stroke::plain(INK, 1.0)));
    legend.last_line()
}
