//! What was set, and where: each value with the line of the file or the variable that it came from.

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

use toml::de::{DeTable, DeValue};

/// Every setting, by its key in the file; as a variable it is `LUSTRUM_` and the key in capitals. With what it is
/// unless it is set.
const SETTINGS: &[(&str, &str)] = &[
    ("database", "sqlite:lustrum.db"),
    ("listen", "127.0.0.1:8080"),
    ("files", "files"),
    ("public_url", "http://127.0.0.1:8080"),
    ("mail", "file:mail"),
    ("mail_from", "lustrum@localhost"),
    ("mail_return_path", "mail_from"),
    ("dkim_domain", "none"),
    ("dkim_selector", "none"),
    ("dkim_key_file", "none"),
    ("fonts", "none"),
    ("log", "info"),
    ("clock", "the machine's"),
    ("jobs", "on"),
    ("trusted_proxies", "none"),
    ("limit_address", "60000"),
    ("limit_account", "60000"),
    ("limit_sign_in", "300"),
];

/// Variables that are no settings: the password of `init` and `member`, and the file itself.
const NO_SETTINGS: [&str; 2] = ["LUSTRUM_PASSWORD", "LUSTRUM_CONFIG"];

/// Where a value came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// It was not set.
    Usual,
    /// A line of the file.
    File(PathBuf, usize),
    /// A variable.
    Variable(String),
}

impl fmt::Display for Source {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Usual => out.write_str("not set"),
            Self::File(path, line) => write!(out, "{} line {line}", path.display()),
            Self::Variable(name) => out.write_str(name),
        }
    }
}

/// A setting as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Explained {
    /// Its key.
    pub key: &'static str,
    /// What it is, passwords included.
    pub value: String,
    /// Where it came from.
    pub source: Source,
}

/// What was set in the file and by variables, which win.
#[derive(Debug, Clone, Default)]
pub struct Gathered(BTreeMap<&'static str, (String, Source)>);

impl Gathered {
    /// Reads `file` (or `./lustrum.toml`, if it is there) and the `LUSTRUM_*` variables of `environment`.
    ///
    /// Every fault is listed beside it: what is no TOML, unknown keys with their line, unknown variables.
    ///
    /// ```
    /// use lustrum::config::{Gathered, Source};
    /// let variables = [("LUSTRUM_JOBS".to_owned(), "off".to_owned())].into();
    /// let (gathered, faults) = Gathered::read(None, &variables);
    /// assert!(faults.is_empty());
    /// let jobs = gathered.explained().find(|setting| setting.key == "jobs").unwrap();
    /// assert_eq!((jobs.value.as_str(), jobs.source), ("off", Source::Variable("LUSTRUM_JOBS".into())));
    /// ```
    pub fn read(file: Option<&Path>, environment: &BTreeMap<String, String>) -> (Self, Vec<String>) {
        let mut gathered = Self::default();
        let mut faults = gathered.take_file(file);
        for (name, value) in environment {
            let Some(key) = name.strip_prefix("LUSTRUM_") else { continue };
            if NO_SETTINGS.contains(&name.as_str()) || name.starts_with("LUSTRUM_TEST_") {
                continue;
            }
            match known(&key.to_lowercase()).filter(|_| key.to_uppercase() == key) {
                Some(known) => {
                    gathered.0.insert(known, (value.clone(), Source::Variable(name.clone())));
                }
                None => faults.push(format!("{name}: no such setting")),
            }
        }
        (gathered, faults)
    }

    /// What a setting was set to.
    pub fn value(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(|(value, _)| value.as_str())
    }

    /// Every setting, set or not.
    pub fn explained(&self) -> impl Iterator<Item = Explained> {
        SETTINGS.iter().map(|&(key, usual)| {
            let (value, source) = self.0.get(key).cloned().unwrap_or((usual.to_owned(), Source::Usual));
            Explained { key, value, source }
        })
    }

    fn take_file(&mut self, file: Option<&Path>) -> Vec<String> {
        let path = file.map_or_else(|| PathBuf::from("lustrum.toml"), Path::to_path_buf);
        let text = match std::fs::read_to_string(&path) {
            Ok(text) => text,
            Err(_) if file.is_none() => return Vec::new(),
            Err(e) => return vec![format!("{}: {e}", path.display())],
        };
        let table = match DeTable::parse(&text) {
            Ok(table) => table,
            Err(e) => return vec![format!("{}: {e}", path.display())],
        };
        let mut faults = Vec::new();
        for (key, value) in table.get_ref() {
            let line = text[..key.span().start].matches('\n').count() + 1;
            let at = format!("{} line {line}: `{}`", path.display(), key.get_ref());
            match (known(key.get_ref()), value.get_ref()) {
                (None, _) => {
                    let keys: Vec<&str> = SETTINGS.iter().map(|(key, _)| *key).collect();
                    faults.push(format!("{at} is no setting; there are {}", keys.join(", ")));
                }
                (Some(known), DeValue::String(value)) => {
                    self.0.insert(known, (value.to_string(), Source::File(path.clone(), line)));
                }
                (Some(_), _) => faults.push(format!("{at} must be a text in quotes")),
            }
        }
        faults
    }
}

fn known(key: &str) -> Option<&'static str> {
    SETTINGS.iter().map(|(known, _)| *known).find(|known| *known == key)
}
