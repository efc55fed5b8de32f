//! The closed sets of words that stand on the wire, in the database and in records, each with one spelling.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::core::error::Fault;

mod office;

pub use self::office::*;

/// Declares a closed set of words: the enum, its spelling, parsing that says what is allowed, `Display`, serde.
///
/// Each variant is written once, with its word. Order of declaration is order of comparison and of `ALL`.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident, $what:literal { $($(#[$doc:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $(#[doc = concat!("`", $word, "`")] $(#[$doc])* $variant,)+
        }

        impl $name {
            /// Every value, in the order of declaration.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// The word of every value, in the same order.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// The word on the wire.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                out.pad(self.as_str())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::core::error::Fault;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                match text {
                    $($word => Ok(Self::$variant),)+
                    _ => Err($crate::core::words::not_a_word($what, text, Self::WORDS)),
                }
            }
        }

        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .enum_values(Some(Self::WORDS.iter().copied()))
                    .into()
            }
        }

        impl utoipa::ToSchema for $name {}

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.as_str())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::core::words::from_text(from)
            }
        }
    };
}
pub(crate) use words;

/// The fault of a word that is not of its set: what was given, and the whole set.
pub(crate) fn not_a_word(what: &str, given: &str, allowed: &[&str]) -> Fault {
    Fault::new("", "unknown_word", format!("`{given}` is no {what}; allowed are {}", allowed.join(", ")))
}

/// Deserialises anything that is parsed from a text, with the fault's sentence as the message.
pub(crate) fn from_text<'de, D: Deserializer<'de>, T: FromStr<Err = Fault>>(from: D) -> Result<T, D::Error> {
    struct Parsed<T>(PhantomData<T>);
    // A visitor sees the text where it stands; a `Cow` would be a copy of it.
    impl<T: FromStr<Err = Fault>> Visitor<'_> for Parsed<T> {
        type Value = T;

        fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
            out.write_str("a string")
        }

        fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
            text.parse().map_err(|fault: Fault| E::custom(fault.detail))
        }
    }
    from.deserialize_str(Parsed(PhantomData))
}

words! {
    /// What a coating lies on. Cover, checks and cure are judged per surface.
    Surface, "surface" {
        Paint = "paint",
        Glass = "glass",
        /// Unpainted plastic outside.
        Trim = "trim",
        Wheels = "wheels",
        Headlights = "headlights",
        /// Paint protection film or wrap.
        Film = "film",
        Leather = "leather",
        Fabric = "fabric",
        SoftTop = "soft_top",
        /// Bare or plated metal, exhaust tips among it.
        Metal = "metal",
    }
}

words! {
    /// How the outer layer of a panel is finished; it decides what may touch it.
    Finish, "finish" {
        ClearCoat = "clear_coat",
        Matte = "matte",
        /// Coloured paint without a clear coat over it.
        SingleStage = "single_stage",
        Film = "film",
    }
}

words! {
    /// Rough size of a vehicle, for planning.
    VehicleSize, "size" {
        Small = "small",
        Medium = "medium",
        Large = "large",
        Van = "van",
    }
}

words! {
    /// The panels and parts that have a name of their own.
    NamedPanel, "panel" {
        Bonnet = "bonnet",
        Roof = "roof",
        Boot = "boot",
        FrontBumper = "front_bumper",
        RearBumper = "rear_bumper",
        LeftHeadlight = "left_headlight",
        RightHeadlight = "right_headlight",
        LeftSill = "left_sill",
        RightSill = "right_sill",
        LeftMirror = "left_mirror",
        RightMirror = "right_mirror",
        Windscreen = "windscreen",
        RearWindow = "rear_window",
        SoftTop = "soft_top",
        Cabin = "cabin",
        FrontLeftDoor = "front_left_door",
        FrontRightDoor = "front_right_door",
        RearLeftDoor = "rear_left_door",
        RearRightDoor = "rear_right_door",
        FrontLeftWing = "front_left_wing",
        FrontRightWing = "front_right_wing",
        RearLeftWing = "rear_left_wing",
        RearRightWing = "rear_right_wing",
        FrontLeftWheel = "front_left_wheel",
        FrontRightWheel = "front_right_wheel",
        RearLeftWheel = "rear_left_wheel",
        RearRightWheel = "rear_right_wheel",
        FrontLeftWindow = "front_left_window",
        FrontRightWindow = "front_right_window",
        RearLeftWindow = "rear_left_window",
        RearRightWindow = "rear_right_window",
    }
}

