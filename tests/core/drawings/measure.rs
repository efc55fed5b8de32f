//! Where the texts of a picture stand, by the widths of its letters.

use roxmltree::{Document, Node};
use unicode_normalization::UnicodeNormalization as _;

/// An attribute that is a number.
pub(super) fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap_or_else(|| panic!("{node:?} has no {name}")).parse().unwrap()
}

/// Widths of Helvetica, and of what is made to its measure, in thousandths of the height: from the blank to the tilde, by
/// Adobe's font metrics.
const HELVETICA: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// How wide a text is set.
pub(super) fn set_width(text: &str, size: f64, bold: bool) -> f64 {
    let width = |letter: char| {
        // A letter with an accent is as wide as without.
        let plain = letter.nfd().next().unwrap_or(letter);
        let place = u32::from(plain).checked_sub(32).and_then(|place| usize::try_from(place).ok());
        match place.and_then(|place| HELVETICA.get(place)) {
            Some(width) => f64::from(*width),
            None if letter.is_whitespace() => 278.0,
            None if letter == '…' => 1000.0,
            None => 584.0,
        }
    };
    // Bold letters are about a fourteenth wider.
    let heavier = if bold { 1.07 } else { 1.0 };
    text.chars().map(width).sum::<f64>() * heavier * size / 1000.0
}

/// Left, top, right and bottom of each text.
pub(super) fn boxes(svg: &str) -> Vec<([f64; 4], String)> {
    let document = Document::parse(svg).unwrap();
    let texts = document.descendants().filter(|node| node.tag_name().name() == "text");
    let of = |node: Node<'_, '_>| {
        let (x, y, size) = (number(node, "x"), number(node, "y"), number(node, "font-size"));
        let text = node.text().unwrap_or_default().to_owned();
        let width = set_width(&text, size, node.attribute("font-weight").is_some());
        let left = match node.attribute("text-anchor") {
            Some("middle") => x - width / 2.0,
            Some("end") => x - width,
            _ => x,
        };
        ([left, y - size * 0.75, left + width, y + size * 0.2], text)
    };
    texts.map(of).collect()
}
