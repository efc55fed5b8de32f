//! The configuration: one plain struct, read once from a TOML file and `LUSTRUM_*` variables, then passed down.

mod gathered;
mod limits;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};

pub use gathered::{Explained, Gathered, Source};
pub use limits::{Network, PerMinute};

/// All that can be set from outside.
#[derive(Debug, Clone)]
pub struct Config {
    /// `sqlite:PATH` or `postgres://…`.
    pub database: String,
    /// Address and port of the service.
    pub listen: String,
    /// The folder of photos and other files.
    pub files: PathBuf,
    /// How the service is reached from outside; in mails and QR codes. No slash at the end.
    pub public_url: String,
    /// `smtp://…`, `smtps://…`, `file:DIR` or `memory:`.
    pub mail: String,
    /// The address that mails come from.
    pub mail_from: String,
    /// Where servers send what they have to say of a mail, such as that the address is unknown; none: to the address
    /// that mails come from.
    pub mail_return_path: Option<String>,
    /// What signs mails for the domain that they come from.
    pub dkim: Option<DkimSettings>,
    /// The folder of fonts for documents, beside those that come with the program.
    pub fonts: Option<PathBuf>,
    /// What is logged, in the words of `tracing_subscriber::EnvFilter`.
    pub log: String,
    /// An instant from which the clock runs on; for drills only.
    pub clock: Option<DateTime<Utc>>,
    /// Whether `serve` ticks and delivers.
    pub jobs: bool,
    /// Proxies before the service: their `X-Forwarded-For` is believed.
    pub trusted_proxies: Vec<Network>,
    /// Requests from one address.
    pub limit_address: PerMinute,
    /// Requests of one member.
    pub limit_account: PerMinute,
    /// Attempts to sign in, from one address and for one account.
    pub limit_sign_in: PerMinute,
}

/// What signs mails.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DkimSettings {
    /// The domain that signs: that of the address that mails come from, or one above it.
    pub domain: String,
    /// Under which name in that domain the public key stands.
    pub selector: String,
    /// The file of the private key, in PEM.
    pub key_file: PathBuf,
}

/// More than a whole shop asks from behind one address, at once or all through the minute.
const USUAL_ADDRESS: PerMinute = PerMinute::of(60_000);
const USUAL_ACCOUNT: PerMinute = USUAL_ADDRESS;

/// Everybody of many shops at the same time, and too few to guess a password of twelve characters.
const USUAL_SIGN_IN: PerMinute = PerMinute::of(300);

impl Default for Config {
    fn default() -> Self {
        Self {
            database: "sqlite:lustrum.db".into(),
            listen: "127.0.0.1:8080".into(),
            files: "files".into(),
            public_url: "http://127.0.0.1:8080".into(),
            mail: "file:mail".into(),
            mail_from: "lustrum@localhost".into(),
            mail_return_path: None,
            dkim: None,
            fonts: None,
            log: "info".into(),
            clock: None,
            jobs: true,
            trusted_proxies: Vec::new(),
            limit_address: USUAL_ADDRESS,
            limit_account: USUAL_ACCOUNT,
            limit_sign_in: USUAL_SIGN_IN,
        }
    }
}