/// A panel or part of a vehicle: one with a name of its own, or `other:` and what the shop calls it.
///
/// ```
/// use lustrum::core::words::{NamedPanel, Panel};
/// assert_eq!("bonnet".parse(), Ok(Panel::Named(NamedPanel::Bonnet)));
/// assert_eq!("other:roof rails".parse::<Panel>().unwrap().to_string(), "other:roof rails");
/// assert!("hood".parse::<Panel>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Panel {
    /// One of the list.
    Named(NamedPanel),
    /// Any other, by the shop's own words.
    Other(OtherPanel),
}

/// The shop's own words for a panel: 1–60 characters, no blank at either end, no control characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OtherPanel(String);

impl Panel {
    /// What stands before the shop's own words.
    pub const OTHER_PREFIX: &'static str = "other:";
    /// The longest text after `other:`, in characters.
    pub const OTHER_MAX_CHARS: usize = 60;
}

impl fmt::Display for Panel {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Named(name) => name.fmt(out),
            Self::Other(OtherPanel(text)) => write!(out, "{}{text}", Self::OTHER_PREFIX),
        }
    }
}

impl From<NamedPanel> for Panel {
    fn from(name: NamedPanel) -> Self {
        Self::Named(name)
    }
}

impl FromStr for Panel {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let Some(other) = text.strip_prefix(Self::OTHER_PREFIX) else {
            return text.parse().map(Self::Named).map_err(|_| {
                let allowed = format!("{}, or other: and a text", NamedPanel::WORDS.join(", "));
                not_a_word("panel", text, &[&allowed])
            });
        };
        let length = other.chars().count();
        if length == 0
            || length > Self::OTHER_MAX_CHARS
            || other.trim() != other
            || other.contains(char::is_control)
        {
            return Err(Fault::new(
                "",
                "unknown_word",
                format!(
                    "`{text}`: after other: stand 1 to {} characters, without a blank at either end",
                    Self::OTHER_MAX_CHARS
                ),
            ));
        }
        Ok(Self::Other(OtherPanel(other.to_owned())))
    }
}

impl utoipa::PartialSchema for Panel {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        // A text without control characters, and without a blank at either end.
        let control = r"\x00-\x1f\x7f-\x9f";
        let (end, within) = (format!(r"[^\s{control}]"), format!("[^{control}]"));
        let pattern = format!(
            "^({}|{}{end}({within}{{0,{}}}{end})?)$",
            NamedPanel::WORDS.join("|"),
            Self::OTHER_PREFIX,
            Self::OTHER_MAX_CHARS - 2
        );
        utoipa::openapi::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .pattern(Some(pattern))
            .examples(["bonnet", "other:roof rails"])
            .into()
    }
}

impl utoipa::ToSchema for Panel {}

impl Serialize for Panel {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Panel {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from_text(from)
    }
}

words! {
    /// A step of work on a vehicle, other than laying a coat. Data sheets and the `build` of terms name the same.
    StepKind, "step" {
        PreRinse = "pre_rinse",
        /// Taking off transport film.
        FilmRemoval = "film_removal",
        LabelRemoval = "label_removal",
        WheelClean = "wheel_clean",
        TarRemoval = "tar_removal",
        /// Dissolving iron and other fallout.
        FalloutRemoval = "fallout_removal",
        Foam = "foam",
        ContactWash = "contact_wash",
        Rinse = "rinse",
        /// Drying, and blowing out seams.
        Dry = "dry",
        /// Clay bar, mitt or cloth.
        Clay = "clay",
        GlassPolish = "glass_polish",
        Masking = "masking",
        LightInspection = "light_inspection",
        MachinePolish = "machine_polish",
        ResidueRemoval = "residue_removal",
        /// Solvent wipe that leaves the surface bare.
        PanelWipe = "panel_wipe",
        /// Doing a spot again.
        Rework = "rework",
        HighSpotCheck = "high_spot_check",
        /// Tightening wheel bolts to the stated torque.
        Torque = "torque",
        /// Chemical or mechanical decontamination, not said which.
        Decontamination = "decontamination",
        Other = "other",
    }
}
