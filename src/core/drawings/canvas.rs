//! What all pictures are drawn with.

use std::fmt::Write as _;

/// Text and lines that matter.
pub(super) const INK: &str = "#1b1b1b";
/// What stands back: 7:1 on white.
pub(super) const SOFT: &str = "#545454";
/// Lines of a grid.
pub(super) const GRID: &str = "#d0d0d0";
/// Paper.
pub(super) const PAPER: &str = "#ffffff";
/// A surface that is filled.
pub(super) const FILL: &str = "#e9eef3";
/// First, second and third colour of lines: each 4.5:1 on white; each line has its own dashes and markers too.
pub(super) const LINES: [&str; 3] = ["#1f5f99", "#a84b00", "#2b6b3a"];

/// Where a text stands to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stroke {
    pub(super) colour: &'static str,
    pub(super) width: f64,
    pub(super) dashes: Option<&'static str>,
}

impl Stroke {
    pub(super) const fn plain(colour: &'static str, width: f64) -> Self {
        Self { colour, width, dashes: None }
    }

    pub(super) const fn dashed(colour: &'static str, width: f64, dashes: &'static str) -> Self {
        Self { colour, width, dashes: Some(dashes) }
    }

    fn attributes(self) -> String {
        let dashes = self.dashes.map(|dashes| format!(" stroke-dasharray=\"{dashes}\"")).unwrap_or_default();
        format!("stroke=\"{}\" stroke-width=\"{}\"{dashes}", self.colour, n(self.width))
    }
}

/// A marker of a line, so that lines are told apart without colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Marker {
    Circle,
    Square,
    Triangle,
}

/// A picture while it is drawn.
pub(super) struct Canvas {
    /// What tells its ids from those of other pictures on a page.
    name: &'static str,
    width: f64,
    height: f64,
    body: String,
}

impl Canvas {
    pub(super) fn new(name: &'static str, width: f64, height: f64) -> Self {
        Self { name, width, height, body: String::new() }
    }

    /// The height can be known last.
    pub(super) fn set_height(&mut self, height: f64) {
        self.height = height;
    }

    /// The fill of slanted lines.
    pub(super) fn hatch(&self) -> String {
        format!("url(#{}-hatch)", self.name)
    }

    /// The fill of dots.
    pub(super) fn dots(&self) -> String {
        format!("url(#{}-dots)", self.name)
    }

    /// The fill of level lines.
    pub(super) fn ruled(&self) -> String {
        format!("url(#{}-ruled)", self.name)
    }