impl Config {
    /// Reads `file` (or `./lustrum.toml`, if it is there) and the `LUSTRUM_*` variables of `environment`, which win.
    ///
    /// Every fault is listed: unknown keys, unknown variables, values that cannot be.
    ///
    /// ```
    /// use lustrum::config::Config;
    /// let variables = [("LUSTRUM_JOBS".to_owned(), "off".to_owned())].into();
    /// assert!(!Config::read(None, &variables)?.jobs);
    /// let wrong = [("LUSTRUM_JOBS".to_owned(), "perhaps".to_owned())].into();
    /// assert!(Config::read(None, &wrong).unwrap_err()[0].contains("LUSTRUM_JOBS"));
    /// # Ok::<(), Vec<String>>(())
    /// ```
    pub fn read(file: Option<&Path>, environment: &BTreeMap<String, String>) -> Result<Self, Vec<String>> {
        let (gathered, mut faults) = Gathered::read(file, environment);
        let given = |key: &str| gathered.value(key).map(str::to_owned);
        let usual = Self::default();
        let clock = given("clock").as_deref().and_then(|text| match DateTime::parse_from_rfc3339(text) {
            Ok(at) => Some(at.to_utc()),
            Err(_) => {
                faults.push(format!(
                    "LUSTRUM_CLOCK: {text:?} is not an RFC 3339 instant such as 2026-01-15T08:00:00Z"
                ));
                None
            }
        });
        let jobs = match given("jobs").as_deref() {
            None | Some("on") => true,
            Some("off") => false,
            Some(other) => {
                faults.push(format!("LUSTRUM_JOBS: {other:?} is neither on nor off"));
                true
            }
        };
        let trusted_proxies = limits::networks(given("trusted_proxies").as_deref().unwrap_or_default());
        let trusted_proxies = trusted_proxies.unwrap_or_else(|fault| {
            faults.push(format!("LUSTRUM_TRUSTED_PROXIES: {fault}"));
            Vec::new()
        });
        let mut limit = |name, given: Option<String>, usual: PerMinute| {
            given.map_or(Ok(usual), |text| text.parse()).unwrap_or_else(|fault| {
                faults.push(format!("{name}: {fault}"));
                usual
            })
        };
        let limit_address = limit("LUSTRUM_LIMIT_ADDRESS", given("limit_address"), usual.limit_address);
        let limit_account = limit("LUSTRUM_LIMIT_ACCOUNT", given("limit_account"), usual.limit_account);
        let limit_sign_in = limit("LUSTRUM_LIMIT_SIGN_IN", given("limit_sign_in"), usual.limit_sign_in);
        let public_url = given("public_url").unwrap_or(usual.public_url);
        if !(public_url.starts_with("http://") || public_url.starts_with("https://")) {
            faults
                .push(format!("LUSTRUM_PUBLIC_URL: {public_url:?} does not begin with http:// or https://"));
        }
        let dkim = match (given("dkim_domain"), given("dkim_selector"), given("dkim_key_file")) {
            (None, None, None) => None,
            (Some(domain), Some(selector), Some(key_file)) => {
                let labels = |text: &str| {
                    text.split('.').all(|label| {
                        !label.is_empty()
                            && label.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_".contains(&b))
                    })
                };
                for (name, text) in [("LUSTRUM_DKIM_DOMAIN", &domain), ("LUSTRUM_DKIM_SELECTOR", &selector)] {
                    if !labels(text) {
                        faults.push(format!("{name}: {text:?} is no name such as mail.example.org"));
                    }
                }
                Some(DkimSettings { domain, selector, key_file: key_file.into() })
            }
            _ => {
                let three = "LUSTRUM_DKIM_DOMAIN, LUSTRUM_DKIM_SELECTOR and LUSTRUM_DKIM_KEY_FILE";
                faults.push(format!("{three} go together: set all three or none"));
                None
            }
        };
        let config = Self {
            database: given("database").unwrap_or(usual.database),
            listen: given("listen").unwrap_or(usual.listen),
            files: given("files").map_or(usual.files, PathBuf::from),
            public_url: public_url.trim_end_matches('/').to_owned(),
            mail: given("mail").unwrap_or(usual.mail),
            mail_from: given("mail_from").unwrap_or(usual.mail_from),
            mail_return_path: given("mail_return_path"),
            dkim,
            fonts: given("fonts").map(PathBuf::from),
            log: given("log").unwrap_or(usual.log),
            clock,
            jobs,
            trusted_proxies,
            limit_address,
            limit_account,
            limit_sign_in,
        };
        if faults.is_empty() { Ok(config) } else { Err(faults) }
    }

    /// The address that servers answer to.
    pub fn mail_return_path(&self) -> &str {
        self.mail_return_path.as_deref().unwrap_or(&self.mail_from)
    }
}
