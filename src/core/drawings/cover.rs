//! Cover over time: each surface with its holds, and each rule with its dues.

use super::canvas::{Anchor, Canvas, FILL, GRID, INK, LINES, PAPER, SOFT, Stroke, cut, width_of};
use super::scale::{Days, of_date};
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

/// What has become of a due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DueMark {
    /// It lies ahead.
    Ahead,
    /// It can be met now.
    Open,
    /// It can still be met.
    Late,
    /// It was met.
    Met,
    /// It was missed.
    Missed,
    /// It was waived.
    Waived,
}

impl DueMark {
    /// Every mark, in the order of the legend.
    const ALL: [Self; 6] = [Self::Ahead, Self::Open, Self::Late, Self::Met, Self::Missed, Self::Waived];

    const fn word(self) -> &'static str {
        match self {
            Self::Ahead => "ahead",
            Self::Open => "open",
            Self::Late => "late",
            Self::Met => "met",
            Self::Missed => "missed",
            Self::Waived => "waived",
        }
    }
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
    pub mark: DueMark,
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
const LEFT: f64 = 130.0;
const RIGHT: f64 = WIDTH - 24.0;
const BAR: f64 = 24.0;
const ROW: f64 = 36.0;
/// Closer together than this, in px, not every due has its number beside it.
const APART: f64 = 16.0;

impl CoverDrawing {
    /// The picture.
    pub fn svg(&self) -> String {
        let from = self.surfaces.iter().map(|bar| bar.from).min().unwrap_or(self.as_of).min(self.as_of);
        let ends = self.surfaces.iter().map(|bar| bar.last_day.plus_days(1));
        let until = ends.chain(self.dues.iter().map(|due| due.closes)).max().unwrap_or(self.as_of);
        let until = until.max(self.as_of).max(from.plus_days(30)).plus_days(14);
        let days = Days { from: from.plus_days(-14), until, left: LEFT, right: RIGHT };
        let mut rules: Vec<&str> = Vec::new();
        for due in &self.dues {
            if !rules.contains(&due.upkeep.as_str()) {
                rules.push(&due.upkeep);
            }
        }
        let rows = u32::try_from(self.surfaces.len() + rules.len()).map_or(0.0, f64::from);
        let (top, bottom) = (34.0, 34.0 + rows * ROW + 8.0);
        let mut canvas = Canvas::new("cover", WIDTH, bottom + 62.0);
        for (x, label) in days.marks() {
            canvas.line((x, top), (x, bottom), Stroke::plain(GRID, 1.0));
            canvas.note((x, bottom + 16.0), Anchor::Middle, &label);
        }
        canvas.line((LEFT, bottom), (RIGHT, bottom), Stroke::plain(SOFT, 1.0));
        let now = days.x(self.as_of);
        canvas.line((now, top - 6.0), (now, bottom), Stroke::plain(INK, 1.5));
        let mut y = top + 6.0;
        for bar in &self.surfaces {
            surface(&mut canvas, &days, bar, y);
            y += ROW;
        }
        for rule in rules {
            canvas.text((LEFT - 10.0, y + 16.0), Anchor::End, &cut(rule, 18));
            let dues: Vec<&DrawnDue> = self.dues.iter().filter(|due| due.upkeep == rule).collect();
            lane(&mut canvas, &days, &dues, y);
            y += ROW;
        }
        let label = of_date(self.as_of);
        let half = width_of(&label) / 2.0;
        canvas.text((now.clamp(half + 2.0, WIDTH - half - 2.0), top - 11.0), Anchor::Middle, &label);
        legend(&mut canvas, bottom + 44.0);
        canvas.finish(&self.title, &self.description())
    }

    fn description(&self) -> String {
        let bar = |bar: &DrawnBar| {
            let hold = |(since, until): &(Day, Option<Day>)| match until {
                Some(until) => format!("on hold from {} until {}", of_date(*since), of_date(*until)),
                None => format!("on hold since {}", of_date(*since)),
            };
            let holds = bar.holds.iter().map(|one| format!("; {}", hold(one))).collect::<String>();
            format!(
                "{}: {}, from {} to {}{holds}.",
                bar.surface,
                bar.state,
                of_date(bar.from),
                of_date(bar.last_day)
            )
        };
        let due = |due: &DrawnDue| {
            format!(
                "{} {}: due {}, closes {}, {}.",
                due.upkeep,
                due.number,
                of_date(due.due),
                of_date(due.closes),
                due.mark.word()
            )
        };
        let bars = self.surfaces.iter().map(bar);
        let all: Vec<String> = bars.chain(self.dues.iter().map(due)).collect();
        format!("As of {}. {}", of_date(self.as_of), all.join(" "))
    }
}

fn surface(canvas: &mut Canvas, days: &Days, bar: &DrawnBar, y: f64) {
    canvas.text((LEFT - 10.0, y + 16.0), Anchor::End, &bar.surface);
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
        mark(canvas, due.mark, (x, middle));
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
fn mark(canvas: &mut Canvas, mark: DueMark, (x, y): (f64, f64)) {
    let ink = Stroke::plain(INK, 1.6);
    match mark {
        DueMark::Ahead => canvas.circle((x, y), 3.0, PAPER, Stroke::plain(SOFT, 1.2)),
        DueMark::Open => canvas.circle((x, y), 5.5, PAPER, Stroke::plain(LINES[0], 2.2)),
        DueMark::Late => canvas.polygon(
            &[(x, y - 6.0), (x + 6.0, y + 5.0), (x - 6.0, y + 5.0)],
            PAPER,
            Stroke::plain(LINES[1], 2.2),
        ),
        DueMark::Met => {
            canvas.circle((x, y), 6.0, LINES[2], Stroke::plain(LINES[2], 1.0));
            canvas
                .polyline(&[(x - 3.0, y), (x - 1.0, y + 2.5), (x + 3.2, y - 2.5)], Stroke::plain(PAPER, 1.6));
        }
        DueMark::Missed => {
            canvas.line((x - 5.0, y - 5.0), (x + 5.0, y + 5.0), Stroke::plain(INK, 2.4));
            canvas.line((x - 5.0, y + 5.0), (x + 5.0, y - 5.0), Stroke::plain(INK, 2.4));
        }
        DueMark::Waived => {
            canvas.polygon(&[(x, y - 6.0), (x + 6.0, y), (x, y + 6.0), (x - 6.0, y)], PAPER, ink);
        }
    }
}

fn legend(canvas: &mut Canvas, y: f64) {
    let mut x = 24.0;
    for one in DueMark::ALL {
        mark(canvas, one, (x, y - 4.0));
        canvas.text((x + 12.0, y), Anchor::Start, one.word());
        x += 36.0 + width_of(one.word());
    }
    let hatch = canvas.hatch();
    canvas.rect((x, y - 11.0), (30.0, 13.0), &hatch, Some(Stroke::plain(INK, 1.0)));
    canvas.text((x + 36.0, y), Anchor::Start, "on hold");
    x += 60.0 + width_of("on hold");
    canvas.line((x, y - 4.0), (x + 30.0, y - 4.0), Stroke::plain(SOFT, 1.0));
    for end in [x, x + 30.0] {
        canvas.line((end, y - 7.0), (end, y - 1.0), Stroke::plain(SOFT, 1.0));
    }
    canvas.text((x + 38.0, y), Anchor::Start, "window of a due");
}
