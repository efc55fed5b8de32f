//! Signatures: strokes of a pen, and the picture that is made of them.

use serde::{Deserialize, Serialize};
use utoipa::openapi::schema::{ArrayBuilder, ObjectBuilder, Schema, Type};

use crate::core::calendar::Moment;
use crate::core::error::Fault;
use crate::core::ids::Digest;
use crate::core::words::words;

words! {
    /// What a signature stands under.
    Occasion, "occasion of a signature" {
        /// What the vehicle came with.
        CheckIn = "check_in",
        /// What the owner gets back.
        Handover = "handover",
    }
}

/// A stroke: the points that the pen passed, each x (to the right) and y (downwards), in any unit.
pub type Stroke = Vec<[f64; 2]>;

/// The most strokes of a signature.
pub const MOST_STROKES: usize = 200;

/// The most points of all strokes together.
pub const MOST_POINTS: usize = 5_000;

/// The largest coordinate, on either side of 0.
pub const FARTHEST: f64 = 100_000.0;

/// A signature as it is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SignatureInput {
    /// What it stands under.
    pub of: Occasion,
    /// The digest of the document that was shown.
    pub digest: Digest,
    /// Who signs, as typed; 1–200 characters.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// The strokes of the pen, of 5,000 points together at most; each point is x (to the right) and y (downwards), in any
    /// unit.
    #[schema(schema_with = described)]
    pub strokes: Vec<Stroke>,
    /// When it was signed; when it was entered unless given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_at: Option<Moment>,
}

/// Strokes as the interface describes them.
fn described() -> Schema {
    let number =
        ObjectBuilder::new().schema_type(Type::Number).minimum(Some(-FARTHEST)).maximum(Some(FARTHEST));
    let point = ArrayBuilder::new().items(number).min_items(Some(2)).max_items(Some(2));
    let stroke = ArrayBuilder::new().items(point).max_items(Some(MOST_POINTS));
    let strokes = ArrayBuilder::new().items(stroke).min_items(Some(1)).max_items(Some(MOST_STROKES));
    let what = "The strokes of the pen, of 5,000 points together at most; each point is x (to the right) and y (downwards), \
                in any unit.";
    strokes.description(Some(what)).examples([serde_json::json!([[[10, 10], [20.5, 15]]])]).build().into()
}

/// What is wrong with strokes: too few, too many, or off the sheet.
///
/// ```
/// use lustrum::core::signatures::faults;
/// assert_eq!(faults(&[vec![[0.0, 0.0], [4.0, 2.5]]]), []);
/// assert_eq!(faults(&[vec![[0.0, 0.0]]])[0].code, "empty");
/// assert_eq!(faults(&[vec![[0.0, 0.0], [4.0, 1e9]]])[0].pointer, "/strokes/0/1/1");
/// ```
pub fn faults(strokes: &[Stroke]) -> Vec<Fault> {
    let mut faults = Vec::new();
    let points: usize = strokes.iter().map(Vec::len).sum();
    if strokes.len() > MOST_STROKES || points > MOST_POINTS {
        let detail = format!(
            "{} strokes of {points} points; allowed are up to {MOST_STROKES} of {MOST_POINTS}",
            strokes.len()
        );
        return vec![Fault::new("/strokes", "too_many", detail)];
    }
    if strokes.iter().all(|stroke| stroke.len() < 2) {
        faults.push(Fault::new("/strokes", "empty", "at least one stroke of two points is needed"));
    }
    for (i, stroke) in strokes.iter().enumerate() {
        for (k, point) in stroke.iter().enumerate() {
            for (axis, value) in point.iter().enumerate().filter(|(_, value)| value.abs() > FARTHEST) {
                let detail = format!("{value} is not from {} to {FARTHEST}", -FARTHEST);
                faults.push(Fault::new(format!("/strokes/{i}/{k}/{axis}"), "out_of_range", detail));
            }
        }
    }
    faults
}

/// The signature as a picture (SVG 1.1), its longer side a thousand units: of numbers and nothing else that was given.
///
/// ```
/// let svg = lustrum::core::signatures::svg(&[vec![[10.0, 10.0], [20.0, 15.0]], vec![[12.0, 10.0]]]);
/// assert!(svg.contains(r#"<path d="M0 0L1000 500M200 0h0""#), "{svg}");
/// ```
pub fn svg(strokes: &[Stroke]) -> String {
    let points = || strokes.iter().flatten();
    let end =
        |axis: usize, of: fn(f64, f64) -> f64| points().map(|point| point[axis]).reduce(of).unwrap_or(0.0);
    let (left, top) = (end(0, f64::min), end(1, f64::min));
    let (width, height) = (end(0, f64::max) - left, end(1, f64::max) - top);
    let longer = width.max(height);
    let scale = if longer > 0.0 { 1000.0 / longer } else { 1.0 };
    let mut path = String::new();
    for stroke in strokes {
        for (n, [x, y]) in stroke.iter().enumerate() {
            let pen = if n == 0 { 'M' } else { 'L' };
            path.push_str(&format!("{pen}{:.0} {:.0}", (x - left) * scale, (y - top) * scale));
        }
        // A dot: a line without length has round ends.
        path.push_str(if stroke.len() == 1 { "h0" } else { "" });
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-20 -20 {:.0} {:.0}\"><path d=\"{path}\" fill=\"none\" \
         stroke=\"#000\" stroke-width=\"8\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/></svg>",
        width * scale + 40.0,
        height * scale + 40.0
    )
}
