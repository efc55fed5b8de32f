//! Documents: calendars, and PDF from values. The same values give the same bytes, whenever and wherever they are printed.
//!
//! What a document says is put together as a [`Paper`](paper::Paper), in the words of a language; the
//! [`Press`](press::Press) sets it by a template. The template holds no text, and takes values as data: what a customer
//! is called can mean nothing to it.

pub mod calendar;
pub mod certificate;
pub mod dispute_file;
pub mod door_label;
pub mod events;
pub mod history;
pub mod job;
pub mod job_sheet;
pub mod paper;
pub mod photos;
pub mod press;
pub mod qr;
mod terms;
pub mod winter_card;

use chrono::NaiveDateTime;

use crate::core::odometer::Odometer;
use crate::core::words::{OdometerUnit, Panel, Surface};
use crate::language::{Language, said};

/// The shop, as it stands at the head of a document.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ShopOnPaper {
    /// Its name.
    pub name: String,
    /// Its postal address.
    pub address: Option<String>,
    /// Its telephone.
    pub phone: Option<String>,
    /// Its e-mail address.
    pub email: Option<String>,
}

impl ShopOnPaper {
    /// Address, telephone and e-mail address, a line each.
    fn lines(&self) -> Vec<String> {
        [&self.address, &self.phone, &self.email].into_iter().flatten().cloned().collect()
    }
}

/// A vehicle, as a document names it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VehicleOnPaper {
    /// Make, model, year and colour, as far as they are known.
    pub title: String,
    /// Its identification number.
    pub vin: Option<String>,
    /// Its plate.
    pub plate: Option<String>,
}

impl VehicleOnPaper {
    /// What is known of it, each with its label.
    fn pairs(&self, language: Language) -> Vec<(String, String)> {
        let known = |id: &str, value: Option<&String>| Some((language.word(id), value?.clone()));
        let title = Some(&self.title).filter(|title| !title.is_empty());
        let pairs = [
            known("paper-vehicle", title),
            known("paper-vin", self.vin.as_ref()),
            known("paper-plate", self.plate.as_ref()),
        ];
        pairs.into_iter().flatten().collect()
    }

    /// The shortest that tells it from others.
    fn name(&self) -> &str {
        self.plate.as_deref().or(self.vin.as_deref()).unwrap_or(&self.title)
    }
}

/// Panels as a list, each with a capital only where it is the first.
fn panels(language: Language, panels: &[Panel]) -> String {
    let named: Vec<String> = panels.iter().map(|panel| language.panel(panel)).collect();
    language.capital(&named.join(", "))
}

/// A surface as a label.
fn surface(language: Language, surface: Surface) -> String {
    language.capital(&language.surface(&surface))
}

/// A distance in km, and in miles where the vehicle counts them.
fn distance(language: Language, km: u32, unit: OdometerUnit) -> String {
    let of_km = language.say("unit-km", &said!["number" => km]);
    match unit {
        OdometerUnit::Km => of_km,
        OdometerUnit::Mi => {
            let miles = (f64::from(km) / KM_A_MILE).round();
            format!("{} ({of_km})", language.say("unit-mi", &said!["number" => miles]))
        }
    }
}

/// What an odometer showed, in its own unit.
fn odometer(language: Language, read: Odometer) -> String {
    odometer_at(language, read.value(), read.unit())
}

/// The same, of a number and its unit.
fn odometer_at(language: Language, value: u32, unit: OdometerUnit) -> String {
    let id = match unit {
        OdometerUnit::Km => "unit-km",
        OdometerUnit::Mi => "unit-mi",
    };
    language.say(id, &said!["number" => value])
}

/// A time in a narrow column: the day as ISO 8601 has it, and the time of day.
fn short(language: Language, at: NaiveDateTime) -> String {
    format!("{} {}", at.format("%Y-%m-%d"), language.time(at.time()))
}

/// The international mile of 1959.
const KM_A_MILE: f64 = 1.609_344;
