//! Cover over time: each surface with its holds, and each rule with its dues.

use super::canvas::{Anchor, Canvas, FILL, GRID, INK, LINES, Legend, PAPER, SOFT, Stroke, fitted, width_of};
use super::scale::Days;
use super::wording::{Label, Sentence, Wording};
use crate::core::assess::DueStatus;
use crate::core::calendar::Day;

/// Cover of one surface.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnBar {
    /// The surface.
    pub surface: String,
    /// The first day of cover.
    pub from: Day,
    /// Its last one, as things stand.
    pub last_day: Day,
    /// How it stands, in words.
    pub state: String,
    /// When it was or is on hold: from, and until (that day not); none: still.
    pub holds: Vec<(Day, Option<Day>)>,
}

/// A due of a rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnDue {
    /// The key of the rule.
    pub upkeep: String,
    /// From 1 on.
    pub number: u32,
    /// The first day on which it can be met.
    pub opens: Day,
    /// The day for which it is asked.
    pub due: Day,
    /// The last day on which it can be met.
    pub closes: Day,
    /// What has become of it.
    pub status: DueStatus,
}

/// What is drawn of the cover of a warranty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CoverDrawing {
    /// What the picture is called.
    pub title: String,
    /// The day of the verdict.
    pub as_of: Day,
    /// One bar each.
    pub surfaces: Vec<DrawnBar>,
    /// Rule by rule, by number.
    pub dues: Vec<DrawnDue>,
}

const WIDTH: f64 = 760.0;
/// Room for the names of surfaces and rules: at least, and at most.
const NAMES: (f64, f64) = (130.0, 210.0);
const RIGHT: f64 = WIDTH - 24.0;
const BAR: f64 = 24.0;
const ROW: f64 = 36.0;
/// Closer together than this, in px, not every due has its number beside it.
const APART: f64 = 16.0;

impl CoverDrawing {
    /// The picture.
    pub fn svg(&self, wording: &dyn Wording) -> String {
        let from = self.surfaces.iter().map(|bar| bar.from).min().unwrap_or(self.as_of).min(self.as_of);
        let ends = self.surfaces.iter().map(|bar| bar.last_day.plus_days(1));
        let until = ends.chain(self.dues.iter().map(|due| due.closes)).max().unwrap_or(self.as_of);
        let until = until.max(self.as_of).max(from.plus_days(30)).plus_days(14);
        let mut rules: Vec<&str> = Vec::new();
        for due in &self.dues {
            if !rules.contains(&due.upkeep.as_str()) {
                rules.push(&due.upkeep);
            }
        }
        let names = self.surfaces.iter().map(|bar| bar.surface.as_str()).chain(rules.iter().copied());
        let left = names.map(|name| width_of(name) + 22.0).fold(NAMES.0, f64::max).min(NAMES.1);
        let days = Days { from: from.plus_days(-14), until, left, right: RIGHT };
        let rows = u32::try_from(self.surfaces.len() + rules.len()).map_or(0.0, f64::from);
        let (top, bottom) = (34.0, 34.0 + rows * ROW + 8.0);
        let mut canvas = Canvas::new("cover", WIDTH, 0.0);
        for (x, label) in days.marks(wording) {
            canvas.line((x, top), (x, bottom), Stroke::plain(GRID, 1.0));
            canvas.note((x, bottom + 16.0), Anchor::Middle, &label);
        }
        canvas.line((left, bottom), (RIGHT, bottom), Stroke::plain(SOFT, 1.0));
        let now = days.x(self.as_of);
        canvas.line((now, top - 6.0), (now, bottom), Stroke::plain(INK, 1.5));
        let mut y = top + 6.0;
        for bar in &self.surfaces {
            surface(&mut canvas, &days, bar, y);
            y += ROW;
        }
        for rule in rules {
            name(&mut canvas, &days, rule, y);
            let dues: Vec<&DrawnDue> = self.dues.iter().filter(|due| due.upkeep == rule).collect();
            lane(&mut canvas, &days, &dues, y);
            y += ROW;
        }
        let label = wording.short_date(self.as_of);
        let half = width_of(&label) / 2.0;
        canvas.text((now.clamp(half + 2.0, WIDTH - half - 2.0), top - 11.0), Anchor::Middle, &label);
        let last_line = legend(&mut canvas, wording, bottom + 44.0);
        canvas.set_height(last_line + 18.0);
        canvas.finish(&self.title, &self.description(wording))
    }

    fn description(&self, wording: &dyn Wording) -> String {
        let bar = |bar: &DrawnBar| {
            let DrawnBar { surface, state, from, last_day, holds } = bar;
            let cover = Sentence::Cover { surface, state, from: *from, last_day: *last_day };
            let holds = holds.iter().map(|(since, until)| Sentence::Hold(surface, *since, *until));
            std::iter::once(cover).chain(holds).map(|one| wording.sentence(one)).collect::<Vec<_>>()
        };
        let due = |due: &DrawnDue| {
            let DrawnDue { upkeep: rule, number, opens: _, due, closes, status } = due;
            wording.sentence(Sentence::Due {
                rule,
                number: *number,
                due: *due,
                closes: *closes,
                status: *status,
            })
        };
        let as_of = wording.sentence(Sentence::AsOf(self.as_of));
        let told = self.surfaces.iter().flat_map(bar).chain(self.dues.iter().map(due));
        std::iter::once(as_of).chain(told).collect::<Vec<_>>().join(" ")
    }
}

