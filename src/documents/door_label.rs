//! The label in the door frame: a code that opens what is on which panel, and what is safe to wash it with.

use super::paper::{Block, Code, Paper, Setting};
use super::{VehicleOnPaper, qr};
use crate::language::said;

/// What a label is made from.
#[derive(Debug, Clone)]
pub struct DoorLabel {
    /// Language, paper, shop.
    pub setting: Setting,
    /// The vehicle.
    pub vehicle: VehicleOnPaper,
    /// The address that the code opens.
    pub link: String,
}

impl DoorLabel {
    /// The document.
    pub fn paper(&self) -> Paper {
        let language = self.setting.language;
        let name = self.vehicle.name();
        let mut paper = Paper::new(&self.setting, language.word("door-label-kind"), name.to_owned());
        paper.description = language.say("door-label-description", &said!["vehicle" => name]);
        paper.heading = language.word("door-label-heading");
        // All of the VIN would be too small to be read; its end tells it from the others in the yard.
        let ends =
            self.vehicle.vin.as_ref().map(|vin| format!("… {}", vin.chars().skip(11).collect::<String>()));
        let known = [("paper-plate", self.vehicle.plate.clone()), ("paper-vin", ends)];
        let pairs = known.into_iter().filter_map(|(id, value)| Some((language.word(id), value?))).collect();
        paper.front = vec![Block::Facts { pairs }];
        paper.code = qr::svg(&self.link).ok().map(|svg| Code {
            svg,
            alt: language.word("door-label-code-alt"),
            caption: language.word("door-label-code"),
        });
        paper
    }
}
