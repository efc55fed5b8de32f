//! How mails go: what takes them, what signs them, and what others need in the DNS so as to believe them.

use std::fmt::Display;
use std::future::Future;
use std::net::IpAddr;

use super::{Findings, holds, note};
use crate::app::surroundings::{self, without_password};
use crate::clock::Clock;
use crate::config::Config;
use crate::core::email::Email;
use crate::core::notices::message_digest;
use crate::core::words::NoticeKind;
use crate::mail::dkim::Dkim;
use crate::mail::message::seal;
use crate::mail::texts::trial_letter;
use crate::mail::transport::ATTEMPT_LIMIT;
use crate::mail::{Accepted, Address, Mailer, Outgoing, Posting};

/// Looks at how mails go, and sends one if that is asked for.
pub(super) fn look(config: &Config, drill: bool, to: Option<&Email>, findings: &mut Findings) {
    let shown = without_password(&config.mail);
    let mailer = match Mailer::read(&config.mail, ATTEMPT_LIMIT) {
        Ok(mailer) => mailer,
        Err(fault) => {
            return findings.fault("mail", format!("{shown}: {}", fault.detail), "change LUSTRUM_MAIL");
        }
    };
    if drill && !mailer.is_local() {
        let fix = "set LUSTRUM_MAIL to a folder, or to a server on this machine";
        return findings.fault(
            "mail",
            format!("{shown}: the mails of a drill must not leave this machine"),
            fix,
        );
    }
    match waited_for(mailer.try_out()) {
        Ok(()) => holds("mail", format!("{shown} takes what is handed over")),
        Err(e) => {
            findings.fault("mail", format!("{shown}: {e}"), "look at LUSTRUM_MAIL: address, port, log-in");
        }
    }
    let dkim = signature(config, findings);
    if let Some(to) = to {
        trial(config, &mailer, dkim.as_ref(), to, findings);
        records(config, &mailer, dkim.as_ref());
    }
    if !matches!(mailer, Mailer::Smtp(_)) {
        note(
            "mail",
            "mails are put into a folder; nobody gets them",
            "set LUSTRUM_MAIL to smtp://… to send them",
        );
    } else if config.mail_from.ends_with("@localhost") && !mailer.is_local() {
        let fix = "set LUSTRUM_MAIL_FROM to an address of your own domain";
        findings.fault("mail", format!("mails come from {}, which others refuse", config.mail_from), fix);
    }
}

/// What signs mails, and the record that lets others check it.
fn signature(config: &Config, findings: &mut Findings) -> Option<Dkim> {
    let Some(settings) = &config.dkim else {
        let advice = "set LUSTRUM_DKIM_DOMAIN, LUSTRUM_DKIM_SELECTOR and LUSTRUM_DKIM_KEY_FILE: large mail hosts refuse \
                      what nobody signs";
        note("signature", "mails are not signed", advice);
        return None;
    };
    let dkim = match surroundings::dkim(settings) {
        Ok(dkim) => dkim,
        Err(fault) => {
            findings.fault("signature", fault.detail, "change the file, or LUSTRUM_DKIM_KEY_FILE");
            return None;
        }
    };
    let from = domain_of(&config.mail_from);
    let domain = settings.domain.to_ascii_lowercase();
    if from != domain && !from.ends_with(&format!(".{domain}")) {
        let found = format!("mails come from {from}, and {domain} signs them");
        findings.fault("signature", found, "let LUSTRUM_DKIM_DOMAIN be the domain of LUSTRUM_MAIL_FROM");
        return Some(dkim);
    }
    let (name, text) = dkim.record();
    holds("signature", format!("{domain} signs mails"));
    note("signature", format!("the DNS of {domain} needs this TXT record: {name}"), text);
    Some(dkim)
}

/// What comes of something that is waited for.
fn waited_for<T, E: Display>(future: impl Future<Output = Result<T, E>>) -> Result<T, String> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.map_err(|e| e.to_string())?.block_on(future).map_err(|e| e.to_string())
}

fn domain_of(address: &str) -> String {
    address.rsplit('@').next().unwrap_or_default().to_ascii_lowercase()
}

/// Sends a test mail.
fn trial(config: &Config, mailer: &Mailer, dkim: Option<&Dkim>, to: &Email, findings: &mut Findings) {
    let sent = sealed(config, dkim, to).and_then(|message| waited_for(mailer.send(&message)));
    match sent {
        Ok(Accepted { words }) => holds("test mail", format!("{to} was accepted: {words}")),
        Err(why) => {
            let fix = "look at LUSTRUM_MAIL, LUSTRUM_MAIL_FROM and what the server says of it";
            findings.fault("test mail", format!("{to} was not accepted: {why}"), fix);
        }
    }
}

fn sealed(config: &Config, dkim: Option<&Dkim>, to: &Email) -> Result<Outgoing, String> {
    let now = Clock::System.now();
    let address =
        |name: &str, text: &str| text.parse::<Address>().map_err(|error| format!("{name}: {error}"));
    let posting = Posting {
        from: address("LUSTRUM_MAIL_FROM", &config.mail_from)?,
        shop: "Lustrum".into(),
        reply_to: None,
        return_path: address("LUSTRUM_MAIL_RETURN_PATH", config.mail_return_path())?,
        to: to.clone(),
        name: to.to_string(),
        digest: message_digest(&[format!("check/{to}/{}", now.to_rfc3339())]),
        // Asked for, and about no due.
        kind: NoticeKind::Link,
        date: now,
        unsubscribe: None,
    };
    seal(&trial_letter(&config.public_url), &posting, dkim).map_err(|error| error.to_string())
}

/// The records that others look for; nobody looks them up here.
fn records(config: &Config, mailer: &Mailer, dkim: Option<&Dkim>) {
    let (from, back) = (domain_of(&config.mail_from), domain_of(config.mail_return_path()));
    let server = match mailer {
        Mailer::Smtp(server) => server.host(),
        Mailer::Folder(_) | Mailer::Memory(_) => "YOUR-MAIL-SERVER",
    };
    // RFC 7208 §5.6 and §5.3: an address is named otherwise than a host.
    let may_send = match server.parse::<IpAddr>() {
        Ok(IpAddr::V4(address)) => format!("ip4:{address}"),
        Ok(IpAddr::V6(address)) => format!("ip6:{address}"),
        Err(_) => format!("a:{server}"),
    };
    note(
        "DNS, SPF",
        format!("{back} needs a TXT record that names who may send for it:"),
        &format!("v=spf1 {may_send} -all   (or the include: that whoever runs {server} names)"),
    );
    match dkim {
        Some(dkim) => {
            let (name, text) = dkim.record();
            note("DNS, DKIM", format!("{name} needs a TXT record with the public key:"), text);
        }
        None => note(
            "DNS, DKIM",
            "nothing signs mails, so there is no key to publish",
            "set LUSTRUM_DKIM_DOMAIN, LUSTRUM_DKIM_SELECTOR and LUSTRUM_DKIM_KEY_FILE",
        ),
    }
    note(
        "DNS, DMARC",
        format!("_dmarc.{from} needs a TXT record that says what to do with what is not signed:"),
        "v=DMARC1; p=quarantine",
    );
    note(
        "DNS, MX",
        format!(
            "{back} needs an MX record: {} is where servers report what did not arrive,",
            config.mail_return_path()
        ),
        "and what comes there goes to `lustrum bounce`",
    );
}
