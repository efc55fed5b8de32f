//! Addenda: what is said of a job after it was signed off, marked as entered afterwards.

use serde::{Deserialize, Serialize};

use crate::core::climate::ClimateReading;
use crate::core::error::Fault;
use crate::core::steps::Step;

/// What is entered afterwards: exactly one of its members.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Addendum {
    /// Something to be said; up to 5,000 characters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(min_length = 1, max_length = 5000)]
    pub note: Option<String>,
    /// A step that was done before the sign-off and not entered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<Step>,
    /// A climate reading that was taken and not entered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<ClimateReading>,
}

impl Addendum {
    /// The fault of saying nothing, or several things at once.
    ///
    /// ```
    /// use lustrum::core::addenda::Addendum;
    /// let nothing = Addendum { note: None, step: None, climate: None };
    /// assert_eq!(nothing.fault().unwrap().code, "one_of");
    /// assert_eq!(Addendum { note: Some("Seen again by daylight.".into()), ..nothing }.fault(), None);
    /// ```
    pub fn fault(&self) -> Option<Fault> {
        let said = usize::from(self.note.is_some())
            + usize::from(self.step.is_some())
            + usize::from(self.climate.is_some());
        (said != 1).then(|| Fault::new("", "one_of", "exactly one of note, step and climate is needed"))
    }
}
