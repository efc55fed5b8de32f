//! One door to every calculation: a question in, an answer out, for the interface and the command alike.
//!
//! What stands here is the shape of questions and answers; the work is done by the functions of `core` that the
//! service itself uses.

mod air;
mod cure;
mod inspection;
mod mixing;
mod readings;
mod records;
mod statistics;
mod times;
mod vehicles;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::json;

/// Declares the calculations: name, input, output and function of each.
macro_rules! calculations {
    ($($(#[$meta:meta])* $name:literal $variant:ident($input:ty) -> $output:ty = $function:path;)+) => {
        /// A question: `calc` names the calculation, the other members are its input.
        #[derive(Debug, Deserialize, ToSchema)]
        #[serde(tag = "calc")]
        #[schema(as = CalcQuestion)]
        pub enum Question { $( $(#[$meta])* #[serde(rename = $name)] $variant($input), )+ }

        /// What was worked out.
        #[derive(Debug, Serialize, ToSchema)]
        #[serde(untagged)]
        #[schema(as = CalcAnswer)]
        pub enum Answer { $( $(#[$meta])* $variant($output), )+ }

        impl Question {
            /// The names of all calculations.
            pub const NAMES: &[&str] = &[$($name),+];

            fn named(name: &str, input: Value) -> Result<Self, Fault> {
                match name {
                    $($name => json::typed(input).map(Self::$variant),)+
                    _ => {
                        let known = Self::NAMES.join(", ");
                        Err(Fault::new("/calc", "unknown_word", format!("{name:?} is not one of {known}")))
                    }
                }
            }

            /// Works it out; refused, with every fault at its place, where the input is out of range.
            pub fn answer(&self) -> Result<Answer, Rule> {
                match self { $(Self::$variant(input) => $function(input).map(Answer::$variant),)+ }
            }
        }
    };
}

calculations! {
    /// Dew point, vapour pressure and water content of air.
    "dew_point" DewPoint(air::DewPointInput) -> air::DewPoint = air::dew_point;
    /// Outside air, heated.
    "heated_air" HeatedAir(air::HeatedAirInput) -> air::HeatedAir = air::heated_air;
    /// How far a coat has cured, and when it reaches its milestones.
    "cure" Cure(cure::CureInput) -> cure::CureAnswer = cure::cure;
    /// A day and a period, once or several times.
    "add_period" AddPeriod(times::AddPeriodInput) -> times::AddPeriod = times::add_period;
    /// What a vehicle identification number says.
    "vin" Vin(vehicles::VinInput) -> vehicles::VinAnswer = vehicles::vin;
    /// Paint thickness before and after polishing.
    "thickness" Thickness(readings::ThicknessInput) -> readings::ThicknessAnswer = readings::thickness;
    /// Grubbs' test for an outlier.
    "grubbs" Grubbs(readings::GrubbsInput) -> readings::GrubbsAnswer = readings::grubbs;
    /// Contact angle of drops.
    "contact_angle" ContactAngle(inspection::ContactAngleInput) -> inspection::ContactAngle = inspection::contact_angle;
    /// Difference of two colours.
    "delta_e" DeltaE(inspection::DeltaEInput) -> inspection::DeltaE = inspection::delta_e;
    /// One dilution in each notation.
    "dilution" Dilution(mixing::DilutionInput) -> mixing::DilutionAnswer = mixing::dilution;
    /// When a vehicle passes a limit in km.
    "forecast" Forecast(vehicles::ForecastInput) -> vehicles::Forecast = vehicles::forecast;
    /// How long something lasts, and whether groups differ.
    "survival" Survival(statistics::SurvivalInput) -> statistics::SurvivalAnswer = statistics::survival;
    /// Fisher's exact test.
    "fisher" Fisher(statistics::FisherInput) -> statistics::FisherAnswer = statistics::fisher;
    /// The instant of a local time.
    "local_send" LocalSend(times::LocalSendInput) -> times::LocalSend = times::local_send;
    /// Whether a document is signed by one of the keys.
    "jws_verify" JwsVerify(records::JwsVerifyInput) -> records::JwsVerified = records::jws_verify;
    /// Head of a Merkle tree.
    "merkle_root" MerkleRoot(records::MerkleRootInput) -> records::MerkleRoot = records::merkle_root;
}

impl Question {
    /// Reads a JSON object; told is the place of what does not have the described shape.
    ///
    /// ```
    /// use lustrum::app::calc::Question;
    /// use serde_json::json;
    /// let question = Question::read(json!({"calc": "heated_air", "out_c": -4, "out_rh_pct": 80, "in_c": 20}))?;
    /// let answer = serde_json::to_value(question.answer().unwrap()).unwrap();
    /// assert_eq!(answer["rh_pct"].as_f64().unwrap().round(), 16.0);
    /// # Ok::<(), lustrum::core::error::Fault>(())
    /// ```
    pub fn read(mut question: Value) -> Result<Self, Fault> {
        let Some(members) = question.as_object_mut() else {
            return Err(Fault::new("", "wrong_type", "a question is a JSON object"));
        };
        match members.remove("calc") {
            Some(Value::String(name)) => Self::named(&name, question),
            None | Some(Value::Null) => Err(Fault::new("/calc", "missing", "`calc` names the calculation")),
            Some(_) => Err(Fault::new("/calc", "wrong_type", "`calc` is a text")),
        }
    }
}

/// Faults of an input that are told all at once.
#[derive(Default)]
struct Faults(Vec<Fault>);

impl Faults {
    /// Takes what was read, or keeps the fault, at its place.
    fn take<T>(&mut self, pointer: &str, read: Result<T, Fault>) -> Option<T> {
        read.map_err(|fault| self.0.push(fault.within(pointer))).ok()
    }

    /// What was worked out, unless anything is wrong.
    fn or<T>(self, worked_out: Option<T>) -> Result<T, Rule> {
        all_clear(self.0)?;
        worked_out.ok_or_else(|| Rule::rules(Vec::new()))
    }
}

/// Several numbers of one unit, each at its place.
fn each<N: Copy, T>(
    pointer: &str,
    numbers: &[N],
    new: impl Fn(N) -> Result<T, Fault>,
    faults: &mut Faults,
) -> Vec<T> {
    let read = numbers.iter().enumerate();
    read.filter_map(|(i, number)| faults.take(&format!("{pointer}/{i}"), new(*number))).collect()
}