/// What a row is called, to its left.
fn name(canvas: &mut Canvas, days: &Days, name: &str, y: f64) {
    canvas.text((days.left - 10.0, y + 16.0), Anchor::End, &fitted(name, days.left - 12.0));
}

fn surface(canvas: &mut Canvas, days: &Days, bar: &DrawnBar, y: f64) {
    name(canvas, days, &bar.surface, y);
    let (from, until) = (days.x(bar.from), days.x(bar.last_day.plus_days(1)));
    canvas.rect((from, y), ((until - from).max(2.0), BAR), FILL, Some(Stroke::plain(INK, 1.0)));
    for (since, ended) in &bar.holds {
        let (since, ended) = (days.x(*since), ended.map_or(until, |day| days.x(day)));
        let hatch = canvas.hatch();
        canvas.rect((since, y), ((ended - since).max(2.0), BAR), &hatch, Some(Stroke::plain(INK, 1.0)));
    }
    // The words lie on paper, so that no hatch runs through them, at the end of the bar where they fit.
    let width = width_of(&bar.state) + 12.0;
    let (x, inside) =
        if until - from > width + 8.0 { (until - width - 4.0, true) } else { (until + 4.0, false) };
    let x = x.min(RIGHT - width);
    if inside || x >= until {
        canvas.rect((x, y + 4.0), (width, BAR - 8.0), PAPER, None);
        canvas.text((x + 6.0, y + 16.0), Anchor::Start, &bar.state);
    } else {
        canvas.rect((from + 3.0, y + 4.0), (width, BAR - 8.0), PAPER, None);
        canvas.text((from + 9.0, y + 16.0), Anchor::Start, &bar.state);
    }
}

fn lane(canvas: &mut Canvas, days: &Days, dues: &[&DrawnDue], y: f64) {
    let middle = y + 18.0;
    let mut free = f64::MIN;
    for due in dues {
        let (opens, closes, x) = (days.x(due.opens), days.x(due.closes), days.x(due.due));
        canvas.line((opens, middle), (closes, middle), Stroke::plain(SOFT, 1.0));
        for end in [opens, closes] {
            canvas.line((end, middle - 3.0), (end, middle + 3.0), Stroke::plain(SOFT, 1.0));
        }
        mark(canvas, due.status, (x, middle));
        if x - free >= APART {
            let number = due.number.to_string();
            // On paper, so that no line runs through it.
            let width = width_of(&number) + 2.0;
            canvas.rect((x - width / 2.0, middle - 19.0), (width, 12.0), PAPER, None);
            canvas.note((x, middle - 9.0), Anchor::Middle, &number);
            free = x;
        }
    }
}

/// Each of another shape, so that none is told by its colour.
fn mark(canvas: &mut Canvas, status: DueStatus, (x, y): (f64, f64)) {
    let ink = Stroke::plain(INK, 1.6);
    match status {
        DueStatus::Ahead => canvas.circle((x, y), 3.0, PAPER, Stroke::plain(SOFT, 1.2)),
        DueStatus::Open => canvas.circle((x, y), 5.5, PAPER, Stroke::plain(LINES[0], 2.2)),
        DueStatus::Late => canvas.polygon(
            &[(x, y - 6.0), (x + 6.0, y + 5.0), (x - 6.0, y + 5.0)],
            PAPER,
            Stroke::plain(LINES[1], 2.2),
        ),
        DueStatus::Met => {
            canvas.circle((x, y), 6.0, LINES[2], Stroke::plain(LINES[2], 1.0));
            canvas
                .polyline(&[(x - 3.0, y), (x - 1.0, y + 2.5), (x + 3.2, y - 2.5)], Stroke::plain(PAPER, 1.6));
        }
        DueStatus::Missed => {
            canvas.line((x - 5.0, y - 5.0), (x + 5.0, y + 5.0), Stroke::plain(INK, 2.4));
            canvas.line((x - 5.0, y + 5.0), (x + 5.0, y - 5.0), Stroke::plain(INK, 2.4));
        }
        DueStatus::Waived => {
            canvas.polygon(&[(x, y - 6.0), (x + 6.0, y), (x, y + 6.0), (x - 6.0, y)], PAPER, ink);
        }
    }
}

/// Answers where its last line is.
fn legend(canvas: &mut Canvas, wording: &dyn Wording, y: f64) -> f64 {
    let mut legend = Legend::new((24.0, RIGHT), y);
    for one in DueStatus::ALL {
        let (x, y) = legend.entry(canvas, 12.0, &wording.label(Label::Due(*one)));
        mark(canvas, *one, (x + 6.0, y - 4.0));
    }
    let (x, y) = legend.entry(canvas, 30.0, &wording.label(Label::OnHold));
    let hatch = canvas.hatch();
    canvas.rect((x, y - 11.0), (30.0, 13.0), &hatch, Some(Stroke::plain(INK, 1.0)));
    let (x, y) = legend.entry(canvas, 30.0, &wording.label(Label::Window));
    canvas.line((x, y - 4.0), (x + 30.0, y - 4.0), Stroke::plain(SOFT, 1.0));
    for end in [x, x + 30.0] {
        canvas.line((end, y - 7.0), (end, y - 1.0), Stroke::plain(SOFT, 1.0));
    }
    legend.last_line()
}
