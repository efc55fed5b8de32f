//! The panels of a vehicle from above, unfolded: sides, front and rear laid flat around the roof; of our own drawing.

use std::collections::BTreeMap;

use super::canvas::{Anchor, Canvas, FILL, INK, LINES, PAPER, SOFT, Stroke, cut};
use crate::core::words::{NamedPanel, Panel};

/// How a panel is set off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PanelMark {
    /// Nothing is said of it.
    Plain,
    /// Something was read there.
    Read,
    /// Film or plastic: there is no paint to read.
    Covered,
    /// Something draws attention.
    Flagged,
}

/// What is written on a panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnPanel {
    /// The value, in a few characters; may be empty.
    pub value: String,
    /// How it is set off.
    pub mark: PanelMark,
    /// What draws attention, in words, for the list below and the description.
    pub notes: Vec<String>,
}

/// What is drawn on the panels of a vehicle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PanelsDrawing {
    /// What the picture is called.
    pub title: String,
    /// What the values are, with their unit.
    pub values: String,
    /// By panel.
    pub panels: BTreeMap<Panel, DrawnPanel>,
}

const WIDTH: f64 = 760.0;
/// Where the middle of the vehicle lies.
const MIDDLE: f64 = 210.0;

/// The corners of a panel on the left-hand half, as distances to the left of the middle and down from the front; where its
/// value is written.
type Shape = (&'static [(f64, f64)], (f64, f64));

/// A panel of the left side, the one of the right that mirrors it, and their shape.
type Side = (NamedPanel, NamedPanel, Shape);

/// A panel on the middle line, half of its outline, and how far down its value is written.
type Middle = (NamedPanel, &'static [(f64, f64)], f64);

/// Panels that lie on the middle line: half of their outline, from the middle of the upper edge to that of the lower.
const MIDDLES: &[Middle] = &[
    (NamedPanel::FrontBumper, &[(0.0, 6.0), (58.0, 12.0), (66.0, 34.0), (0.0, 28.0)], 22.0),
    (NamedPanel::Bonnet, &[(0.0, 34.0), (44.0, 38.0), (52.0, 116.0), (0.0, 108.0)], 76.0),
    (NamedPanel::Windscreen, &[(0.0, 114.0), (53.0, 122.0), (42.0, 158.0), (0.0, 152.0)], 138.0),
    (NamedPanel::Roof, &[(0.0, 158.0), (42.0, 164.0), (42.0, 274.0), (0.0, 280.0)], 222.0),
    (NamedPanel::RearWindow, &[(0.0, 286.0), (42.0, 280.0), (52.0, 316.0), (0.0, 322.0)], 307.0),
    (NamedPanel::Boot, &[(0.0, 328.0), (52.0, 322.0), (46.0, 376.0), (0.0, 380.0)], 356.0),
    (NamedPanel::RearBumper, &[(0.0, 386.0), (66.0, 380.0), (58.0, 404.0), (0.0, 408.0)], 399.0),
];

/// Panels of the left side; those of the right lie mirrored.
const SIDES: &[Side] = &[
    (
        NamedPanel::LeftHeadlight,
        NamedPanel::RightHeadlight,
        (&[(72.0, 16.0), (110.0, 24.0), (104.0, 46.0), (70.0, 40.0)], (90.0, 36.0)),
    ),
    (
        NamedPanel::FrontLeftWing,
        NamedPanel::FrontRightWing,
        (&[(58.0, 48.0), (112.0, 52.0), (112.0, 118.0), (60.0, 118.0)], (86.0, 88.0)),
    ),
    (
        NamedPanel::FrontLeftWindow,
        NamedPanel::FrontRightWindow,
        (&[(60.0, 128.0), (80.0, 144.0), (80.0, 212.0), (50.0, 212.0), (50.0, 164.0)], (66.0, 192.0)),
    ),
    (
        NamedPanel::RearLeftWindow,
        NamedPanel::RearRightWindow,
        (&[(50.0, 218.0), (80.0, 218.0), (80.0, 286.0), (60.0, 300.0), (50.0, 274.0)], (66.0, 252.0)),
    ),
    (
        NamedPanel::FrontLeftDoor,
        NamedPanel::FrontRightDoor,
        (&[(86.0, 126.0), (134.0, 126.0), (134.0, 212.0), (86.0, 212.0)], (110.0, 174.0)),
    ),
    (
        NamedPanel::RearLeftDoor,
        NamedPanel::RearRightDoor,
        (&[(86.0, 218.0), (134.0, 218.0), (134.0, 296.0), (86.0, 296.0)], (110.0, 262.0)),
    ),
    (
        NamedPanel::RearLeftWing,
        NamedPanel::RearRightWing,
        (&[(60.0, 308.0), (112.0, 304.0), (112.0, 368.0), (58.0, 374.0)], (86.0, 340.0)),
    ),
    (
        NamedPanel::LeftSill,
        NamedPanel::RightSill,
        (&[(140.0, 126.0), (168.0, 126.0), (168.0, 296.0), (140.0, 296.0)], (154.0, 214.0)),
    ),
    (
        NamedPanel::LeftMirror,
        NamedPanel::RightMirror,
        (&[(170.0, 98.0), (194.0, 94.0), (206.0, 118.0), (170.0, 120.0)], (187.0, 113.0)),
    ),
    (
        NamedPanel::FrontLeftWheel,
        NamedPanel::FrontRightWheel,
        (
            &[
                (128.0, 60.0),
                (150.0, 60.0),
                (164.0, 74.0),
                (164.0, 98.0),
                (150.0, 112.0),
                (128.0, 112.0),
                (116.0, 98.0),
                (116.0, 74.0),
            ],
            (140.0, 90.0),
        ),
    ),
    (
        NamedPanel::RearLeftWheel,
        NamedPanel::RearRightWheel,
        (
            &[
                (128.0, 310.0),
                (150.0, 310.0),
                (164.0, 324.0),
                (164.0, 348.0),
                (150.0, 362.0),
                (128.0, 362.0),
                (116.0, 348.0),
                (116.0, 324.0),
            ],
            (140.0, 340.0),
        ),
    ),
];

impl PanelsDrawing {
    /// The picture: the plan to the left, what there is to say of panels in a list to the right.
    pub fn svg(&self) -> String {
        let mut canvas = Canvas::new("panels", WIDTH, 0.0);
        canvas.heading((20.0, 18.0), &cut(&self.values, 56));
        let down = 40.0;
        canvas.note((MIDDLE, down), Anchor::Middle, "front");
        for (name, half, value) in MIDDLES {
            let left: Vec<(f64, f64)> = half.iter().map(|(out, y)| (MIDDLE - out, down + y)).collect();
            let right = half.iter().rev().map(|(out, y)| (MIDDLE + out, down + y));
            let outline: Vec<(f64, f64)> = left.into_iter().chain(right).collect();
            self.panel(&mut canvas, *name, &outline, (MIDDLE, down + value));
        }
        for (left, right, (half, (out, y))) in SIDES {
            let outline =
                |side: f64| half.iter().map(|(out, y)| (MIDDLE + side * out, down + y)).collect::<Vec<_>>();
            self.panel(&mut canvas, *left, &outline(-1.0), (MIDDLE - out, down + y));
            self.panel(&mut canvas, *right, &outline(1.0), (MIDDLE + out, down + y));
        }
        canvas.note((MIDDLE, down + 424.0), Anchor::Middle, "rear");
        canvas.note((12.0, down + 222.0), Anchor::Start, "left");
        canvas.note((MIDDLE * 2.0 - 12.0, down + 222.0), Anchor::End, "right");
        legend(&mut canvas, down + 456.0);
        let listed = self.list(&mut canvas);
        canvas.set_height((down + 472.0).max(listed));
        canvas.finish(&self.title, &self.description())
    }

    fn panel(&self, canvas: &mut Canvas, name: NamedPanel, outline: &[(f64, f64)], value: (f64, f64)) {
        let drawn = self.panels.get(&Panel::Named(name));
        let mark = drawn.map_or(PanelMark::Plain, |drawn| drawn.mark);
        set_off(canvas, mark, outline);
        let Some(drawn) = drawn.filter(|drawn| !drawn.value.is_empty()) else { return };
        let text = cut(&drawn.value, 8);
        let flag = if mark == PanelMark::Flagged { "! " } else { "" };
        let text = format!("{flag}{text}");
        // On paper, so that no pattern runs through it.
        let width = super::canvas::width_of(&text) + 4.0;
        canvas.rect((value.0 - width / 2.0, value.1 - 10.5), (width, 14.0), PAPER, None);
        canvas.text(value, Anchor::Middle, &text);
    }

    /// Panels that have notes, or no place in the plan. Answers where the list ends.
    fn list(&self, canvas: &mut Canvas) -> f64 {
        let (x, mut y) = (MIDDLE * 2.0 + 16.0, 44.0);
        let placed = |panel: &Panel| match panel {
            Panel::Named(name) => {
                MIDDLES.iter().any(|(of, ..)| of == name)
                    || SIDES.iter().any(|(a, b, _)| a == name || b == name)
            }
            Panel::Other(_) => false,
        };
        for (panel, drawn) in &self.panels {
            if drawn.notes.is_empty() && placed(panel) {
                continue;
            }
            let value = if drawn.value.is_empty() { String::new() } else { format!(": {}", drawn.value) };
            canvas.heading((x, y), &cut(&format!("{}{value}", said(panel)), 44));
            y += 15.0;
            for note in &drawn.notes {
                for line in lines(note, 50) {
                    canvas.note((x, y), Anchor::Start, &line);
                    y += 14.0;
                }
            }
            y += 8.0;
        }
        y + 8.0
    }

    fn description(&self) -> String {
        let of = |(panel, drawn): (&Panel, &DrawnPanel)| {
            let value = if drawn.value.is_empty() { "no value" } else { &drawn.value };
            let notes = drawn.notes.iter().map(|note| format!(", {note}")).collect::<String>();
            format!("{} {value}{notes}", said(panel))
        };
        if self.panels.is_empty() {
            return format!("{}: nothing was read.", self.values);
        }
        format!("{}: {}.", self.values, self.panels.iter().map(of).collect::<Vec<_>>().join("; "))
    }
}

/// A panel's name for people.
fn said(panel: &Panel) -> String {
    let name = panel.to_string();
    name.strip_prefix("other:").map_or_else(|| name.replace('_', " "), str::to_owned)
}

/// A text in lines of so many characters at most, broken at blanks where there are some.
fn lines(text: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let word = cut(word, most);
        match lines.last_mut() {
            Some(line) if line.is_empty() => *line = word,
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

fn set_off(canvas: &mut Canvas, mark: PanelMark, outline: &[(f64, f64)]) {
    let (hatch, dots) = (canvas.hatch(), canvas.dots());
    let (fill, stroke) = match mark {
        PanelMark::Plain => (PAPER, Stroke::plain(SOFT, 1.0)),
        PanelMark::Read => (FILL, Stroke::plain(INK, 1.2)),
        PanelMark::Covered => (dots.as_str(), Stroke::plain(INK, 1.2)),
        PanelMark::Flagged => (hatch.as_str(), Stroke::plain(LINES[1], 2.4)),
    };
    canvas.polygon(outline, fill, stroke);
}

fn legend(canvas: &mut Canvas, y: f64) {
    let marks = [
        (PanelMark::Read, "read"),
        (PanelMark::Covered, "film or plastic"),
        (PanelMark::Flagged, "! look at it"),
        (PanelMark::Plain, "not read"),
    ];
    let mut x = 20.0;
    for (mark, word) in marks {
        set_off(canvas, mark, &[(x, y - 11.0), (x + 22.0, y - 11.0), (x + 22.0, y + 2.0), (x, y + 2.0)]);
        canvas.text((x + 28.0, y), Anchor::Start, word);
        x += 48.0 + super::canvas::width_of(word);
    }
}
