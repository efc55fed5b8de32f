//! Why cover is on hold or has ended, in each language.

use super::{Language, said};
use crate::core::assess::{Cause, State, Why};
use crate::core::words::OdometerUnit;

impl Language {
    /// Why cover is on hold or has ended, and what makes it good: whole sentences.
    pub fn why(self, why: &Why) -> Vec<String> {
        let reason = match why {
            Why::Missed { services, closes, closes_km, .. } => {
                let missed = said!["services" => self.capital(&self.any_service(services))];
                match closes_km {
                    None => self.say("why-missed", &missed.with("day", self.date(*closes))),
                    Some(km) => {
                        let distance = self.distance(*km, OdometerUnit::Km);
                        self.say("why-missed-by-distance", &missed.with("distance", distance))
                    }
                }
            }
            Why::Breach { key, on, .. } => {
                let happened = said!["what" => key.replace('-', " "), "day" => self.date(*on)];
                self.say("why-breach", &happened)
            }
            Why::Expired => self.word("why-expired"),
            Why::Distance => self.word("why-distance"),
            Why::Transfer => self.word("why-transfer"),
            Why::Closed => self.word("why-closed"),
        };
        let with = why.made_good_with();
        let good =
            (!with.is_empty()).then(|| self.say("why-good", &said!["services" => self.any_service(with)]));
        std::iter::once(reason).chain(good).collect()
    }

    /// How cover stands, and why it ended: "in force", "ended: its time is over".
    pub fn state_of_cover(self, state: State, cause: Option<Cause>) -> String {
        let state = self.say("history-state-of", &said!["state" => state.as_str()]);
        match cause {
            Some(cause) => {
                let cause = self.say("history-cause", &said!["cause" => cause.as_str()]);
                self.labelled(&state, &cause)
            }
            None => state,
        }
    }

    /// A distance with its unit: "120,000 km".
    pub fn distance(self, value: u32, unit: OdometerUnit) -> String {
        let id = match unit {
            OdometerUnit::Km => "unit-km",
            OdometerUnit::Mi => "unit-mi",
        };
        self.say(id, &said!["number" => value])
    }
}