    pub(super) fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: Stroke) {
        let (x1, y1, x2, y2) = (n(x1), n(y1), n(x2), n(y2));
        self.put(&format!("<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" {}/>", stroke.attributes()));
    }

    pub(super) fn polyline(&mut self, points: &[(f64, f64)], stroke: Stroke) {
        let points = listed(points);
        self.put(&format!(
            "<polyline points=\"{points}\" fill=\"none\" {} stroke-linejoin=\"round\"/>",
            stroke.attributes()
        ));
    }

    pub(super) fn polygon(&mut self, points: &[(f64, f64)], fill: &str, stroke: Stroke) {
        let points = listed(points);
        self.put(&format!(
            "<polygon points=\"{points}\" fill=\"{fill}\" {} stroke-linejoin=\"round\"/>",
            stroke.attributes()
        ));
    }

    pub(super) fn rect(
        &mut self,
        (x, y): (f64, f64),
        (width, height): (f64, f64),
        fill: &str,
        stroke: Option<Stroke>,
    ) {
        let (x, y, width, height) = (n(x), n(y), n(width.max(0.0)), n(height.max(0.0)));
        let stroke = stroke.map(|stroke| format!(" {}", stroke.attributes())).unwrap_or_default();
        self.put(&format!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"{fill}\"{stroke}/>"
        ));
    }

    pub(super) fn circle(&mut self, (x, y): (f64, f64), radius: f64, fill: &str, stroke: Stroke) {
        let (x, y, radius) = (n(x), n(y), n(radius));
        self.put(&format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" fill=\"{fill}\" {}/>",
            stroke.attributes()
        ));
    }

    pub(super) fn marker(&mut self, kind: Marker, (x, y): (f64, f64), colour: &'static str) {
        let stroke = Stroke::plain(colour, 1.5);
        match kind {
            Marker::Circle => self.circle((x, y), 3.0, PAPER, stroke),
            Marker::Square => self.rect((x - 2.8, y - 2.8), (5.6, 5.6), PAPER, Some(stroke)),
            Marker::Triangle => {
                self.polygon(&[(x, y - 3.6), (x + 3.4, y + 2.6), (x - 3.4, y + 2.6)], PAPER, stroke);
            }
        }
    }

    /// A text of 12 px in [`INK`].
    pub(super) fn text(&mut self, place: (f64, f64), anchor: Anchor, text: &str) {
        self.written(place, anchor, 12.0, INK, false, text);
    }

    /// A text of 11 px that stands back.
    pub(super) fn note(&mut self, place: (f64, f64), anchor: Anchor, text: &str) {
        self.written(place, anchor, 11.0, SOFT, false, text);
    }

    /// A text of 12 px in bold.
    pub(super) fn heading(&mut self, place: (f64, f64), text: &str) {
        self.written(place, Anchor::Start, 12.0, INK, true, text);
    }

    fn written(&mut self, (x, y): (f64, f64), anchor: Anchor, size: f64, fill: &str, bold: bool, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let bold = if bold { " font-weight=\"bold\"" } else { "" };
        let (x, y, size, text) = (n(x), n(y), n(size), escaped(text));
        self.put(&format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" fill=\"{fill}\"{anchor}{bold}>{text}</text>"
        ));
    }

    fn put(&mut self, element: &str) {
        _ = writeln!(self.body, "{element}");
    }

    /// The whole picture.
    pub(super) fn finish(self, title: &str, description: &str) -> String {
        let Self { name, width, height, body } = self;
        let (width, height, title, description) = (n(width), n(height), escaped(title), escaped(description));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
             height=\"{height}\" role=\"img\" aria-labelledby=\"{name}-title {name}-desc\" \
             font-family=\"Helvetica, Arial, Liberation Sans, sans-serif\">\n\
             <title id=\"{name}-title\">{title}</title>\n<desc id=\"{name}-desc\">{description}</desc>\n\
             <defs>\n\
             <pattern id=\"{name}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><rect width=\"6\" height=\"6\" fill=\"{PAPER}\"/>\
             <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\" stroke=\"#8a8a8a\" stroke-width=\"2\"/></pattern>\n\
             <pattern id=\"{name}-dots\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"6\" height=\"6\" fill=\"{PAPER}\"/><circle cx=\"3\" cy=\"3\" r=\"1.2\" fill=\"#6b6b6b\"/></pattern>\n\
             <pattern id=\"{name}-ruled\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"6\" height=\"6\" fill=\"{PAPER}\"/>\
             <line x1=\"0\" y1=\"3\" x2=\"6\" y2=\"3\" stroke=\"#8a8a8a\" stroke-width=\"1.2\"/></pattern>\n\
             </defs>\n\
             <rect x=\"0\" y=\"0\" width=\"{width}\" height=\"{height}\" fill=\"{PAPER}\"/>\n{body}</svg>\n"
        )
    }
}

fn listed(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect::<Vec<_>>().join(" ")
}

/// A coordinate to a tenth of a pixel.
fn n(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    // No "-0".
    format!("{}", if tenths == 0.0 { 0.0 } else { tenths })
}

/// Entries of a legend, each a sample and what it stands for, in as many lines as they take.
pub(super) struct Legend {
    left: f64,
    right: f64,
    x: f64,
    y: f64,
}

impl Legend {
    /// Between a left and a right edge, its first line on a base line.
    pub(super) fn new((left, right): (f64, f64), y: f64) -> Self {
        Self { left, right, x: left, y }
    }

    /// Writes what a sample of this width stands for. Answers where the sample is drawn: its left end, and the base line of
    /// the text.
    pub(super) fn entry(&mut self, canvas: &mut Canvas, sample: f64, text: &str) -> (f64, f64) {
        let width = sample + 6.0 + width_of(text);
        if self.x > self.left && self.x + width > self.right {
            (self.x, self.y) = (self.left, self.y + 20.0);
        }
        let (x, y) = (self.x, self.y);
        canvas.text((x + sample + 6.0, y), Anchor::Start, text);
        self.x += width + 22.0;
        (x, y)
    }

    /// The base line of the last line.
    pub(super) fn last_line(&self) -> f64 {
        self.y
    }
}

/// About how wide a text of 12 px is: sans-serif letters are half as wide as high, on the average.
pub(super) fn width_of(text: &str) -> f64 {
    text.chars().map(width).sum()
}

fn width(letter: char) -> f64 {
    if letter.is_uppercase() || letter == 'm' || letter == 'w' { 8.4 } else { 6.4 }
}

/// A text as XML can hold it: characters that mean something to it are named, those that it cannot hold become blanks.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            '\u{FFFE}' | '\u{FFFF}' => out.push(' '),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A text of 12 px cut to so much room, with an ellipsis where something is missing.
pub(super) fn fitted(text: &str, room: f64) -> String {
    if width_of(text) <= room {
        return text.to_owned();
    }
    let mut taken = width('…');
    let fits = |letter: &char| {
        taken += width(*letter);
        taken <= room
    };
    let kept: String = text.chars().take_while(fits).collect();
    format!("{}…", kept.trim_end())
}
