//! The panels of a vehicle from above, unfolded: sides, front and rear laid flat around the roof; of our own drawing.

use std::collections::BTreeMap;

use super::canvas::{Anchor, Canvas, FILL, INK, LINES, Legend, PAPER, SOFT, Stroke, fitted, width_of};
use super::wording::{Label, Sentence, Wording};
use crate::core::words::{NamedPanel, Panel};

/// How a panel is set off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PanelMark {
    /// Nothing is said of it.
    Plain,
    /// Something was read there.
    Read,
    /// Paint under film was read.
    Film,
    /// Plastic: there is no paint to read.
    Plastic,
    /// Something draws attention.
    Flagged,
}

/// What is written on a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPanel {
    /// What was read, written without decimals; none: nothing.
    pub value: Option<f64>,
    /// How it is set off.
    pub mark: PanelMark,
    /// What draws attention, in words, for the list below and the description.
    pub notes: Vec<String>,
}

/// What is drawn on the panels of a vehicle.
#[derive(Debug, Clone, PartialEq)]
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
    pub fn svg(&self, wording: &dyn Wording) -> String {
        let mut canvas = Canvas::new("panels", WIDTH, 0.0);
        canvas.heading((20.0, 18.0), &fitted(&self.values, WIDTH - 60.0));
        let down = 40.0;
        for (name, half, value) in MIDDLES {
            let left: Vec<(f64, f64)> = half.iter().map(|(out, y)| (MIDDLE - out, down + y)).collect();
            let right = half.iter().rev().map(|(out, y)| (MIDDLE + out, down + y));
            let outline: Vec<(f64, f64)> = left.into_iter().chain(right).collect();
            self.panel(&mut canvas, wording, *name, &outline, (MIDDLE, down + value));
        }
        for (left, right, (half, (out, y))) in SIDES {
            let outline =
                |side: f64| half.iter().map(|(out, y)| (MIDDLE + side * out, down + y)).collect::<Vec<_>>();
            self.panel(&mut canvas, wording, *left, &outline(-1.0), (MIDDLE - out, down + y));
            self.panel(&mut canvas, wording, *right, &outline(1.0), (MIDDLE + out, down + y));
        }
        let ends = [
            (Label::Front, MIDDLE, down),
            (Label::Rear, MIDDLE, down + 424.0),
            (Label::Left, MIDDLE - 140.0, down + 424.0),
            (Label::Right, MIDDLE + 140.0, down + 424.0),
        ];
        for (label, x, y) in ends {
            canvas.note((x, y), Anchor::Middle, &wording.label(label));
        }
        let last_line = legend(&mut canvas, wording, down + 456.0);
        let listed = self.list(&mut canvas, wording);
        canvas.set_height((last_line + 16.0).max(listed));
        canvas.finish(&self.title, &self.description(wording))
    }

    fn panel(
        &self,
        canvas: &mut Canvas,
        wording: &dyn Wording,
        name: NamedPanel,
        outline: &[(f64, f64)],
        place: (f64, f64),
    ) {
        let drawn = self.panels.get(&Panel::Named(name));
        let mark = drawn.map_or(PanelMark::Plain, |drawn| drawn.mark);
        set_off(canvas, mark, outline);
        let Some(value) = drawn.and_then(|drawn| drawn.value) else { return };
        let flag = if mark == PanelMark::Flagged { "! " } else { "" };
        let text = format!("{flag}{}", wording.figure(value.round()));
        // On paper, so that no pattern runs through it.
        let width = width_of(&text) + 4.0;
        canvas.rect((place.0 - width / 2.0, place.1 - 10.5), (width, 14.0), PAPER, None);
        canvas.text(place, Anchor::Middle, &text);
    }

    /// Panels that have notes, or no place in the plan. Answers where the list ends.
    fn list(&self, canvas: &mut Canvas, wording: &dyn Wording) -> f64 {
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
            let room = WIDTH - x - 8.0;
            let name = wording.label(Label::Panel(panel));
            let read = drawn.value.map(|value| wording.figure(value.round()));
            let rest = read.as_ref().map_or(0.0, |read| width_of(&wording.labelled("", read)));
            // Bold letters are wider.
            let name = fitted(&name, room / 1.1 - rest);
            canvas.heading((x, y), &read.map_or_else(|| name.clone(), |read| wording.labelled(&name, &read)));
            y += 15.0;
            for note in &drawn.notes {
                for line in lines(note, room) {
                    canvas.note((x, y), Anchor::Start, &line);
                    y += 14.0;
                }
            }
            y += 8.0;
        }
        y + 8.0
    }

    fn description(&self, wording: &dyn Wording) -> String {
        let of = |(panel, drawn): (&Panel, &DrawnPanel)| {
            let DrawnPanel { value, mark, notes } = drawn;
            let value = value.map(f64::round);
            wording.sentence(Sentence::Panel { panel, value, mark: *mark, notes })
        };
        let mut told: Vec<String> = self.panels.iter().map(of).collect();
        if told.is_empty() {
            told.push(wording.sentence(Sentence::NothingRead));
        }
        format!("{}. {}", self.values, told.join(" "))
    }
}

/// A text in lines of so much room at most, broken at blanks where there are some.
fn lines(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    // A blank that does not break stays within its line.
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let word = fitted(word, room);
        match lines.last_mut() {
            Some(line) if line.is_empty() => *line = word,
            Some(line) if width_of(line) + width_of(" ") + width_of(&word) <= room => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

fn set_off(canvas: &mut Canvas, mark: PanelMark, outline: &[(f64, f64)]) {
    let (hatch, dots, ruled) = (canvas.hatch(), canvas.dots(), canvas.ruled());
    let (fill, stroke) = match mark {
        PanelMark::Plain => (PAPER, Stroke::plain(SOFT, 1.0)),
        PanelMark::Read => (FILL, Stroke::plain(INK, 1.2)),
        PanelMark::Film => (dots.as_str(), Stroke::plain(INK, 1.2)),
        PanelMark::Plastic => (ruled.as_str(), Stroke::plain(INK, 1.2)),
        PanelMark::Flagged => (hatch.as_str(), Stroke::plain(LINES[1], 2.4)),
    };
    canvas.polygon(outline, fill, stroke);
}

/// Answers where its last line is.
fn legend(canvas: &mut Canvas, wording: &dyn Wording, y: f64) -> f64 {
    let mut legend = Legend::new((20.0, MIDDLE * 2.0), y);
    let marks = [
        (PanelMark::Read, "", Label::Read),
        (PanelMark::Film, "", Label::Film),
        (PanelMark::Plastic, "", Label::Plastic),
        (PanelMark::Flagged, "! ", Label::LookAtIt),
        (PanelMark::Plain, "", Label::NotRead),
    ];
    for (mark, flag, label) in marks {
        let (x, y) = legend.entry(canvas, 22.0, &format!("{flag}{}", wording.label(label)));
        set_off(canvas, mark, &[(x, y - 11.0), (x + 22.0, y - 11.0), (x + 22.0, y + 2.0), (x, y + 2.0)]);
    }
    legend.last_line()
}
