//! What is put into a message: texts, and numbers that it may count by.

use std::borrow::Cow;

use fluent_bundle::FluentArgs;
use fluent_bundle::types::{FluentNumber, FluentValue};

/// Values said in a message, each under the name that it has there.
///
/// ```
/// use lustrum::language::{Language, Said};
/// let said = Said::default().with("count", 3);
/// assert_eq!(Language::English.say("period-weeks", &said), "3 weeks");
/// ```
#[derive(Debug, Default)]
pub struct Said(pub(super) FluentArgs<'static>);

impl Said {
    /// With one more value.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl IntoSaid) -> Self {
        self.0.set(Cow::Borrowed(name), value.value());
        self
    }
}

/// What can be said in a message: a text as it is, a number as its language writes it.
pub trait IntoSaid {
    /// The value.
    fn value(self) -> FluentValue<'static>;
}

impl IntoSaid for String {
    fn value(self) -> FluentValue<'static> {
        FluentValue::String(Cow::Owned(self))
    }
}

impl IntoSaid for &String {
    fn value(self) -> FluentValue<'static> {
        self.clone().value()
    }
}

impl IntoSaid for &str {
    fn value(self) -> FluentValue<'static> {
        self.to_owned().value()
    }
}

impl IntoSaid for f64 {
    fn value(self) -> FluentValue<'static> {
        FluentValue::Number(FluentNumber::from(self))
    }
}

/// Whole numbers.
macro_rules! whole {
    ($($kind:ty)+) => {$(
        impl IntoSaid for $kind {
            fn value(self) -> FluentValue<'static> {
                FluentValue::Number(FluentNumber::from(self))
            }
        }
    )+};
}
whole!(u8 u32 i32 u64 usize);

/// Values of a message: `said!["vehicle" => title, "count" => 3]`.
macro_rules! said {
    ($($name:literal => $value:expr),* $(,)?) => {
        $crate::language::Said::default()$(.with($name, $value))*
    };
}
pub(crate) use said;
