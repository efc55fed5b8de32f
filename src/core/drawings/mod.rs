//! Pictures as SVG, from values alone: climate and cure of a job, cover of a warranty, panels of a vehicle.
//!
//! Each is whole by itself, for a page and for print: no style sheet, script or font from elsewhere, presentation as
//! attributes only. Each has the role of an image, a title, and a description that says in words what it shows; nothing
//! is told by colour alone. What they say, and how dates and numbers are written, comes with a [`Wording`].

mod canvas;
mod climate;
mod cover;
mod cure;
mod panels;
mod scale;
mod wording;

pub use climate::{ClimateDrawing, DrawnCoat, DrawnReading};
pub use cover::{CoverDrawing, DrawnBar, DrawnDue};
pub use cure::{CureDrawing, DrawnCure, DrawnMilestone};
pub use panels::{DrawnPanel, PanelMark, PanelsDrawing};
pub use wording::{Label, Sentence, Wording};
