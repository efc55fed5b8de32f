//! The messages of each language, read once.

use std::fmt;
use std::sync::OnceLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::types::FluentValue;
use fluent_bundle::{FluentError, FluentResource};

use super::{Language, Said, figures};

/// The files of a language: name and text.
pub type Source = (&'static str, &'static str);

/// The files of one language.
macro_rules! files {
    ($folder:literal) => {
        &[
            ("words", include_str!(concat!("texts/", $folder, "/words.ftl"))),
            ("mail", include_str!(concat!("texts/", $folder, "/mail.ftl"))),
            ("calendar", include_str!(concat!("texts/", $folder, "/calendar.ftl"))),
            ("documents", include_str!(concat!("texts/", $folder, "/documents.ftl"))),
            ("drawings", include_str!(concat!("texts/", $folder, "/drawings.ftl"))),
            ("pages", include_str!(concat!("texts/", $folder, "/pages.ftl"))),
        ]
    };
}

/// The files of a language, as they stand in `texts/`.
pub const fn sources(language: Language) -> &'static [Source] {
    match language {
        Language::English => files!("en"),
        Language::German => files!("de"),
        Language::Spanish => files!("es"),
        Language::French => files!("fr"),
        Language::Portuguese => files!("pt"),
    }
}

/// The messages that a file holds, by the names at the beginning of its lines.
pub fn ids(source: &str) -> impl Iterator<Item = &str> {
    source.lines().filter_map(|line| {
        let (name, _) = line.split_once('=')?;
        let name = name.trim_end();
        let plain = |sign: char| sign.is_ascii_alphanumeric() || sign == '-' || sign == '_';
        (name.starts_with(|sign: char| sign.is_ascii_alphabetic()) && name.chars().all(plain)).then_some(name)
    })
}

/// Why a message cannot be said, and what could be said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults {
    /// What is wrong.
    pub faults: Vec<String>,
    /// The message with gaps, where there is one.
    pub text: Option<String>,
}

impl fmt::Display for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.faults.join("; "))
    }
}

type Bundle = FluentBundle<FluentResource>;

impl Language {
    /// What a message says, or why it cannot be said.
    pub fn try_say(self, id: &str, said: &Said) -> Result<String, Faults> {
        let missing = || Faults { faults: vec![format!("there is no message `{id}`")], text: None };
        let bundle = self.bundle();
        let pattern = bundle.get_message(id).and_then(|message| message.value()).ok_or_else(missing)?;
        let mut errors: Vec<FluentError> = Vec::new();
        let text = bundle.format_pattern(pattern, Some(&said.0), &mut errors).into_owned();
        if errors.is_empty() {
            return Ok(text);
        }
        let faults = errors.iter().map(ToString::to_string).collect();
        Err(Faults { faults, text: Some(text) })
    }

    fn bundle(self) -> &'static Bundle {
        static ENGLISH: OnceLock<Bundle> = OnceLock::new();
        static GERMAN: OnceLock<Bundle> = OnceLock::new();
        static SPANISH: OnceLock<Bundle> = OnceLock::new();
        static FRENCH: OnceLock<Bundle> = OnceLock::new();
        static PORTUGUESE: OnceLock<Bundle> = OnceLock::new();
        let once = match self {
            Self::English => &ENGLISH,
            Self::German => &GERMAN,
            Self::Spanish => &SPANISH,
            Self::French => &FRENCH,
            Self::Portuguese => &PORTUGUESE,
        };
        once.get_or_init(|| self.read())
    }

    fn read(self) -> Bundle {
        let mut bundle = Bundle::new_concurrent(self.plurals().parse().into_iter().collect());
        // Marks around what is put in would stand in subjects and PDF files; all our languages run the same way.
        bundle.set_use_isolating(false);
        bundle.set_formatter(Some(match self {
            Self::English => |value, _| number_in(Self::English, value),
            Self::German => |value, _| number_in(Self::German, value),
            Self::Spanish => |value, _| number_in(Self::Spanish, value),
            Self::French => |value, _| number_in(Self::French, value),
            Self::Portuguese => |value, _| number_in(Self::Portuguese, value),
        }));
        for (name, text) in sources(self) {
            let resource =
                FluentResource::try_new((*text).to_owned()).unwrap_or_else(|(resource, faults)| {
                    debug_assert!(false, "{name}.ftl in {self}: {faults:?}");
                    tracing::error!(language = %self, file = name, ?faults, "a file of texts has faults");
                    resource
                });
            if let Err(faults) = bundle.add_resource(resource) {
                debug_assert!(false, "{name}.ftl in {self}: {faults:?}");
                tracing::error!(language = %self, file = name, ?faults, "a text stands twice");
            }
        }
        bundle
    }

    /// The tag by which plural rules are chosen: those of Portugal are not those of Brazil.
    const fn plurals(self) -> &'static str {
        match self {
            Self::Portuguese => "pt-PT",
            other => other.as_str(),
        }
    }
}

fn number_in(language: Language, value: &FluentValue) -> Option<String> {
    match value {
        FluentValue::Number(number) => Some(figures::shortest(language, number.value)),
        _ => None,
    }
}
